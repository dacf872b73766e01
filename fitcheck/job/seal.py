"""`fitcheck seal`: from readings of a seal's seat or of the old seal to an answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field

from fitcheck.assess.seal_seat import (
    bore_chamfer,
    counterface,
    pocket,
    seal_bore,
    shaft_chamfer,
)
from fitcheck.errors import InputError
from fitcheck.identify import CERTAINTY, Candidate, Identification
from fitcheck.job.against import beside_share
from fitcheck.job.answers import (
    DEFAULT_TOP,
    Answer,
    asked,
    cautions,
    checked_certainty,
    checked_top,
    readings_from,
)
from fitcheck.job.bare_units import writes_inches
from fitcheck.job.cross_checks import add_seal_doubts
from fitcheck.job.identified import SETTLED, identified, leading
from fitcheck.job.lengths import Texts
from fitcheck.job.seal_duty import add_duty, duty_question
from fitcheck.job.sources import reading_sources, seal_sources
from fitcheck.marks import checked_size, compact
from fitcheck.parts.family import Family, Size
from fitcheck.parts.seal import BORE, CASES, SHAFT, WIDTH, seal_family
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, GO, worst

PLACES = ("shaft", "track", "bore", "pocket", "old-od", "old-lip", "old-width")


@dataclass(frozen=True, slots=True)
class SealRequest:
    """What was asked about one seal: the options of the command, as text.

    ``readings`` holds texts by place (see ``PLACES``); every other field is one option.
    """

    readings: dict[str, Sequence[str]] = field(default_factory=dict)
    mark: Sequence[str] = ()
    case: str = ""
    groove_depth: Texts = ()
    groove_width: Texts = ()
    lip_at: Texts = ()
    room: Texts = ()
    shaft_end: Sequence[str] = ()
    bore_chamfer: Sequence[str] = ()
    bare_shaft: bool = False
    pitted: bool = False
    oval: bool = False
    rpm: str = ""
    oil: str = ""
    oil_temp: str = ""
    pressure: str = ""
    unit: str = "mm"
    instrument: str = ""
    top: int = DEFAULT_TOP
    certainty: float = CERTAINTY


def answer(request: SealRequest, *, family: Family | None = None) -> Answer:
    """The answer of `fitcheck seal` as data.

    Parameters
    ----------
    request : SealRequest
        What was asked.
    family : Family, optional
        The sizes to choose from, with the case and the shaft of the request; those of the
        standard tables when left out.

    Raises
    ------
    InputError
        A text can't be read, nothing was measured, or two readings contradict each other.
    OffTableError
        The readings lie outside everything the tables cover.
    """
    certainty, top = checked_certainty(request.certainty), checked_top(request.top)
    if request.case and request.case not in CASES:
        raise InputError(
            value=request.case,
            rule="a seal's case is metal or rubber",
            todo="Use --case metal or --case rubber, or leave it out",
        )
    if family is None:
        family = seal_family(case=request.case, bare_shaft=request.bare_shaft)
    readings = readings_from(request.readings, unit=request.unit, tool=request.instrument)
    # Land and track say the same about the size; the land says it better, and their difference
    # is the groove, which the counterface answers for.
    used = dict(readings)
    if "shaft" in used and "track" in used:
        del used["track"]
    known = identified(
        family,
        readings,
        weighed=used,
        marks=request.mark,
        forms=mark_forms,
        compared=checked_size,
        fields=_fields,
        certainty=certainty,
        top=top,
        ask="bore",
    )
    result, found, restated = known.result, known.found, known.restated
    # A reading that fits in another unit or order only says nothing about wear.
    believed = {place: r for place, r in readings.items() if place not in restated}
    _add_checks(result, found, believed, request, family)
    if "shaft" not in restated:
        _add_counterface(result, found, readings, request)
    _add_duty(result, found, believed, request)
    add_seal_doubts(result, believed, family=family)
    _ask(result)
    size = leading(found)
    limits = seal_sources(size, readings, case=request.case) if size is not None else []
    result["sources"] = [*limits, *reading_sources("seal", readings)]
    worn = result.get("counterface", {}).get("cautions", ())
    result["cautions"] = list(dict.fromkeys([*cautions("seal"), *worn]))
    return result


# What a check of a seat is about -> the reading that settles it, and with what.
SEAT_READINGS = {
    "seal bore": ("bore", "bore-gauge"),
    "counterface": ("shaft", "micrometer"),
    "pocket": ("pocket", "depth-gauge"),
    "shaft chamfer": ("shaft-end", "caliper"),
    "bore chamfer": ("bore-chamfer", "caliper"),
}
# The dimension that a check of a seat goes by.
GOES_BY = {
    "seal bore": "bore_mm",
    "counterface": "shaft_mm",
    "pocket": "width_mm",
    "shaft chamfer": "shaft_mm",
    "bore chamfer": "width_mm",
}


def _ask(result: Answer) -> None:
    """Where the size is settled but the worn parts are not, ask for what settles them."""
    if result["verdict"] == GO or result["next_reading"] is not None:
        return
    top = result["candidates"][0]["probability"] if result["candidates"] else 0.0
    for entry in result.get("counterface", {}).get("read_again", []):
        result["next_reading"] = asked(
            reading=entry["reading"],
            instrument=entry["instrument"],
            reason=entry["reason"],
            certainty=top,
        )
        return
    for check in result["checks"]:
        if check["verdict"] != "go" and check["read_again"]:
            place, tool = SEAT_READINGS[check["what"]]
            result["next_reading"] = asked(
                reading=place,
                instrument=tool,
                reason=check["read_again"].removeprefix(f"{place}: "),
                certainty=top,
            )
            return
    duty = result.get("duty")
    open_one = duty_question(duty) if duty else None
    if open_one is not None:
        option, reason = open_one
        result["next_reading"] = asked(reading=option, instrument="", reason=reason, certainty=top)


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a seal of a size is stamped: its digits, in its own unit, zeros kept or not."""
    digits = compact(size.label).replace("X", "").removesuffix("IN")
    yield digits
    if size.system != "metric":
        numbers = size.label.removesuffix(" in").split(" x ")
        yield "".join(n.rstrip("0").replace(".", "").lstrip("0") for n in numbers)
        yield "".join(n.replace(".", "").lstrip("0") for n in numbers)


