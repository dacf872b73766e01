"""Months of single sizes, and what the months do to the demand in a lead time.

Most sizes share the shop's months. Whether one has months of its own is weighed against two other
explanations of its asks: that it follows the shop, and that a few bunches came by chance.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.records import MONTHS, Ahead, Pace
from fitcheck.stock.season import Season, month_and_year
from fitcheck.stock.special import log_gamma_step

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.asks import Asks, Window

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# A size is looked at by itself from so many asks on, and where each month was watched twice.
LEAST_ASKS = 12
LEAST_YEARS = 2
# Before anything is seen: one size in twenty has months of its own, and as many come in bunches;
# either way the asks of an average year lie as unevenly as twelve asks' worth. Guesses of ours.
LIKELY = 0.05
CONCENTRATION = 12.0
# Months of its own are taken from this probability on.
SURE = 0.5
# No month is ever taken as quite without demand.
_LEAST_WEIGHT = 0.02
# Lead times that differ by less than this are taken together [d].
_STEP_DAYS = 0.5
_PEAK = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class OwnMonths:
    """Sizes with months of their own: part, weights as `Season`, and how sure that is."""

    part: Ints
    weights: Floats
    sure: Floats

    def row_of(self, parts: int) -> Ints:
        """For each part its row in `all_weights`, 0 where it follows the shop.

        Parameters
        ----------
        parts : int
            How many parts there are.
        """
        import numpy as np

        row = np.zeros(parts, dtype=np.int64)
        row[self.part] = 1 + np.arange(len(self.part))
        return row

    def all_weights(self, season: Season) -> Floats:
        """The shop's months, and below them those of each such size.

        Parameters
        ----------
        season : Season
            The shop's months.
        """
        import numpy as np

        return np.vstack([season.weights[None, :], self.weights])


def own_months(
    asks: Asks, *, spread: Floats, places: int, window: Window, season: Season
) -> OwnMonths:
    """The sizes whose asks lie in other months than the shop's.

    Parameters
    ----------
    asks : Asks
        What was asked for.
    spread : array of float, (parts,)
        How much more the asks of each part vary than single chances; so many count as one.
    places : int
        How many branches there are.
    window : Window
        The days each branch was watched.
    season : Season
        The shop's months.

    Notes
    -----
    With n asks of which c_m come in month m where the shop's months make a share p_m likely, and
    shares of its own from a Dirichlet of concentration K about p: log probability of the asks is
    lg(K) - lg(K + n) + sum lg(K p_m + c_m) - lg(K p_m), over sum c_m log p_m for the shop's. The
    same over the single months of the calendar says how likely bunches are that did not come back.
    The size's weights are the expected shares, mixed with the shop's by the probability.

    Source: Bayes factors of multinomials under a Dirichlet prior, any textbook; from memory.
    """
    import numpy as np

    none = OwnMonths(np.zeros(0, dtype=np.int64), np.zeros((0, MONTHS)), np.zeros(0))
    part, place = asks.item // places, asks.item % places
    many = np.flatnonzero(np.bincount(part, minlength=len(spread)) >= LEAST_ASKS)
    first, last = int(window.first.min()), int(window.last.max())
    if not len(many) or last < first:
        return none
    month, year = month_and_year(first, last)
    cell = (year - year[0]) * MONTHS + month
    cells = (int(year[-1] - year[0]) + 1) * MONTHS
    watched = np.zeros((places, cells))
    for row, (start, end) in enumerate(zip(window.first, window.last, strict=True)):
        watched[row] = np.bincount(cell[start - first : end - first + 1], minlength=cells)
    busy = watched * np.tile(season.weights, cells // MONTHS)
    at = np.searchsorted(many, part)
    mine = (at < len(many)) & (many[np.minimum(at, len(many) - 1)] == part)
    counts = np.zeros((len(many), cells))
    np.add.at(counts, (at[mine], cell[asks.day[mine] - first]), 1.0)
    here = np.zeros((len(many), places))
    np.add.at(here, (at[mine], place[mine]), 1.0)
    expected = (here / np.maximum(busy.sum(1), 1e-9)) @ busy
    expected /= expected.sum(1)[:, None]
    twice = (expected > 0).reshape(len(many), -1, MONTHS).sum(1).min(1) >= LEAST_YEARS
    many, counts, expected = many[twice], counts[twice], expected[twice]
    if not len(many):
        return none
    counts = counts / spread[many][:, None]
    monthly = counts.reshape(len(many), -1, MONTHS).sum(1)
    likely = expected.reshape(len(many), -1, MONTHS).sum(1)
    own = _log_factor(monthly, likely)
    bunch = _log_factor(counts, expected)
    top = np.maximum(np.maximum(own, bunch), 0.0)
    shop = (1.0 - 2.0 * LIKELY) * np.exp(-top)
    own, bunch = LIKELY * np.exp(own - top), LIKELY * np.exp(bunch - top)
    sure = own / (shop + own + bunch)
    kept = sure >= SURE
    monthly, likely, sure = monthly[kept], likely[kept], sure[kept]
    shares = (monthly + CONCENTRATION * likely) / (monthly.sum(1)[:, None] + CONCENTRATION)
    weights = season.weights * (1.0 + sure[:, None] * (shares / likely - 1.0))
    weights = np.maximum(weights, _LEAST_WEIGHT)
    return OwnMonths(many[kept], weights / weights.mean(1)[:, None], sure)


def _log_factor(counts: Floats, likely: Floats) -> Floats:
    """How much more probable counts are under shares of their own than under the likely ones."""
    import numpy as np

    seen = counts > 0
    prior = np.maximum(CONCENTRATION * likely, 1e-12)
    each = log_gamma_step(prior, counts) - counts * np.log(np.maximum(likely, 1e-12))
    total = counts.sum(1)
    result: Floats = np.where(seen, each, 0.0).sum(1)
    return result - log_gamma_step(np.full(len(total), CONCENTRATION), total)


def watched_ratio(own: OwnMonths, season: Season, window: Window, *, parts: int) -> Floats:
    """Years of average demand by a size's own months over those by the shop's, (N,).

    Parameters
    ----------
    own : OwnMonths
        The sizes with months of their own.
    season : Season
        The shop's months.
    window : Window
        The days each branch was watched.
    parts : int
        How many parts there are.
    """
    import numpy as np

    places = len(window.first)
    ratio = np.ones((parts, places))
    for place in range(places if len(own.part) else 0):
        start, end = int(window.first[place]), int(window.last[place])
        if end < start:
            continue
        days = np.bincount(month_and_year(start, end)[0], minlength=MONTHS)
        ratio[own.part, place] = (own.weights @ days) / float(season.weights @ days)
    return ratio.ravel()


def month_words(weights: Floats) -> str:
    """In which months most and least is asked for.

    Parameters
    ----------
    weights : array of float, (12,)
        Demand of January to December over an average month's.

    Examples
    --------
    >>> import numpy as np
    >>> month_words(np.array([0.5] * 10 + [2.5, 4.5]))
    'months of its own: Nov, Dec ask for 3.5 times an average month, Jan for 0.50'
    """
    import numpy as np

    names = [date(2000, m + 1, 1).strftime("%b") for m in range(MONTHS)]
    high = np.flatnonzero(weights >= min(_PEAK, float(weights.max())))
    low = int(np.argmin(weights))
    asks = "asks" if len(high) == 1 else "ask"
    return (
        f"months of its own: {', '.join(names[m] for m in high)} {asks} for "
        f"{weights[high].mean():.1f} times an average month, {names[low]} for {weights[low]:.2f}"
    )


# Without a day, the whole year round: any year that has no leap day.
_YEAR = Ahead(date(2001, 1, 1), 365)


def pace_of(weights: Floats, row: Ints, lead_days: Floats, ahead: Ahead | None) -> Pace:
    """What the months do to each item.

    Parameters
    ----------
    weights : array of float, (R, 12)
        Demand of January to December over an average month's.
    row : array of int, (N,)
        The row of each item.
    lead_days : array of float, (N,)
        Lead time and review [d].
    ahead : Ahead, optional
        The days orders are placed on; a whole year where left out.

    Notes
    -----
    Who asks on day t + T has the demand of t ... t + T before him. With w(t) the weight of a day,
    M(t) the mean of w over these days: lead is the mean of M weighted by w(t + T), swing the
    variance of M likewise.
    """
    import numpy as np

    days = ahead or _YEAR
    rounded = np.rint(lead_days / _STEP_DAYS).astype(np.int64)
    codes, place = np.unique(row * (int(rounded.max(initial=0)) + 1) + rounded, return_inverse=True)
    start, count = days.first.toordinal(), days.days
    longest = int(np.ceil(rounded.max(initial=0) * _STEP_DAYS)) + 1
    month, _ = month_and_year(start, start + count + longest)
    lead, swing, now = np.ones(len(codes)), np.zeros(len(codes)), np.ones(len(codes))
    for at, code in enumerate(codes.tolist()):
        which, steps = divmod(code, int(rounded.max(initial=0)) + 1)
        day = weights[which][month]
        total = np.concatenate([[0.0], np.cumsum(day)])
        time = steps * _STEP_DAYS
        whole = int(time)
        end = total[whole : whole + count] + (time - whole) * day[whole : whole + count]
        over = (end - total[:count]) / time if time else day[:count]
        asked = day[whole : whole + count]
        lead[at] = (over * asked).sum() / asked.sum()
        swing[at] = max(0.0, (over**2 * asked).sum() / asked.sum() - lead[at] ** 2)
        now[at] = day[:count].mean() if ahead is not None else 1.0
    return Pace(lead[place], swing[place], now[place], ahead)


def month_notes(
    season: Season, own: OwnMonths, names: Sequence[str], ahead: Ahead | None, most: int = 5
) -> list[str]:
    """What the buyer has to know of the months.

    Parameters
    ----------
    season : Season
        The shop's months.
    own : OwnMonths
        The sizes with months of their own.
    names : sequence of str
        What each part is called.
    ahead : Ahead, optional
        The days orders are placed on; a whole year where left out.
    most : int
        Sizes that are named.
    """
    found = [f"months: {season.reason}"]
    count = len(own.part)
    if count:
        named = ", ".join(names[part] for part in own.part[:most].tolist())
        more = f" and {count - most} more" if count > most else ""
        have = "size has months of its" if count == 1 else "sizes have months of their"
        found.append(f"{count} {have} own: {named}{more}")
    if not count and season.kept == 0.0:
        if ahead is not None:
            found.append(
                f"as all months are alike, it makes no difference to plan for {ahead.first}"
            )
    elif ahead is None:
        found.append(
            "levels are for the whole year, busy months and quiet ones, where no day is named "
            "(--on DATE)"
        )
    else:
        found.append(
            f"levels are for what is ordered from {ahead.first} to {ahead.last}, each with the "
            "months of its own lead time; jobs a year are at the pace of these days"
        )
    return found
