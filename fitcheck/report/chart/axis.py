"""Axes: round ticks that cover a range, zero included where it belongs."""

from __future__ import annotations

import math


def ticks(*, low: float, high: float, most: int = 8) -> list[float]:
    """Round values in even steps of 1, 2 or 5 that reach over both ends of a range.

    Parameters
    ----------
    low, high : float
        The range.
    most : int
        The most steps wanted.

    Examples
    --------
    >>> ticks(low=-20.0, high=21.0)
    [-20.0, -10.0, 0.0, 10.0, 20.0, 30.0]
    """
    span = high - low
    if span <= 0:
        low, span = low - 0.5, 1.0
        high = low + span
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= raw * (1.0 - 1e-9))
    first = math.floor(low / step + 1e-9)
    last = math.ceil(high / step - 1e-9)
    # Adding zero turns -0.0 into 0.0.
    return [round(n * step, 9) + 0.0 for n in range(first, last + 1)]
