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

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 1.5)), (0, (8, 2, 1.5, 2)), (0, (1, 1)))
_WIDTH_IN, _HEIGHT_IN = 4.7, 3.6
# Behind a text that a line may pass.
_ON_WHITE: Any = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
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
    """Gauge pressure [bar] against temperature [C] for several fills, and the lip's limit."""

    curves: tuple[Curve, ...]
    limit_bar: float | None
    working: tuple[float, float] | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class PlayChart:
    """End play against the pack, both in mm; below zero is preload.

    Points are (pack, end play); ``slope`` is what a mm more of shims gives.
    """

    slope: float
    through: tuple[float, float]
    measured: tuple[float, float] | None = None
    chosen: tuple[float, float] | None = None
    target_mm: tuple[float, float] | None = None
    title: str = ""


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
    figure, axes = _figure()
    top = chart.limit_bar or 0.0
    for number, curve in enumerate(chart.curves):
        _curve(axes, curve, number)
        top = max(top, curve.points[-1][1])
    if chart.limit_bar is not None:
        top = min(top, max(2.6 * chart.limit_bar, (chart.working or (0.0, 0.0))[1] * 1.2))
    low = min(y for curve in chart.curves for _, y in curve.points)
    axes.set_ylim(min(0.0, low), top * 1.08 or 1.0)
    names = [(c.points[-1][0], c.points[-1][1], c.name) for c in chart.curves]
    _end_names(axes, names, top=top * 1.08 or 1.0)
    words = [f"{c.name}: {c.points[-1][1]:.2f} bar at {c.points[-1][0]:g} C" for c in chart.curves]
    if chart.limit_bar is not None:
        axes.axhline(chart.limit_bar, color="black", linewidth=2.2)
        axes.annotate(
            f"a plain lip holds {plain(chart.limit_bar)} bar",
            (axes.get_xlim()[0], chart.limit_bar),
            xytext=(3, 5),
            textcoords="offset points",
            bbox=_ON_WHITE,
        )
        words.append(f"a plain lip holds {plain(chart.limit_bar)} bar")
    if chart.working is not None:
        axes.plot(*chart.working, "o", color="black", markersize=7, clip_on=False)
        words.append(f"at work {chart.working[1]:.2f} bar at {chart.working[0]:g} C")
    axes.set_xlabel("temperature of the oil, C")
    axes.set_ylabel("gauge pressure, bar")
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
    span = max(packs) - min(packs) or 0.1
    low, high = max(0.0, min(packs) - 0.15 * span), max(packs) + 0.15 * span
    figure, axes = _figure()
    line = [(x, (x - zero) * chart.slope) for x in (low, high)]
    axes.plot(*zip(*line, strict=True), color="black", linewidth=1.5)
    axes.axhline(0.0, color="black", linewidth=0.8)
    words = [f"no play and no preload at a pack of {plain(round(zero, 3))} mm"]
    if chart.target_mm is not None:
        bottom, top = chart.target_mm
        axes.axhspan(
            bottom, max(top, bottom + 1e-6), facecolor="none", edgecolor="0.45", hatch="///"
        )
        text = f"target {plain(round(bottom, 3))} to {plain(round(top, 3))} mm"
        axes.annotate(
            text,
            (high, top),
            xytext=(-2, 3),
            textcoords="offset points",
            ha="right",
            va="bottom",
            bbox=_ON_WHITE,
        )
        words.append(text)
    for point, mark, name in (
        (chart.measured, "s", "as measured"),
        (chart.chosen, "o", "with the pack picked"),
    ):
        if point is None:
            continue
        axes.plot(*point, mark, color="black", markersize=7, fillstyle="full")
        axes.plot([], [], mark, color="black", label=f"{name}: {plain(round(point[0], 3))} mm")
        words.append(f"{name}: pack {plain(round(point[0], 3))} mm, {_play(point[1])}")
    if chart.measured is not None or chart.chosen is not None:
        axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.18), frameon=False, ncol=2)
    axes.set_xlim(low, high)
    axes.set_xlabel("pack, mm")
    axes.set_ylabel("end play, mm (below 0: preload)")
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
    if chart.lines:
        lines = sorted(chart.lines)
        axes.plot([x for x, _ in lines], [100.0 * y for _, y in lines], "--", color="black")
        axes.annotate(
            "by line",
            (lines[-1][0], 100.0 * lines[-1][1]),
            xytext=(0, 4),
            textcoords="offset points",
            ha="right",
        )
        axes.annotate(
            "complete jobs",
            (pairs[-1][0], 100.0 * pairs[-1][1]),
            xytext=(0, -12),
            textcoords="offset points",
            ha="right",
        )
    words += [
        f"{p.name or 'today'}: {plain(round(p.money, 2))}: {p.complete:.1%} of jobs complete"
        for p in alone
    ]
    for point in (*points, *alone):
        if point.name:
            place = (point.money, 100.0 * point.complete)
            axes.plot(*place, "s", color="black", markersize=8)
            axes.annotate(_literal(point.name), place, xytext=(8, -12), textcoords="offset points")
    # A mark at the end of an axis is seen whole.
    axes.set_ylim(0.0, 104.0)
    axes.set_xlim(0.0, 1.04 * max(x for x, _ in (*pairs, *others)) or 1.0)
    axes.set_xlabel("money in stock" + (f", {_literal(chart.currency)}" if chart.currency else ""))
    axes.set_ylabel("jobs complete from stock, %")
    return _out(figure, axes, chart.title or "Money against complete jobs", words, kind)


def _play(play_mm: float) -> str:
    return f"{plain(round(abs(play_mm), 3))} mm {'end play' if play_mm >= 0 else 'preload'}"


def _finite(points: Sequence[tuple[float, float]]) -> None:
    if not points or not all(math.isfinite(v) for point in points for v in point):
        raise InputError(
            value="points of a chart",
            rule="there has to be one, and every value is a number",
            todo="Check what is drawn",
        )


def _literal(text: str) -> str:
    """A text that matplotlib doesn't take for a formula."""
    shown = "".join(c if c.isprintable() else " " for c in text)
    return shown.replace("$", r"\$")


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


def _end_names(axes: Axes, names: list[tuple[float, float, str]], *, top: float) -> None:
    """Names at the right ends of lines, the lowest first, none closer than a line of text."""
    apart, last = 0.065 * top, -math.inf
    for x, y, name in sorted(names, key=lambda entry: entry[1]):
        place = max(min(y, top), last + apart)
        last = place
        axes.annotate(
            _literal(name),
            (x, place),
            xytext=(4, -3),
            textcoords="offset points",
            annotation_clip=False,
        )


def _out(figure: Figure, axes: Axes, title: str, words: Sequence[str], kind: str) -> bytes:
    import matplotlib as mpl

    from fitcheck.report.chart.figure import figure_bytes

    with mpl.rc_context(_STYLE):
        axes.set_title(_literal(title), loc="left", fontweight="bold", fontsize=11, wrap=True)
        return figure_bytes(figure, title=title, description="; ".join(words), kind=kind)
