"""Sizes that can be read in two ways, or that lose a part or their unit, are not stored."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fitcheck.lists.describe import Described, Describer
from fitcheck.lists.lines import Remark
from fitcheck.lists.numbers import pack_words, read_count
from fitcheck.lists.scan import size_spot
from fitcheck.lists.understand import read_list
from fitcheck.tables import table


def read(text: str) -> Described:
    return Describer().read(text)


def stored(folder: Path, text: str) -> tuple[dict[int, dict[str, Any]], dict[int, list[Remark]]]:
    """The kept lines of a list by number, and its remarks by line."""
    path = folder / "list.csv"
    path.write_text(text, encoding="utf-8")
    lines: dict[int, dict[str, Any]] = {}
    remarks: dict[int, list[Remark]] = {}
    for block, found in read_list(str(path)).blocks():
        names = list(block.columns)
        for values in zip(*block.columns.values(), strict=True):
            row = dict(zip(names, values, strict=True))
            lines[row["line"]] = row
        for remark in found:
            remarks.setdefault(remark.line, []).append(remark)
    return lines, remarks


@pytest.mark.parametrize(
    ("text", "one", "other"),
    [
        ("Oil seal 1 1/8 2 1/4", "1 1/8 x 2 x 1/4 in", "1 1/8 x 2 1/4 in without a width"),
        ("1 1/2 2 1/2", "1 1/2 x 2 x 1/2 in", "1 1/2 x 2 1/2 in"),
        ("Seal 1 3/8 2 1/2 NBR", "1 3/8 x 2 x 1/2 in", "1 3/8 x 2 1/2 in"),
        ("seal 13/8 x 21/8 x 5/16", "1 3/8 x 2 1/8 x 5/16", "fractions above one"),
        ("35x52x70", "52 x 70 x 35 mm", "35 x 52 x 7 mm"),
    ],
)
def test_both_readings_are_named(text: str, one: str, other: str) -> None:
    found = read(text)
    assert found.size.shaft_um is None
    assert one in found.refused
    assert other in found.refused


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("1 3/8 2 1/8 5/16", (34925, 53975, 7938)),
        ("seal 11/16 x 1-1/4 x 1/4", (17463, 31750, 6350)),
        ("Ø35/Ø52x7", (35000, 52000, 7000)),
        ("seal Ø35-Ø52-7", (35000, 52000, 7000)),
        ("1 x 2 x 1/4 pouces", (25400, 50800, 6350)),
        ("35x8x58", (35000, 58000, 8000)),
    ],
)
def test_what_is_clear_is_read(text: str, size: tuple[int, int, int]) -> None:
    found = read(text).size
    assert (found.shaft_um, found.bore_um, found.width_um) == size


@pytest.mark.parametrize("text", ["35x5Zx7", "3Sx52x7", "35xS2x7", "35 x 5Z x 7"])
def test_a_part_of_what_is_written_is_no_size(text: str) -> None:
    assert read(text).size.shaft_um is None
    assert "a part of what is written" in read(f"Seal {text}").refused


def test_every_word_for_a_unit_goes_with_a_number() -> None:
    # Two letters for metres, and words that head a column, stand behind no number.
    aside = ("M M", "METRIC", "METRISCH", "IMPERIAL")
    for row in table("lists/unit_words").rows:
        if (word := row.text("word")) not in aside:
            spot = size_spot(f"35X52X7 {word}")
            assert spot is not None
            assert spot.written.units[-1] == row.text("unit"), word


@pytest.mark.parametrize("word", ["Zoll", "inch", "POUCES"])
@pytest.mark.parametrize("size", ["35x52x7", "12 x 16 x 3"])
def test_a_unit_that_is_written_counts(tmp_path: Path, size: str, word: str) -> None:
    lines, remarks = stored(tmp_path, f"no,desc,size\n1,seal,{size} {word}\n2,seal,40x62x8\n")
    assert list(lines) == [3]
    assert remarks[2][0].outcome == "refused"


@pytest.mark.parametrize(
    ("heads", "good", "bad"),
    [
        ("ID (in),OD (in),W (in)", "1.375,2.125,.313", "35,52,7"),
        ("Arbre (mm),Alésage (mm),Largeur (mm)", "35,52,7", "1.375,2.125,0.313"),
    ],
)
def test_a_unit_that_the_heading_says_counts(
    tmp_path: Path, heads: str, good: str, bad: str
) -> None:
    text = f"no,desc,{heads}\n1,oil seal,{good}\n2,oil seal,{good}\n3,oil seal,{bad}\n"
    lines, remarks = stored(tmp_path, text)
    assert list(lines) == [2, 3]
    assert "the heading says" in remarks[4][0].reason


def test_improper_fractions_in_columns_of_their_own(tmp_path: Path) -> None:
    text = "no,desc,ID (in),OD (in),W (in)\n1,seal,1-3/8,2-1/8,5/16\n2,seal,13/8,21/8,5/16\n"
    lines, remarks = stored(tmp_path, text)
    assert list(lines) == [2]
    assert "1 3/8 x 2 1/8 x 5/16 with its spaces lost" in remarks[3][0].reason


def test_a_sign_that_the_currency_denies_is_refused(tmp_path: Path) -> None:
    rows = "\n".join(f"{n};35x52x7;{price};{code}" for n, price, code in PRICES)
    lines, remarks = stored(tmp_path, f"no;size;price;currency\n{rows}\n")
    assert {line["part_number"]: line["currency"] for line in lines.values()} == {
        "3": "CAD",
        "4": "SEK",
        "5": "EUR",
    }
    assert "can't be EUR" in remarks[2][0].reason


PRICES = [
    *(("1", "$3,20", "EUR"), ("2", "£3,20", "EUR"), ("3", "$3,20", "CAD")),
    *(("4", "kr 3,20", "SEK"), ("5", "3,20", "EUR")),
]


def test_a_sign_that_the_heading_denies_is_refused(tmp_path: Path) -> None:
    lines, _ = stored(tmp_path, "no,size,price EUR\n1,35x52x7,$3.20\n2,35x52x7,3.20\n")
    assert list(lines) == [3]


def test_a_thousand_that_the_column_makes_is_told(tmp_path: Path) -> None:
    text = 'no,size,price,stock\n1,35x52x7,3.20,5\n2,35x52x7,4.20,"1,250"\n3,35x52x7,"1,250",7\n'
    lines, remarks = stored(tmp_path, text)
    assert (lines[3]["on_hand"], lines[4]["price"]) == (1250, "1250")
    for line in (3, 4):
        assert "read as 1250: its column decides" in remarks[line][0].reason
    assert read_count("1.250", "comma").noted
    assert not read_count("1.250,0", "comma").noted


def test_the_price_of_a_pack_is_left_out(tmp_path: Path) -> None:
    text = (
        "no,desc,price\n1,Oil seal 65x90x10 price per 100,320\n2,Oil seal 65x90x10 (set of 10),32\n"
        "3,Oil seal 65x90x10,3.20\n"
    )
    lines, remarks = stored(tmp_path, text)
    assert [line["price"] for line in lines.values()] == [None, None, "3.20"]
    assert all("a price of a pack" in remarks[line][0].reason for line in (2, 3))
    with_pack = text.replace("price\n", "price,pack\n").replace("320\n", "320,1\n")
    assert pack_words("seal 35x52x7 pack of 1") == ""
    lines, _ = stored(tmp_path, with_pack.replace("32\n", "32,10\n").replace("3.20\n", "3.20,1\n"))
    assert [line["price"] for line in lines.values()] == ["320", "32", "3.20"]


def test_a_part_number_is_what_its_cell_shows(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (("no", "size", "price"), (45, "35x52x7", 3.5), (46, "40x62x8", 4.5)):
        sheet.append(row)
    sheet["A2"].number_format = "00000"
    path = tmp_path / "list.xlsx"
    book.save(path)
    (block, _), *_ = read_list(str(path)).blocks()
    assert block.columns["part_number"] == ["00045", "46"]
    assert block.columns["price"] == ["3.5", "4.5"]
