"""Answer files: written beside their name, and given it when they are complete."""

from __future__ import annotations

import os
import re
import stat
import time
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any, TextIO

from fitcheck.cli.common import Failure
from fitcheck.errors import InputError

# A sheet of a workbook ends here; more rows go on to the next sheet.
SHEET_ROWS = 1_048_576
_PART = re.compile(r"\.fitcheck-[0-9a-f]{12}\.part")
# A file that is half-written is left alone for so long, whoever it belongs to [s].
_YOUNG_S = 60.0
_WORKBOOKS = (".xlsx", ".xlsm")
# Columns whose decimals are amounts: kept as text where they are read, numbers in a workbook.
_AMOUNTS = ("price",)
_AMOUNT = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


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
    held = -1
    try:
        if is_file:
            clear_left(folder)
            held = _held(beside)
        yield beside
        if is_file:
            if os.path.isfile(path):
                os.chmod(beside, stat.S_IMODE(os.stat(path).st_mode))
            # On the disk before it has the name: a power cut leaves the old file or the new one.
            os.fsync(held)
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
        if held >= 0:
            os.close(held)


def clear_left(folder: str) -> None:
    """Clear away what a run that was killed left half-written in a folder.

    Parameters
    ----------
    folder : str
        The folder. What another run is still writing is locked by it, and stays.
    """
    with suppress(OSError):
        for name in os.listdir(folder):
            if not _PART.fullmatch(name):
                continue
            path = os.path.join(folder, name)
            with suppress(OSError):
                # Between being made and being locked a file is young.
                if time.time() - os.stat(path).st_mtime < _YOUNG_S:
                    continue
                descriptor = os.open(path, os.O_RDWR)
                try:
                    _lock(descriptor)
                    os.unlink(path)
                finally:
                    os.close(descriptor)


def _held(path: str) -> int:
    """Make a file and lock it for as long as it is open."""
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o666)
    # Where a file system knows no locks, what is left there is left.
    with suppress(OSError):
        _lock(descriptor)
    return descriptor


def _lock(descriptor: int) -> None:
    """Lock a file that is open; an OSError where another has it, or where nothing can be locked."""
    try:
        import fcntl
    except ImportError:  # not on every system
        raise OSError(0, "no locks") from None
    fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


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


def write_workbook(
    output: str,
    heading: Iterable[str],
    rows: Iterable[Iterable[Any]],
    *,
    amounts: Collection[str] = _AMOUNTS,
) -> None:
    """Write rows into an XLSX workbook, on as many sheets as it takes.

    Parameters
    ----------
    output : str
        The file.
    heading : iterable of str
        The names of the columns, on top of every sheet.
    rows : iterable of iterable
        The cells: texts, whole numbers and blanks; no text may begin a formula.
    amounts : collection of str
        The columns whose decimals are written as numbers.
    """
    from openpyxl import Workbook
    from openpyxl.utils.exceptions import IllegalCharacterError

    from fitcheck.report.workbook import fill_sheets, save_book, shown

    names = list(heading)
    places = [place for place, name in enumerate(names) if name in amounts]
    book = Workbook(write_only=True)

    def opened(_: int) -> Any:
        sheet = book.create_sheet()
        sheet.freeze_panes = "A2"
        sheet.append(names)
        return sheet

    def append(sheet: Any, row: Iterable[Any]) -> None:
        cells = list(row)
        for place in places:
            cells[place] = _amount(sheet, cells[place])
        try:
            sheet.append(cells)
        except IllegalCharacterError:
            # A workbook can't carry control characters; nothing else is lost.
            sheet.append([shown(cell) if isinstance(cell, str) else cell for cell in cells])

    fill_sheets(opened, rows, append=append, columns=len(names), limit=SHEET_ROWS)
    with complete(output) as path:
        save_book(book, path)


def _amount(sheet: Any, cell: Any) -> Any:
    """A decimal that was kept as text, as the number it is; anything else as it is."""
    from openpyxl.cell import WriteOnlyCell

    if not (isinstance(cell, str) and _AMOUNT.fullmatch(cell)):
        return cell
    made = WriteOnlyCell(sheet, value=float(cell))
    made.number_format = "#,##0.00##"
    return made


def is_workbook(output: str) -> bool:
    """Whether a file is a workbook by its ending; all others are text.

    >>> is_workbook("plan.XLSX"), is_workbook("plan.csv")
    (True, False)
    """
    return os.path.splitext(output)[1].lower() in _WORKBOOKS


def write_table(output: str, heading: Sequence[str], rows: Iterable[Iterable[Any]]) -> None:
    """Write rows into a CSV file, or an XLSX by its ending.

    Parameters
    ----------
    output : str
        The file.
    heading : sequence of str
        The names of the columns.
    rows : iterable of iterable
        The cells: texts, numbers, and None for a blank; no text may begin a formula.
    """
    if is_workbook(output):
        write_workbook(output, heading, rows)
        return
    import csv

    with text_file(output) as target:
        writer = csv.writer(target, lineterminator="\n")
        writer.writerow(heading)
        writer.writerows(rows)


def write_bytes(output: str, content: bytes) -> None:
    """Write a file that appears under its name when it is complete.

    Parameters
    ----------
    output : str
        The file.
    content : bytes
        What is in it.
    """
    with complete(output) as path, open(path, "wb") as target:
        target.write(content)
