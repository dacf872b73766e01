"""The seal's seats: its bore, the counterface, the pocket, the lead-in chamfers.

Metric seals ask for the classes of their standards, inch seals for the inch limits; what the bore
has become decides how hard a new case is held.
"""

from __future__ import annotations

from contextlib import suppress

from fitcheck.assess.seal_pocket import (
    bore_chamfer,
    pocket,
    shaft_chamfer,
    widths_that_fit,
)
from fitcheck.assess.within import (
    SYSTEMS,
    Check,
    band_text,
    checked_mm,
    holds_as_read,
    one_of,
    put_in_words,
)
from fitcheck.errors import OffTableError
from fitcheck.judging import judge_reading
from fitcheck.limits import Limits
from fitcheck.parts.seal import limits_of_seat
from fitcheck.readings import Reading
from fitcheck.tables import step_row, table
from fitcheck.units import MM_PER_INCH

__all__ = [
    "Check",
    "bore_chamfer",
    "counterface",
    "pocket",
    "seal_bore",
    "seat_limits",
    "shaft_chamfer",
    "widths_that_fit",
]

CASES = ("metal", "rubber", "unknown")
_NAMES = {"metal": "a new metal", "rubber": "a new rubber-covered"}

_BORE_HOW = "take it with a bore gauge, in two directions"
_SHAFT_HOW = "take it with a micrometer on the unworn land, top and bottom"


def seat_limits(*, seat: str, size_mm: float, system: str) -> Limits:
    """What a seal's standard asks of a seat: h11 and H8, or the inch limits.

    Parameters
    ----------
    seat : str
        ``shaft`` (the counterface) or ``bore``.
    size_mm : float
        Nominal diameter [mm].
    system : str
        ``metric`` or ``inch``.

    Returns
    -------
    Limits
        Deviations [um] and sizes [mm], with the source.

    Raises
    ------
    OffTableError
        The standards give nothing at this size.

    Examples
    --------
    >>> found = seat_limits(seat="bore", size_mm=52, system="metric")
    >>> found.tolerance_class, found.upper_um, found.lower_um
    ('H8', 46.0, 0.0)

    Source: ISO 6194-1, DIN 3760, GB 13871 and JIS B 2402-1; RMA OS-4 for inch seals.
    """
    one_of(seat, ("shaft", "bore"), what="seat of a seal")
    one_of(system, SYSTEMS, what="system of sizes")
    checked_mm(size_mm, what="diameter")
    return limits_of_seat(seat, size_mm, system)


def seal_bore(*, bore_mm: float, system: str, measured: Reading, case: str = "unknown") -> Check:
    """Whether the measured bore holds what the seal's standard asks of it.

    Parameters
    ----------
    bore_mm : float
        Nominal bore [mm].
    system : str
        ``metric`` (H8) or ``inch``.
    measured : Reading
        The bore as measured.
    case : str
        Outside of the seal's case: ``metal``, ``rubber`` or ``unknown``.

    Returns
    -------
    Check
        With the press of a new case, where the case is known: its allowance over the nominal
        bore less the deviation of the measured bore.

    Raises
    ------
    InputError
        An unknown system or case.
    OffTableError
        The standards give nothing at this size.

    Source: table ``seal_tolerances/seat_class`` or ``inch_seat_limits``.
    """
    one_of(case, CASES, what="case")
    limits = seat_limits(seat="bore", size_mm=bore_mm, system=system)
    deviation = (measured.mean_mm - bore_mm) * 1000.0
    held = []
    for kind in ("metal", "rubber") if case == "unknown" else (case,):
        # The limits of the bore reach farther than the table of cases: then only those count.
        with suppress(OffTableError):
            press = _press_um(bore_mm=bore_mm, system=system, case=kind, deviation_um=deviation)
            held.append((kind, press))
    presses = " and ".join(
        f"{_NAMES[kind]} case sits {_press_words(*press[:2])}" for kind, press in held
    )
    presses = presses or "how hard the case sits is not listed at this size"
    found = judge_reading(measured=measured, limits=limits)
    if found.outside_um < 0:
        meaning, advice = (
            "the case goes in too hard and can buckle or shave",
            "clean the bore of burrs, paint and old sealant, measure again, bore it to size if it "
            "stays",
        )
    else:
        meaning, advice = (
            "the bore is worn or was bored over, and oil gets past the case",
            "bore it out and fit a bush, or replace the housing; a rubber-covered case with "
            "sealant bridges a little",
        )
    verdict, reason, again = put_in_words(
        place="bore",
        how=_BORE_HOW,
        measured=measured,
        nominal_mm=bore_mm,
        band=band_text(limits),
        judged=found,
        holds=presses,
        meaning=f"{meaning}; {presses}",
    )
    return Check(
        what="seal bore",
        verdict=verdict,
        reason=reason,
        source=_joined(limits.source, *(press[2] for _, press in held)),
        measured_um=deviation,
        press_um=held[0][1][:2] if held and case != "unknown" else None,
        advice=advice if verdict == "no-go" else "",
        read_again=again,
        holds_as_read=holds_as_read(measured=measured, judged=found),
    )


