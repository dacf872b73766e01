"""The thin sleeve: which one grips the shaft, what it must cover, and what the lip thinks of it."""

from __future__ import annotations

import math
from contextlib import suppress

from fitcheck.assess.counterface import Ask, Counterface, Grade, chance_between, mm, surely
from fitcheck.assess.seal_seat import seat_limits
from fitcheck.assess.ways import Draft, Part, Step, Way
from fitcheck.errors import OffTableError
from fitcheck.judging import COVERAGE
from fitcheck.parts.size_text import METRIC
from fitcheck.parts.sleeve import Sleeve, gripping, nearest, sleeved_mm, sleeves
from fitcheck.tables import named_row, step_row, table
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO, NO_GO

_OWN = "common practice, no source"
# Statements of the table that hold only sometimes; each is added where it does.
_SOMETIMES = frozenset(
    {
        "choosing",
        "small shafts",
        "groove too deep",
        "light groove",
        "two seals, or a lip and a far dust lip",
    }
)


def thin_sleeve(grade: Grade, c: Counterface) -> Way:
    """Slip a thin sleeve over the worn track and keep the same seal.

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
    land = _land(draft, c)
    if land is None:
        return draft.done()
    land_mm, error_mm = land
    sleeve = pick(draft, land_mm=land_mm, error_mm=error_mm, measured=c.land_mm is not None)
    if sleeve is None:
        return draft.done()
    draft.cite(sleeve.source)
    # The designation says "sleeve" itself where it is one of the shipped rows.
    size = sleeve.designation.removeprefix("sleeve ")
    draft.parts.append(Part("thin sleeve", size))
    after = sleeved_mm(land_mm=land_mm, wall_mm=sleeve.wall_mm)
    draft.dimensions_mm |= {
        "counterface": after,
        "wall": sleeve.wall_mm,
        "window_min": sleeve.window_min_mm,
        "window_max": sleeve.window_max_mm,
        "sleeve_width": sleeve.width_mm,
    }
    _lip(draft, c, after_mm=after)
    _cover(draft, c, sleeve, land_mm=land_mm)
    if c.doubt:
        draft.hold(CHECK, c.doubt, Ask("shaft", "micrometer", c.doubt))
    _work(draft, c)
    return draft.done()


def _land(draft: Draft, c: Counterface) -> tuple[float, float] | None:
    """The land as measured, or as the seal's shaft allows it: diameter and standard error."""
    if c.land_mm is not None:
        return c.land_mm, c.land_error_mm
    ask = Ask(
        "shaft",
        "micrometer",
        "a sleeve is chosen by the unworn land, three readings averaged, never by a nominal size",
    )
    if c.seal is None:
        draft.hold(CHECK, "the unworn land was not measured: no sleeve can be named", ask)
        return None
    try:
        allowed = seat_limits(seat="shaft", size_mm=c.seal.shaft_mm, system=c.seal.system)
    except OffTableError as error:
        draft.hold(CHECK, f"the unworn land was not measured, and {error.rule}", ask)
        return None
    for source in allowed.source.split("; "):
        draft.cite(source)
    draft.hold(
        CHECK,
        f"the unworn land was not measured; the middle of what the seal {c.seal.label} allows is "
        "taken",
        ask,
    )
    lower, upper = allowed.lower_mm, allowed.upper_mm
    return (lower + upper) / 2.0, (upper - lower) / 2.0 / COVERAGE


def pick(draft: Draft, *, land_mm: float, error_mm: float, measured: bool) -> Sleeve | None:
    """The sleeve whose window holds the land, or None with the reason why there is none.

    Parameters
    ----------
    draft : Draft
        The way being judged.
    land_mm : float
        Diameter of the unworn land [mm].
    error_mm : float
        Its standard error [mm].
    measured : bool
        Whether the land was measured at all.
    """
    found = gripping(land_mm=land_mm)
    near = found or nearest(land_mm=land_mm)
    chances = {s.designation: _chance(s, land_mm, error_mm) for s in near}
    if not near:
        draft.hold(NO_GO, "no thin sleeve is listed")
        return None
    sleeve = found[0] if found else max(near, key=lambda s: chances[s.designation])
    windows = "; ".join(_window(s) for s in near)
    verdict = surely(chances[sleeve.designation])
    if verdict == GO:
        draft.reasons.append(f"the land reads {mm(land_mm)} mm: {_window(sleeve)}")
        return sleeve
    if verdict == NO_GO and not found:
        _off(draft, land_mm, windows)
        return None
    if measured:
        draft.hold(
            CHECK,
            f"the land reads {mm(land_mm)} +/- {mm(COVERAGE * error_mm)} mm, which reaches over "
            f"the edge of a window: {windows}",
            Ask(
                "shaft",
                "micrometer",
                f"decides whether {sleeve.designation} grips: three readings of the unworn land, "
                "averaged",
            ),
        )
    return sleeve


