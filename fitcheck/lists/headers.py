"""What a header says: the field it heads, its unit, its currency, the pieces a price is for."""

from __future__ import annotations

import re
from functools import lru_cache

from fitcheck.lists.words import (
    currencies,
    header_words,
    second_header_words,
    unit_of,
    words_of,
)
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

# What rapidfuzz must give before a header is suggested for a field; the content still decides.
_LIKENESS = 84.0
_SHORTEST_LIKE = 4

_BRACKETED = re.compile(r"[\[({]([^\])}]*)[\])}]")
_PER = re.compile(r"(?:\bper|\bje|\bpro|\bpour|/|\bfor)\s*(10|100|1000)\b(?:\s*(?:pcs?|st|ea)\b)?")
_DIAMETER = re.compile("[øØ⌀]|\\b(?:dia|diam)\\b", re.IGNORECASE)
_BETWEEN_NAMES = re.compile(r"\s*[/|]\s*")
_HEAD = re.compile(r"([^\s/,]+)[\s/,]+(.*\S)")
_TAIL = re.compile(r"(.*\S)[\s/,]+(\S+)")


@dataclass(frozen=True, slots=True)
class Header:
    """A header as understood; ``field`` is empty when no listed word heads the column."""

    field: str = ""
    unit: str = ""
    currency: str = ""
    per: int = 1
    days: int = 1


def read_header(text: str) -> Header:
    """What a header says.

    Examples
    --------
    >>> read_header("Shaft (mm)"), read_header("d").field, read_header("D").field
    (Header(field='shaft', unit='mm', currency='', per=1, days=1), 'shaft', 'bore')
    >>> read_header("Price EUR / 100").per
    100
    """
    return _read_header(text, shop_folder())


@lru_cache(maxsize=4096)
def _read_header(text: str, _shop: str) -> Header:
    # A long text is a sentence or a description, and no table of words would head one with it.
    body = " ".join(text.split())
    if not body or len(body) > 60:
        return Header()
    per = _PER.search(body.lower())
    if per:
        body = (body[: per.start()] + " " + body[per.end() :]).strip()
    unit, currency = "", ""
    for inside in _BRACKETED.findall(body):
        unit = unit or unit_of(inside)
        currency = currency or _currency(inside)
    body = _BRACKETED.sub(" ", body).strip()
    field = _listed(body)
    if field and not currency:
        currency = next((code for word in body.split() if (code := _currency(word))), "")
    # Words after the name: Price EUR, Width mm, € Netto.
    for _ in range(2):
        tail = _TAIL.fullmatch(body)
        if field or not tail:
            break
        head = _HEAD.fullmatch(body)
        for rest, word in ((tail[1], tail[2]), (head[2], head[1]) if head else ("", "")):
            if unit_of(word) or _currency(word):
                unit, currency = unit or unit_of(word), currency or _currency(word)
                body = rest
                field = _listed(body)
                break
    days = (
        7 if field == "lead_days" and re.search(r"week|woche|semaine|\bwks?\b", text.lower()) else 1
    )
    return Header(field, unit, currency, int(per[1]) if per else 1, days)


def _listed(body: str) -> str:
    exact, plain = header_words()
    stripped = body.strip(" .:#*")
    words = (body, stripped, _DIAMETER.sub(" ", body))
    field = exact.get(stripped) or next(
        (plain[found] for word in words if (found := words_of(word)) in plain), ""
    )
    return field or (_in_two_languages(stripped) if "/" in stripped or "|" in stripped else "")


def _in_two_languages(body: str) -> str:
    """The field that every name of a header means: Preis / Price, Lager / Stock."""
    parts = [part for part in _BETWEEN_NAMES.split(body) if part]
    if len(parts) < 2:
        return ""
    means = [{_listed(part), second_field(part)} - {""} for part in parts]
    shared = set.intersection(*means)
    return shared.pop() if len(shared) == 1 else ""


def _currency(word: str) -> str:
    return currencies().get(word.strip(" .").upper(), "")


def known_headers(cells: list[str]) -> dict[int, str]:
    """The fields that the cells of a row head, by position."""
    found = {i: read_header(cell).field for i, cell in enumerate(cells)}
    return {i: name for i, name in found.items() if name}


def second_field(text: str) -> str:
    """What a header means where its column does not hold the first meaning, or has it already.

    Examples
    --------
    >>> read_header("Lager").field, second_field("Lager")
    ('designation', 'on_hand')
    """
    return second_header_words().get(words_of(_BRACKETED.sub(" ", text)), "")


def suggested_field(text: str) -> str:
    """The field that a header resembles; only a suggestion for the content to agree with."""
    return _suggested_field(text, shop_folder())


@lru_cache(maxsize=1024)
def _suggested_field(text: str, _shop: str) -> str:
    body = words_of(_BRACKETED.sub(" ", text))
    if len(body) < _SHORTEST_LIKE or len(body) > 60:
        return ""
    from rapidfuzz import fuzz, process

    _, plain = header_words()
    choices = [word for word in plain if len(word) >= _SHORTEST_LIKE]
    best = process.extractOne(body, choices, scorer=fuzz.ratio, score_cutoff=_LIKENESS)
    return plain[best[0]] if best else ""
