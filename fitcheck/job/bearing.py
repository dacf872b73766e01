"""`fitcheck bearing`: from readings and marks of a tapered bearing and its seats to an answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field, replace

from fitcheck.assess.seat import Seat, housing_seat, journal_seat
from fitcheck.errors import AmbiguousError, InputError
from fitcheck.identify import CERTAINTY, Candidate
from fitcheck.job.against import beside_share
from fitcheck.job.answers import (
    DEFAULT_TOP,
    Answer,
    asked,
    cautions,
    checked_certainty,
    checked_top,
    reading_answer,
    readings_from,
)
from fitcheck.job.cross_checks import add_bearing_doubts
from fitcheck.job.identified import identified, leading
from fitcheck.job.sources import bearing_sources, reading_sources
from fitcheck.marks import compact
from fitcheck.parts.bearing import BORE, OD, bearing_family, bearing_sizes, look_alikes
from fitcheck.parts.family import Family, Size
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

PLACES = ("bore", "od", "width", "cone-width", "cup-width", "thickness")
SEATS = ("journal", "housing")
TURNING = ("hub", "shaft")
STEEL, LIGHT_ALLOY = "steel", "light-alloy"

_FIELDS = ("bore_mm", "od_mm", "width_mm", "cone_width_mm", "cup_width_mm")


@dataclass(frozen=True, slots=True)
class BearingRequest:
    """What was asked about one tapered bearing: the options of the command, as text.

    ``readings`` holds texts by place (see ``PLACES`` and ``SEATS``); ``temperature`` is that of
    the hub at work, blank where nobody said it.
    """

    readings: dict[str, Sequence[str]] = field(default_factory=dict)
    mark: Sequence[str] = ()
    turning: str = ""
    housing_material: str = STEEL
    temperature: str = ""
    unit: str = "mm"
    instrument: str = ""
    top: int = DEFAULT_TOP
    certainty: float = CERTAINTY


def answer(request: BearingRequest, *, family: Family | None = None) -> Answer:
    """The answer of `fitcheck bearing` as data.

    Parameters
    ----------
    request : BearingRequest
        What was asked.
    family : Family, optional
        The bearings to choose from; those of the standard tables when left out.

    Raises
    ------
    InputError
        A text can't be read, nothing was measured, or a member that turns is neither hub nor shaft.
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
    if seats and request.turning and request.turning not in TURNING:
        raise InputError(
            value=request.turning,
            rule="a seat is judged by which member turns, hub or shaft",
            todo="Give --turning hub for a hub on a spindle, --turning shaft for a gear shaft",
        )
    mixed = mixed_pair(request.mark)
    if mixed is not None:
        mixed["reasons"] += [
            f"{place}: judged once cone and cup belong together" for place in sorted(seats)
        ]
        return {**mixed, "readings": [reading_answer(readings[p]) for p in sorted(readings)]}
    family = family or bearing_family()
    known = identified(
        family,
        readings,
        marks=request.mark,
        forms=mark_forms,
        fields=_fields,
        certainty=certainty,
        top=top,
        ask="bore",
    )
    result, found = known.result, known.found
    sizes = {c.size.label: c.size for c in found.candidates}
    leader = result["candidates"][0]["designation"] if result["candidates"] else ""
    if seats and leader:
        _ask_units(sizes[leader], seats)
    # Which bearing it is hangs on no seat: without the member that turns only they stay open.
    unjudged = sorted(seats) if not request.turning else []
    if unjudged and leader:
        unjudged = _either_way(result, sizes[leader], seats, request)
    for entry in result["candidates"]:
        size = sizes[entry["designation"]]
        entry["differs_from"] = look_alikes(size.label)
        if seats and request.turning:
            judged = _seats(size, seats, request)
            entry["seats"] = [
                {**seat.as_json(), "advice": seat.advice, "read_again": seat.read_again}
                for seat in judged
            ]
    if unjudged:
        _ask_turning(result, unjudged)
    elif seats and request.turning and result["candidates"]:
        result["seats"] = result["candidates"][0]["seats"]
        for seat in result["seats"]:
            if seat["verdict"] != "go":
                beside = beside_share(
                    seat["verdict"], result, _GOES_BY[seat["seat"]], certainty=certainty
                )
                result["verdict"] = worst(result["verdict"], beside)
                result["reasons"].append(seat["reason"])
        _ask(result)
    add_bearing_doubts(result, leading(found), marks=request.mark, readings=readings)
    result["reasons"] += _unused(request, seats)
    limits = bearing_sources(sizes[leader], readings) if leader else []
    result["sources"] = [*limits, *reading_sources("bearing", {**readings, **seats})]
    if request.housing_material == LIGHT_ALLOY:
        # Imported here: only a light-alloy hub asks what heat does.
        from fitcheck.job.warm_seat import add_warm_cup

        add_warm_cup(result, turning=request.turning, temperature=request.temperature)
    result["cautions"] = cautions("bearing")
    return result


