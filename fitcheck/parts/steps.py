"""Rows of a table that follow each other by size, found by bisection."""

from __future__ import annotations

import math
from bisect import bisect_left

from fitcheck.tables import Row, in_step, step_row

# From the edge of a table's first step to a size in it, in mm or inches.
_JUST_OVER = 1e-6


class Steps:
    """Rows of one table that follow each other by a size, ``over_`` and ``incl_`` of its unit."""

    __slots__ = ("_ends", "_high", "_low", "_rises", "rows", "unit")

    def __init__(self, rows: tuple[Row, ...], *, unit: str) -> None:
        self.rows = rows
        self.unit = unit
        ends = [row.maybe(f"incl_{unit}") for row in rows]
        self._low = min(row.maybe(f"over_{unit}") or 0.0 for row in rows) + _JUST_OVER
        self._high = max(math.inf if end is None else end for end in ends)
        self._ends = [math.inf if end is None else end for end in ends]
        starts = [row.maybe(f"over_{unit}") or 0.0 for row in rows]
        self._rises = all(end <= start for end, start in zip(self._ends, starts[1:], strict=False))

    def row(self, value: float, *, what: str) -> Row:
        """The row whose step holds a value, or the refusal of :func:`fitcheck.tables.step_row`."""
        over, incl = f"over_{self.unit}", f"incl_{self.unit}"
        # In rising steps the right one is the first that does not end before the value.
        near = bisect_left(self._ends, value)
        for row in self.rows[max(0, near - 1) : near + 2] if self._rises else ():
            if in_step(row, value=value, over=over, incl=incl):
                return row
        return step_row(self.rows, value=value, over=over, incl=incl, what=what)

    def nearest(self, value: float) -> Row:
        """The row of a value, or the first or last row where the search looks past them."""
        return self.row(min(max(value, self._low), self._high), what="this size")
