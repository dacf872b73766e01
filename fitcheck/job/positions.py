"""One position of the bench sheet answered: verdict, pick, reasons, work, parts, readings to take.

Seals and bearings are identified and their seats judged; the answers themselves come from the
modules that the single commands use, so that card and command can't disagree.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from fitcheck.errors import FitcheckError, InputError
from fitcheck.job import bearing as bearing_job
from fitcheck.job import seal as seal_job
from fitcheck.job.answers import Answer
from fitcheck.job.bare_units import read_pressure, read_temperature
from fitcheck.job.hub_material import housing_said
from fitcheck.job.identified import SETTLED
from fitcheck.job.matched import Matched, asked_of
from fitcheck.job.oil.head_space import head_space
from fitcheck.job.oil.order import vent_doubt
from fitcheck.job.oil.text import OilRequest
from fitcheck.job.position_parts import position_parts, unsettled_parts
from fitcheck.job.seal_duty import duty_question, material_reasons
from fitcheck.job.sheet import BearingEntry, OilEntry, Position, SealEntry, Sheet
from fitcheck.quantities import plain
from fitcheck.verdicts import CHECK, NO_GO, worst

# The stages of the way back together, in their order.
MACHINING, PRESS, SLEEVE, BEARING, COLLAR, SHIMS, SEAL, CLOSING, OIL = STAGES = (
    "machining",
    "press",
    "sleeve",
    "bearing",
    "collar",
    "shims",
    "seal",
    "closing",
    "oil",
)
# Possibilities are sizes of at least this share, this many, if together they cover this much.
_POSSIBLE, _AT_MOST, _COVERED = 0.02, 4, 0.8

_SEAL_KINDS = {
    "shaft": "shaft",
    "track": "track",
    "bore": "bore",
    "pocket": "pocket",
    "old-od": "old_od",
    "old-lip": "old_lip",
    "old-width": "old_width",
}


def seal_position(entry: SealEntry, sheet: Sheet, matched: Matched | None = None) -> Answer:
    """A lip seal position."""
    return answered(
        entry,
        "seal",
        lambda: _seal_answer(entry, sheet, matched),
        lambda found: _found("seal", entry, found),
    )


def bearing_position(entry: BearingEntry, sheet: Sheet, matched: Matched | None = None) -> Answer:
    """A tapered bearing position."""
    return answered(
        entry,
        "bearing",
        lambda: _bearing_answer(entry, sheet, matched),
        lambda found: _found("bearing", entry, found),
    )


def answered(
    entry: Position,
    kind: str,
    ask: Callable[[], Answer],
    show: Callable[[Answer], Answer],
) -> Answer:
    """A position from its answer, or what to do where its readings can't be answered.

    One unreadable position must not cost the mechanic the rest of the card.
    """
    try:
        found = ask()
    except FitcheckError as error:
        return _unanswered(kind, entry, error)
    blank = {"settings": [], "assumptions": found.get("assumptions", [])}
    shown = show(found)
    # Who fills in a sheet knows its keys, and none of the options.
    shown["reasons"] = [_in_keys(reason) for reason in shown["reasons"]]
    shown["read_again"] = [
        {**again, "reason": _in_keys(again["reason"])} for again in shown["read_again"]
    ]
    return {"name": entry.name, "kind": kind, **blank, **shown, "answer": found}


def job_temperature(sheet: Sheet) -> str:
    """The temperature of the job with its unit, which is that of the job and no position's.

    Raises
    ------
    AmbiguousError
        It is bare and may be C or F.
    InputError
        It is no temperature.
    """
    text, inches = sheet.job.temperature, sheet.job.unit == "in"
    if not text:
        return ""
    found = read_temperature(text, place="[job] temperature", inches=inches)
    return f"{plain(round(found, 6))}C"


def _job_pressure(sheet: Sheet) -> str:
    """The pressure of the job with its unit."""
    text, inches = sheet.job.pressure, sheet.job.unit == "in"
    if not text:
        return ""
    found = read_pressure(text, place="[job] pressure", inches=inches)
    return f"{plain(round(found, 9))}bar"


def _seal_answer(entry: SealEntry, sheet: Sheet, matched: Matched | None) -> Answer:
    """The answer about a seal; the oil on its sheet tells the pressure that nobody gave."""
    given = entry.pressure or _job_pressure(sheet)
    pressure, taken = given, ""
    if not pressure and sheet.oil is not None:
        pressure, taken = _head_space(sheet.oil, sheet)
    request = _seal_request(entry, sheet, pressure=pressure)
    found = asked_of(entry, seal_job.answer, request, sheet, matched)
    if taken and found.get("duty"):
        if pressure:
            found["assumptions"] = [*found.get("assumptions", []), taken]
        found["reasons"].append(taken)
    if sheet.oil is not None and sheet.oil.vented:
        doubt = vent_doubt([("the sheet", given)], inches=sheet.job.unit == "in")
        found["reasons"] += [doubt] if doubt else []
    return found


def _head_space(entry: OilEntry, sheet: Sheet) -> tuple[str, str]:
    given = {key: getattr(entry, key) for key in _OF_THE_CAVITY}
    return head_space(
        OilRequest(
            **given,
            to_temp=entry.to_temp or job_temperature(sheet),
            unit=entry.unit or sheet.job.unit,
            instrument=sheet.job.instrument,
        )
    )


_OF_THE_CAVITY = ("volume", "diameter", "length", "fill", "level", "from_temp", "vented")


def _seal_request(entry: SealEntry, sheet: Sheet, *, pressure: str) -> seal_job.SealRequest:
    job = sheet.job
    _check_filled(entry, (*_SEAL_KINDS.values(), "mark"))
    return seal_job.SealRequest(
        readings={place: getattr(entry, key) for place, key in _SEAL_KINDS.items()},
        mark=entry.mark,
        case=entry.case,
        groove_depth=entry.groove_depth,
        groove_width=entry.groove_width,
        lip_at=entry.lip_at,
        room=entry.room,
        shaft_end=entry.shaft_end,
        bore_chamfer=entry.bore_chamfer,
        bare_shaft=entry.bare_shaft,
        pitted=entry.pitted,
        oval=entry.oval,
        rpm=entry.rpm or job.speed,
        oil=entry.oil or job.oil,
        oil_temp=entry.oil_temp or job_temperature(sheet),
        pressure=pressure,
        unit=entry.unit or job.unit,
        instrument=job.instrument,
        certainty=job.certainty,
    )


def _bearing_answer(entry: BearingEntry, sheet: Sheet, matched: Matched | None) -> Answer:
    """The answer about a bearing, with what was taken for its housing where nobody said it."""
    hub = housing_said(entry, sheet)
    request = _bearing_request(entry, sheet, hub.material)
    found = asked_of(entry, bearing_job.answer, request, sheet, matched)
    if hub.taken and any(seat["seat"] == "housing" for seat in found.get("seats", ())):
        found["reasons"].append(hub.taken)
        if not hub.contradicted:
            found["assumptions"] = [*found.get("assumptions", []), hub.taken]
        else:
            found["verdict"] = worst(found["verdict"], CHECK)
    return found


def _bearing_request(
    entry: BearingEntry, sheet: Sheet, material: str
) -> bearing_job.BearingRequest:
    job = sheet.job
    places = (*bearing_job.PLACES, *bearing_job.SEATS)
    _check_filled(entry, (*(place.replace("-", "_") for place in places), "mark"))
    return bearing_job.BearingRequest(
        readings={place: getattr(entry, place.replace("-", "_")) for place in places},
        mark=entry.mark,
        turning=(entry.turning or job.turning) if entry.journal or entry.housing else "",
        housing_material=material if entry.housing else bearing_job.STEEL,
        temperature=job_temperature(sheet) if entry.housing else "",
        unit=entry.unit or job.unit,
        instrument=job.instrument,
        certainty=job.certainty,
    )


def _check_filled(entry: Position, keys: Iterable[str]) -> None:
    if not any(getattr(entry, key) for key in keys):
        raise InputError(
            value="nothing filled in",
            rule="this position has no reading and no mark yet",
            todo="Fill in what can be measured or read, or take its table out of the sheet",
        )


_OPTION = re.compile(r"--([a-z]+(?:-[a-z]+)*)")


def _in_keys(message: str) -> str:
    """A message with the keys of the sheet where it names options of a command."""
    return _OPTION.sub(lambda found: found[1].replace("-", "_"), message)


def _unanswered(kind: str, entry: Position, error: FitcheckError) -> Answer:
    todo = _in_keys(error.todo)
    return {
        "name": entry.name,
        "kind": kind,
        "verdict": "check",
        "pick": None,
        "reasons": [f"not answered: {_in_keys(str(error))}"],
        "steps": [],
        "parts": unsettled_parts(kind, entry),
        "settings": [],
        "assumptions": [],
        "read_again": [{"for": entry.name, "reading": "", "instrument": "", "reason": todo}],
        "cautions": [],
        "sources": [],
        "answer": None,
    }


def _found(kind: str, entry: SealEntry | BearingEntry, found: Answer) -> Answer:
    label = "size" if kind == "seal" else "designation"
    leading = found["candidates"][0] if found["candidates"] else None
    pick = leading[label] if leading and leading["probability"] >= SETTLED else None
    possible = [c for c in found["candidates"] if c["probability"] >= _POSSIBLE][:_AT_MOST]
    # A few sizes can be asked for at a counter; the first few of many would mislead.
    if sum(c["probability"] for c in possible) < _COVERED:
        possible = []
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
        "verdict": found["verdict"],
        "pick": pick,
        "reasons": unique([*reasons, *_way_reasons(worn)]),
        "steps": _steps(found, way),
        "parts": position_parts(
            kind, entry, found, pick=pick, possible=[c[label] for c in possible], way=way
        ),
        "read_again": _read_again(entry.name, found, worn),
        "cautions": unique(
            [
                *found["cautions"],
                *(worn or {}).get("cautions", []),
                *(way or {}).get("care", []),
            ]
        ),
        "sources": _sources(found, leading, worn),
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
    return [seat["reason"] for seat in (*found.get("seats", ()), *found.get("checks", ()))]


def _duty_reasons(found: Answer) -> list[str]:
    duty = found.get("duty")
    # What speaks against the duty stands among the reasons already.
    return material_reasons(duty) if duty and duty["verdict"] != NO_GO else []


# When a way with the counterface is gone: cutting first, a lip is moved when the seal goes in.
_WAY_STAGES = {"thin-sleeve": SLEEVE, "move-lip": SEAL}


def _steps(found: Answer, way: Mapping[str, Any] | None) -> list[tuple[str, str]]:
    """Every step of work with its stage of the way back together."""
    steps: list[tuple[str, str]] = []
    if way is not None:
        stage = _WAY_STAGES.get(way["way"], MACHINING)
        steps.append((stage, f"counterface, by {_way_words(way)}:"))
        steps += [(stage, step) for step in way["work"]]
    steps += [
        (MACHINING, judged["advice"])
        for judged in (*found.get("seats", ()), *found.get("checks", ()))
        if judged.get("advice") and judged["verdict"] != "go"
    ]
    return list(dict.fromkeys(steps))


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
                    "instrument": bearing_job.SEAT_TOOLS[seat["seat"]],
                    "reason": seat["read_again"].removeprefix(f"{seat['seat']}: "),
                }
            )
    if found.get("unjudged"):
        asked_for = ("turning", "eye", bearing_job.WHICH_TURNS)
        entries.append({"for": name, **dict(zip(_READING_KEYS, asked_for, strict=True))})
    duty = found.get("duty")
    open_one = duty_question(duty) if duty else None
    if open_one is not None:
        option, reason = open_one
        entries.append({"for": name, "reading": option, "instrument": "", "reason": reason})
    for check in found.get("checks", []):
        if check["read_again"]:
            place, tool = seal_job.SEAT_READINGS[check["what"]]
            entries.append(
                {
                    "for": name,
                    "reading": place,
                    "instrument": tool,
                    "reason": check["read_again"].removeprefix(f"{place}: "),
                }
            )
    # Two reasons to take one reading are one reading: the first says it best, unless a later one
    # asks for a finer instrument.
    first: dict[str, Answer] = {}
    for entry in entries:
        known = first.setdefault(entry["reading"], entry)
        if known["instrument"] in _COARSE and entry["instrument"] not in _COARSE:
            first[entry["reading"]] = entry
    return list(first.values())


_COARSE = frozenset({"", "tape", "caliper"})
_READING_KEYS = ("reading", "instrument", "reason")


def _sources(found: Answer, leading: Answer | None, worn: Answer | None) -> list[str]:
    sources = [leading["source"]] if leading else []
    sources += found["sources"]
    sources += [check["source"] for check in found.get("checks", [])]
    sources += [seat["source"] for seat in found.get("seats", [])]
    sources += (worn or {}).get("sources", [])
    duty = found.get("duty") or {}
    sources += duty.get("sources", [])
    return unique(s for joined in sources for s in joined.split("; ") if s)


def unique(lines: Iterable[str]) -> list[str]:
    """The lines in their order, each once."""
    return list(dict.fromkeys(lines))
