"""Stock levels and demand: how many of a part lie at a place, and when some were asked for.

A part is named by its size or designation as text, ``35 x 52 x 7`` or ``30206``.
"""

from __future__ import annotations

from sqlalchemy import Connection, select

from fitcheck.records import dataclass
from fitcheck.store.schema import demand, stock_level


@dataclass(frozen=True, slots=True)
class Level:
    """How many pieces of a part lie at a place, and when that was counted."""

    place: str
    item: str
    on_hand: int
    counted_at: str = ""


@dataclass(frozen=True, slots=True)
class Demand:
    """Some pieces of a part asked for at a place on a day, written 2026-03-09."""

    place: str
    item: str
    day: str
    quantity: int
    note: str = ""


def levels(connection: Connection, *, place: str | None = None) -> list[Level]:
    """The stock levels, by place and part.

    Parameters
    ----------
    connection : Connection
        The store.
    place : str, optional
        One place; all of them when left out.
    """
    asked = select(stock_level)
    if place is not None:
        asked = asked.where(stock_level.c.place == place)
    found = (Level(*row[:4]) for row in connection.execute(asked))
    return sorted(found, key=lambda level: (level.place, level.item))


def demands(
    connection: Connection, *, item: str | None = None, place: str | None = None, since: str = ""
) -> list[Demand]:
    """What was asked for, by day.

    Parameters
    ----------
    connection : Connection
        The store.
    item, place : str, optional
        One part, one place; all of them when left out.
    since : str
        The first day.
    """
    columns = [demand.c[name] for name in ("place", "item", "day", "quantity", "note")]
    asked = select(*columns).where(demand.c.day >= since).order_by(demand.c.day, demand.c.id)
    if item is not None:
        asked = asked.where(demand.c.item == item)
    if place is not None:
        asked = asked.where(demand.c.place == place)
    return [Demand(*row) for row in connection.execute(asked)]
