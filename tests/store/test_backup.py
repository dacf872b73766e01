"""The store in one file: saved, brought back, into either database, whole or not at all."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import insert, select

from fitcheck.errors import DataError, InputError
from fitcheck.lists.lines import Block, Remark
from fitcheck.store import open_store
from fitcheck.store.backup import is_backup, read_backup, write_backup
from fitcheck.store.cards import keep_card, kept_card
from fitcheck.store.check import faults_found
from fitcheck.store.schema import demand, stock_level
from fitcheck.store.shop import Store

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]

CARD = {"verdict": "go", "job": {"title": "Hub", "note": "Öl\n\0"}, "positions": [], "parts": []}


@pytest.fixture
def full(store: Store, blocks_of: Make, invented: Seals) -> Store:
    """A store with something of everything."""
    remarks = [Remark("repaired", 2, "price", "4,2O", "an O\nfor a 0")]
    store.replace_list("gone", blocks_of(invented(2)))
    store.remove_list("gone")
    store.replace_list("north", blocks_of(invented(200), remarks=remarks), plan={"unit": "mm"})
    store.replace_list(
        "south", blocks_of([{"description": 'Dichtung ∅ 35 \u2028 "x"', "price": ""}])
    )
    with store.writing() as connection:
        keep_card(connection, CARD)
        place = {"place": "quay", "item": "30206"}
        counted = insert(stock_level).values(**place, on_hand=2, counted_at="2026-01-01")
        connection.execute(counted)
        connection.execute(insert(demand).values(**place, day="2026-03-09", quantity=2, note=""))
    return store


def saved(store: Store, path: Path) -> str:
    """Save a store to a file."""
    with path.open("wb") as target:
        write_backup(store, target)
    return str(path)


def contents(path: str) -> dict[str, bytes]:
    """What is in a backup, without its moment."""
    with zipfile.ZipFile(path) as archive:
        found = {name: archive.read(name) for name in archive.namelist()}
    about = json.loads(found["store.json"])
    del about["made_at"]
    return {**found, "store.json": json.dumps(about).encode()}


def changed(path: str, to: Path, **members: bytes | None) -> str:
    """A backup with other members; None leaves one out."""
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(to, "w") as target:
        for name in source.namelist():
            key = name.removeprefix("tables/").partition(".")[0]
            data = members.get(key, source.read(name))
            if data is not None:
                target.writestr(name, data)
    return str(to)


def test_a_store_is_saved_and_brought_back(full: Store, tmp_path: Path) -> None:
    first = saved(full, tmp_path / "first")
    assert is_backup(first)
    read_backup(full, first, replace=True)
    assert contents(saved(full, tmp_path / "second")) == contents(first)
    with full.reading() as connection:
        assert faults_found(connection) == []
        assert kept_card(connection, 1) == CARD
        (level,) = connection.execute(select(stock_level)).all()
        assert level[:4] == ("quay", "30206", 2, "2026-01-01")
        assert len(connection.execute(select(demand)).all()) == 1
        assert full.column_plan("north") == {"unit": "mm"}


def test_a_store_moves_to_the_other_database_and_back(
    full: Store, tmp_path: Path, blocks_of: Make, invented: Seals
) -> None:
    first = saved(full, tmp_path / "first")
    other = open_store(str(tmp_path / "other.sqlite"), create=True)
    there = read_backup(other, first)
    assert there.rows["list_line"] == 201
    second = saved(other, tmp_path / "second")
    assert contents(second) == contents(first)
    read_backup(full, second, replace=True)
    assert contents(saved(full, tmp_path / "third")) == contents(first)
    # What comes next gets numbers of its own.
    for store in (full, other):
        store.replace_list("east", blocks_of(invented(3)))
        with store.writing() as connection:
            assert keep_card(connection, {**CARD, "verdict": "no-go"}) == (2, True)
        with store.reading() as connection:
            assert faults_found(connection) == []


def test_what_is_there_is_not_replaced_unasked(full: Store, tmp_path: Path) -> None:
    first = saved(full, tmp_path / "first")
    full.remove_list("north")
    with pytest.raises(InputError, match="the store already holds 1 list, 1 line"):
        read_backup(full, first)
    assert [info.name for info in full.lists()] == ["south"]
    read_backup(full, first, replace=True)
    assert [info.name for info in full.lists()] == ["north", "south"]


def sealed(path: str, table: str, data: bytes) -> bytes:
    """The description of a backup in which a table's data are other data, and rightly so."""
    with zipfile.ZipFile(path) as archive:
        about = json.loads(archive.read("store.json"))
    for one in about["tables"]:
        if one["name"] == table:
            one["sha256"] = hashlib.sha256(data).hexdigest()
            one["rows"] = data.count(b"\n")
    return json.dumps(about).encode()


