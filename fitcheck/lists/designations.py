"""Bearing designations in a text: listed ones only, pairs of cone and cup, and their shorthand."""

from __future__ import annotations

import re
from functools import cache

from fitcheck.lists.beside import said_beside
from fitcheck.lists.sizes import NOTED, REPAIRED
from fitcheck.marks import compact
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

# Letters and figures with at least three figures; a pair has a stroke or a hyphen between.
_TOKEN = re.compile(
    r"(?<![\w.,/-])([A-Z]{0,4}[0-9]{3,6}(?: ?[A-Z]{1,2}[0-9]?)?(?![\w.,]))"
    r"(?:\s?[/-]\s?([A-Z]{0,4}[0-9]{2,6}[A-Z]{0,2})(?![\w.,]))?"
)
_METRIC_SUFFIX = re.compile(r"([0-9]{5})[A-Z0-9-]{1,6}")


@dataclass(frozen=True, slots=True)
class Found:
    """A designation as listed, and what was noticed: (outcome, text, reason).

    ``suffixed`` is the designation as written where it has a suffix that is not listed.
    """

    designation: str | None = None
    notes: tuple[tuple[str, str, str], ...] = ()
    suffixed: str = ""


NONE_FOUND = Found()


@dataclass(frozen=True, slots=True)
class _Listed:
    whole: dict[str, str]
    pairs: dict[tuple[str, str], str]
    rings: dict[str, str]


@cache
def _listed(_shop: str) -> _Listed:
    whole: dict[str, str] = {}
    pairs: dict[tuple[str, str], str] = {}
    rings: dict[str, str] = {}
    for size in bearing_sizes():
        cone, cup = size.details["cone"], size.details["cup"]
        if cone == cup:
            whole[_stroked(cone)] = size.label
        else:
            pairs[compact(cone), compact(cup)] = size.label
            rings[compact(cone)] = cone
            rings[compact(cup)] = cup
    return _Listed(whole, pairs, rings)


def _stroked(text: str) -> str:
    """A designation as compared, with its stroke: 302/22 is not 30222."""
    return "/".join(compact(part) for part in text.split("/"))


def find_designation(text: str, *, bearing: bool) -> Found:
    """The listed bearing designation in a text.

    Parameters
    ----------
    text : str
        The text, in capitals.
    bearing : bool
        Whether something else says that this is a bearing: only then a cone or a cup by itself
        counts, and what resembles a listed designation is noted.

    Notes
    -----
    Where two designations are named, or words tell that something else than the bearing is meant
    (not, instead of, a half of it, a part for it), none is taken, and it is noted why.

    Examples
    --------
    >>> find_designation("LM11949/10", bearing=True).designation
    'LM11949/LM11910'
    >>> find_designation("TAPER 32006X", bearing=True).designation
    '32006 X'
    """
    listed = _listed(shop_folder())
    notes: list[tuple[str, str, str]] = []
    hits: dict[str, tuple[Found, re.Match[str]]] = {}
    named: dict[str, str] = {}
    suffixed: dict[str, re.Match[str]] = {}
    single = None
    for match in _TOKEN.finditer(text):
        first, second = compact(match[1]), compact(match[2] or "")
        written = match[0].strip()
        if second:
            found = _pair(listed, first, second, written)
            if found.designation:
                hits.setdefault(found.designation, (found, match))
                continue
            notes += found.notes if bearing else ()
        whole = _whole(listed, first, second)
        for one in whole:
            hits.setdefault(one, (Found(one), match))
        if whole:
            continue
        if not second:
            _name_others(listed, match[1], named)
        if not bearing:
            continue
        if first in listed.rings and not second:
            single = single or (listed.rings[first], match)
        elif not second:
            notes += _resembling(listed, first, written)
            if bare := _without_suffix(listed, first):
                suffixed.setdefault(bare, match)
    if hits:
        return _one_of(text, hits, named)
    # Two rings named apart (CONE LM11949 CUP LM11910) are a pair where they are listed as one.
    if bearing:
        names = [compact(m[1]) for m in _TOKEN.finditer(text) if compact(m[1]) in listed.rings]
        if len(names) == 2:
            label = listed.pairs.get((names[0], names[1])) or listed.pairs.get((names[1], names[0]))
            if label:
                return Found(label)
            if mixed := mixed_pair(text):
                return Found(None, ((REPAIRED, ", ".join(names), mixed),))
    if single is not None:
        return _unless_beside(text, Found(single[0]), single[1], ring=True)
    if suffixed:
        bare, match = suffixed.popitem()
        if suffixed:
            return Found(None, tuple(notes))
        reason = f"{bare} with a suffix that is not listed: taken as {bare}, look what it says"
        written = match[0].strip()
        return _unless_beside(text, Found(bare, ((NOTED, written, reason),), written), match)
    return Found(None, tuple(notes)) if notes else NONE_FOUND


