"""What a wanted text leaves open: sizes with OR between them, and numbers that nobody read.

35x52x7 or 35x52x10     35-52-7 or 10     30206 oder 32206     35x52x7 10
"""

from __future__ import annotations

import re
from functools import cache

from fitcheck.lists.designations import find_designation
from fitcheck.lists.numbers import read_number
from fitcheck.lists.scan import NUMBER, UNIT, Spot, is_another, size_spot
from fitcheck.lists.words import attribute_words, denials, unit_of
from fitcheck.tables import shop_folder

# More alternatives than this are a list on one line, and no choice.
_MOST_WAYS = 4
_OPENS = re.compile(rf"({NUMBER}{UNIT})(?![\w/]|[.,][0-9])")
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
    sizes: list[str] = []
    rest: list[str] = []
    first: Spot | None = None
    for piece in pieces:
        spot = size_spot(piece)
        width = _OPENS.match(piece) if first and len(first.written.numbers) > 2 else None
        if spot and not spot.doubt:
            first = first or spot
            sizes.append(_crossed(spot))
            rest += [piece[: spot.start], piece[spot.end :]]
        elif not spot and (name := find_designation(piece, bearing=True).designation):
            sizes.append(f"BEARING {name}")
        elif first and width and not spot:
            # A width alone: the shaft and the bore before it stand for both.
            sizes.append(_crossed(first, width=width[1]))
            rest.append(piece[width.end() :])
        else:
            return ()
    words = " ".join(" ".join(rest).split())
    return tuple(size if size[0] == "B" else f"{words} {size}".strip() for size in sizes)


def _crossed(spot: Spot, width: str = "") -> str:
    """A size as a list writes it, or one with another width: 35X52X7, 35 MM X 52 MM X 10 MM."""
    written = spot.written
    pairs = zip(written.numbers, written.units, strict=True)
    numbers = [f"{number} {unit.upper()}".strip() for number, unit in pairs]
    numbers = [*numbers[:2], width] if width else numbers
    size = (" X " if any(written.units) else "X").join(numbers)
    return f"{size}/{written.second_width}" if written.second_width and not width else size


def unresolved_choice(text: str) -> bool:
    """Whether a text has OR between figures.

    Parameters
    ----------
    text : str
        The text as :func:`fitcheck.lists.scan.plain_text` gave it.

    Examples
    --------
    >>> unresolved_choice("35 OR 36 X 52 X 7"), unresolved_choice("SEAL 35X52X7 NBR OR FKM")
    (True, False)
    """
    pieces = _or_pattern(shop_folder()).split(text)
    return sum(any(c.isdigit() for c in piece) for piece in pieces) > 1


@cache
def _or_pattern(_shop: str) -> re.Pattern[str]:
    words = "|".join(re.escape(word) for word, means in denials().items() if means == "or")
    return re.compile(rf"[\s(]+(?:[^\W\d_]+/)?(?:{words})\s+")


def another_size(text: str) -> str:
    """A second size that a text names beside the one that is read; empty where there is none.

    Parameters
    ----------
    text : str
        The text as :func:`fitcheck.lists.scan.plain_text` gave it.

    Examples
    --------
    >>> another_size("35-52-10 / 35X52X7"), another_size("35X52X7 SHAFT 35 BORE 52")
    ('35-52-10', '')
    """
    spot = size_spot(text)
    other = size_spot(f"{text[: spot.start]} ; {text[spot.end :]}") if spot else None
    if spot is None or other is None:
        return ""
    return other.text if is_another(other.written.numbers, spot.written.numbers) else ""


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
