"""Curves by matplotlib: hub pressure, end play against the pack, money against complete jobs.

A figure comes out as SVG text or as a PNG, the same bytes every time. Lines differ by their dashes
and are named where they end, so that print without colour tells them apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from fitcheck.errors import InputError, NotKnownError
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.report.chart.names import end_names, literal, mark_names
from fitcheck.report.inch_text import PSI_PER_BAR
from fitcheck.units import MM_PER_INCH

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 1.5)), (0, (8, 2, 1.5, 2)), (0, (1, 1)))
_WIDTH_IN, _HEIGHT_IN = 4.7, 3.6
_STYLE: Any = {
    "font.family": "sans-serif",
    "font.size": 10.0,
    "svg.fonttype": "none",
    "svg.hashsalt": "fitcheck",
    "axes.spines.top": False,
    "axes.spines.right": False,
}


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points (x, y), and its name."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PressureChart:
    """Gauge pressure against temperature for several fills, and the lip's limit.

    All in bar and C; ``unit`` is what the axes show: ``mm`` bar and C, ``in`` psi and F.
    """

    curves: tuple[Curve, ...]
    limit_bar: float | None
    working: tuple[float, float] | None = None
    title: str = ""
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class PlayChart:
    """End play against the pack, both in mm; below zero is preload.

    Points are (pack, end play); ``slope`` is what a mm more of shims gives; ``unit`` is what the
    axes show, ``mm`` or ``in``.
    """

    slope: float
    through: tuple[float, float]
    measured: tuple[float, float] | None = None
    chosen: tuple[float, float] | None = None
    target_mm: tuple[float, float] | None = None
    title: str = ""
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class MoneyPoint:
    """A plan: money bound in stock, and the share of jobs it completes; ``name`` marks it."""

    money: float
    complete: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class MoneyChart:
    """Plans; ``lines`` may hold their fill by line beside them, as (money, share).

    ``today`` is a shelf that is no plan: a mark of its own, off the line.
    """

    points: tuple[MoneyPoint, ...]
    currency: str = ""
    lines: tuple[tuple[float, float], ...] = ()
    today: MoneyPoint | None = None
    title: str = ""


def pressure_chart(chart: PressureChart, *, kind: str = "svg") -> bytes:
    """The pressure in a hub against temperature, a line for each fill.

    Parameters
    ----------
    chart : PressureChart
        The lines, the limit, and where the hub works.
    kind : str
        ``svg`` or ``png``.

    Raises
    ------
    InputError
        There is nothing to draw, or a value is no number.
    NotKnownError
        matplotlib is not installed.
    """
    _finite([p for curve in chart.curves for p in curve.points])
    bar, heat = ("psi", "F") if chart.unit == "in" else ("bar", "C")
    chart = _shown_pressure(chart)
    figure, axes = _figure()
    for number, curve in enumerate(chart.curves):
        _curve(axes, curve, number)
    heights = [y for curve in chart.curves for _, y in curve.points]
    words = [
        f"{c.name}: {c.points[-1][1]:.2f} {bar} at {c.points[-1][0]:g} {heat}" for c in chart.curves
    ]
    right = max(x for curve in chart.curves for x, _ in curve.points)
    names = [(*c.points[-1], c.name) for c in chart.curves]
    if chart.limit_bar is not None:
        axes.axhline(chart.limit_bar, color="black", linewidth=2.2)
        text = f"a plain lip holds {plain(round(chart.limit_bar, 2))} {bar}"
        heights.append(chart.limit_bar)
        names.append((right, chart.limit_bar, text))
        words.append(text)
    if chart.working is not None:
        axes.plot(*chart.working, "o", color="black", markersize=7, clip_on=False)
        heights.append(chart.working[1])
        right = max(right, chart.working[0])
        words.append(f"at work {chart.working[1]:.2f} {bar} at {chart.working[0]:g} {heat}")
    # Whatever is drawn lies whole inside the axes.
    low, top = min(0.0, *heights), max(heights) or 1.0
    axes.set_ylim(low, top + 0.05 * (top - low))
    axes.set_xlim(min(c.points[0][0] for c in chart.curves), right)
    end_names(axes, names)
    axes.set_xlabel(f"temperature of the oil, {heat}")
    axes.set_ylabel(f"gauge pressure, {bar}")
    return _out(figure, axes, chart.title or "Pressure in a sealed hub", words, kind)


def play_chart(chart: PlayChart, *, kind: str = "svg") -> bytes:
    """End play against the thickness of the pack.

    Parameters
    ----------
    chart : PlayChart
        The line, the target and the points on it.
    kind : str
        ``svg`` or ``png``.

    Raises
    ------
    InputError
        A value is no number, or the slope is nothing.
    NotKnownError
        matplotlib is not installed.
    """
    points = [p for p in (chart.through, chart.measured, chart.chosen) if p is not None]
    _finite(points)
    if not (math.isfinite(chart.slope) and chart.slope):
        raise InputError(
            value=f"slope {chart.slope:g}",
            rule="a pack that changes nothing can't be drawn",
            todo="Say where the shims sit",
        )
    zero = chart.through[0] - chart.through[1] / chart.slope
    packs = [p[0] for p in points] + [zero]
    if chart.target_mm is not None:
        _finite([chart.target_mm])
        packs += [zero + play / chart.slope for play in chart.target_mm]
    # Inches are drawn in inches: worked out in mm, shown by the length of an inch.
    inch = chart.unit == "in"
    size, places, unit = (MM_PER_INCH, 4, "in") if inch else (1.0, 3, "mm")

    def said(value: float) -> str:
        return f"{plain(round(value / size, places))} {unit}"

    span = max(packs) - min(packs) or 0.1
    low, high = max(0.0, min(packs) - 0.15 * span), max(packs) + 0.15 * span
    figure, axes = _figure()
    low, high = low / size, high / size
    line = [(x, (x - zero / size) * chart.slope) for x in (low, high)]
    axes.plot(*zip(*line, strict=True), color="black", linewidth=1.5)
    heights = [0.0, *(y for _, y in line)]
    axes.axhline(0.0, color="black", linewidth=0.8)
    words = [f"no play and no preload at a pack of {said(zero)}"]
    if chart.target_mm is not None:
        bottom, top = (play / size for play in chart.target_mm)
        axes.axhspan(
            bottom, max(top, bottom + 1e-6), facecolor="none", edgecolor="0.45", hatch="///"
        )
        text = f"target {said(bottom * size).split()[0]} to {said(top * size)}"
        # Beside the chart, where no line runs.
        axes.annotate(
            text.replace(" ", "\n", 1),
            (high, (bottom + top) / 2.0),
            xytext=(5, 0),
            textcoords="offset points",
            va="center",
            annotation_clip=False,
        )
        heights += [bottom, top]
        words.append(text)
    for point, mark, name in (
        (chart.measured, "s", "as measured"),
        (chart.chosen, "o", "with the pack picked"),
    ):
        if point is None:
            continue
        axes.plot(point[0] / size, point[1] / size, mark, color="black", markersize=7)
        axes.plot([], [], mark, color="black", label=f"{name}: {said(point[0])}")
        kind_of = "end play" if point[1] >= 0 else "preload"
        words.append(f"{name}: pack {said(point[0])}, {said(abs(point[1]))} {kind_of}")
    if chart.measured is not None or chart.chosen is not None:
        axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.18), frameon=False, ncol=2)
    axes.set_xlim(low, high)
    margin = 0.05 * (max(heights) - min(heights))
    axes.set_ylim(min(heights) - margin, max(heights) + margin)
    axes.set_xlabel(f"pack, {unit}")
    axes.set_ylabel(f"end play, {unit} (below 0: preload)")
    return _out(figure, axes, chart.title or "End play against the pack", words, kind)


def money_chart(chart: MoneyChart, *, kind: str = "svg") -> bytes:
    """Complete jobs against the money bound in stock.

    Parameters
    ----------
    chart : MoneyChart
        The plans.
    kind : str
        ``svg`` or ``png``.

    Raises
    ------
    InputError
        There is no plan, money is below zero, or a share lies outside 0 to 1.
    NotKnownError
        matplotlib is not installed.
    """
    points = sorted(chart.points, key=lambda p: p.money)
    pairs = [(p.money, p.complete) for p in points]
    alone = [] if chart.today is None else [chart.today]
    others = [*chart.lines, *((p.money, p.complete) for p in alone)]
    _finite(pairs)
    _finite([*pairs, *others])
    if any(x < 0 or not 0.0 <= y <= 1.0 for x, y in (*pairs, *others)):
        raise InputError(
            value="a plan's money or share",
            rule="money is not below zero, and a share lies from 0 to 1",
            todo="Check the plans",
        )
    figure, axes = _figure()
    axes.plot(
        [x for x, _ in pairs], [100.0 * y for _, y in pairs], "-o", color="black", markersize=4
    )
    words = [f"{plain(round(x, 2))}: {y:.1%} of jobs complete" for x, y in pairs[:40]]
    runs, names = [pairs], []
    if chart.lines:
        lines = sorted(chart.lines)
        axes.plot([x for x, _ in lines], [100.0 * y for _, y in lines], "--", color="black")
        names = [
            (lines[-1][0], 100.0 * lines[-1][1], "by line"),
            (pairs[-1][0], 100.0 * pairs[-1][1], "complete jobs"),
        ]
        runs.append(lines)
    words += [
        f"{p.name or 'today'}: {plain(round(p.money, 2))}: {p.complete:.1%} of jobs complete"
        for p in alone
    ]
    # A mark at the end of an axis is seen whole.
    axes.set_ylim(0.0, 104.0)
    axes.set_xlim(0.0, 1.04 * max(x for x, _ in (*pairs, *others)) or 1.0)
    marked = [(p.name, (p.money, 100.0 * p.complete)) for p in (*points, *alone) if p.name]
    for _, place in marked:
        axes.plot(*place, "s", color="black", markersize=8)
    end_names(axes, names)
    mark_names(axes, marked, [[(x, 100.0 * y) for x, y in run] for run in runs])
    axes.set_xlabel("money in stock" + (f", {literal(chart.currency)}" if chart.currency else ""))
    axes.set_ylabel("jobs complete from stock, %")
    return _out(figure, axes, chart.title or "Money against complete jobs", words, kind)


def _shown_pressure(chart: PressureChart) -> PressureChart:
    """The chart in what its axes show."""
    if chart.unit != "in":
        return chart

    def shown(point: tuple[float, float]) -> tuple[float, float]:
        return point[0] * 1.8 + 32.0, point[1] * PSI_PER_BAR

    return PressureChart(
        curves=tuple(Curve(c.name, tuple(map(shown, c.points))) for c in chart.curves),
        limit_bar=None if chart.limit_bar is None else chart.limit_bar * PSI_PER_BAR,
        working=chart.working and shown(chart.working),
        title=chart.title,
        unit=chart.unit,
    )


def _finite(points: Sequence[tuple[float, float]]) -> None:
    if not points or not all(math.isfinite(v) for point in points for v in point):
        raise InputError(
            value="points of a chart",
            rule="there has to be one, and every value is a number",
            todo="Check what is drawn",
        )


def _figure() -> tuple[Figure, Axes]:
    try:
        import matplotlib as mpl
    except ImportError as error:
        raise NotKnownError(
            value="this chart",
            rule="it is drawn by matplotlib, which is not installed",
            todo="Install it: pip install 'fitcheck[charts]'",
        ) from error
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure as NewFigure

    with mpl.rc_context(_STYLE):
        figure = NewFigure(figsize=(_WIDTH_IN, _HEIGHT_IN))
        FigureCanvasAgg(figure)
        axes = figure.add_subplot()
        axes.grid(visible=True, color="0.8", linewidth=0.5)
        axes.set_axisbelow(True)
        axes.margins(x=0.0)
        axes.locator_params(axis="x", nbins=6)
    return figure, axes


def _curve(axes: Axes, curve: Curve, number: int) -> None:
    xs, ys = zip(*curve.points, strict=True)
    axes.plot(xs, ys, color="black", linewidth=1.4, linestyle=_DASHES[number % len(_DASHES)])


def _out(figure: Figure, axes: Axes, title: str, words: Sequence[str], kind: str) -> bytes:
    import matplotlib as mpl

    from fitcheck.report.chart.figure import figure_bytes

    with mpl.rc_context(_STYLE):
        axes.set_title(literal(title), loc="left", fontweight="bold", fontsize=11, wrap=True)
        return figure_bytes(figure, title=title, description="; ".join(words), kind=kind)
