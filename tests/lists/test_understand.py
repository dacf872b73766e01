"""Lists read as a whole: every line is accounted for, and what is written reads back the same."""

from __future__ import annotations

import csv
import io
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.lists.export import RemarkWriter, safe_cell, unsafe_cell
from fitcheck.lists.lines import FIELD_NAMES, Block, Remark
from fitcheck.lists.own import write_list
from fitcheck.lists.understand import ListReading, read_list

Line = dict[str, Any]


def everything(reading: ListReading) -> tuple[list[Line], list[Remark]]:
    lines: list[Line] = []
    remarks: list[Remark] = []
    for block, found in reading.blocks():
        assert tuple(block.columns) == FIELD_NAMES
        for values in zip(*block.columns.values(), strict=True):
            lines.append(dict(zip(FIELD_NAMES, values, strict=True)))
        remarks += found
    return lines, remarks


def read(text: str, **options: Any) -> tuple[ListReading, list[Line], list[Remark]]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        path.write_bytes(text.encode())
        reading = read_list(str(path), **options)
        return reading, *everything(reading)


def accounted(reading: ListReading, lines: list[Line], remarks: list[Remark]) -> None:
    """The tally adds up, and every line that is not accepted is told."""
    tally = reading.tally
    assert tally.accepted + tally.repaired + tally.refused == tally.lines
    assert tally.accepted + tally.repaired == len(lines)
    refused = [r.line for r in remarks if r.outcome == "refused"]
    assert len(set(refused)) == tally.refused
    assert len({r.line for r in remarks if r.outcome == "repaired"}) == tally.repaired
    assert not set(refused) & {line["line"] for line in lines}
    assert all(r.reason and r.line > 0 for r in remarks)


def test_a_line_has_all_its_fields() -> None:
    head = "Part No;Description;Price EUR;Pack;MOQ;Lead time;Stock\n"
    reading, (line,), remarks = read(
        head + "00621;OIL SEAL 35x52x7 NBR dbl lip, metal case;4,20;10;20;2 weeks;7\n"
    )
    assert remarks == []
    assert {name: value for name, value in line.items() if value is not None} == {
        "line": 2,
        "part_number": "00621",
        "description": "OIL SEAL 35x52x7 NBR dbl lip, metal case",
        "kind": "seal",
        "shaft_um": 35000,
        "bore_um": 52000,
        "width_um": 7000,
        "system": "metric",
        "lip": "double",
        "case": "metal",
        "material": "NBR",
        "price": "4.20",
        "currency": "EUR",
        "pack": 10,
        "minimum": 20,
        "lead_days": 14,
        "on_hand": 7,
    }
    assert reading.tally.accepted == 1


def test_part_numbers_stay_as_they_are() -> None:
    numbers = ["00621", "3E5", "1.5E3", "1,250", "12-05", "007", "A B", "-5", "=1+1", "١٢"]
    body = "".join(f"{number}\t35x52x7\n" for number in numbers)
    _, lines, _ = read("Part No\tSize\n" + body)
    assert [line["part_number"] for line in lines] == numbers


@pytest.mark.parametrize(
    ("row", "column", "value", "reason"),
    [
        ("A1;25x7x10;;", "Size", "25x7x10", "its order can be read as"),
        ("A1;banana;;", "Size", "banana", "is no size"),
        (";;seal;4,20", "", " |  | seal | 4,20", "neither part number, size nor designation"),
        ("Total;;;99,00", "", "Total |  |  | 99,00", "a total or foot line"),
        ("Prices ex works;;;", "", "Prices ex works |  |  | ", "a heading or a note"),
        ("A1;35x52x7;SEAL 40x62x8;", "Size", "35x52x7", "two sizes are given"),
        ("A1;35x52x7;seal;4,20;5", "", "A1 | 35x52x7 | seal | 4,20 | 5", "5 cells where"),
        ("A1;;seal 35x52x7x9;", "Description", "seal 35x52x7x9", "is in doubt"),
        ("A" * 90 + ";35x52x7;;", "Part", "A" * 90, "longer than 80"),
    ],
)
def test_refused_lines(row: str, column: str, value: str, reason: str) -> None:
    head = "Part;Size;Description;Price\n"
    good = "G1;40x62x8;seal;4,20\n"
    reading, lines, remarks = read(head + good + row + "\n" + good)
    assert [line["line"] for line in lines] == [2, 4]
    (remark,) = remarks
    assert (remark.outcome, remark.line, remark.column) == ("refused", 3, column)
    assert remark.value == value
    assert reason in remark.reason
    accounted(reading, lines, remarks)