def test_a_damaged_backup_changes_nothing(full: Store, tmp_path: Path) -> None:
    first = saved(full, tmp_path / "first")
    before = contents(first)
    whole = Path(first).read_bytes()
    stray = b"[9,9,9,9,9,null,null,null,null,null,null,null,null]\n"
    about = json.loads(zipfile.ZipFile(first).read("store.json"))
    newer = json.dumps({**about, "revision": "9999"}).encode()
    later = json.dumps({**about, "version": 2}).encode()
    foreign = json.dumps({**about, "format": "something else"}).encode()
    (tmp_path / "short").write_bytes(whole[: len(whole) // 2])
    (tmp_path / "text").write_text("no archive at all")
    flipped = bytearray(whole)
    flipped[whole.index(b"list_line.jsonl") + 60] ^= 0xFF
    (tmp_path / "flipped").write_bytes(flipped)
    wrong = {
        "short": "this is no backup, or it is damaged",
        "text": "this is no backup, or it is damaged",
        "flipped": "damaged",
        changed(first, tmp_path / "a", list_line=b""): "its table list_line is damaged",
        changed(first, tmp_path / "b", list_line=None): "this is no backup, or it is damaged",
        changed(first, tmp_path / "c", store=None): "this is no backup, or it is damaged",
        changed(first, tmp_path / "d", store=b"[]"): "this is no backup, or it is damaged",
        changed(first, tmp_path / "e", store=newer): "newer version",
        changed(first, tmp_path / "f", store=later): "newer version",
        changed(first, tmp_path / "g", store=foreign): "no backup of a fitcheck store",
        changed(
            first, tmp_path / "h", list_line=stray, store=sealed(first, "list_line", stray)
        ): "what it holds is not sound",
        changed(
            first, tmp_path / "i", list_line=b"[1,\n", store=sealed(first, "list_line", b"[1,\n")
        ): "this is no backup, or it is damaged",
        changed(
            first, tmp_path / "j", list_line=b"[1]\n", store=sealed(first, "list_line", b"[1]\n")
        ): "the database reports",
    }
    for path, words in wrong.items():
        with pytest.raises(DataError, match=words):
            read_backup(full, str(tmp_path / path), replace=True)
        assert contents(saved(full, tmp_path / "now")) == before, path


def test_columns_that_no_store_has_are_refused(full: Store, tmp_path: Path) -> None:
    first = saved(full, tmp_path / "first")
    about = json.loads(zipfile.ZipFile(first).read("store.json"))
    about["tables"][0]["columns"][0] = "x); DROP TABLE list_line; --"
    path = changed(first, tmp_path / "a", store=json.dumps(about).encode())
    with pytest.raises(DataError, match="has other columns than a store's"):
        read_backup(full, path, replace=True)
    about = json.loads(zipfile.ZipFile(first).read("store.json"))
    with zipfile.ZipFile(tmp_path / "b", "w") as archive:
        data = b""
        archive.writestr("tables/sqlite_master.jsonl", data)
        table = {"name": "sqlite_master", "columns": [], "rows": 0}
        table["sha256"] = hashlib.sha256(data).hexdigest()
        archive.writestr("store.json", json.dumps({**about, "tables": [table]}))
    with pytest.raises(DataError, match=r"that no store has|other columns"):
        read_backup(full, str(tmp_path / "b"), replace=True)
    assert len(full.lists()) == 2


def test_a_file_that_is_not_there(store: Store, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_backup(store, str(tmp_path / "none"))
    with pytest.raises(InputError, match="this can't be read as a file"):
        read_backup(store, str(tmp_path))
    assert store.revision() is None
