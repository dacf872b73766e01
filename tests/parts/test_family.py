"""Families: bands from rules, indexes, and the sizes near a value."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.accounts import Value
from fitcheck.likelihood import band_density, margin_mm, view_likelihoods
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import BandRule, Family, band_rules, size_weight, view_bands
from fitcheck.parts.seal import seal_family

FAMILIES = [seal_family(), bearing_family()]


def test_a_band_follows_from_its_rule() -> None:
    rule = BandRule("worn-track-read", 0.1, 1.0, -0.3, 1.0, -0.1)
    band = rule.band(nominal_mm=35.0, lower_mm=-0.16, upper_mm=0.0)
    assert (band.low_mm, band.high_mm) == (pytest.approx(34.54), pytest.approx(34.9))
    assert band.height == pytest.approx(0.1 / 0.36)
    assert band.state == "worn-track-read"


def test_a_band_without_width_still_has_a_density() -> None:
    band = BandRule("clean", 1.0, 1.0, 0.0, 1.0, 0.0).band(
        nominal_mm=10.0, lower_mm=0.0, upper_mm=0.0
    )
    assert band.height * (band.high_mm - band.low_mm) == pytest.approx(1.0)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)
def test_the_priors_and_shares_of_a_place_add_up(family: Family) -> None:
    for place in family.places.values():
        assert sum(view.share for view in place.views) == pytest.approx(1.0)
        for view in place.views:
            assert sum(rule.prior for rule in view.rules) == pytest.approx(1.0)


def test_rules_can_be_scaled() -> None:
    half = band_rules("seal", "shaft", share=0.5)
    assert sum(rule.prior for rule in half) == pytest.approx(0.5)
    assert band_rules("seal", "no such place") == ()
    assert size_weight("seal", "metric") == 1.0
    assert 0.0 < size_weight("seal", "mixed") < 1.0


@pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)
@given(share=st.floats(0.001, 0.999), offset=st.floats(-1.5, 1.5))
def test_the_window_misses_no_nominal_that_could_give_a_reading(
    family: Family, share: float, offset: float
) -> None:
    for place in family.places.values():
        for view, index in zip(place.views, family.indexes(place.name), strict=True):
            nominal = index.nominals[int(share * len(index.nominals))]
            value = Value(place.name, max(0.1, nominal + offset), 0.025)
            found = view_likelihoods(index, value)
            near = [k for k in index.keys if abs(k[0] - value.value_mm) < 25.0]
            for key in near:
                density = band_density(view_bands(view, *key), value) * view.share
                assert found.get(key, 0.0) == pytest.approx(density)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)
def test_margins_cover_the_slips(family: Family) -> None:
    assert margin_mm(Value("x", 1.0, 0.025)) == pytest.approx(0.6)
    assert margin_mm(Value("x", 1.0, 0.025, 1.0, 0.5)) == pytest.approx(1.1)
    smallest, largest = family.span_mm(0)
    assert 0.0 < smallest < largest


@pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)
@given(value=st.floats(1.0, 600.0))
def test_near_sizes_are_those_within_the_factor(family: Family, value: float) -> None:
    near = family.near(0, value, 1.15)
    expected = {
        position
        for position, size in enumerate(family.sizes)
        if size.nominals[0] is not None and value / 1.15 <= size.nominals[0][0] <= value * 1.15
    }
    assert near.members == expected
    for number, span in enumerate(near.spans):
        nominals = [k[0] for p in expected if (k := family.sizes[p].nominals[number]) is not None]
        assert span == ((min(nominals), max(nominals)) if nominals else None)


def test_a_family_can_be_cut_down_to_some_sizes() -> None:
    whole = seal_family()
    part = Family(
        name="seal",
        dimensions=whole.dimensions,
        sizes=whole.sizes[:10],
        places=tuple(whole.places.values()),
    )
    assert part.total_weight == pytest.approx(sum(s.weight for s in whole.sizes[:10]))
    assert len(part.indexes("shaft")[0].keys) == len({s.nominals[0] for s in whole.sizes[:10]})
