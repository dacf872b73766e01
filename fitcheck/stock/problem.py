"""The stocking problem as arrays: what each level is worth to whole jobs, and what it costs.

A *slot* is one line of a kit: some pieces of one size. A *use* is one way to fill a slot: the size
itself, or another that does as well. A job is complete from the shelf when each of its slots is
filled; a slot is filled when one of its uses is. Jobs taken together are a sum of products, which
is what makes the list of whole jobs another than the list of single lines.

Left out on purpose: that the parts of one kit may run out together (they are taken as independent),
and that a job which takes a substitute leaves one less of it, except through `overflow`.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.shape import Shape, products, shape_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Levels are looked at up to where demand stays under them all but this often.
TAIL = 1e-4
# A size is never looked at beyond so many pieces in one place.
HIGHEST_LEVEL = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """The choice of a level for each of N items, one item being one size at one branch.

    Attributes
    ----------
    price : array of float, (N,)
        Money for one piece.
    least : array of int, (N,)
        Pieces that are kept whatever the arithmetic says.
    first : array of int, (N,)
        Fewest pieces that are kept when any are: the pack.
    most : array of int, (N,)
        The highest level.
    row : array of int, (N + 1,)
        Where each item's part of `ready` begins.
    ready : array of float
        For each item, at t = 0 ... most: the share of asks for q pieces that are met at level S,
        where t = S - q + 1; 0 at t = 0.
    kit_rate : array of float, (K,)
        Jobs a year.
    kit_start : array of int, (K + 1,)
        Kit k has the slots kit_start[k] up to before kit_start[k + 1].
    slot_start : array of int, (M + 1,)
        Slot m has the uses slot_start[m] up to before slot_start[m + 1], the size itself first.
    use_item, use_quantity : array of int
        The item of each use, and the pieces it takes.
    shape : Shape, optional
        How they hang together; worked out where left out.
    step : array of int, (N,), optional
        What a level goes up by from `first` on; 1 where left out.
    """

    price: Floats
    least: Ints
    first: Ints
    most: Ints
    row: Ints
    ready: Floats
    kit_rate: Floats
    kit_start: Ints
    slot_start: Ints
    use_item: Ints
    use_quantity: Ints
    shape: Shape = None  # type: ignore[assignment]
    step: Ints = None  # type: ignore[assignment]

    def __post_init__(self) -> None:
        """Work out what hangs together, once for all the rounds to come."""
        import numpy as np

        if self.step is None:
            object.__setattr__(self, "step", np.ones(len(self.price), dtype=np.int64))
        if self.shape is None:
            object.__setattr__(
                self,
                "shape",
                shape_of(
                    kit_start=self.kit_start,
                    slot_start=self.slot_start,
                    use_item=self.use_item,
                    use_quantity=self.use_quantity,
                ),
            )

    @property
    def has_substitutes(self) -> bool:
        """Whether some slot can be filled in more than one way."""
        return len(self.use_item) > len(self.slot_start) - 1

    @property
    def jobs(self) -> float:
        """Jobs a year, all of them."""
        return float(self.kit_rate.sum())


def own_only(problem: Problem) -> Problem:
    """The problem without stand-ins: every slot is filled by its own size or not at all.

    Parameters
    ----------
    problem : Problem
        The problem.
    """
    import numpy as np

    own = problem.slot_start[:-1]
    start, item = np.arange(len(own) + 1), problem.use_item[own]
    quantity = problem.use_quantity[own]
    return replace(
        problem,
        slot_start=start,
        use_item=item,
        use_quantity=quantity,
        shape=shape_of(
            kit_start=problem.kit_start, slot_start=start, use_item=item, use_quantity=quantity
        ),
    )


def money(problem: Problem, level: Ints) -> float:
    """Money that full shelves hold.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item.
    """
    return float((problem.price * level).sum())


def use_shares(problem: Problem, level: Ints) -> Floats:
    """Share of asks that each use meets by itself.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item.
    """
    import numpy as np

    # More than the highest level does no more than it.
    item = problem.shape.ask_item
    step = np.minimum(level, problem.most)[item] - problem.shape.ask_quantity + 1
    of_ask = problem.ready[problem.row[item] + np.maximum(step, 0)]
    result: Floats = of_ask[problem.shape.ask_of_use]
    return result


def slot_shares(problem: Problem, level: Ints) -> Floats:
    """Share of asks that each slot meets, by the size itself or by what does as well.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item.
    """

    return _slots(problem, use_shares(problem, level))


def _slots(problem: Problem, shares: Floats) -> Floats:
    import numpy as np

    shape = problem.shape
    if not len(shape.open_slot):
        return shares
    result: Floats = shares[problem.slot_start[:-1]]
    missed = np.multiply.reduceat(1.0 - shares[shape.open_use], shape.open_start)
    result[shape.open_slot] = 1.0 - missed
    return result


def kit_shares(problem: Problem, level: Ints) -> Floats:
    """Share of the jobs of each kit that are complete from the shelf.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item.
    """
    import numpy as np

    if not len(problem.kit_rate):
        return np.zeros(0)
    shape = problem.shape
    slots = slot_shares(problem, level)
    return products(slots, problem.kit_start, shape.wide_kit, shape.wide_slot, shape.wide_start)


def complete_jobs(problem: Problem, level: Ints) -> float:
    """Jobs a year that are complete from the shelf, expected.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item.
    """
    return float(problem.kit_rate @ kit_shares(problem, level))


def use_worth(problem: Problem, level: Ints) -> Floats:
    """What one more filled ask of each use is worth: jobs a year that wait for it alone.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        Pieces of each item; those of the other items matter.

    Notes
    -----
    The derivative of the complete jobs by the share of the use: the rate of the kit times the
    shares of its other slots, times the chance that no other use fills the slot.
    """
    import numpy as np

    # Nothing is quite 0, so that what the others do can be had by division.
    tiny = 1e-9
    shape = problem.shape
    shares = use_shares(problem, level)
    worth: Floats = problem.kit_rate[shape.kit_of_slot]
    if len(shape.wide_kit):
        slots = np.maximum(_slots(problem, shares)[shape.wide_slot], tiny)
        whole = np.multiply.reduceat(slots, shape.wide_start)
        worth[shape.wide_slot] *= whole[shape.wide_of_slot] / slots
    if not len(shape.open_slot):
        return worth
    result: Floats = worth[shape.slot_of_use]
    misses = np.maximum(1.0 - shares[shape.open_use], tiny)
    missed = np.multiply.reduceat(misses, shape.open_start)
    result[shape.open_use] *= missed[shape.open_of_use] / misses
    return result


def ready_rows(
    *,
    mean: Floats,
    variance: Floats,
    pack: Ints,
    most: Ints | None = None,
    unit: Ints | None = None,
) -> tuple[Ints, Floats, Ints]:
    """The rows of `Problem.ready` from the demand in the lead time.

    Parameters
    ----------
    mean, variance : array of float, (N,)
        Mean and variance of the demand in the lead time.
    pack : array of int, (N,)
        Pieces that are ordered at once.
    most : array of int, (N,), optional
        The highest level; found from `TAIL` where left out.
    unit : array of int, (N,), optional
        The pieces that divide every ask; 1 where left out.

    Returns
    -------
    row, ready, most : array

    Notes
    -----
    With packs of Q and a highest level S the stock position is each of S - Q + 1 ... S equally
    often, so the share for one piece is the mean of P(X <= y - 1) over them. Where all asks are
    of u pieces or several u, X counts by u, and y of them are floor(y / u): what is left over
    serves nobody.
    """
    import numpy as np

    if most is None:
        most = highest_levels(mean=mean, variance=variance, pack=pack, unit=unit)
    if unit is not None and (unit > 1).any():
        return _rows_of_units(mean=mean, variance=variance, pack=pack, most=most, unit=unit)
    row, ready = _single_rows(mean=mean, variance=variance, most=most)
    packed = np.repeat(pack, most + 1)
    if (packed > 1).any():
        ready = _window_means(ready, np.arange(1, len(ready) + 1), packed, row, most)
    return row, ready, most


def _window_means(ready: Floats, end: Ints, width: Ints, row: Ints, most: Ints) -> Floats:
    """Of each place the mean share before an end, over the positions that an order makes."""
    import numpy as np

    total = np.concatenate([np.zeros(1), np.cumsum(ready)])
    start = np.maximum(end - width, np.repeat(row[:-1], most + 1))
    return np.where(width > 1, (total[end] - total[start]) / width, ready)


def _rows_of_units(
    *, mean: Floats, variance: Floats, pack: Ints, most: Ints, unit: Ints
) -> tuple[Ints, Floats, Ints]:
    """The rows where some sizes go out by twos, threes ... only."""
    import numpy as np

    rates = mean / unit
    spread = np.maximum(variance / unit**2, rates)
    by_unit, shares = _single_rows(mean=rates, variance=spread, most=-(-most // unit))
    row = np.zeros(len(mean) + 1, dtype=np.int64)
    np.cumsum(most + 1, out=row[1:])
    item = np.repeat(np.arange(len(mean)), most + 1)
    place = np.arange(row[-1]) - row[item]
    # The first unit of pieces is one ask, the second the next.
    ready = shares[by_unit[item] + -(-place // unit[item])]
    grain = np.gcd(unit, pack)[item]
    # What lies there changes by whole grains: the positions that there are end a grain together.
    top = np.minimum(-(-place // grain) * grain, most[item])
    return row, _window_means(ready, row[item] + top + 1, pack[item], row, most), most


def _single_rows(*, mean: Floats, variance: Floats, most: Ints) -> tuple[Ints, Floats]:
    """The rows for orders of one piece and asks of one."""
    import numpy as np

    from fitcheck.stock.levels import cumulative_rows

    row = np.zeros(len(mean) + 1, dtype=np.int64)
    np.cumsum(most + 1, out=row[1:])
    ready = np.zeros(int(row[-1]))
    # Items of like length together, so that the many short ones do not wait for the few long.
    bucket = np.ceil(np.log2(np.maximum(most, 1))).astype(np.int64)
    for length in np.unique(bucket):
        these = np.flatnonzero(bucket == length)
        rows = cumulative_rows(
            mean=mean[these], variance=variance[these], highest=int(most[these].max()) - 1
        )
        for level, shares in rows:
            inside = level < most[these]
            ready[row[these[inside]] + level + 1] = shares[inside]
    return row, ready


def highest_levels(*, mean: Floats, variance: Floats, pack: Ints, unit: Ints | None = None) -> Ints:
    """The highest level worth a look: demand stays under it all but `TAIL` of the time.

    Parameters
    ----------
    mean, variance : array of float, (N,)
        Mean and variance of the demand in the lead time.
    pack : array of int, (N,)
        Pieces that are ordered at once.
    unit : array of int, (N,), optional
        The pieces that divide every ask; 1 where left out.
    """
    import numpy as np

    from fitcheck.stock.levels import smallest_level

    if unit is not None and (unit > 1).any():
        mean = mean / unit
        variance = np.maximum(variance / unit**2, mean)
        found = smallest_level(mean=mean, variance=variance, wanted=1.0 - TAIL) * unit
    else:
        found = smallest_level(mean=mean, variance=variance, wanted=1.0 - TAIL)
    result: Ints = np.minimum(found + pack, HIGHEST_LEVEL)
    return result
