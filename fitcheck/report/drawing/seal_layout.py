"""Where everything of a seal's seat lies along and off the axis, from what was read."""

from __future__ import annotations

import math

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.report.drawing.polygon import Point
from fitcheck.report.drawing.seal_shape import lip_place_mm

# Lead-in chamfers are drawn at this angle, inside the 15 to 30 degrees that standards ask for.
CHAMFER_DEG = 20.0
# No seal runs on a shaft that is further than this share off the one it is made for: such a land
# was read somewhere else, or of another seal. Common practice, no source.
_OTHER_SHAFT = 0.1
# A groove whose width was not measured is drawn as wide as this.
USUAL_GROOVE_MM = 1.5


@dataclass(frozen=True, slots=True)
class SleeveDrawing:
    """A sleeve over the worn track: wall, width, and its near edge from the shaft end.

    ``turned_mm`` is the diameter the shaft is turned to under a thick sleeve.
    """

    wall_mm: float
    width_mm: float
    near_mm: float | None = None
    turned_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Standard:
    """What the standard asks where nothing was measured; drawn in brackets."""

    pocket_mm: float | None = None
    bore_chamfer_mm: float | None = None
    shaft_end_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SealDrawing:
    """A lip seal in its bore, as it is to be drawn; what was not measured is None.

    ``shaft_mm``, ``bore_mm`` and ``width_mm`` are the size of the seal. ``land_mm`` is the unworn
    counterface, ``lip_at_mm`` the distance of the track from the shaft end, ``room_mm`` the free
    bore beyond the seal, ``shift_mm`` how much deeper the seal is moved (outward below zero),
    ``shaft_end_mm`` the small end of the shaft's chamfer. ``unit`` is that of the figures.
    """

    size: str
    shaft_mm: float
    bore_mm: float
    width_mm: float
    title: str = ""
    unit: str = "mm"
    rubber_case: bool = False
    land_mm: float | None = None
    groove_depth_mm: float | None = None
    groove_width_mm: float | None = None
    filled: bool = False
    lip_at_mm: float | None = None
    pocket_mm: float | None = None
    room_mm: float | None = None
    shift_mm: float | None = None
    sleeve: SleeveDrawing | None = None
    shaft_end_mm: float | None = None
    bore_chamfer_mm: float | None = None
    standard: Standard = Standard()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SealLayout:
    """Places in mm: along the axis from the face of the housing inward, and radii.

    ``old_from`` is where the seal stood that wore the track; ``end`` is the shaft end.
    """

    seal_from: float
    old_from: float
    lip: float
    track: float
    end: float | None
    pocket: float
    pocket_read: bool
    chamfer: float
    chamfer_read: bool
    land: float
    counterface: float
    bore: float
    end_radius: float | None
    end_read: bool
    sleeve_from: float
    sleeve_to: float

    @property
    def end_chamfer(self) -> float:
        """How far the lead-in chamfer of the shaft reaches along it."""
        if self.end_radius is None:
            return 0.0
        return (self.land - self.end_radius) / math.tan(math.radians(CHAMFER_DEG))


def seal_layout(drawing: SealDrawing) -> SealLayout:
    """Work out where everything lies.

    Raises
    ------
    InputError
        A dimension is not what it can be: not above zero, or the bore no larger than the shaft.

    Examples
    --------
    >>> found = seal_layout(SealDrawing("35 x 52 x 7", 35.0, 52.0, 7.0, pocket_mm=9.0))
    >>> found.land, found.bore, found.pocket
    (17.5, 26.0, 9.0)
    """
    _check(drawing)
    standard, width = drawing.standard, drawing.width_mm
    chamfer = _first(drawing.bore_chamfer_mm, standard.bore_chamfer_mm, 0.0)
    land = _first(drawing.land_mm, drawing.shaft_mm) / 2.0
    pocket = drawing.pocket_mm
    if pocket is None and drawing.room_mm is not None:
        old_from = min(chamfer, width)
        pocket = old_from + width + drawing.room_mm
    else:
        pocket = _first(pocket, standard.pocket_mm, width + chamfer)
        # Past the chamfer where the pocket is deep enough, else down on the shoulder.
        deepest = pocket - width
        old_from = min(chamfer, deepest) if drawing.room_mm is None else deepest - drawing.room_mm
    shift = drawing.shift_mm or 0.0
    lip_place = lip_place_mm(width_mm=width)
    track, lip = old_from + lip_place, old_from + shift + lip_place
    end = None if drawing.lip_at_mm is None else track - drawing.lip_at_mm
    sleeve_from = sleeve_to = counterface = 0.0
    if drawing.sleeve is not None:
        sleeve = drawing.sleeve
        sleeve_from = (track + lip) / 2.0 - sleeve.width_mm / 2.0
        if end is not None and sleeve.near_mm is not None:
            sleeve_from = end + sleeve.near_mm
        sleeve_to = sleeve_from + sleeve.width_mm
        if not sleeve_from <= lip <= sleeve_to:
            raise InputError(
                value=f"sleeve from {sleeve_from - (end or 0.0):g} to {sleeve_to - (end or 0.0):g} "
                "mm of the shaft",
                rule="the lip does not run on it",
                todo="Check where the track lies and how wide the sleeve is",
            )
        seat = land if sleeve.turned_mm is None else sleeve.turned_mm / 2.0
        counterface = seat + sleeve.wall_mm
    end_diameter = _first(drawing.shaft_end_mm, standard.shaft_end_mm, 0.0)
    end_radius = end_diameter / 2.0 if 0.0 < end_diameter / 2.0 < land else None
    return SealLayout(
        seal_from=old_from + shift,
        old_from=old_from,
        lip=lip,
        track=track,
        end=end,
        pocket=pocket,
        pocket_read=drawing.pocket_mm is not None,
        chamfer=chamfer,
        chamfer_read=drawing.bore_chamfer_mm is not None,
        land=land,
        counterface=counterface or land,
        bore=drawing.bore_mm / 2.0,
        end_radius=end_radius,
        end_read=drawing.shaft_end_mm is not None,
        sleeve_from=sleeve_from,
        sleeve_to=sleeve_to,
    )


