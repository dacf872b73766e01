"""The shop's own records for stocking, as they are kept: files, counts, and finished job cards."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from datetime import date

from sqlalchemy import Connection, select

from fitcheck.lists.named_parts import find_part
from fitcheck.lists.scan import plain_text
from fitcheck.parts.kind import kind, kind_names
from fitcheck.stock.fleet import Position
from fitcheck.stock.gather import Records
from fitcheck.stock.history import ONE_BRANCH, Asking
from fitcheck.stock.parts import Asked
from fitcheck.stock.shelf import Counted, Empty
from fitcheck.stock.terms import Terms
from fitcheck.store.schema import (
    demand,
    empty_shelf,
    fleet_position,
    job_card,
    part_terms,
    stock_level,
)

# What a job card calls the parts that are kept by size, besides the kinds that tables describe;
# oil, glue and pins are not.
_KEPT = {
    "lip seal": "seal",
    "tapered bearing": "bearing",
    "thin sleeve": "sleeve",
    "thick sleeve": "sleeve",
    "shim": "shim",
}
_DECIDED = "order"


def stored_records(connection: Connection, *, cards: bool = True) -> Records:
    """Everything the store knows about demand and stock.

    Parameters
    ----------
    connection : Connection
        The store.
    cards : bool
        Whether kept job cards count as demand.
    """
    history = list(_history(connection))
    notes: tuple[str, ...] = ()
    if cards:
        more, notes = card_lines(connection)
        history += more
    return Records(
        history=history,
        fleet=tuple(_fleet(connection)),
        terms=tuple(_terms(connection)),
        counts=tuple(_counts(connection)),
        stretches=tuple(_stretches(connection)),
        notes=notes,
    )


def _history(connection: Connection) -> Iterator[Asking]:
    names = ("line", "day", "place", "job", "item", "what", "quantity", "short")
    asked = select(*(demand.c[name] for name in names)).order_by(demand.c.id)
    days: dict[str, date] = {}
    for line, day, place, job, item, what, quantity, short in connection.execute(asked):
        when = days.get(day) or days.setdefault(day, date.fromisoformat(day))
        known = None if short is None else bool(short)
        yield Asking(line, when, place, job, item, what, quantity, known)


def _fleet(connection: Connection) -> Iterator[Position]:
    names = ("line", "place", "machine", "hub", "position", "item", "what", "quantity", "jobs")
    table = fleet_position
    asked = select(*(table.c[name] for name in names)).order_by(table.c.source_id, table.c.line)
    for row in connection.execute(asked):
        yield Position(*row)


def _terms(connection: Connection) -> Iterator[tuple[Asked, Terms]]:
    table = part_terms
    asked = select(*table.columns[2:]).order_by(table.c.source_id, table.c.line)
    for row in connection.execute(asked):
        yield (
            (row.item, row.what),
            Terms(
                row.price,
                row.currency,
                row.lead_days,
                row.lead_days_sd,
                row.pack,
                row.minimum,
                row.shelf_life_months,
                None if row.critical is None else bool(row.critical),
            ),
        )


def _counts(connection: Connection) -> Iterator[Counted]:
    asked = select(stock_level).order_by(stock_level.c.place, stock_level.c.item)
    for row in connection.execute(asked):
        day = date.fromisoformat(row.counted_at[:10])
        yield Counted(0, row.place, row.item, row.what, row.on_hand, day)


def _stretches(connection: Connection) -> Iterator[Empty]:
    asked = select(empty_shelf).order_by(*empty_shelf.primary_key.columns)
    for row in connection.execute(asked):
        first, end = date.fromisoformat(row.first_day), date.fromisoformat(row.end_day)
        yield Empty(0, row.place, row.item, row.what, first, end)


def card_lines(connection: Connection) -> tuple[list[Asking], tuple[str, ...]]:
    """The parts that kept job cards order, one job a card, and what was left out.

    Parameters
    ----------
    connection : Connection
        The store.

    Notes
    -----
    A part that the card has not decided on is no demand for one size, and is told instead.
    """
    found: list[Asking] = []
    left: Counter[str] = Counter()
    kinds = {title: title for title in (kind(name).title for name in kind_names())}
    asked = select(job_card.c.id, job_card.c.day, job_card.c.place, job_card.c.card)
    for number, day, place, text in connection.execute(asked.order_by(job_card.c.id)):
        try:
            when = date.fromisoformat(day[:10])
        except ValueError:
            left["card{s} without a day"] += 1
            continue
        for part in json.loads(text)["parts"]:
            called = str(part.get("what"))
            what = _KEPT.get(called) or kinds.get(called)
            if what is None:
                left["part{s} of cards, such as oil, that {are} not kept by size"] += 1
            elif (
                not part.get(_DECIDED)
                or not part.get("size")
                or (called in kinds and not find_part(plain_text(f"{called} {part['size']}")))
            ):
                left["part{s} of cards that {were} not decided on"] += 1
            else:
                size, quantity = str(part["size"]), int(part.get("quantity") or 1)
                branch = place or ONE_BRANCH
                found.append(
                    Asking(0, when, branch, f"card {number}", size, what, max(quantity, 1), None)
                )
    one, more = {"s": "", "are": "is", "were": "was"}, {"s": "s", "are": "are", "were": "were"}
    notes = []
    for words, count in sorted(left.items()):
        form = one if count == 1 else more
        notes.append(f"{count} {words.format(**form)} {form['are']} not counted")
    return found, tuple(notes)
