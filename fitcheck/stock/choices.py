"""The levels each item may take, laid flat, and the best of them when money has a price.

When all other levels stand, an item's worth is a sum over its uses, and what is best for it at a
given price of money is found for all items at once. Items of one kit make each other worth more,
never less; so from full shelves, taking for each item what is best and going round again, levels
only fall, and stop at the fullest list that holds at that price.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.problem import Problem, money, use_worth

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Turns = list[NDArray[np.bool_] | None]

_ROUNDS = 200
_STILL = 1e-6
_STILL_IN_TURN = 1e-3
_ROUNDS_IN_TURN = 4
_TAKING_TURNS = 3


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
        The ask of each use.
    choice, ask, place : array of int
        Pairs of a choice and an ask of the same item, where in `Problem.ready` they stand, and
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
    place: Ints
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
    step = problem.step
    count = empty + np.maximum((top - base) // step + 1, 0)
    start = _starts(count)
    item = np.repeat(np.arange(len(count)), count)
    place = np.arange(start[-1]) - start[item]
    above = (place - empty[item]) * step[item]
    level = np.where((empty[item] == 1) & (place == 0), 0, base[item] + above)
    ask_item, ask_quantity = problem.shape.ask_item, problem.shape.ask_quantity
    pairs = count[ask_item]
    ask = np.repeat(np.arange(len(ask_item)), pairs)
    pair_start = _starts(pairs)
    choice = np.arange(pair_start[-1]) - pair_start[ask] + start[ask_item[ask]]
    pieces = np.maximum(level[choice] - ask_quantity[ask] + 1, 0)
    spot = problem.row[ask_item[ask]] + pieces
    return Choices(
        start=start,
        item=item,
        level=level,
        money=problem.price[item] * level,
        ask_of_use=problem.shape.ask_of_use,
        choice=choice,
        ask=ask,
        place=spot,
        share=problem.ready[spot],
        asks=len(ask_item),
    )


def met_by(choices: Choices, problem: Problem) -> Choices:
    """The choices of the same problem under another demand.

    Parameters
    ----------
    choices : Choices
        Its choices.
    problem : Problem
        The problem; nothing but `ready` is another.
    """
    return replace(choices, share=problem.ready[choices.place])


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


def settled(
    problem: Problem,
    choices: Choices,
    level: Ints,
    money_price: float,
    turns: Turns | None = None,
) -> Ints:
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
    turns : list of array of bool, optional
        Who may change at once, as `turns_of` gives it; found where left out.
    """
    import numpy as np

    held = money(problem, level)
    turns = turns or turns_of(problem)
    still = _STILL if len(turns) == 1 else _STILL_IN_TURN
    for _ in range(_ROUNDS if len(turns) == 1 else _ROUNDS_IN_TURN):
        start = level
        for turn in turns:
            worth = choice_worth(choices, use_worth(problem, level))
            after = best_choices(choices, worth, money_price)
            level = after if turn is None else np.where(turn, after, level)
        if np.array_equal(level, start):
            break
        before, held = held, money(problem, level)
        # Of a very large list the last rounds change next to nothing.
        if abs(held - before) < still * held and held:
            break
    return level


def turns_of(problem: Problem) -> Turns:
    """Who may change at once: all, or those that do not stand in for each other, in turn.

    Parameters
    ----------
    problem : Problem
        The problem.

    Notes
    -----
    Two sizes that stand in for each other would each leave it to the other, both be dropped, both
    be taken again, and so on.
    """
    import numpy as np

    if not problem.has_substitutes:
        return [None]
    own = problem.use_item[problem.slot_start[:-1]]
    pair = np.repeat(own, np.diff(problem.slot_start))
    low, high = np.minimum(pair, problem.use_item), np.maximum(pair, problem.use_item)
    count = len(problem.price)
    edges = np.unique(high[low < high] * count + low[low < high])
    # How many lower ones an item stands beside parts a row of widths into its places.
    place = np.bincount(edges // count, minlength=count) % _TAKING_TURNS
    paired = np.zeros(count, dtype=np.bool_)
    paired[edges // count] = paired[edges % count] = True
    return [~paired | (place == turn) for turn in range(_TAKING_TURNS)]


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
    place = (level - base) // problem.step + (lowest == 0)
    last = choices.start[1:] - choices.start[:-1] - 1
    result: Ints = choices.start[:-1] + np.clip(np.where(level < base, 0, place), 0, last)
    return result
