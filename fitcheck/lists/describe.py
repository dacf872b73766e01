"""Free text understood: the size, the designation and the attributes of one part.

    OIL SEAL 35x52x7 NBR DBL LIP     seal,1-3/8 X 2 1/8 x .313     25.4 44.45 6.35     D35 D52 B7

One scanner finds the size; tables of words say the rest. The same text, the same size and the
same rest of a text are each understood once.
"""

from __future__ import annotations

import re

from fitcheck.lists.attributes import ATTRIBUTES, NOTHING, Words, words_in
from fitcheck.lists.beside import denied_before
from fitcheck.lists.designations import NONE_FOUND, Found, find_designation, listed_size_um
from fitcheck.lists.named_parts import find_part, has_mark
from fitcheck.lists.scan import (
    CROSSED,
    Spot,
    almost_size,
    crossed_spot,
    doubt_after,
    doubt_before,
    other_spot,
    plain_text,
)
from fitcheck.lists.sizes import (
    MM,
    NO_SIZE,
    NOTED,
    REPAIRED,
    SizeReading,
    is_listed,
    size_words_um,
    understand_size,
)
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

SEAL, BEARING, SLEEVE, OTHER = "seal", "bearing", "sleeve", "other"
# A bearing's written size differs from the listed one when it is further away than this [um].
_CLOSE_UM = 100
_KEPT = 200_000
WITHOUT_SIZE = "without a size"
# What stands before the second of two lengths from and to.
_WINDOW = re.compile(r"[0-9][0-9.,]* ?(?:-|\u2013|TO|BIS) ?$")


@dataclass(frozen=True, slots=True)
class Note:
    """What was noticed about a text: outcome, the part of it that is meant, and the reason."""

    outcome: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Described:
    """A text as understood; ``words`` has the attributes, ``refused`` says what is in doubt.

    Texts that say the same in the same words share one object, so it can stand for them.
    """

    kind: str
    size: SizeReading
    designation: str | None
    words: Words
    notes: tuple[Note, ...] = ()
    refused: str = ""

    def fields(self) -> dict[str, str | int | None]:
        """The fields of a list line that the text gives."""
        return {
            "kind": self.kind,
            "shaft_um": self.size.shaft_um,
            "bore_um": self.size.bore_um,
            "width_um": self.size.width_um,
            "system": self.size.system,
            "designation": self.designation,
            **dict(zip(ATTRIBUTES, self.words.values, strict=True)),
        }


