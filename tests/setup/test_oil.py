"""Oil in a hub: level and share, growth, pressure, and the lip's limit."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import DataError, InputError
from fitcheck.setup.oil import (
    cylinder_volume_l,
    fill_at_pressure,
    head_space_pressure_bar,
    lip_limit_row,
    oil_row,
    segment_fraction,
    segment_level_mm,
    warm_fraction,
)

DIAMETERS = st.floats(20, 2000)
SHARES = st.floats(0.001, 0.999)


def pressure(fill: float, *, from_c: float = 20.0, to_c: float = 80.0) -> float:
    return head_space_pressure_bar(
        fill_fraction=fill,
        from_c=from_c,
        to_c=to_c,
        expansion=0.0007,
        atmosphere_bar=1.01325,
    )


def most(limit: float, *, from_c: float = 20.0, to_c: float = 80.0) -> float:
    return fill_at_pressure(
        pressure_bar=limit,
        from_c=from_c,
        to_c=to_c,
        expansion=0.0007,
        atmosphere_bar=1.01325,
    )


@given(DIAMETERS)
def test_a_level_at_half_height_is_half(diameter: float) -> None:
    half = segment_fraction(level_mm=diameter / 2, diameter_mm=diameter)
    assert half == pytest.approx(0.5)
    assert segment_fraction(level_mm=0.0, diameter_mm=diameter) == pytest.approx(0.0)
    assert segment_fraction(level_mm=diameter, diameter_mm=diameter) == pytest.approx(1.0)


@given(DIAMETERS, SHARES)
def test_oil_and_air_fill_the_circle(diameter: float, share: float) -> None:
    oil = segment_fraction(level_mm=share * diameter, diameter_mm=diameter)
    air = segment_fraction(level_mm=(1 - share) * diameter, diameter_mm=diameter)
    assert oil + air == pytest.approx(1.0)


@given(DIAMETERS, SHARES)
def test_level_and_share_undo_each_other(diameter: float, share: float) -> None:
    level = segment_level_mm(fill_fraction=share, diameter_mm=diameter)
    again = segment_fraction(level_mm=level, diameter_mm=diameter)
    assert again == pytest.approx(share, abs=1e-6)


def test_a_quarter_of_the_height_is_a_fifth_of_the_circle() -> None:
    # 1/3 - sqrt(3)/(4 pi), by hand from the sector less the triangle.
    by_hand = 1.0 / 3.0 - math.sqrt(3.0) / (4.0 * math.pi)
    assert segment_fraction(level_mm=25.0, diameter_mm=100.0) == pytest.approx(by_hand)


def test_volume_of_a_litre() -> None:
    side = 100.0 * math.sqrt(4.0 / math.pi)
    assert cylinder_volume_l(diameter_mm=side, length_mm=100.0) == pytest.approx(1.0)


@given(st.floats(0.001, 0.95))
def test_more_oil_means_more_pressure(fill: float) -> None:
    assert pressure(fill * 0.99) < pressure(fill)


@given(st.floats(0.0, 1.0, exclude_max=True))
def test_nothing_happens_without_heat(fill: float) -> None:
    assert pressure(fill, to_c=20.0) == pytest.approx(0.0, abs=1e-12)


def test_an_empty_hub_is_a_closed_vessel_of_air() -> None:
    assert pressure(0.0) == pytest.approx(1.01325 * (353.15 / 293.15 - 1.0))


def test_cooling_draws_a_vacuum() -> None:
    assert -1.01325 < pressure(0.5, from_c=80.0, to_c=20.0) < 0.0


def test_no_head_space_is_no_finite_pressure() -> None:
    edge = 1.0 / 1.042
    assert math.isfinite(pressure(edge - 1e-6))
    assert pressure(edge + 1e-6) == math.inf
    assert pressure(1.0) == math.inf


@given(st.floats(0.21, 5.0))
def test_the_most_that_may_be_filled_reaches_the_limit(limit: float) -> None:
    assert pressure(most(limit)) == pytest.approx(limit)


def test_where_heated_air_alone_is_too_much_nothing_may_be_filled() -> None:
    assert most(0.2) == 0.0
    assert most(0.2, to_c=10.0) == 1.0


def test_warm_oil_takes_more_room() -> None:
    warm = warm_fraction(fill_fraction=0.5, warmer_k=60, expansion=0.0007)
    assert warm == pytest.approx(0.521)


@pytest.mark.parametrize(
    ("shaft", "limit"), [(10, 0.6), (74.999, 0.6), (75, 0.6), (75.001, 0.3), (300, 0.3)]
)
def test_the_lip_holds_less_on_a_large_shaft(shaft: float, limit: float) -> None:
    row = lip_limit_row(shaft_mm=shaft)
    assert row.number("max_bar") == limit
    assert row.evidence == "seen"


@pytest.mark.parametrize("fill", [-0.1, 1.001, math.nan])
def test_a_share_outside_zero_to_one_is_refused(fill: float) -> None:
    with pytest.raises(InputError, match="from 0 to 1"):
        pressure(fill)
    with pytest.raises(InputError, match="from 0 to 1"):
        segment_level_mm(fill_fraction=fill, diameter_mm=100)


@pytest.mark.parametrize(
    ("level", "words"), [(-1.0, "measured up"), (100.001, "above the top"), (200, "above the top")]
)
def test_a_level_outside_the_cavity_is_refused(level: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        segment_fraction(level_mm=level, diameter_mm=100.0)


def test_sizes_of_nothing_are_refused() -> None:
    with pytest.raises(InputError, match="diameter is larger than zero"):
        segment_fraction(level_mm=0.0, diameter_mm=0.0)
    with pytest.raises(InputError, match="length is larger than zero"):
        cylinder_volume_l(diameter_mm=10.0, length_mm=0.0)
    with pytest.raises(InputError, match="colder"):
        pressure(0.5, from_c=-300.0)
    with pytest.raises(DataError, match="the table oil/limits has no such limit or value"):
        oil_row("nothing")
