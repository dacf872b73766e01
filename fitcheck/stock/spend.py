"""Spend a budget: the price of money at which a list comes out at it, and the rest on top."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fitcheck.stock.choices import (
    Choices,
    bare,
    best_choices,
    choice_now,
    choice_worth,
    choices_of,
    full,
    settled,
    turns_of,
)
from fitcheck.stock.problem import Problem, money, own_only, use_worth

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

_TOP_UPS = 60
_TURNS = 80
# A list so near to its budget, and a price of money so near on both sides, are near enough.
_NEAR = 1e-4
# In a large list what is left is spent in small steps anyway.
_MANY_USES, _NEAR_OF_MANY = 20_000, 2e-3
_CLOSE = 1e-4
_NO_PRICE = 1e-15


def line_worth(problem: Problem) -> Floats:
    """What a use is worth where lines are counted one by one: the rate of its kit.

    Parameters
    ----------
    problem : Problem
        The problem.
    """
    import numpy as np

    slots = np.repeat(problem.kit_rate, np.diff(problem.kit_start))
    worth = np.zeros(len(problem.use_item))
    worth[problem.slot_start[:-1]] = slots
    return worth


def topped_up(
    problem: Problem, choices: Choices, level: Ints, budget: float, fixed: Floats | None = None
) -> Ints:
    """Spend what is left, always on what brings most for its money.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    level : array of int, (N,)
        A list within the budget.
    budget : float
        The money.
    fixed : array of float, (U,), optional
        What each use is worth; found anew from the levels where left out.
    """
    import numpy as np

    level = level.copy()
    worth = choice_worth(choices, use_worth(problem, level) if fixed is None else fixed)
    for again in range(_TOP_UPS):
        left = budget - money(problem, level)
        if again and fixed is None:
            worth = choice_worth(choices, use_worth(problem, level))
        now = choice_now(problem, choices, level)
        more = now + 1 < choices.start[1:]
        after = np.where(more, now + 1, now)
        cost = choices.money[after] - choices.money[now]
        gain = worth[after] - worth[now]
        fits = np.flatnonzero(more & (cost <= left) & (gain > 1e-12))
        if not len(fits):
            break
        order = fits[np.argsort(-gain[fits] / np.maximum(cost[fits], 1e-9), kind="stable")]
        taken = order[: max(1, int(np.searchsorted(np.cumsum(cost[order]), left, side="right")))]
        level[taken] = choices.level[after[taken]]
    return level


def cut_back(problem: Problem, choices: Choices, level: Ints, budget: float) -> Ints:
    """Take away what brings least for its money, until a list is within a budget.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    level : array of int, (N,)
        A list, maybe over the budget.
    budget : float
        The money; the list of nothing but what is always kept is within it.
    """
    import numpy as np

    level = level.copy()
    while (over := money(problem, level) - budget) > 0.0:
        worth = choice_worth(choices, use_worth(problem, level))
        now = choice_now(problem, choices, level)
        down = np.flatnonzero(now > choices.start[:-1])
        if not len(down):
            break
        after = now[down] - 1
        freed = choices.money[now[down]] - choices.money[after]
        lost = worth[now[down]] - worth[after]
        order = np.argsort(lost / np.maximum(freed, 1e-9), kind="stable")
        count = int(np.searchsorted(np.cumsum(freed[order]), over)) + 1
        taken = order[:count]
        level[down[taken]] = choices.level[after[taken]]
    return level


def per_line(problem: Problem, choices: Choices, budget: float) -> tuple[Ints, float]:
    """The list that fills most lines for the money, each line by itself.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    budget : float
        The money.

    Returns
    -------
    level : array of int, (N,)
        The list.
    money_price : float
        Lines that the last unit of money brought.
    """
    uses = line_worth(problem)
    worth = choice_worth(choices, uses)
    within, _, price = _at_budget(
        problem,
        choices,
        budget,
        lambda money_price, _: best_choices(choices, worth, money_price),
        _price_at(choices, worth, budget),
    )
    return topped_up(problem, choices, within, budget, uses), price


def _price_at(choices: Choices, worth: Floats, budget: float) -> float:
    """About the price of money at a budget: where the steps that bring most for theirs end it."""
    import numpy as np

    # The first choice of an item is what is kept in any case; the others are steps from it.
    step = np.ones(len(worth), dtype=np.bool_)
    step[choices.start[:-1]] = False
    up = np.flatnonzero(step)
    paid = choices.money[up] - choices.money[up - 1]
    brought = worth[up] - worth[up - 1]
    some = (paid > 0) & (brought > 0)
    if not some.any():
        return 1e-9
    ratio, paid = brought[some] / paid[some], paid[some]
    order = np.argsort(-ratio)
    spent = np.cumsum(paid[order])
    last = min(int(np.searchsorted(spent, budget)), len(order) - 1)
    return max(float(ratio[order[last]]), _NO_PRICE)


def around_budget(
    problem: Problem, choices: Choices, budget: float, guess: float
) -> tuple[Ints, Ints, float]:
    """The fullest lists that hold at a price of money: the last within a budget, the first over it.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    budget : float
        The money.
    guess : float
        A price of money to begin from.

    Returns
    -------
    within, over : array of int, (N,)
        The two lists.
    money_price : float
        The price of money between them.
    """
    if problem.has_substitutes:
        alone = own_only(problem)
        start, _, guess = around_budget(alone, choices_of(alone), budget, guess)
        if not guess:
            return start, start, 0.0
        turns = turns_of(problem)
        return _at_budget(
            problem,
            choices,
            budget,
            lambda money_price, _: settled(problem, choices, start, money_price, turns),
            guess,
        )
    return _at_budget(
        problem,
        choices,
        budget,
        # From the last list that was over: at a higher price of money levels only fall.
        lambda money_price, over: settled(problem, choices, over, money_price),
        guess,
    )


def _at_budget(
    problem: Problem,
    choices: Choices,
    budget: float,
    list_at: Callable[[float, Ints], Ints],
    guess: float,
) -> tuple[Ints, Ints, float]:
    """Search the price of money at which a list comes nearest to a budget."""
    from math import exp, log

    within, over = bare(choices), full(choices)
    if money(problem, over) <= budget:
        return over, over, 0.0
    low, high, price = 0.0, 0.0, guess
    low_money = high_money = 0.0
    near = _NEAR if len(problem.use_item) < _MANY_USES else _NEAR_OF_MANY
    for turn in range(_TURNS):
        level = list_at(price, over)
        held = money(problem, level)
        if held <= budget:
            within, high, high_money = level, price, held
        else:
            over, low, low_money = level, price, held
        if high and (held <= budget and held >= budget * (1.0 - near)):
            break
        if not low:
            price = high / 2
            if price < _NO_PRICE:
                break
        elif not high:
            price = low * 2
        elif high - low <= _CLOSE * high:
            break
        else:
            # Money falls as its price rises: follow the line between, and halve every third time.
            part = 0.5
            if turn % 3 and high_money > 0.0:
                part = log(low_money / budget) / log(low_money / high_money)
                part = min(0.9, max(0.1, part))
            price = exp(log(low) + part * (log(high) - log(low)))
    return within, over, high
