"""Sizes that nobody asked for: terms, a shelf or a fleet elsewhere are no demand of a branch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from fitcheck.stock.asks import Asks
from fitcheck.stock.rates import Rates

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Flags = NDArray[np.bool_]


def unasked_items(
    asks: Asks, rates: Rates, *, places: int, held: Mapping[int, int] | None = None
) -> Flags:
    """Items that no ask, and no fleet and no shelf of their own branch, speaks for.

    Parameters
    ----------
    asks : Asks
        What was asked for.
    rates : Rates
        The rates, and what short branches borrow.
    places : int
        How many branches there are.
    held : mapping of int to int, optional
        Pieces on today's shelf, by item.

    Notes
    -----
    A size that is asked for at one branch may be at another, as seldom as sizes like it there;
    but what belongs to the fleet of one branch alone is asked for by that one. A size that lies on
    the branch's own shelf is judged by sizes like it, so that it isn't called dead in its first
    months.
    """
    import numpy as np

    count = len(rates.shape)
    here = (np.bincount(asks.item, minlength=count) > 0).reshape(-1, places)
    in_fleet = (rates.fleet > 0).reshape(-1, places)
    anywhere = np.logical_or.reduce(here, axis=1) & ~np.logical_or.reduce(in_fleet, axis=1)
    asked: Flags = (here | anywhere[:, None]).ravel()
    for item, pieces in (held or {}).items():
        asked[item] |= pieces > 0
    found: Flags = ~asked & (rates.fleet <= 0)
    return found


def without(rates: Rates, unasked: Flags) -> Rates:
    """The rates that levels and plans are made for.

    Parameters
    ----------
    rates : Rates
        The rates as sizes alike have them.
    unasked : array of bool, (N,)
        Items that count for nothing.
    """
    import numpy as np

    return replace(rates, scale=np.where(unasked, 0.0, rates.scale))


def unasked_note(rates: Rates, unasked: Flags) -> tuple[str, ...]:
    """What is left out of levels and plans, and how much sizes like it would bring.

    Parameters
    ----------
    rates : Rates
        The rates as sizes alike have them.
    unasked : array of bool, (N,)
        Items that count for nothing.
    """
    count = int(unasked.sum())
    if not count:
        return ()
    rate = float(rates.mean[unasked].sum())
    shown = f"{rate:.0f}" if rate >= 10 else f"{rate:.1f}"
    words = (
        "1 size at a branch was never asked for there and is not planned for; sizes like it"
        if count == 1
        else f"{count} sizes at their branches were never asked for there and are not planned for; "
        "sizes like them"
    )
    return (f"{words} bring about {shown} pieces a year in all",)
