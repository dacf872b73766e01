"""What the telling cells of a line mean together: kind, size, designation and attributes.

A million lines hold only some thousands of different cells of this sort, so every different set
of cells is understood once, and what is said of it here is said of each of its lines.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from fitcheck.lists import content
from fitcheck.lists.attributes import ATTRIBUTES, KIND, Words, read_attribute, read_words
from fitcheck.lists.describe import (
    BEARING,
    NOTHING_DESCRIBED,
    OTHER,
    SEAL,
    WITHOUT_SIZE,
    Described,
    Describer,
    against_table,
)
from fitcheck.lists.designations import find_designation
from fitcheck.lists.dimensions import Dimension, dimension_problem, read_dimension
from fitcheck.lists.line_designation import ClassNote, Refusal, designation_of
from fitcheck.lists.numbers import DATE_MARK, MARKS, NO_VALUE_MARK, style_shown
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.sizes import (
    INCH,
    INCH_UNIT,
    METRIC,
    MM,
    NO_SIZE,
    NOTED,
    REPAIRED,
    SizeReading,
    Written,
    size_words_um,
    understand_size,
)
from fitcheck.lists.words import is_blank, unit_of
from fitcheck.records import dataclass

# Beside the description, which is understood before.
CLASS_ROLES = (
    "kind",
    "size",
    "shaft",
    "bore",
    "width",
    "unit",
    "designation",
    "cone",
    "cup",
    *ATTRIBUTES,
)
CLASS_FIELDS = (
    "kind",
    "shaft_um",
    "bore_um",
    "width_um",
    "system",
    "designation",
    *ATTRIBUTES,
)
_PLACES = ("shaft", "bore", "width")
_NAMES = ("designation", "cone", "cup")


@dataclass(frozen=True, slots=True)
class LineClass:
    """The fields that a set of cells gives, in the order of ``CLASS_FIELDS``, and its notes.

    ``refused`` is (role, value, reason) where the cells can't be taken.
    """

    values: tuple[str | int | None, ...]
    notes: tuple[ClassNote, ...] = ()
    refused: tuple[str, str, str] | None = None
    identified: bool = False
    repaired: bool = False


class Classifier:
    """Understands sets of cells.

    Parameters
    ----------
    unit : str
        ``mm`` or ``in``, of a size that names none.
    known : bool
        Whether that unit is known for this list.
    units : mapping
        Units that headers give, by role.
    decimals : mapping
        Decimal styles, by role.
    guessed : mapping
        What speaks for a style that is not sure, by role.
    doubted : collection of str
        Roles of columns of which few cells can be read: one that can't is left out, and the line
        kept.
    """

    def __init__(
        self,
        *,
        unit: str,
        known: bool,
        units: Mapping[str, str],
        decimals: Mapping[str, str],
        guessed: Mapping[str, str],
        doubted: Collection[str] = (),
    ) -> None:
        self._unit, self._known = unit, known
        self._guessed, self._doubted = guessed, doubted
        self._units, self._decimals = units, decimals
        self._describer = Describer(unit=unit, known=known)

    def describe(self, text: str) -> Described:
        """What a description says; texts that say the same share one object."""
        body = text.strip()
        if not body or body[0] == NO_VALUE_MARK or body[0] == DATE_MARK:
            return NOTHING_DESCRIBED
        return self._describer.read(body.lstrip("".join(MARKS)) if body[0] in MARKS else body)

    def classify(self, cells: Mapping[str, str], described: Described) -> LineClass:
        """The meaning of one set of cells, by role, and of the description."""
        if not cells and not described.refused:
            return _of_description(described)
        notes: list[ClassNote] = []
        try:
            values = self._values(cells, described, notes)
        except Refusal as refusal:
            empty: tuple[None, ...] = (None,) * len(CLASS_FIELDS)
            return LineClass(empty, tuple(notes), refusal.cause)
        named = dict(zip(CLASS_FIELDS, values, strict=True))
        return LineClass(
            values,
            tuple(notes),
            identified=named["shaft_um"] is not None or named["designation"] is not None,
            repaired=any(note[0] == REPAIRED for note in notes),
        )

    def _values(
        self, cells: Mapping[str, str], described: Described, notes: list[ClassNote]
    ) -> tuple[str | int | None, ...]:
        for role, text in cells.items():
            if text[:1] == NO_VALUE_MARK and text:
                raise Refusal(
                    role, text[1:], "the cell holds an error or a formula without a value"
                )
        notes += [(n.outcome, "description", n.value, n.reason) for n in described.notes]
        kind = self._kind(cells.get("kind", ""), described, notes)
        cells = self._believed(cells, notes)
        designation = designation_of(cells, described, notes)
        if not kind:
            kind = BEARING if designation else ""
        size = self._size(cells, kind or SEAL, notes)
        if size.shaft_um is not None or designation:
            notes[:] = [note for note in notes if not note[3].endswith(WITHOUT_SIZE)]
        size = _agreed(size, described.size, cells)
        told = {note[3] for note in notes}
        against = against_table(designation, size, designation or "")
        notes += [(NOTED, "size", n.value, n.reason) for n in against if n.reason not in told]
        if not kind and size.shaft_um is not None:
            kind = SEAL
        if kind == OTHER and described.refused:
            described = NOTHING_DESCRIBED
        if described.refused and size.shaft_um is None:
            raise Refusal("description", "", described.refused)
        said = _beside_size(cells.get("size", ""), size, described.words, notes)
        attributes = _attributes(cells, said, notes)
        return (
            kind or described.kind or OTHER,
            size.shaft_um,
            size.bore_um,
            size.width_um,
            size.system,
            designation,
            *attributes,
        )

    def _believed(self, cells: Mapping[str, str], notes: list[ClassNote]) -> Mapping[str, str]:
        """The cells without those of doubted columns that can't be what their header says."""
        bad = {
            role
            for role in self._doubted
            if (text := cells.get(role, "")) and not is_blank(text) and not self._may_be(role, text)
        }
        for role in sorted(bad):
            words = "size" if role == "size" else role
            shown = cells[role].lstrip("".join(MARKS))
            notes.append((REPAIRED, role, shown, f"can't be read as a {words}: left out"))
        if bad & set(_PLACES):
            bad |= set(_PLACES)
        return {role: "" if role in bad else text for role, text in cells.items()}

    def _may_be(self, role: str, text: str) -> bool:
        if role in _PLACES:
            return read_dimension(text, self._decimals.get(role, "")) is not None
        return role not in ("size", *_NAMES) or content.agrees(role, [text])

    def _kind(self, cell: str, described: Described, notes: list[ClassNote]) -> str:
        """The kind by its own column, else by the description; two that differ are refused."""
        own = None if is_blank(cell) else read_attribute(KIND, cell)
        told = described.words.kind
        if own and told and own != told:
            reason = f"its own column says {own} and the description says {told}"
            raise Refusal("kind", cell, reason)
        if own:
            return own
        # OTHER also stands for a text that tells nothing: then other columns may tell.
        named = told or described.designation
        return described.kind if described.kind != OTHER or named else ""

    def _size(self, cells: Mapping[str, str], kind: str, notes: list[ClassNote]) -> SizeReading:
        """The size out of the columns that are there for it."""
        if kind == OTHER:
            return NO_SIZE
        unit_cell = cells.get("unit", "")
        unit = unit_of(unit_cell)
        if unit_cell.strip() and not unit and not is_blank(unit_cell):
            notes.append((REPAIRED, "unit", unit_cell, "is no unit of a size: not used"))
        whole, places = self._whole(cells, unit, kind), self._places(cells, unit, kind, notes)
        for role, (found, shown) in (("size", whole), ("shaft", places)):
            if found.refused:
                raise Refusal(role, shown, found.refused)
            notes += [(outcome, role, shown, reason) for outcome, reason in found.notes]
        return _agreed(whole[0], places[0], cells)

    def _whole(self, cells: Mapping[str, str], unit: str, kind: str) -> tuple[SizeReading, str]:
        cell = cells.get("size", "")
        if is_blank(cell):
            return NO_SIZE, ""
        if cell[:1] == DATE_MARK:
            raise Refusal("size", cell[1:], "is a date: the size it was can't be told")
        spot = size_spot(plain_text(cell.lstrip("".join(MARKS))))
        if spot is None:
            if find_designation(plain_text(cell), bearing=kind == BEARING).designation:
                return NO_SIZE, ""
            raise Refusal("size", cell.lstrip("".join(MARKS)), "is no size")
        if spot.doubt:
            raise Refusal("size", cell, spot.doubt)
        return self._understood(spot.written, unit, self._units.get("size", ""), kind), cell

    def _places(
        self, cells: Mapping[str, str], unit: str, kind: str, notes: list[ClassNote]
    ) -> tuple[SizeReading, str]:
        texts = {place: cells.get(place, "") for place in _PLACES}
        given = {place: text for place, text in texts.items() if not is_blank(text)}
        if not given:
            return NO_SIZE, ""
        shown = " x ".join(text.lstrip("".join(MARKS)).strip() for text in given.values())
        if not {"shaft", "bore"} <= given.keys():
            missing = "shaft" if "shaft" not in given else "bore"
            notes.append((REPAIRED, missing, shown, f"no {missing} is given: the size is left out"))
            return NO_SIZE, ""
        found: dict[str, Dimension] = {}
        for place, text in given.items():
            value = read_dimension(text, self._decimals.get(place, ""))
            if value is None:
                value_shown = text.lstrip("".join(MARKS))
                raise Refusal(place, value_shown, dimension_problem(text))
            found[place] = value
            guess = self._guessed.get(place, "")
            if guess and text[:1] not in MARKS and style_shown(value.written) == "?":
                reason = f"{value.written} is read as {value.number}, {guess}"
                notes.append((REPAIRED, place, text, reason))
        self._dates(given, found, unit, notes)
        heads = {self._units.get(place, "") for place in found}
        units = tuple(
            value.unit or (unit if unit else self._units.get(place, "") if len(heads) > 1 else "")
            for place, value in found.items()
        )
        written = Written(tuple(value.number for value in found.values()), units)
        head = heads.pop() if len(heads) == 1 else ""
        return self._understood(written, unit, head, kind), shown

    def _dates(
        self,
        given: Mapping[str, str],
        found: Mapping[str, Dimension],
        unit: str,
        notes: list[ClassNote],
    ) -> None:
        """A date is the fraction it was only in a line of inches."""
        for place, value in found.items():
            if not value.was_date:
                continue
            others = [v for p, v in found.items() if p != place]
            inches = (
                unit == INCH_UNIT
                or self._units.get(place) == INCH_UNIT
                or any(v.unit == INCH_UNIT or ("/" in v.number and not v.was_date) for v in others)
                or (self._known and self._unit == INCH_UNIT and unit != MM)
            )
            date = given[place][1:]
            if not inches:
                raise Refusal(place, date, "is a date: the size it was can't be told")
            notes.append((REPAIRED, place, date, f"a date, made of the fraction {value.number}"))

    def _understood(self, written: Written, unit: str, head: str, kind: str) -> SizeReading:
        """A size with the unit of its line, of its header or of the list."""
        if unit and not any(written.units):
            written = Written(written.numbers, (unit,) * len(written.numbers), written.second_width)
        known = bool(head) or self._known
        found = understand_size(written, unit=head or self._unit, known=known, kind=kind)
        bare = head and not any(written.units) and "/" not in written.text
        if bare and found.system == (INCH if head == MM else METRIC):
            other = INCH_UNIT if head == MM else MM
            reason = f"the heading says {head}, and only in {other} can a {kind} be so"
            return SizeReading(refused=reason)
        return found


