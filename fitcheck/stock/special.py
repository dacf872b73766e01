"""The few special functions that counts and their rates need, whole arrays at once.

They are written out here so that the program needs no more than numpy; the tests compare each of
them with an independent library over its whole range.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

# Below this the argument is stepped up, above it the asymptotic series is exact to 1e-15.
_STEPPED = 10
# Coefficients B(2k) / (2k (2k - 1)) of the series of log gamma.
_SERIES = (1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156)
_HALF_LOG_2PI = 0.9189385332046727
_MOST_TERMS = 100_000
_TINY = 1e-300
_EPSILON = 1e-15


def log_gamma(x: ArrayLike) -> Floats:
    """Logarithm of the gamma function, for x above 0.

    Parameters
    ----------
    x : array of float
        The argument, above 0.

    Notes
    -----
    Stirling's series after stepping x up to 10 by gamma(x + 1) = x gamma(x).

    Examples
    --------
    >>> print(round(float(log_gamma(5.0)), 6))
    3.178054

    Source: the asymptotic series of log gamma, any handbook of functions; from memory.
    """
    import numpy as np

    given = np.asarray(x, dtype=np.float64)
    small = given < _STEPPED
    product = np.ones_like(given)
    stepped = given.copy()
    for step in range(_STEPPED):
        product = np.where(small, product * (given + step), product)
    stepped = np.where(small, given + _STEPPED, stepped)
    main = (stepped - 0.5) * np.log(stepped) - stepped + _HALF_LOG_2PI
    result: Floats = main + _series_over(stepped) - np.log(product)
    return result


def log_gamma_step(x: ArrayLike, step: ArrayLike) -> Floats:
    """log gamma(x + step) - log gamma(x), without the digits that two large values would lose.

    Parameters
    ----------
    x : array of float
        The argument, above 0.
    step : array of float
        The step, 0 or more.

    Examples
    --------
    >>> print(round(float(log_gamma_step(1e12, 2.0)), 9))
    55.262042232
    """
    import numpy as np

    a, k = np.asarray(x, dtype=np.float64), np.asarray(step, dtype=np.float64)
    large = np.maximum(a, _STEPPED)
    series = _series_over(large + k) - _series_over(large)
    stirling = (large + k - 0.5) * np.log1p(k / large) + k * np.log(large) - k + series
    return np.where(a < _STEPPED, log_gamma(a + k) - log_gamma(a), stirling)


def _series_over(x: Floats) -> Floats:
    import numpy as np

    square = 1.0 / (x * x)
    series = np.zeros_like(x)
    for coefficient in reversed(_SERIES):
        series = series * square + coefficient
    return series / x


def gamma_at_most(*, shape: ArrayLike, x: ArrayLike) -> Floats:
    """Probability that a gamma variable of scale 1 is at most x.

    Parameters
    ----------
    shape : array of float
        Shape, above 0.
    x : array of float
        The value; at most 0 gives 0.

    Notes
    -----
    Series below shape + 1, continued fraction (Lentz) above.

    Source: the incomplete gamma function, any handbook of functions; from memory.
    """
    import numpy as np

    a, given = np.broadcast_arrays(np.asarray(shape, float), np.asarray(x, float))
    result = np.zeros(a.shape)
    low = (given > 0) & (given < a + 1)
    high = given >= a + 1
    result[low] = _by_series(a[low], given[low])
    result[high] = 1.0 - _by_fraction(a[high], given[high])
    return result


def _front(a: Floats, x: Floats) -> Floats:
    import numpy as np

    result: Floats = np.exp(a * np.log(x) - x - log_gamma(a))
    return result


def _by_series(a: Floats, x: Floats) -> Floats:
    import numpy as np

    term = 1.0 / a
    total = term.copy()
    over = a.copy()
    for _ in range(_MOST_TERMS):
        over = over + 1.0
        term = term * x / over
        total = total + term
        if not np.any(term > total * _EPSILON):
            break
    return total * _front(a, x)


def _by_fraction(a: Floats, x: Floats) -> Floats:
    import numpy as np

    b = x + 1.0 - a
    c = np.full_like(a, 1.0 / _TINY)
    d = 1.0 / b
    value = d.copy()
    for n in range(1, _MOST_TERMS):
        factor = -n * (n - a)
        b = b + 2.0
        d = factor * d + b
        d = 1.0 / np.where(np.abs(d) < _TINY, _TINY, d)
        c = b + factor / c
        c = np.where(np.abs(c) < _TINY, _TINY, c)
        step = c * d
        value = value * step
        if not np.any(np.abs(step - 1.0) > _EPSILON * 4):
            break
    return value * _front(a, x)


def gamma_quantile(*, shape: ArrayLike, probability: float) -> Floats:
    """The value that a gamma variable of scale 1 stays under with some probability.

    Parameters
    ----------
    shape : array of float
        Shape, above 0.
    probability : float
        The probability, between 0 and 1.

    Notes
    -----
    Bisection of the logarithm, then kept where it stands to 1e-10 of itself. Values under 1e-300
    come out as 0: with a shape of a few thousandths almost all of the distribution lies there.
    """
    import numpy as np

    a = np.atleast_1d(np.asarray(shape, dtype=np.float64))
    distinct, back = np.unique(a, return_inverse=True)
    low = np.full(distinct.shape, np.log(_TINY))
    high = np.log(distinct + 20.0 * np.sqrt(distinct) + 800.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        under = gamma_at_most(shape=distinct, x=np.exp(middle)) < probability
        low = np.where(under, middle, low)
        high = np.where(under, high, middle)
    found = np.exp(0.5 * (low + high))
    found = np.where(found < 2 * _TINY, 0.0, found)
    result: Floats = found[back.reshape(a.shape)].reshape(np.shape(shape))
    return result