@pytest.mark.parametrize(
    ("cells", "field", "reason"),
    [
        ({"Price": "free"}, "price", "is no number: no price"),
        ({"Price": "-4"}, "price", "is below zero"),
        ({"Price": "$ 4,20"}, "currency", "names several currencies"),
        ({"Stock": "< 100"}, "on_hand", "is no exact number"),
        ({"Lead time": "soon"}, "lead_days", "is no lead time"),
        ({"Lip": "triple"}, "lip", "no listed word for the lip"),
        ({"Lip": "single", "Description": "seal dbl lip"}, "lip", "the description says double"),
    ],
)
def test_repaired_lines(cells: dict[str, str], field: str, reason: str) -> None:
    names = ("Part", "Size", "Description", "Price", "Lead time", "Stock", "Lip")
    usual = dict(zip(names, ("A1", "35x52x7", "seal", "4,20", "14", "5", "double"), strict=True))
    rows = [";".join(names), ";".join(usual.values()), ";".join({**usual, **cells}.values())]
    reading, lines, remarks = read("\n".join(rows) + "\n" + f"{rows[1]}\n" * 3)
    (remark,) = remarks
    assert (remark.outcome, remark.line) == ("repaired", 3)
    assert reason in remark.reason
    assert lines[1][field] is None
    accounted(reading, lines, remarks)


def test_a_currency_of_its_own_column() -> None:
    body = "A;35x52x7;4,20;EUR\nB;35x52x7;4,20;$\nC;35x52x7;€ 4,20;GBP\n" + "D;35x52x7;1,00;EUR\n"
    _, lines, remarks = read("Item;Size;Price;Currency\n" + body)
    assert [line["currency"] for line in lines] == ["EUR", None, "EUR"]
    assert [(r.outcome, r.line) for r in remarks] == [("repaired", 3), ("refused", 4)]


def test_a_width_is_filled_in_from_the_description() -> None:
    _, (line,), _ = read("Item;Size;Description\nA;35x52;SEAL 35x52x7\n")
    assert line["width_um"] == 7000


