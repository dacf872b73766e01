"""The job card as a page to pin beside the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from fitcheck.report.card_workbook import part_place, sized
from fitcheck.report.drawing.on_page import figures, shares
from fitcheck.report.html.page import page
from fitcheck.report.inch_text import shown_card
from fitcheck.report.offers_text import part_offer_lines

Answer = Mapping[str, Any]


def card_page(card: Answer, *, drawings: Sequence[tuple[str, str]] = (), paper: str = "a4") -> str:
    """The job card as one self-contained HTML page, in the order of the work.

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
    return page("card", paper=paper, **card_values(card, drawings=drawings))


def card_values(card: Answer, *, drawings: Sequence[tuple[str, str]] = ()) -> dict[str, Any]:
    """What the template of the card shows.

    Parameters
    ----------
    card : mapping
        The card as data.
    drawings : sequence of (name, svg)
        A drawing for each position that has one, as SVG text.
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
    # Two drawings are as wide as is good for them; more stand in columns.
    widths = shares(shown) if len(shown) == 2 else []
    return {
        "card": card,
        "parts": parts,
        "figures": shown,
        "widths": widths,
        "shared": shared,
        "work": work,
    }
