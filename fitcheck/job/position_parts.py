"""The parts of a seal or bearing position: what can be ordered, and what is settled first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.job.answers import Answer
from fitcheck.job.identified import SETTLED
from fitcheck.job.seal_duty import material_to_order
from fitcheck.job.sheet import (
    BearingEntry,
    ClosingEntry,
    Position,
    PressEntry,
    SealEntry,
    ShimsEntry,
)
from fitcheck.parts.kind import kind as family_kind
from fitcheck.quantities import plain
from fitcheck.verdicts import GO, NO_GO

# The readings that a part of no listed size is ordered by, and how each is said.
_DIMENSIONS = {
    "shaft": "shaft",
    "track": "shaft in the track",
    "bore": "bore",
    "old-od": "old outside",
    "old-lip": "old lip",
    "old-width": "old width",
    "od": "od",
    "width": "width",
    "cone-width": "cone width",
    "cup-width": "cup width",
    "thickness": "thickness",
}


def position_parts(
    kind: str,
    entry: SealEntry | BearingEntry,
    found: Answer,
    *,
    pick: str | None,
    possible: list[str],
    way: Mapping[str, Any] | None,
) -> list[Answer]:
    """The parts that a position needs.

    Parameters
    ----------
    kind : str
        ``seal`` or ``bearing``.
    entry : SealEntry or BearingEntry
        The position on the sheet.
    found : dict
        Its answer.
    pick : str or None
        The size that it is, where that is settled.
    possible : list of str
        The sizes that it may be.
    way : mapping or None
        The first way with the counterface.

    Returns
    -------
    list of dict
        ``what``, ``size``, ``material`` of a lip, ``quantity``, ``for``, and ``order``: whether it
        can be ordered now.
    """
    # A seat or a duty that rules the part out must be settled before money is spent on it.
    ruled_out = NO_GO in (
        found["verdict"],
        (found.get("duty") or {}).get("verdict", ""),
        *(seat["verdict"] for seat in (*found.get("checks", []), *found.get("seats", []))),
    )
    sure = bool(found["candidates"]) and found["candidates"][0]["verdict"] == GO and not ruled_out
    part = {
        "what": "lip seal" if kind == "seal" else "tapered bearing",
        "size": pick or " or ".join(possible) or _unlisted(found),
        "quantity": entry.quantity,
        "for": [entry.name],
        "order": sure,
    }
    if kind == "seal":
        duty = found.get("duty")
        part["material"] = material_to_order(found)
        # A size alone is no order: where no material is sure for the duty, that is settled first.
        part["order"] = sure and (not duty or bool(duty["best"]))
    worn = worn_seat_parts(found, name=entry.name, quantity=entry.quantity)
    if way is None:
        return [part, *worn]
    # What repairs the shaft is bought with the seal that runs on it, or not yet.
    repairs = [
        {
            "what": repair["what"],
            "size": repair["size"],
            "quantity": repair["quantity"] * entry.quantity,
            "for": [entry.name],
            "order": way["verdict"] == GO and pick is not None and not ruled_out,
        }
        for repair in way["parts"]
    ]
    return [part, *repairs, *worn]


# What a position that could not be answered is of; a cup comes with its bearing.
_WHAT = {"seal": "lip seal", "bearing": "tapered bearing", "oil": "oil"}
_PRESSED = {"collar": "collar", "bushing": "bushing", "sleeve": "thick sleeve ring", "cup": ""}


def unsettled_parts(kind: str, entry: Position) -> list[Answer]:
    """The part of a position that could not be answered: it is wanted all the same.

    Parameters
    ----------
    kind : str
        The kind of the position.
    entry : Position
        What was filled in.

    Examples
    --------
    >>> [part] = unsettled_parts("seal", SealEntry(name="hub seal", quantity=2))
    >>> part["what"], part["size"], part["quantity"], part["order"]
    ('lip seal', 'to be settled', 2, False)
    """
    if isinstance(entry, ClosingEntry):
        what = "cotter pin" if entry.cotter_hole else ""
    elif isinstance(entry, ShimsEntry):
        by_shims = entry.method != "end-play" or entry.position or entry.fitted
        what = "shims" if by_shims else ""
    elif isinstance(entry, PressEntry):
        what = _PRESSED.get(entry.use, "pressed part")
    else:
        what = _WHAT.get(kind) or family_kind(kind).title
    if not what:
        return []
    return [
        {
            "what": what,
            "size": "to be settled",
            "quantity": entry.quantity,
            "for": [entry.name],
            "order": False,
        }
    ]


# The dimension of a seal or bearing that its seat goes by.
_GOES_BY = {"journal": "bore_mm", "housing": "od_mm", "seal bore": "bore_mm"}


def worn_seat_parts(found: Answer, *, name: str, quantity: int) -> list[Answer]:
    """What mending or renewing a worn seat takes, to be settled before it is ordered.

    Parameters
    ----------
    found : dict
        The answer about the part, with its ``seats`` or ``checks``.
    name : str
        The position.
    quantity : int
        How many of it there are.

    Examples
    --------
    >>> worn = {"seat": "housing", "class": "P7", "verdict": "no-go", "advice": "fit a bush"}
    >>> found = {"seats": [worn], "candidates": [{"od_mm": 80.0}], "readings": []}
    >>> [part] = worn_seat_parts(found, name="inner", quantity=1)
    >>> part["what"], part["size"], part["order"]  # doctest: +NORMALIZE_WHITESPACE
    ('bush for the worn housing', 'inside 80 mm P7, outside by how far it is bored out; or the part
     with the housing new', False)
    """
    parts = []
    for seat in (*found.get("seats", ()), *found.get("checks", ())):
        if seat["verdict"] != NO_GO or not seat.get("advice"):
            continue
        place = seat.get("seat") or seat["what"]
        # A bore that wears is bushed, a journal built up: the advice says which of them it is.
        if "bush" in seat["advice"]:
            what = f"bush for the worn {place}"
            size = (
                f"inside {_seat_size(found, place, seat)}, outside by how far it is bored out; or "
                f"the part with the {place} new"
            )
        elif "build" in seat["advice"]:
            what = f"part with the worn {place}"
            size = "as the machine's manual lists it, where it is not built up and ground"
        else:
            continue
        parts.append(
            {"what": what, "size": size, "quantity": quantity, "for": [name], "order": False}
        )
    return parts


def _seat_size(found: Answer, place: str, seat: Answer) -> str:
    """The size a seat has when it is mended, with its class where that is known."""
    nominal = found["candidates"][0].get(_GOES_BY.get(place, ""), None)
    if nominal is None:
        mean = next((r["mean_mm"] for r in found["readings"] if r["place"] == place), None)
        if mean is None or seat.get("measured_um") is None:
            return "as its seat"
        nominal = mean - seat["measured_um"] / 1000.0
    # Practice for inch seats has no class of one word.
    named = seat.get("class", "")
    return f"{plain(round(nominal, 3))} mm" + ("" if " " in named else f" {named}".rstrip())


def _unlisted(found: Answer) -> str:
    """What a part is called that is of no listed size, or of none that is settled."""
    if found["verdict"] != NO_GO or found["unlisted"] < SETTLED:
        return "of a size to be settled"
    read = [
        f"{_DIMENSIONS[reading['place']]} {plain(round(reading['mean_mm'], 3))} mm"
        for reading in sorted(found["readings"], key=_in_order)
        if reading["place"] in _DIMENSIONS
    ]
    return "of no listed size: order by its dimensions" + (f", {', '.join(read)}" if read else "")


def _in_order(reading: Answer) -> int:
    places = list(_DIMENSIONS)
    return places.index(reading["place"]) if reading["place"] in places else len(places)
