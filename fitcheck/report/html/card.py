"""The job card as a page to pin beside the bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from fitcheck.parts.kind import kind, kind_names
from fitcheck.report.card_workbook import part_place, sized
from fitcheck.report.drawing.on_page import figures
from fitcheck.report.html.density import card_setting, parted
from fitcheck.report.html.page import PAPERS, page
from fitcheck.report.inch_text import shown_card
from fitcheck.report.offers_text import part_offer_lines

Answer = Mapping[str, Any]

# Positions that end in a setting; the others end in a part to choose.
_SET = {"press", "shims", "closing", "oil"}
# So many positions stand in one table; more in two, side by side.
_ONE_TABLE = 5


def card_page(card: Answer, *, drawings: Sequence[tuple[str, str]] = (), paper: str = "a4") -> str:
    """The job card as one self-contained HTML page, in the order of the work.

    It keeps to three pages: its letters are as large as that allows. Of a card that is too large
    for them at 8 points the reasons go to an appendix, those of what is GO first, then those of
    CHECK, then all, then the drawings but the first row.

    Parameters
    ----------
    card : mapping
        The card as data.
    drawings : sequence of (name, svg)
        A drawing for each position that has one, as SVG text.
    paper : str
        ``a4`` or ``letter``.

    Returns
    -------
    str
    """
    known = paper if paper in PAPERS else "a4"
    return page("card", paper=paper, **card_values(card, drawings=drawings, paper=known))


def card_values(
    card: Answer, *, drawings: Sequence[tuple[str, str]] = (), paper: str = "a4"
) -> dict[str, Any]:
    """What the template of the card shows.

    Parameters
    ----------
    card : mapping
        The card as data.
    drawings : sequence of (name, svg)
        A drawing for each position that has one, as SVG text.
    paper : str
        ``a4`` or ``letter``.
    """
    card = shown_card(card)
    work = [
        {"name": name, "steps": [entry["step"] for entry in steps]}
        for name, steps in groupby(card["work"], key=lambda entry: str(entry["for"]))
    ]
    parts = [
        {
            **part,
            "ordered": sized(part),
            "where": part_place(part),
            "offered": part_offer_lines(part),
        }
        for part in card["parts"]
    ]
    shown, shared = figures(drawings)
    # What was taken because it was not given stands on the last page.
    taken = {(e["for"], e["assumption"]) for e in card.get("assumptions") or []}
    positions = [
        {
            **position,
            "shown": "" if position["kind"] in _SET else position["pick"] or "not decided",
            "reasons": [r for r in position["reasons"] if (position["name"], r) not in taken],
        }
        for position in card["positions"]
    ]
    half = (len(positions) + 1) // 2 if len(positions) > _ONE_TABLE else len(positions)
    values = {
        "card": card,
        "positions": positions,
        "halves": [part for part in (positions[:half], positions[half:]) if part],
        "parts": parts,
        "figures": shown,
        "shared": shared,
        "work": work,
        "again": _again(card["read_again"]),
        "words": {name: kind(name).title for name in kind_names()},
    }
    setting = card_setting(values, paper=paper)
    return {**values, **parted(values, setting), "setting": setting}


def _again(entries: Iterable[Answer]) -> list[dict[str, Any]]:
    """Readings to take again; what is asked of several positions and no instrument, once."""
    made: dict[tuple[Any, ...], dict[str, Any]] = {}
    for number, entry in enumerate(entries):
        asked = entry["reading"], entry["instrument"], entry["reason"]
        key = asked if not entry["instrument"] else (number,)
        if key in made:
            made[key]["for"] += f", {entry['for']}"
        else:
            made[key] = dict(entry)
    return list(made.values())
