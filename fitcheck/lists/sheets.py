"""Workbooks (.xlsx) as rows of text cells, row by row.

A cell that the workbook holds as a number, a date or a formula without a stored value carries a
mark in front of its text, for a part number that was typed as a number may have lost its zeros,
and 3/8 may have become a date.
"""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

from fitcheck.errors import InputError
from fitcheck.lists.layout import Chunk, Layout
from fitcheck.lists.numbers import DATE_MARK, MARKS, NO_VALUE_MARK, NUMBER_MARK

# A million lines take about a tenth of these; what unpacks to more is no price list.
_LARGEST_BYTES = 4 << 30
_LARGEST_TEXTS = 1 << 30
_LARGEST_RATIO, _SMALL = 1000, 16 << 20
_ERROR = re.compile(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NULL!|NUM!|SPILL!|CALC!)")
_FORMULA = re.compile(rb"<f[ >/]")
_EMPTY_ROWS = 1000
# A format of nothing but zeros keeps the length of a part number.
_STYLES = "xl/styles.xml"
_ZERO_FORMAT, _ZEROS = re.compile(rb"formatCode=[\"']00+[\"']"), re.compile("00+")
# What tells a list from a page of notes, within the first rows of a sheet.
_LOOKED_AT, _KNOWN_HEADERS, _FULL_ROW, _FULL_ROWS = 60, 2, 3, 3


def look_at_workbook(path: str, sheet: str | None) -> Layout:
    """The sheet of a workbook that is read, and what is noticed about the others.

    Raises
    ------
    InputError
        It is no workbook, is locked, is far too large unpacked, or has no such sheet.
    """
    _check_archive(path)
    with _opened(path) as book:
        names = [s.title for s in book.worksheets]
        if sheet is not None:
            # A sheet's name comes first; a number counts the sheets from 1.
            by_number = sheet.isdigit() and 0 < int(sheet) <= len(names)
            if sheet not in names and not by_number:
                raise InputError(
                    value=f"sheet {sheet}",
                    rule=f"{path} has the sheets {', '.join(names)}",
                    todo="Name one of them",
                )
            return Layout("workbook", sheet=sheet if sheet in names else names[int(sheet) - 1])
        try:
            filled = [name for name in names if _has_content(book[name])]
            tables = [_table_rank(book[name]) for name in filled] if len(filled) > 1 else [0]
        except Exception as error:
            # A sheet is read as it is looked at, and may be broken anywhere.
            raise _damaged(path, error) from None
    if not filled:
        raise InputError(
            value=path,
            rule="no sheet of the workbook holds anything",
            todo="Check that it is the right file",
        )
    notes: tuple[str, ...] = ()
    # The first sheet, unless it is a page of words and another one has a table.
    read = filled[tables.index(max(tables))]
    if len(filled) > 1:
        others = ", ".join(name for name in filled if name != read)
        why = "" if read == filled[0] else ", the first with a table"
        notes = (f"sheet {read} is read{why}; not read: {others}",)
    return Layout("workbook", sheet=read, notes=notes)


def _check_archive(path: str) -> None:
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            names = {member.filename for member in members}
    except (zipfile.BadZipFile, OSError, RuntimeError):
        raise InputError(
            value=path, rule="the file is damaged", todo="Get it again, or save it as CSV"
        ) from None
    if any(member.flag_bits & 1 for member in members):
        raise InputError(
            value=path, rule="the file is locked by a password", todo="Save it without one"
        )
    if "xl/workbook.xml" not in names:
        raise InputError(
            value=path,
            rule="this is an archive and no .xlsx workbook",
            todo="Unpack it, or save the list as .xlsx or CSV",
        )
    total = sum(member.file_size for member in members)
    for member in members:
        ratio = member.file_size / max(1, member.compress_size)
        texts = member.filename.endswith("sharedStrings.xml")
        if (
            total > _LARGEST_BYTES
            or (texts and member.file_size > _LARGEST_TEXTS)
            or (ratio > _LARGEST_RATIO and member.file_size > _SMALL)
        ):
            raise InputError(
                value=path,
                rule=f"it unpacks to {total >> 20} MiB, which no price list does",
                todo="Save the sheet as CSV",
            )


@contextmanager
def _opened(path: str, *, formulas: bool = False) -> Iterator[Any]:
    import warnings

    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # It warns of styles and extensions that it leaves out; none of them is a value.
        warnings.simplefilter("ignore")
        try:
            book = load_workbook(path, read_only=True, data_only=not formulas)
        except Exception as error:
            # openpyxl lets through whatever a broken part of the archive makes its parsers raise.
            raise _damaged(path, error) from None
        try:
            yield book
        finally:
            book.close()


