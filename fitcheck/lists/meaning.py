"""What one wanted line means: its readings, or a number, or a marking."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, NamedTuple

from fitcheck.errors import FitcheckError, printable
from fitcheck.lists.also_said import also_said
from fitcheck.lists.describe import OTHER, Described, Describer
from fitcheck.lists.designations import listed_size_um, rounded_bearings, without_x
from fitcheck.lists.items import (
    BEARING,
    METRIC,
    PLAIN_EXECUTION,
    SEAL,
    Execution,
    SizeKey,
    execution,
    size_key,
)
from fitcheck.lists.left_open import (
    PART_NUMBER_FIGURES,
    alternatives,
    another_size,
    numbers_beside,
    unresolved_choice,
)
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.sizes import NOTED, REPAIRED, is_listed, ring_shape, size_words_um
from fitcheck.lists.spoken import spoken_size
from fitcheck.marks import compact
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

MOST_QUANTITY = 1_000_000
# A size whose shaft or bore is so far from that of the designation is one of another part [um].
_OTHER_SIZE_UM = 1000
QUANTITY_RULE = (
    f"a quantity is a whole number from 1 to {MOST_QUANTITY}. Write how many are wanted, or leave "
    "it out"
)


class Refusal(NamedTuple):
    """Why a wanted line can't be understood: the column, what stands there, and the reason."""

    column: str
    value: str
    reason: str

    def __str__(self) -> str:
        return printable(f"{self.column} {self.value}: {self.reason}")


@dataclass(frozen=True, slots=True)
class Want:
    """One wanted line.

    ``readings`` are the sizes and executions it may mean: one where it is clear, several where
    the text can be read in several ways, none where only a number or a marking was given.
    ``made`` is what is said of the execution where only a number or a marking gives the size.
    """

    line: int
    text: str
    readings: tuple[tuple[SizeKey, Execution], ...] = ()
    quantity: int | None = None
    pocket_um: int | None = None
    part_number: str = ""
    mark: str = ""
    questions: tuple[str, ...] = ()
    refused: Refusal | None = None
    made: Execution = PLAIN_EXECUTION


@dataclass(frozen=True, slots=True)
class Understood:
    """What a text was understood as: one reading, several, or none, and what is in doubt.

    ``number`` stands beside the size and may be a part number.
    """

    readings: tuple[Mapping[str, Any], ...] = ()
    questions: tuple[str, ...] = ()
    number: str = ""


# From this width on a size that no table has is as likely a bearing's [um]; common practice, no
# source.
_WIDE_UM = 12_000

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
    plain = plain_text(text)
    ways = [_described(way, unit) for way in alternatives(plain)]
    readings = tuple(reading for way in ways for reading in way.readings)
    if readings and all(fields["shaft_um"] or fields["designation"] for fields in readings):
        said = (question for way in ways for question in way.questions)
        return Understood(readings, tuple(dict.fromkeys((f"{text}: ask which is meant", *said))))
    found = _described(text, unit)
    asks: list[str] = []
    if unresolved_choice(plain):
        asks.append(f"{text}: more than one is named; ask which is meant")
    elif found.readings and (other := another_size(plain)):
        asks.append(f"{other}: another size is named; ask which is meant")
    return Understood(found.readings, (*found.questions, *asks), found.number) if asks else found


