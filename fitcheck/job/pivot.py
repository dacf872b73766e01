"""A pivot: two tapered bearings under caps with one setting, as one position of the bench sheet."""

from __future__ import annotations

from typing import Any

from msgspec.structs import asdict, replace

from fitcheck.job.answers import Answer
from fitcheck.job.matched import Matched
from fitcheck.job.positions import bearing_position, unique
from fitcheck.job.setup_positions import shims_position
from fitcheck.job.sheet import BearingEntry, PivotEntry, Sheet, ShimsEntry
from fitcheck.verdicts import CHECK, worst

ENDS = ("upper", "lower")
# What a pivot has beyond a setting by shims.
_OWN = {*ENDS, "name"}


def pivot_position(entry: PivotEntry, sheet: Sheet, matched: Matched | None = None) -> Answer:
    """A pivot: its upper and lower bearing, and the one setting of both.

    Parameters
    ----------
    entry : PivotEntry
        The pivot.
    sheet : Sheet
        The sheet it stands on.
    matched : callable, optional
        Asks with the family of the sheet's list.
    """
    # What the sheet says of the hub is not said of the pivot, and its own setting is.
    own = replace(sheet, shims=(_setting(entry),), press=(), bearing=())
    ends = {end: bearing_position(_bearing(entry, end), own, matched) for end in ENDS}
    found = dict(ends)
    if entry.method:
        setting = _setting(entry)
        found["setting"] = shims_position(setting, replace(sheet, shims=(*sheet.shims, setting)))
    verdict = worst(*(position["verdict"] for position in found.values()))
    reasons = [f"{end}: {reason}" for end, p in found.items() for reason in p["reasons"]]
    if not entry.method:
        verdict = worst(verdict, CHECK)
        reasons.append("setting: both bearings are set together, and that was not measured yet")
    return {
        "name": entry.name,
        "kind": "pivot",
        "verdict": verdict,
        "pick": _picked([position["pick"] for position in ends.values()]),
        "reasons": unique(reasons),
        "steps": unique_steps(found),
        "parts": _parts(entry, found),
        "settings": [{**one, "for": entry.name} for one in _all(found, "settings")],
        "assumptions": _all(found, "assumptions"),
        "read_again": [
            {**again, "for": f"{entry.name}, {end}"}
            for end, position in found.items()
            for again in position["read_again"]
        ],
        "cautions": unique(_all(found, "cautions")),
        "sources": unique(_all(found, "sources")),
        "answer": {end: position["answer"] for end, position in found.items()}
        if any(position["answer"] is not None for position in found.values())
        else None,
    }


def _bearing(entry: PivotEntry, end: str) -> BearingEntry:
    read: dict[str, Any] = asdict(getattr(entry, end))
    # A knuckle turns about its fixed pin as a hub about its spindle.
    return BearingEntry(
        name=f"{entry.name}, {end}",
        quantity=entry.quantity,
        unit=entry.unit,
        turning="hub",
        **read,
    )


def _setting(entry: PivotEntry) -> ShimsEntry:
    given = {key: value for key, value in asdict(entry).items() if key not in _OWN}
    return ShimsEntry(name=f"{entry.name}, setting", **given)


def _picked(picks: list[str | None]) -> str | None:
    known = [pick for pick in picks if pick is not None]
    return " and ".join(dict.fromkeys(known)) if len(known) == len(picks) else None


def _all(found: dict[str, Answer], key: str) -> list[Any]:
    return [one for position in found.values() for one in position[key]]


def unique_steps(found: dict[str, Answer]) -> list[tuple[str, str]]:
    """The steps of all positions, each once, in their order."""
    return list(dict.fromkeys(step for position in found.values() for step in position["steps"]))


def _parts(entry: PivotEntry, found: dict[str, Answer]) -> list[Answer]:
    """The parts of both ends, those of one size on one line."""
    merged: dict[tuple[Any, ...], Answer] = {}
    for part in _all(found, "parts"):
        key = (part["what"], part["size"], part["order"], part.get("on_shelf"))
        if key in merged:
            merged[key]["quantity"] += part["quantity"]
        else:
            merged[key] = {**part, "for": [entry.name]}
    return list(merged.values())
