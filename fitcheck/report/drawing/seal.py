"""A lip seal in its bore, half of it in section and to scale, with what was read of its seat."""

from __future__ import annotations

import math

from fitcheck.report.drawing.dimension import DIAMETER, across, half_diameter
from fitcheck.report.drawing.polygon import Point, break_line
from fitcheck.report.drawing.scale import largest_scale, scale_caption
from fitcheck.report.drawing.seal_detail import detail, wants_detail
from fitcheck.report.drawing.seal_layout import (
    CHAMFER_DEG,
    SealDrawing,
    SealLayout,
    groove_profile,
    seal_layout,
)
from fitcheck.report.drawing.seal_shape import seal_shape
from fitcheck.report.drawing.seal_words import description, given, remarks
from fitcheck.report.drawing.svg import Sheet
from fitcheck.report.drawing.view import View, axis_line, heading, notes

PAPER_MM = 120.0
# Room on the paper for the view itself, and the least width of the seal that shows its parts.
_ROOM_X, _ROOM_Y = 76.0, 78.0
_SEAL_MM = 13.0
# What is left of a shaft that is broken, between its surface and the break.
_STUB = 19.0
_LANE = 6.6
_LEFT = 12.0
# The dimension lines of the diameters, to the right of the view.
_DIAMETERS = (12.0, 22.0)


def seal_svg(drawing: SealDrawing) -> str:
    """Draw a lip seal in its bore.

    Parameters
    ----------
    drawing : SealDrawing
        The seal and what was read of its seat.

    Returns
    -------
    str
        An SVG document of 120 mm width. Its outline, seat, groove, sleeve and chamfers are to the
        stated scale; the inside of the seal is as such seals are built.

    Raises
    ------
    InputError
        A dimension can't be.
    """
    layout = seal_layout(drawing)
    sheet = Sheet(
        width=PAPER_MM,
        title=f"Lip seal {drawing.size}" + (f", {drawing.title}" if drawing.title else ""),
        description=description(drawing, layout),
    )
    y = heading(sheet, title=drawing.title or "Lip seal", subtitle=f"Lip seal {drawing.size}")
    view = _SealView(sheet, drawing, layout, top=y)
    view.draw()
    y = view.bottom
    if wants_detail(drawing):
        y = detail(sheet, drawing, layout, top=y)
    y = notes(
        sheet,
        remarks(drawing, layout, shortened=view.broken or view.apart),
        y=y + 1.0,
    )
    return sheet.svg(y + 1.0)


