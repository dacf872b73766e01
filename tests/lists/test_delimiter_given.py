"""A delimiter that the user names: used, remembered, and named where a file has one column."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook

from fitcheck.errors import InputError
from fitcheck.lists.columns import ColumnPlan
from fitcheck.lists.files import delimiter_given
from fitcheck.lists.understand import read_list

Run = Callable[..., tuple[int, str, str]]
ODD = "no\x02size\x02price\n0012\x0235x52x7\x024.20\n0013\x0240x62x8\x024.30\n"


@pytest.mark.parametrize(
    ("text", "sign"), [("tab", "\t"), ("Space", " "), ("^", "^"), (";", ";"), ("", "")]
)
def test_a_delimiter_is_a_character_or_a_word(text: str, sign: str) -> None:
    assert delimiter_given(text) == sign


@pytest.mark.parametrize("text", ["zy", '"', "\n", "\\t", "\0"])
def test_what_can_part_no_cells_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="a delimiter is one character"):
        delimiter_given(text)


def test_a_delimiter_is_remembered_until_it_is_forgotten(
    run: Run, shop: str, tmp_path: Path
) -> None:
    path = tmp_path / "odd.csv"
    path.write_text(ODD, encoding="utf-8")
    add = ("lists", "add", "odd", str(path))
    assert "--delimiter" in "".join(run(*add)[1:])
    for words in (("--delimiter", "\x02"), ()):
        status, out, err = run(*add, *words, "--json")
        assert (status, err) == (0, "")
        columns = json.loads(out)["list"]["plan"]["columns"]
        assert columns == {"part_number": ["no"], "size": ["size"], "price": ["price"]}
    # An export of our own is known by itself, and the delimiter stays.
    own = tmp_path / "own.csv"
    assert run("lists", "export", "odd", "-o", str(own))[0] == 0
    assert run("lists", "add", "odd", str(own))[0] == 0
    assert "price" in json.loads(run(*add, "--json")[1])["list"]["plan"]["columns"]
    assert "--delimiter" in "".join(run(*add, "--forget")[1:])


def test_words_part_cells(tmp_path: Path) -> None:
    path = tmp_path / "blank.csv"
    path.write_text("no size price\n0012 35x52x7 4.20\n", encoding="utf-8")
    found = read_list(str(path), delimiter="space")
    assert set(found.plan.columns) == {"part_number", "size", "price"}


def test_a_file_of_one_column_names_the_option(tmp_path: Path) -> None:
    path = tmp_path / "one.csv"
    path.write_text("x=y\x0235x52x7\nx=z\x0240x62x8\n", encoding="utf-8")
    assert any("--delimiter" in note for note in read_list(str(path)).plan.notes)
    path.write_text("alpha\x02beta\n", encoding="utf-8")
    with pytest.raises(InputError, match="--delimiter"):
        read_list(str(path))


def test_a_workbook_has_no_delimiter(tmp_path: Path) -> None:
    book = Workbook()
    for row in (["no", "size"], ["0012", "35x52x7"]):
        book.active.append(row)
    path = tmp_path / "book.xlsx"
    book.save(path)
    with pytest.raises(InputError, match="is a workbook"):
        read_list(str(path), delimiter=";")
    # One that is remembered from a text file is of no use for it.
    found = read_list(str(path), plan=ColumnPlan(delimiter="^"))
    assert set(found.plan.columns) == {"part_number", "size"}
