"""The shop's own tables - history, fleet, shelf, terms - from CSV or XLSX, all or nothing.

A table has a heading; its columns are found by name, in any order and in any case. A row that can't
be taken is refused with its line, column, value and reason, and then nothing of the file is kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import Any, TypeVar

from fitcheck.errors import InputError
from fitcheck.lists.files import look_at, read_chunks
from fitcheck.lists.lines import Remark
from fitcheck.lists.numbers import MARKS
from fitcheck.records import dataclass

REFUSED = "refused"
# No shop sells more of one size at once; what is larger has slipped.
MOST_PIECES = 1_000_000
_MARKS = "".join(MARKS)
_WHOLE = re.compile(r"[+-]?[0-9]+(?:\.0*)?")
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_UNIT = re.compile(r"\([^()]*\)\s*$")
_YES = {"yes", "y", "true", "1", "x", "short"}
_NO = {"no", "n", "false", "0", "-"}

T = TypeVar("T")
# So many different cells are kept in mind while a table is read.
_MOST_KNOWN = 100_000


class RefusedError(Exception):
    """A cell that can't be taken: the reason, for the row's report.

    Parameters
    ----------
    reason : str
        Why.
    """

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its name, what else it may be called, and what it holds."""

    name: str
    words: str
    also: tuple[str, ...] = ()
    needed: bool = False


@dataclass(slots=True)
class Cells:
    """One row by the names of its columns, and what is refused about it."""

    line: int
    values: Mapping[str, str]
    refused: list[Remark] = field(default_factory=list)
    # What cells of the same table were read as: days, quantities and branches repeat.
    known: dict[tuple[str, str], Any] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """A cell as text, in one line; blank where it is not given."""
        written = self.values.get(name, "")
        return " ".join(written.split()) if written else ""

    def refuse(self, name: str, reason: str) -> None:
        """Refuse the row for one of its cells."""
        value = self.values.get(name, "")[:80]
        self.refused.append(Remark(REFUSED, self.line, name, value, reason))

    def _read(self, name: str, read: Callable[[str], T], blank: T) -> T:
        cell = (name, self.values.get(name, ""))
        if cell in self.known:
            found: T = self.known[cell]
            return found
        text = self.text(name)
        if not text:
            return blank
        try:
            found = read(text)
        except RefusedError as error:
            self.refuse(name, error.reason)
            return blank
        if len(self.known) < _MOST_KNOWN:
            self.known[cell] = found
        return found

    def needed(self, name: str) -> str:
        """A text that must be there."""
        text = self.text(name)
        if not text:
            self.refuse(name, "it is blank, and it is needed")
        return text

    def whole(self, name: str, *, least: int, blank: int) -> int:
        """A whole number of at least so much."""
        return self._read(name, lambda text: whole_number(text, least=least), blank)

    def decimal(self, name: str, *, blank: float | None) -> float | None:
        """A number of 0 or more.

        Parameters
        ----------
        name : str
            The column.
        blank : float or None
            What a blank cell counts as.
        """
        return self._read(name, not_negative, blank)

    def day(self, name: str, *, today: date) -> date | None:
        """A day that has been."""
        return self._read(name, lambda text: past_day(text, today=today), None)

    def flag(self, name: str) -> bool | None:
        """Yes or no; None where it is blank."""
        return self._read(name, yes_or_no, None)


def whole_number(text: str, *, least: int) -> int:
    """A number of pieces.

    Parameters
    ----------
    text : str
        The cell.
    least : int
        The smallest that makes sense.

    Raises
    ------
    RefusedError
        It is none, or too small or too large.

    Examples
    --------
    >>> whole_number("2.0", least=1)
    2
    """
    if not _WHOLE.fullmatch(text):
        raise RefusedError("this is no whole number")
    number = int(text.partition(".")[0])
    if number < least:
        kind = "a negative quantity" if number < 0 else "too few"
        raise RefusedError(f"{kind}: {least} is the least")
    if number > MOST_PIECES:
        raise RefusedError(f"too many: {MOST_PIECES} is the most")
    return number


def not_negative(text: str) -> float:
    """A number of 0 or more, with a point or a comma.

    Parameters
    ----------
    text : str
        The cell.

    Raises
    ------
    RefusedError
        It is none, or it is negative.

    Examples
    --------
    >>> not_negative("4,20")
    4.2
    """
    if not _DECIMAL.fullmatch(text):
        raise RefusedError("this is no number such as 4.20 or 4,20")
    if re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", text):
        raise RefusedError("this can be read as thousands or as a decimal: write it with a point")
    number = float(text.replace(",", "."))
    if number < 0:
        raise RefusedError("it can't be negative")
    return number


