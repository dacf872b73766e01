"""The numbers the shop writes: decimals with point or comma, inch fractions, ready-made fractions.

    number = 34.92 | 34,92 | .313 | 13/16 | 1-3/8 | 1 3/8 | 1⅜

What follows the number, and whether it can be read another way, is judged in quantities.py.
"""

from __future__ import annotations

import re

from fitcheck.errors import InputError
from fitcheck.records import dataclass

MAX_TEXT = 60
# Enough for 100 m in micrometres and for every digit a computed number comes with; what is
# longer has slipped, and could not be written back within MAX_TEXT.
MAX_WHOLE, MAX_PLACES = 9, 20

_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
# The same characters in other type: signs and strokes, quote marks, spaces of other widths.
_SAME_CHARACTER = str.maketrans(
    {
        **dict.fromkeys("−–‐‑", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("′’‘´", "'"),
        **dict.fromkeys("\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f", " "),
        "μ": "µ",
    }
)
# Inch rules are divided by halving; decimal fractions are written 7/10. Anything else beside a
# stroke (1 3/835) is two numbers run together.
_DENOMINATORS = frozenset({2, 4, 8, 16, 32, 64, 128, 10, 100, 1000})

_FRACTION = re.compile(r"(?:([0-9]+)(?: +| ?- ?))?([0-9]+) ?/ ?([0-9]+)(?![0-9.,])")
DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")


@dataclass(frozen=True, slots=True)
class Number:
    """The number at the head of a text, as written and as understood, and what follows it."""

    text: str
    amount: float
    step: float
    rest: str
    fraction: tuple[str, str, str] | None = None


def normal(text: str, original: str) -> str:
    """The text in plain characters: one space between words, ready-made fractions spelled out.

    Parameters
    ----------
    text : str
        What was written.
    original : str
        The same, as it may be shown in a message.

    Raises
    ------
    InputError
        The text is empty, too long, or holds a character that is not read.

    >>> normal("1⅜ in", "")
    '1 3/8 in'
    """
    text = text.translate(_SAME_CHARACTER).strip()
    for character, fraction in _VULGAR.items():
        if character in text:
            text = text.replace(character, f" {fraction}").strip()
    if not text:
        raise InputError(
            value="(empty)",
            rule="a value is needed here",
            todo="Give a number with its unit, for example 34.92mm",
        )
    if len(text) > MAX_TEXT:
        raise InputError(
            value=original[:MAX_TEXT] + "...",
            rule=f"a value is at most {MAX_TEXT} characters long",
            todo="Give one number with its unit, for example 34.92mm",
        )
    if not text.isprintable():
        raise InputError(
            value=original,
            rule="a tab, a line break or a character that can't be seen stands inside the value",
            todo="Type it again: one number with its unit on one line",
        )
    if any(c.isnumeric() and not c.isascii() and c not in "²³" for c in text):
        raise InputError(
            value=original,
            rule="only the digits 0 to 9 and the fractions " + " ".join(_VULGAR) + " are read",
            todo="Write it like 34.92mm or 1-3/8in",
        )
    return " ".join(text.split())


def number(body: str, original: str) -> Number:
    """The number at the head of a text without sign.

    Parameters
    ----------
    body : str
        The text after :func:`normal`, without its sign.
    original : str
        The whole text, for messages.

    Raises
    ------
    InputError
        The text starts with no number, or with one that is too long or no proper fraction.
    """
    fraction = _FRACTION.match(body)
    if fraction:
        whole, over, under = fraction.groups(default="")
        if max(len(whole), len(over)) <= MAX_WHOLE:
            return Number(
                fraction.group(),
                _fraction(whole, over, under, original),
                1.0 / int(under),
                body[fraction.end() :],
                (whole, over, under),
            )
    decimal = DECIMAL.match(body)
    if decimal is None:
        raise InputError(
            value=original,
            rule="a value starts with a number",
            todo="Write it like 34.92mm, 1-3/8in or 250um",
        )
    digits = decimal.group().replace(",", ".")
    whole, _, places = digits.partition(".")
    if len(whole) > MAX_WHOLE or len(places) > MAX_PLACES:
        raise InputError(
            value=original,
            rule=f"a number has at most {MAX_WHOLE} digits before the point "
            f"and {MAX_PLACES} after it",
            todo="Check the digits, or use a larger unit",
        )
    return Number(decimal.group(), float(digits), 10.0 ** -len(places), body[decimal.end() :])


def _fraction(whole: str, over: str, under: str, original: str) -> float:
    top, bottom = int(over), int(under)
    if bottom not in _DENOMINATORS:
        raise InputError(
            value=original,
            rule=f"a fraction has 2, 4, 8, 16, 32, 64 or 128 below the stroke, not {under}",
            todo="Check the digits, or write the value as a decimal",
        )
    if whole and top >= bottom:
        raise InputError(
            value=original,
            rule="the fraction after a whole number must be smaller than one",
            todo="Check the digits, or write the value as a decimal",
        )
    return int(whole or 0) + top / bottom
