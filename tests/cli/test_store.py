"""`fitcheck store`: where it is, saved, brought back."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from fitcheck.store.schema import HEAD

Run = Callable[..., tuple[int, str, str]]
LIST = "no;size;price\n0012;35x52x7;4,20\n0013;40x62x8;5,10\n"


@pytest.fixture
def filled(run: Run, shop: str) -> str:
    """A store with a list and a card."""
    assert run("lists", "add", "north", "-", stdin=LIST)[0] == 0
    assert run("jobs", "keep", "data/demo/drum.toml")[0] == 0
    return shop


def test_there_is_none_yet(run: Run, shop: str) -> None:
    status, out, err = run("store", "info")
    assert (status, err) == (0, "")
    assert "there is none yet" in out
    assert json.loads(run("store", "info", "--json")[1])["there"] is False
    assert run("store", "backup", "shop.backup")[0] == 1


def test_info_says_what_it_holds_and_whether_it_is_sound(run: Run, filled: str) -> None:
    status, out, err = run("store", "info", "--check")
    assert (status, err) == (0, "")
    assert "1 list, 2 lines, 1 column plan, 1 job card" in " ".join(out.split())
    assert "everything in it is sound" in out
    found = json.loads(run("store", "info", "--check", "--json")[1])
    assert found["holds"]["lines"] == 2
    assert found["faults"] == []
    assert found["tables"] == HEAD


def test_a_backup_is_brought_back(run: Run, filled: str, tmp_path: Path) -> None:
    file = str(tmp_path / "shop.backup")
    status, out, err = run("store", "backup", file)
    assert (status, err) == (0, "")
    assert out.startswith("1 list with 2 lines and 1 job card saved to")
    assert run("lists", "remove", "north")[0] == 0
    status, _, err = run("store", "restore", file)
    assert status == 2
    assert "the store already holds 1 column plan, 1 job card" in err
    status, out, err = run("store", "restore", file, "--replace", "--json")
    assert (status, err) == (0, "")
    assert json.loads(out)["rows"]["list_line"] == 2
    assert run("lists", "show", "north")[0] == 0


def test_a_backup_replaces_a_backup_and_nothing_else(run: Run, filled: str, tmp_path: Path) -> None:
    file = tmp_path / "shop.backup"
    assert run("store", "backup", str(file))[0] == 0
    assert run("store", "backup", str(file), "--json")[0] == 0
    other = tmp_path / "letter.txt"
    other.write_text("Dear sir", encoding="utf-8")
    status, _, err = run("store", "backup", str(other))
    assert status == 2
    assert "this file is no backup, and it would be replaced" in err
    assert other.read_text(encoding="utf-8") == "Dear sir"
    assert sorted(path.name for path in tmp_path.glob("*.part")) == []


def test_a_backup_where_none_can_be_written(run: Run, filled: str, tmp_path: Path) -> None:
    status, _, err = run("store", "backup", str(tmp_path / "none" / "shop.backup"))
    assert status == 2
    assert "no file can be written there" in err


def test_what_is_no_backup_is_not_brought_back(run: Run, filled: str, tmp_path: Path) -> None:
    file = tmp_path / "letter.txt"
    file.write_text("Dear sir", encoding="utf-8")
    status, _, err = run("store", "restore", str(file), "--replace")
    assert status == 1
    assert "this is no backup, or it is damaged" in err


def test_upgrade_makes_the_tables_or_leaves_them(run: Run, shop: str) -> None:
    assert run("store", "upgrade") == (
        0,
        f"The tables were at nothing and are at {HEAD} now.\n",
        "",
    )
    assert run("store", "upgrade") == (0, f"The tables are up to date ({HEAD}).\n", "")
    assert json.loads(run("store", "upgrade", "--json")[1]) == {"before": HEAD, "now": HEAD}


def test_another_kind_of_database_is_refused(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FITCHECK_DATABASE", "mysql://counter:secret@db/shop")
    status, _, err = run("store", "info")
    assert status == 2
    assert "a store is a SQLite file or a PostgreSQL database" in err
    assert "secret" not in err
