"""The shim pack: every shim in its place, the thickest next to the flange."""

from __future__ import annotations

import math
from itertools import pairwise

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.report.drawing.dimension import unit_text, upright, value_text
from fitcheck.report.drawing.polygon import break_line
from fitcheck.report.drawing.scale import largest_scale, scale_caption
from fitcheck.report.drawing.svg import SMALL, TEXT, Sheet, text_width, wrapped
from fitcheck.report.drawing.view import heading, notes

PAPER_MM = 120.0
_TALLEST = 70.0
_LEFT, _RIGHT = 22.0, 56.0
_BODY = 11.0
_LABEL = 5.4
# A shim thinner than this on the paper is no line of its own: its group is drawn as one block.
_THINNEST = 0.5
MOST_KINDS = 24


@dataclass(frozen=True, slots=True)
class ShimDrawing:
    """Equal shims of a pack: their thickness as measured, how many, and the label where another."""

    thickness_mm: float
    count: int
    label_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PackDrawing:
    """A pack as it is to be drawn, between a flange above and a seat below."""

    shims: tuple[ShimDrawing, ...]
    title: str = ""
    flange: str = "flange"
    seat: str = "housing"
    unit: str = "mm"
    remarks: tuple[str, ...] = ()

    @property
    def total_mm(self) -> float:
        """The thickness of the whole pack."""
        return sum(shim.thickness_mm * shim.count for shim in self.shims)


def pack_svg(drawing: PackDrawing) -> str:
    """Draw a shim pack.

    Parameters
    ----------
    drawing : PackDrawing
        The shims, in any order.

    Returns
    -------
    str
        An SVG document of 120 mm width: the shims in their thickness to the stated scale, the
        thickest next to the flange.

    Raises
    ------
    InputError
        There is no shim, a shim has no thickness, or there are more kinds than a drawing can tell
        apart.
    """
    _check(drawing)
    shims = sorted(drawing.shims, key=lambda shim: -shim.thickness_mm)
    count = sum(shim.count for shim in shims)
    total = value_text(value_mm=drawing.total_mm, unit=drawing.unit, decimals=4)
    many = f"{count} shim{'s' if count > 1 else ''}"
    order = ", ".join(_words(shim, drawing.unit) for shim in shims)
    sheet = Sheet(
        width=PAPER_MM,
        title="Shim pack" + (f", {drawing.title}" if drawing.title else ""),
        description=f"Section of a pack of {many}, {total} {drawing.unit} together, from the "
        f"{drawing.flange} down: {order}.",
    )
    y = heading(
        sheet,
        title=drawing.title or "Shim pack",
        subtitle=f"Shim pack: {many}, {total} {drawing.unit}",
    )
    scale = largest_scale(extents=[(drawing.total_mm, _TALLEST)], most=100.0)
    tall = drawing.total_mm * scale
    labels = len(shims) * _LABEL
    # Labels that need more room than the shims reach past them at both ends.
    spare = max(0.0, (labels - tall) / 2.0 - _BODY + _LABEL)
    top = y + 4.0 + _BODY + spare
    _body(sheet, top=top - _BODY, bottom=top, name=drawing.flange)
    edges = _stack(sheet, shims, top=top, scale=scale)
    bottom = edges[-1]
    _body(sheet, top=bottom, bottom=bottom + _BODY, name=drawing.seat, below=True)
    upright(sheet, low=(_LEFT, bottom), high=(_LEFT, top), x=_LEFT - 8.0, text=total, above=True)
    lowest = _labels(sheet, shims, edges, unit=drawing.unit)
    y = max(bottom + _BODY, lowest) + 9.0
    scale_caption(sheet, x=6.0, y=y, name="Thickness", scale=scale, unit=drawing.unit)
    y = notes(
        sheet,
        [
            f"{unit_text(drawing.unit)} Only the thickness is to scale."
            # Behind a cup or beside a spacer there is no flange, and no practice for the order.
            + (" Thickest next to the flange." if drawing.flange.endswith("flange") else "")
            + " Count them in, no bent shim twice.",
            *drawing.remarks,
        ],
        y=y + 8.0,
    )
    return sheet.svg(y + 1.0)


