"""Connections and transactions: one writer at a time, readers that see one moment.

SQLite runs in WAL mode, so that readers go on while one writes; a writer takes its turn with
``BEGIN IMMEDIATE`` and waits for the one before. PostgreSQL does the same by its own means.
"""

from __future__ import annotations

import logging
import os
import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from sqlalchemy import (
    ClauseElement,
    Connection,
    Engine,
    NullPool,
    Table,
    create_engine,
    event,
    insert,
    make_url,
    text,
)
from sqlalchemy.exc import ArgumentError
from sqlalchemy.schema import CreateTable

from fitcheck.errors import InputError
from fitcheck.store.faults import told
from fitcheck.store.location import VARIABLE, WAIT_S, Location

_WRITING = "fitcheck_writing"
# Any number, the same in every copy of the program: writers of the schema wait for each other.
_SCHEMA_LOCK = 3_760_6194
_CONNECT_S = 10


class Database:
    """The database of a store.

    Parameters
    ----------
    place : Location
        Where it is.
    wait_s : float
        How long a writer waits for another [s].
    """

    def __init__(self, place: Location, *, wait_s: float = WAIT_S) -> None:
        self.place = place
        self.wait_s = wait_s
        self.is_sqlite = place.path is not None
        self.engine = self._sqlite(place.path) if place.path else self._postgresql(place)

    def _sqlite(self, path: Path) -> Engine:
        def connect() -> sqlite3.Connection:
            # "rw" opens what is there and never makes a file.
            uri = f"{path.as_uri()}?mode=rw{'&immutable=1' if is_unchanging(path) else ''}"
            return sqlite3.connect(
                uri, uri=True, timeout=self.wait_s, isolation_level=None, check_same_thread=False
            )

        engine = create_engine("sqlite://", creator=connect, poolclass=NullPool)
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine

    def _postgresql(self, place: Location) -> Engine:
        try:
            url = make_url(place.url)
        except (ArgumentError, ValueError) as error:
            raise InputError(
                value=place.shown,
                rule="this is no URL of a database",
                todo=f"Write {VARIABLE} as postgresql+psycopg://USER@HOST/DATABASE",
            ) from error
        # The driver takes whole seconds, two at least.
        connect_s = min(_CONNECT_S, max(2, round(self.wait_s)))
        # Driver and library log what can't be rolled back on a lost connection, with a traceback;
        # the message says it.
        for name in ("psycopg", "sqlalchemy"):
            logging.getLogger(name).addHandler(logging.NullHandler())
        return create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": connect_s})

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that can only read, and sees one moment of the store to its end."""
        options: dict[str, Any] = (
            {}
            if self.is_sqlite
            else {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        )
        with told(self.place.shown), self.engine.connect() as connection:
            if self.is_sqlite:
                self._raw(connection).execute("PRAGMA query_only = ON")
            connection.execution_options(**options)
            before = self._unlogged()
            with connection.begin():
                self._limit_wait(connection)
                yield connection
            if before and self._unlogged() != before:
                raise sqlite_error("SQLITE_BUSY", "changed while it was read without its log")

    def _unlogged(self) -> tuple[int, int] | None:
        """What tells whether a file that is read without its log was changed meanwhile."""
        path = self.place.path
        if path is None or not is_unchanging(path):
            return None
        found = path.stat()
        return found.st_size, found.st_mtime_ns

    @contextmanager
    def connected(self) -> Iterator[Connection]:
        """A connection before its transaction: what is staged on it holds up nobody."""
        with told(self.place.shown), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def transaction(self, connection: Connection) -> Iterator[None]:
        """A writer's transaction: all of it is kept at its end, or nothing.

        Parameters
        ----------
        connection : Connection
            One from ``connected``.
        """
        connection.execution_options(**{_WRITING: True})
        with connection.begin():
            self._limit_wait(connection)
            yield
        if self.is_sqlite:
            # A long transaction leaves a long log; it is folded in when no reader is in the way.
            with suppress(sqlite3.Error):
                raw = self._raw(connection)
                raw.execute("PRAGMA busy_timeout = 0")
                raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection in a writer's transaction."""
        with self.connected() as connection, self.transaction(connection):
            yield connection

    def _limit_wait(self, connection: Connection) -> None:
        """Let PostgreSQL wait for others no longer than SQLite does, in this transaction."""
        if not self.is_sqlite:
            wait_ms = str(max(1, round(self.wait_s * 1000)))
            connection.execute(
                text("SELECT set_config('lock_timeout', :wait, true)"), {"wait": wait_ms}
            )

    def lock_schema(self, connection: Connection) -> None:
        """Wait until no other changes the tables; on SQLite the transaction has seen to that.

        Parameters
        ----------
        connection : Connection
            The database, in a writer's transaction.
        """
        self._lock(connection, _SCHEMA_LOCK, 0)

    def lock_name(self, connection: Connection, kind: int, key: str) -> None:
        """Wait until no other writes what has this name.

        Parameters
        ----------
        connection : Connection
            The database, in a writer's transaction.
        kind : int
            What it is the name of.
        key : str
            The name.
        """
        from zlib import crc32

        self._lock(connection, kind, crc32(key.encode("utf-8")) - 2**31)

    def _lock(self, connection: Connection, one: int, other: int) -> None:
        if not self.is_sqlite:
            connection.execute(
                text("SELECT pg_advisory_xact_lock(:one, :other)"), {"one": one, "other": other}
            )

    def make_file(self) -> None:
        """Make the file of a SQLite store, empty, and its folder; nothing where it is there.

        A file that holds anything is not touched: it may be another program's.
        """
        path = self.place.path
        if path is None or (path.is_file() and path.stat().st_size > 0):
            return
        with told(self.place.shown):
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise sqlite_error("SQLITE_CANTOPEN", str(error)) from error
            raw = sqlite3.connect(
                f"{path.as_uri()}?mode=rwc", uri=True, timeout=self.wait_s, isolation_level=None
            )
            try:
                self._set_wal(raw)
            finally:
                raw.close()

    def _set_wal(self, raw: sqlite3.Connection) -> None:
        """Switch to WAL; SQLite does not wait by itself for others who do so at the same time."""
        end = time.monotonic() + self.wait_s
        while True:
            try:
                raw.execute("PRAGMA journal_mode = WAL")
            except sqlite3.OperationalError as error:
                busy = (error.sqlite_errorname or "").startswith("SQLITE_BUSY")
                if not busy or time.monotonic() > end:
                    raise
                time.sleep(0.02)
            else:
                return

    # --- many rows at once ------------------------------------------------------------------

    def create_temporary(self, connection: Connection, table: Table) -> None:
        """Make a table that only this connection sees and that is gone with it.

        Parameters
        ----------
        connection : Connection
            One from ``connected``.
        table : Table
            A table with the prefix TEMPORARY.
        """
        self._raw(connection).execute(str(CreateTable(table).compile(self.engine)))

    def bulk_insert(
        self, connection: Connection, table: Table, rows: Iterable[Sequence[Any]]
    ) -> None:
        """Insert many rows by the driver's fastest way.

        Parameters
        ----------
        connection : Connection
            The database.
        table : Table
            Where to.
        rows : iterable of sequence
            Values for all columns of the table, in their order.
        """
        raw = self._raw(connection)
        if self.is_sqlite:
            statement = insert(table).compile(self.engine)
            raw.executemany(str(statement), rows)
            return
        from psycopg import sql

        copy = sql.SQL("COPY {} ({}) FROM STDIN").format(
            sql.Identifier(table.name),
            sql.SQL(", ").join(sql.Identifier(column.name) for column in table.columns),
        )
        with raw.cursor() as cursor, cursor.copy(copy) as copying:
            write = copying.write_row
            for row in rows:
                write(row)

    def run_raw(self, connection: Connection, statement: ClauseElement) -> None:
        """Run a statement without values on temporary tables, before the transaction.

        Parameters
        ----------
        connection : Connection
            One from ``connected``.
        statement : ClauseElement
            The statement.
        """
        self._raw(connection).execute(str(statement.compile(self.engine)))

    def raw_transaction(self, connection: Connection, work: Callable[[], None]) -> None:
        """Do some work on temporary tables in one transaction that locks nothing else.

        Parameters
        ----------
        connection : Connection
            One from ``connected``.
        work : callable
            The work. On PostgreSQL it belongs to the transaction that follows.
        """
        if not self.is_sqlite:
            work()
            return
        raw = self._raw(connection)
        raw.execute("BEGIN")
        work()
        raw.execute("COMMIT")

    @staticmethod
    def _raw(connection: Connection) -> Any:
        return connection.connection.driver_connection


def is_unchanging(path: Path) -> bool:
    """Whether a SQLite file lies where nothing can be written, and has no log of its own.

    SQLite keeps an index of its log beside the file; where it can't, the file is read as one that
    nobody changes.

    Parameters
    ----------
    path : Path
        The file.
    """
    try:
        is_read_only = os.statvfs(path).f_flag & os.ST_RDONLY
        log = path.with_name(f"{path.name}-wal")
        return bool(is_read_only) and not (log.exists() and log.stat().st_size)
    except (OSError, AttributeError):
        # Not every system tells; then it is opened like any other.
        return False


def sqlite_error(name: str, words: str) -> sqlite3.OperationalError:
    """An error as SQLite would report it.

    Parameters
    ----------
    name : str
        SQLite's name of it.
    words : str
        What it says.
    """
    error = sqlite3.OperationalError(words)
    error.sqlite_errorname = name
    return error


def _prepare_sqlite(raw: sqlite3.Connection, _record: Any) -> None:
    raw.execute("PRAGMA foreign_keys = ON")
    raw.execute("PRAGMA synchronous = FULL")
    raw.execute("PRAGMA cache_size = -65536")


def _begin_sqlite(connection: Connection) -> None:
    writing = connection.get_execution_options().get(_WRITING, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
