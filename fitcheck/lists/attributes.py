"""Kind, lip, case, material, spring, lubricant and direction out of words.

Only listed words count. Two different values for one field are both named and neither is taken.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache

from fitcheck.lists.words import attribute_words, column_words, denials, words_of
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

KIND = "kind"
ATTRIBUTES = ("lip", "case", "material", "spring", "lubricant", "direction")
_KINDS = ("seal", "bearing", "sleeve", "other")
# Fields that only a seal has: one of them tells the kind where no other word does.
_OF_SEALS = ("lip", "case", "material", "spring")


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """What the words of a text say: the kind, the attributes in their order, and doubts.

    Texts with the same listed words share one object.
    ``doubts`` are (field, words, reason): a field that two words answer differently is None.
    """

    kind: str | None
    values: tuple[str | None, ...]
    doubts: tuple[tuple[str, str, str], ...] = ()

    @property
    def of_seal(self) -> bool:
        """Whether an attribute is given that only seals have."""
        named = dict(zip(ATTRIBUTES, self.values, strict=True))
        return any(named[field] for field in _OF_SEALS)


NOTHING = Words(None, (None,) * len(ATTRIBUTES))


# Words of three letters and more may touch figures (7NBR, NBR70); shorter ones are codes then.
_TOKEN = re.compile(r"[0-9]+(?=[^\W\d_]{3})|[^\W\d_]{3,}|[^\W_]+")


Phrases = dict[str, list[tuple[tuple[str, ...], dict[str, str]]]]


@cache
def _phrases(_shop: str) -> tuple[Phrases, frozenset[str]]:
    """The listed words by their first one, the longest first, so that a negation wins."""
    found: Phrases = {}
    for phrase, fields in attribute_words().items():
        words = tuple(_TOKEN.findall(phrase))
        found.setdefault(words[0], []).append((words, fields))
    for phrases in found.values():
        phrases.sort(key=lambda phrase: -len(phrase[0]))
    every = {word for phrases in found.values() for words, _ in phrases for word in words}
    return found, frozenset(every) | denials()


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
    every = _phrases(shop)[1]
    # What is no listed word only keeps the words beside it apart.
    tokens = tuple([word if word in every else "" for word in _TOKEN.findall(text.upper())])
    return _read_tokens(tokens, shop) if any(tokens) else NOTHING


@lru_cache(maxsize=65536)
def _read_tokens(tokens: tuple[str, ...], shop: str) -> Words:
    known = _phrases(shop)[0]
    found: dict[str, dict[str, str]] = {}
    denied: list[tuple[str, str, str]] = []
    after = 0
    for index, token in enumerate(tokens):
        if token not in known or index < after:
            continue
        for words, fields in known[token]:
            if tokens[index : index + len(words)] == words:
                after = index + len(words)
                before = next((t for t in tokens[max(index - 2, 0) : index] if t in denials()), "")
                if before and KIND not in fields:
                    reason = f"stands behind {before}: not read"
                    denied += [(field, " ".join(words), reason) for field in fields]
                    break
                for field, value in fields.items():
                    found.setdefault(field, {}).setdefault(value, " ".join(words))
                break
    if not found and not denied:
        return NOTHING
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
    )


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
