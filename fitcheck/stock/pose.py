"""The stocking problem of a shop: from its model of demand to the arrays that are searched.

A size that stands in for another is asked for by the other's jobs too. How often depends on the
levels, so the loads are worked out for a list, and the list is judged under its own loads.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.lots import lots_of, unit_of_asks, usual_ask
from fitcheck.stock.policy import most_before_old
from fitcheck.stock.prices import Prices
from fitcheck.stock.problem import Problem, highest_levels, ready_rows, use_shares
from fitcheck.stock.records import Model

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Flags = NDArray[np.bool_]

# So many sizes may stand in for one.
MOST_SUBSTITUTES = 3
# So small a part more of what is asked for changes nothing.
_NOTHING = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Posed:
    """A problem with what it was made from.

    Attributes
    ----------
    problem : Problem
        The problem, each item under its own demand.
    mean, variance : array of float, (N,)
        Demand in the lead time.
    order : array of int, (N,)
        Pieces that are ordered at once.
    years : array of float, (N,)
        From a look at the shelf to the pieces lying on it [years].
    ask : array of int, (N,), optional
        Pieces of the usual ask; 1 where left out.
    unit : array of int, (N,), optional
        The pieces that divide every ask; 1 where left out.
    aged : array of bool, (N,), optional
        Whether shelf life holds the highest level down; nowhere where left out.
    """

    problem: Problem
    mean: Floats
    variance: Floats
    order: Ints
    years: Floats
    ask: Ints = None  # type: ignore[assignment]
    unit: Ints = None  # type: ignore[assignment]
    aged: Flags = None  # type: ignore[assignment]

    def __post_init__(self) -> None:
        """One piece an ask where nothing else is said."""
        import numpy as np

        for name in ("ask", "unit"):
            if getattr(self, name) is None:
                object.__setattr__(self, name, np.ones(len(self.mean), dtype=np.int64))
        if self.aged is None:
            object.__setattr__(self, "aged", np.zeros(len(self.mean), dtype=np.bool_))


def pose(model: Model, prices: Prices) -> Posed:
    """The problem of a model.

    Parameters
    ----------
    model : Model
        Demand, terms and kits.
    prices : Prices
        The price of each item.

    Notes
    -----
    The highest level of a size that ages is what is asked for within its life (see `policy`), yet
    never under one order nor under what one job takes. Levels go up as `lots` says.
    """
    import numpy as np

    pack = np.array([part.pack for part in model.parts], dtype=np.int64)[model.part_of]
    least = np.array([part.minimum for part in model.parts], dtype=np.int64)[model.part_of]
    order = -(-np.maximum(least, 1) // pack) * pack
    mean, variance = model.mean, np.maximum(model.variance, model.mean)
    slot_start, use_item, use_quantity = _uses(model)
    needed = np.zeros(len(mean), dtype=np.int64)
    np.maximum.at(needed, use_item, use_quantity)
    unit = unit_of_asks(use_item, use_quantity, len(mean))
    usual = usual_ask(model, unit)
    lots = lots_of(unit=unit, usual=usual, order=order)
    most = highest_levels(mean=mean, variance=variance, pack=order, unit=unit)
    most = most + np.maximum(needed - 1, 0)
    life, ages = most_before_old(model)
    young = np.where(ages, np.maximum(life, needed), most)
    aged = young < most
    most = np.minimum(most, young)
    most = np.maximum(most, lots.first)
    most = most - (most - lots.first) % lots.step
    row, ready, most = ready_rows(mean=mean, variance=variance, pack=order, most=most, unit=unit)
    problem = Problem(
        price=prices.price,
        least=model.always.astype(np.int64),
        first=lots.first,
        most=most,
        row=row,
        ready=ready,
        kit_rate=model.kit_rate if model.kit_pace is None else model.kit_rate * model.kit_pace,
        kit_start=model.kit_start,
        slot_start=slot_start,
        use_item=use_item,
        use_quantity=use_quantity,
        step=lots.step,
    )
    years = model.lead_mean_years + model.review_years
    if model.pace is not None:
        # Jobs come at the pace of the days looked at, and their lead times may be another.
        years = years * model.pace.lead / model.pace.now
    return Posed(problem, mean, variance, order, years, usual, unit, aged)


def _uses(model: Model) -> tuple[Ints, Ints, Ints]:
    """Each slot's own size, and after it what may stand in."""
    import numpy as np

    item = model.kit_item
    others = np.minimum(model.sub_start[item + 1] - model.sub_start[item], MOST_SUBSTITUTES)
    start = np.zeros(len(item) + 1, dtype=np.int64)
    np.cumsum(others + 1, out=start[1:])
    slot = np.repeat(np.arange(len(item)), others + 1)
    place = np.arange(start[-1]) - start[slot]
    use = item[slot]
    stand_in = np.flatnonzero(place > 0)
    use[stand_in] = model.sub_item[model.sub_start[use[stand_in]] + place[stand_in] - 1]
    return start, use, model.kit_quantity[slot]


