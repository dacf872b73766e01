"""The words suppliers use, from tables: headers, units, currencies, what stands for a blank.

Words decide only where they are listed; nothing is taken for a listed word because it looks
like one.
"""

from __future__ import annotations

import re
from functools import cache

from fitcheck.tables import shop_folder, table

# Strokes and signs that suppliers put into a cell that holds nothing.
_BLANK_SIGNS = frozenset({"", "-", "--", "–", "—", "?", "/", "N/A", "NA", "NONE", "NULL", "NIL"})
_APART = re.compile(r"[^\w#']+")


def words_of(text: str) -> str:
    """A text as it is compared with the tables: capitals, one space between words.

    >>> words_of("Dbl.-Lip / NBR")
    'DBL LIP NBR'
    """
    return _APART.sub(" ", text.upper()).replace("_", " ").strip()


@cache
def _mapping(name: str, word: str, value: str, _shop: str) -> dict[str, str]:
    return {row.text(word): row.text(value) for row in table(f"lists/{name}").rows}


def is_blank(text: str) -> bool:
    """Whether a cell says that nothing is given: empty, a stroke, `n/a`, `on request`."""
    cell = text.strip().upper()
    return cell in _BLANK_SIGNS or cell in _mapping("blank_words", "word", "word", shop_folder())


def asks_back(text: str) -> bool:
    """Whether a cell that gives nothing wants to be asked: `on request`, `call`."""
    cell = text.strip().upper()
    return _mapping("blank_words", "word", "ask", shop_folder()).get(cell) == "true"


def count_words() -> dict[str, str]:
    """Words beside a number of pieces: piece, pair, several, least (so many), whether, none."""
    return _mapping("count_words", "word", "means", shop_folder())


def price_words() -> dict[str, str]:
    """Words beside a price: net, gross, from (so much or more)."""
    return _mapping("price_words", "word", "means", shop_folder())


def denials() -> dict[str, str]:
    """Words that deny what stands beside them, `not for oil`, each with how it does."""
    return _mapping("denial_words", "word", "means", shop_folder())


def plain_words() -> dict[str, str]:
    """Words that say nothing of a part by themselves: for, and, new."""
    return _mapping("plain_words", "word", "word", shop_folder())


def beside_words() -> dict[str, str]:
    """Words beside a part's name by what they tell: accessory, with, for, cone, cup."""
    return _mapping("beside_words", "word", "means", shop_folder())


def is_total(text: str) -> bool:
    """Whether a cell starts a total or a foot line: `Total`, `Summe:`."""
    cell = words_of(text)
    return cell in _mapping("total_words", "word", "word", shop_folder())


def unit_of(text: str) -> str:
    """The unit a word names, ``mm`` or ``in``; the empty text when it names none."""
    return _mapping("unit_words", "word", "unit", shop_folder()).get(text.strip().upper(), "")


def currencies() -> dict[str, str]:
    """Signs and words for currencies, each with its code; no code where several are meant."""
    return _mapping("currency_words", "word", "currency", shop_folder())


def currencies_of_sign() -> dict[str, str]:
    """The codes that a sign for several currencies may mean, with blanks between."""
    return _mapping("currency_words", "word", "may_be", shop_folder())


def lead_words() -> dict[str, int]:
    """Words for lead times, each with its days."""
    found = _mapping("lead_words", "word", "days", shop_folder())
    return {word: int(days) for word, days in found.items()}


def size_words() -> dict[str, str]:
    """Words that stand before a dimension, each with its place."""
    return _mapping("size_words", "word", "place", shop_folder())


@cache
def _headers(_shop: str) -> tuple[dict[str, str], dict[str, str]]:
    exact: dict[str, str] = {}
    plain: dict[str, str] = {}
    for row in table("lists/header_words").rows:
        if row.flag("exact"):
            exact[row.text("word")] = row.text("field")
        else:
            plain[words_of(row.text("word"))] = row.text("field")
    return exact, plain


def header_words() -> tuple[dict[str, str], dict[str, str]]:
    """Header words by field: those whose case tells (d and D), and the others in capitals."""
    return _headers(shop_folder())


def second_header_words() -> dict[str, str]:
    """What a header may mean besides, in capitals: Lager heads bearings and what is in store."""
    return _mapping("header_second_words", "word", "field", shop_folder())


@cache
def _attributes(_shop: str) -> tuple[dict[str, dict[str, str]], dict[str, dict[str, str]]]:
    anywhere: dict[str, dict[str, str]] = {}
    own_column: dict[str, dict[str, str]] = {}
    for row in table("lists/attribute_words").rows:
        word, field, value = words_of(row.text("word")), row.text("field"), row.text("value")
        if not row.flag("own_column_only"):
            anywhere.setdefault(word, {})[field] = value
        own_column.setdefault(field, {})[word] = value
    return anywhere, own_column


def attribute_words() -> dict[str, dict[str, str]]:
    """Words read in a description: word -> field -> value."""
    return _attributes(shop_folder())[0]


def column_words(field: str) -> dict[str, str]:
    """Words read in a column of one field's own: word -> value."""
    return _attributes(shop_folder())[1].get(field, {})
