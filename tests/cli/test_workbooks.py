"""Every workbook: numbers are numbers, units in the heading, filters, nothing that is executed."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo"
Run = Callable[..., tuple[int, str, str]]
# Names that a spreadsheet might run, or that a table might choke on.
HOSTILE = ("=cmd|' /C calc'!A0", "+1+1", "@SUM(A1)", "-2+3", "<script>alert(1)</script>", "x" * 300)


@pytest.fixture
def parts_list(run: Run, tmp_path: Path) -> Path:
    """The parts list of a sheet whose positions have hostile names."""
    sheet = (DEMO / "winch.toml").read_text(encoding="utf-8")
    names = ("drum-side seal", "motor-side seal", "brake-side seal", "drum-side bearing")
    for name, hostile in zip((*names, "motor-side bearing", "closing"), HOSTILE, strict=False):
        sheet = sheet.replace(f'"{name}"', f'"{hostile}"')
    (tmp_path / "sheet.toml").write_text(sheet, encoding="utf-8")
    out = tmp_path / "parts.xlsx"
    assert run("hub", str(tmp_path / "sheet.toml"), "--xlsx", str(out))[0] == 0
    return out


@pytest.fixture
def crossing(run: Run, tmp_path: Path) -> Path:
    """A crossing of hostile lines with a list that has some too."""
    wanted = tmp_path / "wanted.txt"
    wanted.write_text("\n".join(["35x52x7", "0012", *HOSTILE]), encoding="utf-8")
    listed = tmp_path / "list.csv"
    rows = [f'"{text} 35x52x7","{text}",3.20,EUR,{n}' for n, text in enumerate(HOSTILE)]
    listed.write_text(
        "description,part_number,price,currency,lead_days\n" + "\n".join(rows), encoding="utf-8"
    )
    out = tmp_path / "cross.xlsx"
    assert run("cross", str(wanted), "--file", str(listed), "-o", str(out))[0] == 0
    return out


@pytest.fixture
def stocking_list(run: Run, tmp_path: Path) -> Path:
    """A stocking list."""
    out = tmp_path / "plan.xlsx"
    words = ("--budget", "900", "--folder", str(DEMO / "stock"), "--top", "0")
    assert run("stock", "plan", *words, "-o", str(out))[0] == 0
    return out


# Workbook -> columns that hold numbers, by their headings.
NUMBERS = {
    "parts_list": ("quantity, pieces",),
    "crossing": ("price", "lead_days", "list_line"),
    "stocking_list": ("level (pieces)", "price (EUR)", "money (EUR)", "met (of asks)"),
}


@pytest.mark.parametrize("name", NUMBERS)
def test_a_workbook_is_frozen_filtered_and_inert(name: str, request: Any) -> None:
    file: Path = request.getfixturevalue(name)
    book = load_workbook(file)
    for sheet in book:
        assert sheet.freeze_panes == "A2"
        wide = get_column_letter(sheet.max_column)
        assert sheet.auto_filter.ref == f"A1:{wide}{sheet.max_row}"
        assert all(cell.value for cell in sheet[1])
        cells = [cell for row in sheet.iter_rows() for cell in row]
        assert {cell.data_type for cell in cells} <= {"n", "s", "inlineStr", "d"}
        assert not any(cell.hyperlink for cell in cells)
    with zipfile.ZipFile(file) as parts:
        inside = parts.namelist()
        text = b"".join(parts.read(one) for one in inside if one.startswith("xl/worksheets/"))
    assert b"<f>" not in text
    assert b"<f " not in text
    assert not [one for one in inside if "vba" in one or "external" in one or "conn" in one]


@pytest.mark.parametrize("name", NUMBERS)
def test_what_is_a_number_is_one(name: str, request: Any) -> None:
    file: Path = request.getfixturevalue(name)
    sheet = load_workbook(file).worksheets[0]
    heading = [cell.value for cell in sheet[1]]
    for column in NUMBERS[name]:
        place = heading.index(column)
        values = [row[place].value for row in sheet.iter_rows(min_row=2)]
        values = [value for value in values if value is not None]
        assert values
        assert all(isinstance(value, int | float) for value in values), column


def test_a_part_number_stays_the_text_it_is(crossing: Path) -> None:
    sheet = load_workbook(crossing).worksheets[0]
    heading = [cell.value for cell in sheet[1]]
    place = heading.index("part_number")
    shown = {row[place].value for row in sheet.iter_rows(min_row=2)}
    assert {text for text in shown if text is not None} <= {*HOSTILE, *(f"'{h}" for h in HOSTILE)}


def test_hostile_names_stand_in_the_parts_list_as_text(parts_list: Path) -> None:
    cells = {
        cell.value
        for sheet in load_workbook(parts_list)
        for row in sheet.iter_rows()
        for cell in row
    }
    assert {*HOSTILE[:5]} <= cells
