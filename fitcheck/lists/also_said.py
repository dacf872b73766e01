"""What a text says besides what was read of it: with flange, split, used, +0.5, 35x52x7/9.

Nothing is called the same part while its text says something that nobody has read. Words that
say nothing by themselves are in the table ``lists/plain_words``; all others count.
"""

from __future__ import annotations

import re
from functools import lru_cache

from fitcheck.lists.attributes import KIND, TOKEN, Phrases, phrases
from fitcheck.lists.items import BEARING, SEAL
from fitcheck.lists.left_open import HARDNESS, STANDARDS, hardness_words
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.words import plain_words
from fitcheck.marks import compact
from fitcheck.tables import shop_folder

_PIECE = re.compile(r"[^\s;,()\[\]]+")
_SIGNS = "~≈±+<>"
# A number that names a bearing has so many characters.
_LEAST_NAME = 4


def also_said(text: str | None, *numbers: str | None) -> tuple[str, ...]:
    """The words and numbers of a text that were not read, as they stand there in capitals.

    Parameters
    ----------
    text : str or None
        The text.
    *numbers : str or None
        The designation and the part number that stand for what the text may repeat.

    Examples
    --------
    >>> also_said("Oil seal 35x52x7 NBR 70 DIN 3760 double lip, split, with flange")
    ('SPLIT', 'WITH', 'FLANGE')
    >>> also_said("taper roller bearing LM11949/10 used", "LM11949/LM11910")
    ('USED',)
    """
    if not text:
        return ()
    pieces = (piece for n in numbers if n for piece in (n, *n.split("/"), *n.split()))
    names = tuple(compact(piece) for piece in pieces)
    return _also_said(text, frozenset(names), shop_folder())


@lru_cache(maxsize=8192)
def _also_said(text: str, names: frozenset[str], shop: str) -> tuple[str, ...]:
    plain = plain_text(text)
    found: list[str] = []
    rest = plain
    if spot := size_spot(plain):
        rest = f"{plain[: spot.start]} ; {plain[spot.end :]}"
        sign = plain[: spot.start].rstrip()[-1:]
        found += [sign] if sign and sign in _SIGNS else []
        found += [f"/{spot.written.second_width}"] if spot.written.second_width else []
    rest = _PIECE.sub(lambda match: " " if _is_name(match[0], names) else match[0], rest)
    matches = list(TOKEN.finditer(rest))
    tokens = tuple(match[0] for match in matches)
    left = _unread(tokens, phrases(shop)[0])
    spans = {match.start(): match.end() for match in _PIECE.finditer(rest)}
    for place in left:
        # The piece that the token is part of, so that 35.5 is told as one.
        start, end = next(
            span for span in spans.items() if span[0] <= matches[place].start() < span[1]
        )
        found.append(rest[start:end].strip(".:-"))
    return tuple(dict.fromkeys(found))


def _is_name(piece: str, names: frozenset[str]) -> bool:
    bare = compact(piece)
    if bare in names:
        return True
    # A cone with the short number of its cup; with letters behind it, it may be another.
    return any(
        len(name) >= _LEAST_NAME and bare.startswith(name) and bare[len(name) :].isdecimal()
        for name in names
    )


def _unread(tokens: tuple[str, ...], listed: Phrases) -> list[int]:
    """The places of the tokens that no listed phrase, plain word, hardness or standard explains."""
    plain, hard = plain_words(), hardness_words(shop_folder())
    left = []
    after = 0
    for place, token in enumerate(tokens):
        if place < after:
            continue
        for words, fields in listed.get(token, ()):
            if tokens[place : place + len(words)] == words:
                if fields.get(KIND, SEAL) in (SEAL, BEARING):
                    after = place + len(words)
                break
        if place < after or token in plain:
            continue
        before = tokens[max(0, place - 2) : place]
        if token.isdecimal():
            beside = {*before[-1:], *tokens[place + 1 : place + 2]}
            if (int(token) in HARDNESS and beside & hard) or STANDARDS & {*before}:
                continue
        left.append(place)
    return left