def _first(*values: float | None) -> float:
    """The first of several values that is there; the last one always is."""
    return next(value for value in values if value is not None)


def _check(drawing: SealDrawing) -> None:
    named = {
        "shaft": drawing.shaft_mm,
        "bore": drawing.bore_mm,
        "width": drawing.width_mm,
        "land": drawing.land_mm,
        "groove width": drawing.groove_width_mm,
        "pocket": drawing.pocket_mm,
        "track from the shaft end": drawing.lip_at_mm,
        "small end of the shaft": drawing.shaft_end_mm,
        "sleeve wall": drawing.sleeve.wall_mm if drawing.sleeve else None,
        "sleeve width": drawing.sleeve.width_mm if drawing.sleeve else None,
    }
    for what, value in named.items():
        if value is not None and not (math.isfinite(value) and value > 0):
            raise InputError(
                value=f"{what} {value:g} mm",
                rule="what is drawn is larger than nothing",
                todo="Check the value",
            )
    land = _first(drawing.land_mm, drawing.shaft_mm)
    depth = drawing.groove_depth_mm or 0.0
    wall = drawing.sleeve.wall_mm if drawing.sleeve and not drawing.sleeve.turned_mm else 0.0
    if not land + 2.0 * wall < drawing.bore_mm or not drawing.shaft_mm < drawing.bore_mm:
        raise InputError(
            value=f"{drawing.size}, counterface {land + 2.0 * wall:g} mm",
            rule=f"no lip has room between it and a bore of {drawing.bore_mm:g} mm",
            todo="Check the two diameters",
        )
    _check_with_size(drawing)
    if not 0.0 <= depth < land / 4.0:
        raise InputError(
            value=f"groove {depth:g} mm deep",
            rule=f"no shaft of {land:g} mm is worn that far, or the track is larger than the land",
            todo="Check land and track; the depth is half the difference of the two diameters",
        )
    if drawing.pocket_mm is not None and drawing.pocket_mm < drawing.width_mm * 0.5:
        raise InputError(
            value=f"pocket {drawing.pocket_mm:g} mm deep",
            rule=f"a seal {drawing.width_mm:g} mm wide has no seat there",
            todo="Check the depth from the face of the housing to the shoulder",
        )


def _check_with_size(drawing: SealDrawing) -> None:
    """Refuse what can't be a reading beside a seal of this size."""
    land = _first(drawing.land_mm, drawing.shaft_mm)
    end, chamfer = drawing.shaft_end_mm or 0.0, drawing.bore_chamfer_mm or 0.0
    groove = drawing.groove_width_mm or 0.0
    if abs(land - drawing.shaft_mm) > _OTHER_SHAFT * drawing.shaft_mm:
        raise InputError(
            value=f"{drawing.size}, land {land:g} mm",
            rule=f"a seal for a shaft of {drawing.shaft_mm:g} mm does not run on it",
            todo="Check the size and where the land was read; `fitcheck seal` finds the size",
        )
    if end >= land:
        raise InputError(
            value=f"small end of the shaft {end:g} mm",
            rule=f"it is no smaller than the land of {land:g} mm",
            todo="Read the small end of the lead-in chamfer, or leave it out",
        )
    for what, value in (("chamfer of the bore", chamfer), ("groove width", groove)):
        if value >= drawing.width_mm:
            raise InputError(
                value=f"{what} {value:g} mm",
                rule=f"the whole seal is {drawing.width_mm:g} mm wide",
                todo="Check the reading and its unit",
            )


def groove_profile(
    *, centre_mm: float, width_mm: float, depth_mm: float, radius_mm: float
) -> list[Point]:
    """The surface of a shaft across a worn track, as places (along, radius).

    Parameters
    ----------
    centre_mm : float
        Middle of the track along the axis [mm].
    width_mm, depth_mm : float
        Width and depth of the groove [mm].
    radius_mm : float
        Radius of the land [mm].

    Examples
    --------
    >>> min(r for _, r in groove_profile(centre_mm=5, width_mm=1, depth_mm=0.2, radius_mm=17.5))
    17.3
    """
    steps = 16
    found = []
    for step in range(steps + 1):
        place = step / steps * 2.0 - 1.0
        # Worn round at the bottom and running out at the edges.
        sunk = depth_mm * (1.0 + math.cos(math.pi * place)) / 2.0
        found.append((centre_mm + place * width_mm / 2.0, radius_mm - sunk))
    return found
