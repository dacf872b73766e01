"""The whole store in one file, from either database and into either.

The file is a zip archive: ``store.json`` says which tables, columns and migration there are, and
for each table there is one file with a row as a JSON array on each line.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, BinaryIO

from sqlalchemy import Column, Connection, MetaData, Table, func, inspect, select, text

from fitcheck.archives import DatedZip
from fitcheck.errors import DataError, InputError
from fitcheck.records import dataclass
from fitcheck.store.check import faults_found
from fitcheck.store.migrate import drop_all, known_revisions, migrate
from fitcheck.store.records import counted, now_text
from fitcheck.store.schema import (
    HEAD,
    column_plan,
    demand,
    job_card,
    list_line,
    metadata,
    stock_level,
    supplier_list,
)
from fitcheck.store.shop import Store

FORMAT = "fitcheck store"
FORMAT_VERSION = 1
CONTENTS = "store.json"

_ROWS = 10_000
_LEVEL = 4
_LARGEST_CONTENTS = 1_000_000
_WHOLE = "Take another backup; what is in the store is untouched"
# What the archive or a line of it may raise; a locked archive is a RuntimeError.
_UNREADABLE = (zipfile.BadZipFile, zlib.error, EOFError, json.JSONDecodeError, RuntimeError)
_HELD = (
    ("list", supplier_list),
    ("line", list_line),
    ("column plan", column_plan),
    ("job card", job_card),
    ("stock level", stock_level),
    ("demand", demand),
)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a backup holds: its migration, its moment, and the rows of each table."""

    revision: str
    made_at: str
    rows: Mapping[str, int]


def is_backup(path: str) -> bool:
    """Whether a file is a backup of a store.

    Parameters
    ----------
    path : str
        The file.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            return CONTENTS in archive.namelist()
    except (OSError, zipfile.BadZipFile):
        return False


def write_backup(store: Store, target: BinaryIO) -> Contents:
    """Write the store as it is at this moment.

    Parameters
    ----------
    store : Store
        The store.
    target : binary file
        Where to.
    """
    tables: list[dict[str, Any]] = []
    made_at = now_text()
    with (
        store.reading() as connection,
        DatedZip(target, level=_LEVEL) as archive,
    ):
        for table in metadata.sorted_tables:
            digest, count = hashlib.sha256(), 0
            with archive.open(_member(table.name), "w", force_zip64=True) as member:
                for rows in _rows(connection, table):
                    data = "".join(f"{json.dumps(list(row))}\n" for row in rows).encode("ascii")
                    digest.update(data)
                    member.write(data)
                    count += len(rows)
            tables.append(
                {
                    "name": table.name,
                    "columns": [column.name for column in table.columns],
                    "rows": count,
                    "sha256": digest.hexdigest(),
                }
            )
        contents = {
            "format": FORMAT,
            "version": FORMAT_VERSION,
            "revision": HEAD,
            "made_at": made_at,
            "tables": tables,
        }
        archive.writestr(CONTENTS, json.dumps(contents, indent=1))
    return Contents(HEAD, made_at, {table["name"]: table["rows"] for table in tables})


def _member(table: str) -> str:
    return f"tables/{table}.jsonl"


def _rows(connection: Connection, table: Table) -> Iterator[Sequence[Any]]:
    result = connection.execute(
        select(table).order_by(*table.primary_key.columns),
        execution_options={"yield_per": _ROWS, "max_row_buffer": _ROWS},
    )
    with result:
        yield from result.partitions()


def read_backup(store: Store, path: str, *, replace: bool = False) -> Contents:
    """Fill the store from a backup, whole or not at all.

    Parameters
    ----------
    store : Store
        The store; it is made where it isn't there.
    path : str
        The backup.
    replace : bool
        Whether what the store holds may be replaced.

    Raises
    ------
    InputError
        There is no such file, or the store holds something and may not be replaced.
    DataError
        The backup is damaged, is no backup, or is of a newer version.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            contents = _contents(archive, path)
            for table in contents["tables"]:
                _verify(archive, table, path)
            _fill(store, archive, contents, path, replace=replace)
    except _UNREADABLE as error:
        raise _damaged(path, "this is no backup, or it is damaged") from error
    except FileNotFoundError as error:
        raise InputError(value=path, rule="there is no such file", todo="Check the name") from error
    except (IsADirectoryError, PermissionError) as error:
        raise InputError(
            value=path, rule="this can't be read as a file", todo="Name a file that you may read"
        ) from error
    rows = {table["name"]: table["rows"] for table in contents["tables"]}
    return Contents(contents["revision"], contents["made_at"], rows)


