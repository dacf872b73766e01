"""The ways that cut the shaft: a thick sleeve, and a seal with a larger shaft on one."""

from __future__ import annotations

import math

from fitcheck.assess.counterface import Ask, Counterface, Grade, limit, mm, section_left
from fitcheck.assess.seal_seat import seat_limits
from fitcheck.assess.ways import Draft, Part, Step, Way
from fitcheck.errors import OffTableError
from fitcheck.judging import COVERAGE
from fitcheck.limits import Fit, fit, parse_fit
from fitcheck.limits_verdict import clearance_text
from fitcheck.parts.seal import seal_sizes
from fitcheck.parts.size_text import METRIC
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, NO_GO

_OWN = "common practice, no source"
# A shaft turned below this share of its strength is put in question: own figure, no source.
SECTION_ENOUGH = 0.5
# Bores written in inches and converted are the same bore within this.
_SAME_MM = 0.002
# More sizes than this are not worth naming.
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class NextSeal:
    """A seal of the same bore with a larger shaft, and the ring it would run on.

    ``wall_over_land_mm`` is the wall of a ring on the shaft as it is; ``turned_mm`` is None where
    that is thick enough, else the diameter to turn the shaft to.
    """

    label: str
    shaft_mm: float
    width_mm: float
    system: str
    wall_over_land_mm: float
    turned_mm: float | None
    source: str


def thick_sleeve(grade: Grade, c: Counterface) -> Way:
    """Turn the shaft down, shrink a thick ring on it and grind the ring in place.

    Parameters
    ----------
    grade : Grade
        What the ladder makes of it.
    c : Counterface
        The counterface as measured.
    """
    draft = Draft(grade)
    if draft.dead:
        return draft.done()
    if c.shaft_mm is None:
        draft.hold(
            CHECK,
            "neither the land nor the seal is known: the ring has no size",
            Ask("shaft", "micrometer", "the size of a thick sleeve"),
        )
        return draft.done()
    if c.seal is None:
        draft.reasons.append(
            "the seal is not given: the ring is finished to the measured land; give --seal to "
            "have it finished to the seal's shaft"
        )
    wall = _wall_mm(draft, c, finish_mm=c.shaft_mm)
    if wall is not None:
        _ring(draft, c, finish_mm=c.shaft_mm, system=c.system, wall_mm=wall, turn=True)
    return draft.done()


def _wall_mm(draft: Draft, c: Counterface, *, finish_mm: float) -> float | None:
    """The wall of the ring: the least usual one, more where the groove is deeper."""
    low, high = draft.uses_range("thick_sleeve_wall_mm")
    least = draft.uses("thick_sleeve_wall_min_mm")
    land = c.land_mm if c.land_mm is not None else finish_mm
    groove = max(0.0, (finish_mm - land) / 2.0 + c.depth_mm + COVERAGE * c.depth_error_mm)
    needed = low if groove <= low else math.ceil(groove * 10.0 - 1e-9) / 10.0
    wall = (finish_mm - _turned_mm(c, finish_mm - 2.0 * needed, finish_mm - 2.0 * high)) / 2.0
    usual = f"usual is {mm(low)} to {mm(high)} mm"
    if groove <= low:
        draft.reasons.append(f"wall {mm(wall)} mm when finished; {usual}, the least {mm(least)} mm")
        return wall
    text = f"turning out the groove takes a wall of {mm(wall)} mm, {usual}"
    if round(wall, 6) > high:
        draft.hold(CHECK, text)
    else:
        draft.reasons.append(text)
    return wall


def _turned_mm(c: Counterface, largest_mm: float, smallest_mm: float) -> float:
    """The diameter to turn the shaft to: one that a machinist would choose, no odd thousandths.

    The next lower half millimetre, or thirty-second of an inch where inches are used; a finer step
    where that one would go under the smallest.
    """
    inches = c.seal.system != METRIC if c.seal else c.inches
    steps = (MM_PER_INCH / 32.0, MM_PER_INCH / 64.0) if inches else (0.5, 0.1)
    found = largest_mm
    for step in steps:
        found = math.floor(largest_mm / step + 1e-6) * step
        if round(found, 6) >= round(smallest_mm, 6):
            break
    return found


def _ring(
    draft: Draft, c: Counterface, *, finish_mm: float, system: str, wall_mm: float, turn: bool
) -> None:
    """The dimensions of the ring and of the shaft under it, and what they do to the shaft."""
    seat = round(finish_mm - 2.0 * wall_mm, 4)
    if seat <= 0.0:
        draft.hold(
            NO_GO, f"a {mm(finish_mm)} mm shaft leaves nothing under a {mm(wall_mm)} mm wall"
        )
        return
    draft.dimensions_mm["wall"] = wall_mm
    if turn:
        draft.dimensions_mm["turned"] = seat
        before = c.land_mm if c.land_mm is not None else finish_mm
        _strength(draft, before_mm=before, after_mm=min(seat, before))
    _fits(draft, seat_mm=seat, turn=turn)
    _finish(draft, finish_mm=finish_mm, system=system)
    if c.groove_width_mm is not None:
        margin = draft.uses("sleeve_cover_margin_mm")
        draft.dimensions_mm["ring_length_min"] = c.groove_width_mm + 2.0 * margin
    bore = f"bore {mm(seat)} mm H7" if turn else f"bored to grip the {mm(seat)} mm land"
    draft.parts.append(
        Part("thick sleeve ring", f"{bore}, outside to be ground to {mm(finish_mm)} mm")
    )
    _ring_work(draft, turn=turn)


