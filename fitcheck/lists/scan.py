"""Where a size stands in a text, and the numbers it is made of.

number = 35 | 34.92 | 34,92 | .313 | 5/16 | 1-3/8 | 1 3/8
size   = number x number [x number]     also with * or "by" between, a unit after any number,
         number/number/number, number-number-number, three numbers with spaces between,
         or numbers with words before them: SHAFT 35 BORE 52 W 7
"""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from fitcheck.lists.sizes import Written, amount, seal_shape, understand_size
from fitcheck.lists.words import size_words
from fitcheck.tables import shop_folder

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SAME = str.maketrans(
    {
        **{sign: " " + fraction for sign, fraction in _VULGAR.items()},
        **dict.fromkeys("−–‐‑—", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("′’‘´", "'"),
        **dict.fromkeys("\u00a0\u2002\u2003\u2007\u2009\u200a\u202f\t\r\n", " "),
        **dict.fromkeys("×✕хХ✖", "X"),
        **dict.fromkeys("øØ⌀∅φΦ", " "),
    }
)

# A fraction whose stroke is followed by another one is three numbers: 25/32/7.
_BROKEN = (
    r"[0-9]+ ?[- ] ?[0-9]+/(?:128|64|32|16|8|4|2)(?![0-9./])"
    r"|[0-9]+/(?:128|64|32|16|8|4|2)(?![0-9./])"
)
NUMBER = rf"(?:{_BROKEN}|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
# The point or comma of a first number may belong to the word before it: SEAL,35X52X7.
_FIRST = rf"(?:{_BROKEN}|[0-9]+(?:[.,][0-9]+)?|(?<![^\W_])\.[0-9]+)"
_P = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_C = r"(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
UNIT = (
    r"(?: ?(MM\b\.?|MILLIMET(?:RE|ER)S?\b|INCHES|INCH|INS?(?![A-Z])\.?|ZOLL\b|POUCES?\b"
    r"|PULGADAS?\b|POLLICI\b|DUIM\b|CALI?\b|\"|''))?"
)
_LETTER = r"(?:(?:OD|ID|DIA|BORE|[DBHWT]) ?[.:=]? ?)?"
_BY = r" ?(?:[X*]|\bBY\b) ?"
_FREE = r"(?<![0-9])(?<![0-9][.,/])"
CROSSED = re.compile(
    rf"{_FREE}(?<!\bM)({_FIRST}){UNIT}{_BY}{_LETTER}({NUMBER}){UNIT}"
    rf"(?:{_BY}{_LETTER}({NUMBER})(?:/({_P})(?![0-9/]))?{UNIT}({_BY}[0-9.]+)?)?(?![0-9])"
)
_ALONE_BEFORE, _ALONE_AFTER = r"(?<![\w./-])(?<![0-9],)", r"(?![\w/-]|[.,][0-9])"
_CHAINED = re.compile(
    rf"{_ALONE_BEFORE}(?:({_C})/({_C})[/X]({_C})|({_FIRST})-({NUMBER})-({NUMBER})|({_C});({_C});({_C})"
    rf"|({_P}),({_P}),({_P})){UNIT}{_ALONE_AFTER}"
)
_SPACED = re.compile(
    rf"{_ALONE_BEFORE}({_FIRST}){UNIT}[ ,;]+({NUMBER}){UNIT}[ ,;]+({NUMBER}){UNIT}"
    r"(?![\w/-]|[.,][0-9]|[ ,;]+[0-9])"
)
_BEFORE_NUMBER = re.compile(r"[0-9][ ,;]+$")
_NUMBER_LAST = re.compile(rf"(?<![\w.]){NUMBER}{UNIT}[ ,;]*$")
_ALMOST = re.compile(r"\S*[0-9] ?[X*×] ?[0-9.,]\S*")
_FIGURES_LAST = re.compile(r"(?<![\w.,/-])([0-9]{1,2}) $")
_MORE = re.compile(r" ?[/*-] ?[0-9.]")
# 35X5ZX7: what was read is a part of what is written.
_TORN_AFTER = re.compile(r"[A-Z]+ ?[X*] ?[0-9]")
_TORN_BEFORE = re.compile(r"(?:^|[^0-9A-Z])([0-9]+[A-Z]* ?[X*] ?[A-Z]*)$")
# A diameter sign behind a stroke: Ø35/Ø52x7.
_STROKE_ROUND = re.compile(r"(?<=[0-9])\s*([/-])\s*[øØ⌀∅φΦ]\s*")
_WHOLE_THEN_FRACTION = re.compile(r"([0-9]+) ([0-9]+/[0-9]+)")
_DIGIT = re.compile("[0-9]")
# A dimension has four figures at most; H715345 is a bearing.
_LONGEST = 4
_ROUND = re.compile(r"[øØ⌀∅φΦ]\s*[0-9.,]")
_PIECES = re.compile(r" ?(?:PCS|PC|PIECES|PIECE|STK|ST|EA|OFF|PZ|SZT)\b")


class Spot(NamedTuple):
    """A size in a text: where it stands and what is written there.

    ``alone`` tells that the text is nothing else, ``loose`` that nothing but spaces or signs
    between the numbers shows that they are a size.
    """

    written: Written
    text: str
    start: int
    end: int
    alone: bool
    loose: bool = False
    doubt: str = ""


def plain_text(text: str) -> str:
    """A text in capitals and plain characters: × is X, ⅜ is 3/8, Ø is left out.

    >>> plain_text("Ø35×52×7 1⅜")
    '35X52X7 1 3/8'
    """
    if not text.isascii() or "\t" in text or "\n" in text or "\r" in text:
        text = _STROKE_ROUND.sub(r"\1", text).translate(_SAME)
    text = text.upper().strip()
    return " ".join(text.split()) if "  " in text else text


def size_spot(text: str) -> Spot | None:
    """The size in a text that :func:`plain_text` gave, or None.

    >>> size_spot("SEAL,1-3/8 X 2 1/8 X .313").written.numbers
    ('1-3/8', '2 1/8', '.313')
    >>> size_spot("SHAFT 35 BORE 52 W 7").written.numbers
    ('35', '52', '7')
    """
    match = CROSSED.search(text)
    if not match:
        return other_spot(text)
    start, end = match.span()
    spot = crossed_spot(match)
    doubt = spot.doubt or doubt_after(spot.written, text[end:])
    alone = not text[:start].strip() and not text[end:].strip()
    return spot._replace(start=start, end=end, alone=alone, doubt=doubt)


def other_spot(text: str) -> Spot | None:
    """A size without any x: with words, strokes, hyphens or spaces between its numbers."""
    if not _DIGIT.search(text):
        return None
    return _labelled(text) or _chained(text) or _spaced(text)


def _unit(spelt: str | None) -> str:
    return "" if not spelt else "mm" if spelt.startswith("M") else "in"


def crossed_spot(match: re.Match[str]) -> Spot:
    """The size that the pattern CROSSED has matched, wherever it stands."""
    a, unit_a, b, unit_b, c, second, unit_c, more = match.groups()
    if c is None:
        written = Written((a, b), (_unit(unit_a), _unit(unit_b)))
    else:
        written = Written((a, b, c), (_unit(unit_a), _unit(unit_b), _unit(unit_c)), second or "")
        if "/" in c and "/" not in a + b and not any(written.units):
            written = _fraction_or_widths(written, c)
    return Spot(written, match[0].strip(), 0, 0, False, doubt=_TOO_MANY if more else "")


_TORN = "it is a part of what is written there"
_TOO_MANY = "more than one size, or more than three numbers, is written"


def doubt_after(written: Written, after: str) -> str:
    """What follows a size and makes it doubtful: another one, a number, a count of pieces."""
    if not after:
        return ""
    if ("X" in after or "*" in after or "BY" in after) and CROSSED.search(after):
        return _TOO_MANY
    if len(written.numbers) == 2:
        if _TORN_AFTER.match(after):
            return _TORN
        return _TOO_MANY if _MORE.match(after) else ""
    last = written.numbers[2]
    if "," in last and "," not in written.numbers[0] + written.numbers[1] and _PIECES.match(after):
        return f"its last number is {last}, or ends at the comma with a number of pieces after it"
    return ""


def doubt_before(written: Written, before: str) -> str:
    """Figures that stand before a size, and may be the first ones of its first number.

    >>> doubt_before(Written(("5", "52", "7"), ("", "", "")), "OIL SEAL 3 ")
    'its first number is 5 or, without the space, 35'
    """
    if len(written.numbers) == 2 and _TORN_BEFORE.search(before):
        return _TORN
    figures = _FIGURES_LAST.search(before)
    first, second = written.numbers[:2]
    if figures is None or len(first) != 1 or not (first.isdecimal() and second.isdecimal()):
        return ""
    whole = figures[1] + first
    return (
        f"its first number is {first} or, without the space, {whole}"
        if int(whole) < int(second)
        else ""
    )


def _fraction_or_widths(written: Written, c: str) -> Written:
    """35 x 52 x 7/8: two widths beside whole mm, a fraction beside inches."""
    top, _, under = c.partition("/")
    a, b = (amount(number) for number in written.numbers[:2])
    if a is None or b is None or " " in c or "-" in top:
        return written
    if a > 5 and "." not in written.numbers[0] and int(under) > int(top) > 1:
        return Written((*written.numbers[:2], top), ("mm", "mm", "mm"), under)
    return written


def _labelled(text: str) -> Spot | None:
    found: dict[str, tuple[str, str]] = {}
    spans: list[tuple[int, int]] = []
    diameters: list[tuple[str, str]] = []
    words = size_words()
    for match in _labels(shop_folder()).finditer(text):
        place, value = words[match[1]], (match[2], _unit(match[3]))
        if place == "diameter":
            diameters.append(value)
        elif place in found:
            return None
        else:
            found[place] = value
        spans.append(match.span())
    if len(diameters) == 2 and not {"shaft", "bore"} & set(found):
        small, large = sorted(diameters, key=lambda value: amount(value[0]) or 0)
        found["shaft"], found["bore"] = small, large
    elif len(diameters) == 1 and len({"shaft", "bore"} & set(found)) == 1:
        found["bore" if "shaft" in found else "shaft"] = diameters[0]
    if "shaft" not in found or "bore" not in found or _is_behind(text, spans, found):
        return None
    parts = [found[place] for place in ("shaft", "bore", "width") if place in found]
    start, end = spans[0][0], spans[-1][1]
    written = Written(tuple(n for n, _ in parts), tuple(u for _, u in parts))
    return Spot(written, text[start:end], start, end, end - start == len(text))


def _is_behind(text: str, spans: list[tuple[int, int]], found: dict[str, tuple[str, str]]) -> bool:
    """Whether the numbers stand before their words: 35 SHAFT 52 BORE 7 WIDE."""
    if not _NUMBER_LAST.search(text, 0, spans[0][0]):
        return False
    if _last_label(shop_folder()).match(text, spans[-1][1]):
        return True
    return (amount(found["shaft"][0]) or 0) >= (amount(found["bore"][0]) or 0)


@cache
def _last_label(_shop: str) -> re.Pattern[str]:
    names = "|".join(re.escape(word) for word in sorted(size_words(), key=len, reverse=True))
    return re.compile(rf"[ ,;]*(?:{names})(?![^\W_])(?! ?[:.=]? ?[0-9])")


@cache
def _labels(_shop: str) -> re.Pattern[str]:
    # A word that ends in a figure (D1) needs something before the number: D135 is D and 135.
    names = "|".join(
        re.escape(word) + ("(?=[ .:=])" if word[-1].isdigit() else "")
        for word in sorted(size_words(), key=lambda word: (-len(word), word))
    )
    return re.compile(
        rf"(?<![^\W_])({names})(?![A-Z]) ?(?:[:=]|\.(?![0-9]))? ?({NUMBER}){UNIT}(?![0-9])"
    )


def dimension_first(text: str) -> bool:
    """Whether a text starts with a word or a sign for a dimension, and its number.

    Parameters
    ----------
    text : str
        The text as it was written.

    Examples
    --------
    >>> dimension_first("Ø52 x 7"), dimension_first("OD52 x 7"), dimension_first("H715345")
    (True, True, False)
    """
    if _ROUND.match(text):
        return True
    match = _labels(shop_folder()).match(plain_text(text))
    return match is not None and len(match[2].partition(".")[0]) <= _LONGEST


def _chained(text: str) -> Spot | None:
    match = _CHAINED.search(text)
    if not match:
        return None
    numbers = _numbers_of(match)
    unit = _unit(match.groups()[-1])
    written = Written(numbers, ("", "", unit))
    whole = match[0].strip()
    more = _CHAINED.search(text, match.end())
    doubt = _TOO_MANY if more and is_another(_numbers_of(more), numbers) else ""
    alone = whole == text
    return Spot(written, whole, match.start(), match.end(), alone, not alone, doubt)


def _numbers_of(chained: re.Match[str]) -> tuple[str, ...]:
    return tuple(number for number in chained.groups()[:-1] if number is not None)


def is_another(numbers: tuple[str, ...], first: tuple[str, ...]) -> bool:
    """Whether numbers are another size than the first ones, and no date.

    >>> is_another(("35", "52"), ("35", "52", "7")), is_another(("35", "54"), ("35", "52", "7"))
    (False, True)
    >>> is_another(("12", "05", "2024"), ("35", "52", "7"))
    False
    """
    shaft, bore, *width = (amount(number) or 0 for number in numbers)
    differs = numbers != first[: len(numbers)]
    return differs and 0 < shaft < bore and all(0 < one < bore for one in width)


def _spaced(text: str) -> Spot | None:
    match = _SPACED.search(text)
    if not match or _BEFORE_NUMBER.search(text, 0, match.start()):
        return None
    a, unit_a, b, unit_b, c, unit_c = match.groups()
    units = (_unit(unit_a), _unit(unit_b), _unit(unit_c))
    whole = match[0].strip()
    doubt = _last_two(a, b, c) if not any(units[:2]) and "mm" not in units else ""
    loose = whole != text and not doubt
    return Spot(
        Written((a, b, c), units), whole, match.start(), match.end(), whole == text, loose, doubt
    )


def _last_two(a: str, b: str, c: str) -> str:
    """What makes three numbers doubtful of which the last two may be one: 1 1/8 2 1/4."""
    if not _WHOLE_THEN_FRACTION.fullmatch(f"{b} {c}"):
        return ""
    two = understand_size(
        Written((a, f"{b} {c}"), ("in", "in")), unit="in", known=True, kind="seal"
    )
    if two.refused or two.notes[:-1] or not seal_shape(two.shaft_um or 0, two.bore_um or 0, None):
        return ""
    return f"it can be read as {a} x {b} x {c} in, or as {a} x {b} {c} in without a width"


def almost_size(text: str) -> str:
    """What looks like a size in a text and is not one; empty where nothing does."""
    match = _ALMOST.search(text)
    return match[0][:40] if match else ""