def _chance(sleeve: Sleeve, land_mm: float, error_mm: float) -> float:
    # A window edge belongs to the window.
    return chance_between(
        value_mm=round(land_mm, 6),
        error_mm=error_mm,
        low_mm=sleeve.window_min_mm - 1e-9,
        high_mm=sleeve.window_max_mm + 1e-9,
    )


def _window(sleeve: Sleeve) -> str:
    return f"{sleeve.designation} grips {mm(sleeve.window_min_mm)} to {mm(sleeve.window_max_mm)} mm"


def _off(draft: Draft, land_mm: float, windows: str) -> None:
    every = sleeves()
    first, last = every[0], max(every, key=lambda s: s.window_max_mm)
    covered = (
        ""
        if first.window_min_mm <= land_mm <= last.window_max_mm
        else f"; the table covers {mm(first.window_min_mm)} to {mm(last.window_max_mm)} mm"
    )
    draft.cite(first.source)
    draft.hold(
        NO_GO,
        f"no listed sleeve grips {mm(land_mm)} mm; nearest: {windows}{covered}. A supplier's own "
        "list may hold one: put it over the table sleeves/thin",
    )


def lip_band_mm(*, shaft_mm: float, system: str) -> tuple[float, float, str] | None:
    """How far a new main lip stands under its shaft, with the source; None off the table.

    Parameters
    ----------
    shaft_mm : float
        The shaft the seal is made for [mm].
    system : str
        ``metric`` or ``inch``.

    Returns
    -------
    tuple of float, float, str or None
        Least and greatest interference on the diameter [mm], and the source.

    Examples
    --------
    >>> lip_band_mm(shaft_mm=35.0, system="metric")[:2]
    (0.8, 1.7)
    """
    unit, scale, name = ("mm", 1.0, "lip_interference")
    if system != METRIC:
        unit, scale, name = ("in", MM_PER_INCH, "inch_lip_interference")
    rows = [
        row
        for row in table(f"seal_tolerances/{name}").rows
        if row.text("lip") == "main" and row.flag("preferred")
    ]
    try:
        row = step_row(
            rows,
            value=shaft_mm / scale,
            over=f"over_{unit}",
            incl=f"incl_{unit}",
            what="the lip interference",
        )
    except OffTableError:
        return None
    return row.number(f"min_{unit}") * scale, row.number(f"max_{unit}") * scale, row.cite()


def _lip(draft: Draft, c: Counterface, *, after_mm: float) -> None:
    """What the same seal makes of the larger counterface."""
    shaft = c.shaft_mm
    if shaft is None:
        return
    growth = after_mm - shaft
    draft.dimensions_mm["over_seal_shaft"] = growth
    text = f"the counterface becomes {mm(after_mm)} mm, {mm(growth)} mm over the "
    text += "shaft of the seal" if c.seal else "land"
    if c.seal:
        with suppress(OffTableError):
            allowed = seat_limits(seat="shaft", size_mm=shaft, system=c.system)
            beyond = after_mm - allowed.upper_mm
            text += f" and {mm(abs(beyond))} mm {'over' if beyond > 0 else 'under'} its upper limit"
    draft.reasons.append(f"{text}; the same seal is kept")
    band = lip_band_mm(shaft_mm=shaft, system=c.system)
    if band is not None:
        low, high, source = band
        draft.cite(source)
        draft.dimensions_mm |= {
            "lip_interference_min": low + growth,
            "lip_interference_max": high + growth,
        }
        draft.reasons.append(
            f"lip interference rises from {mm(low)}-{mm(high)} mm to "
            f"{mm(low + growth)}-{mm(high + growth)} mm"
        )
    smallest = draft.uses("stretch_matters_below_shaft_mm")
    if round(shaft, 6) < smallest:
        free_lip = after_mm - band[1] if band else None
        draft.hold(
            CHECK,
            f"below a {mm(smallest)} mm shaft the extra stretch of the lip matters"
            + (
                f": the free lip of the new seal should measure {mm(free_lip)} mm or more"
                if free_lip
                else ""
            ),
            Ask("new-lip", "caliper", "whether the new seal's lip takes the larger counterface"),
        )


def _cover(draft: Draft, c: Counterface, sleeve: Sleeve, *, land_mm: float) -> None:
    """Whether the sleeve covers the old track and the new lip, clear of the shaft end."""
    margin = draft.uses("sleeve_cover_margin_mm")
    gap = draft.uses("sleeve_end_gap_min_mm")
    widest = sleeve.width_mm - 2.0 * margin
    track = c.groove_width_mm or 0.0
    if c.groove_width_mm is None:
        draft.reasons.append(
            f"covers a track up to {mm(widest)} mm wide, with {mm(margin)} mm to spare each side"
        )
    elif round(track, 6) > round(widest, 6):
        draft.hold(
            NO_GO,
            f"{mm(sleeve.width_mm)} mm wide, it covers a track up to {mm(widest)} mm and this one "
            f"is {mm(track)} mm; two sleeves end to end are the way out",
        )
    else:
        draft.reasons.append(f"covers the {mm(track)} mm track with {mm(margin)} mm each side")
    if c.lip_at_mm is None:
        return
    first_edge = c.lip_at_mm - track / 2.0 - margin
    if round(first_edge, 6) < round(gap, 6):
        draft.hold(
            NO_GO,
            f"the track is {mm(c.lip_at_mm)} mm from the shaft end: a sleeve that covers it would "
            f"end {mm(max(first_edge, 0.0))} mm from the end, and {mm(gap)} mm is the least",
        )
        return
    chamfer = _off_chamfer(draft, c, land_mm=land_mm, first_edge_mm=first_edge)
    if chamfer is None:
        return
    # The track in the middle of the sleeve where the shaft end allows it.
    near = min(max(gap, chamfer, c.lip_at_mm - sleeve.width_mm / 2.0), first_edge)
    draft.dimensions_mm |= {
        "near_edge_from_end": near,
        "far_edge_from_end": near + sleeve.width_mm,
        "overall_width": sleeve.overall_mm,
    }


