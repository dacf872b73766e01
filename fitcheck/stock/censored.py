"""Days on which nothing could be sold because there was nothing on the shelf.

No sale on an empty shelf is no sign of no demand. Such days are left out of the time that a size
was watched, and so are the asks of those days, for nobody knows how many went unwritten: what is
left is an honest piece of history, only shorter.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from fitcheck.records import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Flags = NDArray[np.bool_]

    from fitcheck.stock.season import Clock

_DAYS = 1 << 24


@dataclass(frozen=True, slots=True, eq=False)
class Blind:
    """Stretches without a shelf, apart from each other: item, first day, first day after."""

    item: Ints
    first: Ints
    end: Ints

    def covers(self, item: Ints, day: Ints) -> Flags:
        """Whether each (item, day) lies in a stretch."""
        import numpy as np

        if not len(self.item):
            return np.zeros(len(item), dtype=np.bool_)
        place = np.searchsorted(self.item * _DAYS + self.first, item * _DAYS + day, "right") - 1
        at = np.maximum(place, 0)
        inside: Flags = (place >= 0) & (self.item[at] == item) & (day < self.end[at])
        return inside

    def years(self, clock: Clock, count: int) -> Floats:
        """Years of average demand that each item was not watched."""
        import numpy as np

        result: Floats = np.bincount(
            self.item, clock.years(self.first, self.end), minlength=count
        ).astype(np.float64)
        return result


def blind_stretches(
    *,
    item: Ints,
    day: Ints,
    short: Flags,
    lead_days: Floats,
    stretches: Iterable[tuple[int, int, int]] = (),
) -> Blind:
    """The stretches on which items could not be sold.

    Parameters
    ----------
    item, day : array of int
        The asks.
    short : array of bool
        Whether each is marked as not on the shelf.
    lead_days : array of float
        Time from order to shelf of each item [d].
    stretches : iterable of (int, int, int)
        Stretches that are known: item, first day, first day after.

    Notes
    -----
    An ask marked short is counted itself, and opens a stretch: the shelf is taken as empty from the
    next day until a lead time later, or to the end of the day of the item's next ask that was
    served, whichever is sooner. That ask closes the stretch and is not counted either: a piece
    was there again some unknown time before. The stretch depends on what came before it alone, so
    what is left is no skewed choice of the history.
    """
    import numpy as np

    known = np.array(list(stretches), dtype=np.int64).reshape(-1, 3)
    rows = [known[known[:, 2] > known[:, 1]]]
    if short.any():
        order = np.lexsort((day, item))
        keys = (item * _DAYS + day)[order]
        served = keys[~short[order]]
        asked_item, asked_day = item[short], day[short]
        limit = asked_day + 1 + np.ceil(lead_days[asked_item]).astype(np.int64)
        after = np.searchsorted(served, asked_item * _DAYS + asked_day + 1, "left")
        padded = np.concatenate([served, [np.iinfo(np.int64).max]])[after]
        same = padded // _DAYS == asked_item
        end = np.where(same, np.minimum(limit, padded % _DAYS + 1), limit)
        rows.append(np.column_stack([asked_item, asked_day + 1, end]))
    return _merged(np.concatenate(rows))


def _merged(rows: Ints) -> Blind:
    """Stretches that touch or overlap become one."""
    import numpy as np

    if not len(rows):
        none = np.zeros(0, dtype=np.int64)
        return Blind(none, none, none)
    rows = rows[np.lexsort((rows[:, 1], rows[:, 0]))]
    low, high = rows[:, 0] * _DAYS + rows[:, 1], rows[:, 0] * _DAYS + rows[:, 2]
    reach = np.maximum.accumulate(high)
    # A stretch starts where everything before it has ended; items never reach into each other.
    starts = np.concatenate([[True], low[1:] > reach[:-1]])
    first = np.flatnonzero(starts)
    last = np.concatenate([first[1:] - 1, [len(rows) - 1]])
    return Blind(rows[first, 0], rows[first, 1], reach[last] - rows[first, 0] * _DAYS)
