"""What practice wants of a bearing seat, and what the bearing's own rings are made to."""

from __future__ import annotations

from fitcheck.assess.within import SYSTEMS, checked_mm, one_of
from fitcheck.limits import Limits, class_limits
from fitcheck.tables import Row, step_row, table
from fitcheck.units import MM_PER_INCH

_NORMAL_CLASS = {"metric": "Normal", "inch": "4"}


def bearing_bore_limits_mm(*, bore_mm: float, system: str, bearing_class: str = "") -> Limits:
    """The limits a new cone's bore is made to.

    Parameters
    ----------
    bore_mm : float
        Nominal bore [mm].
    system : str
        ``metric`` (at nominal or under it) or ``inch`` (at nominal or over it).
    bearing_class : str
        Tolerance class; Normal for metric and 4 for inch bearings when empty.

    Returns
    -------
    Limits
        Deviations [um] and sizes [mm], with the source.

    Raises
    ------
    OffTableError
        The table has no such class, or not at this size.

    Examples
    --------
    >>> found = bearing_bore_limits_mm(bore_mm=50, system="metric")
    >>> found.upper_um, found.lower_um
    (0.0, -12.0)

    Source: ISO 492, class Normal; ANSI/ABMA 19.2, class 4 (both from memory).
    """
    return _ring_limits("bore", "hole", bore_mm, system, bearing_class)


def bearing_od_limits_mm(*, od_mm: float, system: str, bearing_class: str = "") -> Limits:
    """The limits a new cup's outside diameter is made to.

    Parameters
    ----------
    od_mm : float
        Nominal outside diameter [mm].
    system : str
        ``metric`` (at nominal or under it) or ``inch`` (at nominal or over it).
    bearing_class : str
        Tolerance class; Normal for metric and 4 for inch bearings when empty.

    Returns
    -------
    Limits
        Deviations [um] and sizes [mm], with the source.

    Raises
    ------
    OffTableError
        The table has no such class, or not at this size.

    Examples
    --------
    >>> round(bearing_od_limits_mm(od_mm=59.131, system="inch").upper_um, 1)
    25.4

    Source: ISO 492, class Normal; ANSI/ABMA 19.2, class 4 (both from memory).
    """
    return _ring_limits("od", "shaft", od_mm, system, bearing_class)


def _ring_limits(dimension: str, kind: str, size_mm: float, system: str, wanted: str) -> Limits:
    one_of(system, SYSTEMS, what="system of sizes")
    name = wanted or _NORMAL_CLASS[system]
    what = {"bore": "the bore", "od": "the outside diameter"}[dimension]
    size, unit, end, to_um = _scale(checked_mm(size_mm, what=what.removeprefix("the ")), system)
    rows = [
        row
        for row in table(f"bearing_tolerances/{system}").rows
        if row.text("bearing_class") == name and row.text("dimension") == dimension
    ]
    row = step_row(
        rows,
        value=size,
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what=f"{what} of {system} tapered bearings, class {name},",
    )
    return Limits(
        nominal_mm=size_mm,
        tolerance_class=name,
        kind=kind,
        upper_um=row.number(f"upper_{end}") * to_um,
        lower_um=row.number(f"lower_{end}") * to_um,
        source=row.cite(),
        evidence=row.evidence,
    )


def _scale(size_mm: float, system: str) -> tuple[float, str, str, float]:
    """The size in the system's unit, that unit, the unit of deviations, and its um."""
    if system == "inch":
        return size_mm / MM_PER_INCH, "in", "in", MM_PER_INCH * 1000.0
    return size_mm, "mm", "um", 1.0


def ring_load(*, ring: str, turning: str) -> str:
    """How the load stands to a ring: ``rotating`` (held tight) or ``stationary``.

    Parameters
    ----------
    ring : str
        ``cone`` or ``cup``.
    turning : str
        The member that turns, ``hub`` or ``shaft``.

    Examples
    --------
    >>> ring_load(ring="cup", turning="hub"), ring_load(ring="cone", turning="hub")
    ('rotating', 'stationary')

    Source: table ``fit_practice/principles``, turning-ring-tight.
    """
    one_of(turning, ("hub", "shaft"), what="turning member")
    carries = {"cup": "hub", "cone": "shaft"}[one_of(ring, ("cup", "cone"), what="ring")]
    return "rotating" if carries == turning else "stationary"


def _practice(ring: str, load: str, system: str) -> list[Row]:
    return [
        row
        for row in table(f"fit_practice/{system}").rows
        if row.text("ring") == ring and row.text("load") == load
    ]


def applications(*, ring: str, load: str, system: str) -> tuple[str, ...]:
    """The uses that the fit practice lists for a ring and its load."""
    return tuple(dict.fromkeys(row.text("application") for row in _practice(ring, load, system)))


def wanted_limits(
    *, ring: str, turning: str, size_mm: float, system: str, application: str = ""
) -> Limits:
    """The limits practice gives the seat of a ring.

    Parameters
    ----------
    ring : str
        ``cone`` (its journal) or ``cup`` (its housing bore).
    turning : str
        The member that turns, ``hub`` or ``shaft``.
    size_mm : float
        Nominal diameter of the seat [mm].
    system : str
        How the bearing is toleranced: ``metric`` or ``inch``.
    application : str
        A key of the column ``application`` of the fit practice; its default when empty.

    Returns
    -------
    Limits
        Deviations [um]; the class is an ISO 286 class only for metric bearings.

    Raises
    ------
    InputError
        The application is not one of this ring and load.
    OffTableError
        Practice is not listed at this size.

    Examples
    --------
    >>> wanted_limits(ring="cup", turning="hub", size_mm=62, system="metric").tolerance_class
    'N7'

    Source: tables ``fit_practice/metric`` and ``fit_practice/inch``, from memory.
    """
    load = ring_load(ring=ring, turning=turning)
    one_of(system, SYSTEMS, what="system of sizes")
    rows = _practice(ring, load, system)
    if application:
        known = applications(ring=ring, load=load, system=system)
        one_of(application, known, what=f"use of a {ring} under {load} load")
        rows = [row for row in rows if row.text("application") == application]
    else:
        rows = [row for row in rows if row.flag("default")]
    size, unit, _, to_um = _scale(size_mm, system)
    row = step_row(
        rows,
        value=size,
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what=f"the seat of a {system} {ring} under {load} load",
    )
    if system == "metric":
        found = class_limits(nominal_mm=size_mm, tolerance_class=row.text("iso_class"))
        return Limits(
            nominal_mm=size_mm,
            tolerance_class=found.tolerance_class,
            kind=found.kind,
            upper_um=found.upper_um,
            lower_um=found.lower_um,
            source=f"{row.cite()}; {found.source}",
            evidence=row.evidence,
        )
    # ISO classes are for bearings made to nominal or under it: never for inch ones.
    name = f"inch practice, turning {turning}"
    return Limits(
        nominal_mm=size_mm,
        tolerance_class=f"{name}, {application.replace('-', ' ')}" if application else name,
        kind="shaft" if ring == "cone" else "hole",
        upper_um=row.number("seat_upper_in") * to_um,
        lower_um=row.number("seat_lower_in") * to_um,
        source=row.cite(),
        evidence=row.evidence,
    )
