"""How probable it is that a shelf lasts: exact, for Poisson and negative binomial demand.

All functions take whole arrays. Demand is given by its mean and variance: a variance no larger than
the mean is taken as Poisson, a larger one as negative binomial with those two moments.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from fitcheck.records import dataclass
from fitcheck.stock.special import log_gamma, log_gamma_step

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# A variance that is larger by less than this share of the mean is Poisson's: the negative binomial
# is the same there to the last digits, and its arithmetic is not.
_POISSON = 1e-9
# So many standard deviations below the mean nothing is left to add.
_FAR_BELOW = 15.0


@dataclass(frozen=True, slots=True)
class _Walk:
    """The counts of some distributions, from where they start to matter."""

    count: Floats
    probability: Floats
    slope: Floats
    base: Floats
    mean: Floats

    def taken(self, which: Any) -> _Walk:
        """Those of some places."""
        return _Walk(
            self.count[which],
            self.probability[which],
            self.slope[which],
            self.base[which],
            self.mean[which],
        )

    def next(self) -> _Walk:
        """One count on: p(k + 1) = p(k) (slope k + base) / (k + 1), of either distribution."""
        after = self.count + 1.0
        probability = self.probability * (self.slope * self.count + self.base) / after
        return _Walk(after, probability, self.slope, self.base, self.mean)


def _start(mean: Floats, variance: Floats) -> _Walk:
    import numpy as np

    poisson = variance <= mean * (1.0 + _POISSON)
    safe = np.maximum(mean, 1e-300)
    excess = np.where(poisson, 1.0, variance - mean)
    shape = np.where(poisson, 1.0, safe / excess * safe)
    # Probability of one count more, of the negative binomial.
    chance = np.where(poisson, 0.0, excess / np.where(poisson, 1.0, variance))
    deviation = np.sqrt(np.maximum(variance, mean))
    count = np.maximum(0.0, np.floor(mean - _FAR_BELOW * deviation))
    logarithm = np.where(poisson, -mean, shape * np.log1p(-chance))
    far = np.flatnonzero(count > 0.0)
    if far.size:
        k, n = count[far], shape[far]
        logarithm[far] -= log_gamma(k + 1.0)
        logarithm[far] += np.where(
            poisson[far],
            k * np.log(safe[far]),
            log_gamma_step(n, k) + k * np.log(np.where(poisson[far], 1.0, chance[far])),
        )
    base = np.where(poisson, mean, shape * chance)
    return _Walk(count, np.exp(logarithm), chance, base, mean)


def _flat(*arrays: ArrayLike) -> tuple[tuple[int, ...], list[Floats]]:
    import numpy as np

    spread = np.broadcast_arrays(*(np.asarray(array, dtype=np.float64) for array in arrays))
    return spread[0].shape, [array.ravel() for array in spread]


def at_most(*, mean: ArrayLike, variance: ArrayLike, level: ArrayLike) -> Floats:
    """Probability that demand is at most a level.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand.
    level : array of int
        The level; below 0 the probability is 0.

    Notes
    -----
    Poisson: p(0) = exp(-m), p(k + 1) = p(k) m / (k + 1). Negative binomial of mean m and variance
    v: n = m^2 / (v - m), q = 1 - m / v, p(0) = (m / v)^n, p(k + 1) = p(k) q (k + n) / (k + 1).
    A large mean starts the recursion 15 standard deviations below it, in logarithms.

    Examples
    --------
    >>> print(at_most(mean=3.0, variance=3.0, level=4).round(4))
    0.8153
    """
    import numpy as np

    shape, (m, v, s) = _flat(mean, variance, level)
    total = np.zeros(m.shape)
    # Those with the longest way to go come first, so that the rest is cut off at the end.
    walk = _start(m, v)
    steps = np.floor(s) - walk.count
    order: Ints = np.argsort(-steps, kind="stable").astype(np.int64)
    walk, steps, sums = walk.taken(order), steps[order], total[order]
    step = 0
    while left := int(np.searchsorted(-steps, -step, side="right")):
        walk = walk.taken(slice(left))
        sums[:left] += walk.probability
        walk = walk.next()
        step += 1
    total[order] = np.minimum(sums, 1.0)
    return total.reshape(shape)


def smallest_level(*, mean: ArrayLike, variance: ArrayLike, wanted: ArrayLike) -> Ints:
    """The smallest level that demand stays at or under with the wanted probability.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand.
    wanted : array of float
        The probability, from 0 to below 1.

    Examples
    --------
    >>> print(smallest_level(mean=3.0, variance=3.0, wanted=0.95))
    6
    """
    import numpy as np

    shape, (m, v, p) = _flat(mean, variance, wanted)
    found = np.zeros(m.shape, dtype=np.int64)
    walk, place = _start(m, v), np.arange(m.size)
    sums = np.zeros(m.shape)
    while place.size:
        sums = sums + walk.probability
        # At the far end the sum may round to just under 1 and would never reach the last digits.
        done = (sums >= p) | ((walk.probability < 1e-18) & (walk.count > walk.mean))
        # Nothing asked for is reached at once, wherever the walk starts.
        found[place[done]] = np.where(p[done] <= 0.0, 0.0, walk.count[done]).astype(np.int64)
        left = ~done
        walk, place, sums, p = walk.taken(left).next(), place[left], sums[left], p[left]
    return found.reshape(shape)


def expected_short(*, mean: ArrayLike, variance: ArrayLike, level: ArrayLike) -> Floats:
    """Expected pieces of demand beyond a level: the back-orders of a base stock.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand.
    level : array of int
        The level, 0 or more.

    Notes
    -----
    E[(X - s)+] = m - s + sum over k from 0 to s - 1 of P(X <= k).

    Examples
    --------
    >>> print(expected_short(mean=4.0, variance=4.0, level=[0, 1, 2]).round(3))
    [4.    3.018 2.11 ]
    """
    import numpy as np

    shape, (m, v, s) = _flat(mean, variance, level)
    result = m - s
    walk, place, sums = _start(m, v), np.arange(m.size), np.zeros(m.shape)
    while place.size:
        left = walk.count < s[place]
        walk, place, sums = walk.taken(left), place[left], sums[left]
        sums = sums + walk.probability
        result[place] += sums
        walk = walk.next()
    return np.maximum(result, 0.0).reshape(shape)


def cumulative_rows(
    *, mean: ArrayLike, variance: ArrayLike, highest: int
) -> Iterator[tuple[int, Floats]]:
    """Level after level, the probability that demand is at most it, for all at once.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand.
    highest : int
        The last level.

    Returns
    -------
    iterator of (int, array)
        A level and the probabilities at it; each is one step of the recursion.
    """
    import numpy as np

    _, (m, v) = _flat(mean, variance)
    walk, sums = _start(m, v), np.zeros(m.shape)
    first = walk.count.copy()
    late = bool(first.any())
    for level in range(highest + 1):
        if not late:
            sums = np.minimum(sums + walk.probability, 1.0)
            yield level, sums
            walk = walk.next()
            continue
        # A large mean starts further on, and has nothing to add until then.
        here = np.flatnonzero(first <= level)
        sums = sums.copy()
        sums[here] = np.minimum(sums[here] + walk.probability[here], 1.0)
        yield level, sums
        walk.probability[here] = walk.taken(here).next().probability
        walk.count[here] += 1.0


def ready_share(*, mean: ArrayLike, variance: ArrayLike, level: ArrayLike) -> Floats:
    """Expected share of asks that find a piece on a shelf kept at a base-stock level.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand in the lead time.
    level : array of int
        The base-stock level S: one is ordered whenever one goes.

    Notes
    -----
    P(X <= S - 1): a piece lies there when fewer than S were asked for in the last lead time. Exact
    for Poisson asks of one piece each, whatever the spread of the lead time.

    Source: asks that come at random see the shelf's time average; base-stock theory of any
    inventory textbook, from memory.
    """
    import numpy as np

    return at_most(mean=mean, variance=variance, level=np.asarray(level) - 1)


def reorder_ready_share(
    *,
    mean: ArrayLike,
    variance: ArrayLike,
    reorder: ArrayLike,
    quantity: ArrayLike,
    unit: ArrayLike = 1,
) -> Floats:
    """Expected share of asks that find a piece, where Q are ordered when r are left.

    Parameters
    ----------
    mean, variance : array of float
        Mean and variance of the demand in the lead time.
    reorder : array of int
        The reorder point r; on hand and on order together. Below 0 nothing is there to be had.
    quantity : array of int
        The order quantity Q, 1 or more.
    unit : array of int
        The pieces u that divide every ask.

    Notes
    -----
    The inventory position is each of r + 1 ... r + Q equally often, so the share is the mean of
    P(X <= y - 1) over them. With Q = 1 this is the base stock S = r + 1. Asks of u pieces are
    counted by u: P(X <= floor((y - 1) / u)).

    Source: the (r, Q) model of any inventory textbook, from memory.
    """
    import numpy as np

    shape, (m, v, r, q, u) = _flat(mean, variance, reorder, quantity, unit)
    # The mean of P(X <= k) over k = r ... r + Q - 1 is a difference of two partial expectations.
    short = _short_by_units(m, v, _at_least_0(r), u)
    beyond = _short_by_units(m, v, _at_least_0(r + q), u)
    below = np.minimum(_at_least_0(-r), q)
    result: Floats = ((q - below) - (short - beyond)) / q
    return result.clip(0.0, 1.0).reshape(shape)


def _short_by_units(mean: Floats, variance: Floats, level: Floats, unit: Floats) -> Floats:
    """Pieces short of a level where they go by units; between whole units it falls evenly."""
    import numpy as np

    if (unit == 1.0).all():
        return expected_short(mean=mean, variance=variance, level=level)
    rate = mean / unit
    spread = np.maximum(variance / unit**2, rate)
    whole = np.floor(level / unit)
    part = level / unit - whole
    low = expected_short(mean=rate, variance=spread, level=whole)
    high = expected_short(mean=rate, variance=spread, level=whole + 1.0)
    result: Floats = unit * (low + part * (high - low))
    return result


def _at_least_0(values: Floats) -> Floats:
    import numpy as np

    return np.maximum(values, 0.0)
