"""The enlarged detail of a worn counterface: the groove, a sleeve over it, the lip beside it."""

from __future__ import annotations

from fitcheck.report.drawing.dimension import across, upright, value_text
from fitcheck.report.drawing.polygon import Point, framed_area
from fitcheck.report.drawing.scale import SCALES, scale_caption, scale_text
from fitcheck.report.drawing.seal_layout import (
    USUAL_GROOVE_MM,
    SealDrawing,
    SealLayout,
    groove_profile,
)
from fitcheck.report.drawing.seal_shape import seal_shape
from fitcheck.report.drawing.svg import SMALL, TEXT, Sheet, text_width
from fitcheck.report.drawing.view import View

_FRAME_LEFT, _FRAME_WIDTH, _FRAME_HEIGHT = 6.0, 108.0, 46.0
# How much taller the frame is where a moved lip has a dimension of its own.
_LANE = 7.0
# Where the land runs in the frame, from its top; above it stand lip and sleeve.
_LAND = 24.0
# What is thinner than this on the paper is no drawing of it.
_VISIBLE = 1.5
_TALLEST = 8.0
_MOST = 100.0


def wants_detail(drawing: SealDrawing) -> bool:
    """Whether something is drawn that the half-section is too small to show."""
    thick = drawing.sleeve is not None and drawing.sleeve.turned_mm is not None
    return not thick and bool(drawing.groove_depth_mm or drawing.sleeve)


def frame_height(drawing: SealDrawing) -> float:
    """The height of the detail's frame [mm of paper]."""
    return _FRAME_HEIGHT + (_LANE if drawing.shift_mm else 0.0)


def detail_scales(drawing: SealDrawing, layout: SealLayout) -> tuple[float, float]:
    """The scales along and off the axis: one and the same wherever that shows everything.

    Parameters
    ----------
    drawing : SealDrawing
        What is drawn.
    layout : SealLayout
        Where it lies.

    Examples
    --------
    >>> from fitcheck.report.drawing.seal_layout import seal_layout
    >>> worn = SealDrawing("35 x 52 x 7", 35.0, 52.0, 7.0, groove_depth_mm=0.13, groove_width_mm=1)
    >>> detail_scales(worn, seal_layout(worn))
    (50.0, 50.0)
    """
    width = drawing.groove_width_mm or USUAL_GROOVE_MM
    span = width * 1.25 + abs(layout.lip - layout.track)
    along = next(s for s in SCALES if s <= _MOST and span * s <= _FRAME_WIDTH * 0.72)
    depth = drawing.groove_depth_mm or 0.0
    wall = drawing.sleeve.wall_mm if drawing.sleeve else 0.0
    heights = [h for h in (depth, wall) if h > 0]
    fits = [s for s in SCALES if max(heights) * s <= _TALLEST]
    if along in fits and min(heights) * along >= _VISIBLE:
        return along, along
    if along not in fits:
        return fits[0], fits[0]
    # Too shallow to be seen at a scale that has room for its width: enlarged more off the axis.
    steeper = [s for s in fits if s >= along and s <= 1000.0]
    visible = [s for s in steeper if min(heights) * s >= _VISIBLE]
    return along, visible[-1] if visible else steeper[0]


def detail(sheet: Sheet, drawing: SealDrawing, layout: SealLayout, *, top: float) -> float:
    """Draw the detail Z below a height of the paper.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    drawing : SealDrawing
        What is drawn.
    layout : SealLayout
        Where it lies.
    top : float
        Where it may start [mm of paper].

    Returns
    -------
    float
        Where it ends [mm of paper].
    """
    along, off = detail_scales(drawing, layout)
    words = (
        scale_text(along)
        if along == off
        else f"along the axis {scale_text(along)}, off it {scale_text(off)}"
    )
    frame_top = top + 3.0
    if along == off:
        scale_caption(sheet, x=6.0, y=top, name="Detail Z", scale=along, unit=drawing.unit)
    else:
        sheet.text(6.0, top, f"Detail Z {words}", bold=True, part="scale")
        for x, name, scale in ((6.0, "Along", along), (62.0, "Off", off)):
            scale_caption(
                sheet, x=x, y=top + 5.5, name=name, scale=scale, unit=drawing.unit, longest=14.0
            )
        frame_top += 5.5
    _Detail(sheet, drawing, layout, along=along, off=off, top=frame_top).draw()
    return frame_top + frame_height(drawing) + 5.0


