"""Dimensions in drawing practice, after ISO 129-1: extension lines, arrows, value above the line.

A value in round brackets is auxiliary: it stands for information, here what the standard asks
where nothing was measured.
"""

from __future__ import annotations

from fitcheck.quantities import plain
from fitcheck.report.drawing.polygon import Point
from fitcheck.report.drawing.svg import TEXT, Sheet, text_width
from fitcheck.units import MM_PER_INCH

DIAMETER = "Ø"
# How far an extension line starts off the outline and runs past the dimension line.
_GAP, _PAST = 0.6, 1.2
# What stands above its line keeps off it by this much.
_ABOVE = 0.9
# An arrow outside its extension lines has a tail as long as this.
_TAIL = 5.0


def value_text(*, value_mm: float, unit: str, decimals: int = 3) -> str:
    """A dimension as it is written on the drawing, without its unit.

    Parameters
    ----------
    value_mm : float
        The dimension [mm].
    unit : str
        ``mm`` or ``in``, the unit of the whole drawing.
    decimals : int
        The most digits after the point, for millimetres; inches have one more.

    Examples
    --------
    >>> value_text(value_mm=35.0, unit="mm"), value_text(value_mm=34.925, unit="in")
    ('35', '1.375')
    """
    if unit == "in":
        return plain(round(value_mm / MM_PER_INCH, decimals + 1))
    return plain(round(value_mm, decimals))


def unit_text(unit: str) -> str:
    """The remark on the unit of a whole drawing.

    >>> unit_text("in")
    'Dimensions in inches.'
    """
    return f"Dimensions in {'inches' if unit == 'in' else unit}."


def across(
    sheet: Sheet,
    *,
    start: Point,
    end: Point,
    y: float,
    text: str,
    size: float = TEXT,
    leftward: bool = False,
) -> None:
    """A level dimension between two points, its line at a height of its own.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    start, end : Point
        The two places, left and right, as points on the paper.
    y : float
        Height of the dimension line on the paper.
    text : str
        The value.
    size : float
        Size of the figures, in mm of paper.
    leftward : bool
        Whether a value that has no room between the arrows stands to the left of them.
    """
    for x, at in (start, end):
        away = 1.0 if y >= at else -1.0
        sheet.line([(x, at + away * _GAP), (x, y + away * _PAST)])
    left, right = start[0], end[0]
    room = right - left
    wide = text_width(text, size)
    if room >= wide + 1.0 and room >= 6.5:
        sheet.line([(left, y), (right, y)])
        sheet.arrow((left, y), (right, y))
        sheet.arrow((right, y), (left, y))
        sheet.text((left + right) / 2.0, y - _ABOVE, text, size=size, anchor="middle")
        return
    # Too narrow: the arrows point in from outside, and the value stands on the longer tail, never
    # where the paper ends.
    to_right = right + _TAIL + wide < sheet.width - 1.0
    if leftward and left - _TAIL - wide > 1.0:
        to_right = False
    tails = (_TAIL, _TAIL + wide) if to_right else (_TAIL + wide, _TAIL)
    sheet.line([(left - tails[0], y), (right + tails[1], y)])
    sheet.arrow((left, y), (left - 9.0, y))
    sheet.arrow((right, y), (right + 9.0, y))
    at = right + 3.6 if to_right else left - 3.6
    sheet.text(at, y - _ABOVE, text, size=size, anchor="start" if to_right else "end")


def upright(
    sheet: Sheet,
    *,
    low: Point,
    high: Point,
    x: float,
    text: str,
    size: float = TEXT,
    above: bool = False,
) -> None:
    """An upright dimension between two points, its line at a place of its own.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    low, high : Point
        The lower and the upper place, as points on the paper.
    x : float
        Where the dimension line runs on the paper.
    text : str
        The value; it reads from the right, or level beside the line's tail where that is short.
    size : float
        Size of the figures, in mm of paper.
    above : bool
        Whether a value that has no room between the arrows stands at the upper tail.
    """
    for at, y in (low, high):
        away = 1.0 if x >= at else -1.0
        sheet.line([(at + away * _GAP, y), (x + away * _PAST, y)])
    bottom, top = low[1], high[1]
    wide = text_width(text, size)
    if bottom - top >= wide + 1.0 and bottom - top >= 6.5:
        sheet.line([(x, bottom), (x, top)])
        sheet.arrow((x, bottom), (x, top))
        sheet.arrow((x, top), (x, bottom))
        sheet.text(x - _ABOVE, (bottom + top) / 2.0, text, size=size, anchor="middle", upright=True)
        return
    sheet.line([(x, bottom + _TAIL), (x, top - _TAIL)])
    sheet.arrow((x, bottom), (x, bottom + 9.0))
    sheet.arrow((x, top), (x, top - 9.0))
    sheet.text(x + 1.2, top - 3.2 if above else bottom + _TAIL, text, size=size)


def half_diameter(
    sheet: Sheet,
    *,
    surface: Point,
    axis_y: float,
    x: float,
    text: str,
    size: float = TEXT,
) -> float:
    """A diameter in a half view: one arrow at the surface, the line run on past the axis.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    surface : Point
        A point of the surface on the paper.
    axis_y : float
        Where the axis runs on the paper.
    x : float
        Where the dimension line runs on the paper.
    text : str
        The value with its diameter sign.
    size : float
        Size of the figures, in mm of paper.

    Returns
    -------
    float
        How far down the paper it reaches.
    """
    away = 1.0 if x >= surface[0] else -1.0
    sheet.line([(surface[0] + away * _GAP, surface[1]), (x + away * _PAST, surface[1])])
    sheet.line([(x, surface[1]), (x, axis_y + 3.0)])
    sheet.arrow((x, surface[1]), (x, axis_y))
    wide = text_width(text, size)
    middle, reached = (surface[1] + axis_y) / 2.0, axis_y + 3.0
    # A shaft of a few millimetres on the paper leaves no room: the value stands past the axis.
    if axis_y - surface[1] < wide + 1.0:
        sheet.line([(x, axis_y + 3.0), (x, axis_y + wide + 2.0)])
        middle, reached = axis_y + 1.5 + wide / 2.0, axis_y + wide + 2.0
    sheet.text(x - _ABOVE, middle, text, size=size, anchor="middle", upright=True)
    return reached


def leader(
    sheet: Sheet, *, tip: Point, knee: Point, text: str, size: float = TEXT, left: bool = False
) -> None:
    """A leader line: an arrow on a line, a knee, and a text above the level part.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    tip, knee : Point
        Where it points, and where it turns level.
    text : str
        What it says.
    size : float
        Size of the letters, in mm of paper.
    left : bool
        Whether the text stands to the left of the knee.
    """
    wide = text_width(text, size)
    end = knee[0] - wide - 0.6 if left else knee[0] + wide + 0.6
    sheet.line([tip, knee, (end, knee[1])])
    sheet.arrow(tip, knee)
    sheet.text(
        knee[0] - 0.3 if left else knee[0] + 0.3,
        knee[1] - _ABOVE,
        text,
        size=size,
        anchor="end" if left else "start",
    )
