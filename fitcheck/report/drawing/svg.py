"""A sheet to draw on: lines, areas, hatching and text in millimetres of paper, out as SVG text.

The writer is our own: what the drawings need is a dozen marks, and what they need most, hatching
by geometry, line types, room for text and no identifiers that could clash where several drawings
stand in one page, no SVG library brings along. All text is escaped in one place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from fitcheck.report.drawing.polygon import Point, hatch_lines

# Line types: width [mm] and dashes, after the types of ISO 128 (wide 0.5, narrow 0.25 mm).
LINES: dict[str, tuple[float, str]] = {
    "wide": (0.5, ""),
    "narrow": (0.25, ""),
    "axis": (0.25, "7 1.2 0.6 1.2"),
    "phantom": (0.25, "4 1 0.6 1 0.6 1"),
    "hidden": (0.25, "2 1"),
    "frame": (0.35, ""),
}
# Widths of the characters of a wide common sans-serif, in thousandths of the size: a text set in a
# narrower one leaves room and never runs over.
_WIDTHS = (
    (280, "'ijl"),
    (300, "IJ"),
    (340, " ,./:;\\|"),
    (360, "f-"),
    (400, "()[]t!"),
    (460, 'r"'),
    (500, "*_`°–"),
    (530, "sz?"),
    (560, "cL"),
    (600, "FkvxyP"),
    (640, "TYaoeEhnu$0123456789Sbdgpq{}"),
    (700, "KAVXZBCR"),
    (760, "UHN"),
    (790, "D&GOQØ"),
    (840, "w#+<=>^~×±"),
    (870, "M"),
    (1000, "%mW@"),
)
_WIDTH_OF = {character: width for width, group in _WIDTHS for character in group}
# What is in none of the groups is as wide as the size, which holds for any script.
_OTHER = 1000
FONT = "sans-serif"
TEXT = 3.6
SMALL = 3.2
LARGE = 4.6


def escaped(text: str) -> str:
    """A text as it may stand in SVG, in an attribute or between tags.

    >>> escaped('hub <2> & "rim"')
    'hub &lt;2&gt; &amp; &quot;rim&quot;'
    """
    # XML has no place for control characters, not even escaped.
    shown = "".join(c if c.isprintable() else " " for c in text)
    pairs = (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;"))
    for plain, entity in pairs:
        shown = shown.replace(plain, entity)
    return shown


def text_width(text: str, size: float) -> float:
    """How much room a text takes along its line [mm], on the safe side for any sans-serif.

    >>> round(text_width("Ø35", 3.6), 2)
    7.45
    """
    return sum(_WIDTH_OF.get(character, _OTHER) for character in text) * size / 1000.0


def wrapped(text: str, *, size: float, width: float) -> list[str]:
    """Break a text into lines that fit a width; a word that is longer is broken too.

    Parameters
    ----------
    text : str
        The text.
    size : float
        Size of the letters, in mm of paper.
    width : float
        Longest line, in mm of paper.
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        while len(word) > 1 and text_width(word, size) > width:
            room = next(n for n in range(1, len(word)) if text_width(word[: n + 1], size) > width)
            if line:
                lines.append(line)
                line = ""
            lines.append(word[:room])
            word = word[room:]  # noqa: PLW2901
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


