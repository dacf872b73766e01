"""`fitcheck cross`: lists from the store and from files, answers to the screen and to files."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from fitcheck.lists.lines import Block
from fitcheck.lists.rows import OUT_COLUMNS
from fitcheck.lists.source import rows_source
from fitcheck.store import open_store

DEMO = Path(__file__).parents[2] / "data" / "demo" / "lists" / "north_quay_invented.csv"


def seal(line: int, width: int, **more: Any) -> dict[str, Any]:
    return {
        "line": line,
        "part_number": f"N{line}",
        "kind": "seal",
        "shaft_um": 35000,
        "bore_um": 52000,
        "width_um": width,
        "system": "metric",
        **more,
    }


NORTH = [
    seal(2, 7000, part_number="0621", lip="double", price="3.20", currency="EUR", on_hand=0),
    seal(3, 8000, lip="single", price="1.10", currency="EUR", lead_days=1),
    seal(4, 9000, part_number="=1+2", description="@SUM(A1)"),
]
SOUTH = [seal(2, 7000, part_number="S1", price="2.10", currency="EUR", on_hand=9)]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with two lists, and a folder to work in."""
    monkeypatch.setenv("FITCHECK_DATABASE", str(tmp_path / "shop.sqlite"))
    monkeypatch.chdir(tmp_path)
    store = open_store(create=True)
    for name, rows in (("north", NORTH), ("south", SOUTH)):
        blocks: list[Block] = [block for _, block in rows_source({name: rows}).numbers(())]
        store.replace_list(name, [(block, ()) for block in blocks])
    return tmp_path


def answers(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_a_page_of_wanted_lines_against_one_list_and_all(run: Any, shop: Path) -> None:
    (shop / "wanted.csv").write_text("text,quantity\n35x52x7,2\n0621,1\n", encoding="utf-8")
    assert run("cross", "wanted.csv", "--list", "north", "-o", "out.csv") == (0, "", "")
    found = answers(shop / "out.csv")
    assert [row["part_number"] for row in found if row["line"] == "2"] == ["0621", "N3", "'=1+2"]
    assert {row["list"] for row in found} == {"north"}
    assert run("cross", "wanted.csv", "--all", "-o", "out.csv") == (0, "", "")
    found = answers(shop / "out.csv")
    assert [row["part_number"] for row in found if row["line"] == "2"][:2] == ["S1", "0621"]
    assert sorted(p.name for p in shop.glob("*out*")) == ["out.csv"]
    assert list(shop.glob(".*part")) == []


def test_to_the_screen_and_as_json(run: Any, shop: Path) -> None:
    status, out, err = run("cross", "-", "--all", stdin="35x52x7 3 pcs\n")
    assert (status, err) == (0, "")
    assert out.startswith("35x52x7 3 pcs, 3 wanted: check (same-ask)\n")
    assert max(len(line) for line in out.splitlines()) <= 80
    status, out, err = run("cross", "-", "--all", "--json", "--top", "1", stdin="35x52x7\nxyz\n")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert found["wanted"] == 2
    assert found["verdicts"] == {"check": 2}
    assert [len(line["alternatives"]) for line in found["lines"]] == [1, 0]


def test_counts_with_a_file_and_refused_lines(run: Any, shop: Path) -> None:
    (shop / "wanted.csv").write_text("text,lip\n35x52x7,triple\n35x52x7,\n", encoding="utf-8")
    status, out, err = run("cross", "wanted.csv", "--list", "north", "-o", "out.csv", "--json")
    assert status == 0
    assert json.loads(out) == {
        "wanted": 2,
        "verdicts": {"check": 1, "refused": 1},
        "grades": {"nothing": 1, "same-ask": 1},
    }
    assert err == "fitcheck: 1 of 2 lines were refused; the column differs says why\n"
    assert "lip triple" in answers(shop / "out.csv")[0]["differs"]


def test_csv_on_stdout(run: Any, shop: Path) -> None:
    status, out, _ = run("cross", "-", "--list", "south", "-o", "-", stdin="35x52x7\n")
    assert status == 0
    assert out.splitlines()[0] == ",".join(OUT_COLUMNS)
    assert len(out.splitlines()) == 2


def test_a_workbook_by_its_ending(run: Any, shop: Path) -> None:
    assert run("cross", "-", "--list", "north", "-o", "out.xlsx", stdin="35x52x9\n") == (0, "", "")
    sheet = load_workbook(shop / "out.xlsx").active
    assert sheet is not None
    rows = list(sheet.iter_rows(values_only=True))
    assert rows[0] == OUT_COLUMNS
    numbers = [row[OUT_COLUMNS.index("part_number")] for row in rows[1:]]
    assert "'=1+2" in numbers
    assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)


