"""`fitcheck tables`: what is listed, shown and cited."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest

from fitcheck import tables

Run = Callable[..., tuple[int, str, str]]
NAMES = tables.table_names()


def test_the_list_names_every_table_and_counts_its_rows(run: Run) -> None:
    status, out, err = run("tables")
    assert (status, err) == (0, "")
    for name in NAMES:
        assert f"\n{name}: " in f"\n{out}"
    total = sum(len(tables.table(name).rows) for name in NAMES)
    assert f"{len(NAMES)} tables, {total} rows" in out


def test_the_list_fits_eighty_columns(run: Run) -> None:
    assert max(len(line) for line in run("tables")[1].splitlines()) <= 80


def test_the_list_as_json_adds_up(run: Run) -> None:
    status, out, err = run("tables", "--json")
    assert (status, err) == (0, "")
    listed = json.loads(out)["tables"]
    assert [entry["name"] for entry in listed] == NAMES
    for entry in listed:
        kinds = [entry[kind] for kind in ("seen", "memory", "invented", "shop")]
        assert sum(kinds) == entry["rows"] == sum(s["rows"] for s in entry["sources"])
        assert all(source["title"] for source in entry["sources"])


@pytest.mark.parametrize("name", NAMES)
def test_every_table_shows_as_text_with_its_sources(run: Run, name: str) -> None:
    status, out, err = run("tables", "show", name)
    assert (status, err) == (0, "")
    table = tables.table(name)
    assert out.startswith(f"{name}: ")
    for source in {row.source.key for row in table.rows}:
        assert re.search(rf"^(-|\[\d+\]) {re.escape(source)} \(", out, re.MULTILINE)


@pytest.mark.parametrize("name", NAMES)
def test_every_table_comes_back_from_csv(run: Run, name: str) -> None:
    status, out, err = run("tables", "show", name, "--csv")
    assert (status, err) == (0, "")
    table = tables.table(name)
    back = list(csv.DictReader(StringIO(out)))
    assert back == [row.cells() for row in table.rows]


@pytest.mark.parametrize("name", NAMES)
def test_every_table_shows_as_json_with_typed_cells(run: Run, name: str) -> None:
    status, out, err = run("tables", "show", name, "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    table = tables.table(name)
    assert found["name"] == name
    assert found["rows"] == len(found["data"]) == len(table.rows)
    for shown, row in zip(found["data"], table.rows, strict=True):
        assert shown["source"] == row.source.key
        for column, value in shown.items():
            if isinstance(value, float):
                assert value == pytest.approx(row.number(column), abs=1e-6)
            if value is None:
                assert row.text(column) == ""


def test_sources_are_listed_with_their_tables(run: Run) -> None:
    status, out, err = run("tables", "sources", "--json")
    assert (status, err) == (0, "")
    listed = json.loads(out)["sources"]
    counted = sum(sum(entry["tables"].values()) for entry in listed)
    assert counted == sum(len(tables.table(name).rows) for name in NAMES)
    status, text, _ = run("tables", "sources")
    assert status == 0
    for name in NAMES:
        assert f"    {name}: " in text


def test_a_table_that_is_not_there_is_refused(run: Run) -> None:
    status, out, err = run("tables", "show", "seals/nonsense")
    assert (status, out) == (1, "")
    assert err.startswith("fitcheck: seals/nonsense: there is no table with this name.")


@pytest.mark.parametrize(
    "words",
    [
        ("tables", "show"),
        ("tables", "shwo"),
        ("tables", "show", "seals/din3760", "--csv", "--json"),
        ("tables", "--json", "show", "seals/din3760"),
    ],
)
def test_wrong_usage(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run(*words)
    assert (status, out) == (2, "")
    assert "Usage: fitcheck tables" in err


def test_a_shop_row_shows_as_the_shops(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "seals"
    folder.mkdir()
    text = "shaft_mm,bore_mm,width_mm,membership\n35,53,7,trade\n"
    (folder / "din3760.csv").write_text(text, encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    status, out, _ = run("tables", "show", "seals/din3760", "--json")
    found = json.loads(out)
    assert status == 0
    assert found["shop"] == 1
    assert found["data"][-1] == {
        "shaft_mm": 35.0,
        "bore_mm": 53.0,
        "width_mm": 7.0,
        "membership": "trade",
        "source": "shop",
        "evidence": "shop",
        "note": None,
    }
    assert "the shop's own table" in run("tables", "show", "seals/din3760")[1]


def test_notes_move_below_a_table_that_is_too_wide(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    notes = {row.text("note") for row in tables.table("seals/din3760").rows} - {""}
    out = run("tables", "show", "seals/din3760")[1]
    assert f"\n({len(notes)}) " in out
    assert max(len(line) for line in out.splitlines()) <= 80
    monkeypatch.setenv("COLUMNS", "250")
    assert "\n(1) " not in run("tables", "show", "seals/din3760")[1]


def test_a_wide_terminal_is_used(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    narrow = run("tables", "show", "seals/inch")[1]
    monkeypatch.setenv("COLUMNS", "200")
    assert len(run("tables", "show", "seals/inch")[1].splitlines()) <= len(narrow.splitlines())
