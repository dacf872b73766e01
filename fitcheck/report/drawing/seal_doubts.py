"""What is drawn of a seal's seat and can't be quite so: said below the drawing and on stderr."""

from __future__ import annotations

from fitcheck.parts.seal import shaft_limits
from fitcheck.report.drawing.dimension import DIAMETER, value_text
from fitcheck.report.drawing.seal_layout import USUAL_GROOVE_MM, SealDrawing, SealLayout

# Less than this is the drawing's own rounding [mm].
_NOTHING_MM = 1e-6


def seal_doubts(drawing: SealDrawing, found: SealLayout) -> list[str]:
    """What readings and size say against each other, as sentences.

    Parameters
    ----------
    drawing : SealDrawing
        What is drawn.
    found : SealLayout
        Where it lies.

    Examples
    --------
    >>> from fitcheck.report.drawing.seal_layout import seal_layout
    >>> worn = SealDrawing("90 x 120 x 12", 90.0, 120.0, 12.0, land_mm=88.0)
    >>> seal_doubts(worn, seal_layout(worn))
    ['Check: the land of Ø88 mm is outside 89.78 mm to 90 mm, the limits of its shaft.']
    """
    return [f"Check: {doubt}." for doubt in _doubts(drawing, found)]


def _doubts(drawing: SealDrawing, found: SealLayout) -> list[str]:
    def shown(value_mm: float) -> str:
        return f"{value_text(value_mm=value_mm, unit=drawing.unit)} {drawing.unit}"

    doubts = []
    if drawing.land_mm is not None:
        system = "inch" if drawing.size.endswith(" in") else "metric"
        low, high = (drawing.shaft_mm + off for off in shaft_limits(drawing.shaft_mm, system))
        if not low - _NOTHING_MM <= drawing.land_mm <= high + _NOTHING_MM:
            doubts.append(
                f"the land of {DIAMETER}{shown(drawing.land_mm)} is outside {shown(low)} to "
                f"{shown(high)}, the limits of its shaft"
            )
    out = -found.seal_from
    if out > _NOTHING_MM:
        why = (
            "moved so far"
            if found.old_from >= -_NOTHING_MM
            else "with that pocket" + (" and that room" if drawing.room_mm is not None else "")
        )
        doubts.append(f"{why} the seal stands {shown(out)} out of the bore")
    past = found.seal_from + drawing.width_mm - found.pocket
    if past > _NOTHING_MM:
        doubts.append(f"moved so far the seal would go {shown(past)} past the shoulder")
    width = drawing.groove_width_mm or USUAL_GROOVE_MM
    if found.end is not None and drawing.groove_depth_mm:
        full = found.end + found.end_chamfer
        if found.track - width / 2.0 < full - _NOTHING_MM:
            doubts.append("the track lies on the lead-in chamfer of the shaft or beyond its end")
    if found.end is not None and found.lip < found.end + found.end_chamfer - _NOTHING_MM:
        doubts.append("the lip runs on the lead-in chamfer of the shaft or beyond its end")
    return doubts