def counterface(*, shaft_mm: float, system: str, measured: Reading) -> Check:
    """Whether the unworn land holds what the seal's standard asks of the counterface.

    Parameters
    ----------
    shaft_mm : float
        Nominal shaft diameter [mm].
    system : str
        ``metric`` (h11) or ``inch``.
    measured : Reading
        The land beside the track, as measured.

    Returns
    -------
    Check

    Raises
    ------
    InputError
        An unknown system.
    OffTableError
        The standards give nothing at this size.

    Source: table ``seal_tolerances/seat_class`` or ``inch_seat_limits``.
    """
    limits = seat_limits(seat="shaft", size_mm=shaft_mm, system=system)
    deviation = (measured.mean_mm - shaft_mm) * 1000.0
    found = judge_reading(measured=measured, limits=limits)
    if found.outside_um > 0:
        meaning, advice = (
            "an earlier sleeve, a ring left on or raised metal is under the reading, or the shaft "
            "is another size",
            "look for a sleeve or a ring, take it off and measure again",
        )
    else:
        meaning, advice = (
            "the counterface is worn or was ground under size, or the shaft is another size, and "
            "the lip has too little grip",
            "sleeve the shaft or replace it",
        )
    verdict, reason, again = put_in_words(
        place="shaft",
        how=_SHAFT_HOW,
        measured=measured,
        nominal_mm=shaft_mm,
        band=band_text(limits),
        judged=found,
        holds="the lip has the grip it was made for",
        meaning=meaning,
    )
    return Check(
        what="counterface",
        verdict=verdict,
        reason=reason,
        source=limits.source,
        measured_um=deviation,
        advice=advice if verdict == "no-go" else "",
        read_again=again,
        holds_as_read=holds_as_read(measured=measured, judged=found),
    )


def _press_um(
    *, bore_mm: float, system: str, case: str, deviation_um: float
) -> tuple[float, float, str]:
    """Least and greatest interference of a new case in a bore of this deviation, and the source."""
    unit, per_unit = ("in", MM_PER_INCH) if system == "inch" else ("mm", 1.0)
    to_um = per_unit * 1000.0
    row = step_row(
        (
            row
            for row in table(f"seal_tolerances/{system}_case_allowance").rows
            if row.text("case") == case and row.flag("preferred")
        ),
        value=bore_mm / per_unit,
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what=f"the {case} case of {system} seals",
    )
    least = row.number(f"allowance_min_{unit}") * to_um - deviation_um
    greatest = row.number(f"allowance_max_{unit}") * to_um - deviation_um
    return least, greatest, row.cite()


def _press_words(least_um: float, greatest_um: float) -> str:
    if greatest_um <= 0:
        return f"{-greatest_um:.0f} to {-least_um:.0f} um loose"
    if least_um < 0:
        return f"from {-least_um:.0f} um loose to {greatest_um:.0f} um tight"
    return f"{least_um:.0f} to {greatest_um:.0f} um tight"


def _joined(*sources: str) -> str:
    return "; ".join(dict.fromkeys("; ".join(sources).split("; ")))
