"""A store on a read-only mount is read, and nothing is made beside it."""

from __future__ import annotations

import os
from pathlib import Path
from types import SimpleNamespace

import pytest

from fitcheck.errors import DataError
from fitcheck.store import open_store
from fitcheck.store.engine import is_unchanging


def read_only(_path: object) -> SimpleNamespace:
    return SimpleNamespace(f_flag=os.ST_RDONLY)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "shop.sqlite"
    open_store(str(path), create=True).ready()
    return path


def test_a_store_is_read_without_a_log_beside_it(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fitcheck.store.engine.os.statvfs", read_only)
    with open_store(str(file)).moment() as moment:
        assert moment.lists() == []
        assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_what_is_changed_meanwhile_is_told(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fitcheck.store.engine.os.statvfs", read_only)
    store = open_store(str(file))
    with pytest.raises(DataError, match="Try again"), store.moment():
        os.utime(file, ns=(1, 1))


def test_a_file_with_a_log_is_read_by_its_log(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fitcheck.store.engine.os.statvfs", read_only)
    assert is_unchanging(file)
    file.with_name(f"{file.name}-wal").write_bytes(b"log")
    assert not is_unchanging(file)