def _unused(request: BearingRequest, seats: dict[str, Reading]) -> list[str]:
    """What was given about seats that were not measured."""
    unused = []
    if request.turning and not seats:
        unused.append("the turning member was not used: neither journal nor housing was measured")
    if request.housing_material != STEEL and "housing" not in seats:
        unused.append("the housing material was not used: the housing was not measured")
    return unused


SEAT_TOOLS = {"journal": "micrometer", "housing": "bore-gauge"}
# The dimension of the bearing that a seat goes by.
_GOES_BY = {"journal": "bore_mm", "housing": "od_mm"}


WHICH_TURNS = (
    "say which member turns: hub for a hub on a spindle, shaft for a gear shaft; it decides how "
    "tight each ring sits"
)


def _either_way(
    result: Answer, size: Size, seats: dict[str, Reading], request: BearingRequest
) -> list[str]:
    """The seats that need the member that turns; one that is out for both is said to be."""
    by_turning = [
        {seat.seat: seat for seat in _seats(size, seats, replace(request, turning=turning))}
        for turning in TURNING
    ]
    left = []
    for place in sorted(seats):
        both = [judged[place] for judged in by_turning if place in judged]
        if len(both) < len(TURNING) or any(seat.verdict != NO_GO for seat in both):
            left.append(place)
            continue
        entry = result["candidates"][0]
        beside = beside_share(NO_GO, result, _GOES_BY[place], certainty=request.certainty)
        result["verdict"] = worst(result["verdict"], beside)
        entry["verdict"] = worst(entry["verdict"], beside)
        result["reasons"] += [
            f"{place}: out whichever member turns. Where the {turning} turns: {seat.reason}"
            for turning, seat in zip(TURNING, both, strict=True)
        ]
    return left


def _ask_turning(result: Answer, seats: Iterable[str]) -> None:
    """Ask which member turns, where that keeps the seats from being judged."""
    result["unjudged"] = list(seats)
    result["verdict"] = worst(result["verdict"], CHECK)
    result["reasons"].append(
        f"{' and '.join(seats)} not judged: which member turns, hub or shaft, was not said"
    )
    if result["next_reading"] is None:
        result["next_reading"] = asked(
            reading="turning",
            instrument="eye",
            reason=WHICH_TURNS,
            certainty=result["candidates"][0]["probability"] if result["candidates"] else 0.0,
        )


def _ask(result: Answer) -> None:
    """Where the bearing is settled but a seat is not, ask for the reading that settles it."""
    if result["verdict"] == GO or result["next_reading"] is not None:
        return
    for seat in result["seats"]:
        if seat["verdict"] != "go" and seat["read_again"]:
            result["next_reading"] = asked(
                reading=seat["seat"],
                instrument=SEAT_TOOLS[seat["seat"]],
                reason=seat["read_again"].removeprefix(f"{seat['seat']}: "),
                certainty=result["candidates"][0]["probability"],
            )
            return