def loaded(posed: Posed, level: Ints) -> Problem:
    """The problem with the loads that a list itself makes: what is out is asked of its stand-ins.

    Parameters
    ----------
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.
    """
    if not posed.problem.has_substitutes:
        return posed.problem
    return with_asks(posed, asks_of_others(posed, level))


def asks_of_others(posed: Posed, level: Ints) -> Floats:
    """What stand-ins are asked for in the place of others in their lead time [pieces].

    Parameters
    ----------
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.

    Notes
    -----
    The more a stand-in is asked for, the more often it is out itself: the first guess is too low,
    the next, made from it, too high, and so on; the middle of both lies near where they meet.
    """
    first = passed_on(posed, posed.problem, level)
    second = passed_on(posed, with_asks(posed, first), level)
    return (first + second) / 2.0


def passed_on(posed: Posed, problem: Problem, level: Ints) -> Floats:
    """What stand-ins are asked for in the place of others, under a given demand.

    Parameters
    ----------
    posed : Posed
        The problem.
    problem : Problem
        The same under that demand.
    level : array of int, (N,)
        The list.

    Notes
    -----
    Of the asks for a size, the share it does not meet goes to the first stand-in, what that does
    not meet to the second, and so on.
    """
    import numpy as np

    extra = np.zeros(len(posed.mean))
    for use, asks, _ in stand_in_asks(problem, level):
        pieces = asks * problem.use_quantity[use]
        extra += np.bincount(problem.use_item[use], pieces, minlength=len(extra))
    result: Floats = extra * posed.years
    return result


def stand_in_asks(problem: Problem, level: Ints) -> Iterator[tuple[Ints, Floats, Floats]]:
    """What reaches the first stand-ins, then the second, and so on.

    Parameters
    ----------
    problem : Problem
        The problem.
    level : array of int, (N,)
        The list.

    Returns
    -------
    iterator of (array of int, array of float, array of float)
        Uses, the asks a year that reach each of them, and the share of them that it meets.
    """
    import numpy as np

    shares = use_shares(problem, level)
    slot = problem.shape.open_slot
    first, width = problem.slot_start[slot], np.diff(problem.slot_start)[slot]
    asks = problem.kit_rate[problem.shape.kit_of_slot[slot]]
    for place in range(1, int(width.max(initial=0))):
        asks = asks * (1.0 - shares[first + place - 1])
        more = width > place
        first, width, asks = first[more], width[more], asks[more]
        yield first + place, asks, shares[first + place]


def with_asks(posed: Posed, extra: Floats) -> Problem:
    """The problem where each size is asked for so much more.

    Parameters
    ----------
    posed : Posed
        The problem.
    extra : array of float, (N,)
        More demand in the lead time [pieces]; its variance is its mean.
    """
    import numpy as np

    problem = posed.problem
    heavier = np.flatnonzero(extra > _NOTHING * posed.mean)
    if not len(heavier):
        return problem
    row, ready, _ = ready_rows(
        mean=posed.mean[heavier] + extra[heavier],
        variance=posed.variance[heavier] + extra[heavier],
        pack=posed.order[heavier],
        most=problem.most[heavier],
        unit=posed.unit[heavier],
    )
    whole = problem.ready.copy()
    to = np.repeat(problem.row[heavier] - row[:-1], problem.most[heavier] + 1)
    whole[to + np.arange(row[-1])] = ready
    return replace(problem, ready=whole)