def _strength(draft: Draft, *, before_mm: float, after_mm: float) -> None:
    share = section_left(before_mm=before_mm, after_mm=after_mm)
    text = (
        f"turned to {mm(after_mm)} mm a solid shaft keeps {share * 100:.0f} % of its bending and "
        "twisting strength, less again at a sharp corner: check that it may be weakened"
    )
    if share < SECTION_ENOUGH:
        draft.hold(CHECK, f"{text} (under {SECTION_ENOUGH * 100:.0f} %: own figure, no source)")
    else:
        draft.reasons.append(text)


def _fits(draft: Draft, *, seat_mm: float, turn: bool) -> None:
    """Limits of ring bore and turned shaft for the light and the heavy fit.

    A shaft that is not turned stays as it is, and the ring's bore takes up the interference.
    """
    for name, word in (("thick_sleeve_fit_light", "light"), ("thick_sleeve_fit_heavy", "heavy")):
        row = limit(name)
        draft.cite(row.cite())
        hole, shaft = parse_fit(row.text("text"))
        try:
            found: Fit = fit(nominal_mm=seat_mm, hole_class=hole.text, shaft_class=shaft.text)
        except OffTableError as error:
            draft.reasons.append(f"{row.text('text')}: {error.rule}")
            continue
        for source in found.source.split("; "):
            draft.cite(source)
        if turn:
            draft.dimensions_mm |= {
                "ring_bore_min": found.hole.lower_mm,
                "ring_bore_max": found.hole.upper_mm,
                f"turned_{word}_min": found.shaft.lower_mm,
                f"turned_{word}_max": found.shaft.upper_mm,
            }
        else:
            draft.dimensions_mm |= {
                f"ring_bore_{word}_min": seat_mm + found.min_clearance_um / 1000.0,
                f"ring_bore_{word}_max": seat_mm + min(found.max_clearance_um, 0.0) / 1000.0,
            }
        draft.reasons.append(
            f"{word} fit {row.text('text')}: "
            + clearance_text(found.min_clearance_um, found.max_clearance_um)
        )


def _finish(draft: Draft, *, finish_mm: float, system: str) -> None:
    """Limits of the ground counterface: those of the seal's shaft."""
    try:
        allowed = seat_limits(seat="shaft", size_mm=finish_mm, system=system)
    except OffTableError as error:
        draft.hold(CHECK, f"what to grind the ring to is to be had from the drawing: {error.rule}")
        return
    for source in allowed.source.split("; "):
        draft.cite(source)
    draft.dimensions_mm |= {"finish_min": allowed.lower_mm, "finish_max": allowed.upper_mm}
    wanted = allowed.tolerance_class if system == METRIC else "the limits for inch shafts"
    draft.reasons.append(
        f"finished to {mm(allowed.lower_mm)} to {mm(allowed.upper_mm)} mm ({wanted})"
    )


def _limits(draft: Draft, name: str) -> str:
    """Two limits of the draft as a span, empty where there are none."""
    sizes = draft.dimensions_mm
    if f"{name}_min" not in sizes:
        return ""
    return f"{mm(sizes[f'{name}_min'])} to {mm(sizes[f'{name}_max'])} mm"


def _light_or_heavy(draft: Draft, name: str) -> str:
    """The limits of both fits to make a part to, or where else they are to be had."""
    light, heavy = _limits(draft, f"{name}_light"), _limits(draft, f"{name}_heavy")
    if not (light and heavy):
        return "the limits of its drawing"
    return f"{light} for the light fit, {heavy} for the heavy one"


def _cut_work(draft: Draft, *, turn: bool) -> None:
    """What is cut before the ring goes on."""
    if turn:
        draft.work += [
            Step(
                f"Turn the shaft to {_light_or_heavy(draft, 'turned')}; round the corners of the "
                "seat: a groove or a sharp corner starts a crack",
                _OWN,
            ),
            Step(
                f"Bore the ring to {_limits(draft, 'ring_bore') or 'the limits of its drawing'} "
                "and leave its outside over size, to be ground in place",
                _OWN,
            ),
        ]
    else:
        draft.work.append(
            Step(
                f"Bore the ring to {_light_or_heavy(draft, 'ring_bore')}, and leave its outside "
                "over size, to be ground in place",
                _OWN,
            )
        )


