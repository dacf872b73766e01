"""Densities of readings: checked against numerical integration."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.accounts import Account, Value, accounts
from fitcheck.likelihood import (
    account_likelihoods,
    band_density,
    margin_mm,
)
from fitcheck.parts.family import Band
from fitcheck.parts.seal import seal_family
from fitcheck.readings import read
from fitcheck.unlisted import spreads, unlisted_density

BAND = (Band(35.0, 35.05, 20.0, "clean"),)


def integral(bands: tuple[Band, ...], value: Value, low: float, high: float, step: float) -> float:
    """The density summed over values from low to high."""
    count = round((high - low) / step)
    return step * sum(
        band_density(bands, Value(value.place, low + (i + 0.5) * step, value.error_mm))
        for i in range(count)
    )


def test_a_density_integrates_to_its_prior() -> None:
    value = Value("shaft", 35.0, 0.025)
    assert integral(BAND, value, 34.0, 36.0, 0.002) == pytest.approx(1.0, abs=1e-5)
    two = (Band(35.0, 35.05, 0.9 / 0.05, "clean"), Band(35.5, 35.56, 0.1 / 0.06, "earlier-sleeve"))
    assert integral(two, value, 34.0, 36.5, 0.002) == pytest.approx(1.0, abs=1e-5)


def test_one_bad_reading_cannot_rule_everything_out() -> None:
    inside = band_density(BAND, Value("shaft", 35.02, 0.025))
    off = band_density(BAND, Value("shaft", 35.3, 0.025))
    assert 0.0 < off < inside * 1e-2
    assert band_density(BAND, Value("shaft", 35.05 + 4 * 6 * 0.025 + 0.01, 0.025)) == 0.0


def test_the_factor_restates_a_density() -> None:
    plain = band_density(BAND, Value("shaft", 35.02, 0.025))
    assert band_density(BAND, Value("shaft", 35.02, 0.025, 25.4)) == pytest.approx(25.4 * plain)


@pytest.mark.parametrize("centre", [34.0, 34.5, 34.52, 35.0, 35.53, 36.0])
def test_a_rounded_reading_has_the_probability_of_its_cell(centre: float) -> None:
    exact = integral(BAND, Value("shaft", 0.0, 0.025), centre - 0.5, centre + 0.5, 0.001)
    rounded = band_density(BAND, Value("shaft", centre, 0.025, 1.0, 0.5))
    assert rounded == pytest.approx(exact, abs=2e-4)


@given(st.floats(30, 40), st.floats(0.005, 0.5), st.sampled_from([0.0, 0.5, 25.4 / 32]))
def test_a_density_is_finite_and_never_negative(x: float, error: float, half: float) -> None:
    value = Value("shaft", x, error, 1.0, half)
    density = band_density(BAND, value)
    assert 0.0 <= density < math.inf
    if not BAND[0].low_mm - margin_mm(value) < x < BAND[0].high_mm + margin_mm(value):
        assert density == 0.0


def plain_account(**numbers: float) -> Account:
    """The readings as given, by a caliper."""
    readings = {
        place.replace("_", "-"): read(place=place, texts=(f"{number}",))
        for place, number in numbers.items()
    }
    return accounts(readings, ())[0]


def test_a_size_gets_the_product_of_its_places() -> None:
    family = seal_family()
    found = account_likelihoods(family, plain_account(shaft=34.92, bore=52.02))
    position = next(i for i, s in enumerate(family.sizes) if s.label == "35 x 52 x 7")
    expected = 1.0
    for place, number in (("shaft", 34.92), ("bore", 52.02)):
        index = family.indexes(place)[0]
        key = family.sizes[position].nominals[0 if place == "shaft" else 1]
        assert key is not None
        bands = index.bands(index.positions[key])
        expected *= band_density(bands, Value(place, number, 0.025))
    assert found[position] == pytest.approx(expected)
    assert all(density > 0.0 for density in found.values())


def test_a_place_that_fits_no_size_leaves_none() -> None:
    assert account_likelihoods(seal_family(), plain_account(shaft=34.92, bore=2000.0)) == {}


def test_the_spreads_of_unlisted_nominals_add_up() -> None:
    assert sum(kind.share for kind in spreads()) == pytest.approx(1.0)
    assert {kind.kind: kind.step_mm for kind in spreads()} == {
        "listed": 0.0,
        "millimetre": 1.0,
        "sixteenth": pytest.approx(1.5875),
        "anywhere": 0.0,
    }


def test_the_unlisted_density_of_one_reading_integrates_to_one() -> None:
    family = seal_family()
    low, high = 2.0, 700.0
    count = 20000
    ratio = (high / low) ** (1 / count)
    total = 0.0
    for i in range(count):
        x = low * ratio ** (i + 0.5)
        # A wide error makes the density smooth enough for this grid.
        account = Account("as-given", 1.0, (Value("old-width", x, 0.2),))
        total += unlisted_density(family, account) * x * (ratio - 1.0)
    assert total == pytest.approx(1.0, abs=0.05)


def test_an_unlisted_size_has_the_proportions_of_listed_ones() -> None:
    family = seal_family()
    usual = unlisted_density(family, plain_account(shaft=140.0, bore=170.0))
    odd = unlisted_density(family, plain_account(shaft=140.0, bore=400.0))
    reverse = unlisted_density(family, plain_account(shaft=170.0, bore=140.0))
    assert usual > 10.0 * odd > 0.0
    assert usual > 10.0 * reverse > 0.0


def test_two_places_of_one_dimension_must_agree() -> None:
    family = seal_family()
    agree = unlisted_density(family, plain_account(bore=62.3, old_od=62.45))
    differ = unlisted_density(family, plain_account(bore=62.3, old_od=66.0))
    assert agree > 0.0
    assert differ < agree * 1e-6
