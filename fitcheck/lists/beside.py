"""What stands beside a number in a text and tells that something else is meant.

    instead of 30206     cup of 30206     puller for 30206 taper bearing     replaces 38x52x7

The words are in the tables ``lists/denial_words`` and ``lists/beside_words``.
"""

from __future__ import annotations

import re
from functools import cache

from fitcheck.lists.words import attribute_words, beside_words, count_words, denials
from fitcheck.tables import shop_folder

_TOKEN = re.compile(r"[0-9][\w.,]*|[^\W_]+")
# A denial this many words before a number, words for the part left out, goes for the number.
_REACH = 3


def said_beside(before: str, after: str, *, ring: bool = False) -> str:
    """Why a designation is not what a text is about; empty where nothing says so.

    Parameters
    ----------
    before : str
        What stands before the designation, in capitals.
    after : str
        What stands behind it.
    ring : bool
        Whether it names one ring itself, so that a word for that ring is no surprise.

    Examples
    --------
    >>> said_beside("INSTEAD OF ", " USE ANOTHER"), said_beside("TAPER BEARING ", "")
    ('stands behind INSTEAD', '')
    >>> said_beside("CUP OF ", ""), said_beside("CONE AND CUP ", "")
    ('only the cup is named', '')
    """
    if not before and not after:
        return ""
    words, behind = _TOKEN.findall(before), _TOKEN.findall(after)
    reason = denied_by(words, behind)
    if reason:
        return reason
    halves = _halves(shop_folder())
    joined = " ".join((*words, "", *behind))
    named = {halves[match[1]] for match in _half_pattern(shop_folder()).finditer(joined)}
    if len(named) == 1 and not ring:
        return f"only the {named.pop()} is named"
    part = _part_words(shop_folder())
    while words and words[-1] in part:
        words.pop()
    if words and beside_words().get(words[-1]) == "for" and not _counted(words[:-1]):
        return f"stands behind {words[-1]}"
    return ""


def denied_by(words: list[str], behind: list[str]) -> str:
    """What denies a number between words, in words; empty where nothing does.

    Parameters
    ----------
    words : list of str
        The words before the number, in capitals.
    behind : list of str
        The words behind it.
    """
    means = denials()
    part = _part_words(shop_folder())
    near = [word for word in words if word not in part][-_REACH:]
    for word in near:
        if means.get(word) in ("denies", "instead"):
            return f"stands behind {word}"
    for word in behind[:2]:
        if means.get(word) == "behind":
            return f"{word} stands behind it"
    return ""


def denied_before(before: str) -> str:
    """What denies a size, in words, by what stands before it; empty where nothing does.

    >>> denied_before("OIL SEAL FOR SHAFT 35 REPLACES "), denied_before("OIL SEAL NO ")
    ('stands behind REPLACES', '')
    """
    return denied_by(_TOKEN.findall(before), [])


def _counted(words: list[str]) -> bool:
    """Whether a number or a word for pieces comes before OF: 2 of 30206, a set of 30206."""
    return bool(words) and (words[-1][0].isdigit() or words[-1] in count_words())


@cache
def _part_words(_shop: str) -> frozenset[str]:
    """Words that only say that a bearing is one."""
    phrases = (phrase for phrase, told in attribute_words().items() if told == {"kind": "bearing"})
    return frozenset(word for phrase in phrases for word in phrase.split()) - _halves(_shop).keys()


@cache
def _halves(_shop: str) -> dict[str, str]:
    return {word: means for word, means in beside_words().items() if means in ("cone", "cup")}


@cache
def _half_pattern(shop: str) -> re.Pattern[str]:
    return re.compile(r"(?<![\w])(" + "|".join(map(re.escape, _halves(shop))) + r")(?![\w])")