def _of_description(described: Described) -> LineClass:
    """What a description says where nothing else tells anything."""
    size, notes = described.size, described.notes
    return LineClass(
        (
            described.kind or OTHER,
            size.shaft_um,
            size.bore_um,
            size.width_um,
            size.system,
            described.designation,
            *described.words.values,
        ),
        tuple((n.outcome, "description", n.value, n.reason) for n in notes) if notes else (),
        None,
        size.shaft_um is not None or described.designation is not None,
        bool(notes) and any(n.outcome == REPAIRED for n in notes),
    )


def _agreed(one: SizeReading, other: SizeReading, cells: Mapping[str, str]) -> SizeReading:
    """The size that two places give: they must not differ; a missing width is filled in."""
    if one.shaft_um is None or other.shaft_um is None or one.bore_um is None:
        return other if one.shaft_um is None and other.shaft_um is not None else one
    pairs = (
        (one.shaft_um, other.shaft_um),
        (one.bore_um, other.bore_um),
        (one.width_um, other.width_um),
    )
    # A description rounds: 53.98 for 2-1/8 in. A tenth of a millimetre apart is another size.
    if any(a is not None and b is not None and abs(a - b) > 60 for a, b in pairs):
        first = size_words_um(one.shaft_um, one.bore_um, one.width_um, one.system or METRIC)
        second = size_words_um(
            other.shaft_um, other.bore_um or 0, other.width_um, other.system or METRIC
        )
        raise Refusal("size", cells.get("size", ""), f"two sizes are given, {first} and {second}")
    return other if one.width_um is None and other.width_um is not None else one


