"""Where the numbers of an answer come from: limits of the places read, instruments, shares."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fitcheck.parts import bearing, seal
from fitcheck.parts.family import Size
from fitcheck.readings import Reading, instrument
from fitcheck.tables import Row, in_step, table
from fitcheck.units import MM_PER_INCH

# Place of a seal -> dimension, table of metric seals, table of inch seals, cells that pick rows.
_SEAL: dict[str, tuple[int, str, str, dict[str, str]]] = {
    "shaft": (seal.SHAFT, "seat_class", "inch_seat_limits", {"seat": "shaft"}),
    "track": (seal.SHAFT, "seat_class", "inch_seat_limits", {"seat": "shaft"}),
    "bore": (seal.BORE, "seat_class", "inch_seat_limits", {"seat": "bore"}),
    "old-od": (seal.BORE, "metric_case_allowance", "inch_case_allowance", {}),
    "old-lip": (seal.SHAFT, "lip_interference", "inch_lip_interference", {"lip": "main"}),
    "old-width": (seal.WIDTH, "width", "inch_width", {}),
}
# Place of a bearing -> the dimensions it may show.
_BEARING: dict[str, tuple[str, ...]] = {
    "bore": ("bore",),
    "od": ("od",),
    "width": ("width",),
    "cone-width": ("cone_width",),
    "cup-width": ("cup_width",),
    "thickness": ("width", "cone_width", "cup_width"),
}


def reading_sources(family: str, readings: Mapping[str, Reading]) -> list[str]:
    """The sources of what an instrument can do, and of the shares that mistakes and wear get.

    Parameters
    ----------
    family : str
        ``seal`` or ``bearing``.
    readings : mapping of str to Reading
        The readings by place.
    """
    found = instrument_sources(readings)
    rows = [row for row in table("priors/bands").rows if row.text("family") == family]
    shares = dict.fromkeys(row.cite() for row in (*rows, *table("priors/mistakes").rows))
    return [*found, *(f"shares of wear and mistakes: {source}" for source in shares)]


def instrument_sources(readings: Mapping[str, Reading]) -> list[str]:
    """The sources of what the instruments of some readings can do."""
    names = {name for r in readings.values() for name in r.instrument.split(" and ")}
    return [f"{name}: {instrument(name).source}" for name in sorted(names)]


def seal_sources(size: Size, places: Iterable[str], *, case: str) -> list[str]:
    """The sources of a seal's limits at the places that were read.

    Parameters
    ----------
    size : Size
        The seal.
    places : iterable of str
        The places read.
    case : str
        Outside of the old case; either where it is empty.
    """
    found: list[str] = []
    for place in sorted(places):
        if place not in _SEAL:
            continue
        dimension, metric, inch, wanted = _SEAL[place]
        nominal = size.nominals[dimension]
        if nominal is None:
            continue
        inches = nominal[1] == "inch"
        rows = table(f"seal_tolerances/{inch if inches else metric}").rows
        if place == "old-od" and case:
            wanted = {"case": case}
        found += _cited(rows, nominal[0], inches=inches, wanted=wanted)
    return list(dict.fromkeys(found))


def bearing_sources(size: Size, places: Iterable[str]) -> list[str]:
    """The sources of a bearing's limits at the places that were read."""
    found: list[str] = []
    bore = size.nominals[bearing.BORE]
    for place in sorted(places):
        for dimension in _BEARING.get(place, ()):
            by = size.nominals[bearing.OD] if dimension == "od" else bore
            if by is not None:
                system = by[1].partition("@")[0]
                rows = bearing.tolerance_rows(dimension, system)
                found += _cited(rows, by[0], inches=system == "inch", wanted={})
    return list(dict.fromkeys(found))


def _cited(
    rows: Iterable[Row], nominal_mm: float, *, inches: bool, wanted: Mapping[str, str]
) -> list[str]:
    """The sources of the rows whose step holds a nominal."""
    unit, nominal = ("in", nominal_mm / MM_PER_INCH) if inches else ("mm", nominal_mm)
    found = []
    for row in rows:
        cells = row.cells()
        if cells.get("preferred") == "false":
            continue
        if any(cells[column] != value for column, value in wanted.items()):
            continue
        if in_step(row, value=nominal, over=f"over_{unit}", incl=f"incl_{unit}"):
            found.append(row.cite())
    return found
