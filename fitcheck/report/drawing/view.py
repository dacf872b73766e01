"""From the machine to the paper: a place along and off the axis becomes a point on the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.records import dataclass
from fitcheck.report.drawing.polygon import Point
from fitcheck.report.drawing.svg import Sheet


@dataclass(frozen=True, slots=True)
class View:
    """A view to scale: where a place of the machine stands on the paper.

    ``paper_x`` and ``paper_y`` are where the place ``along_mm`` of the axis and the radius
    ``radius_mm`` stand; ``radial`` is the scale off the axis where it is another one.
    """

    scale: float
    paper_x: float
    paper_y: float
    along_mm: float = 0.0
    radius_mm: float = 0.0
    radial: float = 0.0

    def x(self, along_mm: float) -> float:
        """The place on the paper of a place along the axis."""
        return self.paper_x + (along_mm - self.along_mm) * self.scale

    def y(self, radius_mm: float) -> float:
        """The height on the paper of a radius; down the paper is towards the axis."""
        return self.paper_y - (radius_mm - self.radius_mm) * (self.radial or self.scale)

    def at(self, along_mm: float, radius_mm: float) -> Point:
        """A point on the paper."""
        return self.x(along_mm), self.y(radius_mm)

    def points(self, places: Iterable[Point]) -> list[Point]:
        """Points on the paper of places (along the axis, radius)."""
        return [self.at(along, radius) for along, radius in places]


def axis_line(sheet: Sheet, *, left: float, right: float, y: float) -> None:
    """The axis of a half view, with the sign of symmetry at both ends.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    left, right, y : float
        Where it runs, in mm of paper.
    """
    sheet.line([(left, y), (right, y)], kind="axis", part="axis")
    for x in (left + 1.6, right - 1.6):
        for off in (-0.5, 0.5):
            sheet.line([(x + off, y - 1.5), (x + off, y + 1.5)])


def notes(sheet: Sheet, lines: Sequence[str], *, y: float, left: float = 6.0) -> float:
    """Lines of small text below the views; gives the height of the paper that was used.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    lines : sequence of str
        The remarks, empty ones left out.
    y : float
        The first base line [mm of paper].
    left : float
        The margin [mm of paper].
    """
    for line in lines:
        if line:
            y = sheet.note(left, y, line, width=sheet.width - left - 6.0)
    return y


def heading(sheet: Sheet, *, title: str, subtitle: str = "") -> float:
    """The head of a sheet, broken where it is long; gives the height that was used.

    Parameters
    ----------
    sheet : Sheet
        What is drawn on.
    title, subtitle : str
        What is shown.
    """
    width = sheet.width - 12.0
    # Bold letters are wider than the plain ones the width is reckoned by.
    y = sheet.paragraph(6.0, 7.0, title, width=width * 0.88, size=4.6, bold=True)
    return sheet.paragraph(6.0, y, subtitle, width=width, size=3.6) if subtitle else y
