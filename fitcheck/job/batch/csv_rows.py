"""Rows of a CSV file one at a time, so that a damaged row costs no other and memory stays small.

The file is read as RFC 4180 describes it, with LF, CRLF or CR line ends; a quote mark inside a cell
that does not begin with one is itself (``1.375"``). A row that stretches over several lines and
can't be taken as it stands is refused at its first line, and reading goes on with the next line:
one quote that was never closed swallows nothing.
"""

from __future__ import annotations

import csv
import re
from collections import deque
from collections.abc import Collection, Iterable, Iterator
from itertools import takewhile

from fitcheck.errors import InputError
from fitcheck.records import dataclass

# The longest row read [characters]; what is longer is no row of readings.
MAX_ROW = 100_000

# What a spreadsheet runs as a formula; a plain number with its sign is none.
_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")


def guarded(text: str) -> str:
    """A text cell as it is written, so that no spreadsheet runs it as a formula.

    Notes
    -----
    One apostrophe is put before a text that begins with ``= + - @``, a tab or a line break, or
    that has only apostrophes before such a character. Plain numbers stay as they are. To undo it,
    take one apostrophe from the texts that begin like that: every text comes back as it was.

    Examples
    --------
    >>> guarded("=1+1"), guarded("'=1+1"), guarded("-12"), guarded("00621"), guarded("'90s")
    ("'=1+1", "''=1+1", '-12', '00621', "'90s")
    """
    if _FORMULA.match(text) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


@dataclass(frozen=True, slots=True)
class Row:
    """A row as read: the line it begins on, its cells, and why it can't be taken, if it can't.

    Of a row with broken quotes the cells before the first quote are known.
    """

    line: int
    cells: tuple[str, ...]
    fault: InputError | None = None


class _TooLongError(Exception):
    """A row goes on past the longest that is read."""


class _Lines:
    """The lines for the CSV reader, kept until their row is complete, so that they can go back."""

    def __init__(self, source: Iterator[str]) -> None:
        self._source = source
        self._back: deque[str] = deque()
        self._length = 0
        self.taken: list[str] = []
        self.number = 0

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        line = self._back.popleft() if self._back else next(self._source)
        self.number += 1
        self.taken.append(line)
        self._length += len(line)
        if self._length > MAX_ROW:
            raise _TooLongError
        return line

    def begin(self) -> int:
        """Begin a row; gives the number of its first line."""
        self.taken.clear()
        self._length = 0
        return self.number + 1

    def give_back(self) -> None:
        """Give back every line of this row but the first."""
        first, *rest = self.taken
        self._back.extendleft(reversed(rest))
        self.number -= len(rest)
        if len(first) > MAX_ROW and not rest:
            # A line this long comes in pieces; the rest of it is no row.
            piece = first
            while not piece.endswith(("\n", "\r")):
                piece = next(self._source, "\n")


class Rows:
    """The rows of a CSV file, its header first.

    Parameters
    ----------
    source : iterable of str
        The lines with their ends; longer lines in pieces, as ``readline(MAX_ROW + 1)`` gives them.
    """

    def __init__(self, source: Iterable[str]) -> None:
        self._lines = _Lines(iter(source))
        self._reader = csv.reader(self._lines, strict=True)
        self._width = 0
        self._free: Collection[int] = ()

    def header(self) -> tuple[str, ...]:
        """The first row that is not blank.

        Raises
        ------
        InputError
            The file is empty, or its first row can't be read.
        """
        for row in self:
            if row.fault is not None:
                raise row.fault
            self._width = len(row.cells)
            return row.cells
        raise InputError(
            value="no header",
            rule="the first line names the columns, and there is no line",
            todo="Write a first line such as id,part,shaft,bore",
        )

    def allow_breaks(self, columns: Collection[int]) -> None:
        """Let the cells of some columns hold line breaks, as quoted text may."""
        self._free = columns

    def __iter__(self) -> Iterator[Row]:
        """The rows that are left; those with nothing in any cell are passed over."""
        lines = self._lines
        while True:
            line = lines.begin()
            try:
                cells = tuple(next(self._reader))
            except StopIteration:
                return
            except (csv.Error, _TooLongError) as error:
                cells = tuple(takewhile(_bare, lines.taken[0].split(",")))
                fault: InputError | None = _unreadable(line, error)
            else:
                if not any(cells) or not any(map(str.strip, cells)):
                    continue
                fault = self._fault(line, cells)
            if fault is not None:
                lines.give_back()
            yield Row(line, cells, fault)

    def _fault(self, line: int, cells: tuple[str, ...]) -> InputError | None:
        taken = self._lines.taken
        if any("\0" in text for text in taken):
            return InputError(
                value=f"line {line}",
                rule="a NUL character stands in the row",
                todo="Export the table again as plain UTF-8 text",
            )
        if self._width and len(cells) != self._width:
            return InputError(
                value=_where(line, len(taken)),
                rule=f"the row has {len(cells)} cells and the header has {self._width}",
                todo="Give every row as many cells as the header; quote a cell that holds a comma",
            )
        if len(taken) > 1 and any(
            ("\n" in cell or "\r" in cell) and number not in self._free
            for number, cell in enumerate(cells)
        ):
            return InputError(
                value=_where(line, len(taken)),
                rule="a line break stands inside a value: a quote was opened and not closed",
                todo="Close the quote, or take it away",
            )
        return None


def _bare(cell: str) -> bool:
    """Whether a cell of a row that can't be read is whole: the first quote ends what is known."""
    return '"' not in cell and len(cell) < MAX_ROW


def _where(line: int, count: int) -> str:
    return f"line {line}" if count == 1 else f"lines {line} to {line + count - 1}"


def _unreadable(line: int, error: Exception) -> InputError:
    if isinstance(error, _TooLongError):
        rule = f"the row is longer than {MAX_ROW} characters, or a quote in it is never closed"
    else:
        rule = f"the quotes in the row do not match ({error})"
    return InputError(
        value=f"line {line}",
        rule=rule,
        todo="Close every quote that begins a cell, and double the ones inside such a cell",
    )
