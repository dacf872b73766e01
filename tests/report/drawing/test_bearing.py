"""Drawings of bearings and pairs against their numbers, over every listed one."""

from __future__ import annotations

import random
from typing import Any

import pytest

from fitcheck.errors import InputError, NotKnownError
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.report.drawing.answers import bearing_drawing, bearing_size
from fitcheck.report.drawing.bearing import bearing_svg
from fitcheck.report.drawing.bearing_shape import BearingDrawing, bearing_shape
from fitcheck.report.drawing.pair import pair_svg
from fitcheck.report.drawing.pair_drawing import POSITIONS, PairDrawing

NEAR = 0.002
SMALL = BearingDrawing("30206", 30.0, 62.0, 17.25, 16.0, 14.0, 0.37)
LARGE = BearingDrawing("32208", 40.0, 80.0, 24.75, 23.0, 19.0, 0.37)
ALL = [bearing_drawing(size) for size in bearing_sizes()]


def reach(points: list[tuple[float, float]], axis: int) -> tuple[float, float]:
    """From where to where points reach along one axis of the paper."""
    return min(p[axis] for p in points), max(p[axis] for p in points)


def assert_rings_to_scale(found: Any, bearing: BearingDrawing, *, scale: float) -> None:
    """The rings of a bearing are as wide and far out as its numbers say."""
    axis = found.part("axis")[0][1]
    cone, cup = found.part(f"cone {bearing.designation}"), found.part(f"cup {bearing.designation}")
    lengths = {
        "T": reach(cone + cup, 0),
        "B": reach(cone, 0),
        "C": reach(cup, 0),
    }
    wanted = {"T": bearing.width_mm, "B": bearing.cone_width_mm, "C": bearing.cup_width_mm}
    wanted["T"] = max(wanted["T"], wanted["B"], wanted["C"])
    for name, (low, high) in lengths.items():
        assert high - low == pytest.approx(wanted[name] * scale, abs=NEAR), name
    height = (bearing.od_mm - bearing.bore_mm) / 2.0
    assert reach(cone, 1)[1] - reach(cup, 1)[0] == pytest.approx(height * scale, abs=NEAR)
    if not any("shaft is shortened" in text for text in found.texts()):
        assert axis - reach(cup, 1)[0] == pytest.approx(bearing.od_mm / 2.0 * scale, abs=NEAR)


def test_30206_is_drawn_to_the_stated_scale(svg: Any) -> None:
    found = svg(bearing_svg(SMALL))
    assert found.scale("Half-section") == 2.0
    assert_rings_to_scale(found, SMALL, scale=2.0)
    assert {"d Ø30", "D Ø62", "T 17.25", "B 16", "C 14"} <= set(found.texts())
    axis, journal = found.part("axis")[0][1], found.part("journal")
    assert axis - journal[-1][1] == pytest.approx(30.0, abs=NEAR)


@pytest.mark.parametrize("part", range(3))
def test_every_listed_bearing_fits_its_paper_and_is_to_scale(svg: Any, part: int) -> None:
    for bearing in ALL[part::3]:
        found = svg(bearing_svg(bearing))
        assert (bearing.designation, found.outside(), found.overlapping()) == (
            bearing.designation,
            [],
            [],
        )
        cup = found.part(f"cup {bearing.designation}".replace("  ", " "))
        low, high = reach(cup, 0)
        scale = found.scale("Half-section")
        assert high - low == pytest.approx(bearing.cup_width_mm * scale, abs=NEAR)


def test_every_listed_bearing_has_a_roller_between_its_raceways() -> None:
    for bearing in ALL:
        shape = bearing_shape(bearing)
        bottom, _, _, top = shape.roller
        height = (bearing.od_mm - bearing.bore_mm) / 2.0
        assert top[1] - bottom[1] > 0.15 * height, bearing.designation
        radii = [r for _, r in (*shape.cone, *shape.cup, *shape.roller)]
        assert min(radii) == pytest.approx(bearing.bore_mm / 2.0), bearing.designation
        assert max(radii) == pytest.approx(bearing.od_mm / 2.0), bearing.designation


