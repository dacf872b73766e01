"""Tables as a workbook that a spreadsheet opens, sorts and never executes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from io import BytesIO
from typing import Any, BinaryIO

from fitcheck.records import dataclass

# A sheet of a workbook ends here; more rows go on to the next sheet.
SHEET_ROWS = 1_048_576
# A cell holds no more characters than this.
_CELL = 32_767
_FORMATS = {"text": "@", "whole": "0", "number": "General", "money": "#,##0.00", "share": "0.0%"}


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, with the unit where it has one, what it holds, and how wide it is.

    ``kind`` is ``text``, ``whole``, ``number``, ``money`` or ``share``.
    """

    name: str
    kind: str = "text"
    width: int = 14


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a workbook; its rows are read once, so a long one may be streamed."""

    title: str
    columns: Sequence[Column]
    rows: Iterable[Sequence[Any]]


def write_workbook(target: str | BinaryIO, tables: Iterable[Table]) -> None:
    """Write tables, each on a sheet of its own, under a fixed heading with filters.

    Numbers are numbers and texts are texts: what begins like a formula stays the text it is.

    Parameters
    ----------
    target : str or binary file
        Where to.
    tables : iterable of Table
        The tables.
    """
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    for table in tables:
        _write_table(book, table)
    save_book(book, target)


def save_book(book: Any, target: str | BinaryIO) -> None:
    """Save a workbook, made whole before anything of it is written.

    Parameters
    ----------
    book : openpyxl.Workbook
        The workbook.
    target : str or binary file
        Where to.

    Notes
    -----
    An archive that can't be written to its end reports so once more when it is cleared away; one in
    memory can't fail.
    """
    from openpyxl.writer.excel import ExcelWriter

    from fitcheck.archives import DatedZip

    whole = BytesIO()
    ExcelWriter(book, DatedZip(whole)).save()
    if isinstance(target, str):
        with open(target, "wb") as handle:
            handle.write(whole.getbuffer())
    else:
        target.write(whole.getbuffer())


def fill_sheets(
    opened: Callable[[int], Any],
    rows: Iterable[Any],
    *,
    append: Callable[[Any, Any], None],
    columns: int,
    limit: int = SHEET_ROWS,
) -> None:
    """Write rows on as many sheets as it takes, and put filters on their headings.

    Parameters
    ----------
    opened : callable
        Opens the sheet of a number, from 1, with its heading.
    rows : iterable
        The rows.
    append : callable
        Adds a row to a sheet.
    columns : int
        How many columns there are.
    limit : int
        How many rows a sheet takes, its heading counted.
    """
    number, used = 1, 1
    sheet = opened(number)
    for row in rows:
        if used >= limit:
            _filtered(sheet, columns, used)
            number, used = number + 1, 1
            sheet = opened(number)
        append(sheet, row)
        used += 1
    _filtered(sheet, columns, used)


def _filtered(sheet: Any, columns: int, rows: int) -> None:
    from openpyxl.utils import get_column_letter

    sheet.auto_filter.ref = f"A1:{get_column_letter(columns)}{rows}"


def _write_table(book: Any, table: Table) -> None:
    title = _title(table.title)

    def opened(number: int) -> Any:
        return _opened(book, title if number == 1 else f"{title[:27]} {number}", table)

    def append(sheet: Any, row: Sequence[Any]) -> None:
        cells = zip(row, table.columns, strict=True)
        sheet.append([_cell(sheet, value, column) for value, column in cells])

    fill_sheets(opened, table.rows, append=append, columns=len(table.columns))


def _opened(book: Any, title: str, table: Table) -> Any:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    sheet = book.create_sheet(title)
    sheet.freeze_panes = "A2"
    for place, column in enumerate(table.columns, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = column.width
    heading = []
    for column in table.columns:
        cell = WriteOnlyCell(sheet, value=column.name)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        heading.append(cell)
    sheet.append(heading)
    return sheet


def _cell(sheet: Any, value: Any, column: Column) -> Any:
    from openpyxl.cell import WriteOnlyCell

    if value is None or value == "":
        return None
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if not isinstance(value, str):
        cell = WriteOnlyCell(sheet, value=value)
        cell.number_format = _FORMATS[column.kind] if column.kind != "text" else "General"
        return cell
    cell = WriteOnlyCell(sheet, value=shown(value))
    # Left alone, a text that begins with "=" would be written as a formula.
    cell.data_type = "s"
    cell.number_format = _FORMATS["text"]
    return cell


def shown(text: str) -> str:
    """A text as a cell can hold it: control characters, which a workbook has no place for, marked.

    >>> shown("=1+1"), shown("a\\x00b")
    ('=1+1', 'a\\ufffdb')
    """
    kept = (
        c if c in "\t\n\r" or ord(c) >= 32 else "\N{REPLACEMENT CHARACTER}" for c in text[:_CELL]
    )
    return "".join("\N{REPLACEMENT CHARACTER}" if "\ud800" <= c <= "\udfff" else c for c in kept)


def _title(text: str) -> str:
    """A sheet's name: at most 31 characters, without those that mean something in a formula."""
    return "".join(" " if c in "[]:*?/\\'" or ord(c) < 32 else c for c in text)[:31] or "Sheet"
