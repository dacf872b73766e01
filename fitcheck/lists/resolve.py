"""What a wanted line may mean, where its size has to be found first.

A part number is looked up in the lists, a designation in the tables of bearings, and a marking
with ``?`` among the sizes, designations and part numbers that the lists have. What was found by a
number is as sure as the number; what was found by a marking stays a question.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from operator import itemgetter
from typing import Any, NamedTuple

from fitcheck.identify import CERTAINTY
from fitcheck.lists.compare import ASK
from fitcheck.lists.grades import designation_pieces, size_grading
from fitcheck.lists.items import (
    BEARING,
    EXECUTION_FIELDS,
    SIZE_FIELDS,
    Execution,
    SizeKey,
    size_text,
)
from fitcheck.lists.marked import Marks, listed_bearing
from fitcheck.lists.meaning import BETWEEN
from fitcheck.lists.source import LineSource
from fitcheck.lists.wanted import Want
from fitcheck.marks import MAX_MARK, compact
from fitcheck.quantities import percent

# Of a marking, no more readings than this are crossed.
MOST_READINGS = 5
# Of a marking these: one lost figure may be any of ten.
MOST_MARKED = 10
_THREE = re.compile(r"[0-9?.,]+(?: [0-9?.,]+){2}")

NUMBER_FIELDS = ("part_number", *SIZE_FIELDS, *EXECUTION_FIELDS)


class Asked(NamedTuple):
    """One reading of a wanted line: what to look for, and what is in doubt about it."""

    size: SizeKey
    execution: Execution = Execution()
    pocket_um: int | None = None
    doubts: tuple[str, ...] = ()


class Found(NamedTuple):
    """A line that a part number led to."""

    list: str
    number: str
    size: SizeKey
    execution: Execution


class Numbers:
    """The part numbers and markings that wanted lines name, found in one pass over the lists.

    Parameters
    ----------
    wants : iterable of Want
        The wanted lines.
    """

    def __init__(self, wants: Iterable[Want]) -> None:
        self._exact: dict[str, list[Found]] = {}
        self._bare: dict[str, list[Found]] = {}
        self._patterns: dict[tuple[int, tuple[int, ...]], dict[Any, list[Found]]] = {}
        for want in wants:
            if want.part_number:
                number = number_text(want.part_number)
                self._exact.setdefault(number, [])
                self._bare.setdefault(number.lstrip("0"), [])
            if want.mark and not want.readings and not shaped_as_size(want):
                pattern = compact(want.mark)
                known = _known(pattern)
                if "?" in pattern and len(known) > 1:
                    by_mask = self._patterns.setdefault((len(pattern), known), {})
                    by_mask.setdefault(itemgetter(*known)(pattern), [])

    def __bool__(self) -> bool:
        return bool(self._exact or self._patterns)

    def search(self, source: LineSource) -> None:
        """Go through the lists' part numbers once.

        Parameters
        ----------
        source : LineSource
            The lists.
        """
        if not self:
            return
        by_length: dict[int, list[tuple[itemgetter[Any], dict[Any, list[Found]]]]] = {}
        for (length, known), wanted in self._patterns.items():
            by_length.setdefault(length, []).append((itemgetter(*known), wanted))
        for name, block in source.numbers(NUMBER_FIELDS):
            blank: list[Any] = [None] * len(block)
            columns = [block.columns.get(field, blank) for field in NUMBER_FIELDS]
            for position, raw in enumerate(columns[0]):
                if raw is None:
                    continue
                number = number_text(raw)
                places = [
                    place
                    for place in (self._exact.get(number), self._bare.get(number.lstrip("0")))
                    if place is not None
                ]
                if by_length:
                    plain = compact(number)
                    for pick, wanted in by_length.get(len(plain), ()):
                        place = wanted.get(pick(plain))
                        if place is not None:
                            places.append(place)
                if places:
                    values = [column[position] for column in columns[1:]]
                    size = SizeKey(*values[: len(SIZE_FIELDS)])
                    found = Found(name, raw, size, Execution(*values[len(SIZE_FIELDS) :]))
                    for place in places:
                        place.append(found)

    def of_number(self, part_number: str) -> tuple[list[Found], bool]:
        """What a part number leads to, and whether only after leading zeros were dropped."""
        number = number_text(part_number)
        exact = self._exact.get(number, [])
        return (exact, False) if exact else (self._bare.get(number.lstrip("0"), []), True)

    def of_mark(self, mark: str) -> list[Found]:
        """The lines whose part number agrees with a marking in every readable character."""
        pattern = compact(mark)
        known = _known(pattern)
        if "?" not in pattern or len(known) < 2:
            return []
        by_mask = self._patterns.get((len(pattern), known), {})
        return by_mask.get(itemgetter(*known)(pattern), [])


def _known(pattern: str) -> tuple[int, ...]:
    return tuple(place for place, character in enumerate(pattern) if character != "?")


def shaped_as_size(want: Want) -> bool:
    """Whether what can't be read whole is written as a size: 3?x52x7, 3? 52 7."""
    return BETWEEN.search(want.text) is not None or _THREE.fullmatch(want.mark) is not None


def number_text(part_number: str) -> str:
    """A part number as it is compared: capitals without spaces; zeros and all else stay.

    >>> number_text(" ab 0621-5 "), number_text("3E5")
    ('AB0621-5', '3E5')
    """
    return "".join(part_number.split()).upper()