def number(value: float) -> str:
    """A coordinate with no more digits than paper can show: a micrometre of it."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path_data(points: Iterable[Point], *, closed: bool) -> str:
    """The points of a line as the data of an SVG path."""
    body = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{body}{'Z' if closed else ''}"


class Sheet:
    """A sheet of paper of one width that is drawn on from the top down.

    Areas lie at the bottom, lines above them, text on top, in whatever order they are drawn.
    """

    def __init__(self, *, width: float, title: str, description: str) -> None:
        """Start an empty sheet.

        Parameters
        ----------
        width : float
            Width of the paper [mm].
        title, description : str
            What a screen reader says of it.
        """
        self.width = width
        self.title = title
        self.description = description
        self._areas: list[str] = []
        self._lines: list[str] = []
        self._masks: list[str] = []
        self._texts: list[str] = []
        self._notes: list[str] = []
        self._notes_from = 0.0

    def area(
        self,
        points: Sequence[Point],
        *,
        part: str = "",
        fill: str = "#fff",
        line: str = "wide",
        hatch: float = 0.0,
        angle: float = 45.0,
    ) -> None:
        """A closed area with its outline, and hatched where it is cut.

        Parameters
        ----------
        points : sequence of Point
            Its corners on the paper.
        part : str
            What it shows, kept in the file as ``data-part``.
        fill : str
            Its colour; white covers what lies below.
        line : str
            The type of its outline; none where empty.
        hatch : float
            Distance of the hatching lines [mm]; none at zero.
        angle : float
            Their direction [deg].
        """
        if len(points) < 3:
            return
        data = path_data(points, closed=True)
        tag = f' data-part="{escaped(part)}"' if part else ""
        stroke = self._stroke(line) if line else ' stroke="none"'
        if not hatch:
            self._areas.append(f'<path{tag} d="{data}" fill="{fill}"{stroke}/>')
            return
        self._areas.append(f'<path{tag} d="{data}" fill="{fill}" stroke="none"/>')
        lines = hatch_lines(points, spacing=hatch, angle_deg=angle)
        if lines:
            rows = "".join(path_data(ends, closed=False) for ends in lines)
            self._areas.append(f'<path d="{rows}" fill="none"{self._stroke("narrow", 0.18)}/>')
        if line:
            self._areas.append(f'<path d="{data}" fill="none"{stroke}/>')

    def line(self, points: Sequence[Point], *, kind: str = "narrow", part: str = "") -> None:
        """A line through points, of one of the types in ``LINES``."""
        tag = f' data-part="{escaped(part)}"' if part else ""
        data = path_data(points, closed=False)
        self._lines.append(f'<path{tag} d="{data}" fill="none"{self._stroke(kind)}/>')

    def circle(
        self,
        centre: Point,
        radius: float,
        *,
        fill: str = "#fff",
        kind: str = "narrow",
        part: str = "",
    ) -> None:
        """A circle."""
        tag = f' data-part="{escaped(part)}"' if part else ""
        self._lines.append(
            f'<circle{tag} cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius)}"'
            f' fill="{fill}"{self._stroke(kind)}/>'
        )

    def arrow(self, tip: Point, towards: Point, *, length: float = 2.6) -> None:
        """The closed, filled arrowhead of a dimension line.

        Parameters
        ----------
        tip, towards : Point
            Its tip on the paper, and a point that its tail looks to.
        length : float
            Its length, in mm of paper.
        """
        dx, dy = towards[0] - tip[0], towards[1] - tip[1]
        size = math.hypot(dx, dy) or 1.0
        ux, uy = dx / size * length, dy / size * length
        half = 0.16
        points = [
            tip,
            (tip[0] + ux - uy * half, tip[1] + uy + ux * half),
            (tip[0] + ux + uy * half, tip[1] + uy - ux * half),
        ]
        self._lines.append(f'<path d="{path_data(points, closed=True)}" fill="#000"/>')

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = TEXT,
        anchor: str = "start",
        upright: bool = False,
        bold: bool = False,
        mask: bool = True,
        part: str = "",
    ) -> None:
        """A line of text with its base line at a point.

        Parameters
        ----------
        x, y : float
            The point on the paper.
        text : str
            The text.
        size : float
            Size of the letters [mm].
        anchor : str
            What of it stands at the point: ``start``, ``middle`` or ``end``.
        upright : bool
            Whether it reads from the right.
        bold : bool
            Whether it is bold.
        mask : bool
            Whether lines that have to pass behind it are interrupted there.
        part : str
            What it is, kept in the file as ``data-part``.
        """
        if mask:
            self._mask(x, y, text, size=size, anchor=anchor, upright=upright)
        self._texts.append(
            self._text(x, y, text, size=size, anchor=anchor, upright=upright, bold=bold, part=part)
        )

    @staticmethod
    def _text(
        x: float,
        y: float,
        text: str,
        *,
        size: float,
        anchor: str = "start",
        upright: bool = False,
        bold: bool = False,
        part: str = "",
    ) -> str:
        turn = f' transform="rotate(-90 {number(x)} {number(y)})"' if upright else ""
        weight = ' font-weight="bold"' if bold else ""
        place = "" if anchor == "start" else f' text-anchor="{anchor}"'
        tag = f' data-part="{escaped(part)}"' if part else ""
        return (
            f'<text{tag} x="{number(x)}" y="{number(y)}" font-size="{number(size)}"{place}{weight}'
            f"{turn}>{escaped(text)}</text>"
        )

    def _mask(
        self, x: float, y: float, text: str, *, size: float, anchor: str, upright: bool
    ) -> None:
        """White between the lines and a text."""
        wide = text_width(text, size)
        back = wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        tall = 0.78 * size
        left, top, across, down = (
            (x - tall, y - wide + back, tall, wide) if upright else (x - back, y - tall, wide, tall)
        )
        self._masks.append(
            f'<rect x="{number(left)}" y="{number(top)}" width="{number(across)}"'
            f' height="{number(down)}" fill="#fff"/>'
        )

    def paragraph(
        self,
        x: float,
        y: float,
        text: str,
        *,
        width: float,
        size: float = SMALL,
        bold: bool = False,
    ) -> float:
        """A text broken to a width.

        Parameters
        ----------
        x, y : float
            Where its first base line starts on the paper.
        text : str
            The text.
        width : float
            Longest line, in mm of paper.
        size : float
            Size of the letters, in mm of paper.
        bold : bool
            Whether it is bold.

        Returns
        -------
        float
            The base line that follows.
        """
        for line in wrapped(text, size=size, width=width):
            self.text(x, y, line, size=size, bold=bold, mask=False)
            y += size * 1.35
        return y

    def note(self, x: float, y: float, text: str, *, width: float) -> float:
        """A remark below everything else, which a page may take over into its own text.

        Parameters
        ----------
        x, y : float
            Where its first base line starts on the paper.
        text : str
            The remark.
        width : float
            Longest line, in mm of paper.

        Returns
        -------
        float
            The base line that follows.
        """
        if not self._notes:
            self._notes_from = y - SMALL
        lines = wrapped(text, size=SMALL, width=width)
        rows = [
            self._text(x, y + number_of * SMALL * 1.35, line, size=SMALL)
            for number_of, line in enumerate(lines)
        ]
        self._notes.append(
            f'<g data-part="note" data-text="{escaped(text)}">\n' + "\n".join(rows) + "\n</g>"
        )
        return y + len(lines) * SMALL * 1.35

    def svg(self, height: float) -> str:
        """The whole sheet as an SVG document.

        Parameters
        ----------
        height : float
            Height of the paper [mm].
        """
        width = number(self.width)
        body = "\n".join([*self._areas, *self._lines, *self._masks, *self._texts])
        if self._notes:
            # Without its notes the drawing ends here.
            top = f'<g data-part="notes" data-from="{number(self._notes_from)}">'
            body = "\n".join([body, top, *self._notes, "</g>"])
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{number(height)}mm"'
            f' viewBox="0 0 {width} {number(height)}" role="img" font-family="{FONT}" fill="#000"'
            f' stroke-linejoin="round">\n<title>{escaped(self.title)}</title>\n'
            f"<desc>{escaped(self.description)}</desc>\n"
            f'<rect width="{width}" height="{number(height)}" fill="#fff"/>\n{body}\n</svg>\n'
        )

    @staticmethod
    def _stroke(kind: str, width: float = 0.0) -> str:
        usual, dashes = LINES[kind]
        dash = f' stroke-dasharray="{dashes}"' if dashes else ""
        return f' stroke="#000" stroke-width="{number(width or usual)}"{dash}'