def _check(drawing: PackDrawing) -> None:
    if not drawing.shims:
        raise InputError(
            value="a pack of no shims",
            rule="there is nothing to draw",
            todo="Name the shims like 0.10x4,0.50x1",
        )
    for shim in drawing.shims:
        if not (math.isfinite(shim.thickness_mm) and shim.thickness_mm > 0 and shim.count > 0):
            raise InputError(
                value=f"{shim.count} x {shim.thickness_mm:g} mm",
                rule="a shim has a thickness, and a pack holds at least one of it",
                todo="Measure and count again",
            )
    if len(drawing.shims) > MOST_KINDS:
        raise InputError(
            value=f"{len(drawing.shims)} kinds of shims",
            rule=f"a drawing tells {MOST_KINDS} kinds apart",
            todo="A pack is made of the fewest shims: look for thicker ones",
        )
    if drawing.total_mm * 0.001 > _TALLEST:
        raise InputError(
            value=f"a pack of {drawing.total_mm:g} mm",
            rule="no shim pack is as thick as that",
            todo="Check the counts and the units",
        )


def _words(shim: ShimDrawing, unit: str) -> str:
    text = f"{shim.count} x {value_text(value_mm=shim.thickness_mm, unit=unit, decimals=4)}"
    if shim.label_mm is not None:
        text += f", labelled {value_text(value_mm=shim.label_mm, unit=unit, decimals=4)}"
    return text


def _body(sheet: Sheet, *, top: float, bottom: float, name: str, below: bool = False) -> None:
    """Flange or seat, broken off at three sides."""
    face, away = (top, bottom) if below else (bottom, top)
    outer = break_line(start=(_LEFT, away), end=(_RIGHT, away), bulge=0.7)
    right = break_line(start=(_RIGHT, away), end=(_RIGHT, face), bulge=0.7)
    sheet.area(
        [(_LEFT, face), *outer, *right[1:]],
        part=f"body {'below' if below else 'above'}",
        line="",
        hatch=2.4,
        angle=45.0 if below else 135.0,
    )
    sheet.line([*outer, *right[1:]])
    sheet.line([(_LEFT, away), (_LEFT, face), (_RIGHT, face)], kind="wide")
    shown = wrapped(name, size=TEXT, width=_RIGHT - _LEFT - 6.0)[:2]
    y = (top + bottom) / 2.0 + 1.3 - (len(shown) - 1) * 0.6 * TEXT
    for line in shown:
        sheet.text((_LEFT + _RIGHT) / 2.0, y, line, anchor="middle")
        y += 1.2 * TEXT


def _stack(sheet: Sheet, shims: list[ShimDrawing], *, top: float, scale: float) -> list[float]:
    """The shims below each other; gives the edges of the groups on the paper, from the top."""
    edges = [top]
    shade = False
    for shim in shims:
        single = shim.thickness_mm * scale
        layers, each = shim.count, single
        if single < _THINNEST:
            layers, each = 1, single * shim.count
        for layer in range(layers):
            y = edges[-1] + layer * each
            bottom = y + each
            sheet.area(
                [(_LEFT, y), (_RIGHT, y), (_RIGHT, bottom), (_LEFT, bottom)],
                part="shim",
                fill="#ddd" if shade else "#fff",
                line="narrow",
            )
            shade = not shade
        edges.append(edges[-1] + single * shim.count)
    return edges


def _labels(sheet: Sheet, shims: list[ShimDrawing], edges: list[float], *, unit: str) -> float:
    """Count and thickness of each kind to the right, spread so that none meets the next.

    Gives how far down the paper they reach.
    """
    middles = [(a + b) / 2.0 for a, b in pairwise(edges)]
    places: list[float] = []
    for middle in middles:
        places.append(max(middle, places[-1] + _LABEL) if places else middle)
    # What was pushed down is shared between both ends.
    shift = (places[-1] - middles[-1]) / 2.0
    for shim, middle, place in zip(shims, middles, places, strict=True):
        y = place - shift
        sheet.line([(_RIGHT, middle), (_RIGHT + 6.0, y), (_RIGHT + 9.0, y)])
        text = _words(shim, unit)
        size = TEXT if _RIGHT + 10.0 + text_width(text, TEXT) < PAPER_MM - 2.0 else SMALL
        sheet.text(_RIGHT + 10.0, y + TEXT * 0.36, text, size=size)
    return places[-1] - shift
