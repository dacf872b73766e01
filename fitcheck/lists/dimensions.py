"""One dimension in a cell of its own: ``34,925``, ``1-3/8"``, ``52 mm``, a date that was 3/8."""

from __future__ import annotations

import datetime as dt
import re
from fractions import Fraction

from fitcheck.lists.numbers import DATE_MARK, MARKS, NUMBER_MARK, read_number, style_shown
from fitcheck.lists.scan import plain_text
from fitcheck.lists.sizes import amount
from fitcheck.lists.words import unit_of
from fitcheck.records import dataclass

_CELL = re.compile(
    r"(?:[DBHWT] ?(?:[:=]|\.(?![0-9]))? ?)?([0-9][0-9 ./,-]*|[.,][0-9]+) ?([A-Z\"'.]*)"
)
_FRACTION = re.compile(r"(?:[0-9]+[ -]{1,3})?[0-9]+ ?/ ?[0-9]+")


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension as written: its number with a point or a fraction, its value and its unit.

    ``was_date`` tells that the cell is a date, and the number the fraction that it was;
    ``written`` is the number with the signs that the cell has.
    """

    number: str
    value: Fraction
    unit: str = ""
    was_date: bool = False
    written: str = ""


def read_dimension(text: str, style: str = "point") -> Dimension | None:
    """The dimension in a cell, or None when it is none or can be read in two ways.

    Parameters
    ----------
    text : str
        The cell.
    style : str
        The decimal style of its column.

    Examples
    --------
    >>> read_dimension('1-3/8"').unit, read_dimension("34,925", "comma").number
    ('in', '34.925')
    """
    if text[:1] in MARKS and text:
        return _typed(text)
    match = _CELL.fullmatch(plain_text(text))
    if not match:
        return None
    body, unit = match[1].strip(), unit_of(match[2]) if match[2] else ""
    if match[2] and not unit:
        return None
    if _FRACTION.fullmatch(body):
        value = amount(" ".join(body.split()))
        return Dimension(body, value, unit) if value else None
    number = read_number(body, style).text
    value = amount(number) if number else None
    return Dimension(number, value, unit, written=body) if number and value else None


def _typed(text: str) -> Dimension | None:
    body = text[1:]
    if text[0] == NUMBER_MARK:
        value = amount(body) if not body.startswith("-") else None
        return Dimension(body, value) if value else None
    if text[0] == DATE_MARK:
        fraction = date_as_fraction(body)
        value = amount(fraction) if fraction else None
        return Dimension(fraction, value, was_date=True) if value else None
    return None


def dimension_problem(text: str) -> str:
    """Why a cell is no dimension."""
    if text[:1] == DATE_MARK:
        return "is a date: the size it was can't be told"
    problem = read_number(plain_text(text), "").problem
    return problem or ("can be read in two ways" if style_shown(text) == "?" else "is no length")


def date_as_fraction(text: str) -> str:
    """The inch fraction that a date was, where there is just one; empty otherwise.

    Parameters
    ----------
    text : str
        The date as YYYY-MM-DD.

    Examples
    --------
    >>> [date_as_fraction(text) for text in ("2026-03-08", "1932-09-01", "2026-04-08")]
    ['3/8', '9/32', '']
    """
    try:
        date = dt.date.fromisoformat(text)
    except ValueError:
        return ""
    ways = [(date.month, date.day), (date.day, date.month)]
    if date.day == 1:
        # 9/32 becomes the first of September 1932.
        ways.append((date.month, date.year % 100))
    found = {
        f"{top}/{under}"
        for top, under in ways
        if under in (2, 4, 8, 16, 32, 64) and top < under and top % 2
    }
    return found.pop() if len(found) == 1 else ""
