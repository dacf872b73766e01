"""`fitcheck cross`: lists from the store and from files, answers to the screen and to files."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

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
    assert out.startswith("35x52x7 3 pcs (3 wanted): CHECK, same-ask\n  read as 35 x 52 x 7\n")
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
    assert err.startswith("fitcheck: 1 of 2 lines were refused; the columns reason, ")
    (refused,) = (row for row in answers(shop / "out.csv") if row["verdict"] == "refused")
    assert (refused["line"], refused["wanted"]) == ("2", "35x52x7 triple")
    assert (refused["refused_column"], refused["refused_value"]) == ("lip", "triple")
    assert refused["reason"].startswith("this column holds single, double, axial")


def test_the_text_says_what_differs_for_every_alternative(run: Any, shop: Path) -> None:
    status, out, _ = run("cross", "-", "--list", "north", stdin="35x52x7 double lip\n40x60x8\n")
    assert status == 0
    folded = " ".join(out.split())
    assert "- N3: width 8 for 7: only where the pocket is 8.3 mm deep or more" in folded
    assert "lip single for double" in folded
    assert out.endswith("2 lines: 1 same-ask, 1 nothing\n")
    # With one list its name is left out of the table.
    assert "north" not in out


def test_a_number_of_a_list_that_is_not_asked_for(run: Any, shop: Path) -> None:
    status, out, _ = run("cross", "-", "--list", "south", "--json", stdin="0621\n")
    assert status == 0
    (line,) = json.loads(out)["lines"]
    assert line["read_as"] == ["35 x 52 x 7"]
    assert [(a["list"], a["part_number"]) for a in line["alternatives"]] == [("south", "S1")]
    assert "lip: double is wanted, the list does not say" in line["reasons"]


def test_json_to_a_file_is_json_on_the_screen(run: Any, shop: Path) -> None:
    text = "35x52x7\nxyz\n"
    status, out, _ = run("cross", "-", "--all", "--json", stdin=text)
    assert status == 0
    assert run("cross", "-", "--all", "-o", "out.json", stdin=text) == (0, "", "")
    assert json.loads((shop / "out.json").read_text(encoding="utf-8")) == json.loads(out)
    assert out == (shop / "out.json").read_text(encoding="utf-8")


PAGE = [
    ["Text", "Lip", "Qty"],
    ["35x52x7", "double", "2"],
    ["", "", ""],
    ["0621", "", "1"],
    ["35x52x7", "triple", "1"],
    ["35 5? 7", "", ""],
    ["oil seal, 35 shaft 52 bore", "", "3"],
]


def write_page(path: Path, kind: str) -> None:
    if kind == "xlsx":
        book = Workbook()
        for row in PAGE:
            book.active.append(
                [int(cell) if cell.isdigit() and cell != "0621" else cell for cell in row]
            )
        book.save(path)
        return
    delimiter, encoding = {
        "csv": (",", "utf-8"),
        "semicolon": (";", "cp1252"),
        "utf16": ("\t", "utf-16"),
    }[kind]
    with path.open("w", encoding=encoding, newline="") as handle:
        csv.writer(handle, delimiter=delimiter).writerows(PAGE)


@pytest.mark.parametrize("kind", ["csv", "semicolon", "utf16", "xlsx"])
@pytest.mark.parametrize("way", ["file", "stdin"])
def test_a_page_in_any_file_answers_the_same(run: Any, shop: Path, kind: str, way: str) -> None:
    path = shop / f"wanted.{kind if kind == 'xlsx' else 'csv'}"
    write_page(path, kind)
    if way == "file":
        status, out, err = run("cross", str(path), "--all", "--json")
    else:
        status, out, err = run("cross", "-", "--all", "--json", stdin=path.read_bytes())
    assert (status, err) == (0, "")
    lines = json.loads(out)["lines"]
    assert [(line["line"], line["quantity"], line["grade"]) for line in lines] == [
        (2, 2, "same-ask"),
        (4, 1, "same-ask"),
        (5, None, "nothing"),
        (6, None, "same-ask"),
        (7, 3, "condition"),
    ]
    assert lines[2]["refused"]["column"] == "lip"
    assert lines[2]["refused"]["value"] == "triple"


def test_what_a_suppliers_list_refuses_is_in_the_answer(run: Any, shop: Path) -> None:
    (shop / "other.csv").write_text(
        "Artikel;Bezeichnung;Preis EUR\nA1;Oil seal 35x52x7;1.00\nA2;Oil seal 35x52x7x8;1.00\n"
        "A3;Oil seal 35x8x58;2.00\n",
        encoding="utf-8",
    )
    status, out, _ = run("cross", "other.csv", "--all", "--json")
    assert status == 0
    good, bad, turned = json.loads(out)["lines"]
    assert (good["line"], good["grade"]) == (2, "same-ask")
    assert (bad["line"], bad["verdict"], bad["refused"]["column"]) == (3, "refused", "Bezeichnung")
    assert bad["refused"]["value"] == "Oil seal 35x52x7x8"
    assert "more than three numbers" in bad["reasons"][0]
    assert any("the only order" in reason for reason in turned["reasons"])


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
        (("cross", "-", "--list", "north", "-o", "o.pdf"), "written as CSV, XLSX or JSON"),
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
