"""A seal's drawing against its numbers, over every listed size, and with whatever was read."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.parts.seal import seal_sizes
from fitcheck.report.drawing.answers import standard_seat
from fitcheck.report.drawing.seal import seal_svg
from fitcheck.report.drawing.seal_detail import detail_scales
from fitcheck.report.drawing.seal_layout import (
    CHAMFER_DEG,
    SealDrawing,
    SleeveDrawing,
    Standard,
    groove_profile,
    seal_layout,
)

NEAR = 0.002


def drawing(**given: Any) -> SealDrawing:
    """The seal 35 x 52 x 7 with what is given of its seat."""
    return SealDrawing("35 x 52 x 7", 35.0, 52.0, 7.0, **given)


def drawn(svg: Any, **given: Any) -> Any:
    """Its drawing, read back and found clean."""
    found = svg(seal_svg(drawing(**given)))
    assert (found.outside(), found.overlapping()) == ([], [])
    return found


def span(points: list[tuple[float, float]], axis: int) -> float:
    """How far points reach along one axis of the paper."""
    return max(p[axis] for p in points) - min(p[axis] for p in points)


# --- the size -----------------------------------------------------------------------------------


def test_35_x_52_x_7_is_drawn_35_x_52_x_7_to_the_stated_scale(svg: Any) -> None:
    found = drawn(svg)
    scale = found.scale("Half-section")
    assert scale == 2.0
    axis = found.part("axis")[0][1]
    counterface = found.part("counterface")[0][1]
    bore = min(y for _, y in found.part("case"))
    assert axis - counterface == pytest.approx(35.0 / 2.0 * scale, abs=NEAR)
    assert axis - bore == pytest.approx(52.0 / 2.0 * scale, abs=NEAR)
    assert span(found.part("case"), 0) == pytest.approx(7.0 * scale, abs=NEAR)
    # The lip's edge stands on the shaft, and the case in the bore.
    assert max(y for _, y in found.part("rubber")) == pytest.approx(counterface, abs=NEAR)
    assert any(y == pytest.approx(bore, abs=NEAR) for _, y in found.part("seat"))
    assert {"Ø35", "Ø52", "7"} <= set(found.texts())


def test_a_scale_bar_is_as_long_as_it_says(svg: Any) -> None:
    found = drawn(svg)
    assert span(found.part("scale bar"), 0) == pytest.approx(10.0 * 2.0, abs=NEAR)
    assert "10 mm" in found.texts()


def test_the_paper_is_120_mm_wide(svg: Any) -> None:
    found = drawn(svg)
    assert found.root.attrib["width"] == "120mm"
    assert found.width == 120.0
    assert found.root.attrib["height"] == f"{found.height:g}mm"


def test_a_rubber_case_reaches_the_bore_too(svg: Any) -> None:
    found = drawn(svg, rubber_case=True)
    axis = found.part("axis")[0][1]
    assert axis - min(y for _, y in found.part("cover")) == pytest.approx(52.0, abs=NEAR)
    assert span(found.part("cover"), 0) == pytest.approx(14.0, abs=NEAR)


# --- the seat -----------------------------------------------------------------------------------


def test_pocket_and_chamfer_lie_where_the_readings_say(svg: Any) -> None:
    found = drawn(svg, pocket_mm=9.4, bore_chamfer_mm=1.2)
    face, knee, shoulder = (found.part("seat")[i][0] for i in (1, 2, 3))
    assert knee - face == pytest.approx(1.2 * 2.0, abs=NEAR)
    assert shoulder - face == pytest.approx(9.4 * 2.0, abs=NEAR)
    # The seal is pressed in past the chamfer.
    assert min(x for x, _ in found.part("case")) == pytest.approx(knee, abs=NEAR)
    assert {"9.4", "1.2"} <= set(found.texts())


def test_a_shallow_pocket_seats_the_seal_on_its_shoulder(svg: Any) -> None:
    found = drawn(svg, pocket_mm=7.5, bore_chamfer_mm=1.2)
    shoulder = found.part("seat")[3][0]
    assert max(x for x, _ in found.part("case")) == pytest.approx(shoulder, abs=NEAR)


def test_room_beyond_the_seal_is_free(svg: Any) -> None:
    found = drawn(svg, room_mm=3.0, standard=Standard(8.5, 1.0, 32.0))
    shoulder = found.part("seat")[3][0]
    end = max(x for x, _ in found.part("case"))
    assert shoulder - end == pytest.approx(3.0 * 2.0, abs=NEAR)
    assert "11" in found.texts()


def test_what_the_standard_asks_stands_in_brackets(svg: Any) -> None:
    found = drawn(svg, standard=standard_seat(shaft_mm=35.0, width_mm=7.0))
    assert {"(8.2)", "(0.7)"} <= set(found.texts())
    assert "In brackets: what the standard asks, not measured." in " ".join(found.texts())


def test_the_shaft_end_is_chamfered_to_its_small_end(svg: Any) -> None:
    found = drawn(svg, lip_at_mm=14.0, shaft_end_mm=31.8)
    surface, axis = found.part("counterface"), found.part("axis")[0][1]
    (end_x, end_y), (knee_x, knee_y) = surface[:2]
    assert axis - end_y == pytest.approx(31.8, abs=NEAR)
    assert axis - knee_y == pytest.approx(35.0, abs=NEAR)
    length = (35.0 - 31.8) / 2.0 / math.tan(math.radians(CHAMFER_DEG))
    assert knee_x - end_x == pytest.approx(length * 2.0, abs=NEAR)
    lip_x = max(found.part("rubber"), key=lambda p: p[1])[0]
    assert lip_x - end_x == pytest.approx(14.0 * 2.0, abs=NEAR)
    assert "14" in found.texts()


# --- the worn track -----------------------------------------------------------------------------

WORN = {
    "land_mm": 34.98,
    "groove_depth_mm": 0.14,
    "groove_width_mm": 1.6,
    "lip_at_mm": 18.0,
}


def test_a_groove_is_as_deep_and_wide_as_it_was_read(svg: Any) -> None:
    found = drawn(svg, **WORN)
    scale = found.scale("Detail Z")
    groove = found.part("groove")
    assert span(groove, 1) == pytest.approx(0.14 * scale, abs=NEAR)
    land = groove[0][1]
    sunk = [x for x, y in groove[1:-1]]
    assert max(sunk) - min(sunk) == pytest.approx(1.6 * scale, abs=NEAR)
    deepest = max(groove, key=lambda p: p[1])
    assert deepest[1] - land == pytest.approx(0.14 * scale, abs=NEAR)
    assert {"groove 0.14", "1.6"} <= set(found.texts())
    # In the half-section it is true as well, though too small to be seen there.
    counterface = found.part("counterface")
    assert span(counterface[1:], 1) == pytest.approx(0.14 * 2.0, abs=NEAR)


def test_the_groove_lies_where_the_lip_ran(svg: Any) -> None:
    found = drawn(svg, **WORN)
    counterface = found.part("counterface")
    deepest = max(counterface, key=lambda p: p[1])[0]
    assert deepest - counterface[0][0] == pytest.approx(18.0 * 2.0, abs=NEAR)
    x, y, _ = found.circle("detail mark")
    assert (x, y) == pytest.approx((deepest, counterface[1][1]), abs=NEAR)


def test_a_groove_too_shallow_for_one_scale_has_two_and_says_so(svg: Any) -> None:
    worn = drawing(groove_depth_mm=0.02, groove_width_mm=2.5)
    along, off = detail_scales(worn, seal_layout(worn))
    assert off > along
    found = svg(seal_svg(worn))
    assert f"Detail Z along the axis {along:g}:1, off it {off:g}:1" in found.texts()
    assert (found.scale("Along"), found.scale("Off")) == (along, off)
    groove = found.part("groove")
    assert span(groove, 1) == pytest.approx(0.02 * off, abs=NEAR)
    assert span(groove[1:-1], 0) == pytest.approx(2.5 * along, abs=NEAR)
    assert span(groove, 1) >= 1.5


def test_a_thin_sleeve_lies_where_it_is_driven_to(svg: Any) -> None:
    found = drawn(svg, **WORN, sleeve=SleeveDrawing(wall_mm=0.254, width_mm=13.0, near_mm=10.0))
    scale, end = found.scale("Half-section"), found.part("counterface")[0][0]
    sleeve = found.part("sleeve")
    assert min(x for x, _ in sleeve) - end == pytest.approx(10.0 * scale, abs=NEAR)
    assert max(x for x, _ in sleeve) - end == pytest.approx(23.0 * scale, abs=NEAR)
    assert span(sleeve, 1) == pytest.approx(0.254 * scale, abs=NEAR)
    assert span(found.part("sleeve detail"), 1) == pytest.approx(
        0.254 * found.scale("Detail Z"), abs=NEAR
    )
    # The lip runs on it, and the shaft is where it was.
    assert max(y for _, y in found.part("rubber")) == pytest.approx(
        min(y for _, y in sleeve), abs=NEAR
    )
    assert {"sleeve 0.254", "10", "23", "18"} <= set(found.texts())


def test_filler_fills_the_groove(svg: Any) -> None:
    sleeve = SleeveDrawing(wall_mm=0.254, width_mm=13.0)
    assert drawn(svg, **WORN, sleeve=sleeve).parts("filler") == []
    filled = drawn(svg, **WORN, sleeve=sleeve, filled=True)
    assert span(filled.part("filler"), 1) == pytest.approx(
        0.14 * filled.scale("Detail Z"), abs=NEAR
    )


def test_a_thick_sleeve_stands_on_the_turned_shaft(svg: Any) -> None:
    sleeve = SleeveDrawing(wall_mm=2.0, width_mm=6.0, turned_mm=31.0)
    found = drawn(svg, **WORN, sleeve=sleeve)
    axis, scale = found.part("axis")[0][1], found.scale("Half-section")
    ring = found.part("sleeve")
    assert axis - max(y for _, y in ring) == pytest.approx(31.0 / 2.0 * scale, abs=NEAR)
    assert axis - min(y for _, y in ring) == pytest.approx(35.0 / 2.0 * scale, abs=NEAR)
    # Turning takes the groove away, so there is no detail of it.
    assert found.parts("groove") == []


@pytest.mark.parametrize("shift", [2.6, -2.6])
def test_a_moved_lip_stands_beside_its_old_track(svg: Any, shift: float) -> None:
    found = drawn(svg, **WORN, shift_mm=shift, pocket_mm=13.0)
    scale = found.scale("Half-section")
    new = max(found.part("rubber"), key=lambda p: p[1])[0]
    old = max(found.part("old lip"), key=lambda p: p[1])[0]
    track = max(found.part("counterface")[1:], key=lambda p: p[1])[0]
    assert new - old == pytest.approx(shift * scale, abs=NEAR)
    assert old == pytest.approx(track, abs=NEAR)
    assert "2.6" in found.texts()
    assert ("deeper" if shift > 0 else "outward") in found.description


# --- large and far ------------------------------------------------------------------------------


def test_a_large_shaft_is_broken_and_its_seal_still_to_scale(svg: Any) -> None:
    found = svg(seal_svg(SealDrawing("450 x 500 x 25", 450.0, 500.0, 25.0)))
    scale = found.scale("Half-section")
    land, bore = found.part("counterface")[0][1], min(y for _, y in found.part("case"))
    assert land - bore == pytest.approx(25.0 * scale, abs=NEAR)
    assert span(found.part("case"), 0) == pytest.approx(25.0 * scale, abs=NEAR)
    assert found.part("axis")[0][1] - land < 225.0 * scale
    assert any("shortened between the break lines" in text for text in found.texts())
    assert {"Ø450", "Ø500"} <= set(found.texts())


def test_a_shaft_end_far_away_is_broken_off_and_its_distance_given(svg: Any) -> None:
    found = drawn(svg, lip_at_mm=300.0, shaft_end_mm=31.8)
    assert "300" in found.texts()
    assert found.scale("Half-section") == 2.0
    assert any("shortened between the break lines" in text for text in found.texts())


def test_an_inch_seal_has_inches_on_it(svg: Any) -> None:
    inch = SealDrawing("1.375 x 2.125 x 0.313 in", 34.925, 53.975, 7.9502, unit="in")
    found = svg(seal_svg(inch))
    assert {"Ø1.375", "Ø2.125", "0.313"} <= set(found.texts())
    assert any(text.startswith("Dimensions in inches.") for text in found.texts())
    # The bar is as long as it says, in inches.
    bar_in = 0.2
    assert f"{bar_in:g} in" in found.texts()
    scale = found.scale("Half-section")
    assert span(found.part("scale bar"), 0) == pytest.approx(bar_in * 25.4 * scale, abs=NEAR)
    assert not any(text.endswith(" mm") for text in found.texts())


# --- every size and any readings ------------------------------------------------------------------


def _variants(shaft: float, width: float) -> list[dict[str, Any]]:
    """Seats of every kind, in proportion to a seal."""
    ring = min(2.0, shaft / 10.0)
    return [
        {},
        {
            "groove_depth_mm": 0.15,
            "groove_width_mm": 1.5,
            "lip_at_mm": 18.0,
            "room_mm": 1.0,
            "sleeve": SleeveDrawing(0.254, 13.0, 8.0),
            "filled": True,
        },
        {
            "groove_depth_mm": 0.03,
            "groove_width_mm": 2.0,
            "shift_mm": 2.8,
            "pocket_mm": width + 4.0,
            "lip_at_mm": 60.0,
            "bore_chamfer_mm": 1.1,
            "shaft_end_mm": shaft * 0.9,
        },
        {"groove_depth_mm": 0.3, "shift_mm": -2.8, "lip_at_mm": 60.0, "rubber_case": True},
        {"sleeve": SleeveDrawing(ring, 6.0, None, shaft - 2.0 * ring), "groove_depth_mm": 0.5},
        {"shaft_end_mm": shaft * 0.9},
    ]


@pytest.mark.parametrize("part", range(4))
def test_every_listed_size_fits_its_paper_and_keeps_its_figures_apart(svg: Any, part: int) -> None:
    for number, size in enumerate(seal_sizes()):
        if number % 4 != part:
            continue
        shaft, bore, width = (nominal[0] for nominal in size.nominals if nominal)
        variants = _variants(shaft, width)
        text = seal_svg(
            SealDrawing(
                size.label,
                shaft,
                bore,
                width,
                unit="mm" if size.system == "metric" else "in",
                standard=standard_seat(shaft_mm=shaft, width_mm=width),
                **variants[number // 4 % len(variants)],
            )
        )
        found = svg(text)
        assert (size.label, found.outside(), found.overlapping()) == (size.label, [], [])
        scale = found.scale("Half-section")
        case = found.part("case") + [p for cover in found.parts("cover") for p in cover]
        assert span(case, 0) == pytest.approx(width * scale, abs=NEAR)


def _maybe(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.one_of(st.none(), st.floats(low, high))


READ = st.fixed_dictionaries(
    {
        "land_mm": st.floats(34.0, 35.2),
        "groove_depth_mm": _maybe(0.001, 1.5),
        "groove_width_mm": _maybe(0.1, 6.0),
        "lip_at_mm": _maybe(1.0, 500.0),
        "pocket_mm": _maybe(4.0, 40.0),
        "room_mm": _maybe(0.0, 20.0),
        "shift_mm": _maybe(-6.0, 12.0),
        "sleeve": st.one_of(
            st.none(),
            st.builds(
                SleeveDrawing, st.floats(0.1, 0.4), st.floats(3.0, 30.0), _maybe(0.001, 60.0)
            ),
        ),
        "shaft_end_mm": _maybe(20.0, 33.9),
        "bore_chamfer_mm": _maybe(0.1, 4.0),
        "rubber_case": st.booleans(),
    }
)


@settings(max_examples=50)
@given(READ)
def test_whatever_is_read_stays_on_the_paper(svg: Any, read: dict[str, Any]) -> None:
    sleeve, lip_at, shift = read["sleeve"], read["lip_at_mm"], read["shift_mm"] or 0.0
    if sleeve is not None:
        # A sleeve that the lip does not run on is refused: lay it under the lip, or, where its
        # place is not given and it is drawn between track and lip, make it reach both.
        near, width = sleeve.near_mm, sleeve.width_mm
        if near is not None and lip_at is not None:
            near = lip_at + shift - width / 2.0
        else:
            width = max(width, abs(shift) + 0.1)
        read["sleeve"] = SleeveDrawing(sleeve.wall_mm, width, near)
    found = svg(seal_svg(drawing(**read)))
    assert (found.outside(), found.overlapping()) == ([], [])


# --- texts and refusals -------------------------------------------------------------------------

HOSTILE = '<script>alert("x")</script> & ]]> \x00\x1b[31m \u202e "quoted" ' + "long" * 60


def test_hostile_names_are_text_and_stay_on_the_paper(svg: Any) -> None:
    found = svg(seal_svg(SealDrawing(HOSTILE, 35.0, 52.0, 7.0, title=HOSTILE, remarks=(HOSTILE,))))
    assert (found.outside(), found.overlapping()) == ([], [])
    assert '<script>alert("x")</script>' in found.title
    assert {element.tag.rpartition("}")[2] for element in found.root.iter()} <= {
        *("svg", "title", "desc", "rect", "path", "circle", "text", "g")
    }


def test_nothing_outside_is_asked_for_and_nothing_has_a_name_that_could_clash() -> None:
    text = seal_svg(drawing(**WORN, title="drum"))
    body = text.replace('xmlns="http://www.w3.org/2000/svg"', "")
    for word in ("http", "href", "url(", "<style", "<image", " id=", "class=", "font-family"):
        assert (body.count(word) > 0) == (word == "font-family")
    assert 'font-family="sans-serif"' in body


def test_a_drawing_is_black_on_white() -> None:
    import re

    colours = set(re.findall(r"#[0-9a-f]{3,6}", seal_svg(drawing(**WORN))))
    assert colours
    assert all(len(set(colour[1:])) == 1 for colour in colours)


def test_a_drawing_comes_out_the_same_every_time() -> None:
    assert seal_svg(drawing(**WORN)) == seal_svg(drawing(**WORN))


@pytest.mark.parametrize(
    ("given", "rule"),
    [
        ({"groove_width_mm": 0.0}, "larger than nothing"),
        ({"land_mm": math.nan}, "larger than nothing"),
        ({"land_mm": 52.0}, "no lip has room"),
        ({"groove_depth_mm": 20.0}, "no shaft of 35 mm is worn that far"),
        ({"groove_depth_mm": -0.1}, "no shaft of 35 mm is worn that far"),
        ({"pocket_mm": 2.0}, "has no seat there"),
        ({"sleeve": SleeveDrawing(9.0, 10.0)}, "no lip has room"),
        (
            {"sleeve": SleeveDrawing(0.25, 9.0, 2.0), "lip_at_mm": 20.0},
            "the lip does not run on it",
        ),
    ],
)
def test_what_can_not_be_is_refused(given: dict[str, Any], rule: str) -> None:
    with pytest.raises(InputError, match=rule):
        seal_svg(drawing(**given))


def test_a_groove_runs_out_at_its_edges() -> None:
    profile = groove_profile(centre_mm=5.0, width_mm=2.0, depth_mm=0.1, radius_mm=10.0)
    assert profile[0] == pytest.approx((4.0, 10.0))
    assert profile[-1] == pytest.approx((6.0, 10.0))
