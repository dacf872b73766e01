"""Better lists by small changes: add and drop pieces, whole kits at once, and swap one for another.

All changes are tried at once, whole-array: each touches the kits of its items and no others. What
two changes bring together is guessed as the sum of what each brings, and the best guesses are
worked out in full.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.stock.changes import Changes, changed
from fitcheck.stock.problem import Problem, complete_jobs, kit_shares, money

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Work is bounded: so many changes of a list in a row.
_MOST_STEPS = 400
_TRIED = 24
_TAKEN_OUT = 12
_SMALL = 1e-10


def tried(problem: Problem, changes: Changes, level: Ints) -> tuple[Floats, Floats]:
    """What each change by itself brings in complete jobs, and what it costs.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        The list as it stands.

    Returns
    -------
    gain, cost : array of float
        Jobs a year, and money.
    """
    import numpy as np

    item = problem.use_item[changes.use]
    after = changed(problem, item, level[item], changes.use_pieces)
    after = np.where(changes.use_pieces == 0, level[item], after)
    step = np.maximum(after - problem.use_quantity[changes.use] + 1, 0)
    share = problem.ready[problem.row[item] + step]
    if problem.has_substitutes:
        share = 1.0 - np.multiply.reduceat(1.0 - share, changes.slot_start[:-1])
    kits = np.multiply.reduceat(share, changes.pair_start[:-1])
    more = (kits - kit_shares(problem, level)[changes.kit]) * problem.kit_rate[changes.kit]
    gain = np.bincount(changes.pair_change, more, minlength=changes.count).astype(np.float64)
    own = changed(problem, changes.item, level[changes.item], changes.pieces)
    spent = problem.price[changes.item] * (own - level[changes.item])
    cost: Floats = np.add.reduceat(spent, changes.start[:-1])
    return gain, cost


def applied(problem: Problem, changes: Changes, level: Ints, which: list[int]) -> Ints:
    """A list after some changes.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        The list before.
    which : list of int
        The changes, one after another.
    """
    level = level.copy()
    for one in which:
        part = slice(changes.start[one], changes.start[one + 1])
        item = changes.item[part]
        level[item] = changed(problem, item, level[item], changes.pieces[part])
    return level


def filled(
    problem: Problem,
    changes: Changes,
    level: Ints,
    budget: float,
    barred: NDArray[np.bool_] | None = None,
) -> Ints:
    """Spend what is left, one change at a time, always the one that brings most for its money.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        A list within the budget.
    budget : float
        The money.
    barred : array of bool, optional
        Changes that are not to be made.
    """
    import numpy as np

    for _ in range(_MOST_STEPS):
        gain, cost = tried(problem, changes, level)
        fits = (cost > 0) & (cost <= budget - money(problem, level) + _SMALL) & (gain > _SMALL)
        if barred is not None:
            fits &= ~barred
        if not fits.any():
            break
        best = int(np.argmax(np.where(fits, gain / np.maximum(cost, _SMALL), -1.0)))
        level = applied(problem, changes, level, [best])
    return level


def cut(problem: Problem, changes: Changes, level: Ints, budget: float) -> Ints:
    """Drop what brings least for its money until a list is within a budget.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        A list over the budget.
    budget : float
        The money.
    """
    import numpy as np

    while (over := money(problem, level) - budget) > _SMALL:
        gain, cost = tried(problem, changes, level)
        saves = cost < -_SMALL
        if not saves.any():
            break
        # Saving more than is needed counts for no more than what is needed.
        useful = np.minimum(-cost, over)
        loss = np.where(saves, -gain / np.maximum(useful, _SMALL), np.inf)
        level = applied(problem, changes, level, [int(np.argmin(loss))])
    return level


def swapped(problem: Problem, changes: Changes, level: Ints, budget: float) -> Ints:
    """Swap as long as that completes more jobs within the money.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        A list within the budget.
    budget : float
        The money.
    """
    best = complete_jobs(problem, level)
    for _ in range(_MOST_STEPS):
        found, value = level, best
        for pair in _promising(problem, changes, level, budget):
            other = applied(problem, changes, level, pair)
            if money(problem, other) > budget + _SMALL:
                continue
            jobs = complete_jobs(problem, other)
            if jobs > value + _SMALL:
                found, value = other, jobs
        if found is level:
            break
        level, best = found, value
    return level


def rebuilt(problem: Problem, changes: Changes, level: Ints, budget: float) -> Ints:
    """Take something out, spend its money otherwise, and keep what completes more jobs.

    Parameters
    ----------
    problem : Problem
        The problem.
    changes : Changes
        The changes.
    level : array of int, (N,)
        A list within the budget.
    budget : float
        The money.
    """
    import numpy as np

    best = complete_jobs(problem, level)
    for _ in range(_MOST_STEPS):
        gain, cost = tried(problem, changes, level)
        down = np.flatnonzero(cost < -_SMALL)
        order = down[np.argsort(gain[down] / cost[down], kind="stable")][:_TAKEN_OUT]
        for one in order.tolist():
            gone = np.zeros(len(level), dtype=np.bool_)
            gone[changes.item[changes.start[one] : changes.start[one + 1]]] = True
            barred = np.logical_or.reduceat(gone[changes.item], changes.start[:-1])
            other = applied(problem, changes, level, [one])
            other = filled(problem, changes, other, budget, barred)
            other = filled(problem, changes, other, budget)
            jobs = complete_jobs(problem, other)
            if jobs > best + _SMALL:
                level, best = other, jobs
                break
        else:
            break
    return level


def _promising(problem: Problem, changes: Changes, level: Ints, budget: float) -> list[list[int]]:
    """Changes and pairs of changes that fit the money, those that promise most first."""
    import numpy as np

    gain, cost = tried(problem, changes, level)
    left = budget - money(problem, level) + _SMALL
    up = np.flatnonzero((cost > 0) & (gain > _SMALL))
    down = np.flatnonzero(cost < -_SMALL)
    alone = up[cost[up] <= left]
    found = [[int(one)] for one in alone[np.argsort(-gain[alone])][:_TRIED]]
    if not len(up) or not len(down):
        return found
    order = up[np.argsort(cost[up], kind="stable")]
    if len(up) * len(down) <= 250_000:
        together = np.where(
            cost[down][:, None] + cost[order][None, :] <= left,
            gain[down][:, None] + gain[order][None, :],
            -np.inf,
        ).ravel()
        top = np.argsort(-together)[: 2 * _TRIED]
        for at in top[np.isfinite(together[top])].tolist():
            found.append([int(down[at // len(order)]), int(order[at % len(order)])])
        return found
    highest = np.maximum.accumulate(gain[order])
    best = np.zeros(len(order), dtype=np.int64)
    rising = np.flatnonzero(np.concatenate([[True], np.diff(highest) > 0]))
    best[rising] = rising
    best = np.maximum.accumulate(best)
    room = np.searchsorted(cost[order], left - cost[down], side="right") - 1
    able = room >= 0
    partner = order[best[np.maximum(room, 0)]]
    hope = np.where(able, gain[down] + gain[partner], -np.inf)
    top = np.argsort(-hope)[: 2 * _TRIED]
    return found + [[int(down[at]), int(partner[at])] for at in top if np.isfinite(hope[at])]
