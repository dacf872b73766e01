"""Bearing seats: does the cone hold on this journal, and the cup in this housing?

Which member turns decides which ring is held tight and which may slide; practice gives the class
of the seat, the bearing's own tolerance gives the fit, and the reading gives the verdict.
"""

from __future__ import annotations

from fitcheck.assess.seat_practice import (
    applications,
    bearing_bore_limits_mm,
    bearing_od_limits_mm,
    ring_load,
    wanted_limits,
)
from fitcheck.assess.within import band_text, holds_as_read, one_of, put_in_words, whole
from fitcheck.judging import judge_reading
from fitcheck.limits import Limits
from fitcheck.readings import Reading
from fitcheck.records import dataclass

__all__ = [
    "Seat",
    "bearing_bore_limits_mm",
    "bearing_od_limits_mm",
    "housing_seat",
    "journal_seat",
    "ring_load",
]

MATERIALS = ("steel", "iron", "light-alloy")

# No seat wears this far and still runs: it is another size or another place. Own rule, no source.
_OTHER_SIZE_UM = 500.0
# What a light-alloy housing is fitted as, by how the load stands to the cup.
_LIGHT_ALLOY = {"rotating": "light-alloy-hub", "stationary": "fixed"}
_HOW = {
    "journal": "take it with a micrometer, top and bottom",
    "housing": "take it with a bore gauge, in two directions",
}


@dataclass(frozen=True, slots=True)
class Seat:
    """One bearing seat: what is wanted, what was measured, and the verdict.

    ``tight_um`` is the interference of the tightest wanted fit and ``loose_um`` the clearance of
    the loosest; a negative one is the other kind. ``measured_um`` is the measured diameter of the
    seat minus the nominal; ``actual_tight_um`` and ``actual_loose_um`` are the fit it gives with
    any bearing inside its tolerance, as read. All are None where nothing was measured.
    ``holds_as_read`` tells a reading that only can't prove what it shows from a borderline part.
    """

    seat: str
    tolerance_class: str
    nominal_mm: float
    lower_um: float
    upper_um: float
    tight_um: float
    loose_um: float
    measured_um: float | None
    actual_tight_um: float | None
    actual_loose_um: float | None
    verdict: str
    reason: str
    advice: str
    read_again: str
    holds_as_read: bool
    source: str

    def as_json(self) -> dict[str, object]:
        """The seat as the answer prints it."""
        return {
            "seat": self.seat,
            "class": self.tolerance_class,
            "fit_um": {"tight": whole(self.tight_um), "loose": whole(self.loose_um)},
            "measured_um": None if self.measured_um is None else whole(self.measured_um),
            "verdict": self.verdict,
            "reason": self.reason,
            "source": self.source,
        }


def journal_seat(
    *,
    bore_mm: float,
    system: str,
    turning: str,
    measured: Reading | None = None,
    application: str = "",
) -> Seat:
    """The cone's seat: wanted class and fit, and whether the measured journal holds it.

    Parameters
    ----------
    bore_mm : float
        Nominal bore of the cone [mm].
    system : str
        How the bearing is toleranced: ``metric`` or ``inch``.
    turning : str
        The member that turns, ``hub`` or ``shaft``.
    measured : Reading, optional
        The journal as measured.
    application : str
        A key of the column ``application`` of the fit practice; its default when empty.

    Returns
    -------
    Seat

    Raises
    ------
    InputError
        An unknown system, member or application.
    OffTableError
        Practice or the bearing's tolerances are not listed at this size.

    Notes
    -----
    Tightest fit = upper limit of the journal - lower limit of the bore, as an interference;
    loosest = upper limit of the bore - lower limit of the journal, as a clearance.

    Examples
    --------
    >>> journal_seat(bore_mm=30, system="metric", turning="hub").as_json()["fit_um"]
    {'tight': 5, 'loose': 20}

    Source: tables ``fit_practice`` and ``bearing_tolerances``; ISO 286 for metric classes.
    """
    ring = bearing_bore_limits_mm(bore_mm=bore_mm, system=system)
    wanted = wanted_limits(
        ring="cone", turning=turning, size_mm=bore_mm, system=system, application=application
    )
    load = ring_load(ring="cone", turning=turning)
    return _seat(seat="journal", load=load, wanted=wanted, ring=ring, measured=measured)


def housing_seat(
    *,
    od_mm: float,
    system: str,
    turning: str,
    measured: Reading | None = None,
    housing_material: str = "steel",
    application: str = "",
) -> Seat:
    """The cup's seat: wanted class and fit, and whether the measured housing holds it.

    Parameters
    ----------
    od_mm : float
        Nominal outside diameter of the cup [mm].
    system : str
        How the bearing is toleranced: ``metric`` or ``inch``.
    turning : str
        The member that turns, ``hub`` or ``shaft``.
    measured : Reading, optional
        The housing bore as measured.
    housing_material : str
        ``steel``, ``iron`` or ``light-alloy``; light alloy asks for a tighter fit.
    application : str
        A key of the column ``application`` of the fit practice; its default when empty.

    Returns
    -------
    Seat

    Raises
    ------
    InputError
        An unknown system, member, material or application.
    OffTableError
        Practice or the bearing's tolerances are not listed at this size.

    Notes
    -----
    Tightest fit = upper limit of the cup - lower limit of the housing, as an interference;
    loosest = upper limit of the housing - lower limit of the cup, as a clearance.

    Examples
    --------
    >>> housing_seat(od_mm=62, system="metric", turning="hub").as_json()["fit_um"]
    {'tight': 39, 'loose': 7}

    Source: tables ``fit_practice`` and ``bearing_tolerances``; ISO 286 for metric classes.
    """
    ring = bearing_od_limits_mm(od_mm=od_mm, system=system)
    load = ring_load(ring="cup", turning=turning)
    one_of(housing_material, MATERIALS, what="housing material")
    caution = ""
    if housing_material == "light-alloy" and not application:
        application = _LIGHT_ALLOY[load]
        if application not in applications(ring="cup", load=load, system=system):
            application = ""
            caution = "a light-alloy hub grows away from the cup when warm: stay at the tight side"
    wanted = wanted_limits(
        ring="cup", turning=turning, size_mm=od_mm, system=system, application=application
    )
    return _seat(
        seat="housing", load=load, wanted=wanted, ring=ring, measured=measured, caution=caution
    )


