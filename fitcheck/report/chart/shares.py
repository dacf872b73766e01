"""The candidates of an answer as bars: how probable each size is, no listed size included."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.quantities import percent
from fitcheck.records import dataclass
from fitcheck.report.drawing.svg import SMALL, TEXT, Sheet, text_width
from fitcheck.report.drawing.view import heading, notes

PAPER_MM = 120.0
_LEFT, _FULL = 8.0, 84.0
_ROW, _BAR = 10.6, 4.0
MOST_BARS = 12


@dataclass(frozen=True, slots=True)
class Share:
    """A size, or what else may be: its name, its probability, and whether it is a listed size."""

    name: str
    probability: float
    listed: bool = True


@dataclass(frozen=True, slots=True)
class SharesChart:
    """The candidates of an answer, most probable first, and the share that is sure enough."""

    shares: tuple[Share, ...]
    certainty: float = 0.95
    title: str = ""


def shares_svg(chart: SharesChart) -> str:
    """Draw the candidates as bars on a scale from 0 to 100 %.

    Parameters
    ----------
    chart : SharesChart
        The candidates.

    Returns
    -------
    str
        An SVG document of 120 mm width.

    Raises
    ------
    InputError
        There is no candidate, or a share lies outside 0 to 1.
    """
    shares = list(chart.shares)
    if not shares or any(
        not (math.isfinite(s.probability) and 0.0 <= s.probability <= 1.0 + 1e-9) for s in shares
    ):
        raise InputError(
            value="candidates",
            rule="there has to be one, and every share lies from 0 to 1",
            todo="Give the answer of `fitcheck seal` or `fitcheck bearing` with --json",
        )
    shown = _shown(shares)
    sheet = Sheet(
        width=PAPER_MM,
        title="Candidates" + (f", {chart.title}" if chart.title else ""),
        description="How probable each size is: "
        + "; ".join(f"{s.name} {percent(s.probability)}" for s in shown)
        + ".",
    )
    y = heading(
        sheet, title=chart.title or "Candidates", subtitle="How probable each size is, in per cent"
    )
    top, bottom = y + 6.0, y + 6.0 + len(shown) * _ROW
    for tenth in range(0, 11, 2):
        x = _LEFT + _FULL * tenth / 10.0
        sheet.line([(x, top), (x, bottom + 1.5)], kind="hidden" if tenth else "narrow", part="grid")
        sheet.text(x, bottom + 5.5, f"{tenth * 10}", size=SMALL, anchor="middle")
    sheet.text(_LEFT + _FULL + 6.0, bottom + 5.5, "%", size=SMALL)
    sure = _LEFT + _FULL * min(max(chart.certainty, 0.0), 1.0)
    sheet.line([(sure, top - 2.0), (sure, bottom)], kind="wide", part="sure")
    for number, share in enumerate(shown):
        _bar(sheet, share, y=top + number * _ROW, leading=number == 0)
    y = notes(
        sheet,
        [
            f"Wide line: a size is sure from {percent(chart.certainty)}. Solid: the leading size. "
            "Hatched: other listed sizes. Crossed: what is no single listed size.",
        ],
        y=bottom + 12.5,
    )
    return sheet.svg(y + 1.0)


def _shown(shares: Sequence[Share]) -> list[Share]:
    """At most so many bars; the rest together is one more."""
    listed = sorted((s for s in shares if s.listed), key=lambda s: -s.probability)
    other = [s for s in shares if not s.listed]
    rest = listed[MOST_BARS:]
    if rest:
        total = sum(s.probability for s in rest)
        other.append(Share(f"{len(rest)} sizes more", min(total, 1.0), listed=False))
    return [*listed[:MOST_BARS], *other]


def _bar(sheet: Sheet, share: Share, *, y: float, leading: bool) -> None:
    text = percent(share.probability)
    name, size = share.name, TEXT
    widest = PAPER_MM - _LEFT - 24.0
    while len(name) > 8 and text_width(name, size) > widest:
        name = f"{name[:-4].rstrip()}..."
    sheet.text(_LEFT + 1.0, y + 3.6, name, size=size)
    end = _LEFT + _FULL * share.probability
    box = [(_LEFT, y + 5.0), (end, y + 5.0), (end, y + 5.0 + _BAR), (_LEFT, y + 5.0 + _BAR)]
    if end - _LEFT > 0.05:
        if share.listed and leading:
            sheet.area(box, part="bar", fill="#555", line="narrow")
        else:
            sheet.area(box, part="bar", hatch=1.4, line="" if not share.listed else "narrow")
            if not share.listed:
                sheet.area(box, fill="none", hatch=1.4, angle=135.0, line="narrow")
    sheet.text(PAPER_MM - 6.0, y + 3.6 + 4.6, text, size=size, anchor="end")
