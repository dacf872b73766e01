"""What lies on the shelf, held against the parts of the card: nothing on the sheet goes unsaid."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from fitcheck.errors import FitcheckError
from fitcheck.job.answers import Answer
from fitcheck.job.sheet import Sheet
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.seal import seal_sizes
from fitcheck.parts.size_text import parse_size
from fitcheck.parts.sleeve import sleeves


def shelf_groups(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """The entries of the shelf by kind, as written; shims are chosen from by their own answer."""
    shelf = sheet.shelf
    return {"seals": shelf.seals, "bearings": shelf.bearings, "sleeves": shelf.sleeves}


def plain_size(text: str) -> str:
    """A size or designation as it is compared: small letters, no blanks, one sign for times.

    >>> plain_size("Sleeve 35.00 \u00d7 13"), plain_size("35 * 52 * 7 mm")
    ('35.00x13', '35x52x7')
    """
    joined = "".join(text.lower().split()).replace("\u00d7", "x").replace("*", "x")
    return joined.removeprefix("sleeve").removesuffix("mm")


def shelf_counts(sheet: Sheet, sizes: Collection[str]) -> dict[str, int]:
    """How many of each size are on the shelf; an entry is one part, or ``SIZE x COUNT``.

    Parameters
    ----------
    sheet : Sheet
        The bench sheet.
    sizes : collection of str
        The sizes of the parts that are wanted, as they are compared.

    Returns
    -------
    dict of str to int
        Counts by size, as it is compared.
    """
    counts: dict[str, int] = {}
    for kind, entries in shelf_groups(sheet).items():
        for entry in entries:
            size, count = _counted(kind, entry, sizes)
            counts[plain_size(size)] = counts.get(plain_size(size), 0) + count
    return counts


_COUNT = re.compile(r"(.*\S)\s*[xX\u00d7*]\s*([0-9]{1,4})\s*")


def _counted(kind: str, entry: str, sizes: Collection[str]) -> tuple[str, int]:
    """The size that an entry names, and how many of it there are."""
    found = _COUNT.fullmatch(entry)
    # The last number of a size is no count: what names a part as it stands is one part.
    if found is None or plain_size(entry) in sizes or _UNDERSTOOD[kind](entry):
        return entry, 1
    if plain_size(found[1]) in sizes or _UNDERSTOOD[kind](found[1]):
        return found[1], int(found[2])
    return entry, 1


def on_shelf(sheet: Sheet, parts: Sequence[Answer]) -> list[Answer]:
    """The parts with what lies on the shelf marked; what it does not cover is a line of its own.

    Parameters
    ----------
    sheet : Sheet
        The bench sheet.
    parts : sequence of dict
        The parts of the card.
    """
    left = shelf_counts(sheet, {plain_size(part["size"]) for part in parts})
    # What can be ordered now takes from the shelf first.
    taken: dict[int, int] = {}
    for number in sorted(range(len(parts)), key=lambda n: not parts[n]["order"]):
        part = parts[number]
        size = plain_size(part["size"])
        if not part.get("on_shelf", False):
            taken[number] = min(part["quantity"], left.get(size, 0))
            left[size] = left.get(size, 0) - taken[number]
    lines = []
    for number, part in enumerate(parts):
        held = taken.get(number, part["quantity"])
        for quantity, is_held in ((held, True), (part["quantity"] - held, False)):
            if quantity:
                lines.append({**part, "quantity": quantity, "on_shelf": is_held})
    return lines


def shelf_notes(sheet: Sheet, parts: Sequence[Answer]) -> list[Answer]:
    """What is on the shelf and on no line of the parts, and why.

    Parameters
    ----------
    sheet : Sheet
        The bench sheet.
    parts : sequence of dict
        The parts of the card, those on the shelf marked.

    Returns
    -------
    list of dict
        ``entry`` as written, ``kind``, and ``note``.
    """
    used = {plain_size(part["size"]) for part in parts}
    possible = {
        plain_size(size): part["for"][0] for part in parts for size in part["size"].split(" or ")
    }
    notes = []
    for kind, entries in shelf_groups(sheet).items():
        for entry in entries:
            named, _ = _counted(kind, entry, used | possible.keys())
            size = plain_size(named)
            if size in used:
                continue
            if size in possible:
                note = f"perhaps the one for {possible[size]}: settle that first"
            elif _UNDERSTOOD[kind](named):
                note = "not needed here"
            else:
                note = "not understood: write it as the parts above are written"
            notes.append({"kind": kind, "entry": entry, "note": note})
    # The pack of a position's own shims is not taken from the shelf.
    if all(entry.have for entry in sheet.shims):
        notes += [
            {"kind": "shims", "entry": entry, "note": "not needed here"}
            for entry in sheet.shelf.shims
        ]
    return notes


def _is_seal(text: str) -> bool:
    try:
        parse_size(text)
    except FitcheckError:
        return _is_listed((size.label for size in seal_sizes()), text)
    return True


def _is_listed(names: Iterable[str], text: str) -> bool:
    return plain_size(text) in {plain_size(name) for name in names}


def _is_bearing(text: str) -> bool:
    return _is_listed((size.label for size in bearing_sizes()), text)


def _is_sleeve(text: str) -> bool:
    return _is_listed((sleeve.designation for sleeve in sleeves()), text)


_UNDERSTOOD: dict[str, Callable[[str], bool]] = {
    "seals": _is_seal,
    "bearings": _is_bearing,
    "sleeves": _is_sleeve,
}
