"""How many of a size to keep: base stock (S - 1, S), or reorder point and quantity (r, Q).

Whenever the pieces on hand and on order fall to the reorder point, a quantity is ordered. A
quantity of one is the base stock S = r + 1: one is ordered for each that goes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.stock.levels import (
    at_most,
    expected_short,
    reorder_ready_share,
    smallest_level,
)
from fitcheck.stock.lots import unit_of_asks, usual_ask
from fitcheck.stock.records import Model

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Flags = NDArray[np.bool_]

# A piece may turn too old on the shelf with this probability and no more.
TOO_OLD = 0.1
_MONTHS = 12.0


@dataclass(frozen=True, slots=True, eq=False)
class ItemLevels:
    """What to keep of each item; all arrays are (N,).

    ``reorder`` is r and ``quantity`` Q: Q are ordered once on hand and on order fall to r.
    ``level`` is the most there can be, r + Q, less what no ask of several pieces leaves over; with
    Q of one it is the base stock S. ``fill`` is the
    expected share of asks met in full, each of ``ask`` pieces, ``on_shelf`` the pieces lying there
    on average, ``orders`` the orders a year. ``capped`` tells that shelf life holds the level down,
    ``critical`` that one is kept although demand alone asks for none.
    """

    reorder: Ints
    quantity: Ints
    level: Ints
    ask: Ints
    fill: Floats
    on_shelf: Floats
    orders: Floats
    capped: Flags
    critical: Flags


def item_levels(
    model: Model, *, fill: float, order_cost: float = 0.0, holding_share: float = 0.25
) -> ItemLevels:
    """The fewest pieces of each item that serve a share of the asks.

    Parameters
    ----------
    model : Model
        Demand and terms.
    fill : float
        Wanted share of asks that are met in full from the shelf, from 0 to below 1.
    order_cost : float
        What placing an order costs [currency]; 0 orders as little as the pack allows.
    holding_share : float
        Cost of keeping a piece for a year, as a share of its price.

    Raises
    ------
    InputError
        The share is not from 0 to below 1, or a cost is negative.

    Notes
    -----
    Q is the smallest number of whole packs that is no less than the least order, nor than
    sqrt(2 R K / (h c)) with rate R, order cost K, holding share h and price c. r is the smallest
    at which the mean of P(X <= y - q) over y = r + 1 ... r + Q reaches the share, q being the
    pieces of one ask: two where jobs take two. r is never under q - 1: what is left and can't serve
    the next ask is reason to order. A size that
    ages is kept at no more than is asked for within its life with probability 0.9, though one order
    and what one ask takes are always allowed: a piece that grows old is bought again.

    Source: order quantity by the square-root formula and (r, Q) by its steady state, any inventory
    textbook; from memory.
    """
    import numpy as np

    _check(fill, order_cost, holding_share)
    mean, variance = model.mean, model.variance
    rate, price = model.rate, model.price
    pack = _per_item(model, [part.pack for part in model.parts])
    least = _per_item(model, [part.minimum for part in model.parts])
    with np.errstate(divide="ignore", invalid="ignore"):
        square = np.sqrt(2.0 * rate * order_cost / (holding_share * price))
    square = np.where(np.isfinite(square), square, 0.0)
    wanted = np.maximum(np.maximum(least, square), 1.0)
    most, ages = most_before_old(model)
    packs = np.ceil(wanted / pack - 1e-9)
    # A long row of packs is cut to what can be used up, but one order stays the least there is.
    smallest = np.ceil(np.maximum(least, 1.0) / pack - 1e-9) * pack
    quantity = np.where(ages, np.clip(packs * pack, smallest, np.maximum(most, smallest)), 0)
    quantity = np.where(ages, np.ceil(quantity / pack - 1e-9) * pack, packs * pack)
    quantity = quantity.astype(np.int64)
    unit = unit_of_asks(model.kit_item, model.kit_quantity, len(mean))
    ask = usual_ask(model, unit)
    # Met in full is what an ask of one piece is, on a shelf of q - 1 pieces less.
    reorder = _reorder_points(mean, variance, quantity, fill, unit)
    if fill > 0.0:
        # Whole grains; and what is left always serves the next ask, or more is on its way.
        grain = np.gcd(unit, quantity)
        reorder = np.where(ask > 1, np.maximum(-(-reorder // grain) * grain, 0), reorder) + ask - 1
    else:
        reorder = np.where(ask > 1, -quantity, reorder)
    # What nobody asks for is not kept to serve a share of nothing.
    reorder = np.where(rate > 0.0, reorder, -quantity)
    lifted = model.always & (reorder < 0)
    reorder = np.where(lifted, ask - 1, reorder)
    # One order, and what one ask takes, are kept even so, as in a plan.
    top = np.where(ages, np.maximum(most - quantity, ask - 1), reorder)
    capped = reorder > top
    reorder = np.minimum(reorder, top)
    return _figures(model, reorder.astype(np.int64), quantity, (ask, unit), (capped, lifted))


def _check(fill: float, order_cost: float, holding_share: float) -> None:
    rule = ""
    if not 0.0 <= fill < 1.0:
        rule = f"a share of the asks of {fill:g}: it lies from 0 to below 1"
    elif order_cost < 0.0:
        rule = f"an order that costs {order_cost:g}: it costs 0 or more"
    elif not holding_share > 0.0:
        rule = f"a holding share of {holding_share:g}: keeping a piece costs something"
    if rule:
        raise InputError(value="levels", rule=rule, todo="Give for example --fill 0.95")


def _per_item(model: Model, values: list[float] | list[int] | list[bool]) -> Floats:
    import numpy as np

    return np.array(values, dtype=np.float64)[model.part_of]


def most_before_old(model: Model) -> tuple[Ints, Flags]:
    """The most pieces that are asked for within the shelf life, nearly for sure; and what ages."""
    import numpy as np

    life = _per_item(
        model, [np.inf if p.shelf_life_months is None else p.shelf_life_months for p in model.parts]
    )
    ages = np.isfinite(life)
    years = np.where(ages, life, 0.0) / _MONTHS
    mean = model.rate * years
    variance = model.dispersion * mean + model.rate * model.rate_scale * years**2
    # P(asked for <= s - 1) is the chance that the s-th piece turns too old.
    most = smallest_level(mean=mean, variance=variance, wanted=TOO_OLD)
    over = at_most(mean=mean, variance=variance, level=most) > TOO_OLD
    return np.where(over, most, most + 1), ages


def _reorder_points(
    mean: Floats, variance: Floats, quantity: Ints, fill: float, unit: Ints
) -> Ints:
    """The smallest r, from -1, at which the share of asks served is reached."""
    import numpy as np

    # With Q of one the answer is the base stock less one; a larger Q only needs less.
    rate = mean / unit
    spread = np.maximum(variance / unit**2, rate)
    high = smallest_level(mean=rate, variance=spread, wanted=fill).astype(np.int64) * unit
    if fill == 0.0:
        return np.full(mean.shape, -1, dtype=np.int64)
    low = np.full(mean.shape, -1, dtype=np.int64)
    while (low < high).any():
        middle = (low + high) // 2
        enough = (
            reorder_ready_share(
                mean=mean, variance=variance, reorder=middle, quantity=quantity, unit=unit
            )
            >= fill - 1e-12
        )
        high = np.where(enough, middle, high)
        low = np.where(enough, low, middle + 1)
    return high


def _figures(
    model: Model, reorder: Ints, quantity: Ints, asks: tuple[Ints, Ints], flags: tuple[Flags, Flags]
) -> ItemLevels:
    import numpy as np

    mean, variance = model.mean, model.variance
    (ask, unit), (capped, critical) = asks, flags
    fill = reorder_ready_share(
        mean=mean, variance=variance, reorder=reorder - ask + 1, quantity=quantity, unit=unit
    )
    over = np.where(reorder >= 0, np.gcd(unit, quantity) - 1, 0)
    level = reorder + quantity - over
    return ItemLevels(
        reorder=reorder,
        quantity=quantity,
        level=level,
        ask=ask,
        fill=fill,
        on_shelf=on_shelf(
            mean=mean, variance=variance, reorder=level - quantity, quantity=quantity
        ),
        orders=model.rate / quantity,
        capped=capped,
        critical=critical,
    )


def on_shelf(*, mean: Floats, variance: Floats, reorder: Ints, quantity: Ints) -> Floats:
    """Pieces that lie on the shelf on average.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand in the lead time.
    reorder : array of int
        The reorder point r, at least -1.
    quantity : array of int
        The order quantity Q.

    Notes
    -----
    The mean of E[(y - X)+] over y = r + 1 ... r + Q, with E[(y - X)+] = y - m + E[(X - y)+].

    Source: the (r, Q) model of any inventory textbook, from memory.
    """
    import numpy as np

    result = np.zeros(len(mean))
    # A shelf of many packs is averaged level by level; the longest takes as many steps as pieces.
    for step in range(1, int(quantity.max(initial=0)) + 1):
        here = quantity >= step
        level = reorder[here] + step
        short = expected_short(mean=mean[here], variance=variance[here], level=level)
        result[here] += level - mean[here] + short
    found: Floats = result / np.maximum(quantity, 1)
    return found
