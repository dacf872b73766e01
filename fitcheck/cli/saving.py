"""Answer files: written beside their name, and given it when they are complete."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, TextIO

from fitcheck.cli.common import Failure
from fitcheck.errors import InputError

# A sheet of a workbook ends here; more rows go on to the next sheet.
SHEET_ROWS = 1_048_576


def refuse_same(read: str, written: str) -> None:
    """Refuse to write over a file that is read, under whatever name.

    Parameters
    ----------
    read, written : str
        The two paths; ``-`` is no file.

    Raises
    ------
    InputError
        They are one file.
    """
    if "-" in (read, written) or not (os.path.isfile(read) and os.path.isfile(written)):
        return
    if os.path.samefile(read, written):
        raise InputError(
            value=written,
            rule="the answers would replace what is read",
            todo="Name another file with -o",
        )


@contextmanager
def complete(output: str) -> Iterator[str]:
    """A path beside a file, which takes the file's name at the end and is cleared away otherwise.

    Parameters
    ----------
    output : str
        The file. A link stays a link; a device or a pipe is written as it is.

    Raises
    ------
    InputError
        No file can be written there.
    Failure
        It can't be written to the end.
    """
    path = os.path.realpath(output)
    is_file = os.path.isfile(path) or not os.path.exists(path)
    folder = os.path.dirname(path)
    if is_file and not (os.path.isdir(folder) and os.access(folder, os.W_OK)):
        raise InputError(
            value=output,
            rule="no file can be written there",
            todo="Name a file in a folder that is there and that you may write to",
        )
    if os.path.isdir(path):
        raise InputError(value=output, rule="this is a folder", todo="Name a file with -o")
    beside = os.path.join(folder, f".fitcheck-{os.urandom(6).hex()}.part") if is_file else path
    try:
        yield beside
        if is_file:
            if os.path.isfile(path):
                os.chmod(beside, stat.S_IMODE(os.stat(path).st_mode))
            os.replace(beside, path)
    except BrokenPipeError:
        raise
    except OSError as error:
        raise Failure(
            f"{output}: it can't be written to the end ({error.strerror}). Make room or name "
            "another place with -o; nothing was kept"
        ) from error
    finally:
        if is_file:
            with suppress(OSError):
                os.unlink(beside)


@contextmanager
def text_file(output: str) -> Iterator[TextIO]:
    """A UTF-8 text file that appears under its name when it is complete.

    Parameters
    ----------
    output : str
        The file.
    """
    with complete(output) as path, open(path, "w", encoding="utf-8", newline="") as target:
        yield target


def write_workbook(output: str, heading: Iterable[str], rows: Iterable[Iterable[Any]]) -> None:
    """Write rows into an XLSX workbook, on as many sheets as it takes.

    Parameters
    ----------
    output : str
        The file.
    heading : iterable of str
        The names of the columns, on top of every sheet.
    rows : iterable of iterable
        The cells: texts, whole numbers and blanks; no text may begin a formula.
    """
    from openpyxl import Workbook
    from openpyxl.utils.exceptions import IllegalCharacterError

    names = list(heading)
    book = Workbook(write_only=True)
    sheet, used = None, 0
    for row in rows:
        if sheet is None or used >= SHEET_ROWS:
            if sheet is not None:
                _filtered(sheet, names, used)
            sheet, used = _headed(book, names), 1
        cells = list(row)
        try:
            sheet.append(cells)
        except IllegalCharacterError:
            # A workbook can't carry control characters; nothing else is lost.
            sheet.append([_printable(cell) for cell in cells])
        used += 1
    if sheet is None:
        sheet, used = _headed(book, names), 1
    _filtered(sheet, names, used)
    with complete(output) as path:
        book.save(path)


def _headed(book: Any, names: list[str]) -> Any:
    """A new sheet under a heading that stays in sight."""
    sheet = book.create_sheet()
    sheet.freeze_panes = "A2"
    sheet.append(names)
    return sheet


def _filtered(sheet: Any, names: list[str], rows: int) -> None:
    """Filters on the heading of a sheet of so many rows."""
    from openpyxl.utils import get_column_letter

    sheet.auto_filter.ref = f"A1:{get_column_letter(len(names))}{rows}"


def _printable(cell: Any) -> Any:
    if not isinstance(cell, str):
        return cell
    return "".join(
        c if c in "\t\n\r" or ord(c) >= 32 else "\N{REPLACEMENT CHARACTER}" for c in cell
    )