def test_a_file_that_is_read_again_is_counted_again(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Item;Size\nA;35x52x7\n", encoding="utf-8")
    reading = read_list(str(path))
    assert everything(reading) == everything(reading)
    assert reading.tally.lines == 1


def test_more_lines_than_a_block(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    body = "".join(f"{i:05d};35x52x7;{i % 90 + 10},50\n" for i in range(45_000))
    path.write_text("Item;Size;Price\n" + body, encoding="utf-8")
    reading = read_list(str(path))
    sizes = [len(block) for block, _ in reading.blocks()]
    assert (len(sizes), sum(sizes)) == (3, 45_000)
    lines, _ = everything(reading)
    assert (lines[-1]["line"], lines[-1]["part_number"]) == (45_001, "44999")


# --- properties ----------------------------------------------------------------------------------

NUMBERS = st.text(st.characters(codec="utf-8", exclude_characters="\0\r\n"), max_size=12)
SIZES = st.sampled_from(
    ["35x52x7", "OIL SEAL 35x52x7", "1-3/8x2-1/8x5/16", "25x7x10", "35x52", "", "BRG 30206"]
)
PRICES = st.sampled_from(["4,20", "1.234,50", "12", "", "free", "-", "€ 5,00", "-1", "1,250"])
ROWS = st.one_of(
    st.tuples(NUMBERS, SIZES, PRICES),
    st.tuples(
        NUMBERS, st.text(st.characters(codec="utf-8", exclude_characters="\0\r"), max_size=20)
    ),
    st.tuples(NUMBERS, SIZES, PRICES, NUMBERS),
    st.just(()),
    st.just(("Part No", "Description", "Price")),
    st.just(("Total", "", "99,00")),
)


@settings(max_examples=60)
@given(
    st.lists(ROWS, max_size=30),
    st.sampled_from([";", ",", "\t", "|"]),
    st.sampled_from(["\n", "\r\n"]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_every_line_of_a_messy_file_is_accounted_for(
    rows: list[tuple[str, ...]], delimiter: str, end: str, encoding: str
) -> None:
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter, lineterminator=end)
    writer.writerow(("Part No", "Description", "Price"))
    # A line that shows the decimal sign, so that no file is refused as a whole for that.
    writer.writerow(("A1", "OIL SEAL 35x52x7", "4,20"))
    writer.writerows(rows)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        path.write_bytes(text.getvalue().encode(encoding))
        reading = read_list(str(path))
        lines, remarks = everything(reading)
    accounted(reading, lines, remarks)
    assert reading.plan.header_line == 1
    assert reading.tally.lines + reading.tally.skipped == len(rows) + 1


@settings(max_examples=60)
@given(
    st.one_of(
        st.binary(max_size=300),
        st.text(max_size=200).map(str.encode),
        st.text('AS12357x,;"\n\t|. -/€', max_size=300).map(str.encode),
    )
)
def test_any_file_is_read_or_refused(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        path.write_bytes(content)
        try:
            reading = read_list(str(path))
        except InputError:
            return
        accounted(reading, *everything(reading))


TEXTS = st.none() | st.text(
    st.characters(codec="utf-8", exclude_characters="\0\r\n\ue000\ue001\ue002"), min_size=1
)
COUNTS = st.none() | st.integers(0, 999_999_999)


@given(
    st.lists(
        st.fixed_dictionaries(
            {
                "line": st.integers(1, 10**9),
                "part_number": st.text(
                    st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1
                ),
                "description": TEXTS,
                "kind": st.sampled_from(["seal", "bearing", "sleeve", "other"]),
                "shaft_um": COUNTS,
                "system": st.none() | st.sampled_from(["metric", "inch", "mixed"]),
                "designation": TEXTS,
                "lip": st.none() | st.sampled_from(["single", "double", "axial"]),
                "price": st.none() | st.decimals(0, 10**6, places=2).map(str),
                "currency": st.none() | st.just("EUR"),
                "on_hand": COUNTS,
            }
        ),
        max_size=8,
    )
)
def test_what_is_written_reads_back_the_same(lines: list[Line]) -> None:
    rows = [{name: line.get(name) for name in FIELD_NAMES} for line in lines]
    block = Block({name: [row[name] for row in rows] for name in FIELD_NAMES})
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        with path.open("w", encoding="utf-8", newline="") as handle:
            assert write_list(handle, [block]) == len(rows)
        reading = read_list(str(path))
        found, remarks = everything(reading)
    assert (found, remarks) == (rows, [])
    assert reading.own_export


def test_an_own_list_that_was_changed(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    with path.open("w", encoding="utf-8", newline="") as handle:
        columns: dict[str, list[Any]] = {name: [None] for name in FIELD_NAMES}
        write_list(handle, [Block({**columns, "part_number": ["A1"]})])
    reading = read_list(str(path))
    lines, remarks = everything(reading)
    assert lines == []
    assert remarks[0].reason == "the number of its line is missing"
    accounted(reading, lines, remarks)


@given(st.text(st.characters(codec="utf-8")))
def test_a_cell_is_never_a_formula_and_comes_back(text: str) -> None:
    cell = safe_cell(text)
    assert unsafe_cell(cell) == text
    bare = cell.lstrip()
    if bare[:1] in tuple("=+-@"):
        assert bare[1:].replace(".", "").replace(",", "").isdigit()


@pytest.mark.parametrize("text", ["=1+1", "@SUM(A1)", "+1+1", "-1+1", "\t=1", "'=1", " =1", "＝1"])
def test_formulas_become_texts(text: str) -> None:
    assert safe_cell(text) == "'" + text


@pytest.mark.parametrize("text", ["-0.025", "+5", "35 x 52 x 7", "", "'", "00621"])
def test_other_texts_stay(text: str) -> None:
    assert safe_cell(text) == text


def test_the_report_beside_the_list(tmp_path: Path) -> None:
    path = tmp_path / "report.csv"
    remark = Remark("refused", 7, "Size", "=cmd|x", 'is "no" size, at all')
    with path.open("w", encoding="utf-8", newline="") as handle:
        RemarkWriter(handle, "prices.csv").write([remark])
    with path.open(encoding="utf-8", newline="") as handle:
        head, row = list(csv.reader(handle))
    assert head == ["file", "line", "column", "value", "outcome", "reason"]
    assert row == ["prices.csv", "7", "Size", "'=cmd|x", "refused", 'is "no" size, at all']


def test_words_beside_a_size_in_its_own_column_are_read() -> None:
    head = "code;size;text;price\n"
    reading, lines, remarks = read(
        head
        + "1;35x52x7 FPM, single lip;OIL SEAL;2\n"
        + "2;40x62x10 NBR;SEAL FKM;3\n"
        + "3;45x62x8 ribbed;SEAL;3\n"
    )
    assert [(one["lip"], one["material"]) for one in lines] == [
        ("single", "FKM"),
        (None, None),
        (None, None),
    ]
    told = {(r.line, r.outcome, r.value) for r in remarks}
    assert told == {(3, "repaired", "NBR"), (4, "noted", "RIBBED")}
    accounted(reading, lines, remarks)


def test_a_bearing_of_another_size_than_its_number_is_remarked() -> None:
    text = "no;size;text\n1;30x62x17,25;bearing 32206\n2;30x62x17,25;bearing 30206\n"
    reading, lines, remarks = read(text)
    accounted(reading, lines, remarks)
    assert [(r.line, r.column, r.outcome, r.reason) for r in remarks] == [
        (2, "size", "noted", "32206 is listed as 30 x 62 x 21.25 mm")
    ]
