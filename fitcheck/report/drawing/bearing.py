"""A tapered bearing on its journal and in its housing, half of it in section and to scale."""

from __future__ import annotations

from fitcheck.report.drawing.bearing_shape import BearingDrawing, bearing_shape
from fitcheck.report.drawing.dimension import (
    DIAMETER,
    across,
    half_diameter,
    leader,
    unit_text,
    value_text,
)
from fitcheck.report.drawing.polygon import Point, break_line
from fitcheck.report.drawing.scale import largest_scale, scale_caption
from fitcheck.report.drawing.svg import Sheet
from fitcheck.report.drawing.view import View, axis_line, heading, notes

PAPER_MM = 120.0
_ROOM_X, _ROOM_Y, _STUB = 70.0, 88.0, 17.0
_SECTION_MM = 17.0
_LANE = 6.6


def bearing_svg(drawing: BearingDrawing, *, title: str = "", remarks: tuple[str, ...] = ()) -> str:
    """Draw a tapered bearing on its journal and in its housing.

    Parameters
    ----------
    drawing : BearingDrawing
        Its dimensions.
    title : str
        Where it belongs.
    remarks : tuple of str
        What else to say below the view.

    Returns
    -------
    str
        An SVG document of 120 mm width; d, D, T, B and C are to the stated scale.

    Raises
    ------
    InputError
        The dimensions can't be those of a bearing.
    """
    shape = bearing_shape(drawing)
    text = f"Tapered bearing {drawing.designation}"
    figures = {
        name: value_text(value_mm=value, unit=drawing.unit)
        for name, value in (
            ("d", drawing.bore_mm),
            ("D", drawing.od_mm),
            ("T", drawing.width_mm),
            ("B", drawing.cone_width_mm),
            ("C", drawing.cup_width_mm),
        )
    }
    sheet = Sheet(
        width=PAPER_MM,
        title=text + (f", {title}" if title else ""),
        description=f"Half-section to scale of a tapered bearing on its journal and in its "
        f"housing: bore {figures['d']}, outside {figures['D']}, width {figures['T']}, cone "
        f"{figures['B']} and cup {figures['C']} {drawing.unit} wide.",
    )
    y = heading(sheet, title=title or "Tapered bearing", subtitle=text)
    inner, outer = drawing.bore_mm / 2.0, drawing.od_mm / 2.0
    height = outer - inner
    left = min(0.0, drawing.width_mm - drawing.cup_width_mm) - 0.35 * height
    right = max(drawing.width_mm, drawing.cone_width_mm) + 0.35 * height
    rim = outer + 0.32 * height
    extents = [(right - left, _ROOM_X), (rim, _ROOM_Y)]
    scale = largest_scale(extents=extents)
    broken = False
    if scale * height < _SECTION_MM:
        closer = largest_scale(extents=[(right - left, _ROOM_X), (rim - inner, _ROOM_Y - _STUB)])
        broken, scale = closer > scale, max(closer, scale)
    start = 10.0 + (_ROOM_X - (right - left) * scale) / 2.0
    view = View(
        scale=scale,
        paper_x=start - left * scale,
        paper_y=y + 4.0 + 3 * _LANE,
        radius_mm=rim,
    )
    axis_y = view.y(inner) + _STUB + 8.0 if broken else view.y(0.0)
    low = view.y(inner) + _STUB if broken else axis_y
    shoulder = inner + 0.22 * height
    _member(
        sheet,
        view,
        [
            (left, rim),
            (left, outer),
            (drawing.width_mm, outer),
            (drawing.width_mm, outer - 0.22 * height),
            (right, outer - 0.22 * height),
            (right, rim),
        ],
    )
    shaft = view.points([(left, shoulder), (0.0, shoulder), (0.0, inner), (right, inner)])
    sheet.area([*shaft, (shaft[-1][0], low), (shaft[0][0], low)], part="shaft", line="")
    sheet.line(shaft, kind="wide", part="journal")
    _shaft_ends(sheet, shaft[0], shaft[-1], low=low, axis_y=axis_y, broken=broken)
    rings(sheet, view, drawing, at=0.0)
    axis_line(sheet, left=shaft[0][0] - 5.0, right=shaft[-1][0] + 5.0, y=axis_y)
    level = view.paper_y - 3.0
    cup_from = drawing.width_mm - drawing.cup_width_mm
    lengths = sorted(
        [
            (drawing.cup_width_mm, cup_from, drawing.width_mm, "C", outer),
            (drawing.cone_width_mm, 0.0, drawing.cone_width_mm, "B", inner + 0.3 * height),
            (drawing.width_mm, 0.0, drawing.width_mm, "T", inner + 0.3 * height),
        ]
    )
    for _, near, far, name, radius in lengths:
        across(
            sheet,
            start=view.at(near, outer if near else radius),
            end=view.at(far, radius if name == "B" else outer),
            y=level,
            text=f"{name} {figures[name]}",
        )
        level -= _LANE
    edge, lowest = view.x(right), axis_y + 3.0
    for off, radius, text in (
        (12.0, inner, f"d {DIAMETER}{figures['d']}"),
        (22.0, outer, f"D {DIAMETER}{figures['D']}"),
    ):
        from_x = edge if radius == inner else view.x(drawing.width_mm)
        reached = half_diameter(
            sheet, surface=(from_x, view.y(radius)), axis_y=axis_y, x=edge + off, text=text
        )
        lowest = max(lowest, reached)
    _names(sheet, view, drawing, shape.roller)
    y = lowest + 8.0
    scale_caption(sheet, x=6.0, y=y, name="Half-section", scale=scale, unit=drawing.unit)
    y = notes(
        sheet,
        [
            f"{unit_text(drawing.unit)} Raceways, ribs, rollers and chamfers are not to size; "
            "the cage is left out."
            + (" The shaft is shortened between the break lines." if broken else ""),
            *remarks,
        ],
        y=y + 8.0,
    )
    return sheet.svg(y + 1.0)