def past_day(text: str, *, today: date) -> date:
    """A day, not after today.

    Parameters
    ----------
    text : str
        The cell: 2026-03-09, or with the time behind it.
    today : date
        Today.

    Raises
    ------
    RefusedError
        It is no day, is written in a way that can be read as two, or is yet to come.

    Examples
    --------
    >>> past_day("2026-03-09", today=date(2026, 11, 25))
    datetime.date(2026, 3, 9)
    """
    try:
        day = date.fromisoformat(text.replace("T", " ").split(" ")[0])
    except ValueError:
        raise RefusedError("this is no day written as 2026-03-09") from None
    if day > today:
        raise RefusedError(f"this day is yet to come (today is {today.isoformat()})")
    if day.year < 1970:
        raise RefusedError("no shop's history reaches back before 1970")
    return day


def yes_or_no(text: str) -> bool:
    """Yes or no.

    Parameters
    ----------
    text : str
        The cell.

    Raises
    ------
    RefusedError
        It is neither.
    """
    word = text.lower()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise RefusedError("write yes or no")


def table_rows(path: str, columns: Sequence[Column], *, what: str) -> Iterator[Cells]:
    """The rows of a table by the names of its columns.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    columns : sequence of Column
        The columns it may have.
    what : str
        What the table is, for messages.

    Returns
    -------
    iterator of Cells
        Blank rows are passed over.

    Raises
    ------
    InputError
        The file can't be read, or its heading is not that of such a table.
    """
    names: list[str] = []
    known: dict[tuple[str, str], Any] = {}
    for chunk in read_chunks(path, look_at(path)):
        for number, (line, row) in enumerate(zip(chunk.lines, chunk.rows, strict=True)):
            cells = [cell.lstrip(_MARKS).strip() for cell in row]
            if not any(cells):
                continue
            if not names:
                names = _heading(path, cells, columns, what)
                continue
            values = dict(zip(names, cells, strict=False))
            found = Cells(line, values, known=known)
            if number in chunk.faults:
                found.refused.append(Remark(REFUSED, line, "", "", chunk.faults[number]))
            if any(cells[len(names) :]):
                reason = f"there are more cells than columns in the heading ({len(names)})"
                found.refused.append(Remark(REFUSED, line, "", cells[len(names)][:80], reason))
            yield found
    if not names:
        raise InputError(value=path, rule="it has no heading", todo=_wanted(columns, what))


def _heading(path: str, cells: Sequence[str], columns: Sequence[Column], what: str) -> list[str]:
    known = {name: column.name for column in columns for name in (column.name, *column.also)}
    # A unit may stand behind a name: "price (EUR)".
    bare = [_UNIT.sub("", cell.lower()).split() for cell in cells]
    found = [known.get("_".join(words), "") for words in bare]
    missing = [column.name for column in columns if column.needed and column.name not in found]
    strange = [cell for cell, name in zip(cells, found, strict=True) if cell and not name]
    twice = sorted({name for name in found if name and found.count(name) > 1})
    rule = ""
    if missing:
        rule = f"its heading lacks {', '.join(missing)}"
    elif strange:
        rule = f"its heading has {', '.join(strange)}, which is no column of {what}"
    elif twice:
        rule = f"its heading has {', '.join(twice)} twice"
    if rule:
        raise InputError(value=path, rule=rule, todo=_wanted(columns, what))
    return found


def _wanted(columns: Sequence[Column], what: str) -> str:
    must = ", ".join(column.name for column in columns if column.needed)
    may = ", ".join(column.name for column in columns if not column.needed)
    return f"{what} has the columns {must}; and where known {may}"


def refused_lines(remarks: Iterable[Remark]) -> int:
    """How many lines some refusals are about.

    Parameters
    ----------
    remarks : iterable of Remark
        The refusals.
    """
    return len({remark.line for remark in remarks})


def refused_words(remarks: Iterable[Remark], *, was: bool = False) -> str:
    """How many lines are refused, in words.

    Parameters
    ----------
    remarks : iterable of Remark
        The refusals.
    was : bool
        Whether that is over.

    Examples
    --------
    >>> refused_words([Remark(REFUSED, 2, "part", "?", "it names no one part")])
    '1 line is refused'
    """
    count = refused_lines(remarks)
    one, more = ("was", "were") if was else ("is", "are")
    return f"1 line {one} refused" if count == 1 else f"{count} lines {more} refused"
