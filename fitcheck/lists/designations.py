"""Bearing designations in a text: listed ones only, pairs of cone and cup, and their shorthand."""

from __future__ import annotations

import re
from functools import cache

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
    """A designation as listed, and what was noticed: (outcome, text, reason)."""

    designation: str | None = None
    notes: tuple[tuple[str, str, str], ...] = ()


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

    Examples
    --------
    >>> find_designation("LM11949/10", bearing=True).designation
    'LM11949/LM11910'
    >>> find_designation("TAPER 32006X", bearing=True).designation
    '32006 X'
    """
    listed = _listed(shop_folder())
    notes: list[tuple[str, str, str]] = []
    single = None
    for match in _TOKEN.finditer(text):
        first, second = compact(match[1]), compact(match[2] or "")
        written = match[0].strip()
        if second:
            found = _pair(listed, first, second, written)
            if found.designation:
                return found
            notes += found.notes if bearing else ()
        for one in (f"{first}/{second}", "" if second else first):
            if one in listed.whole:
                return Found(listed.whole[one])
        if not bearing:
            continue
        if first in listed.rings and not second:
            single = single or listed.rings[first]
        elif not second:
            notes += _resembling(listed, first, written)
    # Two rings named apart (CONE LM11949 CUP LM11910) are a pair where they are listed as one.
    if bearing:
        names = [compact(m[1]) for m in _TOKEN.finditer(text) if compact(m[1]) in listed.rings]
        if len(names) == 2:
            label = listed.pairs.get((names[0], names[1])) or listed.pairs.get((names[1], names[0]))
            if label:
                return Found(label)
    if single is None and not notes:
        return NONE_FOUND
    return Found(single, tuple(notes) if single is None else ())


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


def _resembling(listed: _Listed, name: str, written: str) -> tuple[tuple[str, str, str], ...]:
    suffixed = _METRIC_SUFFIX.fullmatch(name)
    if suffixed and suffixed[1] in listed.whole:
        reason = f"{suffixed[1]} with a suffix that is not listed: left in the description only"
        return ((NOTED, written, reason),)
    if "0" + name in listed.rings:
        return ((NOTED, written, f"0{name} is listed: a leading zero may be lost"),)
    return ()


def read_designation(text: str) -> Found:
    """The designation in a column of its own: as listed, else as it is written."""
    cell = text.strip().upper()
    found = find_designation(cell, bearing=True)
    if found.designation:
        return found
    return Found(" ".join(text.split()) or None, found.notes)


def listed_size_um(designation: str) -> tuple[int, int, int] | None:
    """Bore, outside diameter and width of a listed bearing in micrometres, where all are given."""
    return _sizes(shop_folder()).get(designation)


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
