"""What sizes like it do: the prior of a rate, fitted to many sizes at once (empirical Bayes).

The asks n of one size in e years are Poisson of a rate that differs from size to size as a gamma of
shape a and a mean m; summed over the rates that is a negative binomial, and a and the means are
what makes the counts of all sizes together most probable. Means stand in a tree - kind of part,
branch, band of diameter - and each is drawn towards the one above it, so that a thin group
borrows from a wider one.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.special import log_gamma_step

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# A group's mean weighs as much as so many asks of the group above it: a choice of ours.
BORROWED_ASKS = 5.0
LEAST_SHAPE, MOST_SHAPE = 0.05, 50.0
# Half an ask in as many years keeps a mean above nothing where nothing was seen.
NOTHING_BEFORE = (0.5, 2.0)
_ROUNDS, _INNER, _GOLDEN = 4, 6, 18
_RATIO = 0.6180339887498949
# A size that was never asked for anywhere leaves no trace; no more than so many of them are
# thought of beside each one that did.
_MOST_UNSEEN = 50.0
# The shape is fitted to so many distinct outcomes at most; more of them change nothing.
_MOST_FITTED = 40_000


@dataclass(frozen=True, slots=True, eq=False)
class Counts:
    """Outcomes that some items share: their leaf, asks, years, and how many items had them."""

    leaf: Ints
    asks: Floats
    years: Floats
    items: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Tree:
    """Where each leaf hangs: its branch group and its row of bands over all branches.

    A *row* holds the leaves of one band at every branch; a size sits in one row. ``chosen`` counts
    the sizes in each row that are known only because somebody asked for them, and ``watched`` the
    years each leaf was watched.
    """

    group_of: Ints
    row_of: Ints
    chosen: Floats
    watched: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """A fitted prior: shape, the mean of each leaf [1/year], and the mean of all."""

    shape: float
    means: Floats
    mean: float


def counts_of(*, leaf: Ints, asks: Floats, years: Floats) -> Counts:
    """Items taken together where their outcomes are the same.

    Parameters
    ----------
    leaf : array of int
        The leaf of each item.
    asks, years : array of float
        What was seen of it, and over which time.
    """
    import numpy as np

    # Each made a number of its own first: whole numbers are told apart far sooner than rows are.
    asked, ask_of = np.unique(np.rint(asks * 1e6), return_inverse=True)
    watched, year_of = np.unique(np.rint(years * 1e6), return_inverse=True)
    codes = (leaf * len(asked) + ask_of) * len(watched) + year_of
    distinct, items = np.unique(codes, return_counts=True)
    rest = distinct // len(watched)
    return Counts(
        rest // len(asked),
        asked[rest % len(asked)] / 1e6,
        watched[distinct % len(watched)] / 1e6,
        items.astype(np.float64),
    )


def fitted(
    counts: Counts,
    tree: Tree,
    *,
    shape: float,
    spread: float,
    before: tuple[float, float] = NOTHING_BEFORE,
) -> Pool:
    """Fit the prior.

    Parameters
    ----------
    counts : Counts
        What was seen.
    tree : Tree
        The groups.
    shape : float
        The shape that is thought likely before anything was seen.
    spread : float
        Standard deviation of its logarithm.
    before : tuple of (float, float)
        Asks and years that count as seen before, for the mean of all.

    Notes
    -----
    The most probable shape by golden section, with the means solved for each of a few rounds: in
    leaf l the mean is sum w n / sum w e with w = a / (a + m e), plus what it borrows. Sizes
    known only because they were asked for are a choice: those never asked for are missing. They are
    put back as their expected number, p0 / (1 - p0) for each size seen (EM for a truncated count).

    Source: gamma-Poisson empirical Bayes, any textbook on it; from memory.
    """
    import numpy as np

    a = shape
    leaves = len(tree.group_of)
    means = np.full(leaves, _plain_mean(counts, tree, before))
    total = float(means[0]) if leaves else 0.0
    part, share = _fewer(counts)
    for _ in range(_ROUNDS):
        for _ in range(_INNER):
            means, total = _means(counts, tree, means, a, before)
        a = _best_shape(part, share, tree, means, (math.log(shape), spread))
    for _ in range(_INNER):
        means, total = _means(counts, tree, means, a, before)
    return Pool(a, means, total)


def _plain_mean(counts: Counts, tree: Tree, before: tuple[float, float]) -> float:
    asks = float((counts.items * counts.asks).sum()) + before[0]
    years = float((counts.items * counts.years).sum()) + before[1]
    return asks / years if len(tree.group_of) else 0.0


def _unseen(tree: Tree, means: Floats, a: float) -> tuple[Floats, Floats]:
    """Per row the chance of no ask at any branch; per leaf the years of sizes never asked for."""
    import numpy as np

    each = a * np.log1p(means * tree.watched / a)
    none = np.exp(-np.bincount(tree.row_of, each, minlength=len(tree.chosen)))
    none = np.minimum(none, _MOST_UNSEEN / (1.0 + _MOST_UNSEEN))
    missing = tree.chosen * none / (1.0 - none)
    weight = a / (a + means * tree.watched)
    return none, missing[tree.row_of] * weight * tree.watched


def _means(
    counts: Counts, tree: Tree, means: Floats, a: float, before: tuple[float, float]
) -> tuple[Floats, float]:
    import numpy as np

    weight = counts.items * a / (a + means[counts.leaf] * counts.years)
    leaves = len(means)
    asks = np.bincount(counts.leaf, weight * counts.asks, minlength=leaves)
    watched = np.bincount(counts.leaf, weight * counts.years, minlength=leaves)
    years = watched + _unseen(tree, means, a)[1]
    mean = (asks.sum() + before[0]) / (years.sum() + before[1])
    groups = int(tree.group_of.max()) + 1
    group_asks = np.bincount(tree.group_of, asks, minlength=groups)
    group_years = np.bincount(tree.group_of, years, minlength=groups)
    group = (group_asks + BORROWED_ASKS) / (group_years + BORROWED_ASKS / mean)
    above = group[tree.group_of]
    return (asks + BORROWED_ASKS) / (years + BORROWED_ASKS / above), float(mean)


def _fewer(counts: Counts) -> tuple[Counts, float]:
    """Every so many outcomes, where there are very many, and how many items each stands for."""
    step = max(1, -(-len(counts.leaf) // _MOST_FITTED))
    part = Counts(
        counts.leaf[::step], counts.asks[::step], counts.years[::step], counts.items[::step]
    )
    return part, float(counts.items.sum()) / max(float(part.items.sum()), 1.0)


def _best_shape(
    part: Counts, share: float, tree: Tree, means: Floats, likely: tuple[float, float]
) -> float:
    """The most probable shape; `likely` is the logarithm thought likely, and its spread."""
    middle, spread = likely

    def badness(logarithm: float) -> float:
        a = math.exp(logarithm)
        found = -share * _log_probability(part, means, a)
        found += float((tree.chosen * _log_seen(tree, means, a)).sum())
        return found + 0.5 * ((logarithm - middle) / spread) ** 2

    low, high = math.log(LEAST_SHAPE), math.log(MOST_SHAPE)
    one, two = high - _RATIO * (high - low), low + _RATIO * (high - low)
    bad_one, bad_two = badness(one), badness(two)
    for _ in range(_GOLDEN):
        if bad_one < bad_two:
            high, two, bad_two = two, one, bad_one
            one = high - _RATIO * (high - low)
            bad_one = badness(one)
        else:
            low, one, bad_one = one, two, bad_two
            two = low + _RATIO * (high - low)
            bad_two = badness(two)
    return math.exp(0.5 * (low + high))


def _log_seen(tree: Tree, means: Floats, a: float) -> Floats:
    import numpy as np

    return np.log1p(-_unseen(tree, means, a)[0])


def _log_probability(counts: Counts, means: Floats, a: float) -> float:
    """Logarithm of the negative binomial probability of all outcomes, but for constants."""
    import numpy as np

    expected = np.maximum(means[counts.leaf] * counts.years, 1e-300)
    logs = (
        log_gamma_step(a, counts.asks)
        - a * np.log1p(expected / a)
        + counts.asks * np.log(expected / (a + expected))
    )
    return float((counts.items * logs).sum())
