"""Whether a measured part holds its ISO 286 limits, as far as its instrument can tell."""

from __future__ import annotations

import math

from fitcheck.errors import AmbiguousError
from fitcheck.judging import COVERAGE, judge_reading
from fitcheck.limits import Fit, Limits
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO, NO_GO

# A reading in the wrong unit is within a fiftieth of the nominal size once it is converted; one in
# the right unit is then more than ten times too large or too small.
_VERY_NEAR = 0.02
# A thousandth of a um, as the judge has it.
_SLACK_MM = 1e-6
_BETTER_INSTRUMENT = {"hole": "bore-gauge", "shaft": "micrometer"}


@dataclass(frozen=True, slots=True)
class Judgement:
    """A measured part beside its limits; ``uncertainty_um`` is how far it may be off."""

    limits: Limits
    measured_mm: float
    deviation_um: float
    uncertainty_um: float
    instrument: str
    verdict: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MeasuredFit:
    """The clearance of two measured parts; negative is interference."""

    clearance_um: float
    uncertainty_um: float
    reason: str


def judge(*, limits: Limits, reading: Reading) -> Judgement:
    """Judge a measured part by its limits, with reasons in plain words.

    Parameters
    ----------
    limits : Limits
        What is allowed.
    reading : Reading
        What was measured.

    Returns
    -------
    Judgement

    Raises
    ------
    AmbiguousError
        The reading was written without a unit and is plausible only in the other one.

    Notes
    -----
    The verdict is that of :func:`fitcheck.judging.judge_reading`, the same for every seat. Where
    the readings differ by more than the instrument explains, the answer is never better than
    ``check``, and the place that is furthest out is named.

    Source: ISO 14253-1, rules for proving conformity (from memory).
    """
    _ask_for_unit(limits=limits, reading=reading)
    found = judge_reading(measured=reading, limits=limits)
    measured_mm = reading.mean_mm
    if reading.out_of_round and (found.worst or found.verdict == CHECK):
        measured_mm = _worst_place_mm(limits, reading)
    if found.verdict != CHECK or not reading.out_of_round:
        reason = _reason(limits, reading, measured_mm, found.sure_um / 1000.0, found.verdict)
    elif limits.lower_mm <= measured_mm <= limits.upper_mm:
        reason = f"the {limits.kind} holds {limits.tolerance_class} where it was read"
    else:
        reason = (
            f"{_beside(limits, measured_mm, NO_GO)} at the worst place, which alone does not "
            f"condemn the {limits.kind}"
        )
    return Judgement(
        limits=limits,
        measured_mm=reading.mean_mm,
        deviation_um=(reading.mean_mm - limits.nominal_mm) * 1000.0,
        uncertainty_um=COVERAGE * reading.standard_error_mm * 1000.0,
        instrument=reading.instrument,
        verdict=found.verdict,
        reasons=(reason, *reading.notes()),
    )


def _worst_place_mm(limits: Limits, reading: Reading) -> float:
    """The reading that is furthest out of its limits."""
    middle = (limits.upper_mm + limits.lower_mm) / 2.0
    return max(reading.values_mm, key=lambda value: abs(value - middle))


def _ask_for_unit(*, limits: Limits, reading: Reading) -> None:
    if reading.stated:
        return
    nominal, value = limits.nominal_mm, reading.mean_mm
    written = plain(round(value / MM_PER_INCH if reading.unit == "in" else value, 6))
    other = value / MM_PER_INCH if reading.unit == "in" else value * MM_PER_INCH
    if abs(other - nominal) <= _VERY_NEAR * nominal:
        # The likely unit first: the other one is no size near this nominal.
        units = ("mm", "in") if reading.unit == "in" else ("in", "mm")
        raise AmbiguousError(
            value=f"{reading.place} {written} beside a nominal size of {plain(nominal)} mm",
            readings=(written + units[0], written + units[1]),
        )


