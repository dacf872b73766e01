"""List files as rows: encodings, delimiters, line ends, quotes, and files that are none."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from fitcheck.errors import InputError
from fitcheck.lists.files import look_at, read_chunks
from fitcheck.lists.layout import Chunk

TEXT = "Part No;Bezeichnung;Preis\n00621;Größe 35x52x7;4,20\n3E5;Ölseal 40x62x8;5,10\n"


def rows(path: Path, **options: str) -> list[list[str]]:
    layout = look_at(str(path), **options)
    return [row for chunk in read_chunks(str(path), layout) for row in chunk.rows]


def chunk(path: Path) -> Chunk:
    (found,) = read_chunks(str(path), look_at(str(path)))
    return found


@pytest.mark.parametrize(
    ("encoding", "found"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8-sig"),
        ("utf-16", "utf-16"),
        ("utf-16-le", "utf-16-le"),
        ("utf-16-be", "utf-16-be"),
        ("utf-32", "utf-32"),
        ("latin-1", "cp1252"),
        ("cp1252", "cp1252"),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(tmp_path: Path, encoding: str, found: str, end: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(TEXT.replace("\n", end).encode(encoding))
    assert look_at(str(path)).encoding == found
    assert rows(path) == [line.split(";") for line in TEXT.splitlines()]


def test_a_letter_at_the_very_end_tells_the_encoding(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b"Part No;Description\n" + b"1;OIL SEAL 35x52x7\n" * 90_000 + b"2;\xd6l\n")
    assert look_at(str(path)).encoding == "cp1252"
    assert rows(path)[-1] == ["2", "Öl"]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiters(tmp_path: Path, delimiter: str) -> None:
    path = tmp_path / "list.csv"
    path.write_text(f"Part No{delimiter}Size\n1{delimiter}35x52x7\n", encoding="utf-8")
    assert look_at(str(path)).delimiter == delimiter


@pytest.mark.parametrize("sign", ["^", "~", "¦", "#", "!", "§", "&", "@", "%", ":"])
def test_rare_delimiters_show_themselves_by_a_known_header(tmp_path: Path, sign: str) -> None:
    path = tmp_path / "list.txt"
    path.write_text(TEXT.replace(";", sign), encoding="utf-8")
    assert look_at(str(path)).delimiter == sign
    path.write_text(f"wellen{sign}ring\nolie{sign}ring\n", encoding="utf-8")
    assert look_at(str(path)).delimiter == ""


def test_a_header_of_known_words_outweighs_decimal_commas(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("d;D;B\n35,5;52,5;7,5\n40,5;62,5;8,5\n", encoding="utf-8")
    assert look_at(str(path)).delimiter == ";"


def test_one_column_of_texts_with_commas(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("seal 35x52x7\nseal, 40x62x8, NBR\nseal 25x40x7\nx\n", encoding="utf-8")
    assert rows(path)[1] == ["seal, 40x62x8, NBR"]


def test_lines_are_those_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b'Part No,Description\r\n1,"two\r\nlines"\r\n2,"a ""quoted"" one"\r\n')
    found = chunk(path)
    assert found.lines == [1, 2, 4]
    assert found.rows[1:] == [["1", "two\r\nlines"], ["2", 'a "quoted" one']]


def test_a_quote_that_never_closes_takes_one_line_only(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    body = "".join(f"{i};seal 35x52x7\n" for i in range(40))
    path.write_text(f'Part No;Description\nA;"1 in seal\n{body}', encoding="utf-8")
    found = chunk(path)
    assert list(found.faults) == [1]
    assert found.rows[1] == ["A", '"1 in seal']
    assert found.lines == list(range(1, 43))


def test_an_open_quote_in_the_last_line(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text('Part No;Size\n1;35x52x7\n2;"35x52x7\n', encoding="utf-8")
    found = chunk(path)
    assert list(found.faults) == [2]
    assert len(found.rows) == 3


def test_aligned_columns(tmp_path: Path) -> None:
    path = tmp_path / "list.txt"
    lines = [f"{a:<10}{b:<20}{c:>8}" for a, b, c in (("Part No", "Size", "Price"),)]
    lines += [f"{n:<10}{'35 x 52 x 7':<20}{n * 1.5:>8.2f}" for n in range(10, 30)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert rows(path)[1] == ["10", "35 x 52 x 7", "15.00"]
    path.write_text("\n".join([*lines, "x" * 38]) + "\n", encoding="utf-8")
    (found,) = read_chunks(str(path), look_at(str(path)))
    assert list(found.faults) == [21]


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (b"", "empty"),
        (b" \n\t\n", "no text"),
        (bytes(range(256)) * 4, "no text file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "old workbook"),
        (b"PK\x03\x04 and nothing more", "damaged"),
    ],
)
def test_files_that_are_no_lists(tmp_path: Path, content: bytes, rule: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    with pytest.raises(InputError, match=rule) as caught:
        look_at(str(path))
    assert caught.value.todo


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't be opened"):
        look_at(str(tmp_path / "none.csv"))
    with pytest.raises(InputError, match="can't be opened"):
        look_at(str(tmp_path))


def test_an_archive_that_is_no_workbook(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("list.csv", TEXT)
    with pytest.raises(InputError, match="this is an archive"):
        look_at(str(path))


def test_an_archive_that_unpacks_to_far_more(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", b"\0" * (64 << 20))
    assert path.stat().st_size < 1 << 20
    with pytest.raises(InputError, match="unpacks to 64 MiB"):
        look_at(str(path))


def test_a_workbook_that_is_damaged_inside(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook")
    with pytest.raises(InputError, match="damaged"):
        look_at(str(path))


def test_sheets_by_name_and_number(tmp_path: Path) -> None:
    from openpyxl import Workbook

    path = tmp_path / "list.xlsx"
    book = Workbook()
    assert book.active is not None
    book.active.title = "Cover"
    book.create_sheet("Prices").append(["Part No", "Size"])
    book.create_sheet("Old").append(["Part No", "Size", "x"])
    book.save(path)
    found = look_at(str(path))
    assert found.sheet == "Prices"
    assert found.notes == ("sheet Prices is read; not read: Old",)
    assert look_at(str(path), sheet="3").sheet == look_at(str(path), sheet="Old").sheet == "Old"
    with pytest.raises(InputError, match="has the sheets Cover, Prices, Old"):
        look_at(str(path), sheet="New")
    text = tmp_path / "list.csv"
    text.write_text(TEXT, encoding="utf-8")
    with pytest.raises(InputError, match="only a workbook has sheets"):
        look_at(str(text), sheet="1")


def test_a_workbook_without_anything(tmp_path: Path) -> None:
    from openpyxl import Workbook

    path = tmp_path / "list.xlsx"
    Workbook().save(path)
    with pytest.raises(InputError, match="no sheet"):
        look_at(str(path))


def test_a_page_of_notes_is_not_read_for_the_list(tmp_path: Path) -> None:
    from openpyxl import Workbook

    path = tmp_path / "list.xlsx"
    book = Workbook()
    assert book.active is not None
    book.active.title = "Read me"
    for row in (
        ["Dear customer"],
        ["Contact", "sales desk"],
        ["35x52x7 is back"],
        ["price, stock"],
    ):
        book.active.append(row)
    prices = book.create_sheet("Prices")
    for number in range(4):
        prices.append([f"00{number}", "oil seal 35x52x7", 2.5])
    book.create_sheet("Legend").append(["Part No", "Size"])
    book.save(path)
    found = look_at(str(path))
    assert found.sheet == "Prices"
    said = "sheet Prices is read, the first with a table; not read: Read me, Legend"
    assert found.notes == (said,)
