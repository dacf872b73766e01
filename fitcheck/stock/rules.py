"""The rules that a plan is held against, each given the same money."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.stock.asks import Asks
from fitcheck.stock.choices import choices_of
from fitcheck.stock.pose import Posed
from fitcheck.stock.spend import per_line

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

HITS = 3
_DAYS = 365
_MOST_MONTHS = 1200.0
_TURNS = 50


def three_hits(posed: Posed, asks: Asks, *, last: int, budget: float) -> Ints:
    """Keep what was asked for three times in twelve months, as many months of it as money allows.

    Parameters
    ----------
    posed : Posed
        Prices and packs.
    asks : Asks
        What was asked for, with day and item.
    last : int
        The last day that is known, as ``date.toordinal``.
    budget : float
        The money [currency].

    Notes
    -----
    The maximum is the year's pieces times months / 12, rounded up, at least one order; months is
    the largest that the money allows. Money left over adds a piece each to those hit most. Where
    even one order of each costs too much, those hit most come first. What goes is re-ordered as
    soon as an order's worth is gone, which is kinder to the rule than a lower minimum.

    Source: the rule of thumb of parts counters; the common form, from memory.
    """
    import numpy as np

    recent = asks.day > last - _DAYS
    count = len(posed.mean)
    hits = np.bincount(asks.item[recent], minlength=count)
    pieces = np.bincount(asks.item[recent], asks.pieces[recent], minlength=count)
    kept = np.flatnonzero(hits >= HITS)
    # Those hit most first; of these the cheaper.
    kept = kept[np.lexsort((posed.problem.price[kept], -hits[kept]))]
    price, order = posed.problem.price[kept], posed.order[kept]

    def levels(months: float) -> Ints:
        wanted = np.ceil(pieces[kept] * months / 12.0 - 1e-9).astype(np.int64)
        result: Ints = np.maximum(wanted, order)
        return result

    found = np.zeros(count, dtype=np.int64)
    if float((price * order).sum()) > budget:
        for at, cost in enumerate((price * order).tolist()):
            if cost <= budget:
                budget -= cost
                found[kept[at]] = order[at]
        return found
    low, high = 0.0, _MOST_MONTHS
    for _ in range(_TURNS):
        middle = (low + high) / 2
        if float((price * levels(middle)).sum()) <= budget:
            low = middle
        else:
            high = middle
    level = levels(low)
    left = budget - float((price * level).sum())
    for at in range(len(kept)):
        if price[at] <= left:
            left -= float(price[at])
            level[at] += 1
    found[kept] = level
    return found


def line_fill(posed: Posed, budget: float) -> Ints:
    """The list that fills the most single lines, from the same estimate of demand.

    Parameters
    ----------
    posed : Posed
        The problem.
    budget : float
        The money [currency].
    """
    return per_line(posed.problem, choices_of(posed.problem), budget)[0]