def _described(text: str, unit: str) -> Understood:
    """Understand a text that offers no choice."""
    describer = _describer(unit, shop_folder())
    found = describer.read(text)
    left_out = tuple(f"{n.value}: {n.reason}" for n in found.notes if n.outcome == REPAIRED)
    if found.words.accessory or (left_out and found.kind == BEARING and not found.designation):
        # What is asked for is another part than the one whose number stands there.
        return Understood((), left_out)
    said: tuple[str, ...] = ()
    if found.size.shaft_um is None and not (found.designation or found.refused):
        spoken = spoken_size(text)
        if spoken is not None:
            said = spoken.questions
            found = describer.read(spoken.text) if spoken.text else found
            if spoken.text and found.size.shaft_um is None and found.words.kind is None:
                # Who names a shaft and a bore and no part means a seal.
                found = describer.read(f"SEAL {spoken.text}")
        elif (bare := _as_seal(describer, text, found)) is not None:
            found = bare
            said = (f"{text}: no word tells the kind of part: taken for a seal",)
        elif " " in text.strip():
            # A designation with letters behind it that no table has: 32206 and what a maker adds.
            first = describer.read(text.split(maxsplit=1)[0])
            found = first if first.designation else found
    if found.designation is None and (x := without_x(plain_text(text))):
        # In ISO 355 the X marks the boundary dimensions of today; without it they may be older.
        found = describer.read(f"BEARING {x}")
        said = (f"{text}: read as {x}; without the X it may have other dimensions, ask",)
    elif found.designation and found.size.shaft_um is None and found.kind != OTHER:
        said += _unread(text, found)
    fields: dict[str, Any] = found.fields()
    repaired = tuple(f"{n.value}: {n.reason}" for n in found.notes if n.outcome == REPAIRED)
    repaired += said
    repaired += tuple(
        f"{word}: not read; it tells nothing by itself" for word in found.words.unread
    )
    number, asks_beside = _beside(text, found) if found.kind != OTHER else ("", ())
    repaired += asks_beside
    if not found.refused:
        others, asks = _listed_bearings(found)
        if apart := _two_parts(found):
            # The number names one part and the size another: neither is sure.
            fields, others, asks = apart
        if not (fields["shaft_um"] or fields["designation"] or said):
            # Where nothing was understood, why is worth more than that it was not.
            repaired += tuple(f"{n.value}: {n.reason}" for n in found.notes if n.outcome == NOTED)
        if (
            not repaired
            and _is_told(fields)
            and (more := also_said(text, found.designation, number))
        ):
            # All that decides is told; what else is said may still mean another part.
            asks += (f"{', '.join(more)}: not read; ask what it means",)
        return Understood((fields, *others), (*repaired, *asks), number)
    names = ("shaft_um", "bore_um", "width_um", "system")
    ways = ({**fields, **dict(zip(names, way, strict=True))} for way in found.size.ways)
    return Understood(tuple(ways), (*repaired, found.refused), number)


def _is_told(fields: Mapping[str, Any]) -> bool:
    """Whether nothing is left to ask about a size and its execution."""
    if fields["kind"] == SEAL:
        return all(fields[name] for name in ("lip", "lubricant", "direction"))
    return bool(fields["designation"])


def _two_parts(
    found: Described,
) -> tuple[dict[str, Any], tuple[dict[str, Any], ...], tuple[str, ...]] | None:
    """A designation and a size beside it that is far from the listed one, as two readings."""
    size, listed = found.size, listed_size_um(found.designation or "")
    if listed is None or size.shaft_um is None or size.bore_um is None:
        return None
    if max(abs(size.shaft_um - listed[0]), abs(size.bore_um - listed[1])) < _OTHER_SIZE_UM:
        return None
    names = ("kind", "shaft_um", "bore_um", "width_um", "system", "designation")
    one = dict(zip(names, (BEARING, *listed, METRIC, found.designation), strict=True))
    values = (None, size.shaft_um, size.bore_um, size.width_um, size.system, None)
    written = size_words_um(size.shaft_um, size.bore_um, size.width_um, size.system or METRIC)
    asks = (
        f"{found.designation} is listed as {size_words_um(*listed, METRIC)} and {written} is "
        "written beside it: ask which is meant, or whether both are",
    )
    return one, (dict(zip(names, values, strict=True)),), asks


def _listed_bearings(found: Described) -> tuple[tuple[dict[str, Any], ...], tuple[str, ...]]:
    """The listed bearings that a size may be, exactly or rounded, where no word tells a seal."""
    size, told = found.size, found.words
    shaft, bore, width = size.shaft_um, size.bore_um, size.width_um
    if found.designation or shaft is None or bore is None or width is None:
        return (), ()
    bare = found.kind == SEAL and told.kind is None and not told.of_seal
    if not bare and found.kind != BEARING:
        return (), ()
    others, asks = [], []
    for label, listed in rounded_bearings(shaft, bore, width).items():
        if bare and listed != (shaft, bore, width) and is_listed(size):
            continue
        # With its designation, as lists name many bearings without their size.
        names = ("kind", "shaft_um", "bore_um", "width_um", "system", "designation")
        others.append(dict(zip(names, (BEARING, *listed, size.system, label), strict=True)))
        asks.append(f"{label} is listed as {size_words_um(*listed, METRIC)}: is that meant")
    unlisted = bare and not others and not is_listed(size)
    if unlisted and width >= _WIDE_UM and ring_shape(shaft, bore, width):
        sizes = {"shaft_um": shaft, "bore_um": bore, "width_um": width, "system": size.system}
        others.append({"kind": BEARING, **sizes})
    if bare and others:
        asks.append("no word tells whether a seal or a bearing is wanted: both are looked for")
    return tuple(others), tuple(asks)


