"""The words of a seal's drawing: figures, remarks below it, and what a screen reader says."""

from __future__ import annotations

from fitcheck.report.drawing.dimension import DIAMETER, unit_text, value_text
from fitcheck.report.drawing.seal_doubts import seal_doubts
from fitcheck.report.drawing.seal_layout import SealDrawing, SealLayout


def given(value_mm: float, drawing: SealDrawing, *, read: bool = True, sign: str = "") -> str:
    """A dimension in the unit of the drawing, in brackets where nobody measured it."""
    text = sign + value_text(value_mm=value_mm, unit=drawing.unit)
    return text if read else f"({text})"


def remarks(drawing: SealDrawing, found: SealLayout, *, shortened: bool) -> list[str]:
    """What stands below the views.

    Parameters
    ----------
    drawing : SealDrawing
        What is drawn.
    found : SealLayout
        Where it lies.
    shortened : bool
        Whether the shaft is drawn with a piece taken out.
    """
    in_brackets = not (found.pocket_read or drawing.room_mm is not None) or (
        found.chamfer > 0 and not found.chamfer_read
    )
    readings = []
    if drawing.land_mm is not None:
        readings.append(f"land {DIAMETER}{given(drawing.land_mm, drawing)}")
    if drawing.groove_depth_mm:
        readings.append(f"groove {given(drawing.groove_depth_mm, drawing)} deep")
        if drawing.groove_width_mm:
            readings.append(f"{given(drawing.groove_width_mm, drawing)} wide")
    if found.end_read:
        end = given(drawing.shaft_end_mm or 0.0, drawing)
        readings.append(f"small end of the shaft {DIAMETER}{end}")
    seal = f"The seal is drawn {drawing.size}; the land as it was read."
    return [
        unit_text(drawing.unit)
        + (" In brackets: what the standard asks, not measured." if in_brackets else "")
        + (f" Read: {', '.join(readings)}." if readings else ""),
        seal if drawing.land_mm is not None else "",
        "Left: air side, face of the housing and shaft end. Right: what is sealed in.",
        "The inside of the seal is not to size. Chamfers are drawn at 20 degrees."
        + (" The shaft is shortened between the break lines." if shortened else ""),
        *seal_doubts(drawing, found),
        *drawing.remarks,
    ]


def description(drawing: SealDrawing, layout: SealLayout) -> str:
    """What a screen reader says of the drawing."""
    size = (
        f"shaft {given(drawing.shaft_mm, drawing)}, bore {given(drawing.bore_mm, drawing)}, "
        f"width {given(drawing.width_mm, drawing)} {drawing.unit}"
    )
    parts = [
        f"Half-section of a lip seal in its bore to scale: {size}",
        f"pocket {given(layout.pocket, drawing)} deep",
    ]
    if drawing.groove_depth_mm:
        parts.append(f"a groove {given(drawing.groove_depth_mm, drawing)} deep in the counterface")
    if drawing.sleeve is not None:
        kind = "thick" if drawing.sleeve.turned_mm else "thin"
        parts.append(f"a {kind} sleeve of {given(drawing.sleeve.wall_mm, drawing)} wall over it")
    if drawing.shift_mm:
        way = "deeper" if drawing.shift_mm > 0 else "outward"
        parts.append(f"the lip moved {given(abs(drawing.shift_mm), drawing)} {way}")
    return "; ".join(parts) + "."
