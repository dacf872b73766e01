"""`fitcheck fit`: what an ISO 286 class or fit allows, and whether measured parts hold it."""

from __future__ import annotations

from typing import Any

from fitcheck import limits as iso
from fitcheck.errors import InputError
from fitcheck.limits_verdict import Judgement, MeasuredFit, judge, measured_fit
from fitcheck.quantities import Quantity, length, plain
from fitcheck.readings import read
from fitcheck.records import dataclass
from fitcheck.verdicts import worst


@dataclass(frozen=True, slots=True)
class FitRequest:
    """What was asked about a class or a fit: the arguments and options of the command, as text."""

    nominal: str
    tolerance_class: str
    measured_hole: tuple[str, ...] = ()
    measured_shaft: tuple[str, ...] = ()
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class FitFound:
    """The limits of each part, the fit of both, and what was judged of measured parts."""

    inches: bool
    nominal_mm: float
    parts: dict[str, iso.Limits]
    pair: iso.Fit | None
    judged: dict[str, Judgement]
    together: MeasuredFit | None
    notes: list[str]

    @property
    def verdict(self) -> str:
        """The verdict on all measured parts."""
        return worst(*(part.verdict for part in self.judged.values()))

    @property
    def reasons(self) -> list[str]:
        """Why the measured parts hold or don't."""
        reasons = [reason for part in self.judged.values() for reason in part.reasons]
        return [*reasons, self.together.reason] if self.together else reasons

    @property
    def source(self) -> str:
        """Where the limits are from."""
        return self.pair.source if self.pair else next(iter(self.parts.values())).source


def find_fit(request: FitRequest) -> FitFound:
    """The limits of a class or a fit, and whether measured parts hold them.

    Parameters
    ----------
    request : FitRequest
        What was asked.

    Raises
    ------
    InputError
        A text can't be read, or a part was measured that the class says nothing about.
    OffTableError
        ISO 286 does not cover the size, or does not define the class there.
    """
    size = length(request.nominal, unit=request.unit)
    # Converted inches end in binary dust; a size step must not be missed by it.
    nominal_mm = round(size.value, 9)
    pair: iso.Fit | None = None
    parts: dict[str, iso.Limits] = {}
    if "/" in request.tolerance_class:
        hole, shaft = iso.parse_fit(request.tolerance_class)
        pair = iso.fit(nominal_mm=nominal_mm, hole_class=hole.text, shaft_class=shaft.text)
        parts = {"hole": pair.hole, "shaft": pair.shaft}
    else:
        found = iso.class_limits(nominal_mm=nominal_mm, tolerance_class=request.tolerance_class)
        parts = {found.kind: found}
    texts = {"hole": request.measured_hole, "shaft": request.measured_shaft}
    judged = _judged(parts, texts, request.unit)
    together = (
        measured_fit(fit=pair, hole=judged["hole"], shaft=judged["shaft"])
        if pair is not None and len(judged) == 2
        else None
    )
    return FitFound(
        inches=size.unit == "in",
        nominal_mm=nominal_mm,
        parts=parts,
        pair=pair,
        judged=judged,
        together=together,
        notes=_notes(size, nominal_mm),
    )


def answer(request: FitRequest) -> dict[str, Any]:
    """The answer of `fitcheck fit` as data.

    Parameters
    ----------
    request : FitRequest
        What was asked.

    Raises
    ------
    InputError
        A text can't be read, or a part was measured that the class says nothing about.
    OffTableError
        ISO 286 does not cover the size, or does not define the class there.

    Examples
    --------
    >>> answer(FitRequest("30", "H7"))["hole"]
    {'class': 'H7', 'upper_um': 21, 'lower_um': 0}
    """
    return fit_record(find_fit(request))


def fit_record(found: FitFound) -> dict[str, Any]:
    """What was found as data.

    Parameters
    ----------
    found : FitFound
        What was found.
    """
    record: dict[str, Any] = {"nominal_mm": _number(found.nominal_mm)}
    for kind, part in found.parts.items():
        record[kind] = {
            "class": part.tolerance_class,
            "upper_um": _number(part.upper_um),
            "lower_um": _number(part.lower_um),
        }
    if found.pair is not None:
        record["clearance_um"] = {
            "max": _number(found.pair.max_clearance_um),
            "min": _number(found.pair.min_clearance_um),
        }
        record["kind"] = found.pair.kind
    record["source"] = found.source
    if found.judged:
        measured: dict[str, Any] = {
            kind: {
                "measured_mm": _number(part.measured_mm),
                "deviation_um": _number(round(part.deviation_um, 3)),
                "uncertainty_um": _number(round(part.uncertainty_um, 3)),
                "instrument": part.instrument,
                "verdict": part.verdict,
            }
            for kind, part in found.judged.items()
        }
        if found.together is not None:
            measured["clearance_um"] = _number(round(found.together.clearance_um, 3))
            measured["clearance_uncertainty_um"] = _number(round(found.together.uncertainty_um, 3))
        record["measured"] = measured
        record["verdict"] = found.verdict
        record["reasons"] = found.reasons
    if found.notes:
        record["notes"] = found.notes
    return record


def _judged(
    parts: dict[str, iso.Limits], texts: dict[str, tuple[str, ...]], unit: str
) -> dict[str, Judgement]:
    judged: dict[str, Judgement] = {}
    for kind, given in texts.items():
        if not given:
            continue
        if kind not in parts:
            other = next(iter(parts.values()))
            example = "H7" if kind == "hole" else "g6"
            raise InputError(
                value=f"--measured-{kind} {given[0]}",
                rule=f"the class {other.tolerance_class} is that of a {other.kind}, and there is "
                f"no limit to judge a {kind} by",
                todo=f"Give both classes, like H7/g6, or the class of the {kind}, like {example}",
            )
        reading = read(place=f"measured {kind}", texts=given, unit=unit)
        judged[kind] = judge(limits=parts[kind], reading=reading)
    return judged


def _notes(size: Quantity, nominal_mm: float) -> list[str]:
    if size.unit == "mm":
        return []
    return [
        f"{plain(size.amount)} {size.unit} is {plain(round(nominal_mm, 6))} mm; ISO 286 steps are "
        "those of that size"
    ]


def _number(value: float) -> float | int:
    """A whole number as an integer, so that JSON says 21 and not 21.0."""
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) else rounded