def test_the_order_as_asked(run: Any, shop: Path) -> None:
    asked = ("cross", "-", "--all", "--json", "--sort", "stock")
    status, out, _ = run(*asked, stdin="35x52x7\n")
    assert status == 0
    first = json.loads(out)["lines"][0]["alternatives"][0]
    assert (first["part_number"], first["on_hand"]) == ("S1", 9)


def test_a_list_that_is_not_stored(run: Any, tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.setenv("FITCHECK_DATABASE", str(tmp_path / "none.sqlite"))
    status, out, err = run("cross", "-", "--file", str(DEMO), "--json", stdin="35x52x7\n000621\n")
    assert (status, err) == (0, "")
    size, number = json.loads(out)["lines"]
    assert {a["part_number"] for a in size["alternatives"]} >= {"000621", "0700-4"}
    assert number["read_as"] == ["35 x 52 x 7"]
    assert number["alternatives"][0]["part_number"] == "000621"
    assert not (tmp_path / "none.sqlite").exists()


def test_a_suppliers_list_can_be_what_is_wanted(run: Any, shop: Path) -> None:
    status, out, err = run("cross", str(DEMO), "--list", "north", "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert found["wanted"] == 9
    assert found["lines"][0]["wanted"].startswith("000621 OIL SEAL")
    assert found["lines"][0]["alternatives"][0]["part_number"] == "0621"


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("cross", "-"), "Name a stored list with --list"),
        (("cross", "-", "--list", "west"), "west"),
        (("cross", "-", "--list", "north", "--json", "-o", "-"), "can't both go to stdout"),
        (("cross", "-", "--list", "north", "--top", "0"), "at least one alternative"),
        (("cross", "none.csv", "--list", "north"), "there is no such file"),
        (("cross", "-", "--list", "north", "-o", "no/out.csv"), "no file can be written there"),
        (("cross", "-", "--list", "north", "-o", "."), "folder"),
    ],
)
def test_what_cant_be_done_is_said(
    run: Any, shop: Path, words: tuple[str, ...], message: str
) -> None:
    status, out, err = run(*words, stdin="35x52x7\n")
    assert status in (1, 2)
    assert out == ""
    assert err.startswith("fitcheck: ")
    assert message in err


def test_what_is_read_is_never_written_over(run: Any, shop: Path) -> None:
    (shop / "wanted.txt").write_text("35x52x7\n", encoding="utf-8")
    status, _, err = run("cross", "wanted.txt", "--all", "-o", "wanted.txt")
    assert status == 2
    assert "would replace what is read" in err
    assert (shop / "wanted.txt").read_text(encoding="utf-8") == "35x52x7\n"


def test_without_a_store_it_says_where_one_comes_from(
    run: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setenv("FITCHECK_DATABASE", str(tmp_path / "none.sqlite"))
    status, out, err = run("cross", "-", "--all", stdin="35x52x7\n")
    assert (status, out) == (1, "")
    assert "there is no store there yet" in err
    assert not (tmp_path / "none.sqlite").exists()
