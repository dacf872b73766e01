"""What pieces move together: those of one ask, those of one order, and the levels that follow.

Where every job takes four, a fifth piece serves nobody, and levels go up by four. Where a pack of
five meets asks of two, one piece may be left over: more is ordered as soon as what is left can't
serve the next ask, or that piece would lie there for ever.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.records import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.records import Model

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Lots:
    """Pieces that go and come together; all arrays are (N,).

    ``unit`` divides the pieces of every ask, ``usual`` is what one job takes on average, in whole
    units. ``grain`` divides both an ask and an order: what lies there changes by no less. ``first``
    is the fewest pieces of a shelf that serves the usual ask whenever all is there that was
    ordered, ``step`` what a level goes up by.
    """

    unit: Ints
    usual: Ints
    grain: Ints
    first: Ints
    step: Ints


def unit_of_asks(item: Ints, quantity: Ints, count: int) -> Ints:
    """The pieces that divide every ask of each item; 1 where nobody asks.

    Parameters
    ----------
    item, quantity : array of int
        The asks: their items and pieces.
    count : int
        How many items there are.

    Examples
    --------
    >>> import numpy as np
    >>> print(unit_of_asks(np.array([0, 0, 1, 1]), np.array([4, 6, 1, 4]), 3))
    [2 1 1]
    """
    import numpy as np

    unit = np.zeros(count, dtype=np.int64)
    single = np.zeros(count, dtype=np.bool_)
    single[item[quantity == 1]] = True
    # Few sizes go out by twos only: the slow way is for them alone.
    rest = np.flatnonzero(~single[item])
    np.gcd.at(unit, item[rest], quantity[rest])
    return np.maximum(unit, 1)


def usual_ask(model: Model, unit: Ints) -> Ints:
    """Pieces that one job takes of each item: the mean over its jobs, in whole units.

    Parameters
    ----------
    model : Model
        Demand by kits.
    unit : array of int, (N,)
        The pieces that divide every ask.
    """
    import numpy as np

    count = len(model.part_of)
    jobs = np.repeat(model.kit_rate, np.diff(model.kit_start))
    total = np.bincount(model.kit_item, jobs, minlength=count)
    pieces = np.bincount(model.kit_item, jobs * model.kit_quantity, minlength=count)
    mean = np.where(total > 0, pieces / np.where(total > 0, total, 1.0), 1.0)
    found: Ints = np.maximum(1, np.rint(mean / unit)).astype(np.int64) * unit
    return found


def lots_of(*, unit: Ints, usual: Ints, order: Ints) -> Lots:
    """How levels go up, from the pieces of an ask and of an order.

    Parameters
    ----------
    unit, usual : array of int, (N,)
        The pieces that divide every ask, and those of the usual one.
    order : array of int, (N,)
        Pieces that are ordered at once.

    Notes
    -----
    With a highest level S the position is each of S - Q + g, S - 2 g ... S, where g divides the
    ask and the order Q; the lowest serves an ask of q where S is no less than Q + q - g.
    """
    import numpy as np

    grain = np.gcd(unit, order)
    # Orders that divide the ask bring back just what went: the shelf is full after each.
    whole = grain == order
    first = np.where(whole, unit, order + usual - grain)
    return Lots(unit, usual, grain, first, np.where(whole, unit, grain))


def order_point(level: Ints, order: Ints, ask: Ints) -> Ints:
    """Pieces, on hand and on order, at which more are ordered.

    Parameters
    ----------
    level : array of int
        The most there is, above 0.
    order : array of int
        Pieces that are ordered at once.
    ask : array of int
        Pieces of the usual ask.

    Notes
    -----
    Where an order fits under the level, and in any case where what is left can't serve the next
    ask.

    Examples
    --------
    >>> import numpy as np
    >>> print(order_point(np.array([5, 6, 9, 4]), np.array([5, 5, 5, 1]), np.array([2, 2, 2, 4])))
    [1 1 4 3]
    """
    import numpy as np

    found: Ints = np.maximum(level - order, np.minimum(ask, level) - 1)
    return found
