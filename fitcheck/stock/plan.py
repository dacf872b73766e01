"""The stocking list: levels that complete the most jobs for the money.

Several ways lead to a list, and the best is kept: the list that fills the most single lines; that
list bettered by going round; and, where the problem is small enough, the fullest list that holds at
a price of money, the one just over the budget cut back to it, and lists grown out of single kits,
each bettered by swaps. So the plan is never worse than the per-line list at the same money.
"""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from fitcheck.errors import NotKnownError
from fitcheck.records import dataclass
from fitcheck.stock.changes import Changes, changed, changes_of, ways
from fitcheck.stock.choices import Choices, bare, choices_of, full
from fitcheck.stock.pose import Posed, loaded
from fitcheck.stock.problem import Problem, complete_jobs, money, own_only
from fitcheck.stock.rounds import gone_round
from fitcheck.stock.spend import around_budget, per_line, topped_up
from fitcheck.stock.swaps import cut, filled, rebuilt, swapped

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

# Above so many uses swaps are left out: the steps of a list are then small beside the money.
SWAP_USES = 6_000
# So many lists are bettered by swaps; a list is grown out of each kit where there are no more.
_BETTERED = 3
_GROWN_KITS = 40
_LOAD_TURNS = 2
_MONEY_TURNS = 24
_MONEY_ROUGH, _MONEY_CLOSE = 1e-2, 2e-3
# Swaps are taken to save no more than this leaves of the money.
_MONEY_SAVED = 0.85
_HAIR = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A list and what it does.

    Attributes
    ----------
    level : array of int, (N,)
        Pieces of each item.
    jobs : float
        Jobs a year that are complete from the shelf.
    money : float
        Money that it holds.
    """

    level: Ints
    jobs: float
    money: float


def _found(problem: Problem, level: Ints) -> Found:
    return Found(level, complete_jobs(problem, level), money(problem, level))


def best_list(problem: Problem, budget: float, *, also: tuple[Ints, ...] = ()) -> Found:
    """The list that completes the most jobs for a sum of money.

    Parameters
    ----------
    problem : Problem
        The problem.
    budget : float
        The money [currency].
    also : tuple of array of int
        Other lists to begin from, with what is always kept; those over the budget are passed over.

    Raises
    ------
    NotKnownError
        The pieces that must be kept already cost more.
    """
    return max(
        (_found(problem, level) for level in good_lists(problem, budget, also=also)),
        # A tie goes to the list that holds less money.
        key=lambda found: (found.jobs, -found.money),
    )


def good_lists(
    problem: Problem,
    budget: float,
    *,
    also: tuple[Ints, ...] = (),
    swaps: bool = True,
) -> list[Ints]:
    """Good lists for a sum of money, the per-line list first.

    Parameters
    ----------
    problem : Problem
        The problem.
    budget : float
        The money [currency].
    also : tuple of array of int
        Other lists to begin from, with what is always kept; those over the budget are passed over.
    swaps : bool
        Whether lists are bettered by swaps.

    Raises
    ------
    NotKnownError
        The pieces that must be kept already cost more.
    """
    import numpy as np

    choices = choices_of(problem)
    _check_budget(problem, choices, budget)
    lines, price = per_line(problem, choices, budget)
    within, over, _ = around_budget(problem, choices, budget, price)
    starts = [lines, topped_up(problem, choices, within, budget)]
    lowest = bare(choices)
    capped = [np.maximum(np.minimum(level, problem.most), lowest) for level in also]
    starts += [level for level in capped if money(problem, level) <= budget]
    if not swaps or not len(problem.use_item):
        return starts
    changes = changes_of(problem)
    starts += _small_starts(problem, changes, (within, over, lowest), budget)
    distinct = {level.tobytes(): level for level in starts}.values()
    promising = sorted(distinct, key=lambda level: -complete_jobs(problem, level))
    better = [swapped(problem, changes, level, budget) for level in promising[:_BETTERED]]
    best = max(better, key=lambda level: complete_jobs(problem, level))
    again = rebuilt(problem, changes, best, budget)
    return [lines, *better, swapped(problem, changes, again, budget)]


def plan_for_budget(
    posed: Posed, budget: float, *, also: tuple[Ints, ...] = (), swaps: bool = True
) -> Ints:
    """The list of a shop for a sum of money, each list judged under the loads it makes itself.

    Parameters
    ----------
    posed : Posed
        The problem.
    budget : float
        The money [currency].
    also : tuple of array of int
        Other lists to begin from.
    swaps : bool
        Whether lists are bettered by swaps where the problem is small enough.
    """
    import numpy as np

    problem = posed.problem
    choices = choices_of(problem)
    _check_budget(problem, choices, budget)
    lines, price = per_line(problem, choices, budget)
    lists = [lines, gone_round(posed, choices, budget, lines, price)]
    # What is always kept is kept whatever a list to begin from says.
    lifted = [np.maximum(level, bare(choices)) for level in also]
    lists += [level for level in lifted if money(problem, level) <= budget]
    best, true = _best_of(posed, lists)
    if len(problem.use_item) > SWAP_USES:
        return best
    if problem.has_substitutes:
        # A list that asks nothing of others makes none of the loads that may mislead the search.
        alone = good_lists(own_only(problem), budget, swaps=swaps)
        best, true = _best_of(posed, [best, *alone])
    # What a list makes of the loads is what the next is searched under.
    for number in range(_LOAD_TURNS if problem.has_substitutes else 1):
        under = true if number else problem
        found = good_lists(under, budget, also=(best,), swaps=swaps)
        best, true = _best_of(posed, [best, *found])
    return best


def _best_of(posed: Posed, lists: list[Ints]) -> tuple[Ints, Problem]:
    """The list that completes most jobs under the loads it makes, and the problem under them."""
    found: tuple[float, float, Ints, Problem] | None = None
    for level in lists:
        true = loaded(posed, level)
        one = (complete_jobs(true, level), -money(true, level), level, true)
        if found is None or one[:2] > found[:2]:
            found = one
    assert found is not None
    return found[2], found[3]


def _check_budget(problem: Problem, choices: Choices, budget: float) -> None:
    lowest = money(problem, bare(choices))
    if lowest > budget:
        raise NotKnownError(
            value=f"a budget of {budget:.2f}",
            rule=f"the pieces that are always kept cost {lowest:.2f} by themselves",
            todo="Give more money, or mark fewer parts as critical",
        )


def plan_for_jobs(posed: Posed, share: float) -> Ints:
    """The list that completes a share of the jobs for the least money.

    Parameters
    ----------
    posed : Posed
        The problem.
    share : float
        The share of the jobs, above 0 and below 1.

    Raises
    ------
    NotKnownError
        Even the fullest shelves complete fewer.
    """
    problem = posed.problem
    choices = choices_of(problem)
    top = full(choices)
    reach = complete_jobs(loaded(posed, top), top) / problem.jobs
    if share > reach:
        raise NotKnownError(
            value=f"{share:.4%} of the jobs",
            rule=f"shelves as full as makes sense complete {reach:.2%}",
            todo="Ask for less: stock that is hardly ever asked for, or grows too old, is left out",
        )
    lowest = bare(choices)
    best, low, high = top, money(problem, lowest), money(problem, top)
    done = complete_jobs(loaded(posed, lowest), lowest) / problem.jobs
    most = min(max(reach, share + _HAIR), 1.0 - _HAIR)
    if done >= share:
        return lowest
    # First without swaps, which only ever save money; then with them, from a little below.
    for swaps, close in ((False, _MONEY_ROUGH), (True, _MONEY_CLOSE)):
        for turn in range(_MONEY_TURNS):
            if high - low <= close * high:
                break
            # The jobs left over fall by about the same part for the same money.
            part = log((1.0 - done) / (1.0 - share)) / log((1.0 - done) / (1.0 - most))
            part = min(0.8, max(0.2, part)) if turn % 3 < 2 else 0.5
            budget = low + part * (high - low)
            level = plan_for_budget(posed, budget, also=(best,), swaps=swaps)
            found = complete_jobs(loaded(posed, level), level) / problem.jobs
            if found >= share:
                best, high, most = (
                    level,
                    money(problem, level),
                    min(max(found, share + _HAIR), 1.0 - _HAIR),
                )
            else:
                low, done = budget, found
        low = max(money(problem, lowest), _MONEY_SAVED * high)
        if len(problem.use_item) > SWAP_USES:
            break
    return best


def _small_starts(
    problem: Problem, changes: Changes, lists: tuple[Ints, Ints, Ints], budget: float
) -> list[Ints]:
    """Lists to better: cut back from above, filled from below, and grown out of one kit each."""
    within, over, empty = lists
    found = [
        filled(problem, changes, cut(problem, changes, over, budget), budget),
        filled(problem, changes, within, budget),
    ]
    if len(problem.kit_rate) <= _GROWN_KITS:
        for uses in ways(problem):
            for kit in range(len(problem.kit_rate)):
                own = uses[problem.kit_start[kit] : problem.kit_start[kit + 1]]
                level = empty.copy()
                item = problem.use_item[own]
                level[item] = changed(problem, item, level[item], problem.use_quantity[own])
                if money(problem, level) <= budget:
                    found.append(filled(problem, changes, level, budget))
    return found
