"""Kind, lip, case, material, spring, lubricant and direction out of words.

Only listed words count. Two different values for one field are both named and neither is taken.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache

from fitcheck.lists.named_parts import family_words
from fitcheck.lists.words import (
    attribute_words,
    beside_words,
    column_words,
    denials,
    words_of,
)
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

KIND = "kind"
ATTRIBUTES = ("lip", "case", "material", "spring", "lubricant", "direction")
OTHER = "other"
_KINDS = ("seal", "bearing", "sleeve", OTHER)
# Fields that only a seal has: one of them tells the kind where no other word does.
_OF_SEALS = ("lip", "case", "material", "spring")
ACCESSORY = "accessory"
# Of these a single word directly beside another leaves it open (single/double lip); beside a case
# RUBBER may be the lip, so there it must stand behind OR.
_ONE_OF_TWO = ("lip", "lubricant", "direction")
_OPEN = (*_ONE_OF_TWO, "case")
# Beside a word for a wheel these may tell the side of the vehicle, and no direction of rotation.
_SIDES = frozenset({"LH", "RH", "LEFT HAND", "RIGHT HAND", "L HAND", "R HAND"})
_AT_WHEELS = frozenset({"WHEEL", "HUB", "AXLE"})
_DIRECTION = "direction"
# So many words further on a denial still counts, unless other listed words stand between.
_REACH = 3


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """What the words of a text say: the kind, the attributes in their order, and doubts.

    Texts with the same listed words share one object.
    ``doubts`` are (field, words, reason): a field that two words answer differently is None.
    ``accessory`` is the word that names something for a part; ``denies`` tells that a word for
    "not" or "instead" stands anywhere. ``unread`` are words like GREASE that tell a field only
    beside others, and stood alone.
    """

    kind: str | None
    values: tuple[str | None, ...]
    doubts: tuple[tuple[str, str, str], ...] = ()
    accessory: str = ""
    denies: bool = False
    unread: tuple[str, ...] = ()

    @property
    def says_nothing(self) -> bool:
        """Whether no listed word stands in the text, but perhaps one that denies."""
        return self.kind is None and not (self.doubts or any(self.values))

    @property
    def of_seal(self) -> bool:
        """Whether an attribute is given that only seals have."""
        named = dict(zip(ATTRIBUTES, self.values, strict=True))
        return any(named[field] for field in _OF_SEALS)


NOTHING = Words(None, (None,) * len(ATTRIBUTES))
_NOTHING_DENIED = Words(None, NOTHING.values, denies=True)


# Words of three letters and more may touch figures (7NBR, NBR70); shorter ones are codes then.
TOKEN = re.compile(r"[0-9]+(?=[^\W\d_]{3})|[^\W\d_]{3,}|[^\W_]+")


Phrases = dict[str, list[tuple[tuple[str, ...], dict[str, str]]]]


@cache
def phrases(_shop: str) -> tuple[Phrases, frozenset[str]]:
    """The listed words by their first one, the longest first, so that a negation wins.

    And every single word that tells anything.
    """
    found: Phrases = {}
    # What tells a described family tells no seal and no tapered bearing, whatever else is listed.
    of_families = {words_of(word): {KIND: OTHER} for word in family_words()}
    accessories = {
        words_of(word): {KIND: OTHER, ACCESSORY: word}
        for word, means in beside_words().items()
        if means == ACCESSORY
    }
    for phrase, fields in {**attribute_words(), **of_families, **accessories}.items():
        words = tuple(TOKEN.findall(phrase))
        found.setdefault(words[0], []).append((words, fields))
    for listed in found.values():
        listed.sort(key=lambda phrase: -len(phrase[0]))
    every = {word for listed in found.values() for words, _ in listed for word in words}
    withs = {word for word, means in beside_words().items() if means == "with"}
    return found, frozenset(every) | withs | denials().keys() | _single_words(_shop).keys()


@cache
def _single_words(_shop: str) -> dict[str, dict[str, str]]:
    """Single words that tell a field only beside others: field and value of each."""
    found: dict[str, dict[str, str]] = {}
    for field in _OPEN:
        for word, value in column_words(field).items():
            if len(word) > 2 and word.isalpha() and word not in denials():
                found.setdefault(word, {})[field] = value
    return found


def read_words(text: str) -> Words:
    """What the words of a description say.

    Parameters
    ----------
    text : str
        The description, without its size or with it.

    Examples
    --------
    >>> read_words("OIL SEAL NBR DBL LIP").values[:3]
    ('double', None, 'NBR')
    """
    return words_in(text, shop_folder())


def words_in(text: str, shop: str) -> Words:
    """As :func:`read_words`, with the folder of the shop's own tables, looked up once for all."""
    every = phrases(shop)[1]
    # What is no listed word only keeps the words beside it apart.
    tokens = tuple([word if word in every else "" for word in TOKEN.findall(text.upper())])
    return _read_tokens(tokens, shop) if any(tokens) else NOTHING