def _whole(listed: _Listed, first: str, second: str) -> list[str]:
    """The listed designations that a text names whole: 320/28, or two with a stroke between."""
    together = listed.whole.get(f"{first}/{second}") if second else listed.whole.get(first)
    if together:
        return [together]
    both = [listed.whole[one] for one in (first, second) if one in listed.whole]
    return both if len(both) == 2 else []


def _name_others(listed: _Listed, written: str, named: dict[str, str]) -> None:
    """Note a ring, or a designation with something behind it, that stands beside others."""
    name = compact(written)
    head = compact(written.split(" ", maxsplit=1)[0])
    suffixed = _METRIC_SUFFIX.fullmatch(name)
    for one in (name, head, suffixed[1] if suffixed else ""):
        label = listed.rings.get(one) or listed.whole.get(one)
        if label:
            named[label] = one
            return


def _one_of(
    text: str, hits: dict[str, tuple[Found, re.Match[str]]], named: dict[str, str]
) -> Found:
    """The one designation of a text, unless it names two or something beside it denies it."""
    label, (found, match) = next(iter(hits.items()))
    pieces = {compact(piece) for piece in label.split("/")}
    others = [other for other, one in named.items() if other not in hits and one not in pieces]
    if len(hits) + len(others) > 1:
        both = ", ".join((*hits, *others))
        return Found(None, ((REPAIRED, both, "several designations are named: none is taken"),))
    return _unless_beside(text, found, match)


def _unless_beside(text: str, found: Found, match: re.Match[str], *, ring: bool = False) -> Found:
    reason = said_beside(text[: match.start()], text[match.end() :], ring=ring)
    if not reason:
        return found
    return Found(None, ((REPAIRED, match[0].strip(), f"{reason}: not taken"),))


def _pair(listed: _Listed, cone: str, cup: str, written: str) -> Found:
    """A cone and a cup: as listed, the cup in shorthand, or with zeros that were lost."""
    label = listed.pairs.get((cone, cup))
    if label:
        return Found(label)
    ends = {cone[: len(cone) - len(cup)] + cup} if len(cup) < len(cone) else set()
    prefix = cone.rstrip("0123456789")
    ends.add(prefix + cup)
    full = {label for end in ends if (label := listed.pairs.get((cone, end)))}
    if len(full) == 1:
        label = full.pop()
        return Found(label, ((REPAIRED, written, f"the short form of {label}, which is listed"),))
    label = listed.pairs.get(("0" + cone, "0" + cup))
    if label:
        return Found(
            label, ((REPAIRED, written, f"its leading zeros are lost: {label} is listed"),)
        )
    if cone in listed.rings:
        reason = "this cone and cup are not listed as a pair: left in the description only"
        return Found(None, ((NOTED, written, reason),))
    return NONE_FOUND


def _without_suffix(listed: _Listed, name: str) -> str:
    """The listed designation before a suffix that is not listed; an X tells other dimensions."""
    suffixed = _METRIC_SUFFIX.fullmatch(name)
    if suffixed is None or name[len(suffixed[1])] == "X":
        return ""
    return listed.whole.get(suffixed[1], "")


def _resembling(listed: _Listed, name: str, written: str) -> tuple[tuple[str, str, str], ...]:
    if label := _without_suffix(listed, name):
        reason = f"{label} with a suffix that is not listed: left in the description only"
        return ((NOTED, written, reason),)
    if f"{name}X" in listed.whole:
        label = listed.whole[f"{name}X"]
        return ((NOTED, written, f"{label} is listed: the X may be left out"),)
    if "0" + name in listed.rings:
        return ((NOTED, written, f"0{name} is listed: a leading zero may be lost"),)
    return ()


