"""The job card: every position answered, the parts in one order, the work, what to read again.

The card is data; text, HTML, JSON and spreadsheets are views of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from fitcheck.errors import FitcheckError
from fitcheck.job import bearing as bearing_job
from fitcheck.job import seal as seal_job
from fitcheck.job.answers import Answer, cautions, worst
from fitcheck.job.sheet import BearingEntry, SealEntry, Sheet

# A leading size below this share is named as a possibility, not as a pick.
_PICK = 0.6

_SEAL_KINDS = {
    "shaft": "shaft",
    "track": "track",
    "bore": "bore",
    "pocket": "pocket",
    "old-od": "old_od",
    "old-lip": "old_lip",
    "old-width": "old_width",
}


def job_card(sheet: Sheet) -> Answer:
    """The job card of a bench sheet.

    A position whose readings can't be answered at all stands on the card as ``check`` with the
    reason; the other positions are answered all the same.
    """
    positions = [
        *(_position("seal", entry, sheet) for entry in sheet.seal),
        *(_position("bearing", entry, sheet) for entry in sheet.bearing),
    ]
    return {
        "verdict": worst(*(p["verdict"] for p in positions)),
        "job": _job(sheet),
        "positions": positions,
        "parts": _parts(positions, sheet),
        "settings": [],
        "read_again": [entry for p in positions for entry in p["read_again"]],
        "cautions": _cautions(positions),
        "sources": _unique(source for p in positions for source in p["sources"]),
    }


def _job(sheet: Sheet) -> Answer:
    job = sheet.job
    return {
        "title": job.title,
        "machine": job.machine,
        "place": job.place,
        "date": str(job.date) if job.date else "",
        "note": job.note,
        "invented": job.invented,
        "turning": job.turning,
    }


def _position(kind: str, entry: SealEntry | BearingEntry, sheet: Sheet) -> Answer:
    try:
        found = (
            _seal_answer(entry, sheet)
            if isinstance(entry, SealEntry)
            else _bearing_answer(entry, sheet)
        )
    except FitcheckError as error:
        return _unanswered(kind, entry, error)
    return _answered(kind, entry, found)


def _seal_answer(entry: SealEntry, sheet: Sheet) -> Answer:
    job = sheet.job
    return seal_job.answer(
        seal_job.SealRequest(
            readings={place: getattr(entry, key) for place, key in _SEAL_KINDS.items()},
            mark=entry.mark,
            case=entry.case,
            groove_depth=entry.groove_depth,
            groove_width=entry.groove_width,
            lip_at=entry.lip_at,
            room=entry.room,
            pitted=entry.pitted,
            oval=entry.oval,
            rpm=entry.rpm or job.speed,
            oil=entry.oil or job.oil,
            oil_temp=entry.oil_temp or job.temperature,
            pressure=entry.pressure or job.pressure,
            unit=entry.unit or job.unit,
            instrument=job.instrument,
            certainty=job.certainty,
        )
    )


def _bearing_answer(entry: BearingEntry, sheet: Sheet) -> Answer:
    job = sheet.job
    places = (*bearing_job.PLACES, *bearing_job.SEATS)
    return bearing_job.answer(
        bearing_job.BearingRequest(
            readings={place: getattr(entry, place.replace("-", "_")) for place in places},
            mark=entry.mark,
            turning=entry.turning or job.turning,
            housing_material=entry.housing_material,
            unit=entry.unit or job.unit,
            instrument=job.instrument,
            certainty=job.certainty,
        )
    )


def _unanswered(kind: str, entry: SealEntry | BearingEntry, error: FitcheckError) -> Answer:
    return {
        "name": entry.name,
        "kind": kind,
        "verdict": "check",
        "pick": None,
        "reasons": [f"not answered: {error}"],
        "work": [],
        "parts": [],
        "read_again": [{"for": entry.name, "reading": "", "instrument": "", "reason": error.todo}],
        "cautions": [],
        "sources": [],
        "answer": None,
    }


def _answered(kind: str, entry: SealEntry | BearingEntry, found: Answer) -> Answer:
    label = "size" if kind == "seal" else "designation"
    leading = found["candidates"][0] if found["candidates"] else None
    pick = leading[label] if leading and leading["probability"] >= _PICK else None
    possible = [c[label] for c in found["candidates"] if c["probability"] >= 0.02][:4]
    worn = found.get("counterface")
    way = worn["ways"][0] if worn and worn["ways"] else None
    reasons = list(found["reasons"])
    if leading is not None and pick is not None:
        reasons += leading["reasons"]
    if leading is not None:
        reasons += _seat_reasons(found)
    reasons += _duty_reasons(found)
    if entry.note:
        reasons.append(f"note: {entry.note}")
    return {
        "name": entry.name,
        "kind": kind,
        "verdict": found["verdict"],
        "pick": pick,
        "reasons": _unique([*reasons, *_way_reasons(worn)]),
        "work": _work(kind, found, way),
        "parts": _position_parts(kind, entry, found, pick=pick, possible=possible, way=way),
        "read_again": _read_again(entry.name, found, worn),
        "cautions": _unique([*found["cautions"], *(worn or {}).get("cautions", [])]),
        "sources": _sources(found, leading, worn),
        "answer": found,
    }


def _way_reasons(worn: Answer | None) -> list[str]:
    """Why the first way with the counterface is taken, and what else would do."""
    if worn is None or not worn["ways"]:
        return []
    first, *others = worn["ways"]
    lines = [f"{_way_words(first)}: {reason}" for reason in first["reasons"]]
    also = [f"{_way_words(way)} ({way['verdict']})" for way in others if way["verdict"] != "no-go"]
    return [*lines, f"other ways: {', '.join(also)}"] if also else lines


def _way_words(way: Mapping[str, Any]) -> str:
    return str(way["way"]).replace("-", " ")


def _seat_reasons(found: Answer) -> list[str]:
    seats = [f"{s['seat']}: {s['reason']}" for s in found.get("seats", [])]
    return seats + [check["reason"] for check in found.get("checks", [])]


def _duty_reasons(found: Answer) -> list[str]:
    duty = found.get("duty")
    if not duty:
        return []
    fit = [m["material"] for m in duty["materials"] if m["verdict"] == "go"]
    if fit:
        return [f"lip material for this duty: {', '.join(fit)}"]
    possible = [m["material"] for m in duty["materials"] if m["verdict"] == "check"]
    if possible:
        return [f"lip material: none is sure for this duty; to be settled: {', '.join(possible)}"]
    return ["lip material: none of the usual ones stands this duty"]


def _work(kind: str, found: Answer, way: Mapping[str, Any] | None) -> list[str]:
    work: list[str] = []
    if way is not None:
        work.append(f"{way['way'].replace('-', ' ')}:")
        work += way["work"]
    if kind == "bearing":
        work += [
            seat["advice"]
            for seat in found.get("seats", [])
            if seat.get("advice") and seat["verdict"] != "go"
        ]
    return _unique(work)


def _position_parts(
    kind: str,
    entry: SealEntry | BearingEntry,
    found: Answer,
    *,
    pick: str | None,
    possible: list[str],
    way: Mapping[str, Any] | None,
) -> list[Answer]:
    what = "lip seal" if kind == "seal" else "tapered bearing"
    sure = found["candidates"] and found["candidates"][0]["verdict"] == "go"
    parts = []
    if pick is not None or possible:
        parts.append(
            {
                "what": what,
                "size": pick or " or ".join(possible),
                "quantity": entry.quantity,
                "for": [entry.name],
                "order": bool(sure),
            }
        )
    elif found["verdict"] == "no-go":
        parts.append(
            {
                "what": what,
                "size": "no listed size: order by its dimensions",
                "quantity": entry.quantity,
                "for": [entry.name],
                "order": False,
            }
        )
    if way is not None:
        parts += [
            {
                "what": part["what"],
                "size": part["size"],
                "quantity": part["quantity"] * entry.quantity,
                "for": [entry.name],
                "order": way["verdict"] == "go",
            }
            for part in way["parts"]
        ]
    return parts


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
        part["on_shelf"] = _plain_size(part["size"]) in on_shelf
    return list(merged.values())


def _plain_size(text: str) -> str:
    return "".join(text.lower().split()).removeprefix("sleeve")


def _read_again(name: str, found: Answer, worn: Answer | None) -> list[Answer]:
    entries = []
    following = found["next_reading"]
    if following is not None:
        entries.append({"for": name, **{k: following[k] for k in _READING_KEYS}})
    for asked in (worn or {}).get("read_again", []):
        entries.append({"for": name, **{k: asked.get(k, "") for k in _READING_KEYS}})
    for seat in found.get("seats", []):
        if seat.get("read_again"):
            entries.append(
                {
                    "for": name,
                    "reading": seat["seat"],
                    "instrument": "micrometer" if seat["seat"] == "journal" else "bore-gauge",
                    "reason": seat["read_again"],
                }
            )
    return entries


_READING_KEYS = ("reading", "instrument", "reason")


def _sources(found: Answer, leading: Answer | None, worn: Answer | None) -> list[str]:
    sources = [leading["source"]] if leading else []
    sources += [check["source"] for check in found.get("checks", [])]
    sources += [seat["source"] for seat in found.get("seats", [])]
    sources += (worn or {}).get("sources", [])
    duty = found.get("duty") or {}
    sources += duty.get("sources", [])
    return _unique(s for joined in sources for s in joined.split("; ") if s)


def _cautions(positions: Sequence[Answer]) -> list[str]:
    """The job's own cautions first, then those of the positions, each once."""
    first = cautions("job")
    first.insert(0, first.pop())
    return _unique([*first, *(c for p in positions for c in p["cautions"])])


def _unique(lines: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(lines))
