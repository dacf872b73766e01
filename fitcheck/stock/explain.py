"""Why each size is on the list: what one more, one less and none of it do to whole jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.choices import choice_now, choice_worth, choices_of
from fitcheck.stock.levels import smallest_level
from fitcheck.stock.pose import Posed, loaded, stand_in_asks
from fitcheck.stock.problem import use_shares, use_worth
from fitcheck.stock.records import Model

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Pieces that are not asked for within so many years, nearly for sure, are dead stock.
DEAD_YEARS = 2.0
DEAD_SURE = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Effects:
    """For each item, what changing its level alone does; jobs by the year, money in currency.

    Attributes
    ----------
    share : array of float, (N,)
        Share of its own asks that find all their pieces on the shelf; where no job takes it, that
        of one piece.
    jobs : array of float, (N,)
        Jobs a year that take the size.
    kits : array of int, (N,)
        Different kits that take it.
    instead : array of float, (N,)
        Asks a year that are met by it in the place of another size that is out.
    more_jobs, more_money : array of float, (N,)
        What the next level up brings, and costs.
    less_jobs, less_money : array of float, (N,)
        What the next level down loses, and frees.
    none_jobs, none_money : array of float, (N,)
        What dropping it loses, and frees; also of what is always kept.
    """

    share: Floats
    jobs: Floats
    kits: Ints
    instead: Floats
    more_jobs: Floats
    more_money: Floats
    less_jobs: Floats
    less_money: Floats
    none_jobs: Floats
    none_money: Floats


def effects_of(posed: Posed, level: Ints) -> Effects:
    """What one more, one less and none of each item do.

    Parameters
    ----------
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.

    Notes
    -----
    Exact for an item alone: whole jobs are linear in the share of a single size. Two changes
    together are not the sum of both.
    """
    import numpy as np

    problem = loaded(posed, level)
    choices = choices_of(problem)
    worth = choice_worth(choices, use_worth(problem, level))
    now = choice_now(problem, choices, level)
    up = np.minimum(now + 1, choices.start[1:] - 1)
    down = np.maximum(now - 1, choices.start[:-1])
    count = len(problem.price)
    own = problem.slot_start[:-1]
    slot_rate = np.repeat(problem.kit_rate, np.diff(problem.kit_start))
    step = np.minimum(level, problem.most)
    jobs = np.bincount(problem.use_item[own], slot_rate, minlength=count).astype(np.float64)
    shares = use_shares(problem, level)[own] * slot_rate
    met = np.bincount(problem.use_item[own], shares, minlength=count)
    instead = np.zeros(count)
    for use, asks, share in stand_in_asks(problem, level):
        instead += np.bincount(problem.use_item[use], asks * share, minlength=count)
    return Effects(
        share=np.where(
            jobs > 0,
            met / np.where(jobs > 0, jobs, 1.0),
            problem.ready[problem.row[:-1] + step],
        ),
        jobs=jobs,
        kits=np.bincount(problem.use_item[own], minlength=count),
        instead=instead,
        more_jobs=worth[up] - worth[now],
        more_money=choices.money[up] - choices.money[now],
        less_jobs=worth[now] - worth[down],
        less_money=choices.money[now] - choices.money[down],
        # An empty shelf is worth nothing and holds nothing.
        none_jobs=worth[now],
        none_money=choices.money[now],
    )


@dataclass(frozen=True, slots=True, eq=False)
class Dead:
    """Pieces on the shelf that nobody will ask for soon, and pieces beyond the list.

    Attributes
    ----------
    dead : array of int, (N,)
        Pieces beyond the list and beyond what is asked for in two years, nearly for sure.
    over : array of int, (N,)
        Other pieces beyond the list: they sell in time and are not bought again.
    """

    dead: Ints
    over: Ints


def dead_stock(model: Model, level: Ints) -> Dead:
    """What of today's shelf a list has no use for.

    Parameters
    ----------
    model : Model
        Demand and today's shelf.
    level : array of int, (N,)
        The list.
    """
    import numpy as np

    held = np.flatnonzero(model.on_hand > level)
    dead, over = np.zeros(len(level), dtype=np.int64), np.zeros(len(level), dtype=np.int64)
    rate, scale = model.rate[held], model.rate_scale[held]
    mean = rate * DEAD_YEARS
    variance = model.dispersion[held] * mean + rate * scale * DEAD_YEARS**2
    sold = smallest_level(mean=mean, variance=np.maximum(variance, mean), wanted=DEAD_SURE)
    beyond = np.maximum(model.on_hand[held] - np.maximum(sold, level[held]), 0)
    dead[held] = beyond
    over[held] = model.on_hand[held] - level[held] - beyond
    return Dead(dead, over)
