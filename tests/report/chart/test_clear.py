"""No text of a chart stands on a curve, and no curve leaves its axes: measured on the figures."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.job.oil.answer import OilRequest
from fitcheck.job.oil.answer import answer as oil_answer
from fitcheck.job.shim.answer import ShimRequest
from fitcheck.job.shim.answer import answer as shim_answer
from fitcheck.report.chart import curves
from fitcheck.report.chart.answers import play_points, pressure_points
from fitcheck.report.chart.clear import Box, clear_place, crosses, spread
from fitcheck.report.chart.money import Spot, frontier_svg


def oil(**given: Any) -> curves.PressureChart:
    """The chart of the oil of a hub of four litres on a 90 mm shaft."""
    return pressure_points(oil_answer(OilRequest(**{"volume": "4l", "shaft": "90", **given})))


def shim(**given: Any) -> curves.PlayChart:
    """The chart of a pack under a cap."""
    usual = {
        "method": "end-play",
        "measured": ("0.30",),
        "fitted": "0.20x3,0.10x2",
        "target": "0.025..0.127mm",
        "position": "cap",
        "have": ("0.20x4",),
    }
    return play_points(shim_answer(ShimRequest(**{**usual, **given})))


def money(*names: str) -> curves.MoneyChart:
    """A frontier whose plans have names, with a line of fills and a shelf close to it."""
    points = [(1979.0, 0.688), (2600.0, 0.80), (7088.0, 0.973), (15603.0, 0.999)]
    return curves.MoneyChart(
        points=tuple(curves.MoneyPoint(*p, name) for p, name in zip(points, names, strict=True)),
        lines=tuple((x, min(1.0, y + 0.03)) for x, y in points),
        today=curves.MoneyPoint(2200.0, 0.70, "today's shelf"),
    )


CHARTS: dict[str, tuple[Any, Any]] = {
    "oil": (curves.pressure_chart, oil()),
    "oil-hot": (curves.pressure_chart, oil(to_temp="120C")),
    "oil-nearly-full": (curves.pressure_chart, oil(fill="0.99", to_temp="120C")),
    "oil-97": (curves.pressure_chart, oil(fill="0.97", to_temp="60C")),
    "play-cap": (curves.play_chart, shim()),
    "play-cup": (curves.play_chart, shim(position="behind-cup")),
    "play-wide": (curves.play_chart, shim(target="-0.1..0.5mm")),
    "play-point": (curves.play_chart, shim(target="0.10..0.11mm")),
    "oil-inch": (curves.pressure_chart, oil(unit="in", shaft="3.5")),
    "play-inch": (
        curves.play_chart,
        shim(
            unit="in",
            measured=("0.012",),
            fitted="0.020x1,0.005x2",
            target="0.001..0.005in",
            have=("0.005x4",),
        ),
    ),
    "money": (curves.money_chart, money("", "chosen", "", "all of it")),
    "money-named": (curves.money_chart, money("lean", "usual", "full", "more than enough")),
}


def figure_of(name: str, monkeypatch: pytest.MonkeyPatch) -> tuple[Any, Any]:
    """The figure and the axes of a chart, laid out."""
    kept: list[tuple[Any, Any]] = []

    def keep(figure: Any, axes: Any, *_: Any) -> bytes:
        kept.append((figure, axes))
        return b""

    monkeypatch.setattr(curves, "_out", keep)
    draw, chart = CHARTS[name]
    draw(chart)
    figure, axes = kept[0]
    figure.canvas.draw()
    return figure, axes


def hit(box: Any, line: Any) -> bool:
    """Whether a polyline enters a box: by walking along it in small steps."""
    for (x, y), (to_x, to_y) in pairwise(line):
        steps = max(2, int(max(abs(to_x - x), abs(to_y - y)) * 2))
        for n in range(steps + 1):
            at_x, at_y = x + (to_x - x) * n / steps, y + (to_y - y) * n / steps
            if box.x0 < at_x < box.x1 and box.y0 < at_y < box.y1:
                return True
    return False


@pytest.mark.parametrize("name", CHARTS)
def test_no_text_stands_on_a_curve_or_on_another_text(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    figure, axes = figure_of(name, monkeypatch)
    pen = figure.canvas.get_renderer()
    texts = [(t.get_text(), type(axes.title).get_window_extent(t, pen)) for t in axes.texts]
    assert texts
    lines = [line.get_transform().transform(line.get_xydata()) for line in axes.lines]
    assert [t for t, box in texts for line in lines if len(line) and hit(box, line)] == []
    overlapping = [
        (one, other)
        for at, (one, box) in enumerate(texts)
        for other, second in texts[at + 1 :]
        if box.overlaps(second)
    ]
    assert overlapping == []


@pytest.mark.parametrize("name", CHARTS)
def test_the_axes_hold_whatever_is_drawn(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    _, axes = figure_of(name, monkeypatch)
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    drawn = [
        point
        for line in axes.lines
        if line.get_transform() == axes.transData
        for point in line.get_xydata()
    ]
    assert len(drawn) > 2
    slack = 1e-9 * (1.0 + abs(high) + abs(right))
    assert all(
        left - slack <= x <= right + slack and low - slack <= y <= high + slack for x, y in drawn
    )


def test_a_line_that_is_not_drawn_to_its_end_says_so() -> None:
    chart = oil(fill="0.99", to_temp="120C")
    assert chart.curves[-1].name == "99 % full, and on up"
    assert chart.curves[-1].points[-1][1] == pytest.approx(3.0)
    assert [c.name for c in oil().curves] == ["50 % full", "60 % full", "70 % full", "90 % full"]


def test_inches_are_drawn_in_inches(monkeypatch: pytest.MonkeyPatch) -> None:
    _, axes = figure_of("play-inch", monkeypatch)
    assert (axes.get_xlabel(), axes.get_ylabel()) == (
        "pack, in",
        "end play, in (below 0: preload)",
    )
    assert (0.03, 0.012) in [
        tuple(round(float(v), 6) for v in point)
        for line in axes.lines
        for point in line.get_xydata()
    ]
    assert any("0.001 to 0.005 in" in text.get_text() for text in axes.texts)
    _, axes = figure_of("oil-inch", monkeypatch)
    assert (axes.get_xlabel(), axes.get_ylabel()) == (
        "temperature of the oil, F",
        "gauge pressure, psi",
    )
    # 0.3 bar and 20 C.
    assert any("a plain lip holds 4.35 psi" in text.get_text() for text in axes.texts)
    assert axes.get_xlim()[0] == pytest.approx(68.0)


FRONTIER = [Spot(1000.0, 0.3), Spot(4000.0, 0.8), Spot(5000.0, 0.86), Spot(9000.0, 0.99)]


@pytest.mark.parametrize(
    "place", [(1000.0, 0.3), (4000.0, 0.8), (3800.0, 0.8), (9000.0, 0.99), (9000.0, 0.2), (0, 0)]
)
def test_a_name_on_the_buyers_chart_stands_on_no_line(svg: Any, place: tuple[float, float]) -> None:
    name = "what you said you would spend"
    drawn = svg(frontier_svg(FRONTIER, marks=[Spot(*place, name), Spot(4200.0, 0.78, "shelf")]))
    found = [Box(*one.box) for one in drawn.labels() if one.text.startswith((name, "shelf"))]
    assert len(found) == 2
    assert not found[0].meets(found[1])
    assert not any(crosses(box, drawn.part("frontier")) for box in found)


boxes = st.tuples(st.floats(0, 50), st.floats(0, 50), st.floats(0.5, 20), st.floats(0.5, 20)).map(
    lambda b: Box(b[0], b[1], b[0] + b[2], b[1] + b[3])
)
points = st.tuples(st.floats(-10, 80), st.floats(-10, 80))


@given(boxes, points, points)
def test_a_line_that_crosses_has_a_point_inside(box: Box, one: Any, other: Any) -> None:
    inside = any(
        box.left <= one[0] + (other[0] - one[0]) * n / 500 <= box.right
        and box.low <= one[1] + (other[1] - one[1]) * n / 500 <= box.high
        for n in range(501)
    )
    if inside:
        assert crosses(box, [one, other])
    elif crosses(box, [one, other]):
        # No sampled point: it cuts a corner shorter than a step.
        assert crosses(box.grown(0.5), [one, other])


@given(st.lists(st.floats(0, 10), min_size=1, max_size=8).map(sorted))
def test_spread_places_stand_apart_in_their_order(places: list[float]) -> None:
    made = spread(places, apart=1.0, low=0.0, high=10.0)
    assert all(b - a >= 1.0 - 1e-9 for a, b in pairwise(made))
    assert made[0] >= -1e-9
    assert made[-1] <= 10.0


def test_where_nothing_is_clear_the_text_stays_inside() -> None:
    frame = Box(0.0, 0.0, 10.0, 10.0)
    grid = [[(0.0, y / 4), (10.0, y / 4)] for y in range(41)]
    box = clear_place(size=(3.0, 1.0), at=(9.5, 9.5), lines=grid, boxes=[], frame=frame, gap=0.5)
    assert frame.holds(box)
