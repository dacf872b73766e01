"""Stock levels and demand: how many of a part lie at a place, and when some were asked for.

A part is named by its size or designation as text, ``35 x 52 x 7`` or ``30206``.
"""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import Connection, delete, insert, select

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.store.names import checked_name
from fitcheck.store.records import now_text
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


def set_levels(connection: Connection, levels: Iterable[Level]) -> None:
    """Write what was counted, in the place of the count before.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    levels : iterable of Level
        The counts; one without a time was counted now.

    Raises
    ------
    InputError
        A count is less than nothing, or a name is no name.
    """
    for level in levels:
        if level.on_hand < 0:
            raise InputError(
                value=f"{level.on_hand} of {level.item}",
                rule="there can't be less than nothing on hand",
                todo="Give what was counted",
            )
        place = checked_name(level.place, what="a place")
        item = checked_name(level.item, what="a part")
        connection.execute(
            delete(stock_level).where(stock_level.c.place == place, stock_level.c.item == item)
        )
        connection.execute(
            insert(stock_level).values(
                place=place,
                item=item,
                on_hand=level.on_hand,
                counted_at=level.counted_at or now_text(),
            )
        )


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


def add_demand(connection: Connection, wanted: Iterable[Demand]) -> None:
    """Write down what was asked for.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    wanted : iterable of Demand
        What was asked for.

    Raises
    ------
    InputError
        A day or a quantity can't be right, or a name is no name.
    """
    from datetime import date

    for one in wanted:
        try:
            day = date.fromisoformat(one.day).isoformat()
        except ValueError as error:
            raise InputError(
                value=one.day, rule="this is no day", todo="Write it as 2026-03-09"
            ) from error
        if one.quantity < 1:
            raise InputError(
                value=f"{one.quantity} of {one.item}",
                rule="at least one piece is asked for",
                todo="Give how many were asked for",
            )
        connection.execute(
            insert(demand).values(
                place=checked_name(one.place, what="a place"),
                item=checked_name(one.item, what="a part"),
                day=day,
                quantity=one.quantity,
                note=one.note,
            )
        )


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
