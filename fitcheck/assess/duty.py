"""The duty of the lip: speed, heat, pressure and fluid against what each lip material stands.

A material is `no-go` when what was given excludes it, `check` when something that decides is not
given or the sources disagree there, and `go` when everything holds by every source that is used.
"""

from __future__ import annotations

from typing import Any

from fitcheck.assess.counterface import surface_speed_mps
from fitcheck.assess.lip_fluid import GREASE, Fluid, fluid_meant
from fitcheck.assess.lip_heat import (
    checked_number,
    friction_sources,
    friction_w,
    lip_temperature_c,
    rise_source,
    turning_speed_rpm,
)
from fitcheck.assess.lip_limits import MATERIALS, coaxiality_limit_mm, runout_limit_mm
from fitcheck.assess.lip_material import Given, MaterialDuty, material_duty
from fitcheck.assess.lip_pressure import PressureDuty, pressure_duty
from fitcheck.assess.within import checked_mm
from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.quantities import Quantity, plain
from fitcheck.records import dataclass
from fitcheck.tables import table
from fitcheck.units import ROTATION
from fitcheck.verdicts import CHECK, GO, NO_GO

Band = tuple[float, float]

HOW_HOT = "How hot does the oil get in lasting work?"
HOW_FAST = "How fast does the shaft or hub turn?"

_ABSOLUTE_ZERO_C = -273.15
_FULL_VACUUM_BAR = -1.01325