def _fields(candidate: Candidate) -> Answer:
    size = candidate.size
    dimensions = {
        f"{name}_mm": round(nominal[0], 4)
        for name, nominal in zip(("shaft", "bore", "width"), size.nominals, strict=True)
        if nominal is not None
    }
    return {"size": size.label, **dimensions, "system": size.system, "series": list(size.series)}


def _nominal(size: Size, dimension: int) -> tuple[float, str]:
    found = size.nominals[dimension]
    assert found is not None, "every seal size has all three dimensions"
    return found


def _add_checks(
    result: Answer,
    found: Identification,
    readings: dict[str, Reading],
    request: SealRequest,
    family: Family,
) -> None:
    size = leading(found)
    checks = []
    if size is not None:
        bore, bore_system = _nominal(size, BORE)
        shaft, shaft_system = _nominal(size, SHAFT)
        width, width_system = _nominal(size, WIDTH)
        if "bore" in readings:
            case = request.case or "unknown"
            checks.append(
                seal_bore(bore_mm=bore, system=bore_system, measured=readings["bore"], case=case)
            )
        if "shaft" in readings:
            checks.append(
                counterface(shaft_mm=shaft, system=shaft_system, measured=readings["shaft"])
            )
        if "pocket" in readings:
            widths = [
                _nominal(other, WIDTH)[0]
                for other in family.sizes
                if other.nominals[:WIDTH] == size.nominals[:WIDTH]
            ]
            checks.append(
                pocket(
                    width_mm=width,
                    system=width_system,
                    measured=readings["pocket"],
                    widths_mm=widths,
                )
            )
        ends = readings_from(
            {"shaft-end": request.shaft_end, "bore-chamfer": request.bore_chamfer},
            unit=request.unit,
            tool=request.instrument,
        )
        if "shaft-end" in ends:
            checks.append(shaft_chamfer(shaft_mm=shaft, measured_small_end=ends["shaft-end"]))
        if "bore-chamfer" in ends:
            checks.append(bore_chamfer(width_mm=width, measured_length=ends["bore-chamfer"]))
    result["checks"] = [check.as_json() for check in checks]
    for check in checks:
        # A seat that holds as read but can't be proven with this instrument is asked for again;
        # it puts neither the size nor the seal in doubt.
        if check.verdict != GO and not check.holds_as_read:
            # A shaft that reads off may carry a ring or a sleeve, or was read in the track: it is
            # looked at, not turned down.
            beside = beside_share(
                CHECK if check.what == "counterface" else check.verdict,
                result,
                GOES_BY[check.what],
                certainty=request.certainty,
            )
            result["verdict"] = worst(result["verdict"], beside)
            result["reasons"].append(check.reason)


