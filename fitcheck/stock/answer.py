"""The answer to a buyer: a list, what it does, what it is held against, what is not known."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from fitcheck.errors import InputError
from fitcheck.stock.choices import bare, choices_of
from fitcheck.stock.explain import dead_stock
from fitcheck.stock.figures import figures_of
from fitcheck.stock.plan import plan_for_budget
from fitcheck.stock.plan_sheet import plan_rows
from fitcheck.stock.pose import Posed
from fitcheck.stock.prices import Prices
from fitcheck.stock.problem import money
from fitcheck.stock.records import Model
from fitcheck.stock.rules import line_fill

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

# No more sizes than this are named in one note.
_NAMED = 5

NOT_KNOWN = (
    "that the parts of one job may run out together: they are taken as independent",
    "what a substitute lacks at the machine: it counts as if its condition held",
    "a job whose kit was never seen, but by its single sizes",
    "changes to come: machines bought or sold, prices, lead times",
)


def check_money(value: float, *, name: str) -> float:
    """A sum of money above nothing.

    Parameters
    ----------
    value : float
        The sum [currency].
    name : str
        What it is called.

    Raises
    ------
    InputError
        It is nothing, negative or no number.
    """
    if not 0 < value < float("inf"):
        raise InputError(
            value=f"{name} {value:g}",
            rule="money is a number above 0",
            todo="Give for example 8000",
        )
    return value


def check_share(value: float) -> float:
    """A share of the jobs, above 0 and below 1.

    Parameters
    ----------
    value : float
        The share.

    Raises
    ------
    InputError
        It is not.
    """
    if not 0 < value < 1:
        hint = f" (did you mean {value / 100:g}?)" if 1 < value < 100 else ""
        raise InputError(
            value=f"--jobs {value:g}",
            rule="a share of the jobs lies above 0 and below 1, for no shelf is sure" + hint,
            todo="Give for example 0.95",
        )
    return value


def plan_answer(
    model: Model,
    prices: Prices,
    posed: Posed,
    level: Ints,
    *,
    notes: tuple[str, ...] = (),
    compare: bool = True,
) -> dict[str, Any]:
    """A list with all that is told about it.

    Parameters
    ----------
    model : Model
        Names, demand and today's shelf.
    prices : Prices
        The prices.
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.
    notes : tuple of str
        What was assumed on the way.
    compare : bool
        Whether the per-line list at the same money is worked out beside it.
    """
    figures = figures_of(posed, level)
    dead = dead_stock(model, level)
    days = model.pace.days if model.pace is not None else None
    answer: dict[str, Any] = {
        "currency": prices.currency,
        "days": {"first": days.first.isoformat(), "last": days.last.isoformat()} if days else None,
        "figures": figures.as_json(),
        "today": figures_of(posed, model.on_hand).as_json() if model.counted.any() else None,
        "per_line": figures_of(posed, line_fill(posed, figures.money)).as_json()
        if compare and figures.money > 0
        else None,
        "lines": [asdict(row) for row in plan_rows(model, prices, posed, level)],
        "dead_pieces": int(dead.dead.sum()),
        "dead_money": float((prices.price * dead.dead).sum()),
        "over_pieces": int(dead.over.sum()),
        "over_money": float((prices.price * dead.over).sum()),
        "assumptions": [
            *notes,
            *_level_notes(model, posed, level),
            *prices.told(model.assumptions),
        ],
        "not_known": list(NOT_KNOWN),
    }
    answer["buy_money"] = sum(line["buy"] * line["price"] for line in answer["lines"])
    return answer


def same_money(posed: Posed, level: Ints) -> dict[str, object] | None:
    """The figures of the plan for the money of a list that somebody edited.

    Parameters
    ----------
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.

    Returns
    -------
    dict or None
        None where the list holds nothing, or less than what is always kept costs.
    """
    spent = money(posed.problem, level)
    if spent <= 0 or spent < money(posed.problem, bare(choices_of(posed.problem))):
        return None
    return figures_of(posed, plan_for_budget(posed, spent, also=(level,))).as_json()


def _level_notes(model: Model, posed: Posed, level: Ints) -> list[str]:
    """What a list that was edited, or that lies there, does otherwise than a plan would."""
    import numpy as np

    least = posed.problem.least
    below = np.flatnonzero((least > 0) & (level < least))
    notes = []
    if len(below):
        lowest = money(posed.problem, bare(choices_of(posed.problem)))
        named = ", ".join(_place(model, item) for item in below[:_NAMED].tolist())
        more = f" and {len(below) - _NAMED} more" if len(below) > _NAMED else ""
        beside = (
            "the plan for the same money keeps what is always kept"
            if money(posed.problem, level) >= lowest
            else f"what is always kept costs {lowest:.2f}, more than this list: no plan beside it"
        )
        notes.append(f"this list has none of what is always kept ({named}{more}): {beside}")
    over = np.flatnonzero(level > posed.problem.most)
    if len(over):
        named = ", ".join(
            f"{_place(model, item)} as {int(posed.problem.most[item])}"
            + (" for its shelf life" if posed.aged[item] else "")
            for item in over[:_NAMED].tolist()
        )
        more = f" and {len(over) - _NAMED} more" if len(over) > _NAMED else ""
        notes.append(
            f"levels beyond what is used up in time, or hardly ever asked for, are judged as the "
            f"highest that serves, though all their money counts: {named}{more}"
        )
    under = int(((level > 0) & (level < posed.problem.first)).sum())
    if under:
        one = under == 1
        notes.append(
            f"{under} {'level is' if one else 'levels are'} below what one ask takes or what is "
            f"ordered at once: a whole order is placed once what is left can't serve the next ask, "
            "and the figures count only the level"
        )
    return notes


def _place(model: Model, item: int) -> str:
    part, branch = int(model.part_of[item]), int(model.branch_of[item])
    return f"{model.parts[part].key} at {model.branches[branch]}"