def _beside(limits: Limits, measured_mm: float, verdict: str) -> str:
    """A measured size and how far it lies from the nearer limit, or from the one it passed."""
    over, under = measured_mm - limits.upper_mm, limits.lower_mm - measured_mm
    upper = over >= under
    beyond = over if upper else under
    edge_mm, end = (limits.upper_mm, "upper") if upper else (limits.lower_mm, "lower")
    side = "inside" if beyond <= 0 else "outside"
    if verdict == NO_GO:
        side = "over" if upper else "under"
    return (
        f"{limits.kind} reads {size_text(round(measured_mm, 4))} mm, {abs(beyond):.3f} mm {side} "
        f"the {end} limit of {limits.tolerance_class}, {size_text(edge_mm)} mm"
    )


def _reason(
    limits: Limits, reading: Reading, measured_mm: float, uncertainty_mm: float, verdict: str
) -> str:
    text = _beside(limits, measured_mm, verdict)
    good_to = f"the reading ({reading.instrument}) is good to {uncertainty_mm:.3f} mm"
    if verdict == NO_GO:
        return text
    width_mm = (limits.upper_um - limits.lower_um) / 1000.0
    if verdict == GO:
        inside_mm = min(measured_mm - limits.lower_mm, limits.upper_mm - measured_mm)
        enough = uncertainty_mm > inside_mm + _SLACK_MM
        return f"{text}; {good_to}" + (
            f", fine enough for the {size_text(width_mm)} mm allowed this far inside"
            if enough
            else ""
        )
    if 2.0 * uncertainty_mm > width_mm:
        return (
            f"{text}; {good_to}, and {limits.tolerance_class} is only {size_text(width_mm)} mm "
            f"wide: it can't show that the {limits.kind} holds; {_finer(limits.kind, reading)}"
        )
    return f"{text}, and {good_to}; {_finer(limits.kind, reading)}"


def _finer(kind: str, reading: Reading) -> str:
    better = _BETTER_INSTRUMENT[kind]
    if reading.instrument in {better, "micrometer"}:
        return "take several readings, in two directions, or use a finer instrument"
    return f"measure it with a {better}"


def measured_fit(*, fit: Fit, hole: Judgement, shaft: Judgement) -> MeasuredFit:
    """The clearance of the two parts as measured, beside what the fit allows.

    Parameters
    ----------
    fit : Fit
        The fit that was designed.
    hole, shaft : Judgement
        The measured parts.

    Returns
    -------
    MeasuredFit
        Clearance and its uncertainty [um]; the uncertainties add as squares.
    """
    clearance_um = (hole.measured_mm - shaft.measured_mm) * 1000.0
    uncertainty_um = math.hypot(hole.uncertainty_um, shaft.uncertainty_um)
    return MeasuredFit(
        clearance_um=clearance_um,
        uncertainty_um=uncertainty_um,
        reason=f"as measured the parts have {clearance_text(clearance_um, clearance_um)}, "
        f"+/-{um_text(round(uncertainty_um, 1))} um; {fit.hole.tolerance_class}/"
        f"{fit.shaft.tolerance_class} allows "
        f"{clearance_text(fit.min_clearance_um, fit.max_clearance_um)}",
    )


def um_text(value_um: float) -> str:
    """Micrometres without needless digits.

    >>> um_text(21.0), um_text(-7.5)
    ('21', '-7.5')
    """
    return plain(round(value_um, 3))


def size_text(value_mm: float) -> str:
    """A size in mm with three decimals, or more where a limit needs them.

    >>> size_text(30.0), size_text(30.0125)
    ('30.000', '30.0125')
    """
    text = plain(round(value_mm, 5))
    whole, _, decimals = text.partition(".")
    return f"{whole}.{decimals.ljust(3, '0')}"


def clearance_text(min_um: float, max_um: float) -> str:
    """A range of clearance in words; below zero it is interference.

    >>> clearance_text(7.0, 41.0)
    '7 to 41 um clearance'
    >>> clearance_text(-15.0, 19.0)
    'up to 19 um clearance or up to 15 um interference'
    >>> clearance_text(-35.0, -1.0)
    '1 to 35 um interference'
    """
    low, high = round(min_um, 1), round(max_um, 1)
    if low < 0 < high:
        return f"up to {um_text(high)} um clearance or up to {um_text(-low)} um interference"
    if low < 0:
        low, high, word = -high, -low, "interference"
    else:
        word = "clearance"
    return f"{um_text(low)}{f' to {um_text(high)}' if low != high else ''} um {word}"
