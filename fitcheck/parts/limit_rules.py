"""Ways to give the limits of a dimension: an ISO 286 class, shares of the nominal, table steps."""

from __future__ import annotations

from functools import cache

from fitcheck.limits import class_limits
from fitcheck.parts.family import Limits
from fitcheck.parts.steps import Steps
from fitcheck.tables import shop_folder, table

# The search looks past the ends of ISO 286, which covers sizes over 0 up to 3150 mm.
_SMALLEST_MM, _LARGEST_MM = 1.0, 3150.0


@cache
def iso_limits(tolerance_class: str) -> Limits:
    """The limits of an ISO 286 class, as offsets [mm] around any nominal.

    Parameters
    ----------
    tolerance_class : str
        The class as written; capitals are holes, small letters are shafts.

    Examples
    --------
    >>> [round(offset, 3) for offset in iso_limits("H7")(30.0, "metric")]
    [0.0, 0.021]
    """

    def limits(nominal_mm: float, _system: str) -> tuple[float, float]:
        size_mm = min(max(nominal_mm, _SMALLEST_MM), _LARGEST_MM)
        found = class_limits(nominal_mm=size_mm, tolerance_class=tolerance_class)
        return found.lower_um / 1000.0, found.upper_um / 1000.0

    return limits


def between(tight: str, loose: str) -> Limits:
    """Limits from the lower end of one ISO 286 class to the upper end of another.

    Parameters
    ----------
    tight, loose : str
        The classes; of a shaft or of a hole, both the same.

    Examples
    --------
    >>> [round(offset, 3) for offset in between("g6", "k6")(30.0, "metric")]
    [-0.02, 0.015]
    """
    first, last = iso_limits(tight), iso_limits(loose)

    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        ends = (*first(nominal_mm, system), *last(nominal_mm, system))
        return min(ends), max(ends)

    return limits


def shares(low: float, high: float, *, beside_mm: float = 0.0) -> Limits:
    """Limits that are shares of the nominal.

    Parameters
    ----------
    low, high : float
        The offsets as shares of the nominal [-].
    beside_mm : float
        What either end lies further out [mm].

    Examples
    --------
    >>> [round(offset, 3) for offset in shares(-0.3, -0.15)(3.0, "metric")]
    [-0.9, -0.45]
    """

    def limits(nominal_mm: float, _system: str) -> tuple[float, float]:
        return low * nominal_mm - beside_mm, high * nominal_mm + beside_mm

    return limits


def carried(share: float) -> Limits:
    """Limits as far either way as the system says after an @.

    Parameters
    ----------
    share : float
        What stands in where it carries none, as a share of the nominal [-].

    Examples
    --------
    >>> carried(0.05)(40.0, "metric@2.5"), carried(0.05)(40.0, "metric")
    ((-2.5, 2.5), (-2.0, 2.0))
    """

    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        half = float(system.partition("@")[2] or share * nominal_mm)
        return -half, half

    return limits


def tabled(name: str, column: str, value: str, *, scale: float = 1.0, unit: str = "mm") -> Limits:
    """Limits from the steps of a table, by the nominal or by what the system carries after an @.

    Parameters
    ----------
    name : str
        The table, with columns ``over_mm``, ``incl_mm``, ``lower_...`` and ``upper_...``.
    column, value : str
        Which rows: those with this text in this column; all where the column is empty.
    scale : float
        What the offsets are multiplied with, to be in mm [-].
    unit : str
        The unit of the offsets' columns.
    """

    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        by = system.partition("@")[2]
        row = _steps(name, column, value, shop_folder()).nearest(float(by) if by else nominal_mm)
        return row.number(f"lower_{unit}") * scale, row.number(f"upper_{unit}") * scale

    return limits


@cache
def _steps(name: str, column: str, value: str, _shop: str) -> Steps:
    rows = table(name).rows
    return Steps(tuple(r for r in rows if not column or r.text(column) == value), unit="mm")
