"""A position of the bench sheet that holds a part of a described family."""

from __future__ import annotations

from typing import Any

from fitcheck.errors import InputError
from fitcheck.job.answers import Answer
from fitcheck.job.identified import SETTLED
from fitcheck.job.matched import Matched, asked_of
from fitcheck.job.part.answer import PartRequest, answer
from fitcheck.job.position_parts import worn_seat_parts
from fitcheck.job.positions import answered, unique
from fitcheck.job.sheet import Position, Sheet
from fitcheck.parts.asked import advice, options
from fitcheck.parts.kind import kind, kind_names
from fitcheck.tables import table
from fitcheck.verdicts import GO, NO_GO

# Possibilities are sizes of at least this share, so many.
_POSSIBLE, _AT_MOST = 0.05, 4


def part_position(
    name: str, entry: Position, sheet: Sheet, matched: Matched | None = None
) -> Answer:
    """A position of a described family.

    Parameters
    ----------
    name : str
        The family's name.
    entry : Position
        What was filled in.
    sheet : Sheet
        The sheet it stands on.
    matched : callable, optional
        Asks with the family of the sheet's list.
    """
    return answered(
        entry,
        name,
        lambda: asked_of(entry, answer, _request(name, entry, sheet), sheet, matched),
        lambda found: _shown(name, entry, found),
    )


def stage_of(name: str) -> str:
    """When a part of a family goes in, on the way back together.

    Parameters
    ----------
    name : str
        The kind of a position; a stage of its own, or a family.
    """
    return kind(name).stage if name in kind_names() else name


def _request(name: str, entry: Position, sheet: Sheet) -> PartRequest:
    job = sheet.job
    read = [row.text("place") for row in table(f"{name}/places").rows]
    read += [option.name for option in options(name) if option.is_reading]
    readings = {place: _given(entry, place) for place in read}
    mark = _given(entry, "mark")
    if not any(readings.values()) and not mark:
        raise InputError(
            value="nothing filled in",
            rule="this position has no reading and no mark yet",
            todo="Fill in what can be measured or read, or take its table out of the sheet",
        )
    choices = {o.name: _given(entry, o.name) for o in options(name) if not o.is_reading}
    if "turning" in choices:
        choices["turning"] = choices["turning"] or job.turning
    return PartRequest(
        kind=name,
        readings=readings,
        choices=choices,
        mark=mark,
        unit=entry.unit or job.unit,
        instrument=job.instrument,
        certainty=job.certainty,
    )


def _given(entry: Position, key: str) -> Any:
    return getattr(entry, key.replace("-", "_"))


def _shown(name: str, entry: Position, found: Answer) -> Answer:
    leading = found["candidates"][0] if found["candidates"] else None
    pick = leading["size"] if leading and leading["probability"] >= SETTLED else None
    reasons = list(found["reasons"])
    if leading is not None and pick is not None:
        reasons += leading["reasons"]
    reasons += [check["reason"] for check in found["checks"]]
    reasons += [f"{one['size']} {one['reason']}" for one in found.get("also", ())[:_AT_MOST]]
    if entry.note:
        reasons.append(f"note: {entry.note}")
    return {
        "verdict": found["verdict"],
        "pick": pick,
        "reasons": unique(reasons),
        "steps": [
            (stage_of(name), check["advice"])
            for check in found["checks"]
            if check["advice"] and check["verdict"] != GO
        ],
        "parts": [
            _part(entry, found, pick),
            *worn_seat_parts(found, name=entry.name, quantity=entry.quantity),
        ],
        "read_again": _read_again(entry.name, found),
        "cautions": found["cautions"],
        "sources": unique(
            source
            for joined in [*found["sources"], *(check["source"] for check in found["checks"])]
            for source in joined.split("; ")
            if source
        ),
    }


def _part(entry: Position, found: Answer, pick: str | None) -> Answer:
    possible = [c["size"] for c in found["candidates"] if c["probability"] >= _POSSIBLE]
    # What goes into a groove that was measured is what can be bought for it.
    possible = [one["size"] for one in found.get("also", ())] or possible
    of_old = {option.name for option in options(found["kind"]) if option.is_reading}
    judged = [check for check in found["checks"] if check["what"] not in of_old]
    ruled_out = any(check["verdict"] == NO_GO for check in judged)
    sure = pick is not None and found["candidates"][0]["verdict"] == GO and not ruled_out
    made = {"made": ", ".join(found["marked"])} if found["marked"] else {}
    return {
        "what": found["title"],
        "size": pick or " or ".join(possible[:_AT_MOST]) or "of a size to be settled",
        "quantity": entry.quantity,
        "for": [entry.name],
        "order": sure,
        **made,
    }


def _read_again(name: str, found: Answer) -> list[Answer]:
    following = found["next_reading"]
    entries = [] if following is None else [following]
    entries += [
        {
            "reading": check["what"],
            "instrument": "",
            "reason": check["read_again"].removeprefix(f"{check['what']}: "),
        }
        for check in found["checks"]
        if check["read_again"]
    ]
    first: dict[str, Answer] = {}
    for entry in entries:
        wanted = {key: entry[key] for key in ("reading", "instrument", "reason")}
        first.setdefault(entry["reading"], {"for": name, **wanted})
    return list(first.values())


def family_steps(name: str) -> list[tuple[str, str]]:
    """How a part of a family is fitted, each step with its source.

    Parameters
    ----------
    name : str
        The kind of a position.
    """
    return list(advice(name, "fit")) if name in kind_names() else []


def family_prompts(name: str) -> list[Answer]:
    """What to look at beside a part of a family.

    Parameters
    ----------
    name : str
        The kind of a position.
    """
    if name not in kind_names():
        return []
    return [
        {"part": name, "prompt": text, "source": source} for text, source in advice(name, "look")
    ]
