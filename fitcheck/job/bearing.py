"""`fitcheck bearing`: from readings and marks of a tapered bearing and its seats to an answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from fitcheck.advice import next_reading
from fitcheck.assess.seat import Seat, housing_seat, journal_seat
from fitcheck.errors import InputError
from fitcheck.identify import CERTAINTY, CHECK, NO_GO, Candidate, identify
from fitcheck.job.answers import (
    DEFAULT_TOP,
    Answer,
    cautions,
    checked_certainty,
    checked_top,
    identification_answer,
    mark_evidence,
    readings_from,
    worst,
)
from fitcheck.marks import compact
from fitcheck.parts.bearing import BORE, OD, bearing_family, bearing_sizes, look_alikes
from fitcheck.parts.family import Size
from fitcheck.readings import Reading

PLACES = ("bore", "od", "width", "cone-width", "cup-width", "thickness")
SEATS = ("journal", "housing")
TURNING = ("hub", "shaft")

_FIELDS = ("bore_mm", "od_mm", "width_mm", "cone_width_mm", "cup_width_mm")


@dataclass(frozen=True, slots=True)
class BearingRequest:
    """What was asked about one tapered bearing: the options of the command, as text.

    ``readings`` holds texts by place (see ``PLACES`` and ``SEATS``).
    """

    readings: dict[str, Sequence[str]] = field(default_factory=dict)
    mark: Sequence[str] = ()
    turning: str = ""
    housing_material: str = "steel"
    unit: str = "mm"
    instrument: str = ""
    top: int = DEFAULT_TOP
    certainty: float = CERTAINTY


def answer(request: BearingRequest) -> Answer:
    """The answer of `fitcheck bearing` as data.

    Raises
    ------
    InputError
        A text can't be read, nothing was measured, or a seat was given without the turning member.
    OffTableError
        The readings lie outside everything the tables cover.
    """
    certainty, top = checked_certainty(request.certainty), checked_top(request.top)
    parts = {p: t for p, t in request.readings.items() if p not in SEATS}
    readings = readings_from(parts, unit=request.unit, tool=request.instrument)
    seats = readings_from(
        {p: t for p, t in request.readings.items() if p in SEATS},
        unit=request.unit,
        tool=request.instrument,
    )
    if seats and request.turning not in TURNING:
        raise InputError(
            value=request.turning or "(turning member not given)",
            rule="a seat is judged by which member turns, hub or shaft",
            todo="Give --turning hub for a hub on a spindle, --turning shaft for a gear shaft",
        )
    mixed = _mixed_pair(request.mark)
    if mixed is not None:
        return mixed
    family = bearing_family()
    likelihood, unlisted = mark_evidence(request.mark, _mark_forms)
    found = identify(family, readings, certainty=certainty, mark=likelihood, mark_unlisted=unlisted)
    result = identification_answer(
        found,
        family=family,
        readings=readings,
        following=next_reading(family, found, readings),
        fields=_fields,
        certainty=certainty,
        top=top,
    )
    sizes = {c.size.label: c.size for c in found.candidates}
    for entry in result["candidates"]:
        size = sizes[entry["designation"]]
        entry["differs_from"] = look_alikes(size.label)
        if seats:
            judged = _seats(size, seats, request)
            entry["seats"] = [
                {**seat.as_json(), "advice": seat.advice, "read_again": seat.read_again}
                for seat in judged
            ]
    if seats and result["candidates"]:
        result["seats"] = result["candidates"][0]["seats"]
        for seat in result["seats"]:
            if seat["verdict"] != "go":
                result["verdict"] = worst(result["verdict"], CHECK)
                result["reasons"].append(f"{seat['seat']}: {seat['reason']}")
    result["cautions"] = cautions("bearing")
    return result


def _mark_forms(size: Size) -> Iterable[str]:
    cone, cup = compact(size.details["cone"]), compact(size.details["cup"])
    yield cone
    if cup != cone:
        yield cup
        yield cone + cup


def _fields(candidate: Candidate) -> Answer:
    size = candidate.size
    dimensions = {
        name: None if nominal is None else round(nominal[0], 4)
        for name, nominal in zip(_FIELDS, size.nominals, strict=True)
    }
    return {
        "designation": size.label,
        "cone": size.details["cone"],
        "cup": size.details["cup"],
        **dimensions,
        "system": size.system,
        "series": list(size.series),
    }


def _seats(size: Size, seats: dict[str, Reading], request: BearingRequest) -> list[Seat]:
    found = []
    bore, od = size.nominals[BORE], size.nominals[OD]
    if "journal" in seats and bore is not None:
        found.append(
            journal_seat(
                bore_mm=bore[0],
                system=bore[1],
                turning=request.turning,
                measured=seats["journal"],
            )
        )
    if "housing" in seats and od is not None:
        found.append(
            housing_seat(
                od_mm=od[0],
                system=od[1],
                turning=request.turning,
                measured=seats["housing"],
                housing_material=request.housing_material,
            )
        )
    return found


def _mixed_pair(marks: Sequence[str]) -> Answer | None:
    """A cone and a cup that were named in full but do not belong together, or None."""
    named = [part for mark in marks for part in _split_pair(mark)]
    if len(named) != 2:
        return None
    sizes = bearing_sizes()
    cones = {compact(s.details["cone"]): s.details["cone"] for s in sizes}
    cups = {compact(s.details["cup"]): s.details["cup"] for s in sizes}
    pairs = {(compact(s.details["cone"]), compact(s.details["cup"])) for s in sizes}
    one, other = compact(named[0]), compact(named[1])
    for cone, cup in ((one, other), (other, one)):
        if (cone, cup) in pairs:
            return None
    for cone, cup in ((one, other), (other, one)):
        if cone in cones and cup in cups:
            right_cups = _partners(sizes, "cone", cone, "cup")
            right_cones = _partners(sizes, "cup", cup, "cone")
            return _mixed_answer(cones[cone], cups[cup], right_cups, right_cones)
    return None


def _split_pair(mark: str) -> list[str]:
    """A mark as its parts: cone and cup where it names both, else itself."""
    whole = compact(mark)
    if "/" not in mark or any(whole == compact(s.label) for s in bearing_sizes()):
        return [mark]
    return [part for part in mark.split("/") if part.strip()]


def _partners(sizes: Iterable[Size], ring: str, name: str, other: str) -> list[str]:
    found = {s.details[other] for s in sizes if compact(s.details[ring]) == name}
    return sorted(found)


def _mixed_answer(cone: str, cup: str, right_cups: list[str], right_cones: list[str]) -> Answer:
    reason = (
        f"cone {cone} and cup {cup} do not belong together: cone {cone} runs in cup "
        f"{' or '.join(right_cups)}; cup {cup} takes cone {' or '.join(right_cones)}"
    )
    return {
        "verdict": NO_GO,
        "reasons": [reason],
        "candidates": [],
        "unlisted": 0.0,
        "others": 1.0,
        "findings": [{"finding": "mixed-pair", "probability": 1.0, "reason": reason}],
        "partners": {"cone": cone, "cups": right_cups, "cup": cup, "cones": right_cones},
        "next_reading": {
            "reading": "mark",
            "instrument": "eye",
            "reason": "read both numbers again: the cone's on its face, the cup's on its face",
            "expected_certainty": 1.0,
        },
        "readings": [],
        "cautions": cautions("bearing"),
    }
