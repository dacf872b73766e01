"""Two tapered bearings on a spindle and in a hub, with the shims that set them."""

from __future__ import annotations

from fitcheck.records import dataclass
from fitcheck.report.drawing.bearing import rings
from fitcheck.report.drawing.bearing_shape import BearingDrawing
from fitcheck.report.drawing.dimension import (
    DIAMETER,
    across,
    half_diameter,
    leader,
    unit_text,
    value_text,
)
from fitcheck.report.drawing.pair_drawing import PairDrawing, arrangement, check_pair
from fitcheck.report.drawing.polygon import Point, break_line
from fitcheck.report.drawing.scale import largest_scale, scale_caption
from fitcheck.report.drawing.svg import TEXT, Sheet, text_width
from fitcheck.report.drawing.view import View, axis_line, heading, notes

PAPER_MM = 120.0
_ROOM_X, _ROOM_Y, _STUB = 70.0, 80.0, 21.0
_SECTION_MM = 14.0
_GAP = 4.0
_LANE = 6.6
_LEFT = 22.5
# Shims are drawn as thick as this on the paper, whatever they are.
_SHIM = 0.9


@dataclass(frozen=True, slots=True)
class _Part:
    """One half of the view: a bearing, and how far it is shown to both sides of its cone's back."""

    bearing: BearingDrawing
    view: View
    left: float
    right: float
    mirrored: bool

    @property
    def inner(self) -> float:
        return self.bearing.bore_mm / 2.0

    @property
    def outer(self) -> float:
        return self.bearing.od_mm / 2.0

    @property
    def height(self) -> float:
        return self.outer - self.inner


def pair_svg(drawing: PairDrawing) -> str:
    """Draw two tapered bearings on a spindle and in a hub, with their shims.

    Parameters
    ----------
    drawing : PairDrawing
        The bearings and where the shims sit.

    Returns
    -------
    str
        An SVG document of 120 mm width; the bearings are to the stated scale, their distance is
        shortened and the shims are thickened, which the drawing says.

    Raises
    ------
    InputError
        The dimensions can't be those of bearings, or there is no such position of shims.

    Notes
    -----
    Under a cap or retainer that holds a cup the bearings stand face to face, the backs of their
    cups outward; with a nut, a spacer or shims behind a cup they stand back to back.
    """
    check_pair(drawing)
    names = f"{drawing.outer.designation} and {drawing.inner.designation}"
    sheet = Sheet(
        width=PAPER_MM,
        title=f"Tapered bearings {names}" + (f", {drawing.title}" if drawing.title else ""),
        description=f"Half-section to scale of the tapered bearings {names} on a shaft and in a "
        f"hub, {arrangement(drawing)}.",
    )
    y = heading(
        sheet, title=drawing.title or "Tapered bearings", subtitle=f"Tapered bearings {names}"
    )
    pair = _Pair(sheet, drawing, top=y)
    y = notes(sheet, pair.draw(), y=pair.bottom)
    return sheet.svg(y + 1.0)


