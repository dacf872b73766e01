"""Plane geometry of the drawings: hatching an area, cutting areas and lines off at a frame."""

from __future__ import annotations

import math
from collections.abc import Sequence

Point = tuple[float, float]


def hatch_lines(
    points: Sequence[Point], *, spacing: float, angle_deg: float
) -> list[tuple[Point, Point]]:
    """The hatching of an area, as pieces of parallel lines inside it.

    Parameters
    ----------
    points : sequence of Point
        The corners of the area, which may be hollow.
    spacing : float
        Distance of the lines, in the unit of the points.
    angle_deg : float
        Direction of the lines [deg].

    Returns
    -------
    list of pairs of Point

    Examples
    --------
    >>> square = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)]
    >>> len(hatch_lines(square, spacing=1.0, angle_deg=0.0))
    2
    """
    turn = math.radians(angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    turned = [(x * cos + y * sin, y * cos - x * sin) for x, y in points]
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    found = []
    # Between multiples of the spacing, so that neighbours hatched alike stay in step.
    row = math.floor(low / spacing) + 0.5
    while row * spacing < high:
        level = row * spacing
        row += 1.0
        if level <= low:
            continue
        cuts = sorted(
            a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            for a, b in zip(turned, [*turned[1:], turned[0]], strict=True)
            if (a[1] <= level) != (b[1] <= level)
        )
        for start, end in zip(cuts[::2], cuts[1::2], strict=False):
            if end - start > 0.05:
                found.append(
                    (
                        (start * cos - level * sin, start * sin + level * cos),
                        (end * cos - level * sin, end * sin + level * cos),
                    )
                )
    return found


def framed_area(
    points: Sequence[Point], *, left: float, top: float, right: float, bottom: float
) -> list[Point]:
    """The part of an area inside a frame.

    Parameters
    ----------
    points : sequence of Point
        The corners of the area.
    left, top, right, bottom : float
        The frame, in the unit of the points.

    Examples
    --------
    >>> framed_area([(0, 0), (4, 0), (4, 4), (0, 4)], left=1, top=1, right=9, bottom=2)
    [(4.0, 1.0), (4.0, 2.0), (1.0, 2.0), (1.0, 1.0)]
    """
    found: list[Point] = [(float(x), float(y)) for x, y in points]
    for axis, bound, sign in ((0, left, 1.0), (0, right, -1.0), (1, top, 1.0), (1, bottom, -1.0)):
        kept: list[Point] = []
        for a, b in zip(found, [*found[1:], *found[:1]], strict=True):
            depth_a, depth_b = (a[axis] - bound) * sign, (b[axis] - bound) * sign
            if depth_a >= 0:
                kept.append(a)
            if (depth_a >= 0) != (depth_b >= 0):
                share = depth_a / (depth_a - depth_b)
                kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
        found = kept
    # Where the frame passes through a corner, the corner is found twice.
    return [p for p, q in zip(found, [*found[1:], *found[:1]], strict=True) if math.dist(p, q) > 0]


def break_line(*, start: Point, end: Point, bulge: float = 1.0) -> list[Point]:
    """A freehand line from one point to another, as where a part is broken off.

    Parameters
    ----------
    start, end : Point
        Its ends.
    bulge : float
        How far it leaves the straight line, in the unit of the points.
    """
    steps = 24
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy) or 1.0
    found = []
    for step in range(steps + 1):
        share = step / steps
        # Two waves of unlike length look drawn by hand, and come out the same every time.
        off = (
            bulge
            * math.sin(math.pi * share) ** 0.5
            * (
                0.6 * math.sin(2.0 * math.pi * share * 2.0)
                + 0.4 * math.sin(2.0 * math.pi * share * 3.3)
            )
        )
        found.append(
            (start[0] + dx * share - dy / length * off, start[1] + dy * share + dx / length * off)
        )
    return found
