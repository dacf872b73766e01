"""How well a marking, as far as it can be read, agrees with a designation.

``?`` stands for one character that can't be made out. Worn stampings confuse certain characters,
lose their ends and gather strokes; an alignment of the two texts weighs all of it. Spaces,
strokes and hyphens don't count, leading zeros do.
"""

from __future__ import annotations

import re
from functools import lru_cache

from fitcheck.errors import InputError

MAX_MARK = 40
# Compiled when the first mark is read: most look-ups read none.
_BETWEEN = r"(?<=[\d?])\s*[xX×*]\s*(?=[\d?.])"

# Characters that a worn stamping makes alike: common practice, no source.
_ALIKE = ("0ODQ", "1I7L", "5S", "68B", "2Z", "3B8", "4A", "CG", "UV", "MN")
_CONFUSED = {
    a: {b for group in _ALIKE if a in group for b in group if b != a}
    for a in {c for group in _ALIKE for c in group}
}
_SAME, _ALIKE_SHARE, _OTHER = 0.94, 0.03, 0.0008
_LOST, _EXTRA = 0.004, 0.0008
# Ends wear first and carry suffixes: one character lost or added there is common.
_END_LOST, _END_EXTRA = 0.06, 0.03
# Characters in use on parts: digits and the letters of designations.
_ALPHABET = 24


def compact(text: str) -> str:
    """A marking or designation as it is compared: capitals, without spaces, strokes or hyphens.

    >>> compact("LM 11949/lm11910"), compact("320/28 X")
    ('LM11949LM11910', '32028X')
    """
    return "".join(c for c in text.upper() if c.isascii() and (c.isalnum() or c == "?"))


def checked(text: str) -> str:
    """A marking as compared; refused when nothing on it can be read.

    Raises
    ------
    InputError
        The marking is empty, too long, or holds no readable character.
    """
    found = compact(text)
    if not found.strip("?"):
        raise InputError(
            value=text or "(empty)",
            rule="a mark needs at least one readable character",
            todo="Write ? for each character that can't be read, or leave the mark out",
        )
    if len(found) > MAX_MARK:
        raise InputError(
            value=text[:MAX_MARK] + "...",
            rule=f"a mark is at most {MAX_MARK} characters long",
            todo="Give the number stamped on the part only",
        )
    return found


def checked_size(text: str) -> str:
    """The marking of a size, as compared: what parts its dimensions is no character of it.

    >>> checked_size("35X52x7"), checked_size("35 5? 7")
    ('35527', '355?7')
    """
    return checked(re.sub(_BETWEEN, " ", text))


@lru_cache(maxsize=65536)
def mark_probability(read: str, true: str) -> float:
    """Probability of reading a marking off a part with a given designation.

    Parameters
    ----------
    read, true : str
        The marking and the designation, both as :func:`compact` gives them.

    Notes
    -----
    The sum over all alignments of the two texts, by dynamic programming; each unreadable
    character counts the same for every designation.
    """
    rows, columns = len(read), len(true)
    before = [0.0] * (columns + 1)
    before[0] = 1.0
    for j in range(1, columns + 1):
        before[j] = before[j - 1] * _END_LOST
    for i in range(1, rows + 1):
        here = [before[0] * _END_EXTRA / _ALPHABET]
        seen = read[i - 1]
        for j in range(1, columns + 1):
            at_end = i == rows or j == columns
            lost = _END_LOST if i == rows else _LOST
            extra = (_END_EXTRA if j == columns else _EXTRA) / _ALPHABET
            here.append(
                before[j - 1] * _character(seen, true[j - 1])
                + here[j - 1] * (lost if at_end else _LOST)
                + before[j] * extra
            )
        before = here
    return before[columns]


def _character(seen: str, true: str) -> float:
    if seen in ("?", true):
        return _SAME
    alike = _CONFUSED.get(true)
    if alike and seen in alike:
        return _ALIKE_SHARE / len(alike)
    return _OTHER


def random_probability(read: str) -> float:
    """Probability of a marking off a part whose designation is not listed at all."""
    readable = sum(1 for c in read if c != "?")
    return float(0.9 * _SAME ** len(read) / _ALPHABET**readable)
