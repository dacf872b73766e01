"""Money against complete jobs: the best list at each of a row of budgets, and today's shelf."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.choices import bare, choices_of, full
from fitcheck.stock.figures import Figures, figures_of
from fitcheck.stock.plan import plan_for_budget
from fitcheck.stock.pose import Posed
from fitcheck.stock.problem import money

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

POINTS = 10


@dataclass(frozen=True, slots=True, eq=False)
class Point:
    """The best list found for a budget."""

    budget: float
    level: Ints
    figures: Figures


def budgets(posed: Posed, *, highest: float | None = None, points: int = POINTS) -> list[float]:
    """A row of budgets, closer together where money does most.

    Parameters
    ----------
    posed : Posed
        The problem.
    highest : float, optional
        The last; what the fullest shelves that make sense cost where left out [currency].
    points : int
        How many.
    """
    choices = choices_of(posed.problem)
    lowest = money(posed.problem, bare(choices))
    top = money(posed.problem, full(choices)) if highest is None else highest
    spaced = [(step / points) ** 2 for step in range(1, points + 1)]
    return [lowest + (top - lowest) * part for part in spaced]


def frontier(
    posed: Posed,
    row: Iterable[float],
    *,
    shown: Callable[[Iterable[float]], Iterable[float]] = iter,
) -> list[Point]:
    """The best list at each budget; more money never completes fewer jobs.

    Parameters
    ----------
    posed : Posed
        The problem.
    row : iterable of float
        The budgets, from small to large [currency].
    shown : callable
        Hands the budgets on and shows how far the work is.
    """
    found: list[Point] = []
    for budget in shown(sorted(row)):
        # The list of less money is one of the lists that are begun from, so none is worse.
        also = (found[-1].level,) if found else ()
        level = plan_for_budget(posed, budget, also=also)
        found.append(Point(budget, level, figures_of(posed, level)))
        if len(found) > 1 and found[-1].figures.complete < found[-2].figures.complete:
            found[-1] = Point(budget, found[-2].level, found[-2].figures)
    return found
