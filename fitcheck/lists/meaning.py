"""What one wanted line means: its readings, or a number, or a marking."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from fitcheck.errors import FitcheckError
from fitcheck.lists.describe import Describer
from fitcheck.lists.items import Execution, SizeKey, execution, size_key
from fitcheck.lists.sizes import REPAIRED
from fitcheck.marks import compact

MOST_QUANTITY = 1_000_000


@dataclass(frozen=True, slots=True)
class Want:
    """One wanted line.

    ``readings`` are the sizes and executions it may mean: one where it is clear, several where
    the text can be read in several ways, none where only a number or a marking was given.
    ``refused`` says why a line can't be understood, and is empty otherwise.
    """

    line: int
    text: str
    readings: tuple[tuple[SizeKey, Execution], ...] = ()
    quantity: int | None = None
    pocket_um: int | None = None
    part_number: str = ""
    mark: str = ""
    questions: tuple[str, ...] = ()
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Understood:
    """What a text was understood as: one reading, several, or none, and what is in doubt."""

    readings: tuple[Mapping[str, Any], ...] = ()
    questions: tuple[str, ...] = ()


# What understands a free text: (text, unit of bare lengths) -> the fields it gives.
Describe = Callable[[str, str], Understood]


def describe_text(text: str, unit: str) -> Understood:
    """Understand a free text as the lists' own descriptions are understood.

    Parameters
    ----------
    text : str
        The text.
    unit : str
        ``mm`` or ``in``, of a size that names none.

    Examples
    --------
    >>> found = describe_text("OIL SEAL 35x52x7 NBR DBL LIP", "mm").readings[0]
    >>> found["shaft_um"], found["lip"]
    (35000, 'double')
    """
    found = _describer(unit).read(text)
    fields: dict[str, Any] = found.fields()
    repaired = tuple(f"{n.value}: {n.reason}" for n in found.notes if n.outcome == REPAIRED)
    if not found.refused:
        return Understood((fields,), repaired)
    names = ("shaft_um", "bore_um", "width_um", "system")
    ways = ({**fields, **dict(zip(names, way, strict=True))} for way in found.size.ways)
    return Understood(tuple(ways), (*repaired, found.refused))


@cache
def _describer(unit: str) -> Describer:
    # A bare size that makes sense only in the other unit is a question, as everywhere.
    return Describer(unit=unit, known=True)


class Meaning(NamedTuple):
    """What a text means: readings, or a number, or a marking."""

    readings: tuple[tuple[SizeKey, Execution], ...] = ()
    part_number: str = ""
    mark: str = ""
    questions: tuple[str, ...] = ()


class Once:
    """Understands every distinct text once."""

    def __init__(self, describe: Describe) -> None:
        self._describe = describe
        self._known: dict[tuple[str, str], Meaning] = {}

    def __call__(self, text: str, unit: str) -> Meaning:
        found = self._known.get((text, unit))
        if found is None:
            found = self._known[text, unit] = self._meaning(text, unit)
        return found

    def _meaning(self, text: str, unit: str) -> Meaning:
        if "?" in text:
            return Meaning(mark=text)
        try:
            found = self._describe(text, unit)
        except FitcheckError as error:
            found = Understood((), (str(error),))
        readings = tuple((size_key(f), execution(f)) for f in found.readings)
        readings = tuple(r for r in readings if r[0].shaft_um is not None or r[0].designation)
        # What gives no size may be a number: of a part, or stamped on one. What is nothing but a
        # designation may be a supplier's number too.
        bare = all(compact(size.designation or "") == compact(text) for size, _ in readings)
        return Meaning(readings, text if bare else "", "", found.questions)


def refused_want(line: int, text: str, reason: str) -> Want:
    """A line that can't be understood, with the reason."""
    return Want(line, text, refused=reason)