def _as_seal(describer: Describer, text: str, found: Described) -> Described | None:
    """A text with three numbers and no word for a part, as a seal where it can be one.

    In a supplier's list such a line may be anything; what is asked for here has a size.
    """
    spot = size_spot(plain_text(text))
    if found.words.kind or spot is None or spot.loose or len(spot.written.numbers) < 3:
        return None
    seal = describer.read(f"SEAL {text}")
    return seal if seal.size.shaft_um is not None else None


def _unread(text: str, found: Described) -> tuple[str, ...]:
    """What stands beside a designation, holds figures, and was read by nobody."""
    designation = found.designation or ""
    # What a remark names was read.
    name = compact(designation) + "".join(compact(note.value) for note in found.notes)
    pieces = [
        piece
        for piece in text.split()
        if any(c.isdigit() for c in piece) and compact(piece) not in name
    ]
    rest = " ".join(piece for piece in pieces if compact(designation) not in compact(piece))
    return (f"{rest}: not read beside {designation}; ask what it stands for",) if rest else ()


def _beside(text: str, found: Described) -> tuple[str, tuple[str, ...]]:
    """What may be a part number beside a size, and what to ask of shorter numbers there."""
    if found.size.shaft_um is None:
        return "", ()
    name = compact(found.designation or "")
    numbers = [n for n in numbers_beside(plain_text(text)) if compact(n) not in name]
    short = [n for n in numbers if len(n) < PART_NUMBER_FIGURES]
    long = [n for n in numbers if n not in short]
    asks = (f"{', '.join(short)}: not read beside the size; ask what it stands for",)
    return (long[0] if long else ""), (asks if short else ())


@cache
def _describer(unit: str, _shop: str) -> Describer:
    # A bare size that makes sense only in the other unit is a question, as everywhere.
    return Describer(unit=unit, known=True)


class Meaning(NamedTuple):
    """What a text means: readings, or a number, or a marking.

    ``kind`` is the kind of part, as far as the text tells it.
    """

    readings: tuple[tuple[SizeKey, Execution], ...] = ()
    part_number: str = ""
    mark: str = ""
    questions: tuple[str, ...] = ()
    made: Execution = PLAIN_EXECUTION
    kind: str = ""


# Signs between the numbers of a size, which no marking is compared with.
BETWEEN = re.compile(r"(?<=[0-9?])\s*[xX*×]\s*(?=[0-9?])")


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
            return self._marked(text, unit)
        try:
            found = self._describe(text, unit)
        except FitcheckError as error:
            found = Understood((), (str(error),))
        readings = tuple((size_key(f), execution(f)) for f in found.readings)
        readings = tuple(r for r in readings if r[0].shaft_um is not None or r[0].designation)
        # What gives no size may be a number: of a part, or stamped on one. What is nothing but a
        # designation may be a supplier's number too.
        bare = all(compact(size.designation or "") == compact(text) for size, _ in readings)
        made = execution(found.readings[0]) if found.readings and not readings else PLAIN_EXECUTION
        kind = (found.readings[0].get("kind") or "") if found.readings else ""
        number = text if bare else found.number
        return Meaning(readings, number, "", found.questions, made, kind)

    def _marked(self, text: str, unit: str) -> Meaning:
        """A text with signs that can't be read: the marking in it, and what its words say."""
        asked = text.rstrip("? ")
        if "?" not in asked:
            # "35x52x7?" asks; "3220?" has lost its last character.
            whole = self(asked, unit) if asked else Meaning()
            clear = len(whole.readings) == 1 and not whole.questions
            if clear and _is_whole(whole.readings[0][0]):
                asks = f"{text}: the ? is taken for a question, not for a lost character"
                return whole._replace(questions=(asks,))
        plain = BETWEEN.sub(" ", text)
        pieces = plain.split()
        marked = [any(c.isdigit() or c == "?" for c in piece) for piece in pieces]
        words = " ".join(
            piece for piece, is_mark in zip(pieces, marked, strict=True) if not is_mark
        )
        if not words:
            return Meaning(mark=plain)
        mark = " ".join(piece for piece, is_mark in zip(pieces, marked, strict=True) if is_mark)
        return Meaning(mark=mark, made=self(words, unit).made)


def _is_whole(size: SizeKey) -> bool:
    return bool(size.designation) or None not in (size.shaft_um, size.bore_um, size.width_um)


def refused_want(line: int, text: str, refused: Refusal) -> Want:
    """A line that can't be understood, with the reason."""
    return Want(line, text, refused=refused)


def refusal(column: str, value: str, error: FitcheckError) -> Refusal:
    """An error as a refusal of a cell: the reason without the value, which stands by itself."""
    return Refusal(column, value, printable(f"{error.rule}. {error.todo}"))
