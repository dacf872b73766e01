"""One lip material against the duty: fluid, temperature and speed."""

from __future__ import annotations

from typing import Any

from fitcheck.assess.lip_fluid import CHEMICAL, GREASE, Fluid, fluid_name, suitability
from fitcheck.assess.lip_limits import (
    Limit,
    plain_lip_speed_mps,
    speed_ceilings_mps,
    speed_limit_mps,
    speed_share,
)
from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.tables import Row, table
from fitcheck.verdicts import CHECK, GO, NO_GO, VERDICTS, worst


@dataclass(frozen=True, slots=True)
class Given:
    """What is known of the duty; None where it was not given.

    ``lip_temp_c`` is the band that follows from the sump and the speed.
    """

    shaft_mm: float
    surface_mps: float | None
    speed_rpm: float | None
    oil_temp_c: float | None
    lip_temp_c: tuple[float, float] | None
    dust_lip: bool


@dataclass(frozen=True, slots=True)
class MaterialDuty:
    """Verdict on one lip material.

    ``reasons`` of a `go` say what holds, of the others what does not. ``conflicts`` name sources
    that would decide otherwise and are not used. ``fluid_open`` tells whether knowing the oil
    better could change the verdict.
    """

    material: str
    name: str
    verdict: str
    reasons: tuple[str, ...]
    conflicts: tuple[str, ...]
    sources: tuple[str, ...]
    fluid_open: bool

    def as_json(self) -> dict[str, Any]:
        """The material as the answer prints it."""
        return {
            "material": self.material,
            "name": self.name,
            "verdict": self.verdict,
            "reasons": list(self.reasons),
            "sources": list(self.sources),
        }


@dataclass(frozen=True, slots=True)
class _Finding:
    """One thing looked at: how it stands, why, and who says so.

    ``of_heat`` tells whether the reason speaks of the oil's temperature already.
    """

    verdict: str
    reason: str
    sources: tuple[str, ...] = ()
    conflicts: tuple[str, ...] = ()
    of_heat: bool = False


def material_duty(*, material: str, fluid: Fluid, given: Given) -> MaterialDuty:
    """Whether a lip material stands the duty.

    Parameters
    ----------
    material : str
        The lip material, such as ``NBR``.
    fluid : Fluid
        What the oil can be.
    given : Given
        The rest of the duty.

    Returns
    -------
    MaterialDuty
        Where the oil can be several fluids, the verdict they agree on, else ``check``.
    """
    row = next(r for r in table("lip/names").rows if r.text("material") == material)
    heat = _heat(material, given)
    # Without a fluid there is one case, and it stays open.
    cases = {kind: _case(material, kind, heat, given) for kind in fluid.kinds or ("",)}
    verdicts = {kind: worst(*(f.verdict for f in findings)) for kind, findings in cases.items()}
    differ = len(set(verdicts.values())) > 1
    verdict = CHECK if differ else next(iter(verdicts.values()))
    findings = [finding for case in cases.values() for finding in case]
    # A go says what holds; the others say what speaks against them, the gravest first. What the
    # fluid says of the heat is not said once more of the lip, unless that is graver.
    said = [f.verdict for f in findings if f.of_heat]
    told = [
        f
        for f in findings
        if (verdict == GO or f.verdict != GO)
        and not (f is heat and said and worst(f.verdict, *said) in said)
    ]
    reasons = [f.reason for f in sorted(told, key=lambda f: -VERDICTS.index(f.verdict))]
    if differ:
        reasons.insert(
            0, "; ".join(f"in {fluid_name(kind)}: {found}" for kind, found in verdicts.items())
        )
    return MaterialDuty(
        material=material,
        name=row.text("name"),
        verdict=verdict,
        reasons=tuple(dict.fromkeys(reasons)),
        conflicts=tuple(dict.fromkeys(f"{material}: {c}" for f in findings for c in f.conflicts)),
        sources=tuple(dict.fromkeys(s for f in findings for s in f.sources)),
        fluid_open=verdict == CHECK and (differ or not fluid.kinds or CHEMICAL in fluid.kinds),
    )


def _case(material: str, kind: str, heat: _Finding, given: Given) -> list[_Finding]:
    return [_fluid(material, kind, given), heat, _speed(material, kind, given)]


def _fluid(material: str, kind: str, given: Given) -> _Finding:
    """The material in the fluid, at the sump's temperature."""
    if not kind:
        return _Finding(CHECK, "the oil or grease is not given, or not understood")
    try:
        found = suitability(material=material, fluid=kind)
    except NotKnownError as error:
        return _Finding(CHECK, f"{error.value}: {error.rule}")
    name = fluid_name(kind)
    said = f"{_SUITS[found.word]} {name}" + (f": {found.note}" if found.note else "")
    sources = (found.source,)
    conflicts = tuple(f"{other} in {name}, not used; used: {found.word}" for other in found.others)
    limit, sump = found.max_sump_c, given.oil_temp_c
    of_heat = False
    if found.word == "no":
        verdict = NO_GO
    elif limit is not None and sump is not None and sump > limit:
        verdict, of_heat = NO_GO, True
        said = f"{name} at {_c(sump)}: {material} stands it to {_c(limit)} in the sump"
    elif kind == CHEMICAL:
        verdict = CHECK
    elif limit is not None and sump is None:
        verdict, of_heat = CHECK, True
        said = f"{said}; it stands {_c(limit)} in the sump, and how hot that gets is not given"
    elif found.word == "good":
        verdict = GO
    elif limit is not None and given.lip_temp_c is not None and given.lip_temp_c[1] <= limit:
        # Limited because of heat: with the lip itself below the sump's limit it is cool enough.
        verdict, said = GO, f"{said}; cool enough here, the limit is {_c(limit)}"
    elif limit is not None:
        verdict, of_heat = CHECK, True
        said = f"{said}; sure only with the lip itself below {_c(limit)}"
    else:
        verdict, said = CHECK, f"{said}; ask the supplier of the seal"
    return _Finding(verdict, said, sources, conflicts, of_heat)


