"""The tolerance zones of a fit about the zero line, with the measured parts beside them."""

from __future__ import annotations

import math
from collections.abc import Callable

from fitcheck.errors import InputError
from fitcheck.limits_verdict import clearance_text, um_text
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.report.chart.axis import ticks
from fitcheck.report.drawing.svg import SMALL, TEXT, Sheet, text_width
from fitcheck.report.drawing.view import heading, notes

PAPER_MM = 120.0
_TALL = 74.0
_LEFT, _RIGHT = 22.0, 112.0
# A zone thinner than this on the paper is drawn this thick, and the remarks say so.
_THINNEST = 0.6


@dataclass(frozen=True, slots=True)
class Zone:
    """A tolerance zone: its class, its limits from the nominal, and the part as measured."""

    tolerance_class: str
    lower_um: float
    upper_um: float
    measured_um: float | None = None
    uncertainty_um: float = 0.0


@dataclass(frozen=True, slots=True)
class FitChart:
    """The zones of a fit: of the hole, of the shaft, or of both."""

    nominal_mm: float
    hole: Zone | None = None
    shaft: Zone | None = None
    title: str = ""

    @property
    def zones(self) -> tuple[tuple[str, Zone], ...]:
        """Name and zone of each part that is given."""
        pairs = (("hole", self.hole), ("shaft", self.shaft))
        return tuple((name, zone) for name, zone in pairs if zone is not None)


def fit_svg(chart: FitChart) -> str:
    """Draw the tolerance zones of a fit.

    Parameters
    ----------
    chart : FitChart
        The zones.

    Returns
    -------
    str
        An SVG document of 120 mm width. Hole and shaft are hatched to opposite sides.

    Raises
    ------
    InputError
        There is no zone, or one is upside down.
    """
    zones = chart.zones
    if not zones or any(
        not (math.isfinite(z.lower_um) and math.isfinite(z.upper_um) and z.lower_um <= z.upper_um)
        for _, z in zones
    ):
        raise InputError(
            value=f"{chart.nominal_mm:g} mm",
            rule="a chart of a fit has a hole or a shaft whose lower limit is no higher than its "
            "upper",
            todo="Give a class such as H7/g6",
        )
    classes = "/".join(zone.tolerance_class for _, zone in zones)
    name = f"{plain(round(chart.nominal_mm, 6))} mm {classes}"
    sheet = Sheet(
        width=PAPER_MM,
        title=f"Tolerance zones of {name}" + (f", {chart.title}" if chart.title else ""),
        description="Limits about the zero line, which is the nominal size: "
        f"{_limits_words(chart)}.",
    )
    y = heading(
        sheet, title=chart.title or "Tolerance zones", subtitle=f"{name}: limits from the nominal"
    )
    marks = _range(chart)
    top, bottom = y + 10.0, y + 10.0 + _TALL
    scale = _TALL / (marks[-1] - marks[0])

    def at(um: float) -> float:
        return bottom - (um - marks[0]) * scale

    sheet.text(6.0, top - 4.0, "um", size=SMALL)
    for mark in marks:
        if mark:
            sheet.line([(_LEFT, at(mark)), (_RIGHT, at(mark))], kind="hidden", part="grid")
        sheet.text(_LEFT - 2.0, at(mark) + 1.2, _signed(mark), size=SMALL, anchor="end")
    thin = False
    room = (_RIGHT - _LEFT) / len(zones)
    for number, (part, zone) in enumerate(zones):
        thin = _zone(sheet, part, zone, left=_LEFT + number * room, room=room, at=at) or thin
        middle = _LEFT + (number + 0.5) * room
        sheet.text(middle, top - 4.0, f"{part} {zone.tolerance_class}", anchor="middle", bold=True)
    sheet.line([(_LEFT, at(0.0)), (_RIGHT, at(0.0))], kind="wide", part="zero line")
    y = notes(
        sheet,
        [
            f"Wide line at 0: the nominal size, {plain(round(chart.nominal_mm, 6))} mm. "
            "1 um is 0.001 mm; limits are on the diameter.",
            _together(chart),
            "Round marks: the parts as measured, with what the reading is sure to."
            if any(zone.measured_um is not None for _, zone in zones)
            else "",
            "A zone too thin to see is drawn thicker." if thin else "",
        ],
        y=bottom + 8.0,
    )
    return sheet.svg(y + 1.0)


def _range(chart: FitChart) -> list[float]:
    values = [0.0]
    for _, zone in chart.zones:
        values += [zone.lower_um, zone.upper_um]
        if zone.measured_um is not None:
            values += [
                zone.measured_um - zone.uncertainty_um,
                zone.measured_um + zone.uncertainty_um,
            ]
    span = max(values) - min(values) or 1.0
    # Room for the figures above and below the zones.
    return ticks(low=min(values) - 0.10 * span, high=max(values) + 0.10 * span)


def _zone(
    sheet: Sheet, part: str, zone: Zone, *, left: float, room: float, at: Callable[[float], float]
) -> bool:
    """One zone, its figures and its measured part; gives whether it had to be thickened."""
    near, far = left + 3.0, left + 0.42 * room
    upper, lower = at(zone.upper_um), at(zone.lower_um)
    thin = lower - upper < _THINNEST
    if thin:
        middle = (upper + lower) / 2.0
        upper, lower = middle - _THINNEST / 2.0, middle + _THINNEST / 2.0
    sheet.area(
        [(near, upper), (far, upper), (far, lower), (near, lower)],
        part=f"zone {part}",
        hatch=1.8,
        angle=45.0 if part == "hole" else 135.0,
    )
    sheet.text((near + far) / 2.0, upper - 1.2, _signed(zone.upper_um), anchor="middle")
    sheet.text((near + far) / 2.0, lower + 3.9, _signed(zone.lower_um), anchor="middle")
    if zone.measured_um is not None:
        x = left + 0.54 * room
        high, low = (at(zone.measured_um + s * zone.uncertainty_um) for s in (1.0, -1.0))
        sheet.line([(x, high), (x, low)], kind="frame", part=f"sure {part}")
        for y in (high, low):
            sheet.line([(x - 1.5, y), (x + 1.5, y)], kind="frame")
        sheet.circle((x, at(zone.measured_um)), 1.3, fill="#000", part=f"measured {part}")
        text = _signed(zone.measured_um)
        size = TEXT if text_width(text, TEXT) < 0.34 * room else SMALL
        sheet.text(x + 2.6, at(zone.measured_um) + 1.3, text, size=size)
    return thin


def _signed(value_um: float) -> str:
    return ("+" if value_um > 0 else "") + um_text(value_um)


def _limits_words(chart: FitChart) -> str:
    return "; ".join(
        f"{part} {zone.tolerance_class} from {_signed(zone.lower_um)} to "
        f"{_signed(zone.upper_um)} um"
        + ("" if zone.measured_um is None else f", measured {_signed(zone.measured_um)} um")
        for part, zone in chart.zones
    )


def _together(chart: FitChart) -> str:
    if chart.hole is None or chart.shaft is None:
        return ""
    text = clearance_text(
        chart.hole.lower_um - chart.shaft.upper_um, chart.hole.upper_um - chart.shaft.lower_um
    )
    return f"{text[0].upper()}{text[1:]}."