def _damaged(path: str, error: Exception) -> InputError:
    return InputError(
        value=path,
        rule=f"the workbook is damaged ({type(error).__name__})",
        todo="Open and save it again, or save it as CSV",
    )


def _has_content(sheet: Any) -> bool:
    rows = sheet.iter_rows(max_row=_EMPTY_ROWS, values_only=True)
    return any(value is not None for row in rows for value in row)


def _table_rank(sheet: Any) -> int:
    """How much a sheet looks like a list: 2 with known headers or sizes, 1 with full rows, else 0.

    A page of notes has its text in one cell or two of a row.
    """
    from fitcheck.lists.content import has_size
    from fitcheck.lists.headers import known_headers

    sized = full = 0
    for row in sheet.iter_rows(max_row=_LOOKED_AT, values_only=True):
        cells = [_bare(_text(value)) for value in row if value is not None]
        if len(set(known_headers(cells).values())) >= _KNOWN_HEADERS:
            return 2
        sized += len(cells) > 1 and any(has_size(cell) for cell in cells)
        full += len(cells) >= _FULL_ROW
    return 2 if sized >= _FULL_ROWS else int(full >= _FULL_ROWS)


def _bare(text: str) -> str:
    return text[1:] if text[:1] in MARKS and text else text


def workbook_chunks(path: str, layout: Layout, most: int) -> Iterator[Chunk]:
    """The rows of a sheet, so many at a time.

    Raises
    ------
    InputError
        The workbook turns out to be damaged on the way.
    """
    formulas = _has_formulas(path)
    with _opened(path) as book:
        rows = _values(book[layout.sheet], padded=_has_zero_formats(path))
        if not formulas:
            yield from _chunks(path, rows, most)
            return
        # The stored values and the formulas side by side: a formula without a value is no blank.
        with _opened(path, formulas=True) as other:
            pairs = zip(
                rows,
                other[layout.sheet].iter_rows(values_only=True),
                strict=True,
            )
            yield from _chunks(path, (_valued(row, written) for row, written in pairs), most)


def _values(sheet: Any, *, padded: bool) -> Iterator[tuple[Any, ...]]:
    """The values of a sheet; a number that is shown with zeros in front is what is shown."""
    if not padded:
        yield from sheet.iter_rows(values_only=True)
        return
    for row in sheet.iter_rows():
        yield tuple(_shown_value(cell) for cell in row)


def _shown_value(cell: Any) -> Any:
    value = cell.value
    if type(value) is int and value >= 0 and _ZEROS.fullmatch(cell.number_format):
        return str(value).zfill(len(cell.number_format))
    return value


def _has_zero_formats(path: str) -> bool:
    """Whether a workbook has a format that shows 45 as 00045."""
    with zipfile.ZipFile(path) as archive:
        if _STYLES not in archive.namelist():
            return False
        return _ZERO_FORMAT.search(archive.read(_STYLES)) is not None


_LOST = object()


def _valued(row: tuple[Any, ...], written: tuple[Any, ...]) -> list[Any]:
    return [
        _LOST if value is None and formula is not None else value
        for value, formula in zip(row, written, strict=True)
    ]


def _has_formulas(path: str) -> bool:
    with zipfile.ZipFile(path) as archive:
        for name in archive.namelist():
            if not name.startswith("xl/worksheets/"):
                continue
            with archive.open(name) as handle:
                tail = b""
                while block := handle.read(1 << 20):
                    if _FORMULA.search(tail + block):
                        return True
                    tail = block[-2:]
    return False


def _chunks(path: str, rows: Iterable[Iterable[Any]], most: int) -> Iterator[Chunk]:
    chunk = Chunk()
    source = iter(rows)
    line = 0
    while True:
        try:
            row = next(source)
        except StopIteration:
            break
        except Exception as error:
            raise _damaged(path, error) from None
        line += 1
        chunk.rows.append([_text(value) for value in row])
        chunk.lines.append(line)
        if len(chunk.rows) >= most:
            yield chunk
            chunk = Chunk()
    if chunk.rows:
        yield chunk


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        if value[:1] == "#" and _ERROR.fullmatch(value):
            return NO_VALUE_MARK + value
        return value.lstrip("".join(MARKS)) if value[:1] in MARKS else value
    if value is _LOST:
        return NO_VALUE_MARK + "formula"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int):
        return NUMBER_MARK + str(value)
    if isinstance(value, float):
        # Sheets keep 15 digits: 0.1 + 0.2 is shown, and was meant, as 0.3.
        return NUMBER_MARK + format(Decimal(format(value, ".15g")), "f")
    if isinstance(value, dt.datetime | dt.date):
        return DATE_MARK + value.strftime("%Y-%m-%d")
    return DATE_MARK + str(value)
