"""Prices as suppliers write them: `4.10/ea`, `3,20 netto`, `ab 3,20`, `320/100 Stk`.

What is certain is read. A price for other pieces, from so much on or with tax is left out with its
reason: a wrong price sorts a wrong line first.
"""

from __future__ import annotations

import re
from dataclasses import replace

from fitcheck.lists.numbers import MARKS, NumberCell, guessed_number, price_of_one
from fitcheck.lists.words import count_words, price_words

_EACH = re.compile(
    r"(?P<price>.*[0-9].*?)\s*(?:/|(?<!\w)(?:PER|PRO|JE|PAR|POR)\s)\s*"
    r"(?P<count>[0-9]{0,5})\s*(?P<word>[^\W\d_]*)\.?",
    re.IGNORECASE,
)
# Words before or behind a price are this many at most: à partir de.
_MOST_WORDS = 3
_WHY = {
    "from": "says {word}: a price from so much on, not of one piece",
    "gross": "says {word}: with tax or before a discount, no net price",
}


def read_price(text: str, style: str, guess: str = "") -> NumberCell:
    """A price of one piece, or why it is none.

    Parameters
    ----------
    text : str
        The cell.
    style : str
        The decimal style of the column, ``point`` or ``comma``; empty when it is not known.
    guess : str
        What speaks for that style; empty where it is sure.

    Examples
    --------
    >>> read_price("4.10/ea", "point").text, read_price("3,20 netto", "comma").text
    ('4.10', '3.20')
    >>> read_price("ab 3,20", "comma").problem
    'says AB: a price from so much on, not of one piece'
    """
    found = guessed_number(text, style, guess)
    body = text.strip()
    if not found.problem or text[:1] in MARKS or not any(c.isdigit() for c in body):
        return found
    if body.startswith("(") and body.endswith(")"):
        return NumberCell(None, "stands in brackets, which may mean below zero")
    if each := _EACH.fullmatch(body):
        return _for_pieces(each, style, guess)
    word, rest = _said(body)
    if not word:
        return found
    why = _WHY.get(price_words()[word], "")
    return NumberCell(None, why.format(word=word)) if why else read_price(rest, style, guess)


def _for_pieces(each: re.Match[str], style: str, guess: str) -> NumberCell:
    """A price with what it is for behind it."""
    count, word = each["count"], each["word"]
    means = count_words().get(word.upper()) if word else ""
    if word and means != "piece":
        return NumberCell(
            None, f"is a price for {count}{' ' if count else ''}{word}, not of one piece"
        )
    if count and not word:
        return NumberCell(None, f"may be a price for {count} pieces, or two prices")
    price = read_price(each["price"], style, guess)
    if not word or price.text is None or not count or int(count) == 1:
        return price if word else NumberCell(None, "is no number")
    if not int(count):
        return NumberCell(None, "is a price for no piece")
    one = price_of_one(price.text, int(count))
    return replace(price, text=one, choice=f"for {count} pieces: taken as {one} for one")


def _said(body: str) -> tuple[str, str]:
    """A word of the table before or behind a price, and the rest; empty where there is none."""
    parts, known = body.split(), price_words()
    for count in range(min(_MOST_WORDS, len(parts) - 1), 0, -1):
        before = " ".join(parts[:count]).upper().rstrip(".:")
        behind = " ".join(parts[-count:]).upper().rstrip(".:")
        if before in known:
            return before, " ".join(parts[count:])
        if behind in known:
            return behind, " ".join(parts[:-count])
    return "", body
