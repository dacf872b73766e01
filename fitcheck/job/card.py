"""The job card: every position answered, the parts in one order, the work, what to read again.

The card is data; text, HTML, JSON and spreadsheets are views of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.job.answers import Answer, cautions, worst
from fitcheck.job.closing import prompts
from fitcheck.job.positions import bearing_position, seal_position, unique
from fitcheck.job.setup_positions import (
    closing_position,
    oil_position,
    press_position,
    shims_position,
)
from fitcheck.job.sheet import Sheet


def job_card(sheet: Sheet) -> Answer:
    """The job card of a bench sheet.

    A position whose readings can't be answered at all stands on the card as ``check`` with the
    reason; the other positions are answered all the same.
    """
    positions = [
        *(seal_position(entry, sheet) for entry in sheet.seal),
        *(bearing_position(entry, sheet) for entry in sheet.bearing),
        *(press_position(entry, sheet) for entry in sheet.press),
        *(shims_position(entry, sheet) for entry in sheet.shims),
    ]
    if sheet.closing is not None:
        positions.append(closing_position(sheet.closing, sheet))
    if sheet.oil is not None:
        positions.append(oil_position(sheet.oil, sheet, seals=positions))
    return {
        "verdict": worst(*(p["verdict"] for p in positions)),
        "job": _job(sheet),
        "positions": positions,
        "parts": _parts(positions, sheet),
        "inspect": _inspect(positions, sheet),
        "work": _work(positions),
        "settings": [entry for p in positions for entry in p["settings"]],
        "read_again": [entry for p in positions for entry in p["read_again"]],
        "cautions": _cautions(positions),
        "sources": unique(source for p in positions for source in p["sources"]),
    }


# The way back together: worn seats first, what is pressed, the lands, the bearings' setting, and
# what closes and fills the hub.
_ASSEMBLY = ("bearing", "press", "seal", "shims", "closing", "oil")


def _work(positions: Iterable[Answer]) -> list[Answer]:
    """Every step of work, in the order of assembly."""
    ordered = sorted(positions, key=lambda p: _ASSEMBLY.index(p["kind"]))
    return [{"for": p["name"], "step": step} for p in ordered for step in p["work"]]


def _inspect(positions: Iterable[Answer], sheet: Sheet) -> list[Answer]:
    """What to look at before the hub is closed, for the parts that the sheet names."""
    closing = sheet.closing
    extra = {
        "bushing": closing is not None and closing.bushing,
        "universal-joint": closing is not None and closing.universal_joints > 0,
    }
    kinds = [
        *dict.fromkeys(p["kind"] for p in positions),
        *(k for k, named in extra.items() if named),
    ]
    return prompts(kinds)


def _job(sheet: Sheet) -> Answer:
    job = sheet.job
    return {
        "title": job.title,
        "machine": job.machine,
        "place": job.place,
        "date": job.date,
        "note": job.note,
        "invented": job.invented,
        "turning": job.turning,
    }


def _parts(positions: Iterable[Answer], sheet: Sheet) -> list[Answer]:
    """All parts in one list: same part and size on one line, what is on the shelf marked so."""
    on_shelf = {
        _plain_size(text)
        for group in (sheet.shelf.seals, sheet.shelf.bearings, sheet.shelf.sleeves)
        for text in group
    }
    merged: dict[tuple[str, str], Answer] = {}
    for position in positions:
        for part in position["parts"]:
            key = (part["what"], part["size"])
            if key in merged:
                merged[key]["quantity"] += part["quantity"]
                merged[key]["for"] += part["for"]
                merged[key]["order"] = merged[key]["order"] and part["order"]
            else:
                merged[key] = {**part, "for": list(part["for"])}
    for part in merged.values():
        part["on_shelf"] = part.get("on_shelf", False) or _plain_size(part["size"]) in on_shelf
    return list(merged.values())


def _plain_size(text: str) -> str:
    return "".join(text.lower().split()).removeprefix("sleeve")


def _cautions(positions: Sequence[Answer]) -> list[str]:
    """The job's own cautions first, then those of the positions, each once."""
    first = cautions("job")
    first.insert(0, first.pop())
    return unique([*first, *(c for p in positions for c in p["cautions"])])
