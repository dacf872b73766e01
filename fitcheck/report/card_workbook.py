"""The job card as a workbook: the parts to order, the settings, the readings to take again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.report.inch_text import shown_card
from fitcheck.report.workbook import Column, Table

Answer = Mapping[str, Any]

_VERDICTS = (
    Column("position", width=28),
    Column("kind", width=10),
    Column("verdict", width=9),
    Column("part", width=28),
)
_PARTS = (
    Column("quantity, pieces", "whole", 10),
    Column("part", width=24),
    Column("size", width=30),
    Column("material", width=30),
    Column("for", width=36),
    Column("where", width=22),
    Column("got", width=8),
)
_SETTINGS = (
    Column("for", width=28),
    Column("setting", width=70),
    Column("achieved", width=18),
    Column("by", width=12),
)
_AGAIN = (
    Column("for", width=28),
    Column("reading", width=16),
    Column("with", width=16),
    Column("why", width=70),
    Column("read", width=16),
)


def part_place(part: Answer) -> str:
    """Where a part of the card comes from, in words.

    >>> part_place({"on_shelf": False, "order": True})
    'order'
    """
    if part.get("on_bench"):
        return "as measured, on the bench"
    if part["on_shelf"]:
        return "on the shelf"
    return "order" if part["order"] else "settle before ordering"


def sized(part: Answer) -> str:
    """The size of a part as it is ordered: a lip with its material; older cards don't say it.

    >>> sized({"size": "35 x 52 x 7", "material": "of FKM or PTFE"}), sized({"size": "30206"})
    ('35 x 52 x 7, of FKM or PTFE', '30206')
    """
    made = str(part.get("material", "")), str(part.get("made", ""))
    return ", ".join(filter(None, (str(part["size"]), *made)))


def card_tables(card: Answer) -> list[Table]:
    """The tables of a job card, the parts first.

    Parameters
    ----------
    card : mapping
        The card as data.
    """
    card = shown_card(card)
    return [
        Table(
            "Parts",
            _PARTS,
            (
                # The size stands by itself, so that the sheet can be crossed as it is.
                (
                    p["quantity"],
                    p["what"],
                    p["size"],
                    p.get("material", ""),
                    ", ".join(p["for"]),
                    part_place(p),
                    "",
                )
                for p in card["parts"]
            ),
        ),
        Table(
            "Verdicts",
            _VERDICTS,
            ((p["name"], p["kind"], p["verdict"], p["pick"]) for p in card["positions"]),
        ),
        Table(
            "Settings",
            _SETTINGS,
            ((entry["for"], entry["setting"], "", "") for entry in card["settings"]),
        ),
        Table(
            "Readings to take again",
            _AGAIN,
            (
                (e["for"], e["reading"], e["instrument"], e["reason"], "")
                for e in card["read_again"]
            ),
        ),
    ]
