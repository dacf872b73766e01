"""What a text says besides what was read of it: with flange, split, used, +0.5, 35x52x7/9.

Nothing is called the same part while its text says something that nobody has read. Words that
say nothing by themselves are in the table ``lists/plain_words``; all others count.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from itertools import pairwise

from fitcheck.lists.attributes import ACCESSORY, KIND, TOKEN, phrases
from fitcheck.lists.items import BEARING, SEAL, SLEEVE
from fitcheck.lists.left_open import HARDNESS, STANDARDS, hardness_words
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.words import plain_words
from fitcheck.marks import compact
from fitcheck.tables import shop_folder

_PIECE = re.compile(r"[^\s;,()\[\]]+")
_SIGNS = "~≈±+<>"
# What sets words apart: a shaft, oil seal 45x62x8 is a shaft.
_APART = re.compile(r"[,;:|]")
# What stands for a number that is a name: bearing 30206 seal is no bearing seal.
_NAME = " | "
_SPRINGS = ("SPRING", "FEDER", "RESSORT", "MUELLE", "MOLLA", "VEER", "MOLA", "FJÄDER")
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
    >>> also_said("Shaft, taper roller bearing 30206", "30206")
    ('SHAFT',)
    """
    if not text:
        return ()
    pieces = (piece for n in numbers if n for piece in (n, *n.split("/"), *n.split()))
    names = tuple(_bare(piece) for piece in pieces)
    return _also_said(text, frozenset(names), shop_folder())


@lru_cache(maxsize=65536)
def _also_said(text: str, names: frozenset[str], shop: str) -> tuple[str, ...]:
    plain = plain_text(text)
    found: list[str] = []
    rest = plain
    if spot := size_spot(plain):
        rest = f"{plain[: spot.start]} ; {plain[spot.end :]}"
        sign = plain[: spot.start].rstrip()[-1:]
        found += [sign] if sign and sign in _SIGNS else []
        found += [f"/{spot.written.second_width}"] if spot.written.second_width else []
    rest = _PIECE.sub(lambda match: _NAME if _is_name(match[0], names) else match[0], rest)
    found += _left_of(rest, shop)
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=16384)
def _left_of(rest: str, shop: str) -> tuple[str, ...]:
    """What was not read of a text without its size and its names; many texts share it."""
    found: list[str] = []
    matches = list(TOKEN.finditer(rest))
    tokens = tuple(match[0] for match in matches)
    signs = [rest[one.end() : other.start()] for one, other in pairwise(matches)]
    ends = frozenset(place for place, sign in enumerate(signs) if _APART.search(sign))
    names_at = frozenset(place for place, sign in enumerate(signs) if _NAME in sign)
    left = _unread(tokens, ends, names_at, shop)
    spans = {match.start(): match.end() for match in _PIECE.finditer(rest)}
    for place in left:
        # The piece that the token is part of, so that 35.5 is told as one.
        start, end = next(
            span for span in spans.items() if span[0] <= matches[place].start() < span[1]
        )
        found.append(rest[start:end].strip(".:-"))
    return tuple(found)


@lru_cache(maxsize=16384)
def _bare(piece: str) -> str:
    return compact(piece)


def _is_name(piece: str, names: frozenset[str]) -> bool:
    bare = _bare(piece)
    if bare in names:
        return True
    # A cone with the short number of its cup; with letters behind it, it may be another.
    return any(
        len(name) >= _LEAST_NAME and bare.startswith(name) and bare[len(name) :].isdecimal()
        for name in names
    )


def _unread(
    tokens: tuple[str, ...], ends: frozenset[int], names_at: frozenset[int], shop: str
) -> list[int]:
    """The places of the tokens that no listed phrase, plain word, hardness or standard explains.

    ``ends`` are the places behind which a sign sets words apart, ``names_at`` those behind which
    a number stands that is a name.
    """
    listed = phrases(shop)[0]
    plain, hard, names = plain_words(), hardness_words(shop), _plain_phrases(shop)
    left: list[int] = []
    after, kind = 0, ""
    for place, token in enumerate(tokens):
        if place < after:
            continue
        for words, fields in listed.get(token, ()):
            if tokens[place : place + len(words)] == words:
                told = fields.get(KIND, "")
                # A name goes on over a comma behind a word that is a name itself: SEAL, OIL.
                inside = range(place, place + len(words) - 1)
                if told and not names_at.isdisjoint(inside):
                    continue
                if told and place in ends and place in inside and not _is_name_of(token, shop):
                    continue
                if not place and words[-1] in _SPRINGS:
                    # A spring first and the seal behind it: the spring of a seal.
                    left += range(len(words))
                    after = len(words)
                elif told in ("", SEAL, BEARING, SLEEVE) and told in ("", kind or told):
                    after, kind = place + len(words), kind or told
                elif ACCESSORY not in fields and told in (SEAL, BEARING, SLEEVE):
                    # A bearing that is a seal too, or a seal of a bearing.
                    left += range(place, place + len(words))
                    after = place + len(words)
                break
        if place < after:
            continue
        for words in names.get(token, ()):
            if tokens[place : place + len(words)] == words and place not in ends:
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


def _is_name_of(token: str, shop: str) -> bool:
    """Whether a word by itself names a kind of part."""
    return any(words == (token,) and KIND in told for words, told in phrases(shop)[0][token])


@cache
def _plain_phrases(_shop: str) -> dict[str, list[tuple[str, ...]]]:
    """Names of several words that say nothing together, by their first word."""
    found: dict[str, list[tuple[str, ...]]] = {}
    for phrase in plain_words():
        words = tuple(phrase.split())
        if len(words) > 1:
            found.setdefault(words[0], []).append(words)
    for listed in found.values():
        listed.sort(key=len, reverse=True)
    return found
