"""Migrations: run by the first write, never by a read, and all or none."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text

from fitcheck.errors import DataError, NotKnownError
from fitcheck.lists.lines import Block, Remark
from fitcheck.store import migrate, open_store, shop, store_is_there
from fitcheck.store.schema import HEAD, VERSION_TABLE, metadata
from fitcheck.store.shop import Store

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]


def set_revision(store: Store, revision: str) -> None:
    """Let a store say that it is at another migration."""
    with store.database.writing() as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '{revision}'"))


def test_the_tables_are_those_the_program_knows(store: Store) -> None:
    assert store.upgrade() is None
    with store.reading() as connection:
        context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
        assert compare_metadata(context, metadata) == []


def test_the_newest_migration_is_the_one_the_program_is_made_for() -> None:
    assert migrate.known_revisions()[-1] == HEAD


def test_the_first_write_makes_the_tables(store: Store, blocks_of: Make, invented: Seals) -> None:
    assert store.revision() is None
    assert not store_is_there()
    store.replace_list("north", blocks_of(invented(1)))
    assert store.revision() == HEAD
    assert store_is_there()
    assert store.upgrade() == HEAD


def test_an_older_store_is_not_read_until_it_is_brought_up_to_date(
    store: Store, blocks_of: Make, invented: Seals, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.replace_list("north", blocks_of(invented(1)))
    set_revision(store, "0000")
    steps = []
    monkeypatch.setattr(migrate, "known_revisions", lambda: ["0000", HEAD])
    monkeypatch.setattr(shop, "migrate", lambda connection: (steps.append(1), set_here(connection)))

    def set_here(connection: Any) -> None:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '{HEAD}'"))

    with pytest.raises(DataError, match=r"older version.*`fitcheck store upgrade`"):
        open_store().lists()
    with pytest.raises(DataError, match="older version"):
        store.column_plan("north")
    assert store.revision() == "0000"
    # What is written brings it up to date first.
    store.replace_list("south", blocks_of(invented(1)))
    assert steps == [1]
    assert [info.name for info in store.lists()] == ["north", "south"]


def test_a_newer_store_is_neither_read_nor_written(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(1)))
    set_revision(store, "9999")
    for work in (
        store.lists,
        store.upgrade,
        lambda: store.replace_list("north", blocks_of(invented(2))),
    ):
        with pytest.raises(DataError, match=r"newer version \(9999.*Update fitcheck"):
            work()
    assert store.revision() == "9999"


def test_a_migration_that_fails_leaves_nothing_behind(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = migrate.migrate

    def failing(connection: Any) -> None:
        real(connection)
        raise DataError(value="here", rule="it fails", todo="Look")

    monkeypatch.setattr(shop, "migrate", failing)
    with pytest.raises(DataError, match="it fails"):
        store.upgrade()
    assert store.revision() is None
    with pytest.raises(NotKnownError):
        store.lists()
    monkeypatch.setattr(shop, "migrate", real)
    store.upgrade()
    assert store.revision() == HEAD


def test_another_programs_file_is_left_alone(
    tmp_path: Path, blocks_of: Make, invented: Seals
) -> None:
    path = tmp_path / "other.sqlite"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE bookmarks (title TEXT)")
    other.close()
    store = open_store(str(path), create=True)
    theirs = path.read_bytes()
    match = r"belongs to another program \(it has bookmarks\)"
    with pytest.raises(DataError, match=match):
        store.replace_list("north", blocks_of(invented(1)))
    with pytest.raises(DataError, match=match):
        store.lists()
    with pytest.raises(DataError, match=match):
        store_is_there(str(path))
    assert path.read_bytes() == theirs
