"""How unevenly pieces are asked for: two at a time, and several jobs close together.

Variance over mean of the pieces in a stretch of time, were the rate known, is the product of two
things: E[q^2] / E[q] of the pieces q of one ask, and how much more than by chance the number of
asks differs from quarter to quarter.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import TYPE_CHECKING

from fitcheck.lists.items import OTHER
from fitcheck.records import dataclass
from fitcheck.stock.asks import Asks, Window
from fitcheck.stock.season import Clock

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.records import Part

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# The pieces of sizes like it weigh as much as so many asks of its own: a choice of ours.
BORROWED_ASKS = 10.0
# A size speaks about its own unevenness from so many asks on.
LEAST_ASKS = 4
_QUARTER_DAYS = 91
_LEAST_FREEDOM = 40.0
_MOST_SIZES = 20_000


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Variance over mean of each item's pieces, and of each kind of part's; notes for the buyer.

    ``asks`` is that of each item's asks alone, one for one, however many pieces they take.
    """

    dispersion: Floats
    asks: Floats
    kinds: Mapping[str, float]
    notes: tuple[str, ...] = field(default=())

    def of(self, what: str) -> float:
        """Variance over mean of a kind of part."""
        return self.kinds.get(what, 1.0)


def spread_of(
    asks: Asks, *, parts: Sequence[Part], branches: Sequence[str], window: Window, clock: Clock
) -> Spread:
    """How unevenly each item is asked for.

    Parameters
    ----------
    asks : Asks
        What was asked for.
    parts, branches : sequence
        Every part and every branch.
    window : Window
        The days each branch was watched.
    clock : Clock
        Time in years of average demand.

    Notes
    -----
    Between quarters: X^2 = sum (n_t - n p_t)^2 / (n p_t) over the quarters of a size with n asks,
    p_t the share of the time; given n it averages its degrees of freedom, however small n is,
    when asks come singly. The ratio of both, all sizes of a kind together, is the spread.

    Source: compound Poisson moments and Pearson's X^2, any textbook of statistics; from memory.
    """
    import numpy as np

    places, count = len(branches), len(parts) * len(branches)
    kinds = sorted({part.what for part in parts})
    kind_of = np.repeat([kinds.index(part.what) for part in parts], places)
    number = np.bincount(asks.item, minlength=count).astype(np.float64)
    once = np.bincount(asks.item, asks.pieces, minlength=count)
    squared = np.bincount(asks.item, asks.pieces**2, minlength=count)
    bunched = _bunching(asks, kind_of, len(kinds), window=window, clock=clock, places=places)
    by_kind: dict[str, float] = {}
    dispersion = np.ones(count)
    notes = []
    for at, what in enumerate(kinds):
        mine = kind_of == at
        asked = max(number[mine].sum(), 1.0)
        # A kind that nobody has asked for goes out one at a time.
        mean = once[mine].sum() / asked or 1.0
        square = squared[mine].sum() / asked or 1.0
        pooled = square / mean
        own = (squared[mine] + BORROWED_ASKS * square) / (once[mine] + BORROWED_ASKS * mean)
        own = np.where(number[mine] >= LEAST_ASKS, own, pooled)
        by_kind[what] = float(pooled * bunched[at])
        dispersion[mine] = own * bunched[at]
        if bunched[at] > 1.0:
            words = "other parts" if what == OTHER else f"{what}s"
            notes.append(
                f"{words} come in bunches: the asks of a quarter vary {bunched[at]:.1f} times as "
                "much as single chances would"
            )
    return Spread(np.maximum(dispersion, 1.0), bunched[kind_of], by_kind, tuple(notes))


def _bunching(
    asks: Asks, kind_of: Ints, kinds: int, *, window: Window, clock: Clock, places: int
) -> Floats:
    """For each kind of part, how much more the asks vary between quarters than by chance."""
    import numpy as np

    found = np.ones(kinds)
    chi_square, freedom = np.zeros(kinds), np.zeros(kinds)
    for place in range(places):
        first, last = int(window.first[place]), int(window.last[place])
        quarters = (last - first + 1) // _QUARTER_DAYS
        if quarters < 2:
            continue
        edges = first + np.arange(quarters + 1) * _QUARTER_DAYS
        share = clock.years(edges[:-1], edges[1:])
        share = share / share.sum()
        inside = (asks.item % places == place) & (asks.day < edges[-1]) & (asks.day >= first)
        item, day = asks.item[inside], asks.day[inside]
        many = np.flatnonzero(np.bincount(item, minlength=len(kind_of)) >= LEAST_ASKS)
        many = many[:: max(1, len(many) // _MOST_SIZES)]
        if not len(many):
            continue
        at = np.searchsorted(many, item)
        here = (at < len(many)) & (many[np.minimum(at, len(many) - 1)] == item)
        table = np.zeros((len(many), quarters))
        np.add.at(table, (at[here], (day[here] - first) // _QUARTER_DAYS), 1.0)
        expected = table.sum(1)[:, None] * share
        each = ((table - expected) ** 2 / expected).sum(1)
        chi_square += np.bincount(kind_of[many], each, minlength=kinds)
        freedom += np.bincount(kind_of[many], minlength=kinds) * (quarters - 1.0)
    enough = freedom >= _LEAST_FREEDOM
    found[enough] = np.maximum(1.0, chi_square[enough] / freedom[enough])
    return found