def asked(want: Want, *, numbers: Numbers, marks: Marks) -> tuple[Asked, ...]:
    """The readings of a wanted line, each with its doubts.

    Parameters
    ----------
    want : Want
        The wanted line.
    numbers : Numbers
        The part numbers, after the search.
    marks : Marks
        The markings of the lists' parts.
    """
    if want.refused:
        return ()
    if want.readings:
        doubts = want.questions
        found = [Asked(listed_bearing(s), e, want.pocket_um, doubts) for s, e in want.readings]
        found += _contradicting(want, found, numbers)
        if len(found) > 1:
            found = [a._replace(doubts=(*a.doubts, f"read as {size_text(a.size)}")) for a in found]
        return tuple(dict.fromkeys(found))
    found = []
    number = SizeKey(BEARING, designation=want.part_number)
    if want.part_number and (bearing := listed_bearing(number)) is not number:
        found = [Asked(bearing, pocket_um=want.pocket_um)]
    elif want.part_number:
        found = _of_number(want, numbers)
    if not found and (want.mark or want.part_number):
        found = _of_mark(want, want.mark or want.part_number, numbers, marks)
        if without := _without_size(want, numbers):
            found = [one._replace(doubts=(*one.doubts, without)) for one in found]
    return tuple(dict.fromkeys(found))


def _without_size(want: Want, numbers: Numbers) -> str:
    """That a list has a line of just the wanted number, which tells no size; else empty."""
    hits, bare = numbers.of_number(want.part_number) if want.part_number else ([], True)
    if bare:
        return ""
    return f"{hits[0].number} in {hits[0].list} is listed too, without a size: look which is meant"


def listed_without_size(want: Want, numbers: Numbers) -> str:
    """What the lists have of a wanted number where none of its lines tells a size; else empty.

    Parameters
    ----------
    want : Want
        The wanted line.
    numbers : Numbers
        The part numbers, after the search.
    """
    hits, bare = numbers.of_number(want.part_number) if want.part_number else ([], True)
    if not hits:
        return ""
    only = "only " if bare else ""
    zeros = ", and leading zeros may be lost" if bare else ""
    return f"{only}{hits[0].number} in {hits[0].list} is listed, without a size{zeros}: look there"


def _contradicting(want: Want, found: list[Asked], numbers: Numbers) -> list[Asked]:
    """What the lists have under the number of a wanted line, where it is another part."""
    if not want.part_number or numbers.of_number(want.part_number)[1]:
        return []
    return [
        other._replace(doubts=(f"{want.part_number} is {size_text(other.size)} in a list",))
        for other in _of_number(want, numbers)
        if all(size_grading(one.size, other.size).level > ASK for one in found)
    ]


def _of_number(want: Want, numbers: Numbers) -> list[Asked]:
    hits, bare = numbers.of_number(want.part_number)
    lists: dict[tuple[SizeKey, Execution], list[str]] = {}
    for hit in hits:
        if hit.size.shaft_um is not None or hit.size.designation:
            entry = lists.setdefault((hit.size, hit.execution), [])
            label = f"{hit.number} in {hit.list}"
            if label not in entry:
                entry.append(label)
    found = []
    for (size, made), labels in list(lists.items())[:MOST_READINGS]:
        doubts: tuple[str, ...] = ()
        if bare:
            doubts = (f"only {labels[0]} is listed: leading zeros may be lost, check the number",)
        elif len(lists) > 1:
            doubts = (f"the number stands for several parts: {labels[0]} is {size_text(size)}",)
        said = _said_first(want.made, made)
        found.append(Asked(listed_bearing(size), said, want.pocket_um, doubts))
    return found


def _said_first(said: Execution, listed: Execution) -> Execution:
    """What the wanted line says goes before what a list says of the number."""
    return Execution(*(one or other for one, other in zip(said, listed, strict=True)))


def _with_zeros(number: str, size: SizeKey) -> str:
    """The number of a designation that another is but for leading zeros; empty where none is."""
    bare = compact(number)
    pieces = designation_pieces(size.designation or "") if bare.isdecimal() else ()
    return next((one for one in pieces if one != bare and one.lstrip("0") == bare), "")


def _of_mark(want: Want, mark: str, numbers: Numbers, marks: Marks) -> list[Asked]:
    if not 0 < len(compact(mark)) <= MAX_MARK or not compact(mark).strip("?"):
        return []
    found = []
    readings = marks.readings(mark)
    more = len(readings) - MOST_MARKED
    cut = (f"{more} more sizes agree with the mark and are not shown",) if more > 0 else ()
    for size, probability in readings[:MOST_MARKED]:
        sure = probability >= CERTAINTY and "?" not in mark
        doubt = f"the mark reads as {size_text(size)} at {percent(probability)}"
        if zeros := _with_zeros(mark, size):
            sure = False
            doubt = f"taken for {zeros}: leading zeros may be lost, check the number"
        doubts = () if sure else (doubt,)
        found.append(Asked(listed_bearing(size), want.made, want.pocket_um, (*doubts, *cut)))
        cut = ()
    # A marking written as a size, 3?x52x7, is no part number once its signs are left out.
    for hit in () if shaped_as_size(want) else numbers.of_mark(mark)[:MOST_READINGS]:
        if hit.size.shaft_um is not None or hit.size.designation:
            doubt = f"the mark reads as part number {hit.number} of {hit.list}"
            made = _said_first(want.made, hit.execution)
            found.append(Asked(listed_bearing(hit.size), made, want.pocket_um, (doubt,)))
    return found
