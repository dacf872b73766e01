"""The months: how much more is asked for in some of them, and time counted in that measure."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.records import DAYS_PER_YEAR, MONTHS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Months are compared only over at least so many days of history.
LEAST_DAYS = 360


@dataclass(frozen=True, slots=True, eq=False)
class Season:
    """Demand of each month over an average month's, and how it was arrived at.

    ``kept`` is the share of the months' differences that is taken as real, from 0 to 1.
    """

    weights: Floats
    kept: float
    reason: str


def season_of(*, days: Ints, first: int, last: int) -> Season:
    """How the months differ, as far as chance does not explain it.

    Parameters
    ----------
    days : array of int
        The day of each ask, as ``date.toordinal``.
    first, last : int
        First and last day of the history.

    Returns
    -------
    Season
        All months alike where there is less than a year of history.

    Notes
    -----
    With c asks in month m where e are expected were all days alike, X^2 = sum (c - e)^2 / e over 11
    degrees of freedom, divided by the spread of the same month between years where there are two
    years or more. Each month's ratio c / e is drawn towards 1 by max(0, 1 - 11 / X^2).

    Source: shrinkage of a set of means by its own chi-square (positive-part James-Stein), from
    memory.
    """
    import numpy as np

    flat = np.ones(MONTHS)
    if last - first + 1 < LEAST_DAYS:
        return Season(flat, 0.0, "less than a year of history: all months are taken alike")
    month, year = month_and_year(first, last)
    day_month = month[days - first]
    counts = np.bincount(day_month, minlength=MONTHS).astype(float)
    lengths = np.bincount(month, minlength=MONTHS).astype(float)
    if counts.sum() < MONTHS * 5:
        return Season(flat, 0.0, "too few asks to tell the months apart: they are taken alike")
    expected = counts.sum() * lengths / lengths.sum()
    spread = _between_years(day_month, year[days - first], month, year)
    chi_square = float(((counts - expected) ** 2 / expected).sum()) / spread
    kept = max(0.0, 1.0 - (MONTHS - 1) / chi_square) if chi_square > 0 else 0.0
    weights = 1.0 + kept * (counts / expected - 1.0)
    weights = np.maximum(weights, 0.05)
    if kept == 0.0:
        return Season(flat, 0.0, "the months differ no more than chance makes them: taken alike")
    names = [date(2000, m + 1, 1).strftime("%b") for m in range(MONTHS)]
    high, low = int(np.argmax(weights)), int(np.argmin(weights))
    reason = (
        f"{names[high]} asks for {weights[high]:.2f} times an average month, {names[low]} for "
        f"{weights[low]:.2f} ({kept:.0%} of the difference is taken as real)"
    )
    return Season(weights / weights.mean(), kept, reason)


def month_and_year(first: int, last: int) -> tuple[Ints, Ints]:
    """Month, from 0 to 11, and year of each day.

    Parameters
    ----------
    first, last : int
        First and last day, as ``date.toordinal``, both included.
    """
    import numpy as np

    origin = np.datetime64("0001-01-01")
    days = origin + np.arange(first - 1, last).astype("timedelta64[D]")
    months = days.astype("datetime64[M]").astype(np.int64) + 1970 * 12
    return months % 12, months // 12


def _between_years(day_month: Ints, day_year: Ints, month: Ints, year: Ints) -> float:
    """How much more than by chance one month differs between the years; at least 1."""
    import numpy as np

    base = int(year.min())
    years = int(year.max()) - base + 1
    shape = (years, MONTHS)
    counts = np.zeros(shape)
    np.add.at(counts, (day_year - base, day_month), 1.0)
    lengths = np.zeros(shape)
    np.add.at(lengths, (year - base, month), 1.0)
    whole = np.flatnonzero((lengths >= 28).all(axis=1))
    if len(whole) < 2:
        return 1.0
    table = counts[whole]
    expected = table.sum(0) * table.sum(1)[:, None] / max(table.sum(), 1.0)
    seen = expected > 0
    chi_square = float((((table - expected) ** 2)[seen] / expected[seen]).sum())
    return max(1.0, chi_square / ((len(whole) - 1) * (MONTHS - 1)))


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """Time in years of average demand: a day in a busy month counts more."""

    first: int
    total: Floats

    def years(self, start: ArrayLike, end: ArrayLike) -> Floats:
        """Years of average demand from a day up to before another, within the history."""
        import numpy as np

        top = len(self.total) - 1
        low = np.clip(np.asarray(start, dtype=np.int64) - self.first, 0, top)
        high = np.clip(np.asarray(end, dtype=np.int64) - self.first, 0, top)
        result: Floats = np.maximum(self.total[high] - self.total[low], 0.0)
        return result


def clock_of(*, season: Season, first: int, last: int) -> Clock:
    """A clock over a history.

    Parameters
    ----------
    season : Season
        The months.
    first, last : int
        First and last day, as ``date.toordinal``.
    """
    import numpy as np

    month, _ = month_and_year(first, last)
    return Clock(first, np.concatenate([[0.0], np.cumsum(season.weights[month]) / DAYS_PER_YEAR]))
