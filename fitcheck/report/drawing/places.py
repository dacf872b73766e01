"""Where to measure: one drawing for the blank bench sheet, with the sheet's own keys."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.report.drawing.bearing import rings
from fitcheck.report.drawing.bearing_shape import BearingDrawing
from fitcheck.report.drawing.dimension import across, half_diameter, leader, upright
from fitcheck.report.drawing.polygon import Point, break_line
from fitcheck.report.drawing.seal_layout import groove_profile
from fitcheck.report.drawing.seal_shape import seal_shape
from fitcheck.report.drawing.svg import LARGE, SMALL, TEXT, Sheet, text_width
from fitcheck.report.drawing.view import View, axis_line, heading

PAPER_MM = 120.0

# Letter, key of the bench sheet, what is read there, and with what; one list a panel.
SEAT = (
    ("A", "shaft", "land beside the track, top and bottom", "micrometer"),
    ("B", "track", "in the track, where it is deepest", "micrometer"),
    ("C", "bore", "housing bore, two directions", "bore gauge"),
    ("D", "pocket", "face to shoulder", "depth gauge"),
    ("E", "bore_chamfer", "lead-in of the bore, along the axis", "caliper"),
    ("F", "room", "free bore beyond the seal", "depth gauge"),
    ("G", "groove_width", "width of the track", "caliper"),
    ("H", "lip_at", "shaft end to the middle of the track", "caliper"),
    ("J", "shaft_end", "small end of the shaft's lead-in", "caliper"),
)
OLD_SEAL = (
    ("K", "old_od", "outside of the case, four directions", "caliper"),
    ("L", "old_lip", "free inside diameter of the lip", "caliper"),
    ("M", "old_width", "case without dust lip", "caliper"),
)
BEARING = (
    ("N", "bore", "of the cone, two directions", "bore gauge"),
    ("P", "od", "of the cup, two directions", "micrometer"),
    ("Q", "width", "assembled, cone seated in the cup", "depth gauge"),
    ("R", "cone_width", "cone alone", "caliper"),
    ("S", "cup_width", "cup alone", "caliper"),
    ("T", "journal", "where the cone sits, top and bottom", "micrometer"),
    ("U", "housing", "where the cup sits, two directions", "bore gauge"),
)
GAP = (("V", "measured", "gap under the cap without shims, at two bolts", "feeler"),)
NOT_TO_SCALE = "Not to scale; wear is drawn larger than life."
LEAVE_OUT = "Leave out what you can't reach."
PANELS = {"seat": SEAT, "old-seal": OLD_SEAL, "bearing": BEARING, "gap": GAP}


def places_svg(
    panels: Sequence[str] = ("seat", "old-seal", "bearing", "gap"), *, legend: bool = True
) -> str:
    """Draw where the readings of a bench sheet are taken.

    Parameters
    ----------
    panels : sequence of str
        What to show, one below the other.
    legend : bool
        Whether the letters are explained below, and a heading stands above. A page that has both
        of its own goes without.

    Returns
    -------
    str
        An SVG document of 120 mm width, not to scale, wear drawn larger than life.

    Raises
    ------
    InputError
        There is no such panel.
    """
    wrong = [name for name in panels if name not in PANELS]
    if wrong or not panels:
        raise InputError(
            value=", ".join(wrong) or "no panel",
            rule="there is nothing of that name to measure",
            todo=f"Use one of {', '.join(PANELS)}",
        )
    keys = [key for name in panels for _, key, _, _ in PANELS[name]]
    sheet = Sheet(
        width=PAPER_MM,
        title="Where to measure",
        description="Sections with a letter at each place of the bench sheet that is measured: "
        f"{', '.join(keys)}.",
    )
    y = 0.0
    if legend:
        y = heading(sheet, title="Where to measure", subtitle=f"{NOT_TO_SCALE} {LEAVE_OUT}")
    draw = {"seat": _seat, "old-seal": _old_seal, "bearing": _bearing, "gap": _gap}
    for name in panels:
        y = draw[name](sheet, y + 2.5)
        # Where the letters end, the next text begins lower.
        y = _legend(sheet, PANELS[name], y) if legend else y - 4.0
    return sheet.svg(y + 1.0)


def _legend(sheet: Sheet, panel: tuple[tuple[str, str, str, str], ...], y: float) -> float:
    for letter, key, what, tool in panel:
        sheet.text(6.0, y, letter, bold=True)
        sheet.text(12.0, y, key, size=SMALL, bold=True)
        start = 12.0 + text_width("groove_width", SMALL) * 1.15 + 2.0
        y = sheet.paragraph(start, y, f"{what}; {tool}", width=114.0 - start)
    return y


def _title(sheet: Sheet, text: str, y: float) -> float:
    sheet.text(6.0, y + 4.0, text, size=TEXT, bold=True)
    return y + 7.0


def _cut(sheet: Sheet, seat: list[Point], *, outer_y: float) -> None:
    """A housing between its seat and the break at the outside and to the right."""
    right = (seat[-1][0], outer_y)
    side = break_line(start=seat[-1], end=right, bulge=0.7)
    top = break_line(start=right, end=(seat[0][0], outer_y), bulge=0.7)
    sheet.area([*seat, *side[1:], *top[1:]], line="", hatch=2.4)
    sheet.line([top[-1], *seat], kind="wide")
    sheet.line([*side, *top[1:]])


def _seat(sheet: Sheet, y: float) -> float:
    y = _title(sheet, "The seat of a seal", y)
    land, bore, sunk, end_radius = 15.0, 24.0, 0.9, 12.8
    pocket, seal, width, chamfer = 13.0, 2.0, 8.0, 2.0
    track, track_width, end = 7.0, 2.6, -13.0
    view = View(scale=2.0, paper_x=50.0, paper_y=y + 19.0, radius_mm=bore + 4.5)
    rise = chamfer * math.tan(math.radians(20.0))
    seat = [
        (0.0, bore + rise),
        (chamfer, bore),
        (pocket, bore),
        (pocket, bore - 4.0),
        (pocket + 5.0, bore - 4.0),
    ]
    _cut(sheet, view.points(seat), outer_y=view.y(bore + 4.5))
    groove = groove_profile(centre_mm=track, width_mm=track_width, depth_mm=sunk, radius_mm=land)
    right = pocket + 5.0
    places = [(end, end_radius), (end + 6.0, land), *groove, (right, land)]
    surface = view.points(places)
    axis_y = view.y(0.0)
    sheet.area([*surface, (surface[-1][0], axis_y), (surface[0][0], axis_y)], line="")
    sheet.line([(surface[0][0], axis_y), *surface], kind="wide")
    sheet.line([surface[1], (surface[1][0], axis_y)], kind="wide")
    sheet.line(break_line(start=surface[-1], end=(surface[-1][0], axis_y), bulge=0.7))
    shape = seal_shape(width_mm=width, height_mm=bore - land)
    for part in (shape.case, shape.rubber):
        points = view.points((seal + u, land + v) for u, v in part)
        sheet.line([*points, points[0]], kind="phantom")
    axis_line(sheet, left=view.x(end) - 5.0, right=view.x(right) + 5.0, y=axis_y)
    top = view.y(bore + 4.5) - 3.5
    bore_y = view.y(bore)
    for near, far, letter in ((0.0, chamfer, "E"), (seal + width, pocket, "F"), (0.0, pocket, "D")):
        level = top if letter != "D" else top - 6.6
        across(
            sheet,
            start=(view.x(near), bore_y),
            end=(view.x(far), bore_y),
            y=level,
            text=letter,
            size=LARGE,
            leftward=letter == "E",
        )
    edge = view.x(right)
    bottom = land - sunk
    for off, radius, letter, from_x in (
        (7.0, bottom, "B", view.x(track)),
        (14.0, land, "A", edge),
        (21.0, bore, "C", view.x(pocket)),
    ):
        half_diameter(
            sheet,
            surface=(from_x, view.y(radius)),
            axis_y=axis_y,
            x=edge + off,
            text=letter,
            size=LARGE,
        )
    half_diameter(
        sheet,
        surface=view.at(end, end_radius),
        axis_y=axis_y,
        x=view.x(end) - 8.0,
        text="J",
        size=LARGE,
    )
    low = axis_y + 8.5
    half = track_width / 2.0
    across(
        sheet,
        start=view.at(track - half, land),
        end=view.at(track + half, land),
        y=low,
        text="G",
        size=LARGE,
    )
    across(
        sheet,
        start=(view.x(end), axis_y),
        end=view.at(track, bottom),
        y=low + 7.0,
        text="H",
        size=LARGE,
    )
    return low + 15.0


def _old_seal(sheet: Sheet, y: float) -> float:
    y = _title(sheet, "The old seal, out of the machine", y)
    land, bore, width = 14.0, 24.0, 9.0
    view = View(scale=2.0, paper_x=42.0, paper_y=y + 9.0, radius_mm=bore)
    shape = seal_shape(width_mm=width, height_mm=bore - land)
    for part, fill, hatch in ((shape.rubber, "#777", 0.0), (shape.case, "#fff", 0.9)):
        points = view.points((u, land + v) for u, v in part)
        sheet.area(points, fill=fill, hatch=hatch, angle=135.0, line="narrow")
    u, v = shape.spring_centre
    sheet.circle(view.at(u, land + v), shape.spring_radius * view.scale)
    axis_y = view.y(0.0)
    axis_line(sheet, left=view.x(0.0) - 6.0, right=view.x(width) + 6.0, y=axis_y)
    across(
        sheet, start=view.at(0.0, bore), end=view.at(width, bore), y=y + 5.0, text="M", size=LARGE
    )
    for off, radius, letter, from_x in (
        (8.0, land, "L", view.x(shape.lip_at)),
        (15.0, bore, "K", view.x(width)),
    ):
        half_diameter(
            sheet,
            surface=(from_x, view.y(radius)),
            axis_y=axis_y,
            x=view.x(width) + off,
            text=letter,
            size=LARGE,
        )
    return axis_y + 10.0


def _bearing(sheet: Sheet, y: float) -> float:
    y = _title(sheet, "A tapered bearing and its seats", y)
    drawing = BearingDrawing("", 26.0, 56.0, 19.0, 17.0, 14.0, 0.4)
    view = View(scale=2.0, paper_x=34.0, paper_y=y + 23.0, radius_mm=32.0)
    seat = [(-6.0, 28.0), (19.0, 28.0), (19.0, 24.5), (25.0, 24.5)]
    _cut(sheet, view.points(seat), outer_y=view.y(32.0))
    surface = view.points([(-6.0, 16.0), (0.0, 16.0), (0.0, 13.0), (25.0, 13.0)])
    axis_y = view.y(0.0)
    left, right = surface[0], surface[-1]
    sheet.area([*surface, (right[0], axis_y), (left[0], axis_y)], line="")
    sheet.line(surface, kind="wide")
    sheet.line(break_line(start=(left[0], axis_y), end=left, bulge=0.7))
    sheet.line(break_line(start=right, end=(right[0], axis_y), bulge=0.7))
    rings(sheet, view, drawing, at=0.0)
    axis_line(sheet, left=left[0] - 5.0, right=right[0] + 5.0, y=axis_y)
    level = view.paper_y - 3.5
    for near, far, letter, low, high in (
        (5.0, 19.0, "S", 28.0, 28.0),
        (0.0, 17.0, "R", 20.0, 17.0),
        (0.0, 19.0, "Q", 20.0, 28.0),
    ):
        across(
            sheet,
            start=view.at(near, low),
            end=view.at(far, high),
            y=level,
            text=letter,
            size=LARGE,
        )
        level -= 7.0
    for off, radius, letter, from_x in (
        (9.0, 13.0, "N", right[0]),
        (17.0, 28.0, "P", view.x(19.0)),
    ):
        half_diameter(
            sheet,
            surface=(from_x, view.y(radius)),
            axis_y=axis_y,
            x=right[0] + off,
            text=letter,
            size=LARGE,
        )
    tip = view.at(8.0, 13.0)
    leader(sheet, tip=tip, knee=(tip[0] + 4.0, tip[1] + 12.0), text="T", size=LARGE)
    tip = view.at(2.0, 28.0)
    leader(sheet, tip=tip, knee=(tip[0] - 12.0, tip[1] + 9.0), text="U", size=LARGE, left=True)
    return axis_y + 10.0


def _gap(sheet: Sheet, y: float) -> float:
    y = _title(sheet, "The gap under a cap", y)
    left, right, gap = 24.0, 84.0, 3.0
    face = y + 16.0
    cap = [(left, y + 6.0), (left, face), (left + 22.0, face), (left + 22.0, face + 9.0)]
    cap += [(left + 40.0, face + 9.0), (left + 40.0, face), (right, face), (right, y + 6.0)]
    sheet.area(cap, hatch=2.4, angle=135.0)
    for near, far in ((left, left + 21.0), (left + 41.0, right)):
        low = face + gap + 10.0
        body = [(near, face + gap), (far, face + gap), (far, low), (near, low)]
        sheet.area(body, hatch=2.4)
    upright(
        sheet,
        low=(right, face + gap),
        high=(right, face),
        x=right + 6.0,
        text="V",
        size=LARGE,
        above=True,
    )
    sheet.text((left + right) / 2.0, y + 4.0, "cap", anchor="middle", size=SMALL)
    sheet.text(left - 2.0, face + gap + 7.0, "housing", anchor="end", size=SMALL)
    return face + gap + 17.0
