"""How large a job card is set, so that it keeps to three pages, and what goes to its appendix.

Heights are reckoned from the texts and the drawings, so that a page written as HTML is set like
the PDF, without setting it first. They are on the safe side: a browser's font may be wider.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from fitcheck.records import dataclass
from fitcheck.report.drawing.svg import text_width

Values = Mapping[str, Any]

PAGES = 3
# Width and height of what is printed on [mm], inside the margins of page.html.
_PAPERS = {"a4": (188.0, 277.0), "letter": (193.9, 259.4)}
# Letters in tenths of a point and drawings side by side, the roomiest first.
_SETTINGS = ((110, 2), (100, 2), (95, 2), (90, 2), (95, 3), (90, 3), (85, 3), (80, 3))
# Smaller only where that saves an appendix.
_SMALLEST = (75, 3)
# Drawings side by side at most: one that stands alone has half a row empty beside it, and is so
# narrow where the parts to order would break below it.
_NARROWEST = 3
# Whose reasons stay on the card, step by step.
_KEPT = (("go", "check", "no-go"), ("check", "no-go"), ("no-go",), (), ())
_POINT_MM = 25.4 / 72.0
# The text fonts of the page are so much narrower than the wide one that text_width is made for;
# the rest of a line that the next word has no room on makes up for some of it.
_NARROWER = 0.92
# What is lost at the end of a page, where the next row or paragraph has no room [mm].
_LOST = 6.0
# What page.css gives [mm]: room to write, less of it beside small letters; the gap of columns; the
# padding and line of a row.
_WRITE, _LITTLE, _GAP, _ROW = 6.0, 5.2, 4.0, 0.45


@dataclass(frozen=True, slots=True)
class Setting:
    """How a card is set.

    ``size`` is that of its letters in tenths of a point; ``across`` how many drawings stand side
    by side; ``apart`` what goes to the appendix: 0 nothing, 1 the reasons of what is GO, 2 those of
    CHECK too, 3 all, 4 also the drawings but the first row; ``pages`` what the card is reckoned to
    take without its appendix and what follows it, and ``total`` with them.
    """

    size: int
    across: int
    apart: int
    pages: float
    total: float


def card_setting(values: Values, *, paper: str) -> Setting:
    """The roomiest setting that keeps a card to the fewest pages.

    Parameters
    ----------
    values : mapping
        What the template of the card shows.
    paper : str
        ``a4`` or ``letter``.

    Returns
    -------
    Setting
        Of a card too large for three pages the densest one, with as little as needed in the
        appendix.
    """
    for apart in range(len(_KEPT)):
        reckoned = [_reckoned(values, *setting, apart, paper) for setting in _SETTINGS]
        if reckoned[-1].pages <= PAGES:
            fewest = math.ceil(reckoned[-1].total)
            kept = [o for o in reckoned if o.pages <= PAGES and o.total <= fewest]
            return next((o for o in kept if _parts_follow(values, o, paper)), kept[0])
        smallest = _reckoned(values, *_SMALLEST, apart, paper)
        if apart == 0 and smallest.pages <= PAGES:
            return smallest
    return reckoned[-1]


def parted(values: Values, setting: Setting) -> dict[str, list[Any]]:
    """What stands on the card and what in its appendix: positions with reasons, and drawings.

    Parameters
    ----------
    values : mapping
        What the template of the card shows.
    setting : Setting
        How the card is set.
    """
    return _parted(values, setting.across, setting.apart)


def _parted(values: Values, across: int, apart: int) -> dict[str, list[Any]]:
    positions, figures = values["positions"], values["figures"]
    kept = [p for p in positions if p["verdict"] in _KEPT[apart]]
    row = across if apart == len(_KEPT) - 1 else len(figures)
    return {
        "reasons": kept,
        "apart_reasons": [p for p in positions if p not in kept],
        "figures": figures[:row],
        "apart_figures": figures[row:],
    }


def _reckoned(values: Values, size: int, across: int, apart: int, paper: str) -> Setting:
    wide, high = _PAPERS[paper]
    here = _parted(values, across, apart)
    ruler = _Ruler(wide, size / 10.0 * _POINT_MM)
    if len(here["figures"]) == 1 and _front(ruler, {**values, **here}, across) > high - _LOST:
        across = _NARROWEST
    pages = _card(ruler, {**values, **here}, across) / (high - _LOST)
    total = pages
    if apart:
        total += ruler.heading() / high + ruler.reasons(here["apart_reasons"]) / (high - _LOST)
        if here["apart_figures"]:
            more = {**values, "figures": here["apart_figures"]}
            total += _drawings(ruler, more, across) / (high - _LOST)
    closing = _closing(ruler, values["card"]) / high
    # Sources and assumptions stay together.
    total = (total if math.ceil(total) - total >= closing else math.ceil(total)) + closing
    return Setting(size, across, apart, pages if apart else total, total)


@dataclass(frozen=True, slots=True)
class _Ruler:
    """Heights of texts on paper so wide, in letters so large [mm]."""

    wide: float
    letters: float

    def lines(self, text: str, room: float, times: float = 1.0) -> int:
        """Lines that a text takes."""
        return max(1, math.ceil(text_width(text, self.letters * times) * _NARROWER / room))

    def heading(self) -> float:
        return 1.175 * 1.25 * self.letters + 2.4

    def rows(
        self, rows: Iterable[Sequence[str]], shares: Sequence[float], *, least: float = 0.0
    ) -> float:
        """A table with its head, from the texts of its rows and the shares of its columns."""
        return sum(
            max(
                least,
                1.25
                * self.letters
                * max(
                    self.lines(text, share * self.wide - 1.5)
                    for text, share in zip(row, shares, strict=True)
                )
                + _ROW,
            )
            for row in ([""] * len(shares), *rows)
        )

    def items(self, texts: Iterable[str], *, times: float = 0.875, leading: float = 1.12) -> float:
        """Paragraphs in three columns, each whole in one of them."""
        room = (self.wide - 2.0 * _GAP) / 3.0 - 4.0
        line = leading * times * self.letters
        return balanced([self.lines(text, room, times) * line for text in texts], 3)

    def reasons(self, positions: Iterable[Mapping[str, Any]]) -> float:
        """Positions with their reasons."""
        return self.items(t for p in positions for t in (p["name"], *p["reasons"], ""))

    @property
    def write(self) -> float:
        """The room to write."""
        return _WRITE if self.letters > 8.2 * _POINT_MM else _LITTLE


def balanced(heights: Sequence[float], columns: int) -> float:
    """The height of columns that are filled in order and as even as can be.

    >>> balanced([1.0, 1.0, 1.0, 2.0], 3)
    2.0
    """
    low, high = max(heights, default=0.0), sum(heights)
    for _ in range(20):
        middle = (low + high) / 2.0
        needed, filled = 1, 0.0
        for height in heights:
            if filled + height > middle + 1e-9:
                needed, filled = needed + 1, 0.0
            filled += height
        low, high = (low, middle) if needed <= columns else (middle, high)
    return round(high, 3)


def _parts_follow(values: Values, setting: Setting, paper: str) -> bool:
    """Whether the parts stand whole below a drawing that stands alone, or it is no such card."""
    here = {**values, **_parted(values, setting.across, setting.apart)}
    wide, high = _PAPERS[paper]
    ruler = _Ruler(wide, setting.size / 10.0 * _POINT_MM)
    return len(here["figures"]) != 1 or _front(ruler, here, setting.across) <= high - _LOST


def _front(ruler: _Ruler, values: Values, across: int) -> float:
    """The height of a card up to the parts to order, which are best seen on its first page."""
    card = values["card"]
    used = _head(ruler.wide, card["job"])
    used += ruler.heading() + max(
        ruler.rows(
            (("", p["name"], p["shown"]) for p in half),
            # The verdict takes so much of a half, and the part 44 % of it.
            [share / len(values["halves"]) for share in (0.11, 0.45, 0.44)],
        )
        for half in values["halves"]
    )
    if values["figures"]:
        used += _drawings(ruler, values, across)
    if values["parts"]:
        used += ruler.heading() + ruler.rows(
            (
                ("", "", p["what"], p["ordered"], ", ".join(p["for"]), p["where"])
                for p in values["parts"]
            ),
            (0.05, 0.09, 0.17, 0.35, 0.18, 0.16),
        )
        offers = [text for p in values["parts"] for text in p["offered"]]
        used += sum(ruler.lines(t, 0.16 * ruler.wide) for t in offers) * 1.25 * ruler.letters
        used += len(card.get("shelf") or []) * 1.3 * ruler.letters
    return used


def _card(ruler: _Ruler, values: Values, across: int) -> float:
    """The height of a card up to its cautions."""
    card = values["card"]
    used = _front(ruler, values, across) + ruler.heading()
    if values["reasons"]:
        used += ruler.reasons(values["reasons"])
    if card["inspect"]:
        used += ruler.heading() + ruler.items(
            f"     {e['part']}: {e['prompt']}" for e in card["inspect"]
        )
    if values["work"]:
        used += ruler.heading() + ruler.items(
            t for group in values["work"] for t in (group["name"], *group["steps"])
        )
    if card["settings"]:
        used += ruler.heading() + ruler.rows(
            ((e["for"], e["setting"], "", "") for e in card["settings"]),
            (0.19, 0.51, 0.15, 0.15),
            least=ruler.write,
        )
    if values["again"]:
        used += ruler.heading() + ruler.rows(
            (
                (e["for"], e["reading"] or "", e["instrument"] or "", e["reason"], "")
                for e in values["again"]
            ),
            (0.19, 0.1, 0.1, 0.45, 0.16),
            least=ruler.write,
        )
    return used + ruler.heading() + ruler.items(card["cautions"], leading=1.1)


def _head(wide: float, job: Mapping[str, Any]) -> float:
    """The title over the card, in letters of its own size."""
    title = _Ruler(wide - 35.0, 15.0 * _POINT_MM)
    text = _Ruler(wide, 8.0 * _POINT_MM)
    said = [job["machine"] or job["place"] or job["date"], job["note"], job["invented"]]
    lines = sum(text.lines(str(one), wide) for one in said if one)
    return 6.5 * title.lines(f"Job card: {job['title']}", title.wide) + 4.6 * lines + 4.0


def _drawings(ruler: _Ruler, values: Values, across: int) -> float:
    room = (ruler.wide - (across - 1) * 3.0) / across
    line = 1.2 * 0.825 * ruler.letters
    heights = [
        one.tall * room + 1.0 + ruler.lines(" ".join(one.remarks), room - 4.0, 0.825) * line
        for one in values["figures"]
    ]
    said = 60 * " " + " ".join(values["shared"])
    return (
        ruler.heading()
        + balanced(heights, across)
        + ruler.lines(said, ruler.wide, 0.825) * line
        + 1.2
    )


def _closing(ruler: _Ruler, card: Mapping[str, Any]) -> float:
    """The height of sources and assumptions and the foot."""
    used = ruler.heading() + 5.0 + 1.6 * ruler.letters
    given = [f"{e['for']}: {e['assumption']}" for e in card.get("assumptions") or []]
    if given:
        used += 1.6 * ruler.letters
    column = (ruler.wide - 2.0 * _GAP) / 3.0
    for texts in (given, card["sources"]):
        lines = ruler.lines("   ".join(texts), column, 0.78)
        used += math.ceil(lines / 3.0) * 1.08 * 0.78 * ruler.letters + 1.2
    return used
