"""The proof on a shop's own history: a year held back and gone through with several lists."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from fitcheck.errors import InputError, NotKnownError
from fitcheck.stock.asks import asks_of
from fitcheck.stock.estimate import Known, estimate
from fitcheck.stock.history import History
from fitcheck.stock.plan import plan_for_budget
from fitcheck.stock.pose import pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.problem import money
from fitcheck.stock.replay import held_jobs, replay
from fitcheck.stock.rules import line_fill, three_hits

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

PLAN, LINES, HITS, TODAY = "the plan", "single lines", "three hits", "today's shelf"
# So many days must come before the held-back ones.
_LEAST_BEFORE = 90


def trial(
    history: History,
    known: Known,
    *,
    days: int = 365,
    budget: float | None = None,
    assume_price: float | None = None,
    seed: int = 1,
) -> dict[str, Any]:
    """Hold back the last days of a history and go through them with lists of the same money.

    Parameters
    ----------
    history : History
        What was asked for.
    known : Known
        What is known beside it. What the fleet file says is known beforehand.
    days : int
        How many days are held back.
    budget : float, optional
        The money of each list; what today's shelf holds where left out [currency].
    assume_price : float, optional
        The price of every size without one [currency].
    seed : int
        Of the lead times.

    Raises
    ------
    NotKnownError
        The history is too short.
    InputError
        Nothing says how much money there is.

    Notes
    -----
    Today's shelf is a list like the others, as full as it lies there. All lists re-order in the
    same way, as soon as an order's worth is gone or what is left can't serve the usual ask.
    """
    if not len(history):
        raise NotKnownError(
            value="the history",
            rule="it has no line",
            todo="Add one with `fitcheck stock history add FILE`",
        )
    last = int(history.day.max())
    first = last - days + 1
    if int(history.day.min()) > first - _LEAST_BEFORE:
        raise NotKnownError(
            value=f"a history from {date.fromordinal(int(history.day.min()))}",
            rule=f"with the last {days} days held back fewer than {_LEAST_BEFORE} are left",
            todo="Hold back less with --days, or add older history",
        )
    before = estimate(history, known, through=date.fromordinal(first - 1))
    model = before.model
    prices = prices_of(model, assume=assume_price)
    posed = pose(model, prices)
    counted = bool(model.counted.any())
    sum_of = budget if budget is not None else money(posed.problem, model.on_hand)
    if sum_of <= 0:
        raise InputError(
            value="no budget",
            rule="no shelf was counted, so nothing says how much money each list has",
            todo="Give it with --budget",
        )
    lists: dict[str, Ints] = {
        PLAN: plan_for_budget(posed, sum_of),
        LINES: line_fill(posed, sum_of),
        HITS: three_hits(posed, before.asks, last=first - 1, budget=sum_of),
    }
    if counted:
        lists[TODAY] = model.on_hand
    later = asks_of(history, parts=[part.key for part in model.parts], branches=model.branches)
    held = held_jobs(later, first=first, last=last)
    found: list[dict[str, Any]] = []
    for name, level in lists.items():
        done = replay(
            model,
            held,
            level,
            price=prices.price,
            order=posed.order,
            ask=posed.ask,
            seed=seed,
        )
        found.append({"name": name, "sizes": int((level > 0).sum()), **done.as_json()})
    return {
        "first": date.fromordinal(first).isoformat(),
        "last": date.fromordinal(last).isoformat(),
        "days": days,
        "jobs": len(held.jobs),
        "lines": sum(len(needs) for _, needs in held.jobs),
        "budget": sum_of,
        "currency": prices.currency,
        "lists": found,
        "assumptions": list(prices.told(model.assumptions)),
    }