def _off_chamfer(
    draft: Draft, c: Counterface, *, land_mm: float, first_edge_mm: float
) -> float | None:
    """How far from the end the shaft has its full diameter at the latest [mm].

    None where a sleeve that covers the track would stand with its edge on the chamfer.
    """
    if c.shaft_end_mm is None or c.shaft_end_mm >= land_mm:
        return 0.0
    # How long a chamfer is goes by its angle, and that was not measured: the flattest that the
    # standard has is the longest, and none is steeper than 45 degrees (own rule, no source).
    row = named_row("seal_tolerances/surface", "shaft_chamfer_angle_deg")
    step = (land_mm - c.shaft_end_mm) / 2.0
    longest = step / math.tan(math.radians(row.number("low")))
    if round(first_edge_mm, 6) >= round(longest, 6):
        return longest
    draft.cite(row.cite())
    edge = f"a sleeve that covers the track would have its edge {mm(first_edge_mm)} mm from the end"
    if first_edge_mm < step:
        draft.hold(
            NO_GO,
            f"{edge}, on the chamfer, which is {mm(step)} mm long at the least: both edges must "
            "stand on full diameter",
        )
        return None
    draft.hold(
        CHECK,
        f"{edge}, and the chamfer may be up to {mm(longest)} mm long: both edges must stand on "
        "full diameter",
        Ask("shaft-end", "caliper", "how long the chamfer is: the sleeve must stand clear of it"),
    )
    return longest


def _work(draft: Draft, c: Counterface) -> None:
    """Fit it: with filler where the groove asks for it, then as manuals and handbooks say."""
    fill_depth = draft.uses("filler_from_depth_mm")
    fill_width = draft.uses("filler_from_width_mm")
    filled = False
    if "fill" in draft.grade.needs:
        # In doubt it is filled: filler under a sleeve does no harm.
        deep = c.depth_mm + COVERAGE * c.depth_error_mm > fill_depth + 1e-9
        wide = c.groove_width_mm is not None and c.groove_width_mm > fill_width + 1e-9
        filled = deep or wide
        if filled:
            why = [_deeper(c, fill_depth)] if deep else []
            why += [f"wider than {mm(fill_width)} mm"] if wide else []
            draft.reasons.append(f"the groove is {' and '.join(why)}: fill it")
            draft.parts.append(Part("metal-filled epoxy", "for the groove"))
        elif c.groove_width_mm is None:
            draft.work.append(
                Step(
                    f"Fill the groove all the same where it is wider than {mm(fill_width)} mm", _OWN
                )
            )
    left_out = set(_SOMETIMES)
    left_out.discard("groove too deep" if filled else "light groove")
    if c.shaft_mm is not None and c.shaft_mm < draft.uses("stretch_matters_below_shaft_mm"):
        left_out.discard("small shafts")
    # The groove is filled before the sleeve goes on.
    before = ("measuring the shaft", "light groove", "groove too deep")
    draft.practice("thin-sleeve", frozenset(left_out), before)
    if not filled:
        # What the work asks for is bought with the sleeve.
        draft.parts.append(Part("non-hardening gasket compound", "under the sleeve"))
    near = draft.dimensions_mm.get("near_edge_from_end")
    if near is not None:
        far = draft.dimensions_mm["far_edge_from_end"]
        draft.work.append(
            Step(
                f"Drive the sleeve until its near edge stands {mm(near)} mm and its far edge "
                f"{mm(far)} mm from the shaft end",
                _OWN,
            )
        )


def _deeper(c: Counterface, bound_mm: float) -> str:
    """How a depth stands to the one from which a groove is filled; the digits have to tell them."""
    depth, bound = mm(c.depth_mm), mm(bound_mm)
    if c.depth_mm <= bound_mm:
        sure = mm(COVERAGE * c.depth_error_mm)
        return f"{depth} mm deep as read, to {sure} mm, and so may be deeper than {bound} mm"
    if depth == bound:
        depth = f"{c.depth_mm:.5f}".rstrip("0")
    return f"{depth} mm deep, deeper than {bound} mm"
