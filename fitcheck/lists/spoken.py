"""Sizes as people say them: "oil seal for 35 shaft 52 bore", the number before its word.

A supplier's list writes the word first (SHAFT 35 BORE 52), and a list's text is read so. What is
said at a counter stands either way, so numbers and words are paired as they come, left to right.
"""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from fitcheck.lists.scan import NUMBER, UNIT, plain_text, size_spot
from fitcheck.lists.words import attribute_words, size_words
from fitcheck.tables import shop_folder

# Shorter words after a number are more often something else: 35 B, 12 V.
_SHORTEST = 3
_SHORT = frozenset({"ID", "OD"})
# In front of its number a size stands as it is read from lists.
_ORDER = ("shaft", "bore", "width")


class Spoken(NamedTuple):
    """A text with its numbers behind their words, and what is open about it."""

    text: str
    questions: tuple[str, ...] = ()


def spoken_size(text: str) -> Spoken | None:
    """A text as a list would write it; None where numbers and words make no size.

    Parameters
    ----------
    text : str
        A wanted line.

    Returns
    -------
    Spoken or None
        With an empty text where something is said, but no size: the questions tell what is
        missing.

    Examples
    --------
    >>> spoken_size("oil seal for 35 shaft 52 bore double lip").text
    'OIL SEAL FOR DOUBLE LIP SHAFT 35 BORE 52'
    """
    plain = plain_text(text)
    spot = size_spot(plain)
    if spot is not None:
        # A word before each number: read as it stands, if nothing but a word for a seal is missing.
        return None if spot.loose or not spot.text[0].isalpha() else Spoken(plain)
    words = size_words()
    found: dict[str, str] = {}
    numbers: list[str] = []
    label = number = ""
    kept: list[str] = []
    last = 0
    for match in _pieces(shop_folder()).finditer(plain):
        kept.append(plain[last : match.start()])
        last = match.end()
        if match["label"]:
            label = label or match["label"]
        else:
            if number:
                numbers.append(number)
            number = match["number"].strip()
        if label and number:
            place = words[label]
            if place in found:
                return None
            found[place] = f"{label} {number}"
            label = number = ""
    if number:
        numbers.append(number)
    kept.append(plain[last:])
    if not found:
        return None
    missing = [place for place in _ORDER[:2] if place not in found]
    if missing:
        said = " and ".join(found)
        return Spoken("", (f"only the {said} is said: a size needs shaft and bore",))
    rest = " ".join(" ".join((*kept, *numbers)).split())
    size = " ".join(found[place] for place in _ORDER if place in found)
    spare = (f"{', '.join(numbers)}: no word says what it measures; not read",) if numbers else ()
    return Spoken(f"{rest} {size}".strip(), spare)


@cache
def _pieces(_shop: str) -> re.Pattern[str]:
    names = "|".join(
        re.escape(word)
        for word in sorted(size_words(), key=lambda word: (-len(word), word))
        if (len(word) >= _SHORTEST and not word[-1].isdigit()) or word in _SHORT
    )
    # 2 LIP is a word of two, and no size.
    counted = "|".join(re.escape(word) for word in attribute_words() if word[0].isdigit()) or "(?!)"
    return re.compile(
        rf"(?<![^\W_])(?P<label>{names})(?![^\W_])[ .:=]*"
        rf"|(?<![\w./-])(?!(?:{counted})(?![^\W_]))"
        rf"(?P<number>{NUMBER}{UNIT})(?![\w/]|[.,][0-9])[ ,]*"
    )