@dataclass(frozen=True, slots=True)
class LipDuty:
    """What the lip has to stand, and which materials stand it.

    ``best`` holds the materials that are `go`, cheapest adequate first. ``runout_mm`` is by
    material and ``coaxiality_mm`` the offset of bore and shaft, where their figures tell. Speeds,
    temperatures and powers are None where they were not given or follow from what was not given;
    bands are (least, greatest).
    """

    verdict: str
    reasons: tuple[str, ...]
    shaft_mm: float
    speed_rpm: float | None
    surface_speed_mps: float | None
    oil_temp_c: float | None
    lip_temp_c: Band | None
    friction_w: Band | None
    fluids: tuple[str, ...]
    materials: tuple[MaterialDuty, ...]
    best: tuple[str, ...]
    pressure: PressureDuty
    runout_mm: dict[str, float]
    coaxiality_mm: float | None
    questions: tuple[str, ...]
    conflicts: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The duty as the answer prints it."""
        return {
            "verdict": self.verdict,
            "reasons": list(self.reasons),
            "shaft_mm": self.shaft_mm,
            "speed_rpm": _rounded(self.speed_rpm, 1),
            "surface_speed_mps": _rounded(self.surface_speed_mps, 3),
            "oil_temp_c": self.oil_temp_c,
            "lip_temp_c": _band(self.lip_temp_c),
            "friction_w": _band(self.friction_w),
            "fluids": list(self.fluids),
            "materials": [found.as_json() for found in self.materials],
            "best": list(self.best),
            "pressure": self.pressure.as_json(),
            "runout_mm": dict(self.runout_mm),
            "coaxiality_mm": self.coaxiality_mm,
            "questions": list(self.questions),
            "conflicts": list(self.conflicts),
            "cautions": list(self.cautions),
            "sources": list(self.sources),
        }


def lip_duty(
    *,
    shaft_mm: float,
    speed: Quantity | None = None,
    oil: str | None = None,
    oil_temp_c: float | None = None,
    pressure_bar: float | None = None,
    dust_lip: bool = False,
    vented: bool | None = None,
    system: str = "metric",
) -> LipDuty:
    """Which lip materials stand the duty, and whether a plain lip stands the pressure.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].
    speed : Quantity, optional
        Turning speed or surface speed, as ``quantities.speed`` reads it.
    oil : str, optional
        The oil or grease, as written on the can or the sheet.
    oil_temp_c : float, optional
        Lasting temperature of the oil [C].
    pressure_bar : float, optional
        Pressure over the outside [bar].
    dust_lip : bool
        Whether the seal has a second lip against dirt.
    vented : bool, optional
        Whether the space behind the lip breathes; None when not known.
    system : str
        ``metric`` or ``inch``, that of the shaft; the limit of run-out goes by it.

    Returns
    -------
    LipDuty

    Raises
    ------
    InputError
        A value can't be a diameter, a temperature or a gauge pressure.

    Notes
    -----
    The lip runs hotter than the sump, see ``lip_heat.lip_rise_k``. Nothing that was not given is
    assumed: it is asked for in ``questions``. A vented space has no pressure.

    Examples
    --------
    >>> from fitcheck.quantities import speed
    >>> found = lip_duty(
    ...     shaft_mm=50, speed=speed("1000rpm"), oil="15W-40", oil_temp_c=70, vented=True
    ... )
    >>> found.verdict, found.best[0]
    ('go', 'NBR')
    >>> lip_duty(shaft_mm=50, oil="brake fluid").materials[0].verdict
    'no-go'

    Source: tables ``lip``; each reason's source stands with its material.
    """
    checked_mm(shaft_mm, what="shaft diameter")
    if oil_temp_c is not None:
        checked_number(oil_temp_c, what="temperature", unit="C", least=_ABSOLUTE_ZERO_C)
    if pressure_bar is not None:
        checked_number(pressure_bar, what="gauge pressure", unit="bar", least=_FULL_VACUUM_BAR)
    # What was converted from another unit must not miss a limit by a float's last digit.
    oil_temp_c = _rounded(oil_temp_c, 6)
    pressure_bar = _rounded(pressure_bar, 6)
    rpm, mps = _speeds(shaft_mm, speed)
    lip_c = None
    if oil_temp_c is not None and mps is not None:
        lip_c = lip_temperature_c(sump_c=oil_temp_c, surface_mps=mps)
    fluid = fluid_meant(oil)
    given = Given(
        shaft_mm=shaft_mm,
        surface_mps=mps,
        speed_rpm=rpm,
        oil_temp_c=oil_temp_c,
        lip_temp_c=lip_c,
        dust_lip=dust_lip,
    )
    materials = tuple(material_duty(material=m, fluid=fluid, given=given) for m in MATERIALS)
    pressure = pressure_duty(
        shaft_mm=shaft_mm, surface_mps=mps, pressure_bar=pressure_bar, vented=vented
    )
    best = tuple(found.material for found in materials if found.verdict == GO)
    verdict, reasons = _overall(materials, best, pressure)
    friction = None if mps is None else friction_w(shaft_mm=shaft_mm, surface_mps=mps)
    coaxiality, coaxiality_source = _coaxiality(shaft_mm)
    runout, runout_sources = _runouts(rpm, system)
    cautions, caution_sources = _cautions(given, fluid, pressure, best)
    sources = [
        *(source for found in materials for source in found.sources),
        *pressure.sources,
        *([rise_source()] if lip_c else []),
        *(friction_sources() if friction else ()),
        *fluid.sources,
        *runout_sources,
        *coaxiality_source,
        *caution_sources,
    ]
    return LipDuty(
        verdict=verdict,
        reasons=reasons,
        shaft_mm=shaft_mm,
        speed_rpm=rpm,
        surface_speed_mps=mps,
        oil_temp_c=oil_temp_c,
        lip_temp_c=lip_c,
        friction_w=friction,
        fluids=fluid.kinds,
        materials=materials,
        best=best,
        pressure=pressure,
        runout_mm=runout,
        coaxiality_mm=coaxiality,
        questions=_questions(given, fluid, materials, pressure),
        conflicts=(*(text for found in materials for text in found.conflicts), *pressure.conflicts),
        cautions=cautions,
        sources=tuple(dict.fromkeys(sources)),
    )


def _speeds(shaft_mm: float, speed: Quantity | None) -> tuple[float | None, float | None]:
    """Turning speed [rpm] and surface speed [m/s]."""
    if speed is None:
        return None, None
    checked_number(speed.value, what="speed", unit="rpm or m/s", least=0)
    if speed.dimension == ROTATION:
        return speed.value, surface_speed_mps(diameter_mm=shaft_mm, speed_rpm=speed.value)
    return turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=speed.value), speed.value


def _overall(
    materials: tuple[MaterialDuty, ...], best: tuple[str, ...], pressure: PressureDuty
) -> tuple[str, tuple[str, ...]]:
    reasons = []
    if best:
        verdict = GO
        reasons.append(
            f"{', '.join(best)} stand it; {best[0]} is the cheapest of them"
            if len(best) > 1
            else f"only {best[0]} stands it"
        )
    elif all(found.verdict == NO_GO for found in materials):
        verdict = NO_GO
        reasons.append("no lip material stands it")
    else:
        verdict = CHECK
        open_ones = [found.material for found in materials if found.verdict == CHECK]
        reasons.append(f"not decided yet: {', '.join(open_ones)}")
    if pressure.verdict != GO:
        reasons += pressure.reasons
        verdict = NO_GO if NO_GO in (verdict, pressure.verdict) else CHECK
    return verdict, tuple(reasons)


def _questions(
    given: Given,
    fluid: Fluid,
    materials: tuple[MaterialDuty, ...],
    pressure: PressureDuty,
) -> tuple[str, ...]:
    """What would settle what is open; nothing is asked that can't change an answer."""
    questions = []
    if any(found.verdict == CHECK for found in materials):
        if fluid.question and any(found.fluid_open for found in materials):
            questions.append(fluid.question)
        if given.oil_temp_c is None:
            questions.append(HOW_HOT)
        if given.surface_mps is None:
            questions.append(HOW_FAST)
    if pressure.question:
        questions.append(pressure.question)
    return tuple(dict.fromkeys(questions))


