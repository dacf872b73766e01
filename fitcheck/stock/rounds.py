"""The list of a shop of any size: go round, and correct loads and the price of money on the way.

Every round gives each size the level that is worth most at a price of money, the others' levels
being what they are. Searching the price anew for every state would cost many rounds; so it is
corrected within the round, from the money that the list would hold. Sizes that stand in for each
other take turns. What a stand-in is asked for in the place of others depends on the list: after
each round it moves towards what the list makes of it, by less and less, for the two would chase
each other otherwise.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.stock.choices import Choices, best_choices, choice_worth, met_by, turns_of
from fitcheck.stock.pose import Posed, asks_of_others, passed_on, with_asks
from fitcheck.stock.problem import Problem, money, use_worth
from fitcheck.stock.spend import cut_back, topped_up

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.choices import Turns

    Ints = NDArray[np.int64]

_ROUNDS = 6
# So near to the budget is near enough on the way; so often the price is corrected in a turn, and
# by no larger a factor.
_NEAR = 3e-3
_CORRECTIONS = 3
_FACTOR = 1.5


def gone_round(
    posed: Posed, choices: Choices, budget: float, level: Ints, money_price: float
) -> Ints:
    """Better a list for a sum of money by going round.

    Parameters
    ----------
    posed : Posed
        The problem.
    choices : Choices
        Its choices.
    budget : float
        The money [currency].
    level : array of int, (N,)
        Where to start.
    money_price : float
        Worth that one unit of money has to bring, to begin with.
    """
    problem, turns = posed.problem, turns_of(posed.problem)
    extra = asks_of_others(posed, level) if problem.has_substitutes else None
    for number in range(_ROUNDS):
        if extra is not None:
            problem = with_asks(posed, extra)
            choices = met_by(choices, problem)
        level, money_price = _round(
            problem, choices, turns, budget=budget, level=level, money_price=money_price
        )
        if extra is not None:
            extra += (passed_on(posed, problem, level) - extra) / (number + 2)
    return topped_up(problem, choices, cut_back(problem, choices, level, budget), budget)


def _round(
    problem: Problem,
    choices: Choices,
    turns: Turns,
    *,
    budget: float,
    level: Ints,
    money_price: float,
) -> tuple[Ints, float]:
    """Each size its best level once, and the price of money after it."""
    import numpy as np

    for turn in turns:
        worth = choice_worth(choices, use_worth(problem, level))
        after = level
        for _ in range(_CORRECTIONS):
            best = best_choices(choices, worth, money_price)
            after = best if turn is None else np.where(turn, best, level)
            part = money(problem, after) / budget
            if abs(part - 1.0) < _NEAR:
                break
            money_price *= min(_FACTOR, max(1.0 / _FACTOR, part))
        level = after
    return level, money_price