def _add_counterface(
    result: Answer,
    found: Identification,
    readings: dict[str, Reading],
    request: SealRequest,
) -> None:
    """The worn counterface, where something was measured or seen of it."""
    texts = request.readings
    land, track = tuple(texts.get("shaft", ())), tuple(texts.get("track", ()))
    worn_seen = request.groove_depth or request.pitted or request.oval or (land and track)
    if not worn_seen:
        given = {
            "groove-width": request.groove_width,
            "lip-at": request.lip_at,
            "room": request.room,
        }
        # Read all the same: what can't be read is refused whether it is used or not.
        from fitcheck.job.worn_readings import read_place

        unused = [
            name for name, texts in given.items() if read_place(name, texts, unit=request.unit)
        ]
        if unused:
            result["reasons"].append(
                f"{', '.join(unused)} could not be used: how deep the groove is was not measured"
            )
        return
    # Imported here: most questions are about no groove, and start the sooner without it.
    from fitcheck.job.sleeve import SleeveRequest
    from fitcheck.job.sleeve import answer as sleeve_answer

    size = leading(found)
    settled = size is not None and found.candidates[0].probability >= SETTLED
    worn = sleeve_answer(
        SleeveRequest(
            shaft=land,
            track=track if land else (),
            groove_depth=request.groove_depth,
            groove_width=request.groove_width,
            lip_at=request.lip_at,
            room=request.room,
            shaft_end=request.shaft_end,
            pitted=request.pitted,
            oval=request.oval,
            rpm=request.rpm,
            seal=size.label if size is not None and settled else "",
            unit=request.unit,
            instrument=request.instrument,
        )
    )
    result["counterface"] = worn
    known = {finding["finding"] for finding in result["findings"]}
    result["findings"] += [f for f in worn["findings"] if f["finding"] not in known]
    ways = worn["ways"]
    if worn["verdict"] == "go" and ways and ways[0]["way"] == "polish":
        return
    beside = beside_share(worn["verdict"], result, "shaft_mm", certainty=request.certainty)
    result["verdict"] = worst(result["verdict"], beside)
    depth = worn["groove_depth_mm"]
    if depth is None:
        result["reasons"] += worn["reasons"]
    else:
        way = ways[0]["way"].replace("-", " ") if ways else "none"
        result["reasons"].append(
            f"the counterface is worn {plain(round(depth, 3))} mm deep: first way: {way}"
        )


def _add_duty(
    result: Answer,
    found: Identification,
    readings: dict[str, Reading],
    request: SealRequest,
) -> None:
    """What the lip has to stand, where anything was said of it."""
    if not (request.rpm or request.oil or request.oil_temp or request.pressure):
        return
    lengths = (text for texts in request.readings.values() for text in texts)
    size = leading(found)
    shaft = _nominal(size, SHAFT) if size is not None else None
    if shaft is None and "shaft" in readings:
        shaft = readings["shaft"].mean_mm, "metric"
    add_duty(
        result,
        shaft=shaft,
        rpm=request.rpm,
        oil=request.oil,
        oil_temp=request.oil_temp,
        pressure=request.pressure,
        inches=request.unit == "in" or writes_inches(*lengths),
        certainty=request.certainty,
    )
