"""What a lip stands: speed, pressure, run-out and offset, each with what says so.

A limit comes from one source; where sources differ, each is its own function or edition, and the
verdict about them is given elsewhere.
"""

from __future__ import annotations

import math
from itertools import pairwise

from fitcheck.assess.lip_heat import checked_number, turning_speed_rpm
from fitcheck.assess.within import SYSTEMS, checked_mm, one_of
from fitcheck.errors import InputError, NotKnownError, OffTableError
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.tables import Row, named_row, step_row, table
from fitcheck.units import MM_PER_INCH

# Cheapest adequate first: an order of common practice, no source.
MATERIALS = ("NBR", "HNBR", "ACM", "FKM", "VMQ", "PTFE")
EDITIONS = ("handbook", "din3760", "gb13871", "gost8752", "rma")

# The figure is drawn for nitrile; its note gives a share of it for two more, and none for others.
_RUNOUT_FIGURE = ("NBR", "FKM", "ACM")
# Inch practice gives one limit for the general elastomer lip: every one but this.
_NO_ELASTOMER = "PTFE"
# Steps start over zero; a shaft that stands still belongs to the first.
_STANDSTILL = math.ulp(0.0)
_M_PER_FOOT = 0.3048
_BAR_PER_PSI = 0.0689475729316836


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with its source: the value in the unit of the function that gave it."""

    value: float
    source: str
    note: str = ""


def speed_limit_mps(*, material: str, shaft_mm: float) -> Limit:
    """Greatest surface speed of a material by its chart, unpressurised and well oiled.

    Parameters
    ----------
    material : str
        One of ``MATERIALS``.
    shaft_mm : float
        Diameter of the counterface [mm].

    Returns
    -------
    Limit
        The speed [m/s], straight between the chart's points.

    Raises
    ------
    OffTableError
        The shaft lies off the chart, or the material has none.

    Examples
    --------
    >>> speed_limit_mps(material="NBR", shaft_mm=40.0).value
    10.0
    >>> speed_limit_mps(material="NBR", shaft_mm=50.0).value
    10.75

    Source: table ``lip/speed``: DIN 3760, figure of speed against shaft diameter (from memory).
    """
    one_of(material, MATERIALS, what="lip material")
    rows = [r for r in _speed_rows(material, "curve") if r.flag("preferred")]
    return _on_curve(
        rows, x=shaft_mm, columns=("shaft_mm", "max_mps"), what=f"the speed of a {material} lip"
    )


def speed_ceilings_mps(*, material: str) -> tuple[Limit, tuple[Limit, ...]]:
    """The one figure of speed for a material: the one used, and those of other sources [m/s].

    Parameters
    ----------
    material : str
        One of ``MATERIALS``.

    Examples
    --------
    >>> used, others = speed_ceilings_mps(material="FKM")
    >>> used.value, [other.value for other in others]
    (35.0, [25.0])
    """
    one_of(material, MATERIALS, what="lip material")
    rows = _speed_rows(material, "ceiling")
    used = [_limit(r, "max_mps") for r in rows if r.flag("preferred")]
    return used[-1], tuple(_limit(r, "max_mps") for r in rows if not r.flag("preferred"))


def plain_lip_speed_mps(*, shaft_mm: float) -> Limit:
    """Greatest surface speed of a plain lip of any material.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].

    Returns
    -------
    Limit
        The speed [m/s]; where the source gives a turning speed, at this shaft.

    Examples
    --------
    >>> round(plain_lip_speed_mps(shaft_mm=35.0).value, 1)
    14.7
    >>> round(plain_lip_speed_mps(shaft_mm=75.0).value, 1)
    15.7
    >>> plain_lip_speed_mps(shaft_mm=75.1).value
    15.0

    Source: table ``lip/general_speed``: The Tribology Handbook, section B23.
    """
    row = step_row(
        table("lip/general_speed").rows,
        value=checked_mm(shaft_mm, what="shaft diameter"),
        over="over_mm",
        incl="incl_mm",
        what="the speed of a plain lip",
    )
    rpm = row.maybe("max_rpm")
    if rpm is None:
        return _limit(row, "max_mps")
    return Limit(math.pi * shaft_mm * rpm / 60_000.0, row.cite(), f"{plain(rpm)} rpm")


def speed_share(*, dust_lip: bool, grease: bool) -> tuple[Limit, Limit]:
    """Share of the speed limit that is left with a dust lip, and in grease.

    Parameters
    ----------
    dust_lip : bool
        Whether a second lip keeps the dirt out.
    grease : bool
        Whether the lip runs in grease instead of oil.

    Returns
    -------
    tuple of Limit
        Least and greatest share, 1 where nothing takes from it.

    Examples
    --------
    >>> low, high = speed_share(dust_lip=True, grease=True)
    >>> low.value, high.value
    (0.35, 0.4)

    Source: table ``lip/duty``: general practice (from memory).
    """
    names = [("dust_lip_speed_share", dust_lip), ("grease_speed_share", grease)]
    rows = {r.text("name"): r for r in table("lip/duty").rows}
    used = [rows[name] for name, on in names if on]
    source = "; ".join(dict.fromkeys(r.cite() for r in used))
    return (
        Limit(math.prod(r.number("low") for r in used), source),
        Limit(math.prod(r.number("high") for r in used), source),
    )


def pressure_limit_bar(*, edition: str, shaft_mm: float, surface_mps: float | None = None) -> Limit:
    """Greatest pressure difference across a plain lip, by one source.

    Parameters
    ----------
    edition : str
        ``handbook`` (by shaft), ``din3760`` (by turning and surface speed, both hold), ``rma``
        (by surface speed), ``gb13871`` or ``gost8752`` (range of the standard).
    shaft_mm : float
        Diameter of the counterface [mm].
    surface_mps : float, optional
        Speed of the surface [m/s]; ``din3760`` and ``rma`` need it.

    Returns
    -------
    Limit
        The pressure [bar]; 0 where the lip has to run unpressurised.

    Raises
    ------
    InputError
        The edition goes by speed, and no speed was given.
    OffTableError
        The shaft or the speed lies outside the range of the standard.

    Examples
    --------
    >>> pressure_limit_bar(edition="handbook", shaft_mm=75.0).value
    0.6
    >>> pressure_limit_bar(edition="din3760", shaft_mm=50.0, surface_mps=3.0).value
    0.35

    Source: tables ``lip/pressure`` and ``lip/inch_pressure``: The Tribology Handbook, section B23;
    GB 13871-92 and GOST 8752-79, scope; DIN 3760:1996 and the RMA guide (both from memory).
    """
    one_of(edition, EDITIONS, what="edition of the pressure limit")
    checked_mm(shaft_mm, what="shaft diameter")
    if surface_mps is None:
        if edition in ("din3760", "rma", "gost8752"):
            raise InputError(
                value=edition,
                rule="this pressure limit goes by speed, and no speed was given",
                todo="Give the surface speed, or take the limit by shaft (handbook)",
            )
        speed = 0.0
    else:
        speed = checked_number(surface_mps, what="surface speed", unit="m/s", least=0)
    what = f"the pressure limit by {edition}"
    if edition == "rma":
        feet = speed / _M_PER_FOOT * 60.0
        row = step_row(
            table("lip/inch_pressure").rows,
            value=round(feet, 6) or _STANDSTILL,
            over="over_ft_min",
            incl="incl_ft_min",
            what=what,
        )
        psi = row.number("max_psi")
        return Limit(psi * _BAR_PER_PSI, row.cite(), f"{plain(psi)} psi")
    rows = _pressure_rows(edition)
    if edition == "din3760":
        rpm = turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=speed)
        # Both limits of speed hold, so the worse step counts. A speed that was worked out must not
        # miss the edge of its step by a float's last digit.
        steps = [
            step_row(
                rows,
                value=round(value, 6) or _STANDSTILL,
                over=f"over_{unit}",
                incl=f"incl_{unit}",
                what=what,
            )
            for value, unit in ((rpm, "rpm"), (speed, "mps"))
        ]
        return _limit(min(steps, key=lambda r: r.number("max_bar")), "max_bar")
    row = step_row(rows, value=shaft_mm, over="over_mm", incl="incl_mm", what=what)
    if edition == "gost8752":
        step_row([row], value=speed or _STANDSTILL, over="over_mps", incl="incl_mps", what=what)
    return _limit(row, "max_bar")


def runout_limit_mm(*, material: str, speed_rpm: float, system: str = "metric") -> Limit:
    """Greatest run-out of the shaft at the lip.

    Parameters
    ----------
    material : str
        ``NBR``, ``FKM`` or ``ACM``, the figure says nothing of others; on an inch shaft any
        elastomer.
    speed_rpm : float
        Turning speed [rpm].
    system : str
        ``metric`` or ``inch``, that of the shaft.

    Returns
    -------
    Limit
        The run-out [mm], straight between the points of the figure; by steps on inch shafts.

    Raises
    ------
    NotKnownError
        The figure says nothing of the material.
    OffTableError
        The speed lies off the figure.

    Examples
    --------
    >>> runout_limit_mm(material="NBR", speed_rpm=1500).value
    0.245
    >>> runout_limit_mm(material="NBR", speed_rpm=1500, system="inch").value
    0.1778

    Source: tables ``seal_tolerances/runout``: DIN 3760:1996, figure, and ``inch_runout``: RMA
    guide (both from memory).
    """
    one_of(material, MATERIALS, what="lip material")
    one_of(system, SYSTEMS, what="system of sizes")
    known: tuple[str, ...] = _RUNOUT_FIGURE
    if system == "inch":
        known = tuple(name for name in MATERIALS if name != _NO_ELASTOMER)
    if material not in known:
        raise NotKnownError(
            value=material,
            rule=f"the run-out limit is for {', '.join(known)}",
            todo="Ask the supplier of the seal",
        )
    if system == "inch":
        row = step_row(
            (r for r in table("seal_tolerances/inch_runout").rows if r.flag("preferred")),
            value=speed_rpm or _STANDSTILL,
            over="over_rpm",
            incl="incl_rpm",
            what="the run-out at a lip on an inch shaft",
        )
        return Limit(round(row.number("runout_in") * MM_PER_INCH, 6), row.cite(), row.text("note"))
    found = _on_curve(
        [r for r in table("seal_tolerances/runout").rows if r.flag("preferred")],
        x=speed_rpm,
        columns=("speed_rpm", "runout_mm"),
        what="the run-out at a lip",
    )
    share = named_row("lip/duty", f"runout_share_{material.lower()}")
    sources = (found.source, *([share.cite()] if material != _RUNOUT_FIGURE[0] else []))
    return Limit(round(found.value * share.number("low"), 6), "; ".join(sources), found.note)


def coaxiality_limit_mm(*, shaft_mm: float) -> Limit:
    """Greatest offset of the housing bore from the shaft.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].

    Returns
    -------
    Limit
        The offset [mm], straight between the points of the figure.

    Raises
    ------
    OffTableError
        The shaft lies off the figure.

    Examples
    --------
    >>> coaxiality_limit_mm(shaft_mm=50).value
    0.215

    Source: table ``seal_tolerances/coaxiality``: DIN 3760:1996, figure (from memory).
    """
    return _on_curve(
        [r for r in table("seal_tolerances/coaxiality").rows if r.flag("preferred")],
        x=shaft_mm,
        columns=("shaft_mm", "offset_mm"),
        what="the offset of bore and shaft",
    )


def _on_curve(rows: list[Row], *, x: float, columns: tuple[str, str], what: str) -> Limit:
    """The value of a curve between its points; off its ends it is refused."""
    across, up = columns
    points = sorted(rows, key=lambda r: r.number(across))
    unit = across.rpartition("_")[2]
    for row in points:
        if row.number(across) == x:
            return _limit(row, up)
    for a, b in pairwise(points):
        if a.number(across) < x < b.number(across):
            share = (x - a.number(across)) / (b.number(across) - a.number(across))
            value = a.number(up) + share * (b.number(up) - a.number(up))
            return Limit(round(value, 9), a.cite(), a.text("note"))
    ends = (
        f"{points[0].number(across):g} to {points[-1].number(across):g} {unit}"
        if points
        else "nothing"
    )
    raise OffTableError(
        value=f"{x:g} {unit}",
        rule=f"{what} is charted for {ends}",
        todo="Ask the supplier of the seal, or take the machine's own manual",
    )


def _limit(row: Row, column: str) -> Limit:
    return Limit(row.number(column), row.cite(), row.text("note"))


def _speed_rows(material: str, kind: str) -> list[Row]:
    rows = table("lip/speed").rows
    return [r for r in rows if r.text("material") == material and r.text("kind") == kind]


def _pressure_rows(edition: str) -> list[Row]:
    rule = {"handbook": "plain-lip", "din3760": "pressure-speed"}.get(edition, "scope")
    rows = [r for r in table("lip/pressure").rows if r.text("rule") == rule]
    if rule == "scope":
        rows = [r for r in rows if r.text("source").startswith(edition)]
    return rows
