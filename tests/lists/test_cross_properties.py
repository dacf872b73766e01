"""What holds for crossing whatever is wanted: nothing lost, grades fair, units without effect."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from fitcheck.errors import InputError
from fitcheck.lists.compare import seal_width, search_limit_um
from fitcheck.lists.cross import Crossing, cross
from fitcheck.lists.execution import contrast
from fitcheck.lists.grades import GRADES, grading, size_grading
from fitcheck.lists.headers import read_header
from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.rows import OUT_COLUMNS, CsvText
from fitcheck.lists.source import rows_source
from fitcheck.lists.wanted import wanted_lines
from fitcheck.lists.wanted_file import wanted_of_file

SHOP = rows_source(
    {
        "north": [
            {
                "line": 2,
                "part_number": "0621",
                "kind": "seal",
                "shaft_um": 35000,
                "bore_um": 52000,
                "width_um": 7000,
                "system": "metric",
                "lip": "single",
                "price": "1",
            },
            {"line": 3, "part_number": "B6", "kind": "bearing", "designation": "30206"},
        ]
    }
)

# Bits of wanted lines, so that texts are messy in the way that pages are.
bits = st.sampled_from(
    (
        *("35", "52", "7", "x", "X", " ", "*", "?", "/", "-", ",", ".", ";", "\t", "|", '"', "'"),
        *("1-3/8", "2 1/8", ".313", "mm", "in", "shaft", "bore", "wide", "od", "OIL SEAL", "0621"),
        *("double lip", "NBR", "30206", "LM11949", "qty", "pcs", "=1+1", "@", "Ø", "×", "3E5"),
        *("1e999", "-", "²", "\u0661", "\ufeff", "\x00", "\x1b[31m", "\u2028", "ß", "İ"),
    )
)
texts = st.one_of(st.lists(bits, max_size=12).map(" ".join), st.text(max_size=40)).map(
    lambda text: text.replace("\r", " ").replace("\n", " ")
)


@given(st.lists(texts, max_size=6), st.sampled_from(("mm", "in")))
@example(['"35x52x7', "0621"], "mm")
@example(["1e999x52x7"], "mm")
def test_no_text_stops_the_page_and_every_line_is_in_the_answer(
    lines: list[str], unit: str
) -> None:
    page = ["35x52x7", *lines]
    answers = list(cross(wanted_lines(page, unit=unit), SHOP))
    asked = [number for number, line in enumerate(page, 1) if line.strip()]
    assert [answer.want.line for answer in answers] == asked
    text = CsvText()
    written = text.heading() + "".join(map(text.of, answers))
    found = list(csv.DictReader(io.StringIO(written, newline="")))
    assert list(dict.fromkeys(int(row["line"]) for row in found)) == asked
    assert all(row["grade"] in GRADES for row in found)
    assert all(None not in row and list(row) == list(OUT_COLUMNS) for row in found)


cells = texts.map(lambda text: ILLEGAL_CHARACTERS_RE.sub("", text))
HEADINGS = ("text,lip,quantity", "shaft,bore,width", "part_number,mark", "Shaft (in),Bore (in),x")


@settings(max_examples=60)
@given(
    st.sampled_from(HEADINGS),
    st.lists(st.lists(cells, min_size=3, max_size=4), min_size=1, max_size=5),
    st.sampled_from(("csv", "tab", "utf-16", "xlsx")),
)
def test_every_row_of_a_sheet_is_answered_or_refused(
    heading: str, rows: list[list[str]], kind: str
) -> None:
    table = [heading.split(","), *rows]
    with TemporaryDirectory() as folder:
        path = Path(folder) / f"wanted.{'xlsx' if kind == 'xlsx' else 'csv'}"
        if kind == "xlsx":
            book = Workbook()
            sheet = book.active
            assert sheet is not None
            for row in table:
                sheet.append([f"'{cell}" if cell.startswith("=") else cell for cell in row])
            book.save(path)
        else:
            encoding = "utf-16" if kind == "utf-16" else "utf-8"
            with path.open("w", encoding=encoding, newline="") as handle:
                delimiter = "\t" if kind == "tab" else ","
                csv.writer(handle, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows(table)
        try:
            wants = list(wanted_of_file(str(path)))
        except InputError:
            # A file that no text editor would show as text is refused whole, not read in part.
            binary = "\x00" in "".join(map("".join, rows))
            if not binary:
                raise
            return
    filled = [number for number, row in enumerate(table[1:], 2) if any(c.strip() for c in row)]
    assert [want.line for want in wants] == filled
    for answer in Crossing(wants, SHOP):
        refused = answer.want.refused
        assert (answer.verdict == "refused") == (refused is not None)
        if refused is not None:
            assert refused.column
            assert refused.reason


um = st.integers(5_000, 200_000)
sizes = st.builds(
    lambda shaft, more, width, system: SizeKey("seal", shaft, shaft + more, width, system),
    um,
    st.integers(4_000, 60_000),
    st.one_of(st.none(), st.integers(3_000, 30_000)),
    st.sampled_from(("metric", "inch", "mixed")),
)
off = st.integers(-1_600, 1_600)
near = st.tuples(sizes, off, off, off).map(
    lambda drawn: (
        drawn[0],
        drawn[0]._replace(
            shaft_um=drawn[0].shaft_um + drawn[1],
            bore_um=drawn[0].bore_um + drawn[2],
            width_um=None if drawn[0].width_um is None else drawn[0].width_um + drawn[3],
        ),
    )
)
makes = st.builds(
    Execution,
    st.sampled_from((None, "single", "double", "axial")),
    st.sampled_from((None, "metal", "rubber")),
    st.sampled_from((None, "NBR", "FKM")),
    st.sampled_from((None, "yes", "no")),
    st.sampled_from((None, "oil", "grease")),
    st.sampled_from((None, "left", "right", "both")),
)


@given(near)
def test_how_far_off_two_sizes_are_is_the_same_both_ways(pair: tuple[SizeKey, SizeKey]) -> None:
    one, other = size_grading(*pair), size_grading(*reversed(pair))
    # Which limits apply goes by the side that is wanted; equal, twin and far do not.
    assert (one.grade == "same") == (other.grade == "same")
    assert (one.grade == "nothing") == (other.grade == "nothing")
    if one.grade != "nothing":
        assert one.off_um == other.off_um


@given(near, makes)
def test_shafts_and_bores_fit_each_other_or_neither(
    pair: tuple[SizeKey, SizeKey], made: Execution
) -> None:
    one, other = (size._replace(width_um=7_000) for size in pair)
    first = grading(one, made, other, made).grade
    assert first == grading(other, made, one, made).grade


@given(makes, makes)
def test_lip_lubricant_and_direction_differ_both_ways(one: Execution, other: Execution) -> None:
    bare = Execution()._asdict()
    for name in ("lip", "lubricant", "direction"):
        a, b = (Execution(**{**bare, name: getattr(made, name)}) for made in (one, other))
        assert contrast(a, b).level == contrast(b, a).level


@given(st.text(max_size=30), st.text(max_size=30))
def test_no_likeness_of_texts_crosses_a_lip(wanted: str, listed: str) -> None:
    rows = [
        {
            "line": 2 + number,
            "description": description,
            "kind": "seal",
            "shaft_um": 35000,
            "bore_um": 52000,
            "width_um": 7000,
            "system": "metric",
            "lip": "single",
            "lubricant": "oil",
            "direction": "both",
        }
        for number, description in enumerate((listed, wanted, "OIL SEAL 35X52X7 DOUBLE LIP"))
    ]
    lines = ["shaft,bore,width,lip,lubricant,direction", "35,52,7,double,oil,both"]
    (answer,) = cross(wanted_lines(lines), rows_source({"a": rows}))
    assert [found.grade for found in answer.alternatives] == ["other-execution"] * 3
    assert all(found.differs == ("lip single for double",) for found in answer.alternatives)


def sixteenths(count: int) -> str:
    whole, part = divmod(count, 16)
    return (
        "-".join(text for text in (str(whole or ""), f"{part}/16" if part else "") if text) + "in"
    )


@given(st.integers(8, 80), st.integers(4, 40), st.integers(3, 20))
def test_the_unit_that_is_written_does_not_change_the_grade(
    shaft: int, more: int, width: int
) -> None:
    """Sixteenths of an inch, written as fractions, as decimals, and in mm."""
    values = (shaft, shaft + more, width)
    ways = (
        ",".join(map(sixteenths, values)),
        ",".join(f"{n / 16:.4f}in" for n in values),
        ",".join(f"{n * 25.4 / 16:.4f}mm" for n in values),
    )
    heading = "shaft,bore,width"
    asked = [next(wanted_lines([heading, way])) for way in ways]
    keys = [want.readings[0][0] for want in asked]
    assert len({key[1:4] for key in keys}) == 1
    for have in (keys[0], keys[0]._replace(width_um=(keys[0].width_um or 0) + 1_000)):
        assert len({size_grading(key, have).grade for key in keys}) == 1


@given(st.lists(near, min_size=3, max_size=3))
def test_the_order_of_matches_is_total(pairs: list[tuple[SizeKey, SizeKey]]) -> None:
    rows = [{"line": number, **have._asdict()} for number, (_, have) in enumerate(pairs, start=2)]
    want = pairs[0][0]
    heading = "shaft,bore,width"
    cells = (f"{um / 1000:.3f}" for um in (want.shaft_um or 0, want.bore_um or 0))
    line = ",".join((*cells, "" if want.width_um is None else f"{want.width_um / 1000:.3f}"))
    (first,) = cross(wanted_lines([heading, line]), rows_source({"a": rows}))
    (again,) = cross(wanted_lines([heading, line]), rows_source({"a": rows[::-1]}))
    assert first.alternatives == again.alternatives


def test_what_the_shop_lays_over_its_tables_counts_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)
    asked = (7_000, "metric", 10_500, "metric", None)
    before = seal_width(*asked), search_limit_um("width_condition"), read_header("Kragen").field
    assert GRADES[before[0].level] == "near-miss"
    (tmp_path / "crossing").mkdir()
    (tmp_path / "crossing" / "limits.csv").write_text(
        "name,value_mm\nwidth_condition,4\n", encoding="utf-8"
    )
    (tmp_path / "lists").mkdir()
    (tmp_path / "lists" / "header_words.csv").write_text(
        "word,exact,field\nKRAGEN,false,width\n", encoding="utf-8"
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert GRADES[seal_width(*asked).level] == "condition"
    assert read_header("Kragen").field == "width"
    monkeypatch.delenv("FITCHECK_TABLES")
    assert before == (
        seal_width(*asked),
        search_limit_um("width_condition"),
        read_header("Kragen").field,
    )
