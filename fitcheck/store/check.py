"""Whether a store is sound: what its database and its own rules say about it."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, func, select, text

from fitcheck.store.schema import list_execution, list_line, list_size, supplier_list


def faults_found(connection: Connection) -> list[str]:
    """Everything that is wrong with a store; nothing when it is sound.

    Parameters
    ----------
    connection : Connection
        The database.
    """
    return [*_of_database(connection), *_of_lists(connection), *_of_strays(connection)]


def _of_database(connection: Connection) -> Iterator[str]:
    if connection.dialect.name != "sqlite":
        return
    for (words,) in connection.execute(text("PRAGMA integrity_check")):
        if words != "ok":
            yield f"the file: {words}"
    for row in connection.execute(text("PRAGMA foreign_key_check")):
        yield f"a row of {row[0]} belongs to a row of {row[2]} that is not there"


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
