"""Money against complete jobs, drawn without matplotlib: the best lists, and some by name."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.report.chart.axis import ticks
from fitcheck.report.chart.clear import Box, Point, clear_place
from fitcheck.report.drawing.svg import SMALL, TEXT, Sheet, text_width

PAPER_MM = 160.0
# On a telephone: half as wide, so that its letters are twice as large there.
NARROW_MM = 84.0
_LEFT, _BESIDE = 20.0, 8.0
_TOP, _BOTTOM = 10.0, 76.0


@dataclass(frozen=True, slots=True)
class Spot:
    """A list on the chart: money on full shelves, share of jobs complete, and its name if any."""

    money: float
    share: float
    name: str = ""


def frontier_svg(
    line: Sequence[Spot],
    *,
    marks: Sequence[Spot] = (),
    currency: str = "",
    paper_mm: float = PAPER_MM,
) -> str:
    """Draw the best lists at each budget as a line, and single lists as marks beside it.

    Parameters
    ----------
    line : sequence of Spot
        The best lists.
    marks : sequence of Spot
        Lists with names: the first is marked by a filled circle, the others by squares.
    currency : str
        What money is counted in.
    paper_mm : float
        The width of the drawing [mm]; `NARROW_MM` where it is shown on a telephone.

    Returns
    -------
    str
        An SVG document of that width.

    Raises
    ------
    InputError
        There is nothing to draw, or a figure is none.
    """
    spots = [*line, *marks]
    if not line or not all(
        math.isfinite(one.money) and one.money >= 0 and 0 <= one.share <= 1 + 1e-9 for one in spots
    ):
        raise InputError(
            value="the lists",
            rule="money is not negative, and a share of jobs lies from 0 to 1",
            todo="Work the lists out again",
        )
    line = sorted(line, key=lambda one: one.money)
    right = paper_mm - _BESIDE
    grid = ticks(
        low=0.0, high=max(one.money for one in spots), most=6 if paper_mm > NARROW_MM else 3
    )
    sheet = Sheet(
        width=paper_mm,
        title="Money against complete jobs",
        description="Share of jobs complete by money on full shelves: "
        + "; ".join(f"{_words(one)}" for one in [*line, *marks])
        + ".",
    )

    def x(money: float) -> float:
        return _LEFT + (right - _LEFT) * money / grid[-1]

    def y(share: float) -> float:
        return _BOTTOM - (_BOTTOM - _TOP) * share

    for fifth in range(6):
        at = y(fifth / 5)
        sheet.line([(_LEFT, at), (right, at)], kind="hidden" if fifth else "wide")
        sheet.text(_LEFT - 2.0, at + 1.2, f"{fifth * 20} %", size=SMALL, anchor="end")
    for money in grid:
        sheet.line([(x(money), _BOTTOM), (x(money), _BOTTOM + 1.5)])
        sheet.text(x(money), _BOTTOM + 5.5, f"{money:,.0f}", size=SMALL, anchor="middle")
    sheet.text(_LEFT, _TOP - 4.5, "jobs complete from the shelf", size=SMALL)
    sheet.text(
        right,
        _BOTTOM + 10.5,
        f"money on full shelves {currency}".strip(),
        size=SMALL,
        anchor="end",
    )
    sheet.line([(x(one.money), y(one.share)) for one in line], kind="wide", part="frontier")
    for one in line:
        sheet.circle((x(one.money), y(one.share)), 0.9, kind="narrow", part="point")
    run = [(x(one.money), y(one.share)) for one in line]
    places = [(x(one.money), y(one.share)) for one in marks]
    taken = [Box(*place, *place).grown(2.0) for place in places]
    for number, (one, place) in enumerate(zip(marks, places, strict=True)):
        taken.append(_mark(sheet, one, place, run=run, taken=taken, first=number == 0, right=right))
    return sheet.svg(_BOTTOM + 14.0)


def _mark(
    sheet: Sheet,
    one: Spot,
    at: Point,
    *,
    run: Sequence[Point],
    taken: Sequence[Box],
    first: bool,
    right: float,
) -> Box:
    """Draw a mark and its name beside it, where neither the line nor another mark stands."""
    across, down = at
    if first:
        sheet.circle(at, 1.8, fill="#000", part="plan")
    else:
        corners = [(-1.7, -1.7), (1.7, -1.7), (1.7, 1.7), (-1.7, 1.7)]
        sheet.area([(across + dx, down + dy) for dx, dy in corners], part="shelf")
    words = f"{one.name}: {one.share:.0%}"
    box = clear_place(
        size=(text_width(words, TEXT) * (1.1 if first else 1.0), TEXT),
        at=at,
        lines=[run],
        boxes=taken,
        frame=Box(_LEFT, _TOP - 2.0, right + 6.0, _BOTTOM - 0.5),
        gap=2.8,
    )
    sheet.text(box.left, box.high - 0.2 * TEXT, words, size=TEXT, bold=first)
    return box


def _words(one: Spot) -> str:
    name = f"{one.name}, " if one.name else ""
    return f"{name}{one.money:,.0f}: {one.share:.0%}"