class _Detail:
    def __init__(
        self,
        sheet: Sheet,
        drawing: SealDrawing,
        layout: SealLayout,
        *,
        along: float,
        off: float,
        top: float,
    ) -> None:
        self.sheet, self.drawing, self.layout = sheet, drawing, layout
        self.top, self.bottom = top, top + frame_height(drawing)
        self.left, self.right = _FRAME_LEFT, _FRAME_LEFT + _FRAME_WIDTH
        self.view = View(
            scale=along,
            radial=off,
            paper_x=_FRAME_LEFT + _FRAME_WIDTH * 0.46,
            paper_y=top + _LAND,
            along_mm=(layout.track + layout.lip) / 2.0,
            radius_mm=layout.land,
        )

    def draw(self) -> None:
        """Shaft, filler, sleeve and lip, cut off at the frame, and their dimensions."""
        drawing, found, view = self.drawing, self.layout, self.view
        width = drawing.groove_width_mm or USUAL_GROOVE_MM
        depth = drawing.groove_depth_mm or 0.0
        profile = view.points(
            groove_profile(
                centre_mm=found.track, width_mm=width, depth_mm=depth, radius_mm=found.land
            )
        )
        land = view.y(found.land)
        surface = [(self.left, land), *profile, (self.right, land)]
        self._area([*surface, (self.right, self.bottom), (self.left, self.bottom)], fill="#eee")
        if drawing.filled and depth:
            self._area(profile, fill="#bbb", part="filler")
        self.sheet.line(surface, kind="wide", part="groove")
        self._sleeve()
        self._lip()
        self.sheet.line(
            [
                (self.left, self.top),
                (self.right, self.top),
                (self.right, self.bottom),
                (self.left, self.bottom),
                (self.left, self.top),
            ],
            kind="frame",
        )
        self._dimensions(width, depth, land)

    def _area(self, points: list[Point], *, fill: str, part: str = "", line: str = "") -> None:
        inside = framed_area(
            points, left=self.left, top=self.top, right=self.right, bottom=self.bottom
        )
        self.sheet.area(inside, fill=fill, part=part, line=line)

    def _sleeve(self) -> None:
        sleeve, found = self.drawing.sleeve, self.layout
        if sleeve is None:
            return
        ring = [
            (found.sleeve_from, found.land),
            (found.sleeve_from, found.counterface),
            (found.sleeve_to, found.counterface),
            (found.sleeve_to, found.land),
        ]
        inside = framed_area(
            self.view.points(ring),
            left=self.left,
            top=self.top,
            right=self.right,
            bottom=self.bottom,
        )
        self.sheet.area(inside, part="sleeve detail", hatch=1.3, angle=135.0, line="wide")

    def _lip(self) -> None:
        drawing, found = self.drawing, self.layout
        shape = seal_shape(
            width_mm=drawing.width_mm,
            height_mm=found.bore - found.counterface,
            rubber_case=drawing.rubber_case,
        )
        points = self.view.points(
            (found.seal_from + u, found.counterface + v) for u, v in shape.rubber
        )
        self._area(points, fill="#777", part="lip detail", line="narrow")
        inside = framed_area(
            points, left=self.left, top=self.top, right=self.right, bottom=self.bottom
        )
        edge = max(x for x, _ in inside) + 2.0
        fits = edge + 8.0 < self.right
        x = edge if fits else min(x for x, _ in inside) - 2.0
        self.sheet.text(x, self.top + 5.0, "lip", size=SMALL, anchor="start" if fits else "end")
        self.sheet.text(self.left + 3.0, self.bottom - 3.0, "shaft", size=SMALL)

    def _dimensions(self, width: float, depth: float, land: float) -> None:
        drawing, found, view = self.drawing, self.layout, self.view
        track = view.x(found.track)
        if depth:
            text = f"groove {value_text(value_mm=depth, unit=drawing.unit)}"
            edge = track + width / 2.0 * view.scale
            moved = found.lip > found.track
            wide = text_width(text, TEXT)
            x = (track - width / 2.0 * view.scale - wide - 3.0) if moved else edge + 5.0
            x = min(max(x, self.left + 4.0), self.right - wide - 3.0)
            bottom = land + depth * (view.radial or view.scale)
            upright(self.sheet, low=(track, bottom), high=(track, land), x=x, text=text)
            given = drawing.groove_width_mm is not None
            words = value_text(value_mm=width, unit=drawing.unit)
            across(
                self.sheet,
                start=(track - width / 2.0 * view.scale, land),
                end=(edge, land),
                y=self.bottom - 4.0,
                text=words if given else f"({words})",
            )
        near = max(view.x(found.sleeve_from), self.left)
        # A sleeve that lies elsewhere on the shaft is not in the frame.
        if drawing.sleeve is not None and near < self.right and view.x(found.sleeve_to) > self.left:
            text = f"sleeve {value_text(value_mm=drawing.sleeve.wall_mm, unit=drawing.unit)}"
            x = min(near + 9.0, self.right - text_width(text, TEXT) - 3.0)
            upright(
                self.sheet,
                low=(x - 3.0, land),
                high=(x - 3.0, view.y(found.counterface)),
                x=x,
                text=text,
                above=True,
            )
        if drawing.shift_mm:
            near, far = sorted((track, view.x(found.lip)))
            across(
                self.sheet,
                start=(near, land),
                end=(far, land),
                y=self.bottom - 4.0 - _LANE,
                text=value_text(value_mm=abs(drawing.shift_mm), unit=drawing.unit),
            )
