"""A held-back year gone through demand by demand, with the lead times of what is re-ordered.

All lists see the same jobs in the same order and the same lead times. What the shelf lacks is
brought in by an emergency order that the shelf has no part in; the job still takes the rest of its
kit from the shelf.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitcheck.stock.asks import Asks
from fitcheck.stock.pose import MOST_SUBSTITUTES
from fitcheck.stock.records import DAYS_PER_YEAR, Model

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

_DRAWS = 4099
_STRIDE = 7919
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Replayed:
    """What a list did in the year: jobs and lines, and how many were met from the shelf.

    ``emergency`` is the lines brought in by an order of their own, ``stand_ins`` the lines met by
    another size that does as well, ``orders`` the orders to refill the shelf. ``money`` is what
    the list holds when full, ``shelf_money`` what lay there on average [currency].
    """

    jobs: int
    complete: int
    lines: int
    filled: int
    stand_ins: int
    emergency: int
    orders: int
    money: float
    shelf_money: float

    def as_json(self) -> dict[str, object]:
        """The figures as data."""
        return {
            "money": self.money,
            "jobs": self.jobs,
            "jobs_complete": self.complete,
            "jobs_complete_share": self.complete / self.jobs if self.jobs else 0.0,
            "lines": self.lines,
            "lines_filled": self.filled,
            "line_fill_share": self.filled / self.lines if self.lines else 0.0,
            "filled_by_stand_in": self.stand_ins,
            "emergency_orders": self.emergency,
            "refill_orders": self.orders,
            "money_on_shelf": self.shelf_money,
        }


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """The held-back jobs in their order: each is a day and its (item, pieces)."""

    jobs: tuple[tuple[int, tuple[tuple[int, int], ...]], ...]
    first: int
    last: int


def held_jobs(asks: Asks, *, first: int, last: int) -> Held:
    """The jobs of a stretch of time, in the order of their first day.

    Parameters
    ----------
    asks : Asks
        What was asked for.
    first, last : int
        The days, as ``date.toordinal``, both included.
    """
    jobs: dict[int, list[tuple[int, int, int]]] = {}
    columns = (asks.job.tolist(), asks.day.tolist(), asks.item.tolist(), asks.pieces.tolist())
    for job, day, item, pieces in zip(*columns, strict=True):
        if first <= day <= last:
            jobs.setdefault(job, []).append((day, item, round(pieces)))
    ordered = sorted(
        (min(day for day, _, _ in lines), job, tuple((item, q) for _, item, q in lines))
        for job, lines in jobs.items()
    )
    return Held(tuple((day, lines) for day, _, lines in ordered), first, last)


def replay(  # noqa: PLR0915 - one pass over the year, its counts kept together
    model: Model, held: Held, level: Ints, *, price: NDArray[np.float64], order: Ints, seed: int = 1
) -> Replayed:
    """Go through held-back jobs with a list.

    Parameters
    ----------
    model : Model
        Lead times and what does as well as what.
    held : Held
        The jobs.
    level : array of int, (N,)
        The list; the shelves are full on the first day.
    price : array of float, (N,)
        Money for a piece.
    order : array of int, (N,)
        Pieces that are ordered at once: whenever so many are gone.
    seed : int
        Of the lead times. The n-th order of an item takes as long whatever the list.

    Notes
    -----
    Lead times are lognormal with the mean and the spread of the model.
    """
    from math import exp

    import numpy as np

    normal = np.random.default_rng(seed).standard_normal(_DRAWS).tolist()
    lead_days = (model.lead_mean_years + model.review_years) * DAYS_PER_YEAR
    spread = np.log1p((model.lead_sd_years / np.maximum(model.lead_mean_years, 1e-9)) ** 2)
    middle = (np.log(np.maximum(lead_days, 1e-9)) - spread / 2).tolist()
    width = np.sqrt(spread).tolist()
    shelf, away = level.tolist(), [0] * len(level)
    target, lot, count = level.tolist(), order.tolist(), [0] * len(level)
    cost = price.tolist()
    sub_start, sub_item = model.sub_start.tolist(), model.sub_item.tolist()
    coming: list[tuple[float, int, int]] = []
    complete = filled = lines = swapped = orders = 0
    lying, lying_days, now = float((price * level).sum()), 0.0, float(held.first)
    for day, needs in held.jobs:
        # Ten days from the fifth is the fifteenth, whatever a logarithm makes of it.
        while coming and coming[0][0] <= day + _ROUNDING:
            arrives, item, pieces = heapq.heappop(coming)
            lying_days += lying * (arrives - now)
            lying, now = lying + cost[item] * pieces, arrives
            shelf[item] += pieces
            away[item] -= pieces
        lying_days += lying * (day - now)
        now = float(day)
        missing = 0
        for item, pieces in needs:
            lines += 1
            source = item
            if shelf[item] < pieces:
                begin = sub_start[item]
                others = sub_item[begin : min(sub_start[item + 1], begin + MOST_SUBSTITUTES)]
                source = next((other for other in others if shelf[other] >= pieces), -1)
                swapped += source >= 0
            if source < 0:
                missing += 1
                continue
            shelf[source] -= pieces
            lying -= cost[source] * pieces
            wanted = target[source] - shelf[source] - away[source]
            lots = wanted // lot[source]
            if lots:
                draw = normal[(source * _STRIDE + count[source]) % _DRAWS]
                count[source] += 1
                orders += 1
                days = exp(middle[source] + width[source] * draw)
                away[source] += lots * lot[source]
                heapq.heappush(coming, (day + days, source, lots * lot[source]))
        filled += len(needs) - missing
        complete += not missing
    end = held.last + 1.0
    while coming and coming[0][0] <= end:
        arrives, item, pieces = heapq.heappop(coming)
        lying_days += lying * (arrives - now)
        lying, now = lying + cost[item] * pieces, arrives
    lying_days += lying * (end - now)
    return Replayed(
        jobs=len(held.jobs),
        complete=complete,
        lines=lines,
        filled=filled,
        stand_ins=swapped,
        emergency=lines - filled,
        orders=orders,
        money=float((price * level).sum()),
        shelf_money=lying_days / max(1, held.last + 1 - held.first),
    )