def _fit(seat: str, ring: Limits, *, lower_um: float, upper_um: float) -> tuple[float, float]:
    """Interference of the tightest case and clearance of the loosest [um]."""
    if seat == "journal":
        return upper_um - ring.lower_um, ring.upper_um - lower_um
    return ring.upper_um - lower_um, upper_um - ring.lower_um


def _seat(
    *,
    seat: str,
    load: str,
    wanted: Limits,
    ring: Limits,
    measured: Reading | None,
    caution: str = "",
) -> Seat:
    tight, loose = _fit(seat, ring, lower_um=wanted.lower_um, upper_um=wanted.upper_um)
    deviation = actual_tight = actual_loose = None
    holds = False
    if measured is None:
        verdict, advice, again = "check", "", f"{seat}: {_HOW[seat]}"
        reason = f"the {seat} was not measured; it wants {band_text(wanted)}"
    else:
        deviation = (measured.mean_mm - wanted.nominal_mm) * 1000.0
        actual_tight, actual_loose = _fit(seat, ring, lower_um=deviation, upper_um=deviation)
        found = judge_reading(measured=measured, limits=wanted)
        holds = holds_as_read(measured=measured, judged=found)
        small = found.outside_um < 0
        meaning, advice = _meaning(
            seat=seat,
            load=load,
            too_loose=small if seat == "journal" else not small,
            slides=loose > 0,
            gone=actual_tight + found.sure_um <= 0,
            far=abs(deviation) - found.sure_um > _OTHER_SIZE_UM,
        )
        fit_text = f"with this bearing the fit is {_fit_words(actual_tight, actual_loose)}"
        verdict, reason, again = put_in_words(
            place=seat,
            how=_HOW[seat],
            measured=measured,
            nominal_mm=wanted.nominal_mm,
            band=band_text(wanted),
            judged=found,
            holds=fit_text,
            meaning=f"{meaning}; {fit_text}",
        )
        if verdict != "no-go":
            advice = ""
    return Seat(
        seat=seat,
        tolerance_class=wanted.tolerance_class,
        nominal_mm=wanted.nominal_mm,
        lower_um=wanted.lower_um,
        upper_um=wanted.upper_um,
        tight_um=tight,
        loose_um=loose,
        measured_um=deviation,
        actual_tight_um=actual_tight,
        actual_loose_um=actual_loose,
        verdict=verdict,
        reason=f"{reason}; {caution}" if caution else reason,
        advice=advice,
        read_again=again,
        holds_as_read=holds,
        source="; ".join(dict.fromkeys(f"{wanted.source}; {ring.source}".split("; "))),
    )


def _fit_words(tight_um: float, loose_um: float) -> str:
    if loose_um <= 0:
        return f"{abs(loose_um):.0f} to {tight_um:.0f} um tight"
    if tight_um <= 0:
        return f"{abs(tight_um):.0f} to {loose_um:.0f} um loose"
    return f"from {tight_um:.0f} um tight to {loose_um:.0f} um loose"


def _meaning(
    *, seat: str, load: str, too_loose: bool, slides: bool, gone: bool, far: bool
) -> tuple[str, str]:
    """What a seat outside its limits means, and the work that puts it right."""
    if far:
        return (
            f"too far off for wear: this is not the {seat} of this bearing, or a sleeve or a ring "
            "was measured with it",
            "check the bearing's number and measure the bare seat",
        )
    if seat == "journal" and too_loose:
        repair = "build the journal up and grind it to size, or replace the part"
        if load == "stationary":
            return "the cone is too loose: it tilts and creeps, and hurts the seal", repair
        return "the cone can creep on the turning shaft: the journal is worn", repair
    if seat == "journal":
        dress = "dress raised metal off the journal, measure again, grind it to size if it stays"
        if load == "rotating":
            return "the cone would sit too tight: its ring can crack when pressed on", dress
        if slides:
            return "the cone is too tight to slide, so the nut can't set the bearing", dress
        return "the cone sits tighter than this use wants", dress
    if too_loose and load == "rotating":
        held = (
            "the cup can turn in its bore" if gone else "the cup is held too lightly and may turn"
        )
        return f"{held}: the hub is worn", "replace the hub, or bore it out and fit a bush"
    if too_loose:
        return (
            "the cup is too loose and creeps: the housing is worn",
            "replace the housing, or bore it out and fit a bush",
        )
    clean = "clean the bore of burrs and scale, measure again, bore it to size if it stays"
    if load == "rotating":
        return "the cup would sit too tight: it closes in and the hub can crack", clean
    if slides:
        return "the cup is too tight to slide for adjustment", clean
    return "the cup sits tighter than this use wants", clean
