"""The section of a tapered bearing: five dimensions true, its inside as such bearings are built."""

from __future__ import annotations

import math

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.report.drawing.polygon import Point

# The contact angle where no factor e tells it; the middle of the metric series.
_USUAL_ANGLE_DEG = 14.0
# Walls at the thin ends of cup and cone, and the roller, in parts of the height of the section.
_CUP_WALL, _CONE_WALL, _LEAST_ROLLER = 0.13, 0.20, 0.26


@dataclass(frozen=True, slots=True)
class BearingDrawing:
    """A tapered bearing as it is to be drawn: d, D, T, B, C in mm and the factor e if known."""

    designation: str
    bore_mm: float
    od_mm: float
    width_mm: float
    cone_width_mm: float
    cup_width_mm: float
    e_factor: float | None = None
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class BearingShape:
    """A section in mm: along the axis from the back face of the cone, and off the axis."""

    cone: tuple[Point, ...]
    cup: tuple[Point, ...]
    roller: tuple[Point, ...]
    roller_axis: tuple[Point, Point]


def checked_bearing(drawing: BearingDrawing) -> None:
    """Refuse dimensions that no bearing has.

    Raises
    ------
    InputError
        A dimension is not above zero, the outside no larger than the bore, or a ring wider than
        the whole by more than rings stand out.
    """
    values = (
        drawing.bore_mm,
        drawing.od_mm,
        drawing.width_mm,
        drawing.cone_width_mm,
        drawing.cup_width_mm,
    )
    whole = drawing.width_mm
    if (
        not all(math.isfinite(v) and v > 0 for v in values)
        or drawing.od_mm <= drawing.bore_mm
        or drawing.cone_width_mm > 1.6 * whole
        or drawing.cup_width_mm > 1.6 * whole
    ):
        raise InputError(
            value=f"{drawing.designation} " + " x ".join(f"{v:g}" for v in values),
            rule="no tapered bearing has these dimensions d, D, T, B, C",
            todo="Check them; d is smaller than D, and B and C are about as wide as T",
        )


def bearing_shape(drawing: BearingDrawing) -> BearingShape:
    """The section of a tapered bearing, the back of its cone at zero and that of its cup at T.

    Raises
    ------
    InputError
        The dimensions can't be those of a bearing.

    Notes
    -----
    e = 1.5 tan(angle) gives the angle of the cup. The raceways are placed by the walls at the
    thin ends of the rings, and the angle is lowered where no roller would be left between them.

    Examples
    --------
    >>> shape = bearing_shape(BearingDrawing("30206", 30, 62, 17.25, 16, 14, 0.37))
    >>> min(x for x, _ in shape.cone), max(x for x, _ in shape.cup)
    (0.0, 17.25)
    """
    checked_bearing(drawing)
    inner, outer = drawing.bore_mm / 2.0, drawing.od_mm / 2.0
    height = outer - inner
    back, front = drawing.width_mm, drawing.width_mm - drawing.cup_width_mm
    cone_end = drawing.cone_width_mm
    tangent = (
        drawing.e_factor / 1.5 if drawing.e_factor else math.tan(math.radians(_USUAL_ANGLE_DEG))
    )
    cup_thin, cone_thin = outer - _CUP_WALL * height, inner + _CONE_WALL * height
    start, end = max(front, 0.0), min(cone_end, back)
    middle = (start + end) / 2.0
    # The cone's raceway is flatter than the cup's by the roller's own taper.
    flatter = 0.8
    room = cup_thin - cone_thin
    needed = tangent * ((middle - front) + flatter * (cone_end - middle))
    if room - needed < _LEAST_ROLLER * height and needed > 0:
        tangent *= (room - _LEAST_ROLLER * height) / needed

    def cup_at(x: float) -> float:
        return cup_thin - tangent * (x - front)

    def cone_at(x: float) -> float:
        return cone_thin + flatter * tangent * (cone_end - x)

    chamfer = 0.05 * height
    length = end - start
    large, small = start + 0.06 * length, end - 0.14 * length
    rib = cone_at(large) + 0.36 * (cup_at(large) - cone_at(large))
    lip = cone_at(small) + 0.10 * (cup_at(small) - cone_at(small))
    gap = 0.02 * length
    rib_end = max(large - gap, 0.12 * cone_end)
    large = rib_end + gap
    cone = (
        (0.0, inner + chamfer),
        (chamfer, inner),
        (cone_end - chamfer * 0.5, inner),
        (cone_end, inner + chamfer * 0.5),
        (cone_end, lip),
        (small + gap, lip),
        (small + gap, cone_at(small + gap)),
        (rib_end, cone_at(rib_end)),
        (rib_end, rib),
        (0.0, rib),
    )
    cup = (
        (front, cup_at(front)),
        (back, cup_at(back)),
        (back, outer - chamfer),
        (back - chamfer, outer),
        (front + chamfer * 0.4, outer),
        (front, outer - chamfer * 0.4),
    )
    roller = (
        (large, cone_at(large)),
        (small, cone_at(small)),
        (small, cup_at(small)),
        (large, cup_at(large)),
    )
    axis = (
        (large - 0.1 * length, (cone_at(large) + cup_at(large)) / 2.0),
        (small + 0.1 * length, (cone_at(small) + cup_at(small)) / 2.0),
    )
    return BearingShape(cone=cone, cup=cup, roller=roller, roller_axis=axis)
