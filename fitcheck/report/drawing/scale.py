"""Scales of a drawing: the preferred ones of ISO 5455, how they are written, and a scale bar."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.quantities import plain
from fitcheck.report.drawing.svg import SMALL, Sheet, text_width
from fitcheck.units import MM_PER_INCH

# Enlargements and reductions in steps of 1, 2 and 5.
SCALES = tuple(
    sorted([step * 10.0**power for power in range(-3, 3) for step in (1.0, 2.0, 5.0)], reverse=True)
)


def largest_scale(*, extents: Iterable[tuple[float, float]], most: float = 500.0) -> float:
    """The largest preferred scale at which everything has room.

    Parameters
    ----------
    extents : iterable of (float, float)
        What is drawn and the paper there is for it [mm].
    most : float
        No scale above this.

    Examples
    --------
    >>> largest_scale(extents=[(30.0, 76.0), (26.0, 80.0)])
    2.0
    """
    needs = [(size, room) for size, room in extents if size > 0]
    for scale in SCALES:
        if scale <= most and all(size * scale <= room + 1e-9 for size, room in needs):
            return scale
    return SCALES[-1]


def scale_text(scale: float) -> str:
    """A scale as it is written.

    >>> scale_text(2.0), scale_text(0.2)
    ('2:1', '1:5')
    """
    return f"{plain(scale)}:1" if scale >= 1 else f"1:{plain(round(1.0 / scale, 6))}"


def scale_bar(
    sheet: Sheet, *, x: float, y: float, scale: float, unit: str, longest: float = 22.0
) -> None:
    """A bar of a round length, true at whatever size the drawing is looked at.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    x, y : float
        Left end of the bar on the paper [mm].
    scale : float
        The scale of the view.
    unit : str
        ``mm`` or ``in``, the unit of the whole drawing.
    longest : float
        Longest bar wanted [mm].
    """
    in_mm = MM_PER_INCH if unit == "in" else 1.0
    length = next(step for step in SCALES if step * in_mm * scale <= longest)
    end = x + length * in_mm * scale
    sheet.line([(x, y - 1.2), (x, y), (end, y), (end, y - 1.2)], kind="frame", part="scale bar")
    sheet.text(end + 1.0, y, f"{plain(round(length, 6))} {unit}", size=SMALL)


def scale_caption(
    sheet: Sheet, *, x: float, y: float, name: str, scale: float, unit: str, longest: float = 22.0
) -> None:
    """The name of a view with its scale, and the bar behind it.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    x, y : float
        Where its base line starts on the paper [mm].
    name : str
        The view.
    scale : float
        Its scale.
    unit : str
        ``mm`` or ``in``, the unit of the whole drawing.
    longest : float
        Longest bar wanted [mm].
    """
    text = f"{name} {scale_text(scale)}"
    sheet.text(x, y, text, bold=True, part="scale")
    scale_bar(
        sheet, x=x + text_width(text, 4.2) + 2.5, y=y, scale=scale, unit=unit, longest=longest
    )