def _beside_size(
    cell: str, size: SizeReading, told: Words, notes: list[ClassNote]
) -> tuple[str | None, ...]:
    """What the description says, and the words beside the size in its own column (35x52x7 FKM)."""
    plain = plain_text(cell.lstrip("".join(MARKS)))
    spot = size_spot(plain) if size.shaft_um is not None and plain else None
    if spot is None or spot.alone:
        return told.values
    rest = f"{plain[: spot.start]} {plain[spot.end :]}".strip(" ,;:()")
    words = read_words(rest)
    notes += [(REPAIRED, "size", value, reason) for _, value, reason in words.doubts]
    if rest and words.says_nothing:
        notes.append((NOTED, "size", rest, "no listed word beside the size: not read"))
    values: list[str | None] = []
    for field, one, other in zip(ATTRIBUTES, told.values, words.values, strict=True):
        if one and other and one != other:
            reason = f"its {field} is {other} here and {one} in the description: left out"
            notes.append((REPAIRED, "size", rest, reason))
            values.append(None)
        else:
            values.append(one or other)
    return tuple(values)


def _attributes(
    cells: Mapping[str, str], described: tuple[str | None, ...], notes: list[ClassNote]
) -> list[str | None]:
    values: list[str | None] = []
    for field, told in zip(ATTRIBUTES, described, strict=True):
        if field not in cells:
            values.append(told)
            continue
        cell = cells[field].lstrip("".join(MARKS))
        own = None if is_blank(cell) else read_attribute(field, cell)
        if own is None and not is_blank(cell):
            reason = f"no listed word for the {field}: left out"
            notes.append((REPAIRED, field, cell, reason))
        elif own and told and own != told:
            reason = f"its own column says {own} and the description says {told}: left out"
            notes.append((REPAIRED, field, cell, reason))
            values.append(None)
            continue
        values.append(own or told)
    return values
