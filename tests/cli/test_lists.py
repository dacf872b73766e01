"""`fitcheck lists`: into the store and out again, with every line accounted for."""

from __future__ import annotations

import csv
import errno
import json
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from fitcheck.cli import list_files, saving
from fitcheck.lists.lines import FIELD_NAMES
from fitcheck.store import open_store

Run = Callable[..., tuple[int, str, str]]
LIST = (
    "no;text;price;stock\n"
    "0012;OIL SEAL 35x52x7 NBR DBL LIP;4,20;3\n"
    "3E5;seal 1-3/8 X 2 1/8 x .313;12,50;\n"
    "@SUM(A1);OIL SEAL 40x62x8 FKM;7,10;1\n"
    ";OIL SEAL 40xx62;1,00;1\n"
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """An invented list; its last line can't be understood."""
    path = tmp_path / "north.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def exported(run: Run, name: str) -> list[dict[str, str]]:
    """A list as it is exported."""
    status, out, err = run("lists", "export", name)
    assert (status, err) == (0, "")
    return list(csv.DictReader(StringIO(out)))


def test_a_list_is_added_and_every_line_accounted_for(run: Run, shop: str, file: Path) -> None:
    status, out, err = run("lists", "add", "north", str(file), "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    info = found["list"]
    assert info["lines"] == 4 == info["accepted"] + info["repaired"] + info["refused"]
    assert info["refused"] == 1
    assert info["stored"] == 3
    assert found["remarks_file"] == f"{file}.remarks.csv"
    rows = exported(run, "north")
    assert list(rows[0]) == list(FIELD_NAMES)
    assert [row["part_number"] for row in rows] == ["0012", "3E5", "'@SUM(A1)"]
    assert [row["price"] for row in rows] == ["4.20", "12.50", "7.10"]
    assert rows[1]["shaft_um"] == "34925"


def test_refused_lines_are_reported_in_a_file_beside(run: Run, shop: str, file: Path) -> None:
    status, out, err = run("lists", "add", "north", str(file))
    assert (status, err) == (0, "")
    report = Path(f"{file}.remarks.csv")
    assert report.name in "".join(out.split())
    rows = list(csv.DictReader(StringIO(report.read_text(encoding="utf-8"))))
    refused = [row for row in rows if row["outcome"] == "refused"]
    assert [(row["file"], row["line"]) for row in refused] == [("north.csv", "5")]
    assert refused[0]["reason"]
    assert run("lists", "export", "north", "--remarks")[1] == report.read_text(encoding="utf-8")
    # When the list is mended, what was said of the old one does not stay.
    file.write_text(LIST.replace("40xx62", "40x62x8"), encoding="utf-8")
    run("lists", "add", "north", str(file))
    assert "refused" not in report.read_text(encoding="utf-8")


def test_a_list_that_is_added_again_takes_the_place_of_the_old(
    run: Run, shop: str, file: Path
) -> None:
    run("lists", "add", "north", str(file))
    file.write_text("no;size\n77;35x52x7\n", encoding="utf-8")
    assert run("lists", "add", "North", str(file), "--forget")[0] == 0
    assert [row["part_number"] for row in exported(run, "north")] == ["77"]
    listed = json.loads(run("lists", "show", "--json")[1])["lists"]
    assert [one["name"] for one in listed] == ["North"]


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_list_that_is_exported_and_added_again_is_the_same(
    run: Run, shop: str, file: Path, tmp_path: Path, ending: str
) -> None:
    run("lists", "add", "north", str(file))
    out = str(tmp_path / f"out.{ending}")
    assert run("lists", "export", "north", "-o", out) == (0, "", "")
    assert run("lists", "add", "again", out)[0] == 0
    assert run("lists", "export", "again")[1] == run("lists", "export", "north")[1]


HOSTILE = [
    ("=1+1", "OIL SEAL 35x52x7"),
    ("+1", "SEAL 40x62x8"),
    ("-1", "=SEAL 45x62x8"),
    ("@x", "SEAL 50x72x8"),
    ("\tT9", "SEAL 30x52x7"),
    ("'0012", "'=SEAL 35x52x7"),
    ("00012", "SEAL, 40x62x8; NBR"),
    ("3E5", 'SEAL 40x62x8, made of "NBR"'),
    ("1-2", "  SEAL 35x52x7  "),
    ("\uff1dA1", "joint d'\u00e9tanch\u00e9it\u00e9 35x52x7"),
    ("1.20", "-0.5"),
]


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_hostile_cells_and_numbers_that_are_texts_survive_a_round_trip(
    run: Run, shop: str, tmp_path: Path, ending: str
) -> None:
    file = tmp_path / "hostile.csv"
    with file.open("w", encoding="utf-8", newline="") as handle:
        csv.writer(handle).writerows([("part_number", "description"), *HOSTILE])
    assert run("lists", "add", "north", str(file))[0] == 0
    kept = {row["part_number"] for row in exported(run, "north")}
    assert {"'=1+1", "+1", "-1", "'@x", "00012", "3E5", "1-2", "1.20"} <= kept
    out, again = (str(tmp_path / f"{name}.{ending}") for name in ("out", "again"))
    assert run("lists", "export", "north", "-o", out)[0] == 0
    assert run("lists", "add", "again", out)[0] == 0
    first, second = (list(open_store().blocks(name)) for name in ("north", "again"))
    assert [block.columns for _, block in first] == [block.columns for _, block in second]
    assert run("lists", "export", "again", "-o", again)[0] == 0
    assert run("lists", "export", "again")[1] == run("lists", "export", "north")[1]


def test_no_cell_of_a_workbook_is_a_formula(
    run: Run, shop: str, file: Path, tmp_path: Path
) -> None:
    run("lists", "add", "north", str(file))
    for words in ([], ["--remarks"]):
        out = str(tmp_path / "out.xlsx")
        assert run("lists", "export", "north", "-o", out, *words)[0] == 0
        cells = [cell for row in load_workbook(out).active.iter_rows() for cell in row]
        assert "f" not in {cell.data_type for cell in cells}


def test_a_workbook_is_added(run: Run, shop: str, tmp_path: Path) -> None:
    book = Workbook()
    for row in (["no", "size", "price"], ["0012", "35x52x7", 4.2], ["0013", "40x62x8", 5]):
        book.active.append(row)
    book.save(tmp_path / "north.xlsx")
    assert run("lists", "add", "north", str(tmp_path / "north.xlsx"))[0] == 0
    assert [row["part_number"] for row in exported(run, "north")] == ["0012", "0013"]


def test_columns_that_are_named_are_remembered(run: Run, shop: str, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("a;b;c\n1001;2001;35x52x7\n1002;2002;40x62x8\n", encoding="utf-8")
    words = ("--column", "part_number=b", "--column", "size=#3")
    assert run("lists", "add", "north", str(file), *words)[0] == 0
    assert [row["part_number"] for row in exported(run, "north")] == ["2001", "2002"]
    assert run("lists", "add", "NORTH", str(file))[0] == 0
    assert [row["part_number"] for row in exported(run, "north")] == ["2001", "2002"]
    file.write_text("x;y\n35x52x7;1001\n40x62x8;1002\n", encoding="utf-8")
    status, _, err = run("lists", "add", "north", str(file))
    assert status == 2
    assert "columns as remembered for north" in err
    assert "--forget" in err
    assert [row["part_number"] for row in exported(run, "north")] == ["2001", "2002"]
    assert run("lists", "add", "north", str(file), "--forget")[0] == 0


@pytest.mark.parametrize("text", ["size", "=Dims", "size=", "frobber=Dims"])
def test_a_column_that_can_not_be_meant_is_wrong_usage(
    run: Run, shop: str, file: Path, text: str
) -> None:
    status, out, err = run("lists", "add", "north", str(file), "--column", text)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")


def test_of_a_list_that_can_not_be_stored_the_reasons_are_kept(
    run: Run, shop: str, tmp_path: Path
) -> None:
    file = tmp_path / "bad.csv"
    file.write_text("no;size\n;=cmd\n;35xx\n", encoding="utf-8")
    status, out, err = run("lists", "add", "north", str(file), "--column", "size=size")
    assert (status, out) == (2, "")
    assert "not one of 2 lines can be stored" in err
    assert Path(f"{file}.remarks.csv").read_text(encoding="utf-8").count("refused") == 2
    assert json.loads(run("lists", "show", "--json")[1]) == {"lists": []}


def test_remarks_that_can_not_be_written_are_told_and_the_list_stays(
    run: Run, shop: str, file: Path, tmp_path: Path
) -> None:
    place = str(tmp_path / "none" / "remarks.csv")
    status, out, err = run("lists", "add", "north", str(file), "--remarks", place)
    assert status == 0
    assert "north: 4 lines" in out
    assert "the remarks were not written" in err


def test_show_names_the_lists_and_tells_of_one(run: Run, shop: str, file: Path) -> None:
    assert run("lists", "show")[1] == "There are no lists yet: fitcheck lists add NAME FILE\n"
    run("lists", "add", "north", str(file))
    status, out, err = run("lists", "show")
    assert (status, err) == (0, "")
    assert out.splitlines()[1].startswith("north ")
    assert "north.csv" in out
    status, out, err = run("lists", "show", "NORTH")
    assert (status, err) == (0, "")
    assert "4 lines of north.csv" in out
    assert "1 refused" in out
    assert "line 5" in out
    found = json.loads(run("lists", "show", "north", "--json")[1])
    assert found["remarks"]["refused"] == 1
    assert found["first_remarks"][-1]["line"] == 5


def test_a_list_is_removed(run: Run, shop: str, file: Path) -> None:
    run("lists", "add", "north", str(file))
    assert run("lists", "remove", "NORTH") == (0, "north: 3 lines removed\n", "")
    for words in (["show", "north"], ["remove", "north"], ["export", "north"]):
        status, out, err = run("lists", *words)
        assert (status, out) == (1, "")
        assert "there is no list of that name" in err


def test_progress_is_shown_to_whoever_watches(
    run: Run, shop: str, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(list_files, "watched", lambda: True)
    status, out, err = run("lists", "add", "north", str(file))
    assert status == 0
    assert err == "\r           4 lines read, storing them ...\n"
    assert "lines read" not in out


def test_a_list_too_long_for_a_sheet_goes_to_csv(
    run: Run, shop: str, file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("lists", "add", "north", str(file))
    monkeypatch.setattr(saving, "SHEET_ROWS", 3)
    status, _, err = run("lists", "export", "north", "-o", str(tmp_path / "out.xlsx"))
    assert status == 2
    assert "a sheet takes 3 rows, and the list has 3 lines. Export it as CSV" in err


def test_a_full_disk_while_a_list_is_put_aside(
    run: Run, shop: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_files: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(list_files.shutil, "copyfileobj", full)
    status, out, err = run("lists", "add", "north", "-", stdin=LIST)
    assert (status, out) == (1, "")
    assert "there is no room for what is put aside there (No space left on device)" in err
    assert run("lists", "show")[1].startswith("There are no lists yet")


def test_a_preview_shows_how_a_list_is_understood_and_stores_nothing(
    run: Run, shop: str, file: Path, tmp_path: Path
) -> None:
    status, out, err = run("lists", "add", "north", str(file), "--preview")
    assert (status, err) == (0, "")
    assert out.startswith("north.csv: 4 lines: ")
    assert "part_number = " in out
    assert "35 x 52 x 7" in out
    assert "- line 5" in out
    assert out.endswith("Nothing was stored: leave --preview out to store it.\n")
    found = json.loads(run("lists", "add", "north", str(file), "--preview", "--json")[1])
    assert found["lines"] == found["accepted"] + found["repaired"] + found["refused"] == 4
    assert found["first_lines"][0]["part_number"] == "0012"
    assert found["first_remarks"][-1]["outcome"] == "refused"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["north.csv"]
    assert run("lists", "show")[1].startswith("There are no lists yet")


def test_a_preview_ends_after_a_few_lines_and_remarks(run: Run, shop: str, tmp_path: Path) -> None:
    file = tmp_path / "long.csv"
    lines = "".join(f"{n:04d};35x8x58\n" for n in range(30))
    file.write_text(f"no;size\n{lines}", encoding="utf-8")
    out = run("lists", "add", "north", str(file), "--preview")[1]
    assert "30 lines: 0 accepted, 30 repaired, 0 refused" in out
    assert "  and 25 remarks more\n" in out
    assert "0005" not in out


def test_it_says_when_columns_are_those_remembered(run: Run, shop: str, file: Path) -> None:
    plain = run("lists", "add", "north", str(file))[1]
    assert "columns: " in plain
    assert "remembered" not in run("lists", "add", "north", str(file))[1]
    given = run("lists", "add", "north", str(file), "--column", "on_hand=stock")[1]
    assert "remembered" not in given
    again = " ".join(run("lists", "add", "north", str(file))[1].split())
    assert "; remembered (else --forget): on_hand" in again
    for words in (["--forget", "--preview"], ["--forget"], []):
        assert "remembered" not in run("lists", "add", "north", str(file), *words)[1]


def test_it_says_when_the_columns_changed(run: Run, shop: str, file: Path) -> None:
    run("lists", "add", "north", str(file))
    run("lists", "remove", "north")
    file.write_text(LIST.replace("price", "netto").replace("stock", "weight"), encoding="utf-8")
    out = " ".join(run("lists", "add", "north", str(file))[1].split())
    assert (
        "other columns than in the list before: price is netto, was price; "
        "on_hand is gone, was stock" in out
    )


def test_what_a_header_said_before_does_not_change_a_price(
    run: Run, shop: str, tmp_path: Path
) -> None:
    file = tmp_path / "list.csv"
    file.write_text("no;size;price EUR/100;lead (weeks)\n1;35x52x7;420,00;2\n", encoding="utf-8")
    run("lists", "add", "north", str(file))
    assert exported(run, "north")[0]["price"] == "4.2"
    file.write_text("no;size;price;lead\n1;35x52x7;4,20;14\n", encoding="utf-8")
    run("lists", "add", "north", str(file))
    line = exported(run, "north")[0]
    assert (line["price"], line["currency"], line["lead_days"]) == ("4.20", "", "14")


def test_a_file_that_is_not_there(run: Run, shop: str, tmp_path: Path) -> None:
    status, out, err = run("lists", "add", "north", str(tmp_path / "none.csv"))
    assert (status, out) == (2, "")
    assert "none.csv" in err
    assert not (tmp_path / "shop").exists()


def test_a_list_of_which_nothing_is_stored_says_what_was_read(
    run: Run, shop: str, tmp_path: Path
) -> None:
    book = Workbook()
    book.active.title = "Cover"
    book.active["A1"] = "Read me"
    book.create_sheet("List").append(["Part", "Size"])
    book.save(tmp_path / "list.xlsx")
    status, out, err = run("lists", "add", "north", str(tmp_path / "list.xlsx"))
    assert (status, out) == (2, "")
    assert "sheet List is read, the first with a table; not read: Cover" in err
