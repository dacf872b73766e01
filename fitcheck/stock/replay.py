"""A held-back year gone through demand by demand, with the lead times of what is re-ordered.

All lists see the same jobs in the same order and the same lead times. What the shelf lacks is
brought in by an emergency order that the shelf has no part in; the job still takes the rest of its
kit from the shelf.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import field
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.asks import Asks
from fitcheck.stock.lots import order_point
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


def replay(
    model: Model,
    held: Held,
    level: Ints,
    *,
    price: NDArray[np.float64],
    order: Ints,
    ask: Ints | None = None,
    seed: int = 1,
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
        Pieces that are ordered at once: whenever so many are gone, or all of a lower level.
    ask : array of int, (N,), optional
        Pieces of the usual ask: what is left and serves none is reason to order too. 1 where left
        out.
    seed : int
        Of the lead times. The n-th order of an item takes as long whatever the list.

    Notes
    -----
    Lead times are lognormal with the mean and the spread of the model. Orders are whole lots, as
    soon as one fits under the level. Where none fits and what is left can't serve the usual ask,
    one lot is ordered all the same, so that more than the level lies there once it has come.
    """
    import numpy as np

    asked = np.ones_like(level) if ask is None else ask
    lead = _lead_times(model, seed)
    shelf = _Shelf(
        day=float(held.first),
        there=level.tolist(),
        target=level.tolist(),
        lot=order.tolist(),
        point=order_point(level, order, asked).tolist(),
        cost=price.tolist(),
    )
    sub_start, sub_item = model.sub_start.tolist(), model.sub_item.tolist()
    complete = filled = lines = swapped = 0
    for day, needs in held.jobs:
        shelf.pass_to(float(day))
        missing = 0
        for item, pieces in needs:
            source = item
            if shelf.there[item] < pieces:
                begin = sub_start[item]
                others = sub_item[begin : min(sub_start[item + 1], begin + MOST_SUBSTITUTES)]
                source = next((other for other in others if shelf.there[other] >= pieces), -1)
                swapped += source >= 0
            if source < 0:
                missing += 1
            else:
                shelf.take(source, pieces, lead)
        lines += len(needs)
        filled += len(needs) - missing
        complete += not missing
    shelf.pass_to(held.last + 1.0)
    return Replayed(
        jobs=len(held.jobs),
        complete=complete,
        lines=lines,
        filled=filled,
        stand_ins=swapped,
        emergency=lines - filled,
        orders=sum(shelf.orders.values()),
        money=float((price * level).sum()),
        shelf_money=shelf.money_days / max(1, held.last + 1 - held.first),
    )


def _lead_times(model: Model, seed: int) -> Callable[[int, int], float]:
    """The days that the n-th order of an item takes."""
    from math import exp

    import numpy as np

    normal = np.random.default_rng(seed).standard_normal(_DRAWS).tolist()
    days = (model.lead_mean_years + model.review_years) * DAYS_PER_YEAR
    spread = np.log1p((model.lead_sd_years / np.maximum(model.lead_mean_years, 1e-9)) ** 2)
    middle = (np.log(np.maximum(days, 1e-9)) - spread / 2).tolist()
    width = np.sqrt(spread).tolist()

    def days_of(item: int, number: int) -> float:
        draw = normal[(item * _STRIDE + number) % _DRAWS]
        return exp(middle[item] + width[item] * draw)

    return days_of


@dataclass(slots=True)
class _Shelf:
    """Shelves as the days pass: what lies there, what is on its way, what it is worth."""

    day: float
    there: list[int]
    target: list[int]
    lot: list[int]
    point: list[int]
    cost: list[float]
    coming: list[tuple[float, int, int]] = field(default_factory=list)
    away: dict[int, int] = field(default_factory=dict)
    orders: dict[int, int] = field(default_factory=dict)
    worth: float = 0.0
    money_days: float = 0.0

    def __post_init__(self) -> None:
        self.worth = sum(n * cost for n, cost in zip(self.there, self.cost, strict=True) if n)

    def pass_to(self, day: float) -> None:
        """Let time pass; what comes until then lies there."""
        # Ten days from the fifth is the fifteenth, whatever a logarithm makes of it.
        while self.coming and self.coming[0][0] <= day + _ROUNDING:
            arrives, item, pieces = heapq.heappop(self.coming)
            self._wait(min(arrives, day))
            self.there[item] += pieces
            self.away[item] -= pieces
            self.worth += self.cost[item] * pieces
        self._wait(day)

    def _wait(self, day: float) -> None:
        self.money_days += self.worth * (day - self.day)
        self.day = day

    def take(self, item: int, pieces: int, lead: Callable[[int, int], float]) -> None:
        """Take pieces, and order whole lots once the rest is down to the reorder point."""
        self.there[item] -= pieces
        self.worth -= self.cost[item] * pieces
        left = self.there[item] + self.away.get(item, 0)
        if left <= self.point[item]:
            lots = max(1, (self.target[item] - left) // self.lot[item])
            number = self.orders.get(item, 0)
            self.orders[item] = number + 1
            more = lots * self.lot[item]
            self.away[item] = self.away.get(item, 0) + more
            heapq.heappush(self.coming, (self.day + lead(item, number), item, more))
