"""What a wanted text leaves open: sizes with OR between them, and numbers that nobody read.

35x52x7 or 35x52x10     35x52x7 or 10     30206 oder 32206     35x52x7 10
"""

from __future__ import annotations

import re
from functools import cache

from fitcheck.lists.designations import find_designation
from fitcheck.lists.numbers import read_number
from fitcheck.lists.scan import CROSSED, NUMBER, size_spot
from fitcheck.lists.words import attribute_words, denials, unit_of
from fitcheck.tables import shop_folder

# More alternatives than this are a list on one line, and no choice.
_MOST_WAYS = 4
_OPENS = re.compile(rf"({NUMBER})(?![\w/]|[.,][0-9])")
_PIECE = re.compile(r"[^\s;,()]+(?:,[0-9][^\s;,()]*)?")
_BARE = re.compile(NUMBER)
# A standard's name, and what follows it: DIN 3760, ISO 6194-1.
STANDARDS = frozenset(("DIN", "ISO", "EN", "JIS", "GOST", "GB", "ABMA", "SAE", "RMA", "NO", "NR"))
# A number as long as this is a part number beside the size, and is looked up as one.
PART_NUMBER_FIGURES = 5
HARDNESS = range(40, 96)


def alternatives(text: str) -> tuple[str, ...]:
    """The texts that a text with OR stands for; none where it stands for itself.

    Parameters
    ----------
    text : str
        The text as :func:`fitcheck.lists.scan.plain_text` gave it.

    Examples
    --------
    >>> alternatives("OIL SEAL 35X52X7 OR 35X52X10 NBR")
    ('OIL SEAL NBR 35X52X7', 'OIL SEAL NBR 35X52X10')
    >>> alternatives("35X52X7 OR 10"), alternatives("SEAL FOR OIL OR GREASE 35X52X7")
    (('35X52X7', '35X52X10'), ())
    """
    pieces = _or_pattern(shop_folder()).split(text)
    if not 1 < len(pieces) <= _MOST_WAYS:
        return ()
    found = [CROSSED.search(piece) for piece in pieces]
    first = found[0]
    if first is None:
        named = [find_designation(piece, bearing=True).designation for piece in pieces]
        return tuple(f"BEARING {name}" for name in named) if all(named) else ()
    sizes, rest = [first[0].strip()], [pieces[0][: first.start()], pieces[0][first.end() :]]
    for piece, match in zip(pieces[1:], found[1:], strict=True):
        width = None if match else _OPENS.match(piece)
        if match:
            sizes.append(match[0].strip())
            rest += [piece[: match.start()], piece[match.end() :]]
        elif width and first[5]:
            # A width alone: the shaft and the bore before it stand for both.
            sizes.append(f"{first[0][: first.start(5) - first.start()]}{width[1]}")
            rest.append(piece[width.end() :])
        else:
            return ()
    words = " ".join(" ".join(rest).split())
    return tuple(f"{words} {size}".strip() for size in sizes)


@cache
def _or_pattern(_shop: str) -> re.Pattern[str]:
    words = "|".join(re.escape(word) for word, means in denials().items() if means == "or")
    return re.compile(rf"\s+(?:{words})\s+")


def numbers_beside(text: str) -> tuple[str, ...]:
    """The bare numbers beside the size of a text that no word, unit or standard explains.

    Parameters
    ----------
    text : str
        The text as :func:`fitcheck.lists.scan.plain_text` gave it.

    Examples
    --------
    >>> numbers_beside("35X52X7 10"), numbers_beside("SEAL DIN 3760 35X52X7 NBR 70 2 LIP")
    (('10',), ())
    """
    spot = size_spot(text)
    if spot is None:
        return ()
    pieces = _PIECE.findall(f"{text[: spot.start]} ; {text[spot.end :]}")
    explained = hardness_words(shop_folder())
    found = []
    for place, piece in enumerate(pieces):
        if not _BARE.fullmatch(piece):
            continue
        before = pieces[place - 1] if place else ""
        after = pieces[place + 1] if place + 1 < len(pieces) else ""
        hard = piece.isdecimal() and int(piece) in HARDNESS and {before, after} & explained
        phrase = f"{piece} {after}" in attribute_words() or f"{before} {piece}" in attribute_words()
        if hard or phrase or before.strip(".:-") in STANDARDS or unit_of(after):
            continue
        found.append(piece)
    return tuple(found)


@cache
def hardness_words(_shop: str) -> frozenset[str]:
    """Words that a hardness stands beside: those of materials, and its own."""
    words = (word for word, fields in attribute_words().items() if "material" in fields)
    return frozenset((*words, "SHORE", "SH"))


def two_ways(text: str) -> str:
    """How a number by itself can be read in two ways; empty where it is none or is clear.

    Parameters
    ----------
    text : str
        The text.

    Examples
    --------
    >>> two_ways("1,250"), two_ways("35")
    ('can be read as 1.250 or as 1250', '')
    """
    problem = read_number(text, "").problem
    return problem if problem.startswith("can be read") else ""
