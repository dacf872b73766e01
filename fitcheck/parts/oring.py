"""O-rings: the sizes of four series and what a worn ring or its groove says about them.

A used ring is stretched and its section flattened; a groove is met through the usual squeeze and
stretch. An inch size carries its tolerance with its system, ``inch@0.13``.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import shares
from fitcheck.parts.steps import Steps
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table
from fitcheck.units import MM_PER_INCH

ID, SECTION, OUTSIDE = range(3)
# Stretch that a used ring keeps, and section that it has lost: as shares, common practice.
_STRETCHED, _SHRUNK = 0.03, 0.02
_SET, _SWOLLEN = 0.12, 0.10
# The inch section that stands in while searching for a size no table lists.
_USUAL_INCH_TOLERANCE_MM = 0.3


def sizes() -> tuple[Size, ...]:
    """Every listed O-ring, by series."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    found: dict[str, Size] = {}
    weights = {row.text("series"): row for row in table("oring/series").rows}
    for name in ("as568", "iso3601", "jis", "whole_mm"):
        series = weights[name]
        for row in table(f"oring/{name}").rows:
            size = _inch(row, series) if name == "as568" else _metric(row, series)
            found.setdefault(size.label, size)
    return tuple(found.values())


def _inch(row: Row, series: Row) -> Size:
    inside, section = row.number("id_in") * MM_PER_INCH, row.number("section_in") * MM_PER_INCH
    slack = row.number("id_tolerance_in") * MM_PER_INCH
    thick = row.number("section_tolerance_in") * MM_PER_INCH
    return Size(
        label=f"AS568-{row.text('dash')}",
        system="inch",
        nominals=(
            (round(inside, 4), f"inch@{slack:.3f}"),
            (round(section, 4), f"inch@{thick:.3f}"),
            (round(inside + 2.0 * section, 4), f"inch@{slack + 2.0 * thick:.3f}"),
        ),
        series=(series.text("words"),),
        source=row.cite(),
        details={"id": row.text("id_in"), "section": row.text("section_in"), "mark": "dash"},
        weight=series.number("weight"),
    )


def _metric(row: Row, series: Row) -> Size:
    inside, section = row.number("id_mm"), row.number("section_mm")
    written = f"{plain(inside)} x {plain(section)}"
    jis = series.text("series") == "jis"
    return Size(
        label=f"JIS {row.text('code')}" if jis else written,
        system="metric",
        nominals=(
            (inside, "metric"),
            (section, "metric"),
            (round(inside + 2.0 * section, 4), f"metric@{_outside_slack_mm(inside, section):.3f}"),
        ),
        series=(series.text("words"),),
        source=row.cite(),
        details={"id": plain(inside), "section": plain(section), "mark": "code" if jis else ""},
        weight=series.number("weight"),
    )


def id_tolerance_mm(*, id_mm: float) -> float:
    """Tolerance of the inside diameter of a metric O-ring, either way.

    Parameters
    ----------
    id_mm : float
        Inside diameter [mm].

    Returns
    -------
    float
        The tolerance [mm].

    Notes
    -----
    0.009 x d^0.95 + 0.11, class B.

    Examples
    --------
    >>> round(id_tolerance_mm(id_mm=50.0), 2)
    0.48

    Source: ISO 3601-1, class B, from memory.
    """
    return float(0.009 * id_mm**0.95 + 0.11)


def section_tolerance_mm(*, section_mm: float) -> float:
    """Tolerance of the cross-section of a metric O-ring, either way.

    Parameters
    ----------
    section_mm : float
        Cross-section [mm].

    Returns
    -------
    float
        The tolerance [mm].

    Examples
    --------
    >>> section_tolerance_mm(section_mm=3.55)
    0.1

    Source: ISO 3601-1, class B, from memory.
    """
    return _section_steps(shop_folder()).nearest(section_mm).number("tolerance_mm")


@cache
def _section_steps(_shop: str) -> Steps:
    return Steps(table("oring/section_tolerances").rows, unit="mm")


def _outside_slack_mm(id_mm: float, section_mm: float) -> float:
    return id_tolerance_mm(id_mm=id_mm) + 2.0 * section_tolerance_mm(section_mm=section_mm)


def _slack_mm(dimension: str, nominal_mm: float, system: str) -> float:
    base, _, carried = system.partition("@")
    if carried:
        return float(carried)
    if dimension == "section":
        return section_tolerance_mm(section_mm=nominal_mm)
    return _USUAL_INCH_TOLERANCE_MM if base == "inch" else id_tolerance_mm(id_mm=nominal_mm)


def _about(dimension: str, less: float, more: float) -> Limits:
    """The tolerance either way, and shares of the nominal beyond it."""

    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        slack = _slack_mm(dimension, nominal_mm, system)
        return -slack - less * nominal_mm, slack + more * nominal_mm

    return limits


LIMITS: dict[str, Limits] = {
    "id": _about("id", 0.0, 0.0),
    "id_stretched": _about("id", 0.0, _STRETCHED),
    "id_shrunk": _about("id", _SHRUNK, 0.0),
    "section": _about("section", 0.0, 0.0),
    "section_set": _about("section", _SET, 0.0),
    "section_swollen": _about("section", 0.0, _SWOLLEN),
    "od": _about("od", 0.0, 0.0),
    "od_used": _about("od", 0.0, _STRETCHED),
    # Grooves, as shares of the ring's nominal: glands/gland_limits, with what the trade makes.
    "groove_bottom": shares(-0.01, 0.05, beside_mm=0.05),
    "groove_outside": shares(-0.03, 0.01, beside_mm=0.05),
    "groove_depth": shares(-0.30, -0.16, beside_mm=0.02),
    "groove_depth_rare": shares(-0.38, -0.08, beside_mm=0.05),
    "groove_width": shares(0.25, 0.50, beside_mm=0.10),
    "groove_width_rare": shares(0.10, 1.30, beside_mm=0.10),
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways an O-ring or its bag is marked: the dash number, or the two dimensions."""
    label = size.label.upper()
    if size.details["mark"] == "dash":
        yield label.replace("-", "")
        yield label.partition("-")[2]
    elif size.details["mark"] == "code":
        yield label.removeprefix("JIS ").replace(".", "")
    else:
        yield "".join(c for c in label if c.isdigit())
