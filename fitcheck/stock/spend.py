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
    for _ in range(_TOP_UPS):
        left = budget - money(problem, level)
        worth = choice_worth(choices, use_worth(problem, level) if fixed is None else fixed)
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
        _steepest(choices, worth) / 16,
    )
    return topped_up(problem, choices, within, budget, uses), price


def _steepest(choices: Choices, worth: Floats) -> float:
    """A price of money at which nothing is bought."""
    import numpy as np

    paid = choices.money > 0
    return 2.0 * float(np.max(worth[paid] / choices.money[paid], initial=1e-9))


def around_budget(
    problem: Problem, choices: Choices, budget: float, guess: float, begin: Ints | None = None
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
    begin : array of int, (N,), optional
        A list to go round from where sizes stand in for each other; found without stand-ins where
        left out.

    Returns
    -------
    within, over : array of int, (N,)
        The two lists.
    money_price : float
        The price of money between them.
    """
    if problem.has_substitutes:
        if begin is None:
            alone = own_only(problem)
            begin, _, guess = around_budget(alone, choices_of(alone), budget, guess)
        start = begin
        if not guess:
            return start, start, 0.0
        return _at_budget(
            problem,
            choices,
            budget,
            lambda money_price, _: settled(problem, choices, start, money_price),
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