def test_the_angle_comes_from_the_factor_e() -> None:
    flat = bearing_shape(BearingDrawing("a", 30.0, 72.0, 20.75, 19.0, 16.0, 0.31))
    steep = bearing_shape(BearingDrawing("b", 30.0, 72.0, 20.75, 19.0, 16.0, 0.83))

    def slope(shape: Any) -> float:
        (x1, r1), (x2, r2) = shape.cup[:2]
        return float((r1 - r2) / (x2 - x1))

    assert slope(flat) == pytest.approx(0.31 / 1.5)
    assert slope(flat) < slope(steep) <= 0.83 / 1.5 + 1e-9


@pytest.mark.parametrize("position", ["", *POSITIONS])
def test_a_pair_is_to_scale_wherever_its_shims_sit(svg: Any, position: str) -> None:
    found = svg(pair_svg(PairDrawing(SMALL, LARGE, position=position, pack_mm=0.43)))
    assert (found.outside(), found.overlapping()) == ([], [])
    scale = found.scale("Half-section")
    for bearing in (SMALL, LARGE):
        assert_rings_to_scale(found, bearing, scale=scale)
    assert ("shims 0.43" in found.texts()) == bool(position)
    assert len(found.parts("shims")) == (1 if position else 0)
    # Face to face the back of the outer cup looks out to the shaft end, back to back that of the
    # cone does.
    cone, cup = (reach(found.part(f"{ring} 30206"), 0) for ring in ("cone", "cup"))
    assert (cup[0] < cone[0]) == (position in ("cap", "retainer"))
    words = "face to face" if position in ("cap", "retainer") else "back to back"
    assert words in found.description


def test_any_two_bearings_make_a_pair_that_fits_its_paper(svg: Any) -> None:
    drawn = random.Random(7)
    for number in range(150):
        position = ("", *POSITIONS)[number % 5]
        pair = PairDrawing(*drawn.sample(ALL, 2), position=position, pack_mm=0.43)
        found = svg(pair_svg(pair))
        names = (pair.outer.designation, pair.inner.designation, position)
        assert (names, found.outside(), found.overlapping()) == (names, [], [])


@pytest.mark.parametrize(
    "bad",
    [
        BearingDrawing("x", 62.0, 30.0, 17.0, 16.0, 14.0),
        BearingDrawing("x", 30.0, 62.0, 0.0, 16.0, 14.0),
        BearingDrawing("x", 30.0, 62.0, 17.0, 40.0, 14.0),
        BearingDrawing("x", 30.0, float("inf"), 17.0, 16.0, 14.0),
    ],
)
def test_dimensions_no_bearing_has_are_refused(bad: BearingDrawing) -> None:
    with pytest.raises(InputError, match="no tapered bearing has these dimensions"):
        bearing_svg(bad)
    with pytest.raises(InputError, match="no tapered bearing has these dimensions"):
        pair_svg(PairDrawing(SMALL, bad))


def test_shims_sit_in_one_of_four_places() -> None:
    with pytest.raises(InputError, match="one of four places"):
        pair_svg(PairDrawing(SMALL, LARGE, position="nut"))


def test_a_bearing_is_found_by_its_designation_however_it_is_spaced() -> None:
    assert bearing_size("32018x").label == "32018 X"
    assert bearing_size("lm11949 / lm11910").label == "LM11949/LM11910"
    with pytest.raises(NotKnownError, match="Nearest: "):
        bearing_size("3O206")


def test_hostile_titles_are_text(svg: Any) -> None:
    title = '<svg onload="x">' + "w" * 300
    found = svg(bearing_svg(SMALL, title=title))
    assert (found.outside(), found.overlapping()) == ([], [])
    assert title in found.title
    assert svg(pair_svg(PairDrawing(SMALL, LARGE, title=title))).outside() == []
