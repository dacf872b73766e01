"""Numbers in the cells of a list: which sign is the decimal one, prices, counts, lead times.

A whole column has one decimal style. What a single cell shows by itself (``4,20``, ``1.234,50``)
is evidence; ``1,250`` shows nothing, and is read only when the column or the file has decided.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from functools import cache

from fitcheck.lists.words import (
    asks_back,
    count_words,
    currencies,
    currencies_of_sign,
    is_blank,
    lead_words,
    words_of,
)
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

POINT, COMMA = "point", "comma"
STYLES = (POINT, COMMA)
_OTHER = {",": ".", ".": ","}
_STYLE_OF = {",": COMMA, ".": POINT}
_SIGN_OF = {COMMA: ",", POINT: "."}

# Marks that a spreadsheet's cell carries in front of its text: characters for private use, which
# no supplier types. A number typed as a number has no decimal style to be in doubt about.
NUMBER_MARK, DATE_MARK, NO_VALUE_MARK = "\ue000", "\ue001", "\ue002"
MARKS = (NUMBER_MARK, DATE_MARK, NO_VALUE_MARK)

_DIGITS = re.compile(r"[0-9.,]+")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
_SPACED = re.compile(r"(?<=[0-9])[ '’\u00a0\u202f](?=[0-9]{3}(?![0-9]))")
_LONGEST = 20


@dataclass(frozen=True, slots=True)
class NumberCell:
    """A number as understood: its text with a point, or why it can't be read.

    ``choice`` says what was taken where a range was written, ``unsaid`` that the supplier
    gives none on purpose, ``noted`` what else the reader should know.
    """

    text: str | None
    problem: str = ""
    currency: str | None = None
    choice: str = ""
    unsaid: str = ""
    noted: str = ""


_BLANK = NumberCell(None)
_UNSAID = NumberCell(None, unsaid="to be asked for: not known")


def style_shown(text: str) -> str:
    """The decimal style that a number shows by itself: point, comma, ``?`` in doubt, or nothing.

    >>> style_shown("4,20"), style_shown("1.234,50"), style_shown("1,250"), style_shown("17")
    ('comma', 'comma', '?', '')
    """
    if "," not in text and "." not in text:
        return ""
    body = _bare(text)
    signs = [c for c in body if c in ".,"]
    if not signs or not _DIGITS.fullmatch(body):
        return ""
    last = signs[-1]
    if len(set(signs)) == 2:
        return _STYLE_OF[last] if signs.count(last) == 1 else ""
    grouped = _GROUPED.fullmatch(body)
    if len(signs) > 1:
        return _STYLE_OF[_OTHER[last]] if grouped else ""
    if grouped:
        return "?"
    return "" if body.endswith(last) else _STYLE_OF[last]


@cache
def _currency_pattern(_shop: str) -> re.Pattern[str]:
    words = sorted(currencies(), key=len, reverse=True)
    signs = "|".join(re.escape(word) for word in words if not word[-1].isalpha())
    letters = "|".join(re.escape(word) for word in words if word[-1].isalpha())
    return re.compile(rf"{signs}|(?<![^\W\d_])(?:{letters})(?![^\W\d_])\.?")


def _bare(text: str) -> str:
    body = text.strip().upper()
    if not body[:1].isdigit() or not body[-1:].isdigit():
        body = _currency_pattern(shop_folder()).sub("", body).strip()
        body = body.removesuffix(",-").removesuffix(".-").removesuffix(",--").removesuffix(".--")
    return _SPACED.sub("", body) if len(body) > 4 else body


def read_number(text: str, style: str) -> NumberCell:
    """A number without a sign, as a decimal text with a point.

    Parameters
    ----------
    text : str
        The cell; a currency may stand at either end.
    style : str
        The style of the column, ``point`` or ``comma``; empty when it is not known.

    Examples
    --------
    >>> read_number("€ 1.234,50", "comma").text, read_number("1,250", "").text
    ('1234.50', None)
    """
    if text[:1] in MARKS and text:
        return _typed(text)
    if is_blank(text):
        return _BLANK if not asks_back(text) else _UNSAID
    body = _bare(text)
    currency = _currency_in(text) if body != text.strip() else None
    if not _DIGITS.fullmatch(body) or not any(c.isdigit() for c in body):
        below = body.startswith(("-", "−", "(")) and any(c.isdigit() for c in body)
        return NumberCell(None, "is below zero" if below else "is no number")
    if len(body) > _LONGEST:
        return NumberCell(None, "has too many digits")
    shown, thousand = style_shown(body), False
    if shown == "?":
        if style not in STYLES:
            point, grouped = body.replace(",", "."), body.replace(",", "").replace(".", "")
            return NumberCell(None, f"can be read as {point} or as {grouped}")
        shown = style
        # 1,250 made 1250: another list would mean a quarter more than one.
        thousand = _SIGN_OF[style] not in body
    if not shown and ("," in body or "." in body):
        return NumberCell(None, "is no number: its points and commas don't fit together")
    sign = _SIGN_OF.get(shown, ".")
    body = body.replace(_OTHER[sign], "").replace(sign, ".")
    noted = f"read as {body}: its column decides that the sign parts thousands" if thousand else ""
    return NumberCell("0" + body if body.startswith(".") else body, currency=currency, noted=noted)


def guessed_number(text: str, style: str, guess: str) -> NumberCell:
    """A number as :func:`read_number` reads it; one that the style alone decides is told.

    Parameters
    ----------
    text : str
        The cell.
    style : str
        The style of the column.
    guess : str
        What speaks for that style; empty where it is sure.

    Examples
    --------
    >>> guessed_number("1,250", "comma", "as most of its column writes").choice
    'read as 1.250, as most of its column writes'
    """
    found = read_number(text, style)
    if guess and found.text is not None and text[:1] not in MARKS and style_shown(text) == "?":
        return replace(found, choice=f"read as {found.text}, {guess}")
    return found


def _typed(text: str) -> NumberCell:
    """A cell that the spreadsheet itself holds as a number, a date or nothing."""
    mark, body = text[0], text[1:]
    if mark == NO_VALUE_MARK:
        return NumberCell(None, "holds a formula without a stored value, or an error")
    if mark == DATE_MARK:
        return NumberCell(None, "is a date")
    if body.startswith("-"):
        return NumberCell(None, "is below zero")
    return NumberCell(body)


def _currency_in(text: str) -> str | None:
    """The code of the currency in a text; empty where the sign names several, None for none."""
    found = _currency_pattern(shop_folder()).findall(text.upper())
    codes = {currencies()[word.rstrip(".") if word not in currencies() else word] for word in found}
    return codes.pop() if len(codes) == 1 else ("" if codes else None)


def is_other_currency(text: str, code: str) -> bool:
    """Whether the sign in a price, one for several currencies, can't stand for a code.

    >>> is_other_currency("$3.20", "EUR"), is_other_currency("$3.20", "CAD")
    (True, False)
    """
    signs = _currency_pattern(shop_folder()).findall(text.upper())
    several = (currencies_of_sign().get(sign, "").split() for sign in signs)
    return any(codes and code not in codes for codes in several)


def pack_words(text: str) -> str:
    """The words of a description that tell a price for several pieces; empty where none do.

    >>> pack_words("Oil seal 65x90x10 price per 100"), pack_words("Oil seal (set of 10)")
    ('PRICE PER 100', 'SET OF 10')
    """
    found = _pack_pattern(shop_folder()).search(text.upper()) if text else None
    return found[0].strip() if found and int(found["n"] or found["m"]) > 1 else ""


@cache
def _pack_pattern(_shop: str) -> re.Pattern[str]:
    several = "|".join(
        re.escape(word)
        for word, means in count_words().items()
        if means == "several" and word not in ("KIT", "KITS")
    )
    return re.compile(
        r"(?<!\w)(?:PRICE|PREIS|PRIX|PRECIO|PREZZO|PRIJS|PREÇO|CENA|PRIS)\s+"
        r"(?:PER|PRO|JE|POR|PAR|FÜR|FOR|POUR|PARA|ZA|VOOR)\s+(?P<n>[0-9]{1,5})(?!\w)"
        rf"|(?<!\w)(?:{several})\s+(?:OF|À|A|ZU|DE|VON|DA|VAN)\s+(?P<m>[0-9]{{1,5}})(?![\w.,])"
    )


def read_currency(text: str) -> str | None:
    """The code in a currency column: a listed word, or any three letters; None otherwise.

    >>> read_currency("€"), read_currency("nok"), read_currency("$")
    ('EUR', 'NOK', None)
    """
    word = text.strip().upper()
    known = currencies().get(word)
    if known is not None:
        return known or None
    return word if re.fullmatch(r"[A-Z]{3}", word) else None


def price_of_one(text: str, per: int) -> str:
    """A price divided by the number of pieces it is for, as a decimal text.

    >>> price_of_one("420.00", 100), price_of_one("4.20", 1)
    ('4.2', '4.20')
    """
    if per == 1:
        return text
    value = (Decimal(text) / per).normalize()
    return format(value, "f")


# A sign or a word, the number, a plus, a word, a plus: `> 10`, `min. 10`, `10+`, `10 St.+`.
_COUNT = re.compile(
    r"([<>~≥≤+]=?|[^\W\d_]+\.?(?: [^\W\d_]+)?)?\s*([0-9][0-9 .,'’\u00a0\u202f]*?)\s*([+]?)"
    r"\s*([^\W\d_]*)\.?\s*([+]?)"
)
_AT_LEAST = frozenset((">", ">=", "≥", "+"))


def read_count(text: str, style: str) -> NumberCell:
    """A whole number of pieces: `25`, `1.000`, `25 pcs`, `10.0`, `5 pairs`, `> 10` (at least).

    Parameters
    ----------
    text : str
        The cell.
    style : str
        The decimal style of the list; a group of three digits is a thousand where it allows.

    Examples
    --------
    >>> read_count("25 Stk.", "").text, read_count("10+", "").choice
    ('25', 'at least 10: taken as 10')
    """
    if (text[:1] in MARKS and text) or is_blank(text):
        return _whole(read_number(text, style))
    words = count_words()
    said = words.get(words_of(text))
    if said == "none":
        return NumberCell("0", choice="says that there is none: taken as 0")
    if said == "whether":
        return NumberCell(None, "says whether, not how many")
    match = _COUNT.fullmatch(text.strip())
    if not match:
        below = text.strip().startswith(("-", "−")) and read_number(text, style).problem
        return NumberCell(None, below or "is no whole number")
    sign, before, after = match[1] or "", words.get(words_of(match[1] or "")), match[4]
    means = words.get(words_of(after)) if after else "piece"
    least = sign in _AT_LEAST or before == "least" or bool(match[3] or match[5])
    if sign[:1] in ("<", "~", "≤") and sign:
        return NumberCell(None, "is no exact number")
    if means not in ("piece", "pair") or (sign and not least and before != "piece"):
        several = means == "several" or before == "several"
        return NumberCell(None, "counts no single pieces" if several else "is no whole number")
    found = _whole(read_number(match[2], style))
    if found.text is None:
        return found
    pieces = int(found.text) * (2 if means == "pair" else 1)
    taken = "pairs" if means == "pair" else ""
    if least:
        taken = f"at least {found.text}{' pairs' if taken else ''}"
    choice = f"{taken}: taken as {pieces}" if taken else ""
    return NumberCell(str(pieces), choice=choice, noted=found.noted)


def _whole(found: NumberCell) -> NumberCell:
    """A number that must be whole."""
    if found.text is None:
        return found
    whole, _, rest = found.text.partition(".")
    if rest.strip("0"):
        return NumberCell(None, "is no whole number")
    # A database's whole numbers end at nine digits with room to spare.
    if len(whole) >= 10:
        return NumberCell(None, "has too many digits")
    return NumberCell(whole, noted=found.noted)


_LEAD = re.compile(r"(?:([0-9]{1,3})\s*(?:-|–|TO|BIS|/)\s*)?([0-9]{1,4})\s*([^\W\d_]*)\.?")


def read_lead(text: str, unit_days: int = 1) -> NumberCell:
    """A lead time in days: `14`, `2 weeks`, `1-2 weeks` (the longer), `ex stock`.

    Parameters
    ----------
    text : str
        The cell.
    unit_days : int
        Days in one of the column's unit, for a bare number.

    Examples
    --------
    >>> read_lead("2 weeks").text, read_lead("1-2 Wo").problem, read_lead("ex stock").text
    ('14', 'is no lead time', '0')
    """
    if (text[:1] in MARKS and text) or is_blank(text):
        found = read_count(text, "")
        if found.text is None:
            return found
        return NumberCell(str(int(found.text) * unit_days))
    words = lead_words()
    cell = words_of(text)
    if cell in words and not any(c.isdigit() for c in cell):
        # A word for a unit alone (days) gives no number.
        days = words[cell]
        return NumberCell(str(days)) if days == 0 or " " in cell else NumberCell(None, "is no time")
    match = _LEAD.fullmatch(text.strip().upper())
    if not match or (match[3] and not words.get(match[3])):
        return NumberCell(None, "is no lead time")
    days = words[match[3]] if match[3] else unit_days
    taken = int(match[2]) * days
    return NumberCell(str(taken), choice=f"the longer is taken: {taken} days" if match[1] else "")
