"""Ball, cylindrical and needle bearings: designations by rule, series against each other."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.parts import ball, needle, roller
from fitcheck.parts.kind import kind_family
from fitcheck.parts.rolling import RING_LIMITS
from fitcheck.readings import read
from fitcheck.tables import Row, table

BALL = {row.text("designation"): row for row in table("ball/sizes").rows}
ROLLER = {row.text("designation"): row for row in table("roller/sizes").rows}
NEEDLE = {row.text("designation"): row for row in table("needle/sizes").rows}
TAPERED = {row.text("designation"): row for row in table("tapered/metric").rows}
CODES = {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}


def bore_of(code: str) -> float:
    """The bore [mm] that a designation's code stands for."""
    if code.startswith("/"):
        return float(code[1:])
    return CODES.get(code, float(code) * (5.0 if len(code) == 2 else 1.0))


def code_of(row: Row) -> str:
    return row.text("designation").replace(" ", "").removeprefix(row.text("series"))


def by_bore(rows: dict[str, Row], series: str) -> dict[float, Row]:
    return {r.number("bore_mm"): r for r in rows.values() if r.text("series") == series}


@pytest.mark.parametrize("rows", [BALL, ROLLER], ids=["ball", "roller"])
def test_the_bore_code_says_the_bore(rows: dict[str, Row]) -> None:
    for row in rows.values():
        assert bore_of(code_of(row)) == row.number("bore_mm"), row.text("designation")
        assert row.number("bore_mm") < row.number("od_mm")
        section = row.number("od_mm") - row.number("bore_mm")
        assert 0.25 * section < row.number("width_mm") < 1.2 * section


@pytest.mark.parametrize("rows", [BALL, ROLLER], ids=["ball", "roller"])
def test_a_series_grows(rows: dict[str, Row]) -> None:
    for series in {row.text("series") for row in rows.values()}:
        found = sorted(by_bore(rows, series).items())
        for (_, before), (_, after) in pairwise(found):
            assert before.number("od_mm") < after.number("od_mm")
            assert before.number("width_mm") <= after.number("width_mm")


@pytest.mark.parametrize(("one", "other"), [("60", "160"), ("62", "622"), ("63", "623")], ids=str)
def test_series_of_one_diameter_series_share_it(one: str, other: str) -> None:
    common = by_bore(BALL, one).keys() & by_bore(BALL, other).keys()
    assert len(common) >= 10
    for bore in common:
        first, second = by_bore(BALL, one)[bore], by_bore(BALL, other)[bore]
        assert first.number("od_mm") == second.number("od_mm")
        narrow, wide = (second, first) if other == "160" else (first, second)
        assert narrow.number("width_mm") < wide.number("width_mm")


def test_the_diameter_series_follow_each_other() -> None:
    for lighter, heavier in pairwise(["618", "619", "60", "62", "63", "64"]):
        one, other = by_bore(BALL, lighter), by_bore(BALL, heavier)
        for bore in one.keys() & other.keys():
            assert one[bore].number("od_mm") < other[bore].number("od_mm")
            assert one[bore].number("width_mm") <= other[bore].number("width_mm")


@pytest.mark.parametrize(("series", "ball_series"), [("NU10", "60"), ("NU2", "62"), ("NU3", "63")])
def test_cylindrical_bearings_have_the_envelope_of_ball_bearings(
    series: str, ball_series: str
) -> None:
    for bore, row in by_bore(ROLLER, series).items():
        other = by_bore(BALL, ball_series)[bore]
        assert row.number("od_mm") == other.number("od_mm")
        assert row.number("width_mm") == other.number("width_mm")


@pytest.mark.parametrize(("wide", "narrow"), [("NU22", "NU2"), ("NU23", "NU3")])
def test_wide_rollers_run_on_the_raceway_of_the_narrow_ones(wide: str, narrow: str) -> None:
    for bore, row in by_bore(ROLLER, wide).items():
        other = by_bore(ROLLER, narrow).get(bore)
        if other is not None:
            assert row.maybe("raceway_mm") == other.maybe("raceway_mm")
            assert row.number("width_mm") > other.number("width_mm")


