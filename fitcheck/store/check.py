"""Whether a store is sound: what its database and its own rules say about it."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator

from sqlalchemy import ColumnElement, Connection, Table, func, select, text

from fitcheck.store.schema import (
    job_card,
    list_execution,
    list_line,
    list_size,
    metadata,
    supplier_list,
)


def faults_found(connection: Connection) -> list[str]:
    """Everything that is wrong with a store; nothing when it is sound.

    Parameters
    ----------
    connection : Connection
        The database.
    """
    return [
        *_of_database(connection),
        *_of_values(connection),
        *_of_lists(connection),
        *_of_strays(connection),
        *_of_cards(connection),
    ]


def _of_database(connection: Connection) -> Iterator[str]:
    if connection.dialect.name != "sqlite":
        return
    for (words,) in connection.execute(text("PRAGMA integrity_check")):
        if words != "ok":
            yield f"the file: {words}"
    for row in connection.execute(text("PRAGMA foreign_key_check")):
        yield f"a row of {row[0]} belongs to a row of {row[2]} that is not there"


# What SQLite may keep in a column of each kind: it takes anything anywhere. A kind that is not
# here has to be thought of first, so it is a fault of the program.
_KEPT = {str: "text", int: "integer", float: "real"}


def _of_values(connection: Connection) -> Iterator[str]:
    """Values that are not of their column's kind, and texts that can't be read."""
    if connection.dialect.name != "sqlite":
        return
    raw = connection.connection.driver_connection
    assert isinstance(raw, sqlite3.Connection), "the dialect is that of SQLite"
    for table in metadata.sorted_tables:
        kinds = {column.name: _KEPT[column.type.python_type] for column in table.columns}
        sums = ", ".join(
            f"""sum(typeof("{name}") NOT IN ('{kind}', 'null'))""" for name, kind in kinds.items()
        )
        counted = connection.execute(text(f"SELECT {sums} FROM {table.name}")).one()
        for name, wrong in zip(kinds, counted, strict=True):
            if wrong:
                yield f"{table.name}, {name}: {wrong} values are no {kinds[name]}"
        yield from _unreadable(raw, table, [n for n, kind in kinds.items() if kind == "text"])


def _unreadable(raw: sqlite3.Connection, table: Table, names: list[str]) -> Iterator[str]:
    """The columns of a table that hold texts which are no UTF-8, read as the bytes they are."""
    wrong = dict.fromkeys(names, 0)
    cursor = raw.cursor()
    before, raw.text_factory = raw.text_factory, bytes
    try:
        columns = ", ".join(f'"{name}"' for name in names)
        for row in cursor.execute(f"SELECT {columns} FROM {table.name}") if names else ():
            for name, value in zip(names, row, strict=True):
                if isinstance(value, bytes) and not _is_utf8(value):
                    wrong[name] += 1
    finally:
        raw.text_factory = before
        cursor.close()
    for name, count in wrong.items():
        if count:
            yield f"{table.name}, {name}: {count} texts can't be read, they are no UTF-8"


def _is_utf8(value: bytes) -> bool:
    try:
        value.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _of_lists(connection: Connection) -> Iterator[str]:
    lines = {
        row[0]: tuple(row[1:])
        for row in connection.execute(
            select(
                list_line.c.list_id,
                func.count(),
                func.min(list_line.c.position),
                func.max(list_line.c.position),
            ).group_by(list_line.c.list_id)
        )
    }
    sizes = {
        row[0]: tuple(map(int, row[1:]))
        for row in connection.execute(
            select(list_size.c.list_id, func.count(), func.sum(list_size.c.lines)).group_by(
                list_size.c.list_id
            )
        )
    }
    for row in connection.execute(select(supplier_list).order_by(supplier_list.c.id)):
        stored = row.accepted + row.repaired
        if stored + row.refused != row.lines:
            yield f"list {row.name}: its counts do not add up"
        if lines.pop(row.id, None) != (stored, 0, stored - 1):
            yield f"list {row.name}: it should have {stored} lines and has others"
        if sizes.get(row.id) != (row.sizes, stored):
            yield f"list {row.name}: its sizes and its lines do not agree"
    for list_id in lines:
        yield f"lines of a list that is not there ({list_id})"


def _of_strays(connection: Connection) -> Iterator[str]:
    """Lines whose size or execution is not there."""
    for what, table, number in (
        ("size", list_size, "size_id"),
        ("execution", list_execution, "execution_id"),
    ):
        joined = list_line.outerjoin(
            table,
            (table.c.list_id == list_line.c.list_id) & (table.c[number] == list_line.c[number]),
        )
        stray = connection.execute(
            select(func.count()).select_from(joined).where(table.c.list_id.is_(None))
        ).scalar_one()
        if stray:
            yield f"{stray} lines have no {what}"


def _of_cards(connection: Connection) -> Iterator[str]:
    """Cards that are not what was kept, by the digest that each was kept with."""
    columns: list[ColumnElement[str]] = [job_card.c.digest, job_card.c.card]
    if connection.dialect.name == "sqlite":
        # By their bytes: a text that can't be read is a card that has changed, and ends no search.
        columns = [func.hex(column) for column in columns]
    for number, digest, card in connection.execute(select(job_card.c.id, *columns)):
        if connection.dialect.name == "sqlite":
            digest, card = bytes.fromhex(digest), bytes.fromhex(card)  # noqa: PLW2901
        if not _is_as_kept(digest, card):
            yield f"job card {number}: it is not as it was kept"


def _is_as_kept(digest: str | bytes, card: str | bytes) -> bool:
    try:
        text_of = json.dumps(json.loads(card), ensure_ascii=True, sort_keys=True)
    except ValueError:
        return False
    found = hashlib.sha256(text_of.encode("ascii")).hexdigest()
    return found == (digest if isinstance(digest, str) else digest.decode("ascii", "replace"))