def _damaged(path: str, rule: str) -> DataError:
    return DataError(value=path, rule=rule, todo=_WHOLE)


def _contents(archive: zipfile.ZipFile, path: str) -> dict[str, Any]:
    """What the backup says of itself, once it is known to say it in our way."""
    try:
        info = archive.getinfo(CONTENTS)
        if info.file_size > _LARGEST_CONTENTS:
            raise _damaged(path, f"its {CONTENTS} is far too large")
        found: dict[str, Any] = json.loads(archive.read(info))
        known = found["format"] == FORMAT
        version, revision = int(found["version"]), str(found["revision"])
        str(found["made_at"])
        for table in found["tables"]:
            archive.getinfo(_member(table["name"]))
            if not isinstance(table["rows"], int) or not isinstance(table["sha256"], str):
                known = False
            known = known and all(isinstance(name, str) for name in table["columns"])
    except (KeyError, TypeError, ValueError) as error:
        raise _damaged(path, "this is no backup, or it is damaged") from error
    if not known:
        raise _damaged(path, "this is no backup of a fitcheck store")
    if version > FORMAT_VERSION or revision not in known_revisions():
        raise DataError(
            value=path,
            rule=f"this backup is of a newer version ({version}, tables {revision})",
            todo="Update fitcheck",
        )
    return found


def _verify(archive: zipfile.ZipFile, table: Mapping[str, Any], path: str) -> None:
    """Refuse a table that is not what was written, before anything is touched."""
    digest, count = hashlib.sha256(), 0
    with archive.open(_member(table["name"])) as member:
        for line in member:
            digest.update(line)
            count += 1
    if digest.hexdigest() != table["sha256"] or count != table["rows"]:
        raise _damaged(path, f"its table {table['name']} is damaged")


def _fill(
    store: Store,
    archive: zipfile.ZipFile,
    contents: Mapping[str, Any],
    path: str,
    *,
    replace: bool,
) -> None:
    database = store.database
    store.ready()
    with database.writing() as connection:
        database.lock_schema(connection)
        there = ", ".join(counted(count, what) for what, count in held(connection).items() if count)
        if there and not replace:
            raise InputError(
                value=store.place.shown,
                rule=f"the store already holds {there}",
                todo="--replace puts the backup in its place; take a backup of it first",
            )
        drop_all(connection)
        migrate(connection, to=contents["revision"])
        for table in contents["tables"]:
            target = _target(connection, table, path)
            with archive.open(_member(table["name"])) as member:
                database.bulk_insert(connection, target, map(json.loads, member))
            if "id" in target.columns and not database.is_sqlite:
                _number_on(connection, target)
        migrate(connection)
        faults = faults_found(connection)
        if faults:
            raise _damaged(path, f"what it holds is not sound: {faults[0]}")


def held(connection: Connection) -> dict[str, int]:
    """What a store holds, counted by kind.

    Parameters
    ----------
    connection : Connection
        The store.
    """
    return {
        what: connection.execute(select(func.count()).select_from(table)).scalar_one()
        for what, table in _HELD
    }


def _target(connection: Connection, table: Mapping[str, Any], path: str) -> Table:
    """A table by its columns in the backup's order, which must be those of the database."""
    there = inspect(connection)
    if not there.has_table(table["name"]):
        raise _damaged(path, f"it has a table {table['name']!r} that no store has")
    types = {column["name"]: column["type"] for column in there.get_columns(table["name"])}
    if sorted(types) != sorted(table["columns"]):
        raise _damaged(path, f"its table {table['name']} has other columns than a store's")
    columns = [Column(name, types[name]) for name in table["columns"]]
    return Table(table["name"], MetaData(), *columns)


def _number_on(connection: Connection, table: Table) -> None:
    """Let new rows be numbered after those that came with their numbers."""
    highest = connection.execute(select(func.max(table.c.id))).scalar() or 0
    connection.execute(
        text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :next, false)"),
        {"name": table.name, "next": highest + 1},
    )