def test_a_raceway_lies_between_bore_and_outside() -> None:
    for row in ROLLER.values():
        raceway = row.maybe("raceway_mm")
        if raceway is not None:
            share = (raceway - row.number("bore_mm")) / (
                row.number("od_mm") - row.number("bore_mm")
            )
            assert 0.15 < share < 0.33, row.text("designation")


@pytest.mark.parametrize(
    ("tapered", "rows", "series"),
    [
        ("302", BALL, "62"),
        ("303", BALL, "63"),
        ("322", ROLLER, "NU22"),
        ("323", ROLLER, "NU23"),
    ],
    ids=["302", "303", "322", "323"],
)
def test_cones_share_the_series_of_iso_15(tapered: str, rows: dict[str, Row], series: str) -> None:
    """ISO 355 takes bore, outside diameter and cone width of these series from ISO 15."""
    known = by_bore(rows, series)
    compared = 0
    for row in TAPERED.values():
        other = known.get(row.number("bore_mm"))
        # Outside the middle of the series tapered bearings have widths of their own.
        if row.text("series") != tapered or other is None or not 20 <= row.number("bore_mm") <= 100:
            continue
        if " " in row.text("designation"):
            continue
        assert row.number("od_mm") == other.number("od_mm"), row.text("designation")
        assert row.number("cone_width_mm") == other.number("width_mm"), row.text("designation")
        compared += 1
    assert compared >= 12


def test_needle_bearings_share_diameters_with_thin_ball_bearings() -> None:
    for series, ball_series in (("NA49", "619"), ("NA69", "619"), ("NA48", "618")):
        known = by_bore(BALL, ball_series)
        for bore, row in by_bore(NEEDLE, series).items():
            if bore in known:
                assert row.number("od_mm") == known[bore].number("od_mm"), row.text("designation")


def test_a_needle_bearing_without_inner_ring_is_the_same_without_its_bore() -> None:
    for name, row in NEEDLE.items():
        if name.startswith("NA"):
            other = NEEDLE["R" + name]
            assert other.maybe("bore_mm") is None
            for column in ("raceway_mm", "od_mm", "width_mm"):
                assert row.number(column) == other.number(column)
            assert row.number("bore_mm") < row.number("raceway_mm") < row.number("od_mm")


def test_a_drawn_cup_says_its_raceway_and_width() -> None:
    for name, row in NEEDLE.items():
        if row.text("series") in ("HK", "BK"):
            digits = name[3:]
            assert (float(digits[:2]), float(digits[2:])) == (
                row.number("raceway_mm"),
                row.number("width_mm"),
            )
            wall = (row.number("od_mm") - row.number("raceway_mm")) / 2.0
            assert 1.5 <= wall <= 4.0
            if row.text("series") == "BK":
                assert NEEDLE["HK " + digits].number("od_mm") == row.number("od_mm")


def test_limits_are_minus_and_the_width_goes_by_the_bore() -> None:
    assert RING_LIMITS["bore"](30.0, "metric") == pytest.approx((-0.010, 0.0))
    assert RING_LIMITS["od"](62.0, "metric") == pytest.approx((-0.013, 0.0))
    assert RING_LIMITS["width"](16.0, "metric@60") == pytest.approx((-0.150, 0.0))


@pytest.mark.parametrize(
    ("family", "texts", "expected"),
    [
        ("ball", {"bore": "25", "od": "52", "width": "15"}, "6205"),
        ("ball", {"bore": "29.99@micrometer", "od": "72", "width": "19"}, "6306"),
        ("roller", {"bore": "25", "od": "52", "width": "18"}, "NU 2205"),
        ("needle", {"bore": "25", "od": "42", "width": "17"}, "NA 4905"),
        ("needle", {"raceway": "25.01@micrometer", "od": "32.02", "width": "20"}, "HK 2520"),
    ],
)
def test_a_bearing_is_found(family: str, texts: dict[str, str], expected: str) -> None:
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(kind_family(family), readings)
    assert found.candidates[0].size.label == expected


def test_marks() -> None:
    assert list(ball.mark_forms(ball.sizes()[0]))
    assert "NU205" in {f for size in roller.sizes() for f in roller.mark_forms(size)}
    assert "HK2516" in {f for size in needle.sizes() for f in needle.mark_forms(size)}
