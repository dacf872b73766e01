"""The fields of the parts that their tables describe, and of a pivot, which is two bearings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.parts.asked import options
from fitcheck.parts.kind import kind
from fitcheck.tables import table
from fitcheck.web.pages.field import CHOICE, READING, TEXT, Field, Part

if TYPE_CHECKING:
    from collections.abc import Iterable

# An end of a pivot and what is read there: key "upper-bore".
ENDS = ("upper", "lower")
_IN_SIGHT = ("mark", "bore", "od", "width")
# Places that are called by a letter or a short word in the tables.
_NAMES = {
    "id": "Inside",
    "od": "Outside",
    "old_od": "Old part, outside",
    "old_bore": "Old part, bore",
    "old_width": "Old part, width",
    "old_height": "Old part, height",
    "free_inside": "Inside, lying loose",
    "free_outside": "Outside, lying loose",
}


def kind_part(name: str) -> Part:
    """What a family asks on the bench: its places, then its mark, then what else its tables ask.

    Parameters
    ----------
    name : str
        The family.

    Examples
    --------
    >>> [field.key for field in kind_part("felt").fields]
    ['shaft', 'groove', 'groove_width', 'old_od', 'old_width', 'mark']
    >>> kind_part("circlip").question
    'Which retaining ring is it?'
    """
    title = kind(name).title
    fields = [
        _place(row.text("place"), row.text("words"), row.text("instruments").split())
        for row in table(f"{name}/places").rows
    ]
    fields.append(Field("mark", "Mark", "? for a lost character", TEXT, first=True))
    for option in options(name):
        key, words = option.name.replace("-", "_"), option.words.rstrip(".")
        if option.is_reading:
            tools = ("indicator", "caliper", "depth-gauge")
            fields.append(Field(key, _name(key), _small(words), READING, tools))
        else:
            said = (("", "not said"), *((word, word.replace("-", " ")) for word in option.choices))
            fields.append(Field(key, _name(key), _small(words), CHOICE, choices=said, many=False))
    return Part(name, f"{title[:1].upper()}{title[1:]}", f"Which {title} is it?", tuple(fields))


def _place(place: str, words: str, tools: Iterable[str]) -> Field:
    key = place.replace("-", "_")
    return Field(key, _name(key), words, READING, tuple(tools), first=True)


def _name(key: str) -> str:
    return _NAMES.get(key) or key.replace("_", " ").capitalize()


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"


def pivot_part(bearing: Part, shims: Part) -> Part:
    """A pivot on the bench: what is read of its two bearings, and how both are set.

    Parameters
    ----------
    bearing, shims : Part
        A bearing's fields and a setting's.
    """
    read = [one for one in bearing.fields if one.how in (READING, TEXT)]
    fields = [
        Field(
            f"{end}-{one.key}",
            f"{end.capitalize()}: {_small(one.name)}",
            one.hint,
            one.how,
            one.tools,
            first=one.key in _IN_SIGHT,
            many=one.many,
        )
        for end in ENDS
        for one in read
    ]
    return Part(
        "pivot",
        "Pivot, two bearings",
        "Which bearings carry the pivot, and how are they set?",
        (*fields, *shims.fields),
    )
