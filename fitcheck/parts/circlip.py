"""Retaining rings for shafts (DIN 471) and bores (DIN 472), with their grooves."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import iso_limits, tabled
from fitcheck.parts.listed import listed
from fitcheck.parts.steps import Steps
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table

ON_A_SHAFT = "DIN 471"


def _size(row: Row) -> Size:
    nominal, thickness = row.number("nominal_mm"), row.number("thickness_mm")
    standard = row.text("standard")
    outer = standard == ON_A_SHAFT
    seat, groove = (nominal, "metric"), (row.number("groove_mm"), f"metric@{nominal:g}")
    free = row.number("free_mm"), f"metric@{nominal:g}"
    return Size(
        label=f"{standard} - {plain(nominal)} x {plain(thickness)}",
        system="metric",
        nominals=(
            seat if outer else None,
            None if outer else seat,
            groove if outer else None,
            None if outer else groove,
            (row.number("groove_width_mm"), "metric"),
            (thickness, "metric"),
            free if outer else None,
            None if outer else free,
        ),
        series=(standard,),
        source=row.cite(),
        details={
            "standard": standard,
            "nominal": plain(nominal),
            "thickness": plain(thickness),
            "on": "shaft" if outer else "bore",
        },
    )


sizes = listed("circlip/sizes", _size)


def groove_class(*, groove: str, nominal_mm: float) -> str:
    """The ISO 286 class of a groove's diameter.

    Parameters
    ----------
    groove : str
        ``shaft`` or ``bore``.
    nominal_mm : float
        Nominal diameter of the shaft or bore [mm].

    Examples
    --------
    >>> groove_class(groove="shaft", nominal_mm=35.0)
    'h12'
    """
    return _classes(groove, shop_folder()).nearest(nominal_mm).text("class")


@cache
def _classes(groove: str, _shop: str) -> Steps:
    rows = table("circlip/groove_classes").rows
    return Steps(tuple(row for row in rows if row.text("groove") == groove), unit="mm")


def _groove(groove: str) -> Limits:
    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        by = float(system.partition("@")[2] or nominal_mm)
        return iso_limits(groove_class(groove=groove, nominal_mm=by))(nominal_mm, system)

    return limits


LIMITS: dict[str, Limits] = {
    "shaft_groove": _groove("shaft"),
    "bore_groove": _groove("bore"),
    "thickness": tabled("circlip/limits", "quantity", "thickness"),
    "free_inside": tabled("circlip/limits", "quantity", "free inside"),
    "free_outside": tabled("circlip/limits", "quantity", "free outside"),
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a retaining ring or its bag is marked: the standard and the nominal diameter."""
    nominal = size.details["nominal"].replace(".", "")
    yield size.label.upper().partition(" -")[0].replace(" ", "") + nominal
    yield nominal
