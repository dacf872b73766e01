"""How much is asked for in a year, size by size and branch by branch, and how sure that is.

    pieces in t years | rate  ~  variance/mean d, mean rate x t
    rate                      ~  gamma, shape a, mean m
    rate | y pieces, e years  ~  gamma, shape a + y / d, 1 / scale = a / m + e / d

m and a come from sizes like it, or from the fleet where the fleet knows the size; d from the pieces
of each ask and from how unevenly the asks come.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.asks import Asks, Window
from fitcheck.stock.borrow import Lent, lent_by_others
from fitcheck.stock.censored import Blind
from fitcheck.stock.pooled import Tree, counts_of, fitted
from fitcheck.stock.season import Clock
from fitcheck.stock.special import gamma_quantile
from fitcheck.stock.spread import Spread

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.records import Part

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Diameters up to and including [mm] that are thought alike.
BANDS_MM = (30.0, 50.0, 80.0, 120.0)
# Before anything is seen: rates of sizes differ about as an exponential does or more, and what a
# fleet file says is met within a factor of about two. Guesses of ours, soon outweighed.
LIKELY_SHAPE, LIKELY_SPREAD = 0.7, 1.0
FLEET_SHAPE, FLEET_SPREAD = 2.0, 0.7
# The fleet's own figures weigh as much as so many asks.
FLEET_ASKS = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class Rates:
    """What is known of each item's rate; all arrays are (N,), items as in `Asks`.

    ``pieces``, ``asks`` and ``years`` are the history that counts; ``left_out`` the pieces asked
    for on days that don't, and ``blind_years`` those days. ``like`` is the mean of sizes like it,
    ``fleet`` what the fleet file says, 0 where it says nothing, both in pieces a year; ``lent``
    what branches without a year of history take from the others.
    """

    pieces: Floats
    asks: Ints
    years: Floats
    left_out: Floats
    blind_years: Floats
    like: Floats
    fleet: Floats
    prior_mean: Floats
    prior_shape: Floats
    dispersion: Floats
    shape: Floats
    scale: Floats
    group: Ints
    groups: tuple[str, ...]
    lent: Lent
    fleet_factor: float = 1.0
    notes: tuple[str, ...] = field(default=())

    @property
    def mean(self) -> Floats:
        """Expected pieces a year."""
        return self.shape * self.scale

    @property
    def credit(self) -> Floats:
        """How much of each rate is its own history, from 0 to 1; the rest is borrowed."""
        own = self.years / self.dispersion
        result: Floats = own / (own + self.prior_shape / self.prior_mean)
        return result

    def bounds(self, *, share: float = 0.9) -> tuple[Floats, Floats]:
        """The interval that holds the rate with some probability, tails alike.

        Parameters
        ----------
        share : float
            The probability, between 0 and 1.
        """
        tail = (1.0 - share) / 2.0
        low = gamma_quantile(shape=self.shape, probability=tail) * self.scale
        high = gamma_quantile(shape=self.shape, probability=1.0 - tail) * self.scale
        return low, high


def rates_of(
    asks: Asks,
    *,
    parts: Sequence[Part],
    branches: Sequence[str],
    window: Window,
    clock: Clock,
    blind: Blind,
    spread: Spread,
    fleet: Floats | None = None,
    known: NDArray[np.bool_] | None = None,
    own_time: Floats | None = None,
) -> Rates:
    """The rates of every part at every branch.

    Parameters
    ----------
    asks : Asks
        What was asked for.
    parts, branches : sequence
        Every part and every branch.
    window : Window
        The days each branch was watched.
    clock : Clock
        Time in years of average demand.
    blind : Blind
        The days that do not count.
    spread : Spread
        How unevenly pieces are asked for.
    fleet : array of float, (N,), optional
        Pieces a year that the fleet file says.
    known : array of bool, (parts,), optional
        Whether a part would be on the books had nobody asked for it: it is listed, counted or in
        the fleet. The others are known by their demand alone, and that is allowed for.
    own_time : array of float, (N,), optional
        Time by the months of the size itself over that by the clock.
    """
    import numpy as np

    count = len(parts) * len(branches)
    hidden = blind.covers(asks.item, asks.day)
    seen = ~hidden
    pieces = np.bincount(asks.item[seen], asks.pieces[seen], minlength=count).astype(np.float64)
    left_out = np.bincount(asks.item[hidden], asks.pieces[hidden], minlength=count).astype(float)
    number = np.bincount(asks.item[seen], minlength=count).astype(np.int64)
    watched = clock.years(window.first, window.last + 1)
    blind_years = np.minimum(blind.years(clock, count), np.tile(watched, len(parts)))
    years = np.tile(watched, len(parts)) - blind_years
    if own_time is not None:
        years = years * own_time
    said = np.zeros(count) if fleet is None else fleet
    listed = np.zeros(len(parts), dtype=np.bool_) if known is None else known
    own_asks, own_years = pieces / spread.dispersion, years / spread.dispersion
    like, shape, group, groups = _alike(
        (own_asks, own_years),
        parts=parts,
        branches=branches,
        watched=watched,
        spread=spread,
        in_fleet=said > 0,
        listed=listed,
    )
    factor, fleet_shape = _fleet_fit(own_asks, own_years, said)
    from_fleet = said > 0
    prior_mean = np.where(from_fleet, factor * said, like)
    prior_shape = np.where(from_fleet, fleet_shape, shape)
    alone = (prior_shape + own_asks) / (prior_shape / prior_mean + own_years)
    lent = lent_by_others(alone, asks=own_asks, years=own_years, watched=watched)
    if lent:
        # What the others ask for of the very size says more than what sizes like it do.
        table = np.zeros((len(parts), len(branches)))
        table[:, lent.branch] = lent.mean[:, None] * lent.factor
        here = (table.ravel() > 0) & ~from_fleet
        prior_mean = np.where(here, table.ravel(), prior_mean)
        # How far branches differ shows where each that lends is foretold by the others.
        prior_shape = np.where(here, _fleet_fit(own_asks, own_years, lent.apart)[1], prior_shape)
    return Rates(
        pieces=pieces,
        asks=number,
        years=years,
        left_out=left_out,
        blind_years=blind_years,
        like=like,
        fleet=said,
        prior_mean=prior_mean,
        prior_shape=prior_shape,
        dispersion=spread.dispersion,
        shape=prior_shape + own_asks,
        scale=1.0 / (prior_shape / prior_mean + own_years),
        group=group,
        groups=groups,
        lent=lent,
        fleet_factor=factor,
        notes=spread.notes,
    )


def _alike(
    own: tuple[Floats, Floats],
    *,
    parts: Sequence[Part],
    branches: Sequence[str],
    watched: Floats,
    spread: Spread,
    in_fleet: NDArray[np.bool_],
    listed: NDArray[np.bool_],
) -> tuple[Floats, Floats, Ints, tuple[str, ...]]:
    """For each item the mean and shape of sizes like it, and what that group is called."""
    import numpy as np

    own_asks, own_years = own
    places = len(branches)
    rows = _rows(parts)
    names = sorted(set(rows))
    row_of_part = np.array([names.index(row) for row in rows], dtype=np.int64)
    leaf = np.repeat(row_of_part, places) * places + np.tile(np.arange(places), len(parts))
    mean, shape = np.zeros(len(leaf)), np.zeros(len(leaf))
    elsewhere = np.logical_or.reduceat(in_fleet, np.arange(0, len(leaf), places))
    for what in sorted({name[0] for name in names}):
        kept_rows = [at for at, name in enumerate(names) if name[0] == what]
        first, rows_here = kept_rows[0], len(kept_rows)
        inside = (leaf >= first * places) & (leaf < (first + rows_here) * places)
        chosen = _chosen(row_of_part, listed | elsewhere, first, rows_here)
        tree = Tree(
            group_of=np.tile(np.arange(places), rows_here),
            row_of=np.repeat(np.arange(rows_here), places),
            chosen=chosen,
            watched=np.tile(watched, rows_here) / spread.of(what),
        )
        # What the fleet knows says nothing about what sizes outside it do.
        fit = inside & ~in_fleet
        counts = counts_of(
            leaf=leaf[fit] - first * places, asks=own_asks[fit], years=own_years[fit]
        )
        pool = fitted(counts, tree, shape=LIKELY_SHAPE, spread=LIKELY_SPREAD)
        mean[inside] = pool.means[leaf[inside] - first * places]
        shape[inside] = pool.shape
    words = tuple(f"{_band_words(*row)} at {branch}" for row in names for branch in branches)
    return mean, shape, leaf, words


def _chosen(row_of_part: Ints, listed: NDArray[np.bool_], first: int, rows: int) -> Floats:
    """How many parts of each row are known by their demand alone."""
    import numpy as np

    mine = ~listed & (row_of_part >= first) & (row_of_part < first + rows)
    found: Floats = np.bincount(row_of_part[mine] - first, minlength=rows).astype(np.float64)
    return found


def _rows(parts: Sequence[Part]) -> list[tuple[str, int]]:
    """Kind and band of each part."""
    from bisect import bisect_left

    found = []
    for part in parts:
        shaft = part.size.shaft_um
        band = -1 if shaft is None else bisect_left(BANDS_MM, shaft / 1000.0)
        found.append((part.what, band))
    return found


def _band_words(what: str, band: int) -> str:
    if band < 0:
        return f"{what}s of no known size" if what != "other" else "other parts"
    if band == 0:
        return f"{what}s up to {BANDS_MM[0]:g} mm"
    if band == len(BANDS_MM):
        return f"{what}s over {BANDS_MM[-1]:g} mm"
    return f"{what}s over {BANDS_MM[band - 1]:g} to {BANDS_MM[band]:g} mm"


def _fleet_fit(asks: Floats, years: Floats, said: Floats) -> tuple[float, float]:
    """By what factor figures said beforehand come true, and how sure each of them is."""
    import numpy as np

    here = said > 0
    if not here.any():
        return 1.0, FLEET_SHAPE
    leaf = np.zeros(int(here.sum()), dtype=np.int64)
    expected = years[here] * said[here]
    counts = counts_of(leaf=leaf, asks=asks[here], years=expected)
    # Asks that come true one for one, as if seen before.
    before = (FLEET_ASKS, FLEET_ASKS)
    tree = Tree(
        group_of=np.zeros(1, dtype=np.int64),
        row_of=np.zeros(1, dtype=np.int64),
        chosen=np.zeros(1),
        watched=np.zeros(1),
    )
    pool = fitted(counts, tree, shape=FLEET_SHAPE, spread=FLEET_SPREAD, before=before)
    return float(pool.means[0]), pool.shape