class _Pair:
    def __init__(self, sheet: Sheet, drawing: PairDrawing, *, top: float) -> None:
        self.sheet, self.drawing = sheet, drawing
        outer, inner = drawing.outer, drawing.inner
        facing = drawing.face_to_face
        spans = []
        for bearing, mirrored in ((outer, facing), (inner, not facing)):
            wide = max(bearing.width_mm, bearing.cone_width_mm)
            spans.append((-wide, 0.0) if mirrored else (0.0, wide))
        ends = max(outer.width_mm, inner.width_mm)
        left_from, left_to = spans[0][0] - 0.62 * outer.width_mm, spans[0][1] + 0.16 * ends
        right_from, right_to = spans[1][0] - 0.16 * ends, spans[1][1] + 0.34 * inner.width_mm
        along = left_to - left_from + right_to - right_from
        self.rim = max(outer.od_mm, inner.od_mm) / 2.0 + 0.3 * max(
            (b.od_mm - b.bore_mm) / 2.0 for b in (outer, inner)
        )
        least = min(outer.bore_mm, inner.bore_mm) / 2.0
        heights = [(b.od_mm - b.bore_mm) / 2.0 for b in (outer, inner)]
        whole = largest_scale(extents=[(along, _ROOM_X), (self.rim, _ROOM_Y)])
        self.broken, self.scale = False, whole
        if whole * min(heights) < _SECTION_MM:
            closer = largest_scale(extents=[(along, _ROOM_X), (self.rim - least, _ROOM_Y - _STUB)])
            self.broken, self.scale = closer > whole, max(closer, whole)
        start = _LEFT + max(0.0, (_ROOM_X - along * self.scale) / 2.0)
        lanes = 2 if drawing.face_to_face else 1
        paper_y = top + 4.0 + lanes * _LANE
        first = View(
            scale=self.scale,
            paper_x=start - left_from * self.scale,
            paper_y=paper_y,
            radius_mm=self.rim,
        )
        second = View(
            scale=self.scale,
            paper_x=first.x(left_to) + _GAP - right_from * self.scale,
            paper_y=paper_y,
            radius_mm=self.rim,
        )
        self.outer = _Part(outer, first, left_from, left_to, facing)
        self.inner = _Part(inner, second, right_from, right_to, not facing)
        low = first.y(least)
        self.low = low + _STUB if self.broken else first.y(0.0)
        self.axis_y = self.low + 8.0 if self.broken else self.low
        self.bottom, self.lowest = 0.0, self.axis_y + 3.0

    def draw(self) -> list[str]:
        """Draw it all; gives the remarks that belong below."""
        left, right = self.outer.view.x(self.outer.left), self.inner.view.x(self.inner.right)
        self.lowest = self._dimensions(left, right)
        if self.drawing.face_to_face:
            self._housed()
        else:
            self._hub()
        for part in (self.outer, self.inner):
            rings(self.sheet, part.view, part.bearing, at=0.0, mirrored=part.mirrored)
        axis_line(self.sheet, left=left - 5.0, right=right + 5.0, y=self.axis_y)
        self.bottom = self.lowest + 9.0
        scale_caption(
            self.sheet,
            x=6.0,
            y=self.bottom,
            name="Half-section",
            scale=self.scale,
            unit=self.drawing.unit,
        )
        self.bottom += 8.0
        words = arrangement(self.drawing)
        shims = "The shims are drawn thicker than they are. " if self.drawing.position else ""
        return [
            f"{unit_text(self.drawing.unit)} The bearings are to scale; their distance is "
            f"shortened between the break lines. {shims}What is inside the bearings, hub, nut and "
            "cap are not to size.",
            f"{words[0].upper()}{words[1:]}.",
            *self.drawing.remarks,
        ]

    # --- back to back: a hub on a spindle, set by the nut, a spacer, or shims behind a cup --------

    def _hub(self) -> None:
        o, i = self.outer, self.inner
        shimmed = _SHIM / self.scale if self.drawing.position == "behind-cup" else 0.0
        face = -0.3 * o.bearing.width_mm
        back = o.bearing.width_mm + shimmed
        step = 0.24 * o.height
        self._section(
            o,
            [
                (face, self.rim),
                (face, o.outer),
                (back, o.outer),
                (back, o.outer - step),
                (o.right, o.outer - step),
                (o.right, self.rim),
            ],
        )
        step = 0.24 * i.height
        self._section(
            i,
            [
                (i.left, self.rim),
                (i.left, i.outer - step),
                (-i.bearing.width_mm, i.outer - step),
                (-i.bearing.width_mm, i.outer),
                (0.3 * i.bearing.width_mm, i.outer),
                (0.3 * i.bearing.width_mm, self.rim),
            ],
        )
        end = -0.62 * o.bearing.width_mm
        self._shaft(o, [(end, o.inner), (o.right, o.inner)], end_left=True)
        shoulder = i.inner + 0.24 * i.height
        self._shaft(i, [(i.left, i.inner), (0.0, i.inner), (0.0, shoulder), (i.right, shoulder)])
        nut = (-0.5 * o.bearing.width_mm, o.inner, 0.0, o.inner + 0.4 * o.height)
        self._box(o, nut, name="nut")
        if self.drawing.position == "behind-cup":
            tip = self._box(
                o,
                (o.bearing.width_mm, o.outer - 0.5 * o.height, back, o.outer),
                name="shims",
                fill="#000",
            )
            self._say_shims((tip[0], o.view.y(o.outer - 0.4 * o.height)))
        if self.drawing.position == "spacer":
            self._spacer()

    def _spacer(self) -> None:
        o, i = self.outer, self.inner
        thick = _SHIM / self.scale
        start = o.bearing.cone_width_mm
        top = o.inner + 0.20 * o.height
        tip = self._box(o, (start, o.inner, start + thick, top), name="shims", fill="#000")
        self._box(o, (start + thick, o.inner, o.right, top), name="spacer", hatch=1.0)
        top = i.inner + 0.20 * i.height
        self._box(i, (i.left, i.inner, -i.bearing.cone_width_mm, top), name="spacer", hatch=1.0)
        self._say_shims((tip[0], o.view.y(o.inner + 0.15 * o.height)))

    # --- face to face: cups held in a housing by a cap or retainer --------------------------------

    def _housed(self) -> None:
        o, i = self.outer, self.inner
        thick = _SHIM / self.scale
        width = o.bearing.width_mm
        face = -1.18 * width
        self._section(
            o,
            [(face, self.rim), (face, o.outer), (o.right, o.outer), (o.right, self.rim)],
        )
        step = 0.24 * i.height
        self._section(
            i,
            [
                (i.left, self.rim),
                (i.left, i.outer),
                (i.bearing.width_mm, i.outer),
                (i.bearing.width_mm, i.outer - step),
                (i.right, i.outer - step),
                (i.right, self.rim),
            ],
        )
        shoulder = o.inner + 0.24 * o.height
        end = -o.bearing.cone_width_mm - 0.10 * width
        self._shaft(
            o, [(end, o.inner), (0.0, o.inner), (0.0, shoulder), (o.right, shoulder)], end_left=True
        )
        shoulder = i.inner + 0.24 * i.height
        self._shaft(i, [(i.left, shoulder), (0.0, shoulder), (0.0, i.inner), (i.right, i.inner)])
        plate, outside = face - thick, face - thick - 0.32 * width
        bore = o.outer - 0.30 * o.height
        cap = [
            (outside, self.rim * 0.99),
            (plate, self.rim * 0.99),
            (plate, o.outer),
            (-width, o.outer),
            (-width, bore),
        ]
        if self.drawing.position == "cap":
            # A cap closes the bore down to the axis; a retainer is a ring.
            inside = plate - 0.04 * width
            cap += [(inside, bore), (inside, o.inner + 0.02 * o.height)]
            cap += [(outside, o.inner + 0.02 * o.height)]
            cap[-2:] = [(inside, 0.0), (outside, 0.0)]
        else:
            cap += [(outside, bore)]
        points = o.view.points(cap)
        if self.drawing.position == "cap":
            # The part of it below the seat is as shortened as the shaft is.
            points[-2:] = [(points[-2][0], self.axis_y), (points[-1][0], self.axis_y)]
        self.sheet.area(points, part=self.drawing.position, hatch=1.7, angle=135.0)
        tip = self._box(o, (plate, o.outer, face, self.rim * 0.99), name="shims", fill="#000")
        self._say_shims((tip[0], o.view.y(self.rim * 0.99 - 0.1 * o.height)), up=True)

    # --- pieces -----------------------------------------------------------------------------------

    def _section(self, part: _Part, places: list[Point]) -> None:
        """Hub or housing: outside and the side towards the other bearing are broken off."""
        edge = part.view.points(places)
        outside = break_line(start=edge[-1], end=edge[0], bulge=0.6)
        self.sheet.area([*edge, *outside[1:-1]], part="hub", line="", hatch=2.2)
        self.sheet.line(outside)
        if part is self.outer:
            self.sheet.line(edge[:-1], kind="wide")
            self.sheet.line(break_line(start=edge[-2], end=edge[-1], bulge=0.6))
        else:
            self.sheet.line(edge[1:-1], kind="wide")
            self.sheet.line(break_line(start=edge[1], end=edge[0], bulge=0.6))
            last = edge[-2:]
            kind = "wide" if self.drawing.face_to_face is False else "narrow"
            self.sheet.line(last, kind=kind)

    def _shaft(self, part: _Part, places: list[Point], *, end_left: bool = False) -> None:
        surface = part.view.points(places)
        left, right = surface[0], surface[-1]
        self.sheet.area(
            [*surface, (right[0], self.low), (left[0], self.low)], part="shaft", line=""
        )
        self.sheet.line(surface, kind="wide", part="journal")
        pieces = [(left[1], right[1], self.low)]
        if self.broken:
            for y in (self.low, self.low + 3.0):
                self.sheet.line(break_line(start=(left[0], y), end=(right[0], y), bulge=0.5))
            pieces.append((self.low + 3.0, self.low + 3.0, self.axis_y))
        for left_y, right_y, bottom in pieces:
            if end_left:
                self.sheet.line([(left[0], left_y), (left[0], bottom)], kind="wide")
            else:
                self.sheet.line(
                    break_line(start=(left[0], bottom), end=(left[0], left_y), bulge=0.6)
                )
            self.sheet.line(
                break_line(start=(right[0], right_y), end=(right[0], bottom), bulge=0.6)
            )

    def _box(
        self,
        part: _Part,
        box: tuple[float, float, float, float],
        *,
        name: str,
        fill: str = "#fff",
        hatch: float = 0.0,
    ) -> Point:
        """A ring of rectangular section; gives the middle of its top on the paper."""
        left, low, right, high = box
        points = part.view.points([(left, low), (left, high), (right, high), (right, low)])
        self.sheet.area(
            points, part=name, fill=fill, line="" if fill == "#000" else "wide", hatch=hatch
        )
        return (points[1][0] + points[2][0]) / 2.0, points[1][1]

    def _say_shims(self, tip: Point, *, up: bool = False) -> None:
        pack = self.drawing.pack_mm
        text = "shims"
        if pack is not None:
            text += f" {value_text(value_mm=pack, unit=self.drawing.unit)}"
        # Beside the view stand the diameters, so the text goes where there is room for it: within
        # the view, or where that is too narrow in a lane of its own below everything.
        wide = text_width(text, TEXT) + 1.0
        if up:
            y, left = self.outer.view.paper_y - 3.5 - _LANE, tip[0] - 4.0 - wide > 2.0
        else:
            room = self.inner.view.x(self.inner.right) - tip[0]
            left, y = False, self.low - 4.0
            if room < wide + 3.0:
                self.lowest += _LANE
                y = self.lowest
        knee = (tip[0] + (-4.0 if left else 3.0), y)
        leader(self.sheet, tip=tip, knee=knee, text=text, left=left)

    def _dimensions(self, left: float, right: float) -> float:
        """Widths and diameters; gives how far down the paper they reach."""
        lowest = self.lowest
        top = self.outer.view.paper_y - 3.5
        unit = self.drawing.unit
        for part in (self.outer, self.inner):
            wide = part.bearing.width_mm
            near, far = (-wide, 0.0) if part.mirrored else (0.0, wide)
            # The back of the cone stands lower than the cup: the line starts where it is seen.
            radii = (part.outer, part.inner + 0.5 * part.height)
            low, high = radii if part.mirrored else radii[::-1]
            across(
                self.sheet,
                start=part.view.at(near, low),
                end=part.view.at(far, high),
                y=top,
                text=f"T {value_text(value_mm=wide, unit=unit)}",
                leftward=part is self.outer,
            )
        for part, edge, side in ((self.outer, left, -1.0), (self.inner, right, 1.0)):
            bearing = part.bearing
            cup = bearing.width_mm * (-1.0 if part.mirrored else 1.0)
            near_x = part.view.x(0.0)
            inner_from = part.view.x(-bearing.cone_width_mm if part.mirrored else 0.0)
            outer_from = part.view.x(min(0.0, cup) if side < 0 else max(0.0, cup))
            inner_from = edge if side > 0 else min(inner_from, near_x)
            for off, radius, value, from_x in (
                (8.0, part.inner, bearing.bore_mm, inner_from),
                (16.5, part.outer, bearing.od_mm, outer_from),
            ):
                reached = half_diameter(
                    self.sheet,
                    surface=(from_x, part.view.y(radius)),
                    axis_y=self.axis_y,
                    x=edge + side * off,
                    text=DIAMETER + value_text(value_mm=value, unit=unit),
                )
                lowest = max(lowest, reached)
        return lowest
