"""The section of a lip seal: its outside true to size, its inside drawn as such seals are built."""

from __future__ import annotations

import math

from fitcheck.records import dataclass
from fitcheck.report.drawing.polygon import Point

# Along the width from the air side, the lip stands about here.
_LIP_SHARE = 0.6
# Angles of a lip to the shaft: flat to the air side, steep to what is sealed.
_AIR_ANGLE_DEG, _OIL_ANGLE_DEG = 25.0, 50.0


@dataclass(frozen=True, slots=True)
class SealShape:
    """A section in mm: along the axis from the air side, and off the counterface.

    ``cover`` is the rubber outside of a rubber-covered case, and empty on a metal one.
    """

    case: tuple[Point, ...]
    cover: tuple[Point, ...]
    rubber: tuple[Point, ...]
    spring_centre: Point
    spring_radius: float
    lip_at: float


def lip_place_mm(*, width_mm: float) -> float:
    """Where the lip is drawn along the seal, from its air side.

    Parameters
    ----------
    width_mm : float
        Width of the seal [mm].

    Notes
    -----
    No standard gives it; about six tenths of the width is common.

    Examples
    --------
    >>> round(lip_place_mm(width_mm=7.0), 2)
    4.2
    """
    return _LIP_SHARE * width_mm


def seal_shape(*, width_mm: float, height_mm: float, rubber_case: bool = False) -> SealShape:
    """The section of a seal that fills the gap between counterface and bore.

    Parameters
    ----------
    width_mm : float
        Width of the seal [mm].
    height_mm : float
        From the counterface to the bore: half the difference of the diameters [mm].
    rubber_case : bool
        Whether the case is covered with rubber.

    Returns
    -------
    SealShape
        Outside and lip edge are true to size; wall, heel and spring are drawn in proportion to
        the smaller of width and height.

    Examples
    --------
    >>> shape = seal_shape(width_mm=7.0, height_mm=8.5)
    >>> min(v for _, v in shape.rubber), max(v for _, v in shape.case)
    (0.0, 8.5)
    """
    w, h = width_mm, height_mm
    s = min(w, h)
    wall = min(max(0.09 * s, 0.4), 1.5)
    skin = 0.08 * s if rubber_case else 0.0
    top = h - skin
    start = skin * 0.5
    heel = min(0.40 * h, h - 0.3 * s)
    # A metal case is broken at its leading edge so that it enters the bore.
    lead = 0.0 if rubber_case else min(0.10 * w, 0.8)
    end = w - skin
    case = (
        (start, heel),
        (start + wall, heel),
        (start + wall, top - wall),
        (end, top - wall),
        (end, top - 0.4 * lead),
        (end - lead, top),
        (start, top),
    )
    cover = (
        (
            (0.0, heel),
            (start, heel),
            (start, top),
            (end, top),
            (end, top - wall),
            (w, top - wall),
            (w, h - skin),
            (w - 2.0 * skin, h),
            (0.0, h),
        )
        if rubber_case
        else ()
    )
    lip = lip_place_mm(width_mm=w)
    spring = (lip - 0.02 * s, 0.44 * s)
    radius = 0.10 * s
    flank = 0.34 * s
    # The spring lies in a pocket a little wider than itself.
    pocket = [
        (
            spring[0] + 1.12 * radius * math.cos(math.radians(a)),
            spring[1] + 1.12 * radius * math.sin(math.radians(a)),
        )
        for a in (20, 0, -30, -60, -90, -120, -150, -180, -200)
    ]
    root = start + wall
    oil = 0.20 * s
    rubber = (
        (0.0, heel),
        (0.0, max(heel - 0.14 * s, 0.2 * h)),
        (root + 0.05 * s, max(heel - 0.16 * s, 0.18 * h)),
        (lip - flank, flank * math.tan(math.radians(_AIR_ANGLE_DEG))),
        (lip, 0.0),
        (lip + oil, oil * math.tan(math.radians(_OIL_ANGLE_DEG))),
        (lip + oil, spring[1] + 0.04 * s),
        *pocket,
        (lip - 0.22 * s, 0.46 * s),
        (max(lip - 0.42 * s, root + 0.22 * s), max(0.36 * s, heel - 0.02 * s)),
        (root + 0.14 * s, heel + 0.10 * s),
        (root, heel + 0.22 * s),
        (root, heel),
    )
    return SealShape(
        case=case,
        cover=cover,
        rubber=rubber,
        spring_centre=spring,
        spring_radius=radius,
        lip_at=lip,
    )
