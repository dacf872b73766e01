"""Thin repair sleeves: the table, and which sleeve grips a measured shaft.

A sleeve grips shafts inside a narrow window and is never chosen by its nominal size.
"""

from __future__ import annotations

from functools import cache

from fitcheck.records import dataclass
from fitcheck.tables import Row, shop_folder, table

TABLE = "sleeves/thin"


@dataclass(frozen=True, slots=True)
class Sleeve:
    """One listed thin sleeve; the window is the shaft diameters that it grips."""

    designation: str
    shaft_mm: float
    window_min_mm: float
    window_max_mm: float
    wall_mm: float
    width_mm: float
    overall_mm: float
    source: str
    evidence: str

    @property
    def middle_mm(self) -> float:
        """The middle of the shaft window [mm]."""
        return (self.window_min_mm + self.window_max_mm) / 2.0


def sleeves() -> tuple[Sleeve, ...]:
    """Every listed sleeve, smallest window first; the shop's own rows included."""
    return _sleeves(shop_folder())


@cache
def _sleeves(_shop: str) -> tuple[Sleeve, ...]:
    found = (_sleeve(row) for row in table(TABLE).rows)
    return tuple(sorted(found, key=lambda s: (s.middle_mm, s.width_mm, s.designation)))


def _sleeve(row: Row) -> Sleeve:
    return Sleeve(
        designation=row.text("designation"),
        shaft_mm=row.number("shaft_mm"),
        window_min_mm=row.number("window_min_mm"),
        window_max_mm=row.number("window_max_mm"),
        wall_mm=row.number("wall_mm"),
        width_mm=row.number("width_mm"),
        overall_mm=row.number("overall_mm"),
        source=row.cite(),
        evidence=row.evidence,
    )


def gripping(*, land_mm: float) -> tuple[Sleeve, ...]:
    """The sleeves whose window holds a shaft, the one gripping nearest its middle first.

    Parameters
    ----------
    land_mm : float
        Diameter of the unworn land [mm].

    Examples
    --------
    >>> [sleeve.designation for sleeve in gripping(land_mm=34.99)]
    ['sleeve 35.00 x 13']
    """
    # A window edge belongs to the window, and a converted inch must not miss it by a last digit.
    land = round(land_mm, 6)
    return tuple(
        sorted(
            (s for s in sleeves() if s.window_min_mm <= land <= s.window_max_mm),
            key=lambda s: (abs(s.middle_mm - land), s.width_mm),
        )
    )


def nearest(*, land_mm: float) -> tuple[Sleeve, ...]:
    """The sleeves with the nearest windows under and over a shaft that no window holds.

    Parameters
    ----------
    land_mm : float
        Diameter of the unworn land [mm].

    Examples
    --------
    >>> [sleeve.designation for sleeve in nearest(land_mm=5.0)]
    ['sleeve 12.00 x 8']
    """
    under = [s for s in sleeves() if s.window_max_mm < land_mm]
    over = [s for s in sleeves() if s.window_min_mm > land_mm]
    found = []
    if under:
        found.append(max(under, key=lambda s: s.window_max_mm))
    if over:
        found.append(min(over, key=lambda s: s.window_min_mm))
    return tuple(found)


def sleeved_mm(*, land_mm: float, wall_mm: float) -> float:
    """Diameter of the counterface once a sleeve stands on the shaft.

    Parameters
    ----------
    land_mm : float
        Diameter of the unworn land [mm].
    wall_mm : float
        Wall of the sleeve [mm].

    Returns
    -------
    float
        Diameter over the sleeve [mm].

    Notes
    -----
    land + 2 x wall: a thin wall follows the shaft and stretches with it.

    Examples
    --------
    A 1.750 in shaft under a wall of 0.010 in becomes 1.770 in:

    >>> round(sleeved_mm(land_mm=44.45, wall_mm=0.254) / 25.4, 3)
    1.77
    """
    return land_mm + 2.0 * wall_mm
