"""The shop's own records for stocking, kept whole: history, fleet, terms and shelf counts."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select

from fitcheck.errors import InputError, NotKnownError
from fitcheck.records import dataclass
from fitcheck.stock.fleet import FleetFile
from fitcheck.stock.history import HistoryFile
from fitcheck.stock.shelf import ShelfFile
from fitcheck.stock.terms import TermsFile
from fitcheck.store.names import checked_name, name_key
from fitcheck.store.records import now_text
from fitcheck.store.schema import (
    demand,
    empty_shelf,
    fleet_position,
    part_terms,
    stock_level,
    stock_source,
)

HISTORY, FLEET, TERMS = "history", "fleet", "terms"
_ROWS = 10_000
_TABLES: Mapping[str, Table] = {HISTORY: demand, FLEET: fleet_position, TERMS: part_terms}


@dataclass(frozen=True, slots=True)
class Source:
    """A file of records that is kept: its kind, its name, when it came, and its lines."""

    kind: str
    name: str
    added_at: str
    lines: int


def digest_of(path: str) -> str:
    """What tells a file's contents from those of any other.

    Parameters
    ----------
    path : str
        The file.
    """
    found = hashlib.sha256()
    with open(path, "rb") as handle:
        while block := handle.read(1 << 20):
            found.update(block)
    return found.hexdigest()


def keep_history(connection: Connection, name: str, file: HistoryFile, digest: str) -> bool:
    """Keep a history file, in the place of the one of this name.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    name : str
        What it is called.
    file : HistoryFile
        Its lines.
    digest : str
        See `digest_of`.

    Returns
    -------
    bool
        Whether it took the place of another.

    Raises
    ------
    InputError
        The same file is kept under another name, a line was refused, or there is none.
    """
    number, there = _source(connection, HISTORY, name, (digest, len(file.lines), file.refused))
    rows = (
        {
            "place": one.branch,
            "item": one.text,
            "day": one.day.isoformat(),
            "quantity": one.quantity,
            "note": "",
            "job": one.job,
            "what": one.what,
            "short": None if one.short is None else int(one.short),
            "line": one.line,
            "source_id": number,
        }
        for one in file.lines
    )
    _insert(connection, demand, rows)
    return there


def keep_fleet(connection: Connection, name: str, file: FleetFile, digest: str) -> bool:
    """Keep a fleet file, in the place of the one of this name; see `keep_history`.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    name : str
        What it is called.
    file : FleetFile
        Its positions.
    digest : str
        See `digest_of`.
    """
    number, there = _source(connection, FLEET, name, (digest, len(file.positions), file.refused))
    rows = (
        {
            "source_id": number,
            "line": one.line,
            "place": one.branch,
            "machine": one.machine,
            "hub": one.hub,
            "position": one.position,
            "item": one.text,
            "what": one.what,
            "quantity": one.quantity,
            "jobs": one.jobs,
        }
        for one in file.positions
    )
    _insert(connection, fleet_position, rows)
    return there


def keep_terms(connection: Connection, name: str, file: TermsFile, digest: str) -> bool:
    """Keep a file of terms, in the place of the one of this name; see `keep_history`.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    name : str
        What it is called.
    file : TermsFile
        Its lines.
    digest : str
        See `digest_of`.
    """
    number, there = _source(connection, TERMS, name, (digest, len(file.lines), file.refused))
    rows = (
        {
            "source_id": number,
            "line": line,
            "item": text,
            "what": what,
            "price": terms.price,
            "currency": terms.currency,
            "lead_days": terms.lead_days,
            "lead_days_sd": terms.lead_days_sd,
            "pack": terms.pack,
            "minimum": terms.minimum,
            "shelf_life_months": terms.shelf_life_months,
            "critical": None if terms.critical is None else int(terms.critical),
        }
        for line, (text, what), terms in file.lines
    )
    _insert(connection, part_terms, rows)
    return there


def keep_shelf(connection: Connection, file: ShelfFile) -> None:
    """Keep shelf counts in the place of those before, and add the stretches of empty shelves.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    file : ShelfFile
        The counts.

    Raises
    ------
    InputError
        A line was refused, or there is none.
    """
    _check(file.refused, len(file.counts) + len(file.stretches))
    for one in file.counts:
        place, item = checked_name(one.branch, what="a branch"), one.text
        here = (stock_level.c.place == place, stock_level.c.item == item)
        connection.execute(delete(stock_level).where(*here))
        connection.execute(
            insert(stock_level).values(
                place=place,
                item=item,
                what=one.what,
                on_hand=one.pieces,
                counted_at=one.day.isoformat(),
            )
        )
    for stretch in file.stretches:
        row = {
            "place": checked_name(stretch.branch, what="a branch"),
            "item": stretch.text,
            "what": stretch.what,
            "first_day": stretch.first.isoformat(),
        }
        connection.execute(
            delete(empty_shelf).where(*(empty_shelf.c[name] == row[name] for name in row))
        )
        connection.execute(insert(empty_shelf).values(**row, end_day=stretch.end.isoformat()))


def _check(refused: Sequence[object], lines: int) -> None:
    if refused:
        raise InputError(
            value=f"{len(refused)} cells",
            rule="they were refused, and a file is kept whole or not at all",
            todo="Mend them and add the file again",
        )
    if not lines:
        raise InputError(
            value="the file", rule="it has a heading and no line", todo="Name another file"
        )


def _source(
    connection: Connection, kind: str, name: str, facts: tuple[str, int, Sequence[object]]
) -> tuple[int, bool]:
    """The number that the lines of a file get, the lines of an earlier one taken out."""
    digest, lines, refused = facts
    _check(refused, lines)
    name = checked_name(name, what="a file of records")
    key = name_key(name)
    same = connection.execute(
        select(stock_source.c.name).where(
            stock_source.c.kind == kind,
            stock_source.c.digest == digest,
            stock_source.c.name_key != key,
        )
    ).scalar()
    if same is not None:
        raise InputError(
            value=name,
            rule=f"the same file is kept already, as {same}, and would count twice",
            todo=f"Leave it, or take that one out with `fitcheck stock {kind} remove`",
        )
    there = _taken_out(connection, kind, key)
    inserted = insert(stock_source).values(
        kind=kind, name=name, name_key=key, added_at=now_text(), digest=digest, lines=lines
    )
    number: int = connection.execute(inserted.returning(stock_source.c.id)).scalar_one()
    return number, there


def _taken_out(connection: Connection, kind: str, key: str) -> bool:
    number = connection.execute(
        select(stock_source.c.id).where(stock_source.c.kind == kind, stock_source.c.name_key == key)
    ).scalar()
    if number is None:
        return False
    table = _TABLES[kind]
    connection.execute(delete(table).where(table.c.source_id == number))
    connection.execute(delete(stock_source).where(stock_source.c.id == number))
    return True


def remove_source(connection: Connection, kind: str, name: str) -> None:
    """Take a file of records out of the store, with all its lines.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    kind : str
        ``history``, ``fleet`` or ``terms``.
    name : str
        What it is called.

    Raises
    ------
    NotKnownError
        There is no such file.
    """
    if not _taken_out(connection, kind, name_key(name)):
        raise NotKnownError(
            value=name,
            rule=f"no {kind} is kept under that name",
            todo=f"`fitcheck stock {kind} show` lists those there are",
        )


def _insert(connection: Connection, table: Table, rows: Iterable[dict[str, Any]]) -> None:
    source = iter(rows)
    while block := list(islice(source, _ROWS)):
        connection.execute(insert(table), block)


def sources(connection: Connection, kind: str) -> Iterator[Source]:
    """The files of records of a kind, by name.

    Parameters
    ----------
    connection : Connection
        The store.
    kind : str
        ``history``, ``fleet`` or ``terms``.
    """
    columns = [stock_source.c[name] for name in ("kind", "name", "added_at", "lines")]
    rows = connection.execute(select(*columns).where(stock_source.c.kind == kind))
    yield from sorted((Source(*row) for row in rows), key=lambda one: name_key(one.name))