def read_designation(text: str) -> Found:
    """The designation in a column of its own: as listed, else as it is written."""
    cell = text.strip().upper()
    found = find_designation(cell, bearing=True)
    if found.suffixed:
        reason = f"{found.designation} with a suffix that is not listed: kept as it is written"
        return Found(" ".join(text.split()), ((NOTED, found.suffixed, reason),))
    if found.designation or any(note[0] == REPAIRED for note in found.notes):
        return found
    return Found(" ".join(text.split()) or None, found.notes)


def listed_size_um(designation: str) -> tuple[int, int, int] | None:
    """Bore, outside diameter and width of a listed bearing in micrometres, where all are given."""
    return _sizes(shop_folder()).get(designation)


def without_x(text: str) -> str:
    """The listed designation of which a text leaves out the X; empty where there is none.

    >>> without_x("BEARING 32010"), without_x("BEARING 32010 X"), without_x("BEARING 30206")
    ('32010 X', '', '')
    """
    whole = _listed(shop_folder()).whole
    return next(
        (
            whole[f"{one}X"]
            for match in _TOKEN.finditer(text)
            if not match[2] and (one := match[1]).isdecimal() and f"{one}X" in whole
        ),
        "",
    )


def mixed_pair(text: str) -> str:
    """Why a cone and a cup that a text names are no pair, and what each goes with; else empty.

    Parameters
    ----------
    text : str
        The text, in capitals.

    Examples
    --------
    >>> mixed_pair("BEARING 15123/14276").split("; ")[0]
    'cone 15123 and cup 14276 do not belong together: cone 15123 runs in cup 15245'
    >>> mixed_pair("BEARING 15123/15245")
    ''
    """
    listed = _listed(shop_folder())
    names = [compact(one) for m in _TOKEN.finditer(text) for one in (m[1], m[2]) if one]
    rings = list(dict.fromkeys(name for name in names if name in listed.rings))
    if len(rings) != 2:
        return ""
    for cone, cup in (rings, rings[::-1]):
        cups = [listed.rings[other] for one, other in listed.pairs if one == cone]
        cones = [listed.rings[one] for one, other in listed.pairs if other == cup]
        if cups and cones and (cone, cup) not in listed.pairs:
            return (
                f"cone {listed.rings[cone]} and cup {listed.rings[cup]} do not belong together: "
                f"cone {listed.rings[cone]} runs in cup {' or '.join(sorted(cups))}; cup "
                f"{listed.rings[cup]} takes cone {' or '.join(sorted(cones))}"
            )
    return ""


def rounded_bearings(shaft: int, bore: int, width: int) -> dict[str, tuple[int, int, int]]:
    """Listed bearings whose sizes, rounded to the written digits, are those given [um].

    >>> list(rounded_bearings(25_000, 62_000, 18_300))
    ['30305', '31305']
    >>> list(rounded_bearings(25_000, 52_000, 16_000))
    ['30205']
    """
    written = ((shaft, 1), (bore, 1), (width, 500))
    limits = [_half_digit(value, whole) for value, whole in written]
    found = {}
    for place in range((shaft - 1000) // 1000, (shaft + 1000) // 1000 + 1):
        for label, size in _by_bore(shop_folder()).get(place, ()):
            off = (abs(a - b) for a, b in zip((shaft, bore, width), size, strict=True))
            if all(distance <= limit for distance, limit in zip(off, limits, strict=True)):
                found[label] = size
    return found


def _half_digit(value_um: int, whole_um: int) -> int:
    """Half of the last digit that a length is written with; of a whole one what is given."""
    if value_um % 1000 == 0:
        return whole_um
    return 50 if value_um % 100 == 0 else 5 if value_um % 10 == 0 else 1


@cache
def _by_bore(shop: str) -> dict[int, list[tuple[str, tuple[int, int, int]]]]:
    found: dict[int, list[tuple[str, tuple[int, int, int]]]] = {}
    for label, size in _sizes(shop).items():
        found.setdefault(size[0] // 1000, []).append((label, size))
    return found


@cache
def _sizes(_shop: str) -> dict[str, tuple[int, int, int]]:
    found = {}
    for size in bearing_sizes():
        values = [place[0] for place in size.nominals[:3] if place is not None]
        if len(values) == 3:
            found[size.label] = (
                round(values[0] * 1000),
                round(values[1] * 1000),
                round(values[2] * 1000),
            )
    return found
