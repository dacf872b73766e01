"""One name for a size, whatever it was called: units are crossed before demand is counted.

``35x52x7``, ``OIL SEAL 35 X 52 X 7 NBR``, a list's part number and 1.378 x 2.047 x 0.276 in are one
size and one demand. What can be read in two ways is refused; what can't be read as a size at all
stays a part of its own, under the name it came with, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from itertools import product

from fitcheck.lists.items import (
    BEARING,
    OTHER,
    SEAL,
    SLEEVE,
    SizeKey,
    mm_text,
    size_key,
    size_text,
)
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.lists.marked import listed_bearing
from fitcheck.lists.meaning import describe_text
from fitcheck.lists.named_parts import find_part, named_part, part_name
from fitcheck.lists.resolve import Found, Numbers
from fitcheck.lists.scan import plain_text
from fitcheck.lists.source import LineSource
from fitcheck.lists.wanted import Want
from fitcheck.marks import compact
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.parts.seal import seal_sizes
from fitcheck.parts.sleeve import sleeves
from fitcheck.records import dataclass
from fitcheck.stock.records import NO_SIZE
from fitcheck.tables import shop_folder

# Two lengths are one when they differ by no more than inches of three decimals do [um].
SAME_UM = 15

# Rolling bearings whose suffixes tell seals, shields and clearance.
_ROLLING = ("ball", "roller", "needle")
# Figures of a designation that is taken for a ball bearing's where it stands alone.
_BALL_FIGURES = (4, 5)

_WHAT = {
    "seal": SEAL,
    "lip seal": SEAL,
    "bearing": BEARING,
    "tapered bearing": BEARING,
    "sleeve": SLEEVE,
    "thin sleeve": SLEEVE,
    "": "",
}


@dataclass(frozen=True, slots=True)
class Named:
    """What a text names: one part, or why it names none.

    ``note`` says what was assumed, and is empty where the size is known; ``refused`` says why the
    text can't be taken, and is empty otherwise.
    """

    key: str = ""
    what: str = OTHER
    size: SizeKey = NO_SIZE
    note: str = ""
    refused: str = ""


Asked = tuple[str, str]


def notes_of(names: Mapping[Asked, Named], used: Iterable[Asked]) -> tuple[str, ...]:
    """What was assumed about the parts that a file uses, each once.

    Parameters
    ----------
    names : mapping
        What each text and kind names.
    used : iterable of (str, str)
        The texts and kinds of its good lines.
    """
    found = (names[one].note for one in dict.fromkeys(used))
    return tuple(dict.fromkeys(note for note in found if note))


def names_of(
    asked: Iterable[Asked], *, source: LineSource | None = None, unit: str = "mm"
) -> dict[Asked, Named]:
    """What some texts name, each read once.

    Parameters
    ----------
    asked : iterable of (str, str)
        The texts, each with the kind of part where that was said, or a blank.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Returns
    -------
    dict
        For each text and kind, what it names.

    Examples
    --------
    >>> texts = [("OIL SEAL 35X52X7 NBR", ""), ("1.378 x 2.047 x 0.276 in", ""), ("30206", "")]
    >>> [named.key for named in names_of(texts).values()]
    ['35 x 52 x 7', '35 x 52 x 7', '30206']
    """
    given = list(dict.fromkeys(asked))
    # Read in one order whatever the order of the lines, so that a size has the same name always.
    once = sorted(given)
    known = Canonical()
    found = {one: _read(one, known, unit) for one in once}
    numbers = [one for one in once if found[one].note]
    if source is not None and numbers:
        led = Numbers([Want(0, text, part_number=text) for text, _ in numbers])
        led.search(source)
        for text, what in numbers:
            lines, bare = led.of_number(text)
            if lines:
                found[text, what] = _of_number(text, lines, bare, known)
    # What is no size is told apart by its letters, not by capitals.
    first: dict[str, str] = {}
    named = {one: _one_name(found[one], first) for one in once}
    return {one: named[one] for one in given}


def _one_name(named: Named, first: dict[str, str]) -> Named:
    return replace(named, key=first.setdefault(named.key.casefold(), named.key))


class Canonical:
    """Sizes that are one and the same by their dimensions, the listed ones first."""

    def __init__(self) -> None:
        self._near: dict[tuple[object, ...], list[SizeKey]] = {}
        for size in _listed_seals(shop_folder()):
            self._add(size)

    def _add(self, size: SizeKey) -> None:
        self._near.setdefault(_cell(size), []).append(size)

    def of(self, size: SizeKey) -> SizeKey:
        """The first size of the same dimensions within rounding; the size itself where new.

        Parameters
        ----------
        size : SizeKey
            A size with all its dimensions.
        """
        kind, *cell = _cell(size)
        cells = product(*([c - 1, c, c + 1] for c in cell if isinstance(c, int)))
        near = (one for near in cells for one in self._near.get((kind, *near), ()))
        best = min(near, key=lambda one: _off(one, size), default=None)
        if best is not None and _off(best, size) <= SAME_UM:
            return best
        self._add(size)
        return size


def key_of_size(size: SizeKey, known: Canonical) -> str:
    """The one name of a size; empty where it has none.

    Parameters
    ----------
    size : SizeKey
        A size, of a list for example.
    known : Canonical
        The sizes met so far.
    """
    if size.shaft_um is None and not size.designation:
        return ""
    return _of_size(size, known).key


def _lengths(size: SizeKey) -> tuple[int, ...]:
    return tuple(v for v in (size.shaft_um, size.bore_um, size.width_um) if v is not None)


def _cell(size: SizeKey) -> tuple[object, ...]:
    return (size.kind, *(value // (SAME_UM + 1) for value in _lengths(size)))


def _off(one: SizeKey, other: SizeKey) -> int:
    return max(abs(a - b) for a, b in zip(_lengths(one), _lengths(other), strict=True))


@cache
def _listed_seals(_shop: str) -> tuple[SizeKey, ...]:
    return tuple(_listed(SEAL, size) for size in seal_sizes())


def _listed(kind: str, size: Size) -> SizeKey:
    shaft, bore, width = (None if v is None else round(v[0] * UM_PER_MM) for v in size.nominals[:3])
    return SizeKey(kind, shaft, bore, width, size.system, size.details.get("designation"))


@cache
def _listed_sleeves(_shop: str) -> dict[str, tuple[str, SizeKey]]:
    found = {}
    for sleeve in sleeves():
        size = SizeKey(
            SLEEVE,
            round(sleeve.shaft_mm * UM_PER_MM),
            None,
            round(sleeve.width_mm * UM_PER_MM),
            "metric",
            sleeve.designation,
        )
        found[compact(sleeve.designation)] = sleeve.designation, size
    return found


@cache
def _listed_bearings(_shop: str) -> tuple[SizeKey, ...]:
    return tuple(_listed(BEARING, size) for size in bearing_sizes())


def _read(asked: Asked, known: Canonical, unit: str) -> Named:
    text, said = asked
    what = _WHAT.get(said.lower(), OTHER)
    if "?" in text:
        return Named(refused="a mark with ? for what can't be read names no one part")
    if what in (SLEEVE, ""):
        word = compact(text)
        sleeve = _listed_sleeves(shop_folder()).get(word) or (
            _listed_sleeves(shop_folder()).get(f"SLEEVE{word}") if what else None
        )
        if sleeve is not None:
            return Named(sleeve[0], SLEEVE, sleeve[1])
    if what == OTHER:
        part = find_part(plain_text(f"{said} {text}"))
        if part is not None:
            return _of_family(part.name)
        if (ball := _bare_ball(text)) is not None:
            return ball
        return Named(" ".join(f"{said} {text}".split()), OTHER, SizeKey(OTHER))
    words = text if not what or what in text.lower() else f"{what} {text}"
    meaning = describe_text(words, unit)
    sizes = tuple(dict.fromkeys(size_key(fields) for fields in meaning.readings))
    whole = [size for size in sizes if size.designation or size.shaft_um is not None]
    # Bearings that have the dimensions are looked for below, all that are listed.
    bare = [size for size in whole if not size.designation]
    if bare and all(_lengths(size) == _lengths(bare[0]) for size in whole):
        whole = bare[:1] if len({size.kind for size in whole}) == 1 else whole
    if len(whole) > 1:
        ways = " or as ".join(size_text(size) for size in whole)
        return Named(refused=f"this can be read as {ways}: write the one that is meant")
    if not whole:
        if what in (BEARING, "") and (ball := _bare_ball(text)) is not None:
            return ball
        return _unknown(text, what or (sizes[0].kind if sizes else None))
    size = whole[0]
    if what and size.kind and size.kind != what:
        if size.kind == OTHER and what == BEARING and _is_rolling(size.designation or ""):
            return _of_size(size, known)
        kind = f"a {size.kind}" if size.kind != OTHER else size.designation or "another part"
        return Named(refused=f"this is the size of {kind}, and the line says {what}")
    return _of_size(size, known)


def _is_rolling(name: str) -> bool:
    part = named_part(name)
    return part is not None and part.family in _ROLLING


def _bare_ball(text: str) -> Named | None:
    """The ball bearing whose designation stands alone, without a word or a suffix; or None."""
    word = text.strip()
    if not (word.isascii() and word.isdigit() and len(word) in _BALL_FIGURES):
        return None
    name = part_name("ball", word)
    part = named_part(name)
    if part is None or part.size is None:
        return None
    return replace(_of_family(name), note=f"{word}: a designation alone, taken as {name}")


def execution_notes(names: Mapping[Asked, Named]) -> tuple[str, ...]:
    """Which rolling bearings are asked for in several executions, which are one demand here.

    Parameters
    ----------
    names : mapping
        What each text and kind names.

    Examples
    --------
    >>> execution_notes(names_of([("6205", ""), ("6205-2RS", ""), ("6305", "")]))[0][:46]
    'deep-groove ball bearing 6205 (6205, 6205-2RS)'
    """
    written: dict[str, dict[str, str]] = {}
    for (text, _), named in names.items():
        if named.what == OTHER and named.size.designation and _is_rolling(named.key):
            label = compact(named.key.rpartition(" ")[2])
            _, found, after = compact(text).partition(label)
            if found:
                written.setdefault(named.key, {}).setdefault(after, " ".join(text.split()))
    return tuple(
        f"{key} ({', '.join(sorted(some.values()))}): several executions are taken as one demand"
        for key, some in sorted(written.items())
        if len(some) > 1
    )


def _unknown(text: str, what: str | None) -> Named:
    return Named(
        " ".join(text.split()),
        what or OTHER,
        SizeKey(what or OTHER),
        note=f"{text}: no size and no part number of a stored list; counted as a part of its own",
    )


def _of_size(size: SizeKey, known: Canonical) -> Named:
    """A part by its size: under its designation, its listed size, or its dimensions."""
    if size.kind == OTHER and size.designation:
        return _of_family(size.designation)
    if size.designation:
        listed = listed_bearing(size)
        return Named(size.designation, BEARING, listed._replace(kind=BEARING))
    if size.kind == BEARING and len(_lengths(size)) == 3:
        alike = [
            one
            for one in _listed_bearings(shop_folder())
            if len(_lengths(one)) == 3 and _off(one, size) <= SAME_UM
        ]
        if len(alike) > 1:
            ways = ", ".join(str(one.designation) for one in alike)
            return Named(refused=f"these dimensions are those of {ways}: write which")
        if alike:
            return Named(str(alike[0].designation), BEARING, alike[0])
    if size.kind == SLEEVE and size.bore_um is None and len(_lengths(size)) == 2:
        return _of_sleeve(size, known)
    if len(_lengths(size)) < 3:
        name = size_text(size)
        return Named(
            name,
            size.kind or OTHER,
            size,
            note=f"{name}: a dimension is missing; counted as a part of its own",
        )
    same = known.of(size)
    return Named(size_text(same), same.kind or OTHER, same)


def _of_family(name: str) -> Named:
    """A part of a described family, under its name there."""
    return Named(name, OTHER, SizeKey(OTHER, designation=name))


def _of_sleeve(size: SizeKey, known: Canonical) -> Named:
    """A sleeve by its shaft and width: a listed one, or one of these dimensions."""
    bare = size._replace(bore_um=None, designation=None)
    listed = [
        one
        for _, one in _listed_sleeves(shop_folder()).values()
        if len(_lengths(one)) == 2 and _off(one, bare) <= SAME_UM
    ]
    if len(listed) > 1:
        ways = ", ".join(str(one.designation) for one in listed)
        return Named(refused=f"these dimensions are those of {ways}: write which")
    if listed:
        return Named(str(listed[0].designation), SLEEVE, listed[0])
    same = known.of(bare)
    lengths = " x ".join(mm_text(value) for value in _lengths(same))
    return Named(f"sleeve {lengths}", SLEEVE, same)


def _of_number(text: str, lines: list[Found], bare: bool, known: Canonical) -> Named:
    """A part by the part number of a list."""
    by_list = {
        found.list: _of_size(found.size, known)
        for found in lines
        if found.size.designation or found.size.shaft_um is not None
    }
    keys = sorted({named.key for named in by_list.values() if not named.refused})
    if len(keys) > 1:
        ways = "; ".join(f"{name}: {named.key}" for name, named in sorted(by_list.items()))
        return Named(refused=f"this part number names several sizes ({ways}): write the size")
    if not keys:
        kind = lines[0].size.kind or OTHER
        note = f"{text}: a part number of {lines[0].list} whose size is not known"
        return Named(lines[0].number, kind, SizeKey(kind), note=note)
    named = next(named for named in by_list.values() if named.key == keys[0])
    if bare:
        number = lines[0].number
        note = f"{text}: taken as {number} of {lines[0].list}, leading zeros left out"
        return Named(named.key, named.what, named.size, note=note)
    return named
