"""Second opinions: agreement is silent, and most digits that slip are told."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.assess.cross_checks import (
    bore_against_designation,
    bore_told,
    face_against_diameter,
    interference_against_diameters,
    pack_against_gap,
    shape_against_series,
    slips_into,
    width_against_pocket,
)

SIZES = st.integers(10_000, 300_000).map(lambda um: um / 1000.0)
STEPS = {
    ("angle", "3"): (13.87, 15.98),
    ("diameter", "D"): (4.4, 4.7),
    ("width", "B"): (0.5, 0.68),
}


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(hole=SIZES, um=st.integers(20, 90))
def test_an_interference_agrees_with_its_own_diameters(hole: float, um: int) -> None:
    shaft = round(hole + um / 1000.0, 3)
    said = interference_against_diameters(
        hole_mm=hole,
        shaft_mm=shaft,
        sure_mm=0.0,
        least_mm=um / 1000.0,
        most_mm=um / 1000.0,
        given="the interference given",
    )
    assert said == ""


def test_most_slips_in_a_diameter_are_told() -> None:
    """One digit another, at random: what stays unseen is a last digit inside the fit's own span."""
    dice, unseen = random.Random(4), 0
    for _ in range(400):
        hole = round(dice.uniform(20.0, 150.0), 2)
        shaft = f"{hole + 0.05:.2f}"
        at = dice.choice([n for n, c in enumerate(shaft) if c.isdigit()])
        other = dice.choice([c for c in "0123456789" if c != shaft[at]])
        unseen += not interference_against_diameters(
            hole_mm=hole,
            shaft_mm=float(f"{shaft[:at]}{other}{shaft[at + 1 :]}"),
            sure_mm=0.005,
            least_mm=0.023,
            most_mm=0.072,
            given="H7/s6",
        )
    assert unseen <= 40


@pytest.mark.parametrize(
    ("shaft", "said"),
    [
        (60.60, "0.59 mm of interference, and H7/s6 is 0.023 to 0.072 mm; 60.06 for 60.6"),
        (59.99, "0.02 mm of clearance, and H7/s6 is 0.023 to 0.072 mm"),
        (6.006, "54.004 mm of clearance, and H7/s6 is 0.023 to 0.072 mm; 60.06 for 6.006 would"),
    ],
)
def test_what_the_two_diameters_make(shaft: float, said: str) -> None:
    found = interference_against_diameters(
        hole_mm=60.01,
        shaft_mm=shaft,
        sure_mm=0.005,
        least_mm=0.023,
        most_mm=0.072,
        given="H7/s6",
    )
    assert said in found


@pytest.mark.parametrize("shaft", [60.026, 60.088])
def test_how_sure_the_reading_is_leaves_room_at_either_end(shaft: float) -> None:
    """Ends of H7/s6 at 60.01 are 60.033 and 60.082; with 0.005 mm and the rounding they reach."""

    def said(sure_mm: float) -> str:
        return interference_against_diameters(
            hole_mm=60.01,
            shaft_mm=shaft,
            sure_mm=sure_mm,
            least_mm=0.023,
            most_mm=0.072,
            given="H7/s6",
        )

    assert said(0.006) == ""
    assert said(0.004) != ""


def test_a_face_is_as_large_as_the_interface() -> None:
    def said(measured_mm: float) -> str:
        return face_against_diameter(
            interface_mm=60.0,
            measured_mm=measured_mm,
            most_share=0.01,
            sure_mm=0.02,
            what="hole",
        )

    assert said(60.6) == said(59.4) == ""
    assert "the hole measures 60.7 mm, which is another part" in said(60.7)
    assert "the hole measures 59.3 mm" in said(59.3)


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(gap=st.integers(100, 5000), play=st.integers(-500, 2000))
def test_any_setting_that_turns_and_is_one_is_possible(gap: int, play: int) -> None:
    pack = (gap + play) / 1000.0
    said = pack_against_gap(
        pack_mm=pack, gap_mm=gap / 1000.0, play_most_mm=2.0, preload_most_mm=0.5
    )
    assert said == ""


def test_a_pack_that_fills_no_such_gap() -> None:
    loose = pack_against_gap(pack_mm=2.61, gap_mm=0.6, play_most_mm=2.0, preload_most_mm=0.5)
    tight = pack_against_gap(pack_mm=0.09, gap_mm=0.6, play_most_mm=2.0, preload_most_mm=0.5)
    assert "would have left 2.01 mm of end play over a gap of 0.6 mm" in loose
    assert "would have left 0.51 mm of preload in a gap of 0.6 mm" in tight


def test_a_seal_does_not_stand_out_of_its_pocket() -> None:
    assert width_against_pocket(width_mm=10.0, pocket_mm=9.9, sure_mm=0.1) == ""
    assert "stand out by 0.2 mm" in width_against_pocket(width_mm=10, pocket_mm=9.8, sure_mm=0.1)


@pytest.mark.parametrize(
    ("designation", "bore"),
    [
        ("30206", 30.0),
        ("302/22", 22.0),
        ("6200", 10.0),
        ("6201", 12.0),
        ("6202", 15.0),
        ("6203", 17.0),
        ("6204", 20.0),
        ("NU 1005", 25.0),
        ("NU 206", 30.0),
        ("NJ 2206", 30.0),
        ("32006 X", 30.0),
        ("LM11949/LM11910", None),
        ("627", None),
        ("", None),
    ],
)
def test_the_bore_that_a_designation_tells(designation: str, bore: float | None) -> None:
    assert bore_told(designation) == bore
    if bore is not None:
        assert bore_against_designation(designation=designation, bore_mm=bore) == ""
        assert bore_against_designation(designation=designation, bore_mm=bore + 1.0)
    else:
        assert bore_against_designation(designation=designation, bore_mm=99.0) == ""


def test_a_shape_against_its_series_code() -> None:
    def wrong(code: str = "3DB", bore: float = 30.0, od: float = 62.0, **more: float) -> set[str]:
        return set(
            shape_against_series(
                code=code,
                bore_mm=bore,
                od_mm=od,
                width_mm=more.get("width"),
                e_factor=more.get("e"),
                steps=STEPS,
            )
        )

    assert wrong(width=17.25, e=0.37) == set()
    assert wrong(od=60.0) == {"od"}
    assert wrong(width=27.25) == {"width"}
    assert wrong(e=0.73) == {"e_factor"}
    # e is tabled to two decimals, and 0.43 still rounds into 3.
    assert wrong(e=0.43) == set()
    assert wrong(code="") == set()
    assert wrong(code="9XX", width=17.25, e=0.37) == {"od", "width", "e_factor"}
    # A diameter that is no larger than the bore has no series at all, and no power of it either.
    assert wrong(od=30.0, width=17.25) == set()


def test_slips() -> None:
    assert slips_into(60.6, low=60.0, high=60.1) == ["60.06 for 60.6"]
    assert slips_into(520.0, low=51.0, high=53.0) == ["52 for 520"]
    assert slips_into(25.0, low=51.0, high=53.0) == ["52 for 25"]
    assert slips_into(52.0, low=51.0, high=53.0) == []