def rings(
    sheet: Sheet, view: View, drawing: BearingDrawing, *, at: float, mirrored: bool = False
) -> None:
    """Draw cone, cup and roller of a bearing.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    view : View
        Where.
    drawing : BearingDrawing
        Its dimensions.
    at : float
        Where the back of its cone stands along the axis [mm].
    mirrored : bool
        Whether the cone's back looks to the right instead of to the left.
    """
    shape = bearing_shape(drawing)
    side = -1.0 if mirrored else 1.0

    def placed(points: tuple[Point, ...]) -> list[Point]:
        return view.points((at + side * x, r) for x, r in points)

    name = drawing.designation
    sheet.area(placed(shape.cup), part=f"cup {name}", hatch=1.3, angle=135.0)
    sheet.area(placed(shape.cone), part=f"cone {name}", hatch=1.3, angle=45.0)
    sheet.area(placed(shape.roller), part=f"roller {name}")
    sheet.line(placed(shape.roller_axis), kind="axis")


def _member(sheet: Sheet, view: View, places: list[Point]) -> None:
    """The housing: its seat in wide lines, broken off at the other three sides."""
    edge = view.points(places)
    first, last = edge[0], edge[-1]
    left = break_line(start=edge[1], end=first, bulge=0.7)
    right = break_line(start=edge[-2], end=last, bulge=0.7)
    top = break_line(start=last, end=first, bulge=0.7)
    outline = [*edge[1:-1], *right[1:], *top[1:], *left[-2:0:-1]]
    sheet.area(outline, part="housing", line="", hatch=2.4)
    sheet.line(edge[1:-1], kind="wide", part="housing seat")
    for side in (left, right, top):
        sheet.line(side)


def _shaft_ends(
    sheet: Sheet, left: Point, right: Point, *, low: float, axis_y: float, broken: bool
) -> None:
    parts = [(left, right, low)]
    if broken:
        for y in (low, low + 3.0):
            sheet.line(break_line(start=(left[0], y), end=(right[0], y), bulge=0.7))
        parts.append(((left[0], low + 3.0), (right[0], low + 3.0), axis_y))
    for one, other, bottom in parts:
        sheet.line(break_line(start=(one[0], bottom), end=one, bulge=0.7))
        sheet.line(break_line(start=other, end=(other[0], bottom), bulge=0.7))


def _names(sheet: Sheet, view: View, drawing: BearingDrawing, roller: tuple[Point, ...]) -> None:
    """Cone and cup named, from the shaft and from the left where nothing else stands."""
    inner, outer = drawing.bore_mm / 2.0, drawing.od_mm / 2.0
    height = outer - inner
    cone_tip = view.at(drawing.cone_width_mm * 0.35, inner + 0.10 * height)
    leader(sheet, tip=cone_tip, knee=(cone_tip[0] + 3.0, view.y(inner) + 9.0), text="cone")
    x = max(0.0, drawing.width_mm - drawing.cup_width_mm) + 0.08 * drawing.cup_width_mm
    cup_tip = view.at(x, outer - 0.07 * height)
    knee = (
        view.at(min(0.0, drawing.width_mm - drawing.cup_width_mm), 0.0)[0] - 4.0,
        view.y(outer) + max(0.2 * height * view.scale, 6.0),
    )
    leader(sheet, tip=cup_tip, knee=knee, text="cup", left=True)