# A seat's diameter is near the bearing's; this far off it is of another place, or another unit.
_ALIKE, _APART = 0.02, 0.2


def _ask_units(size: Size, seats: dict[str, Reading]) -> None:
    """Refuse a bare seat diameter that makes sense only in the other unit.

    Raises
    ------
    AmbiguousError
        Both readings are named.
    """
    for place, dimension in (("journal", BORE), ("housing", OD)):
        nominal, reading = size.nominals[dimension], seats.get(place)
        if nominal is None or reading is None or reading.stated:
            continue
        factor = MM_PER_INCH if reading.unit == "mm" else 1.0 / MM_PER_INCH
        if (
            abs(reading.mean_mm * factor / nominal[0] - 1.0) < _ALIKE
            and abs(reading.mean_mm / nominal[0] - 1.0) > _APART
        ):
            written = reading.mean_mm if reading.unit == "mm" else reading.mean_mm / MM_PER_INCH
            number = plain(round(written, 4))
            raise AmbiguousError(value=f"{place} {number}", readings=(f"{number}in", f"{number}mm"))


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a bearing is marked: the cone's number, the cup's, or both."""
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


def mixed_pair(marks: Sequence[str]) -> Answer | None:
    """A cone and a cup that were named in full but do not belong together, or None."""
    named = [part for mark in marks for part in _split_pair(mark)]
    if len(named) != 2:
        return None
    sizes = bearing_sizes()
    cones = {compact(s.details["cone"]): s.details["cone"] for s in sizes}
    cups = {compact(s.details["cup"]): s.details["cup"] for s in sizes}
    pairs = {(compact(s.details["cone"]), compact(s.details["cup"])) for s in sizes}
    one, other = compact(named[0]), compact(named[1])
    # Marks with a lost character or two still name one part each where no other part fits.
    found = {
        (cone, cup)
        for first, second in ((one, other), (other, one))
        for cone in _spelt_so(first, cones)
        for cup in _spelt_so(second, cups)
    }
    # Two metric bearings give the same two rings either way round; the first is taken as the cone.
    if not found or found & pairs or len({frozenset(pair) for pair in found}) > 1:
        return None
    cone, cup = max(found, key=lambda pair: pair[0] == one)
    right_cups = _partners(sizes, "cone", cone, "cup")
    right_cones = _partners(sizes, "cup", cup, "cone")
    return _mixed_answer(cones[cone], cups[cup], right_cups, right_cones)


def _spelt_so(mark: str, names: Iterable[str]) -> list[str]:
    """The names that a mark spells, each ``?`` standing for one character."""
    return [
        name
        for name in names
        if len(name) == len(mark)
        and all(seen in ("?", true) for seen, true in zip(mark, name, strict=True))
    ]


def _split_pair(mark: str) -> list[str]:
    """A mark as its parts: cone and cup where it names both, else itself."""
    whole = compact(mark)
    if any(whole == compact(s.label) for s in bearing_sizes()):
        return [mark]
    parts = mark.split("/") if "/" in mark else mark.replace(",", " ").split()
    return [part for part in parts if part.strip()]


def _partners(sizes: Iterable[Size], ring: str, name: str, other: str) -> list[str]:
    found = {s.details[other] for s in sizes if compact(s.details[ring]) == name}
    return sorted(found)


def _mixed_answer(cone: str, cup: str, right_cups: list[str], right_cones: list[str]) -> Answer:
    reason = (
        f"cone {cone} and cup {cup} do not belong together: cone {cone} runs in cup "
        f"{' or '.join(right_cups)}; cup {cup} takes cone {' or '.join(right_cones)}"
    )
    sources = [s.source for s in bearing_sizes() if cone == s.details["cone"]]
    sources += [s.source for s in bearing_sizes() if cup == s.details["cup"]]
    sources = list(dict.fromkeys(sources))
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
        "sources": sources,
        "cautions": cautions("bearing"),
    }
