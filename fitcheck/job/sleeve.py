"""`fitcheck sleeve`: from readings of a worn counterface to the ways out of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import field, replace

from fitcheck.assess import covered
from fitcheck.assess.counterface import (
    WAYS,
    Ask,
    Counterface,
    Grade,
    grade,
    limit,
    mm,
    surface_speed_mps,
)
from fitcheck.assess.machining import next_seal, thick_sleeve
from fitcheck.assess.sleeving import thin_sleeve
from fitcheck.assess.ways import (
    HEAVY,
    Way,
    move_lip,
    overall,
    polish,
    ranked,
    readings_wanted,
)
from fitcheck.assess.ways import replace as replace_part
from fitcheck.errors import DataError, InputError, OffTableError
from fitcheck.findings import Finding
from fitcheck.job.answers import Answer, reading_answer
from fitcheck.job.worn_readings import Depth, Worn, groove, read_worn
from fitcheck.judging import COVERAGE
from fitcheck.limits import it_grade_um
from fitcheck.parts.seal import shaft_limits
from fitcheck.quantities import speed
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.tables import table
from fitcheck.units import SPEED
from fitcheck.verdicts import CHECK, worst

_JUDGES: dict[str, Callable[[Grade, Counterface], Way]] = {
    "polish": polish,
    "move-lip": move_lip,
    "thin-sleeve": thin_sleeve,
    "thick-sleeve": thick_sleeve,
    "next-seal": next_seal,
    "replace": replace_part,
}

# A land further than this from the seal's shaft is another shaft: own rule, no source.
_OTHER_SHAFT_MM = 3.0
_RING_OFF = (
    "take the ring off first and measure the bare shaft: left on, the hub does not seat and the "
    "new seal is destroyed; both parts of such a seal are replaced together"
)
_CAUTIONS = (
    "Look for bearing play, a bent shaft or an offset bore before the seal is blamed: the seal is "
    "the victim.",
    "The machine's own manual comes first.",
)


@dataclass(frozen=True, slots=True)
class SleeveRequest:
    """What was asked about one counterface: the options of the command, as text.

    A length is one text or several readings of the same place; empty means not measured.
    """

    shaft: str | Sequence[str] = ()
    track: str | Sequence[str] = ()
    groove_depth: str | Sequence[str] = ()
    groove_width: str | Sequence[str] = ()
    lip_at: str | Sequence[str] = ()
    room: str | Sequence[str] = ()
    shaft_end: str | Sequence[str] = ()
    rpm: str = ""
    seal: str = ""
    pitted: bool = False
    oval: bool = False
    unit: str = "mm"
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class _Covering:
    """The ways on where something stands on the shaft already; none for a ring left on."""

    ways: tuple[Way, ...]


@dataclass(slots=True)
class _Notes:
    """What was noticed on the way: findings, reasons for doubt, and readings to take again."""

    findings: list[Finding] = field(default_factory=list)
    reasons: list[str] = field(default_factory=list)
    doubts: list[Ask] = field(default_factory=list)


def answer(request: SleeveRequest) -> Answer:
    """The answer of `fitcheck sleeve` as data.

    Raises
    ------
    InputError
        A text can't be read, too little was measured, or the readings contradict each other.
    DataError
        The ladder has no step for the depth.
    """
    worn = read_worn(
        shaft=request.shaft,
        track=request.track,
        groove_depth=request.groove_depth,
        groove_width=request.groove_width,
        lip_at=request.lip_at,
        room=request.room,
        shaft_end=request.shaft_end,
        seal=request.seal,
        unit=request.unit,
        tool=request.instrument,
        damaged=request.pitted or request.oval,
    )
    c = _counterface(worn, request)
    notes = _Notes()
    covering = _over_land(worn, c, notes) or _over_track(worn, c, notes)
    if covering is not None:
        return _record(worn, c, depth=None, ways=list(covering.ways), notes=notes)
    depth = groove(worn)
    for conflict in depth.conflicts:
        notes.reasons.append(conflict)
        notes.doubts.append(Ask("groove-depth", "depth-gauge", conflict))
    c = replace(c, depth_mm=depth.depth_mm or 0.0, depth_error_mm=depth.error_mm)
    graded = [(way, found) for way in WAYS if (found := grade(way, c)) is not None]
    if not graded:
        raise DataError(
            value=f"groove depth {mm(c.depth_mm)} mm",
            rule="the table counterface/groove_ladder has no step for this depth",
            todo="Close the gap in the shop's own table",
        )
    ways = ranked([_JUDGES[way](found, c) for way, found in graded])
    return _record(worn, c, depth=depth, ways=ways, notes=notes)


def _counterface(worn: Worn, request: SleeveRequest) -> Counterface:
    land = worn.shaft
    damage, doubt = _roundness(land)
    if request.pitted:
        damage = ("pitted", *damage)
    if request.oval:
        damage = (*damage, *(() if "out of round" in damage else ("out of round",)))
    c = Counterface(
        depth_mm=0.0,
        land_mm=land.mean_mm if land else None,
        land_error_mm=land.standard_error_mm if land else 0.0,
        groove_width_mm=worn.groove_width.mean_mm if worn.groove_width else None,
        lip_at_mm=worn.lip_at.mean_mm if worn.lip_at else None,
        shaft_end_mm=worn.shaft_end.mean_mm if worn.shaft_end else None,
        room_mm=worn.room.mean_mm if worn.room else None,
        room_error_mm=worn.room.standard_error_mm if worn.room else 0.0,
        seal=worn.seal,
        inches=request.unit == "in",
        damage=damage,
        doubt="" if damage else doubt,
    )
    return replace(c, speed_mps=_speed_mps(request.rpm, c))


def _roundness(land: Reading | None) -> tuple[tuple[str, ...], str]:
    """Whether several readings of the land say that it is out of round, or leave it open."""
    if land is None or not land.out_of_round:
        return (), ""
    row = next(
        r for r in table("seal_tolerances/surface").rows if r.text("name") == "shaft_roundness_it"
    )
    text = f"the readings of the land differ by {mm(land.spread_mm)} mm"
    try:
        allowed = it_grade_um(nominal_mm=land.mean_mm, grade=int(row.number("high"))) / 1000.0
    except OffTableError:
        return (), f"{text}: it may be out of round"
    if land.spread_mm > allowed + land.roundness_limit_mm:
        return ("out of round",), ""
    return (), f"{text}: it may be out of round (IT{row.number('high'):g} is {mm(allowed)} mm)"


def _speed_mps(text: str, c: Counterface) -> float | None:
    if not text:
        return None
    found = speed(text)
    if found.dimension == SPEED:
        return found.value
    diameter = c.land_mm if c.land_mm is not None else c.shaft_mm
    if diameter is None:
        raise InputError(
            value=f"rpm {text}",
            rule="the speed of the surface takes a diameter, and none is given",
            todo="Give --shaft or --seal too, or the speed in m/s",
        )
    return surface_speed_mps(diameter_mm=diameter, speed_rpm=found.value)


def _over_land(worn: Worn, c: Counterface, notes: _Notes) -> _Covering | None:
    """The land beside the seal's shaft; the ways where something covers the land."""
    if worn.shaft is None or worn.seal is None:
        return None
    land, shaft = worn.shaft.mean_mm, worn.seal.shaft_mm
    try:
        lower, upper = shaft_limits(shaft, worn.seal.system)
    except OffTableError as error:
        notes.reasons.append(f"the land is not held against the seal's shaft: {error.rule}")
        return None
    reach = COVERAGE * worn.shaft.standard_error_mm
    if shaft + lower - reach <= land <= shaft + upper + reach:
        return None
    found = covered.explained(
        place="shaft",
        value_mm=land,
        error_mm=worn.shaft.standard_error_mm,
        nominal_mm=shaft,
        lower_mm=lower,
        upper_mm=upper,
    )
    allowed = f"{mm(shaft + lower)} to {mm(shaft + upper)} mm"
    if found is None or found.state == "clean":
        if abs(land - shaft) > _OTHER_SHAFT_MM:
            raise InputError(
                value=f"shaft {mm(land)} mm",
                rule=f"the seal {worn.seal.label} runs on {allowed}",
                todo="Check the seal's size and the reading; they are not of the same place",
            )
        notes.reasons.append(
            f"the land reads {mm(land)} mm, the seal {worn.seal.label} asks {allowed}"
        )
        notes.doubts.append(
            Ask("shaft", "micrometer", "the land does not fit the seal that is named")
        )
        return None
    notes.findings.append(covered.finding_over_land(found, land_mm=land, shaft_mm=shaft))
    notes.reasons.append(notes.findings[-1].reason)
    if found.state not in covered.COVERING:
        notes.doubts.append(Ask("shaft", "micrometer", "the unworn land, beside the track"))
        return None
    return _covering(found, c, notes, land_is_bare=False)


