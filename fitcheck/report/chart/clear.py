"""Where a text may stand on a chart: on no curve, on no other text, inside the frame.

Plane geometry in any unit; y may run up or down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from fitcheck.records import dataclass

Point = tuple[float, float]
# A text that finds no place within this many of its own heights stays at the last one tried.
_RINGS = 12
_DIRECTIONS = 16


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle from (left, low) to (right, high)."""

    left: float
    low: float
    right: float
    high: float

    def grown(self, by: float) -> Box:
        """The rectangle with a margin all round."""
        return Box(self.left - by, self.low - by, self.right + by, self.high + by)

    def meets(self, other: Box) -> bool:
        """Whether two rectangles overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.low < other.high
            and other.low < self.high
        )

    def holds(self, other: Box) -> bool:
        """Whether the other rectangle lies within this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.low <= other.low
            and other.high <= self.high
        )


def crosses(box: Box, line: Sequence[Point]) -> bool:
    """Whether a polyline runs through a rectangle.

    Parameters
    ----------
    box : Box
        The rectangle.
    line : sequence of Point
        The corners of the polyline.

    Examples
    --------
    >>> crosses(Box(0.0, 0.0, 2.0, 1.0), [(-1.0, 0.5), (3.0, 0.6)])
    True
    >>> crosses(Box(0.0, 0.0, 2.0, 1.0), [(-1.0, 0.5), (0.5, 2.0)])
    False
    """
    return any(_cuts(box, one, other) for one, other in pairwise(line))


def _cuts(box: Box, one: Point, other: Point) -> bool:
    first, last = 0.0, 1.0
    for start, end, low, high in (
        (one[0], other[0], box.left, box.right),
        (one[1], other[1], box.low, box.high),
    ):
        span = end - start
        if span == 0.0:
            if not low <= start <= high:
                return False
            continue
        enters, leaves = sorted(((low - start) / span, (high - start) / span))
        first, last = max(first, enters), min(last, leaves)
    return first <= last


def clear_place(
    *,
    size: tuple[float, float],
    at: Point,
    lines: Iterable[Sequence[Point]],
    boxes: Iterable[Box],
    frame: Box,
    gap: float,
) -> Box:
    """The nearest place for a text beside a point where nothing else stands or runs.

    Parameters
    ----------
    size : (float, float)
        Width and height of the text.
    at : Point
        What the text names.
    lines : iterable of polylines
        The curves.
    boxes : iterable of Box
        Marks and texts that stand already.
    frame : Box
        Where the text must lie.
    gap : float
        Room left round the text.

    Returns
    -------
    Box
        The nearest clear place; where there is none, one inside the frame beside the point.
    """
    runs, taken = [list(line) for line in lines], list(boxes)
    wide, high = size
    fallback = _within(_beside(at, wide, high, gap, 0.0), frame)
    for ring in range(_RINGS):
        for step in range(_DIRECTIONS):
            angle = 2.0 * math.pi * step / _DIRECTIONS
            box = _beside(at, wide, high, gap + ring * high, angle)
            roomy = box.grown(gap / 2.0)
            if (
                frame.holds(box)
                and not any(roomy.meets(other) for other in taken)
                and not any(crosses(roomy, run) for run in runs)
            ):
                return box
    return fallback


def _beside(at: Point, wide: float, high: float, away: float, angle: float) -> Box:
    """A box in a direction from a point, with this much room between them."""
    along, up = math.cos(angle), math.sin(angle)
    middle_x = at[0] + along * (away + wide / 2.0)
    middle_y = at[1] + up * (away + high / 2.0)
    return Box(
        middle_x - wide / 2.0,
        middle_y - high / 2.0,
        middle_x + wide / 2.0,
        middle_y + high / 2.0,
    )


def _within(box: Box, frame: Box) -> Box:
    across = max(frame.left - box.left, 0.0) + min(frame.right - box.right, 0.0)
    up = max(frame.low - box.low, 0.0) + min(frame.high - box.high, 0.0)
    return Box(box.left + across, box.low + up, box.right + across, box.high + up)


def spread(places: Sequence[float], *, apart: float, low: float, high: float) -> list[float]:
    """Places moved as little as needed to stand apart in their order, within a range.

    Parameters
    ----------
    places : sequence of float
        Where they would stand, from low to high.
    apart : float
        The least distance of neighbours.
    low, high : float
        The range; left where there are too many for it.

    Examples
    --------
    >>> spread([0.1, 0.2, 3.0], apart=1.0, low=0.0, high=3.0)
    [0.1, 1.1, 3.0]
    >>> spread([2.6, 2.7, 2.9], apart=1.0, low=0.0, high=3.0)
    [1.0, 2.0, 3.0]
    """
    made: list[float] = []
    for place in places:
        made.append(max(place, low, made[-1] + apart if made else low))
    for number in range(len(made) - 1, -1, -1):
        most = high if number == len(made) - 1 else made[number + 1] - apart
        made[number] = min(made[number], most)
    return made