class _SealView:
    """The half-section on a sheet: chooses its scale, then draws from the bottom up."""

    def __init__(
        self, sheet: Sheet, drawing: SealDrawing, layout: SealLayout, *, top: float
    ) -> None:
        self.sheet, self.drawing, self.layout = sheet, drawing, layout
        self.height = layout.bore - layout.counterface
        gap = layout.bore - layout.land
        width = drawing.width_mm
        self.right = max(layout.pocket + 0.45 * width, layout.lip + 0.8 * width)
        near = min(0.0, layout.seal_from, layout.old_from)
        if drawing.sleeve is not None:
            near = min(near, layout.sleeve_from)
            self.right = max(self.right, layout.sleeve_to + 0.2 * width)
        self.left = near - 0.35 * width
        self.outer = layout.bore + 0.45 * gap
        ended = layout.end is not None or layout.end_read
        self.piece = min(layout.end_chamfer + 0.15 * width, 0.8 * width)
        near_end = min(layout.end, near) if layout.end is not None else self.left
        # The shaft runs to its end in one piece where that costs no scale, else it is broken.
        pieces = self.right - self.left + self.piece
        apart_scale, apart_broken = self._scale(pieces, _ROOM_X - 5.0)
        self.scale, self.broken = self._scale(self.right - near_end, _ROOM_X)
        self.joined = layout.end is not None and self.scale >= apart_scale
        self.apart = ended and not self.joined
        if self.joined:
            self.left = near_end
        elif self.apart:
            self.scale, self.broken = apart_scale, apart_broken
        else:
            self.scale, self.broken = self._scale(self.right - self.left, _ROOM_X)
        lanes = 3 if layout.chamfer > 0 else 2
        housing_top = top + 3.4 + lanes * _LANE
        along = self.right - self.left + (self.piece if self.apart else 0.0)
        self.start = _LEFT + max(0.0, (_ROOM_X - along * self.scale) / 2.0 - 2.0)
        paper_x = self.start - self.left * self.scale
        if self.apart:
            paper_x += self.piece * self.scale + 5.0
        self.view = View(
            scale=self.scale,
            paper_x=paper_x,
            paper_y=housing_top,
            radius_mm=self.outer,
        )
        land_y = self.view.y(layout.land)
        self.axis_y = land_y + _STUB + 8.0 if self.broken else self.view.y(0.0)
        self.bottom = 0.0

    def _scale(self, along_mm: float, room: float) -> tuple[float, bool]:
        """The scale for a length along the axis, and whether the shaft is broken for it."""
        whole = largest_scale(extents=[(along_mm, room), (self.outer, _ROOM_Y)])
        if whole * self.drawing.width_mm >= _SEAL_MM:
            return whole, False
        depth = self.outer - self.layout.land
        scale = largest_scale(extents=[(along_mm, room), (depth, _ROOM_Y - _STUB)])
        return (scale, True) if scale > whole else (whole, False)

    def draw(self) -> None:
        """Draw everything, and set where it ends."""
        self._housing()
        self._shaft()
        self._sleeve()
        self._seal()
        axis_line(
            self.sheet, left=self.start - 5.0, right=self.view.x(self.right) + 3.0, y=self.axis_y
        )
        self._levels()
        y = max(self._diameters(), self._lower_dimensions())
        if wants_detail(self.drawing):
            self._mark_detail()
        scale_caption(
            self.sheet,
            x=6.0,
            y=y + 7.0,
            name="Half-section",
            scale=self.scale,
            unit=self.drawing.unit,
        )
        self.bottom = y + 15.0

    def _housing(self) -> None:
        found, view = self.layout, self.view
        rise = found.chamfer * math.tan(math.radians(CHAMFER_DEG))
        shoulder = found.counterface + 0.62 * self.height
        seat = [
            (0.0, self.outer),
            (0.0, found.bore + rise),
            (found.chamfer, found.bore),
            (found.pocket, found.bore),
            (found.pocket, shoulder),
            (self.right, shoulder),
        ]
        edge = view.points(seat)
        side = break_line(start=edge[-1], end=view.at(self.right, self.outer), bulge=0.8)
        top = break_line(start=view.at(self.right, self.outer), end=edge[0], bulge=0.8)
        self.sheet.area([*edge, *side[1:], *top[1:-1]], part="housing", line="", hatch=2.4)
        self.sheet.line(edge, kind="wide", part="seat")
        self.sheet.line([*side, *top[1:]], kind="narrow")

    def _surface(self, start: float) -> list[Point]:
        """The surface of the shaft from a place on, worn and turned as it is."""
        drawing, found = self.drawing, self.layout
        surface: list[Point] = []
        if self.joined and found.end is not None:
            if found.end_radius is not None:
                surface.append((found.end, found.end_radius))
            surface.append((found.end + found.end_chamfer, found.land))
        else:
            surface.append((start, found.land))
        sleeve = drawing.sleeve
        if sleeve is not None and sleeve.turned_mm is not None:
            turned = sleeve.turned_mm / 2.0
            surface += [(found.sleeve_from, found.land), (found.sleeve_from, turned)]
            surface += [(found.sleeve_to, turned), (found.sleeve_to, found.land)]
        elif drawing.groove_depth_mm:
            surface += groove_profile(
                centre_mm=found.track,
                width_mm=min(drawing.groove_width_mm or 1.5, drawing.width_mm),
                depth_mm=drawing.groove_depth_mm,
                radius_mm=found.land,
            )
        return [*surface, (self.right, found.land)]

    def _shaft(self) -> None:
        surface = self.view.points(self._surface(self.left))
        left, right = surface[0][0], surface[-1][0]
        low = self.view.y(self.layout.land) + _STUB if self.broken else self.axis_y
        under = [(right, low), (left, low)]
        self.sheet.area([*surface, *under], part="shaft", line="")
        self.sheet.line(surface, kind="wide", part="counterface")
        bottoms = [(surface[0][1], low)]
        if self.broken:
            self._break(left, right, low)
            bottoms.append((low + 3.0, self.axis_y))
        for upper, lower in bottoms:
            self.sheet.line(
                break_line(start=(right, upper), end=(right, lower), bulge=0.8), kind="narrow"
            )
            if self.joined:
                self.sheet.line([(left, upper), (left, lower)], kind="wide")
            else:
                self.sheet.line(break_line(start=(left, lower), end=(left, upper), bulge=0.8))
        if self.joined and self.layout.end_radius is not None:
            x = self.view.x(self.layout.end_chamfer + (self.layout.end or 0.0))
            self.sheet.line([(x, self.view.y(self.layout.land)), (x, low)], kind="wide")
        if self.apart:
            self._end_piece(low)

    def _break(self, left: float, right: float, low: float) -> None:
        for y in (low, low + 3.0):
            self.sheet.line(break_line(start=(left, y), end=(right, y), bulge=0.7))

    def _end_piece(self, low: float) -> None:
        """The shaft end by itself, where it lies too far away or nobody said how far."""
        found = self.layout
        left, right = self.start, self.start + self.piece * self.scale
        land = self.view.y(found.land)
        start = land if found.end_radius is None else self.view.y(found.end_radius)
        knee = min(left + found.end_chamfer * self.scale, right)
        self.sheet.line([(left, low), (left, start), (knee, land), (right, land)], kind="wide")
        self.sheet.line(break_line(start=(right, land), end=(right, low), bulge=0.8))
        if found.end_radius is not None:
            self.sheet.line([(knee, land), (knee, low)], kind="wide")
        if self.broken:
            self._break(left, right, low)
            self.sheet.line([(left, low + 3.0), (left, self.axis_y)], kind="wide")
            self.sheet.line(
                break_line(start=(right, low + 3.0), end=(right, self.axis_y), bulge=0.8)
            )

    def _sleeve(self) -> None:
        sleeve, found = self.drawing.sleeve, self.layout
        if sleeve is None:
            return
        inner = found.counterface - sleeve.wall_mm
        ring = self.view.points(
            [
                (found.sleeve_from, inner),
                (found.sleeve_from, found.counterface),
                (found.sleeve_to, found.counterface),
                (found.sleeve_to, inner),
            ]
        )
        thin = sleeve.wall_mm * self.scale < 1.2
        # A section too thin to hatch is blackened.
        if thin:
            self.sheet.area(ring, part="sleeve", fill="#000", line="")
        else:
            self.sheet.area(ring, part="sleeve", hatch=1.2, angle=135.0)

    def _seal(self) -> None:
        drawing, found = self.drawing, self.layout
        shape = seal_shape(
            width_mm=drawing.width_mm, height_mm=self.height, rubber_case=drawing.rubber_case
        )

        def placed(points: tuple[Point, ...], start: float) -> list[Point]:
            return self.view.points((start + u, found.counterface + v) for u, v in points)

        if drawing.shift_mm:
            old = placed(shape.rubber, found.old_from)
            self.sheet.line([*old, old[0]], kind="phantom", part="old lip")
        start = found.seal_from
        if shape.cover:
            self.sheet.area(placed(shape.cover, start), part="cover", fill="#777", line="narrow")
        self.sheet.area(placed(shape.rubber, start), part="rubber", fill="#777", line="narrow")
        self.sheet.area(placed(shape.case, start), part="case", hatch=0.9, angle=135.0)
        u, v = shape.spring_centre
        centre = self.view.at(start + u, found.counterface + v)
        radius = shape.spring_radius * self.scale
        self.sheet.circle(centre, radius, part="spring")
        self.sheet.circle(centre, radius * 0.45, kind="narrow")

    def _levels(self) -> None:
        """The level dimensions above the housing: seal, pocket, chamfer of the bore."""
        drawing, found, view = self.drawing, self.layout, self.view
        y = view.paper_y - 3.0
        bore = view.y(found.bore)
        if found.chamfer > 0:
            text = given(found.chamfer, drawing, read=found.chamfer_read)
            rise = found.chamfer * math.tan(math.radians(CHAMFER_DEG))
            across(
                self.sheet,
                start=view.at(0.0, found.bore + rise),
                end=(view.x(found.chamfer), bore),
                y=y,
                text=text,
                leftward=True,
            )
            y -= _LANE
        seal = found.seal_from
        across(
            self.sheet,
            start=(view.x(seal), bore),
            end=(view.x(seal + drawing.width_mm), bore),
            y=y,
            text=given(drawing.width_mm, drawing),
        )
        y -= _LANE
        across(
            self.sheet,
            start=(view.x(0.0), bore),
            end=(view.x(found.pocket), bore),
            y=y,
            text=given(
                found.pocket, drawing, read=found.pocket_read or drawing.room_mm is not None
            ),
        )

    def _diameters(self) -> float:
        """The diameters to the right; gives how far down the paper they reach."""
        drawing, found, view = self.drawing, self.layout, self.view
        edge, lowest = view.x(self.right), self.axis_y + 3.0
        shaft = drawing.land_mm or drawing.shaft_mm
        surfaces = [(found.land, shaft, edge), (found.bore, drawing.bore_mm, view.x(found.pocket))]
        for off, (radius, diameter, from_x) in zip(_DIAMETERS, surfaces, strict=True):
            reached = half_diameter(
                self.sheet,
                surface=(from_x, view.y(radius)),
                axis_y=self.axis_y,
                x=edge + off,
                text=given(diameter, drawing, sign=DIAMETER),
            )
            lowest = max(lowest, reached)
        return lowest

    def _lower_dimensions(self) -> float:
        """The level dimensions below the axis: what is measured along the shaft."""
        drawing, found, view = self.drawing, self.layout, self.view
        low = self.axis_y + 2.5
        land = view.y(found.land)
        y = low + 6.5
        rows: list[tuple[float, float, str, float, float]] = []
        if drawing.shift_mm:
            near, far = sorted((found.track, found.lip))
            text = given(abs(drawing.shift_mm), drawing)
            rows.append((view.x(near), view.x(far), text, land, land))
        end_x = None
        if self.joined and found.end is not None:
            end_x = view.x(found.end)
        elif found.end is not None:
            end_x = self.start
        if drawing.lip_at_mm is not None and end_x is not None:
            text = given(drawing.lip_at_mm, drawing)
            rows.append((end_x, view.x(found.track), text, self.axis_y, land))
        if drawing.sleeve is not None and end_x is not None and found.end is not None:
            for place in (found.sleeve_from, found.sleeve_to):
                text = given(place - found.end, drawing)
                rows.append((end_x, view.x(place), text, self.axis_y, land))
        elif drawing.sleeve is not None:
            text = given(drawing.sleeve.width_mm, drawing)
            rows.append((view.x(found.sleeve_from), view.x(found.sleeve_to), text, land, land))
        rows.sort(key=lambda row: row[1] - row[0])
        for left, right, text, left_y, right_y in rows:
            across(
                self.sheet,
                start=(left, left_y),
                end=(right, right_y),
                y=y,
                text=text,
                leftward=True,
            )
            y += _LANE
        return y - 3.0 if rows else low

    def _mark_detail(self) -> None:
        x, y = self.view.at(self.layout.track, self.layout.land)
        radius = 3.2
        self.sheet.circle((x, y), radius, fill="none", kind="narrow", part="detail mark")
        if self.axis_y - y > 14.0:
            knee, place, anchor = (x - 6.0, y + 6.0), (x - 6.4, y + 9.2), "end"
            start = (x - radius * 0.7, y + radius * 0.7)
        else:
            # A thin shaft leaves no room below its surface: the letter stands beside the view.
            edge = self.view.x(self.right)
            knee, place, anchor = (edge + 3.4, y - 3.0), (edge + 3.8, y - 1.4), "start"
            start = (x + radius * 0.7, y - radius * 0.7)
        self.sheet.line([start, knee])
        self.sheet.text(*place, "Z", size=4.6, anchor=anchor, bold=True)
