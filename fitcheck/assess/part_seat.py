"""A measured seat against the class it should have, for parts whose standard names one class.

Seats of tapered bearings and lip seals have modules of their own; this one serves bushings,
retaining rings, collars and rings of radial bearings.
"""

from __future__ import annotations

from fitcheck.assess.seat_practice import ring_load, wanted_limits
from fitcheck.assess.within import Check, band_text, holds_as_read, put_in_words
from fitcheck.judging import judge_reading
from fitcheck.limits import Limits, class_limits
from fitcheck.readings import Reading

_HOW = {
    "hole": "take it with a bore gauge, in two directions",
    "shaft": "take it with a micrometer, in two directions",
}
_HOLDS = {"hole": "the bore holds", "shaft": "the shaft holds"}
# No seat wears this far and still runs: it is another size or another place. Own rule, no source.
_OTHER_SIZE_UM = 500.0
# What practice calls the two rings, and where they sit.
_RINGS = {"journal": "cone", "housing": "cup"}


def class_seat(
    *, place: str, nominal_mm: float, tolerance_class: str, source: str, measured: Reading
) -> Check:
    """A seat against an ISO 286 class.

    Parameters
    ----------
    place : str
        The place, as the user knows it.
    nominal_mm : float
        Nominal diameter [mm].
    tolerance_class : str
        The class it should have.
    source : str
        What asks for the class.
    measured : Reading
        The seat as measured.

    Returns
    -------
    Check

    Examples
    --------
    >>> from fitcheck.readings import read
    >>> worn = read(place="housing", texts=("26.06@bore-gauge",))
    >>> class_seat(place="housing", nominal_mm=26.0, tolerance_class="H7", source="ISO 3547-1",
    ...            measured=worn).verdict
    'no-go'
    """
    limits = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    return _judged(
        place=place, limits=limits, source=f"{source}; {limits.source}", measured=measured
    )


def ring_seat(*, place: str, nominal_mm: float, turning: str, measured: Reading) -> Check:
    """The seat of a radial bearing's ring, by which member turns.

    Parameters
    ----------
    place : str
        ``journal`` of the inner ring or ``housing`` of the outer ring.
    nominal_mm : float
        Bore or outside diameter of the bearing [mm].
    turning : str
        The member that turns, ``hub`` or ``shaft``.
    measured : Reading
        The seat as measured.

    Returns
    -------
    Check

    Notes
    -----
    The ring that turns relative to the load is held tight, as for tapered bearings; the classes
    are those of the same practice.

    Examples
    --------
    >>> from fitcheck.readings import read
    >>> slack = read(place="journal", texts=("24.93@micrometer",))
    >>> ring_seat(place="journal", nominal_mm=25.0, turning="shaft", measured=slack).verdict
    'no-go'
    """
    ring = _RINGS[place]
    limits = wanted_limits(ring=ring, turning=turning, size_mm=nominal_mm, system="metric")
    load = ring_load(ring=ring, turning=turning)
    found = _judged(place=place, limits=limits, source=limits.source, measured=measured)
    named = "inner" if ring == "cone" else "outer"
    held = "turns relative to the load, it is held tight" if load == "rotating" else "may slide"
    return Check(
        what=found.what,
        verdict=found.verdict,
        reason=f"{found.reason} (the {named} ring {held})",
        source=found.source,
        measured_um=found.measured_um,
        advice=found.advice,
        read_again=found.read_again,
        holds_as_read=found.holds_as_read,
    )


def _judged(*, place: str, limits: Limits, source: str, measured: Reading) -> Check:
    judged = judge_reading(measured=measured, limits=limits)
    off_um = (measured.mean_mm - limits.nominal_mm) * 1000.0
    worn = (off_um > 0.0) == (limits.kind == "hole")
    meaning = (
        f"worn: {_repair(limits.kind)}" if worn else "too tight: burred, dirty or another size"
    )
    if abs(judged.outside_um) > _OTHER_SIZE_UM:
        meaning = "another size, or read at another place"
    verdict, reason, again = put_in_words(
        place=place,
        how=_HOW[limits.kind],
        measured=measured,
        nominal_mm=limits.nominal_mm,
        band=band_text(limits),
        judged=judged,
        holds=_HOLDS[limits.kind],
        meaning=meaning,
    )
    # Out of limits on the loose side alone is work for the machine shop.
    wrong = verdict == "no-go" and abs(judged.outside_um) <= _OTHER_SIZE_UM
    return Check(
        what=place,
        verdict=verdict,
        reason=reason,
        source=source,
        measured_um=off_um,
        advice=f"{place}: {_repair(limits.kind)}" if wrong and worn else "",
        read_again=again,
        holds_as_read=holds_as_read(measured=measured, judged=judged),
    )


def _repair(kind: str) -> str:
    return "bush it or renew it" if kind == "hole" else "build it up and grind it, or renew it"
