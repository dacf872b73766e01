"""Wanted lines: what somebody brings to the counter, from a sheet, a list or pasted text.

A line may give a size in columns of its own, a text to be understood, a designation, a marking
with ``?`` for what can't be read, or the part number of another list. What can be read in two
ways keeps both readings; what can't be read at all is refused with its reason, and the rest go on.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Any

from fitcheck.lists.items import execution, size_key
from fitcheck.lists.lines import FIELD_NAMES, Block
from fitcheck.lists.meaning import (
    MOST_QUANTITY,
    QUANTITY_RULE,
    Describe,
    Once,
    Refusal,
    Understood,
    Want,
    describe_text,
    refused_want,
)
from fitcheck.lists.scan import dimension_first, plain_text, size_spot
from fitcheck.lists.sheet import WANTED_COLUMNS, Sheet, heading_of
from fitcheck.lists.words import count_words

__all__ = [
    "WANTED_COLUMNS",
    "Describe",
    "Understood",
    "Want",
    "describe_text",
    "text_lines",
    "wanted_lines",
    "wants_of_blocks",
]

_QUANTITY_ENDS = frozenset("0123456789sScCeEfFaAhH.")
_QUANTITY = re.compile(
    r"[\s,;:-]+(?:(?:qty|quantity)[\s.:=]*(\d{1,6})|(\d{1,6})\s*(?:pcs?|pieces?|off|ea|each)\.?"
    # Behind a word x3 is three of them; behind a number or its unit it is a dimension.
    r"|(?<=[A-Za-z] )(?<!mm )(?<!in )(?<!inch )x(\d{1,4}))\s*$",
    re.IGNORECASE,
)


# A number of pieces at the start or the end, whose word the tables must list: 10 Stück ..., 5 Stk.
_COUNTED_FIRST = re.compile(r"(\d{1,6})\s*([^\W\d_]{1,12})\.?[\s,;:-]+(?=\S)")
_COUNTED_LAST = re.compile(r"[\s,;:-]+(\d{1,6})\s*([^\W\d_]{1,12})\.?\s*$")
# Times the part: 4 x 30206, 2x seal ..., 2 x 35x52x7; and behind a number that is no dimension.
_TIMES_FIRST = re.compile(
    r"(\d{1,3})\s?[xX×]\s(?=[^\W\d_]|\d{5}|[^\sxX×]+[xX×][^\sxX×]+[xX×][^\sxX×]+(?:\s|$))"
)
_TIMES_LAST = re.compile(
    r"(?:(?<=\d{5})\s?[xX×]\s?(\d{1,3})|(?<=[^\s,;:xX×*-])[\s,;:-]+(\d{1,3})\s?[xX×])\s*$"
)
_PIECES_OF = {"piece": 1, "pair": 2}


def wanted_lines(
    lines: Iterable[str], *, unit: str = "mm", describe: Describe = describe_text
) -> Iterator[Want]:
    """Read wanted lines from a sheet with a heading, or from pasted text without one.

    Parameters
    ----------
    lines : iterable of str
        The text, line by line; the first names the columns (see ``WANTED_COLUMNS``), or every
        line is a text of its own.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    describe : callable
        What understands free text.

    Returns
    -------
    iterator of Want
        Blank lines are passed over; every other line gives one.
    """
    once = Once(describe)
    source = iter(lines)
    number, first = next(
        ((at, line) for at, line in enumerate(source, start=1) if line.strip()), (0, "")
    )
    if not number:
        return
    heading = heading_of(first)
    if heading is None:
        yield from text_lines(enumerate(chain([first], source), start=number), unit, once)
        return
    delimiter, names = heading
    sheet = Sheet(names, unit, once)
    reader = csv.reader(source, delimiter=delimiter)
    for row in reader:
        if any(cell.strip() for cell in row):
            yield sheet.want(number + reader.line_num, row)


def text_lines(lines: Iterable[tuple[int, str]], unit: str, describe: Once) -> Iterator[Want]:
    """Texts without a heading as wanted lines; blank ones are passed over.

    Parameters
    ----------
    lines : iterable of tuple of int and str
        The number of each line and its text.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    describe : Once
        What understands a text.
    """
    for number, line in lines:
        if line.strip():
            yield _text_want(number, line, unit, describe)


def _text_want(line: int, raw: str, unit: str, describe: Once) -> Want:
    text = " ".join(raw.split())
    quantity = None
    body = text = _unquoted(text)
    said: tuple[str, ...] = ()
    # Most lines end in no word for pieces, and then the pattern need not be tried.
    if text[-1:] in _QUANTITY_ENDS and (found := _QUANTITY.search(text)):
        quantity = int(found[1] or found[2] or found[3])
        body = text[: found.start()]
    elif (counted := _counted(text)) is not None:
        quantity, body, said = counted
    if quantity is None and (times := _times_first(text)):
        quantity, body = int(times[1]), text[times.end() :]
    elif quantity is None and (times := _TIMES_LAST.search(text)):
        quantity, body = int(times[1] or times[2]), text[: times.start()]
    if quantity is not None and not 0 < quantity <= MOST_QUANTITY:
        return refused_want(line, text, Refusal("quantity", str(quantity), QUANTITY_RULE))
    meaning = describe(body, unit)
    return Want(
        line,
        text,
        meaning.readings,
        quantity,
        None,
        meaning.part_number,
        meaning.mark,
        (*meaning.questions, *said) if said else meaning.questions,
        None,
        meaning.made,
    )


def _times_first(text: str) -> re.Match[str] | None:
    """How many times a part is wanted, where that stands first and is no dimension itself."""
    found = _TIMES_FIRST.match(text)
    if found is None or not dimension_first(text[found.end() :]):
        return found
    # 35 x OD52 x 7 is a size; 4 x D35 x D52 x 7 is four of one.
    rest = size_spot(plain_text(text[found.end() :]))
    whole = rest is not None and (len(rest.written.numbers) > 2 or rest.text[0].isalpha())
    return found if whole else None


def _unquoted(text: str) -> str:
    """A text without the quotes around the whole of it, which would be an inch mark at its end."""
    whole = len(text) > 2 and text[0] == text[-1] == '"' and text.count('"') == 2
    return text[1:-1] if whole else text


def _counted(text: str) -> tuple[int, str, tuple[str, ...]] | None:
    """How many pieces a text names first or last, the rest of it, and what was made of pairs."""
    found = _COUNTED_FIRST.match(text) if text[0].isdecimal() else None
    rest = text[found.end() :] if found else ""
    if found is None or count_words().get(found[2].upper()) not in _PIECES_OF:
        last = text[-1]
        found = _COUNTED_LAST.search(text) if last.isalpha() or last == "." else None
        rest = text[: found.start()] if found else ""
    if found is None or not rest:
        return None
    each = _PIECES_OF.get(count_words().get(found[2].upper(), ""), 0)
    if not each:
        return None
    quantity = int(found[1]) * each
    said = (f"{found[1]} {found[2]}: taken as {quantity} pieces",) if each > 1 else ()
    return quantity, rest, said


def wants_of_blocks(blocks: Iterable[Block], *, counted: bool = False) -> Iterator[Want]:
    """The lines of a supplier list as wanted lines.

    Parameters
    ----------
    blocks : iterable of Block
        The list's lines.
    counted : bool
        Whether its quantities say how many are wanted, and not how many are on hand.
    """
    for block in blocks:
        blank: list[Any] = [None] * len(block)
        columns = [block.columns.get(name, blank) for name in FIELD_NAMES]
        for values in zip(*columns, strict=True):
            fields = dict(zip(FIELD_NAMES, values, strict=True))
            size = size_key(fields)
            known = size.shaft_um is not None or size.designation
            number = fields["part_number"] or ""
            yield Want(
                fields["line"],
                " ".join(text for text in (number, fields["description"]) if text),
                readings=((size, execution(fields)),) if known else (),
                quantity=(fields["on_hand"] or None) if counted else None,
                part_number="" if known else number,
            )