def _ring_work(draft: Draft, *, turn: bool) -> None:
    """The work in its order: cut, fit the ring, grind it."""
    _cut_work(draft, turn=turn)
    heat_low, heat_high = draft.uses_range("thick_sleeve_heat_c")
    gap_low, gap_high = draft.uses_range("thick_sleeve_retaining_gap_mm")
    ra_low, ra_high = draft.uses_range("counterface_ra_um")
    angle_low, angle_high = draft.uses_range("lead_in_angle_deg")
    hardness = draft.uses("counterface_hardness_min_hrc")
    finish = _limits(draft, "finish")
    draft.work += [
        Step(
            f"Heat the ring, {heat_low:g} to {heat_high:g} C is practice, slip it on and hold it "
            "until it grips; what the machine's manual says goes before this",
            limit("thick_sleeve_heat_c").cite(),
        ),
        Step(
            f"Or fix it with retaining compound at {gap_low:g} to {gap_high:g} mm clearance "
            "instead of an interference fit",
            limit("thick_sleeve_retaining_gap_mm").cite(),
        ),
        Step(
            f"Grind it in place{f' to {finish}' if finish else ''}, without lead, Ra {ra_low:g} to "
            f"{ra_high:g} um, {hardness:g} HRC or harder, with a lead-in chamfer "
            f"of {angle_low:g} to {angle_high:g} degrees",
            limit("counterface_ra_um").cite(),
        ),
    ]


def next_seals(c: Counterface) -> tuple[NextSeal, ...]:
    """The listed seals of the same bore with a larger shaft, the least cutting first.

    Parameters
    ----------
    c : Counterface
        The counterface as measured; its seal must be known.
    """
    if c.seal is None:
        return ()
    usual = limit("thick_sleeve_wall_mm")
    low, thickest = usual.number("low"), usual.number("high")
    least = limit("thick_sleeve_wall_min_mm").number("value")
    land = c.land_mm if c.land_mm is not None else c.seal.shaft_mm
    found: list[tuple[tuple[float, ...], NextSeal]] = []
    for size in seal_sizes():
        shaft, bore, width = size.nominals
        if shaft is None or bore is None or width is None:
            continue
        if abs(bore[0] - c.seal.bore_mm) > _SAME_MM or shaft[0] <= c.seal.shaft_mm + _SAME_MM:
            continue
        wall = (shaft[0] - land) / 2.0
        if wall > thickest:
            continue
        turned = None if round(wall, 6) >= least else shaft[0] - 2.0 * low
        wider = width[0] - c.seal.width_mm
        order = (
            0.0 if turned is None else 1.0,
            0.0 if abs(wider) <= _SAME_MM else 1.0 if wider < 0 else 2.0,
            shaft[0] if turned is None else -shaft[0],
            width[0],
        )
        entry = NextSeal(size.label, shaft[0], width[0], shaft[1], wall, turned, size.source)
        found.append((order, entry))
    return tuple(entry for _, entry in sorted(found, key=lambda item: (item[0], item[1].label)))


def next_seal(grade: Grade, c: Counterface) -> Way:
    """Fit a seal with a larger shaft in the same bore, on a thicker ring.

    Parameters
    ----------
    grade : Grade
        What the ladder makes of it.
    c : Counterface
        The counterface as measured.
    """
    draft = Draft(grade)
    if draft.dead:
        return draft.done()
    if c.seal is None:
        draft.hold(
            CHECK,
            "needs the size of the seal that was there: it is not given",
            Ask("seal", "", "whether a seal with a larger shaft fits the same bore"),
        )
        return draft.done()
    found = next_seals(c)
    if not found:
        draft.hold(
            NO_GO,
            f"no listed seal has a larger shaft in a bore of {mm(c.seal.bore_mm)} mm that leaves a "
            "wall of the usual thickness",
        )
        return draft.done()
    best = found[0]
    draft.cite(best.source)
    draft.parts.append(Part("lip seal", best.label))
    draft.dimensions_mm |= {
        "next_shaft": best.shaft_mm,
        "wall_over_land": best.wall_over_land_mm,
    }
    if best.width_mm > c.seal.width_mm + _SAME_MM:
        draft.reasons.append(
            f"it is {mm(best.width_mm)} mm wide against {mm(c.seal.width_mm)}: see that the bore "
            "is deep enough"
        )
    if best.turned_mm is None:
        draft.reasons.append(
            f"{best.label}: a ring of {mm(best.wall_over_land_mm)} mm wall goes on the shaft as it "
            "is; clean the land up and fill the groove first"
        )
        seat = c.land_mm if c.land_mm is not None else c.seal.shaft_mm
        _ring(
            draft,
            c,
            finish_mm=best.shaft_mm,
            system=best.system,
            wall_mm=(best.shaft_mm - seat) / 2.0,
            turn=False,
        )
    else:
        draft.reasons.append(
            f"{best.label}: on the shaft as it is the ring would be only "
            f"{mm(best.wall_over_land_mm)} mm thick, so the shaft is turned down"
        )
        wall = _wall_mm(draft, c, finish_mm=best.shaft_mm)
        if wall is not None:
            _ring(draft, c, finish_mm=best.shaft_mm, system=best.system, wall_mm=wall, turn=True)
    if len(found) > 1:
        others = ", ".join(entry.label for entry in found[1 : 1 + _SHOWN])
        draft.reasons.append(f"other sizes for the same bore: {others}")
    draft.reasons.append("whatever has to pass over the ring when the hub goes on must clear it")
    return draft.done()
