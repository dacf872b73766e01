"""What a list does, in the buyer's figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.policy import on_shelf
from fitcheck.stock.pose import Posed, loaded
from fitcheck.stock.problem import complete_jobs, money, slot_shares

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Figures:
    """Expected figures of a list, by the year.

    Attributes
    ----------
    money : float
        Money that full shelves hold [currency].
    jobs, complete : float
        Jobs, and those complete from the shelf.
    lines, filled : float
        Lines of the jobs, and those met in full from the shelf.
    emergency : float
        Lines that are not met and must be brought in by an order of their own.
    shelf_money : float
        Money that lies on the shelf on average [currency].
    turns : float
        Value that goes from the shelf in a year over the money on it.
    sizes, pieces : int
        Items kept, and pieces of them on full shelves.
    """

    money: float
    jobs: float
    complete: float
    lines: float
    filled: float
    emergency: float
    shelf_money: float
    turns: float
    sizes: int
    pieces: int

    @property
    def job_share(self) -> float:
        """Share of the jobs that are complete from the shelf."""
        return self.complete / self.jobs if self.jobs else 0.0

    @property
    def line_share(self) -> float:
        """Share of the lines that are met in full from the shelf."""
        return self.filled / self.lines if self.lines else 0.0

    def as_json(self) -> dict[str, object]:
        """The figures as data."""
        return {
            "money": self.money,
            "jobs_complete_share": self.job_share,
            "line_fill_share": self.line_share,
            "jobs_a_year": self.jobs,
            "jobs_complete_a_year": self.complete,
            "emergency_orders_a_year": self.emergency,
            "money_on_shelf": self.shelf_money,
            "turns": self.turns,
            "sizes": self.sizes,
            "pieces": self.pieces,
        }


def figures_of(posed: Posed, level: Ints) -> Figures:
    """The figures of a list, under the loads that it makes itself.

    Parameters
    ----------
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.
    """
    import numpy as np

    problem = loaded(posed, level)
    slots = np.repeat(problem.kit_rate, np.diff(problem.kit_start))
    lines, met = float(slots.sum()), slots * slot_shares(problem, level)
    filled = float(met.sum())
    kept = np.flatnonzero(level > 0)
    order = np.minimum(posed.order[kept], level[kept])
    lying = on_shelf(
        mean=posed.mean[kept],
        variance=posed.variance[kept],
        reorder=level[kept] - order,
        quantity=order,
    )
    shelf = float((problem.price[kept] * lying).sum())
    own = problem.slot_start[:-1]
    value = float((met * problem.use_quantity[own] * problem.price[problem.use_item[own]]).sum())
    return Figures(
        money=money(problem, level),
        jobs=problem.jobs,
        complete=complete_jobs(problem, level),
        lines=lines,
        filled=filled,
        emergency=lines - filled,
        shelf_money=shelf,
        turns=value / shelf if shelf > 0 else 0.0,
        sizes=len(kept),
        pieces=int(level.sum()),
    )
