"""The levels each item may take, laid flat, and the best of them when money has a price.

When all other levels stand, an item's worth is a sum over its uses, and what is best for it at a
given price of money is found for all items at once. Items of one kit make each other worth more,
never less; so from full shelves, taking for each item what is best and going round again, levels
only fall, and stop at the fullest list that holds at that price.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitcheck.stock.problem import Problem, money, use_worth

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

_ROUNDS = 200
_TOP_UPS = 60
_TURNS = 80
# A list so near to its budget, and a price of money so near on both sides, are near enough.
_NEAR = 1e-4
_CLOSE = 1e-4
_STILL = 1e-6
_NO_PRICE = 1e-15


@dataclass(frozen=True, slots=True, eq=False)
class Choices:
    """Every level of every item, item after item.

    Attributes
    ----------
    start : array of int, (N + 1,)
        Item i has the choices start[i] up to before start[i + 1].
    item, level : array of int, (C,)
        The item and the level of each choice.
    money : array of float, (C,)
        What it holds in money.
    ask_of_use : array of int, (U,)
        The ask of each use: uses of the same item and quantity are one ask.
    choice, ask : array of int
        Pairs of a choice and an ask of the same item, and
    share : array of float
        the share of the ask that the choice meets.
    asks : int
        How many asks there are.
    """

    start: Ints
    item: Ints
    level: Ints
    money: Floats
    ask_of_use: Ints
    choice: Ints
    ask: Ints
    share: Floats
    asks: int


def choices_of(problem: Problem) -> Choices:
    """Lay the choices of a problem flat.

    Parameters
    ----------
    problem : Problem
        The problem.
    """
    import numpy as np

    lowest = np.where(problem.least > 0, np.maximum(problem.least, problem.first), 0)
    # A size that no kit takes stays as low as is allowed.
    used = np.bincount(problem.use_item, minlength=len(lowest)) > 0
    top = np.where(used, np.maximum(problem.most, lowest), lowest)
    # The empty shelf, where it is allowed, and then every level from the first pack on.
    empty = (lowest == 0).astype(np.int64)
    base = np.maximum(lowest, problem.first)
    count = empty + np.maximum(top - base + 1, 0)
    start = _starts(count)
    item = np.repeat(np.arange(len(count)), count)
    place = np.arange(start[-1]) - start[item]
    level = np.where((empty[item] == 1) & (place == 0), 0, base[item] + place - empty[item])
    width = int(problem.use_quantity.max(initial=0)) + 1
    codes, ask_of_use = np.unique(
        problem.use_item * width + problem.use_quantity, return_inverse=True
    )
    ask_item, ask_quantity = codes // width, codes % width
    pairs = count[ask_item]
    ask = np.repeat(np.arange(len(codes)), pairs)
    pair_start = _starts(pairs)
    choice = np.arange(pair_start[-1]) - pair_start[ask] + start[ask_item[ask]]
    step = np.maximum(level[choice] - ask_quantity[ask] + 1, 0)
    share = problem.ready[problem.row[ask_item[ask]] + step]
    return Choices(
        start=start,
        item=item,
        level=level,
        money=problem.price[item] * level,
        ask_of_use=ask_of_use,
        choice=choice,
        ask=ask,
        share=share,
        asks=len(codes),
    )


def _starts(count: Ints) -> Ints:
    import numpy as np

    result = np.zeros(len(count) + 1, dtype=np.int64)
    np.cumsum(count, out=result[1:])
    return result


def choice_worth(choices: Choices, worth: Floats) -> Floats:
    """What each choice is worth when each use is worth so much.

    Parameters
    ----------
    choices : Choices
        The choices.
    worth : array of float, (U,)
        What a filled ask of each use is worth.
    """
    import numpy as np

    of_ask = np.bincount(choices.ask_of_use, worth, minlength=choices.asks)
    met = of_ask[choices.ask] * choices.share
    return np.bincount(choices.choice, met, minlength=len(choices.item)).astype(np.float64)


def best_choices(choices: Choices, worth: Floats, money_price: float) -> Ints:
    """The level of every item that is worth most after its money is paid for.

    Parameters
    ----------
    choices : Choices
        The choices.
    worth : array of float, (C,)
        What each choice is worth.
    money_price : float
        Worth that one unit of money has to bring.
    """
    import numpy as np

    net = worth - money_price * choices.money
    highest = np.maximum.reduceat(net, choices.start[:-1])
    hits = np.flatnonzero(net == highest[choices.item])[::-1]
    found = np.empty(len(choices.start) - 1, dtype=np.int64)
    # Written from the end, so that the lowest of equal choices stays.
    found[choices.item[hits]] = choices.level[hits]
    return found


def settled(problem: Problem, choices: Choices, level: Ints, money_price: float) -> Ints:
    """Go round from a list until every item has its best level, the others' being what they are.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    level : array of int, (N,)
        Where to start.
    money_price : float
        Worth that one unit of money has to bring.
    """
    import numpy as np

    held = money(problem, level)
    for _ in range(_ROUNDS):
        worth = choice_worth(choices, use_worth(problem, level))
        after = best_choices(choices, worth, money_price)
        if np.array_equal(after, level):
            break
        level, before, held = after, held, money(problem, after)
        # Of a very large list the last rounds change next to nothing.
        if abs(held - before) < _STILL * held and held:
            break
    return level


def full(choices: Choices) -> Ints:
    """The highest level of every item.

    Parameters
    ----------
    choices : Choices
        The choices.
    """
    return choices.level[choices.start[1:] - 1]


def bare(choices: Choices) -> Ints:
    """The lowest level of every item that is allowed.

    Parameters
    ----------
    choices : Choices
        The choices.
    """
    return choices.level[choices.start[:-1]]


def choice_now(problem: Problem, choices: Choices, level: Ints) -> Ints:
    """The number of the choice that each item's level is; the nearest below where it is none.

    Parameters
    ----------
    problem : Problem
        The problem.
    choices : Choices
        Its choices.
    level : array of int, (N,)
        The list.
    """
    import numpy as np

    lowest = bare(choices)
    base = np.maximum(lowest, problem.first)
    place = level - base + (lowest == 0)
    last = choices.start[1:] - choices.start[:-1] - 1
    result: Ints = choices.start[:-1] + np.clip(np.where(level < base, 0, place), 0, last)
    return result


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
    for turn in range(_TURNS):
        level = list_at(price, over)
        held = money(problem, level)
        if held <= budget:
            within, high, high_money = level, price, held
        else:
            over, low, low_money = level, price, held
        if high and (held <= budget and held >= budget * (1.0 - _NEAR)):
            break
        if not low:
            price = high / 4
            if price < _NO_PRICE:
                break
        elif not high:
            price = low * 4
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