def _covering(
    found: covered.Explained, c: Counterface, notes: _Notes, *, land_is_bare: bool
) -> _Covering:
    """The way on where something stands on the shaft already."""
    if found.state == covered.EARLIER_SLEEVE:
        return _Covering((covered.way_under_sleeve(c, land_is_bare=land_is_bare),))
    notes.doubts.append(Ask("shaft", "micrometer", _RING_OFF))
    return _Covering(())


def _over_track(worn: Worn, c: Counterface, notes: _Notes) -> _Covering | None:
    """The ways where the track reads larger than the land by more than the readings explain."""
    if worn.shaft is None or worn.track is None:
        return None
    over = worn.track.mean_mm - worn.shaft.mean_mm
    error = (worn.track.standard_error_mm**2 + worn.shaft.standard_error_mm**2) ** 0.5
    if over <= COVERAGE * error:
        return None
    found = covered.explained(
        place="track",
        value_mm=worn.track.mean_mm,
        error_mm=error,
        nominal_mm=worn.shaft.mean_mm,
    )
    if found is None or found.state not in covered.COVERING:
        raise InputError(
            value=f"track {mm(worn.track.mean_mm)} mm and land {mm(worn.shaft.mean_mm)} mm",
            rule=f"a worn track is smaller than the land beside it, and this one is {mm(over)} mm "
            "larger; neither an earlier sleeve nor the ring of a two-part seal is that thick",
            todo="See that the two are not swapped, and measure both again",
        )
    finding = covered.finding_over_track(
        found, land_mm=worn.shaft.mean_mm, track_mm=worn.track.mean_mm
    )
    notes.findings.append(finding)
    notes.reasons.append(finding.reason)
    return _covering(found, c, notes, land_is_bare=True)