_SUITS = {"good": "good in", "limited": "of limited use in", "no": "not for"}


def _heat(material: str, given: Given) -> _Finding:
    """The lip's temperature against the range of the material."""
    rows = [r for r in table("lip/materials").rows if r.text("material") == material]
    used = next(r for r in rows if r.flag("preferred"))
    sump = given.oil_temp_c
    if sump is None:
        return _Finding(CHECK, "the temperature of the oil is not given", (used.cite(),))
    # Without a speed the lip is at least as warm as the sump.
    low, high = given.lip_temp_c or (sump, None)
    verdict, reason = _heat_verdict(used, sump, low, high)
    conflicts = []
    for other in rows:
        if other is not used and _heat_verdict(other, sump, low, high)[0] != verdict:
            conflicts.append(
                f"{other.cite()} ({other.text('basis')}) gives {_range(other)}, not used; "
                f"used: {_range(used)}"
            )
    return _Finding(verdict, reason, (used.cite(),), tuple(conflicts))


def _heat_verdict(row: Row, sump: float, low: float, high: float | None) -> tuple[str, str]:
    least, most, peak = row.maybe("temp_min_c"), row.number("temp_max_c"), row.maybe("peak_c")
    lip = f"the lip at {_c(low)}" + (" or more" if high is None else f" to {_c(high)}")
    if least is not None and sump < least:
        return NO_GO, f"oil at {_c(sump)} is colder than it stands, {_c(least)}"
    if low > most:
        short = f" ({_c(peak)} for a short time)" if peak is not None else ""
        return NO_GO, f"{lip} is over {_c(most)}{short}"
    if high is None:
        return CHECK, f"{lip} may hold {_c(most)}; the speed decides, and it is not given"
    if high > most:
        return CHECK, f"{lip} may be over {_c(most)}: measure the oil, or take the next material"
    return GO, f"{lip} holds {_c(most)}"


def _speed(material: str, kind: str, given: Given) -> _Finding:
    """The surface speed against the chart, the ceiling and the limit of any plain lip."""
    speed = given.surface_mps
    if speed is None:
        return _Finding(CHECK, "the speed is not given")
    ceiling, others = speed_ceilings_mps(material=material)
    any_lip = plain_lip_speed_mps(shaft_mm=given.shaft_mm)
    try:
        chart = speed_limit_mps(material=material, shaft_mm=given.shaft_mm)
        limits = [chart, ceiling, any_lip]
    except OffTableError:
        # Off the chart it says nothing; the other two cover every shaft.
        chart = ceiling
        limits = [ceiling, any_lip]
    low, high = speed_share(dust_lip=given.dust_lip, grease=kind == GREASE)
    # What was worked out must not miss its limit by a float's last digit.
    at = round(speed, 9)
    most, least = chart.value * high.value, min(limits, key=lambda limit: limit.value)
    sources = tuple(x.source for x in (*limits, low) if x.source)
    conflicts = []
    for other in others:
        if (at <= other.value * low.value) != (at <= least.value * low.value):
            conflicts.append(
                f"{other.source} gives {_mps(other.value)}, not used; used: {_mps(least.value)}"
            )
    if at > round(most, 9):
        verdict = NO_GO
        reason = f"{_mps(speed)} is over {_left(chart, high, high)} at this shaft"
    elif at > round(least.value * low.value, 9):
        verdict = CHECK
        if low.value < 1 and at <= round(least.value, 9):
            reason = f"{_mps(speed)} may be over {_left(least, low, high)}"
        else:
            reason = (
                f"{_mps(speed)}: the sources differ here, from {_mps(least.value)} to "
                f"{_mps(chart.value)}"
            )
            conflicts.append(
                f"the speed limits differ: {_said(limits)}; the lowest has to hold for a go"
            )
    else:
        verdict, reason = GO, f"{_mps(speed)} is within {_left(least, low, low)}"
    return _Finding(verdict, reason, sources, tuple(conflicts))


def _said(limits: list[Limit]) -> str:
    return ", ".join(f"{limit.source} gives {_mps(limit.value)}" for limit in limits)


def _left(limit: Limit, low: Limit, high: Limit) -> str:
    """A limit, and what grease or a dust lip leaves of it."""
    if high.value >= 1:
        return f"its {_mps(limit.value)}"
    ends = dict.fromkeys(_mps(limit.value * share.value) for share in (low, high))
    return f"{' to '.join(ends)}, {_shares(low, high)} of its {_mps(limit.value)}"


def _shares(low: Limit, high: Limit) -> str:
    ends = dict.fromkeys(f"{100 * x.value:.0f} %" for x in (low, high))
    return " to ".join(ends)


def _range(row: Row) -> str:
    least = row.maybe("temp_min_c")
    most = _c(row.number("temp_max_c"))
    return f"up to {most}" if least is None else f"{plain(least)} to {most}"


def _c(value: float) -> str:
    return f"{plain(round(value))} C"


def _mps(value: float) -> str:
    return f"{value:.3g} m/s"