@lru_cache(maxsize=65536)
def _read_tokens(tokens: tuple[str, ...], shop: str) -> Words:
    known = phrases(shop)[0]
    found: dict[str, dict[str, str]] = {}
    denied: list[tuple[str, str, str]] = []
    denies = not denials().keys().isdisjoint(tokens)
    read: list[tuple[int, int, dict[str, str]]] = []
    after, accessory, last_denied = 0, "", ""
    for index, token in enumerate(tokens):
        if token not in known or index < after:
            continue
        for words, fields in known[token]:
            if tokens[index : index + len(words)] == words:
                start, after = max(after, index - _REACH), index + len(words)
                by = _denied_by(tokens, start, index, after, last_denied) if denies else ""
                last_denied = by or next((word for word in words if word in denials()), "")
                if by and KIND not in fields:
                    denied += [(field, " ".join(words), f"{by}: not read") for field in fields]
                    break
                if ACCESSORY in fields:
                    before = tokens[index - 1] if index else ""
                    if beside_words().get(before) == "with":
                        reason = f"stands behind {before}: comes with the part, ask"
                        denied.append((KIND, " ".join(words), reason))
                        break
                    accessory = accessory or " ".join(words)
                read.append((index, after, fields))
                for field, value in fields.items():
                    found.setdefault(field, {}).setdefault(value, " ".join(words))
                break
    single = _single_words(shop)
    taken = {place for start, end, _ in read for place in range(start, end)}
    unread = () if single.keys().isdisjoint(tokens) else _unread(tokens, taken, single)
    if not found and not denied:
        if unread:
            return Words(None, NOTHING.values, denies=denies, unread=unread)
        return _NOTHING_DENIED if denies else NOTHING
    _left_open(tokens, read, taken, found, single)
    directions = found.get(_DIRECTION)
    if directions and _SIDES.issuperset(directions.values()) and not _AT_WHEELS.isdisjoint(tokens):
        words_said = ", ".join(directions.values())
        reason = "may be the side of the vehicle, and no direction of rotation: not read"
        denied.append((_DIRECTION, words_said, reason))
        found = {field: values for field, values in found.items() if field != _DIRECTION}
    if accessory:
        reason = f"{accessory} names something for a part: not taken for the part"
        denied.append((KIND, accessory, reason))
        found = {**found, KIND: {OTHER: accessory}}
        found.pop(ACCESSORY)
    doubts = [
        (field, ", ".join(values.values()), f"the words say {' and '.join(values)}")
        for field, values in found.items()
        if len(values) > 1
    ]
    kinds = found.get(KIND)
    return Words(
        kind=next(iter(kinds)) if kinds else None,
        values=tuple(_only(found.get(field)) for field in ATTRIBUTES),
        doubts=(
            *((f, words, f"{reason}; {_taken(f, kinds)}") for f, words, reason in doubts),
            *denied,
        ),
        accessory=accessory,
        denies=denies,
        unread=tuple(w for w in unread if not any(f in found for f in single[w])),
    )


def _unread(
    tokens: tuple[str, ...], taken: set[int], single: dict[str, dict[str, str]]
) -> tuple[str, ...]:
    """Words that tell a field only beside others, and are part of nothing that was read."""
    alone = (token for place, token in enumerate(tokens) if place not in taken)
    return tuple(dict.fromkeys(token for token in alone if token in single))


def _denied_by(tokens: tuple[str, ...], start: int, index: int, after: int, last: str) -> str:
    """What denies the words from index to after, in words; empty where nothing does."""
    means = denials()
    for place in range(start, index):
        how = means.get(tokens[place], "")
        if how in ("denies", "instead") or (how == "words" and place == index - 1):
            return f"stands behind {tokens[place]}"
    for token in tokens[after : after + 2]:
        if means.get(token) == "behind":
            return f"{token} stands behind it"
    if last and index > start and means.get(tokens[index - 1]) == "or":
        return f"{last} may go for it too" if last in means else last
    return ""


def _left_open(
    tokens: tuple[str, ...],
    read: list[tuple[int, int, dict[str, str]]],
    taken: set[int],
    found: dict[str, dict[str, str]],
    single: dict[str, dict[str, str]],
) -> None:
    """Add the other value where a single word beside what was read leaves it open."""
    if single.keys().isdisjoint(tokens):
        return
    means = denials()
    for start, after, fields in read:
        for beside, step in ((start - 1, -1), (after, 1)):
            either = 0 <= beside < len(tokens) and means.get(tokens[beside]) == "or"
            place = beside + step if either else beside
            if not 0 <= place < len(tokens) or place in taken:
                continue
            word = tokens[place]
            for field, value in single.get(word, {}).items():
                sure = either or (field in _ONE_OF_TWO and len(word) > 3) or word == "OIL"
                if sure and field in fields and value != fields[field]:
                    found[field].setdefault(value, word)


def _only(values: dict[str, str] | None) -> str | None:
    return next(iter(values)) if values and len(values) == 1 else None


def _taken(field: str, kinds: dict[str, str] | None) -> str:
    return f"{next(iter(kinds))}, named first, is taken" if field == KIND and kinds else "left out"


def read_attribute(field: str, text: str) -> str | None:
    """What a cell in a column of one field's own says; None when its words are not listed.

    Parameters
    ----------
    field : str
        ``kind`` or one of ``ATTRIBUTES``.
    text : str
        The cell.

    Examples
    --------
    >>> read_attribute("lip", "Double"), read_attribute("material", "FPM 75"), "?"
    ('double', 'FKM', '?')
    """
    cell = words_of(text)
    whole = column_words(field).get(cell)
    if whole or (field == KIND and cell.lower() in _KINDS):
        return whole or cell.lower()
    words = read_words(text)
    if any(doubt[0] == field for doubt in words.doubts):
        return None
    return words.kind if field == KIND else words.values[ATTRIBUTES.index(field)]