def _coaxiality(shaft_mm: float) -> tuple[float | None, tuple[str, ...]]:
    try:
        found = coaxiality_limit_mm(shaft_mm=shaft_mm)
    except OffTableError:
        return None, ()
    return round(found.value, 3), (found.source,)


def _cautions(
    given: Given, fluid: Fluid, pressure: PressureDuty, best: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Cautions, and the sources of those that hold a number."""
    cautions, sources = [], []
    surface = {
        row.text("name"): row
        for row in table("seal_tolerances/surface").rows
        if row.flag("preferred")
    }
    hard_from = surface["shaft_hard_duty_speed_mps"]
    if given.surface_mps is not None and given.surface_mps >= hard_from.number("low"):
        hard = surface["shaft_hardness_hard_duty_hrc"]
        cautions.append(
            f"At {plain(hard_from.number('low'))} m/s and more the counterface wants "
            f"{plain(hard.number('low'))} HRC."
        )
        sources.append(hard.cite())
    if "PTFE" in best:
        hard = surface["shaft_hardness_ptfe_hrc"]
        cautions.append(f"A PTFE lip wants a counterface of {plain(hard.number('low'))} HRC.")
        sources.append(hard.cite())
    if given.dust_lip:
        cautions.append(
            "Dust lip: fill the space between the lips with grease, and let no vacuum build up."
        )
    if GREASE in fluid.kinds:
        cautions.append("Grease cools the lip poorly: the lip may run hotter than the band says.")
    if given.lip_temp_c is not None:
        cautions.append(
            "The lip's temperature is an estimate from memory; pressure or a dry lip adds to it."
        )
    return (*cautions, *pressure.cautions), tuple(sources)


def _runouts(rpm: float | None, system: str) -> tuple[dict[str, float], tuple[str, ...]]:
    """Greatest run-out by material [mm], where it is told, and its source."""
    found: dict[str, float] = {}
    sources = []
    for material in MATERIALS if rpm is not None else ():
        try:
            limit = runout_limit_mm(material=material, speed_rpm=rpm or 0.0, system=system)
        except (NotKnownError, OffTableError):
            continue
        found[material] = round(limit.value, 3)
        sources += limit.source.split("; ")
    return found, tuple(sources)


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _band(band: Band | None) -> dict[str, float] | None:
    return None if band is None else {"low": round(band[0], 1), "high": round(band[1], 1)}
