"""The model of the shop's stock, worked out once and kept until something in the store changes."""

from __future__ import annotations

import math
from threading import Lock
from typing import TYPE_CHECKING, Any

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.web.api.kept import store_stamp

if TYPE_CHECKING:
    from fitcheck.cli.stock_plan import Shop

POINTS = 10
# As the commands take them where nothing is said.
OPTIONS: dict[str, Any] = {
    "folder": "",
    "lists": (),
    "no_cards": False,
    "every_ask": False,
    "review": 0.0,
    "unit": "mm",
}


@dataclass(frozen=True, slots=True, eq=False)
class Stock:
    """The shop's model, today's shelf, and the budgets that make sense."""

    shop: Shop
    today: dict[str, Any] | None
    budgets: tuple[float, ...]

    @property
    def top(self) -> float:
        """The most money that makes sense [currency]."""
        return max(self.budgets)


class Kept:
    """The last model, by what the store looked like when it was made."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._stamp: Any = None
        self._stock: Stock | None = None
        self._line_lock = Lock()
        self._line: tuple[Stock, tuple[dict[str, Any], ...]] | None = None

    def get(self) -> Stock:
        """The model of what is in the store now.

        Raises
        ------
        FitcheckError
            There are no records, or they can't be read.
        """
        # One works it out, the others wait for that one.
        with self._lock:
            stamp = store_stamp()
            if self._stock is None or stamp is None or stamp != self._stamp:
                self._stock, self._stamp = _made(), stamp
            return self._stock

    def line(self, stock: Stock) -> tuple[dict[str, Any], ...]:
        """What the best list does at each budget; takes longer than one plan.

        Parameters
        ----------
        stock : Stock
            The shop.
        """
        from fitcheck.stock.frontier import frontier

        with self._line_lock:
            if self._line is None or self._line[0] is not stock:
                found = frontier(stock.shop.posed, stock.budgets)
                self._line = stock, tuple(dict(point.figures.as_json()) for point in found)
            return self._line[1]


KEPT = Kept()


def _made() -> Stock:
    from fitcheck.cli.stock_plan import Shop
    from fitcheck.stock.figures import figures_of
    from fitcheck.stock.frontier import budgets

    shop = Shop(OPTIONS, None)
    today = None
    if shop.model.counted.any():
        today = dict(figures_of(shop.posed, shop.model.on_hand).as_json())
    return Stock(shop, today, tuple(budgets(shop.posed, points=POINTS)))


def sensible_budget(stock: Stock) -> float:
    """The money to begin with: what today's shelf holds, or the middle of the line.

    Parameters
    ----------
    stock : Stock
        The shop.
    """
    if stock.today is not None and stock.today["money"] > 0:
        return float(math.ceil(stock.today["money"] / 100) * 100)
    return float(math.ceil(stock.top / 4 / 100) * 100)


def budget_of(text: str, stock: Stock) -> float:
    """The money that was typed; what makes sense where nothing was.

    Parameters
    ----------
    text : str
        What was typed.
    stock : Stock
        The shop.

    Raises
    ------
    InputError
        It is no sum of money.
    """
    from fitcheck.stock.answer import check_money

    plain = text.strip()
    if not plain:
        return sensible_budget(stock)
    try:
        return check_money(float(plain), name="Budget")
    except ValueError:
        raise InputError(
            value=f"Budget {plain[:40]}",
            rule="money is a number above 0, with a point before the cents",
            todo="Write for example 8000",
        ) from None


def plan_of(stock: Stock, budget: float, *, compare: bool = True) -> dict[str, Any]:
    """The plan for a budget, as `fitcheck stock plan --json` prints it.

    Parameters
    ----------
    stock : Stock
        The shop.
    budget : float
        The money on full shelves [currency].
    compare : bool
        Whether the list of single lines is worked out beside it.
    """
    from fitcheck.stock.answer import plan_answer

    shop = stock.shop
    level, said = shop.levels(budget, None, "")
    return plan_answer(shop.model, shop.prices, shop.posed, level, notes=said, compare=compare)
