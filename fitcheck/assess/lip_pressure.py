"""Pressure across the lip against what a plain lip stands."""

from __future__ import annotations

from typing import Any

from fitcheck.assess.lip_limits import Limit, pressure_limit_bar
from fitcheck.errors import OffTableError
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, GO, NO_GO


@dataclass(frozen=True, slots=True)
class PressureDuty:
    """The pressure, the limit it is judged by, and the verdict.

    ``limit_bar`` is the least of the limits that are used; None without any.
    """

    verdict: str
    pressure_bar: float | None
    limit_bar: float | None
    reasons: tuple[str, ...]
    question: str
    conflicts: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The pressure as the answer prints it."""
        return {
            "verdict": self.verdict,
            "pressure_bar": self.pressure_bar,
            "limit_bar": self.limit_bar,
            "reasons": list(self.reasons),
            "sources": list(self.sources),
        }


def pressure_duty(
    *,
    shaft_mm: float,
    surface_mps: float | None,
    pressure_bar: float | None,
    vented: bool | None = None,
) -> PressureDuty:
    """Whether a plain lip stands the pressure.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].
    surface_mps : float or None
        Speed of the surface [m/s].
    pressure_bar : float or None
        Pressure over the outside [bar].
    vented : bool, optional
        Whether the space behind the lip breathes.

    Returns
    -------
    PressureDuty
        ``no-go`` over the limit of the shaft, or over the limit that the speed brings down;
        ``check`` over the range of the standards but inside the limit of the shaft, or where
        something that decides was not given.

    Notes
    -----
    The limit by shaft is the handbook's; by speed it is that of DIN 3760. The RMA guide and the
    other standards are shown where they would say otherwise.

    Examples
    --------
    >>> [pressure_duty(shaft_mm=80, surface_mps=1.0, pressure_bar=p).verdict for p in (0.3, 0.34)]
    ['go', 'no-go']

    Source: see :func:`fitcheck.assess.lip_limits.pressure_limit_bar`.
    """
    used = _limits(("handbook", "din3760", "gb13871"), shaft_mm, surface_mps)
    shaft = used["handbook"]
    least = min(limit.value for limit in used.values())
    cautions = _cautions(pressure_bar, vented, used.get("din3760"))
    sources = tuple(limit.source for limit in used.values())
    pressure = 0.0 if pressure_bar is None and vented else pressure_bar
    verdict, reason, question = _judged(pressure, surface_mps, used, shaft)
    if pressure is None and vented is None:
        question = "Is the space behind the lip vented? If not, what pressure builds up in it?"
    conflicts = []
    if pressure is not None and pressure > 0:
        for edition, limit in _limits(("rma", "gost8752"), shaft_mm, surface_mps).items():
            if edition == "gost8752" and limit.value >= shaft.value:
                continue
            if (pressure <= limit.value) != (pressure <= least):
                conflicts.append(
                    f"pressure: {limit.source} gives {_bar(limit.value)}, not used; "
                    f"used: {_bar(least)}"
                )
        conflicts += [
            f"pressure: {limit.source} gives {_bar(limit.value)}, {other.source} "
            f"{_bar(other.value)}; the lower one has to hold for a go"
            for limit, other in _disagreeing(pressure, used)
        ]
    return PressureDuty(
        verdict=verdict,
        pressure_bar=pressure,
        limit_bar=least,
        reasons=(reason,),
        question=question,
        conflicts=tuple(dict.fromkeys(conflicts)),
        cautions=cautions,
        sources=tuple(dict.fromkeys(sources)),
    )


def _limits(
    editions: tuple[str, ...], shaft_mm: float, surface_mps: float | None
) -> dict[str, Limit]:
    """The limits that say something of this shaft and speed."""
    found: dict[str, Limit] = {}
    for edition in editions:
        if surface_mps is None and edition in ("din3760", "rma", "gost8752"):
            continue
        try:
            found[edition] = pressure_limit_bar(
                edition=edition, shaft_mm=shaft_mm, surface_mps=surface_mps
            )
        except OffTableError:
            # Outside the range of that standard it says nothing; the handbook covers every shaft.
            continue
    return found


def _judged(
    pressure: float | None,
    surface_mps: float | None,
    used: dict[str, Limit],
    shaft: Limit,
) -> tuple[str, str, str]:
    """Verdict, reason and question."""
    if pressure is None:
        return CHECK, "the pressure across the lip is not given", "What pressure builds up?"
    if pressure < 0:
        return (
            CHECK,
            f"{_bar(pressure)} is a vacuum, and no table here covers one",
            "Can the vacuum be vented?",
        )
    by_speed = _speed_limit_bar(used)
    # What the speed takes away counts before the shaft: a fast lip has to run vented.
    if by_speed is not None and by_speed < shaft.value and pressure > by_speed:
        limit = f"over {_bar(by_speed)}" if by_speed else "too much: it has to run vented"
        return NO_GO, f"{_bar(pressure)} at {surface_mps:.3g} m/s is {limit}", ""
    if pressure > shaft.value:
        return NO_GO, f"{_bar(pressure)} is over {_bar(shaft.value)}, a plain lip's limit here", ""
    if pressure == 0:
        return GO, "no pressure across the lip", ""
    if surface_mps is None:
        return (
            CHECK,
            f"{_bar(pressure)} holds the limit of the shaft, {_bar(shaft.value)}; the speed may "
            "bring it down",
            "How fast does the shaft or hub turn?",
        )
    least = min(limit.value for limit in used.values())
    if pressure > least:
        return (
            CHECK,
            f"{_bar(pressure)} is over {_bar(least)}, the range of the standards, and within "
            f"{_bar(shaft.value)}, the handbook's limit for this shaft",
            "Can the pressure be brought down, or is the seal made for it?",
        )
    return GO, f"{_bar(pressure)} holds {_bar(least)}", ""


def _speed_limit_bar(used: dict[str, Limit]) -> float | None:
    """What the speed leaves a lip [bar]; None where it takes nothing away, or none is known."""
    speed = used.get("din3760")
    slow = pressure_limit_bar(edition="din3760", shaft_mm=1.0, surface_mps=0.0)
    return speed.value if speed is not None and speed.value < slow.value else None


def _disagreeing(pressure: float, used: dict[str, Limit]) -> list[tuple[Limit, Limit]]:
    """The most generous limit with each that this pressure breaks while the other holds."""
    widest = max(used.values(), key=lambda limit: limit.value)
    if pressure > widest.value:
        return []
    return [(widest, limit) for limit in used.values() if pressure > limit.value]


def _cautions(
    pressure: float | None, vented: bool | None, by_speed: Limit | None
) -> tuple[str, ...]:
    cautions = []
    if vented:
        cautions.append("Check that the breather is free: a blocked one pushes oil past the lip.")
    if vented and pressure:
        cautions.append(
            f"A vented space does not hold {_bar(pressure)}: the breather is blocked, or the "
            "pressure comes from elsewhere."
        )
    if vented is False and pressure == 0:
        cautions.append("A sealed space builds up pressure when it warms: see `fitcheck oil`.")
    if by_speed is not None and by_speed.value == 0:
        cautions.append("At this speed a plain lip has to run unpressurised, with a vent.")
    return tuple(cautions)


def _bar(value: float) -> str:
    return f"{plain(round(value, 3))} bar"