class Describer:
    """Understands texts, each different one once.

    Parameters
    ----------
    unit : str
        ``mm`` or ``in``, of a size that names none.
    known : bool
        Whether that unit is known for these texts; else a size in the other unit is no surprise.
    """

    def __init__(self, *, unit: str = MM, known: bool = False) -> None:
        self._unit, self._known = unit, known
        self._texts: dict[str, Described] = {}
        self._shared: dict[tuple[str, bool, str, Words], Described] = {}
        self._spots: dict[str, Spot] = {}
        self._rests: dict[tuple[str, str], tuple[Words, str, Found]] = {}
        self._shop = shop_folder()

    def read(self, text: str) -> Described:
        """Understand a text.

        Examples
        --------
        >>> found = Describer().read("OIL SEAL 35x52x7 NBR DBL LIP").fields()
        >>> found["shaft_um"], found["width_um"], found["lip"], found["material"]
        (35000, 7000, 'double', 'NBR')
        """
        found = self._texts.get(text)
        if found is None:
            if len(self._texts) >= _KEPT:
                self._texts.clear()
                self._shared.clear()
                self._spots.clear()
                self._rests.clear()
            found = self._texts[text] = self._understand(text)
        return found

    def _understand(self, text: str) -> Described:
        plain = plain_text(text)
        match = CROSSED.search(plain)
        if match:
            start, end = match.span()
            written, before, after = plain[start:end], plain[:start], plain[end:]
            spot = self._spots.get(written)
            if spot is None:
                spot = self._spots[written] = crossed_spot(match)
            doubt = spot.doubt or doubt_after(spot.written, after)
            alone = not before and not after
        else:
            found = other_spot(plain)
            if found is None:
                words = words_in(plain, self._shop)
                kind, named = _named(words, plain)
                part = _other_part(words, kind, named, plain)
                return part or self._without_size(words, plain, kind, named)
            spot, written, alone, doubt = found, found.text, found.alone, found.doubt
            before, after = plain[: spot.start], plain[spot.end :]
        around = self._rests.get((before, after))
        if around is None:
            rest = f"{before} {after}"
            words = words_in(rest, self._shop)
            around = self._rests[before, after] = (words, *_named(words, rest))
        words, kind, named = around
        if words.denies and (denied := denied_before(before)):
            doubt = doubt or f"it {denied}: it may be the size of another part"
        elif before[-1:] in (" ", "X", "*") or before[-2:-1] in ("X", "*"):
            doubt = doubt or doubt_before(spot.written, before)
        part = _other_part(words, kind, named, plain)
        if part is not None:
            return part
        key = (written, alone, doubt, words)
        # A designation in the rest belongs to this text alone.
        window = _WINDOW.search(before) if kind == SLEEVE else None
        if window:
            return self._with_size(
                spot, words, kind, named, alone=alone, doubt=doubt, window=window[0].strip()
            )
        if named is not NONE_FOUND:
            return self._with_size(spot, words, kind, named, alone=alone, doubt=doubt)
        shared = self._shared.get(key)
        if shared is None:
            shared = self._with_size(spot, words, kind, named, alone=alone, doubt=doubt)
            self._shared[key] = shared
        return shared

    def _with_size(
        self,
        spot: Spot,
        words: Words,
        kind: str,
        named: Found,
        *,
        alone: bool,
        doubt: str,
        window: str = "",
    ) -> Described:
        notes = _first_notes(words, named)
        if kind == OTHER:
            return Described(OTHER, NO_SIZE, None, words, tuple(notes))
        shown = spot.text
        if kind == SLEEVE and window:
            # The shafts it grips, from and to: no size that a list line has a field for.
            reason = f"{window} {shown} is a range: no size is taken of it"
            notes.append(Note(REPAIRED, shown, reason))
            return Described(SLEEVE, NO_SIZE, None, words, tuple(notes))
        size = understand_size(spot.written, unit=self._unit, known=self._known, kind=kind or SEAL)
        if doubt:
            size = SizeReading(refused=doubt)
        reason = size.refused or next((why for how, why in size.notes if how == REPAIRED), "")
        if reason and not kind and not alone:
            # Nothing says that this is a seal, and as written it is none: a plate, a box.
            notes.append(Note(NOTED, shown, f"taken for no size of a seal: {reason}"))
            return Described(OTHER, NO_SIZE, None, words, tuple(notes))
        if spot.loose and size.refused:
            notes.append(Note(NOTED, shown, f"these numbers are taken for no size: {size.refused}"))
            return Described(kind or OTHER, NO_SIZE, named.designation, words, tuple(notes))
        if size.width_um is None and not kind and not alone and not size.refused:
            notes.append(
                Note(NOTED, shown, "two numbers and no word for a seal: taken for no size")
            )
            return Described(OTHER, NO_SIZE, None, words, tuple(notes))
        if not (kind or alone or size.refused or is_listed(size)):
            notes.append(Note(NOTED, shown, "no word tells the kind of part: taken for a seal"))
        notes += [Note(outcome, shown, reason) for outcome, reason in size.notes]
        notes += against_table(named.designation, size, shown)
        return Described(
            kind or SEAL,
            size,
            named.designation,
            words,
            tuple(notes),
            size.refused and f"the size {shown} is in doubt: {size.refused}",
        )

    def _without_size(self, words: Words, plain: str, kind: str, named: Found) -> Described:
        refused = ""
        notes = _first_notes(words, named)
        if kind in (SEAL, SLEEVE):
            almost = almost_size(plain)
            if almost:
                refused = f"{almost} looks like a size and can't be read as one"
            else:
                notes.append(Note(NOTED, plain[:60], f"a {kind} {WITHOUT_SIZE}"))
        elif kind == BEARING and not (named.designation or notes):
            reason = f"a bearing without a listed designation and {WITHOUT_SIZE}"
            notes.append(Note(NOTED, plain[:60], reason))
        designation = None if kind == OTHER else named.designation
        return Described(kind or OTHER, NO_SIZE, designation, words, tuple(notes), refused)


def _named(words: Words, text: str) -> tuple[str, Found]:
    """The kind of part that the words or a listed designation tell, and that designation."""
    kind = words.kind or (SEAL if words.of_seal else "")
    if kind not in ("", BEARING):
        return kind, NONE_FOUND
    found = find_designation(text, bearing=kind == BEARING)
    return (BEARING if found.designation else kind), found


def _other_part(words: Words, kind: str, named: Found, plain: str) -> Described | None:
    """A text that names a part of a described family: it has a name, and no size of a seal."""
    # A material makes a text one of a seal where no word says what it is.
    told = words.kind or (kind if kind != SEAL else "")
    if told in (SEAL, SLEEVE) or named.designation or words.accessory:
        return None
    if not (told or has_mark(plain)):
        return None
    part = find_part(plain)
    if part is None:
        return None
    return Described(OTHER, NO_SIZE, part.name, words, tuple(_first_notes(words, named)))


def _first_notes(words: Words, named: Found) -> list[Note]:
    notes = [Note(REPAIRED, value, reason) for _, value, reason in words.doubts]
    return notes + [Note(*note) for note in named.notes]


def against_table(designation: str | None, size: SizeReading, shown: str) -> list[Note]:
    """A bearing whose written size is not the listed one, as a remark.

    Parameters
    ----------
    designation : str or None
        Its designation.
    size : SizeReading
        The size that is written.
    shown : str
        Where it is written, in words.
    """
    listed = listed_size_um(designation) if designation else None
    if listed is None or size.shaft_um is None:
        return []
    written = (size.shaft_um, size.bore_um, size.width_um)
    if all(a is None or abs(a - b) <= _CLOSE_UM for a, b in zip(written, listed, strict=True)):
        return []
    right = size_words_um(*listed, "metric")
    return [Note(NOTED, shown, f"{designation} is listed as {right}")]


# What an empty text says.
NOTHING_DESCRIBED = Described("", NO_SIZE, None, NOTHING)