def _record(
    worn: Worn, c: Counterface, *, depth: Depth | None, ways: list[Way], notes: _Notes
) -> Answer:
    """The answer as data."""
    verdict = overall(ways) if depth is not None else CHECK
    if notes.reasons:
        # An answer is go only when everything that was measured holds.
        verdict = worst(verdict, CHECK) if verdict != "no-go" else verdict
    wanted: dict[str, Ask] = {}
    for ask in (*notes.doubts, *readings_wanted(ways)):
        wanted.setdefault(ask.reading, ask)
    return {
        "verdict": verdict,
        "reasons": [*notes.reasons, *_headline(ways, depth)],
        "groove_depth_mm": depth.depth_mm if depth else None,
        "groove_depth_uncertainty_mm": COVERAGE * depth.error_mm
        if depth and depth.depth_mm is not None
        else None,
        "counterface": {
            "land_mm": c.land_mm,
            "land_uncertainty_mm": COVERAGE * c.land_error_mm if c.land_mm is not None else None,
            "track_mm": worn.track.mean_mm if worn.track else None,
            "groove_width_mm": c.groove_width_mm,
            "lip_at_mm": c.lip_at_mm,
            "room_mm": c.room_mm,
            "speed_mps": c.speed_mps,
            "seal": c.seal.label if c.seal else None,
            "seal_shaft_mm": c.seal.shaft_mm if c.seal else None,
            "damage": list(c.damage),
        },
        "ways": [_way(way) for way in ways],
        "findings": [
            {"finding": f.finding, "probability": f.probability, "reason": f.reason}
            for f in notes.findings
        ],
        "read_again": [
            {"reading": ask.reading, "instrument": ask.instrument, "reason": ask.reason}
            for ask in (*wanted.values(), *_doubtful(worn, depth))
        ],
        "cautions": list(_CAUTIONS),
        "sources": list(dict.fromkeys(_sources(ways))),
        "readings": [reading_answer(reading) for reading in worn.readings()],
    }


def _headline(ways: list[Way], depth: Depth | None) -> Iterable[str]:
    """What the verdict rests on, in a line or two."""
    if depth is None:
        return
    kept = [w for w in ways if w.way != "replace" and w.verdict != "no-go"]
    if not kept:
        yield "no way of keeping the part stands: replace it or have it built up"
        return
    first = ways[0]
    yield f"first way: {first.way.replace('-', ' ')} ({first.verdict})"
    # A shaft is not cut for want of a reading: while a lighter way waits for one, that comes first.
    waits = any(w.waiting and w.way not in HEAVY for w in kept)
    others = [
        w.way.replace("-", " ")
        for w in kept[1:]
        if w.verdict == "go" and not (waits and w.way in HEAVY)
    ]
    if first.verdict != "go" and others:
        yield f"go without another reading: {', '.join(others)}"


def _doubtful(worn: Worn, depth: Depth | None) -> Iterable[Ask]:
    """Readings of this counterface that are in doubt, or too few, beside what settles a way."""
    if depth is not None:
        for line in depth.cautions:
            yield Ask("groove-depth", "depth-gauge", line)
    for reading in worn.readings():
        for line in reading.notes():
            yield Ask(reading.place, reading.instrument, line.removeprefix(f"{reading.place}: "))
    wanted = limit("readings_to_average")
    if worn.shaft is not None and len(worn.shaft.values_mm) < wanted.number("value"):
        yield Ask(
            "shaft",
            "micrometer",
            f"average {wanted.number('value'):g} readings of the unworn land, top and bottom, "
            f"before a sleeve is ordered ({wanted.cite()})",
        )


def _sources(ways: list[Way]) -> Iterable[str]:
    for way in ways:
        yield from way.sources


def _way(way: Way) -> Answer:
    return {
        "way": way.way,
        "verdict": way.verdict,
        "reasons": list(way.reasons),
        "parts": [{"what": p.what, "size": p.size, "quantity": p.quantity} for p in way.parts],
        "dimensions_mm": way.dimensions_mm,
        "work": [step.step for step in way.work],
        "work_sources": [step.source for step in way.work],
        "care": [step.step for step in way.care],
        "sources": list(way.sources),
    }
