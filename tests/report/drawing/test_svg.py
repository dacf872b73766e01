"""The sheet: escaping, room for text, hatching, and lines that are cut off."""

from __future__ import annotations

import math
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.report.drawing.dimension import across, half_diameter, leader, upright, value_text
from fitcheck.report.drawing.polygon import break_line, framed_area, hatch_lines
from fitcheck.report.drawing.scale import SCALES, largest_scale, scale_text
from fitcheck.report.drawing.svg import Sheet, escaped, number, text_width, wrapped

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def sheet() -> Sheet:
    """An empty sheet."""
    return Sheet(width=120.0, title="title", description="description")


@given(st.text())
def test_any_text_survives_as_text(text: str) -> None:
    read = ET.fromstring(f'<t a="{escaped(text)}">{escaped(text)}</t>')
    shown = "".join(c if c.isprintable() else " " for c in text)
    assert (read.text or "") == shown
    assert read.attrib["a"] == shown


@given(st.text(max_size=300), st.floats(5.0, 110.0))
def test_wrapped_text_fits_and_loses_nothing(text: str, width: float) -> None:
    lines = wrapped(text, size=3.2, width=width)
    assert all(text_width(line, 3.2) <= width or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_the_room_for_a_text_holds_in_a_wide_font() -> None:
    from matplotlib.font_manager import findfont
    from matplotlib.ft2font import FT2Font

    font = FT2Font(findfont("DejaVu Sans"))
    font.set_size(1000, 72)
    for code in [*range(32, 127), *map(ord, "Ø×±°")]:
        advance = font.load_char(code).linearHoriAdvance / 65536
        # Words mix wide and narrow letters: a hundredth of the size a letter is neither here nor
        # there.
        assert text_width(chr(code), 1000.0) >= advance - 15.0, chr(code)


def test_coordinates_are_written_short() -> None:
    assert [number(v) for v in (1.0, 0.12345, -0.0001, 10.5)] == ["1", "0.123", "0", "10.5"]


@given(
    st.lists(st.tuples(st.floats(0.0, 50.0), st.floats(0.0, 50.0)), min_size=3, max_size=9),
    st.sampled_from([0.0, 45.0, 135.0]),
)
def test_hatching_stays_inside(points: list[tuple[float, float]], angle: float) -> None:
    for start, end in hatch_lines(points, spacing=1.3, angle_deg=angle):
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        # A hundredth along the line, away from a corner that only touches it.
        assert _inside(points, middle) or math.dist(start, end) < 0.1


def _inside(points: list[tuple[float, float]], at: tuple[float, float]) -> bool:
    found = False
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        if (a[1] > at[1]) != (b[1] > at[1]):
            x = a[0] + (at[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            found ^= at[0] < x
            if abs(x - at[0]) < 1e-6:
                return True
    return found


def test_hatching_covers_an_area_evenly() -> None:
    lines = hatch_lines(SQUARE, spacing=1.0, angle_deg=45.0)
    drawn = sum(math.dist(a, b) for a, b in lines)
    assert drawn == pytest.approx(100.0, rel=0.03)


def test_a_frame_keeps_what_is_inside() -> None:
    kept = framed_area(SQUARE, left=2.0, top=-5.0, right=20.0, bottom=4.0)
    assert set(kept) == {(2.0, 0.0), (10.0, 0.0), (10.0, 4.0), (2.0, 4.0)}
    assert framed_area(SQUARE, left=20.0, top=0.0, right=30.0, bottom=9.0) == []


def test_a_break_line_ends_where_it_should() -> None:
    line = break_line(start=(0.0, 0.0), end=(0.0, 10.0), bulge=0.8)
    assert line[0] == pytest.approx((0.0, 0.0))
    assert line[-1] == pytest.approx((0.0, 10.0), abs=1e-6)
    assert 0.1 < max(abs(x) for x, _ in line) <= 0.8


def test_scales_are_the_preferred_ones() -> None:
    steps = {s / 10 ** math.floor(math.log10(s) + 1e-9) for s in SCALES}
    assert {round(s, 6) for s in steps} == {1.0, 2.0, 5.0}
    assert [scale_text(s) for s in (50.0, 2.0, 1.0, 0.5, 0.1)] == [
        "50:1",
        "2:1",
        "1:1",
        "1:2",
        "1:10",
    ]


@given(st.floats(0.01, 900.0), st.floats(0.01, 900.0))
def test_the_largest_scale_that_has_room_is_taken(wide: float, tall: float) -> None:
    scale = largest_scale(extents=[(wide, 80.0), (tall, 70.0)])
    assert wide * scale <= 80.0 + 1e-6
    assert tall * scale <= 70.0 + 1e-6
    larger = [s for s in SCALES if s > scale]
    assert not larger or wide * min(larger) > 80.0 or tall * min(larger) > 70.0


@pytest.mark.parametrize("right", [30.0, 60.0, 119.0])
@pytest.mark.parametrize("width", [0.2, 4.0, 40.0])
@pytest.mark.parametrize("leftward", [False, True])
def test_a_level_dimension_has_its_value_on_the_paper(
    svg: Any, right: float, width: float, leftward: bool
) -> None:
    paper = sheet()
    left = max(1.0, right - width)
    across(paper, start=(left, 20.0), end=(right, 20.0), y=10.0, text="12.345", leftward=leftward)
    found = svg(paper.svg(40.0))
    (label,) = found.labels()
    assert label.box[0] >= 0.0
    assert label.box[2] <= 120.0
    assert label.box[3] <= 10.0


def test_dimensions_have_arrows_at_both_ends(svg: Any) -> None:
    paper = sheet()
    across(paper, start=(20.0, 20.0), end=(60.0, 20.0), y=10.0, text="20")
    upright(paper, low=(20.0, 60.0), high=(20.0, 30.0), x=10.0, text="15")
    text = paper.svg(80.0)
    assert "M20 10L22.6 10.416L22.6 9.584Z" in text
    assert "M60 10L57.4 9.584L57.4 10.416Z" in text
    assert text.count('fill="#000"/>') == 4


def test_a_diameter_in_a_half_view_runs_past_the_axis(svg: Any) -> None:
    paper = sheet()
    reached = half_diameter(paper, surface=(50.0, 20.0), axis_y=60.0, x=70.0, text="Ø35")
    assert reached == 63.0
    # Too little room: the value stands beyond the axis.
    assert half_diameter(paper, surface=(50.0, 58.0), axis_y=60.0, x=90.0, text="Ø35") > 66.0
    found = svg(paper.svg(90.0))
    assert found.outside() == []
    assert found.overlapping() == []


def test_a_leader_points_at_what_it_names(svg: Any) -> None:
    paper = sheet()
    leader(paper, tip=(50.0, 50.0), knee=(40.0, 60.0), text="cup", left=True)
    found = svg(paper.svg(80.0))
    assert found.labels()[0].box[2] <= 40.0
    assert "M50 50L" in found.text


def test_values_are_written_in_the_unit_of_the_drawing() -> None:
    assert value_text(value_mm=89.975, unit="mm") == "89.975"
    assert value_text(value_mm=0.254, unit="in") == "0.01"
    assert value_text(value_mm=22.0, unit="mm") == "22"
