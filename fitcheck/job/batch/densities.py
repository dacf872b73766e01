"""How probable many readings of one place are, whole arrays at once.

The formulas are those of ``likelihood`` and ``unlisted``, operation by operation, so that a table
of readings gets the same answers whichever way it is weighed.
"""

from __future__ import annotations

import math

import numpy as np

from fitcheck.job.batch.bands_table import Edges, Flags, Floats, Ints, PlaceTable
from fitcheck.likelihood import REACH, SLIP_TIMES
from fitcheck.records import dataclass
from fitcheck.unlisted import BEYOND_HIGH, BEYOND_LOW, NEAR_HIGH, NEAR_LOW, spreads

_ROOT_TWO = math.sqrt(2.0)
_DENSITY = 1.0 / math.sqrt(2.0 * math.pi)
# From here on the error function is 1 to the last digit.
_FLAT = 6.0


def erf(z: Floats) -> Floats:
    """The error function, to the same digits as ``math.erf``."""
    found: Floats = np.sign(z)
    near = np.flatnonzero(np.abs(z) < _FLAT)
    found[near] = np.fromiter(map(math.erf, z[near].tolist()), np.float64, len(near))
    return found


@dataclass(frozen=True, slots=True)
class Values:
    """Readings of one place as accounts take them; see ``accounts.Value`` for the fields."""

    x: Floats
    error: Floats
    factor: Floats
    half: Floats

    def margin(self) -> Floats:
        """How far outside its bands each may still fall [mm]."""
        return self.half + self.error * SLIP_TIMES * REACH

    def at(self, chosen: Ints) -> Values:
        """Some of them."""
        return Values(self.x[chosen], self.error[chosen], self.factor[chosen], self.half[chosen])


def distinct(values: Values) -> tuple[Values, Ints]:
    """The distinct readings, and for each reading which of them it is."""
    order = np.lexsort((values.x, values.error, values.factor, values.half))
    sorted_values = values.at(order)
    columns = (sorted_values.x, sorted_values.error, sorted_values.factor, sorted_values.half)
    new = np.ones(len(order), dtype=bool)
    new[1:] = np.logical_or.reduce([column[1:] != column[:-1] for column in columns])
    back = np.empty(len(order), dtype=np.int64)
    back[order] = np.cumsum(new) - 1
    return sorted_values.at(np.flatnonzero(new)), back


def band_densities(
    edges: Edges, rows: Ints, values: Values, of: Ints, *, slip: float, share: float = 1.0
) -> Floats:
    """The density of readings over bands, band by band; the sum over the bands is the reading's.

    Parameters
    ----------
    edges : Edges
        The bands.
    rows : array of int
        Which row of bands each pair of bands and reading is about.
    values : Values
        The readings.
    of : array of int
        Which reading each pair is about.
    slip : float
        The share of slipped readings [-].
    share : float
        What each density is multiplied by [-].
    """
    x, error, half = values.x[of], values.error[of], values.half[of]
    factor = values.factor[of]
    found = np.zeros((len(rows), edges.low.shape[1]))
    reach = np.where(half > 0.0, error * REACH * SLIP_TIMES + half, error * SLIP_TIMES * REACH)
    for column in range(edges.low.shape[1]):
        over = x - edges.low[rows, column]
        under = x - edges.high[rows, column]
        near = np.flatnonzero((over > -reach) & (under < reach))
        height = edges.height[rows[near], column]
        rounded = half[near] > 0.0
        density = np.empty(len(near))
        for chosen, formula in ((~rounded, _read), (rounded, _rounded)):
            some = near[chosen]
            if len(some):
                density[chosen] = height[chosen] * formula(
                    over[some], under[some], error[some], half[some], slip
                )
        found[near, column] = factor[near] * density * share
    return found


def _read(over: Floats, under: Floats, error: Floats, _half: Floats, slip: float) -> Floats:
    fine = 1.0 / (error * _ROOT_TWO)
    coarse = fine / SLIP_TIMES
    found: Floats = 0.5 * (
        (1.0 - slip) * (erf(over * fine) - erf(under * fine))
        + slip * (erf(over * coarse) - erf(under * coarse))
    )
    return found


def _rounded(over: Floats, under: Floats, error: Floats, half: Floats, slip: float) -> Floats:
    found = (1.0 - slip) * _cell(over, under, error, half)
    return found + slip * _cell(over, under, error * SLIP_TIMES, half)


def _cell(over: Floats, under: Floats, sigma: Floats, half: Floats) -> Floats:
    """The probability that a reading rounds to its value, over a band of height 1."""
    below_high = _summed(over + half, sigma) - _summed(under + half, sigma)
    below_low = _summed(over - half, sigma) - _summed(under - half, sigma)
    found: Floats = np.maximum(0.0, below_high - below_low)
    return found


def _summed(x: Floats, sigma: Floats) -> Floats:
    z = x / sigma
    inside = x * 0.5 * (1.0 + erf(z / _ROOT_TWO)) + sigma * _DENSITY * np.exp(-0.5 * z * z)
    return np.where(np.abs(z) > 8.0, np.maximum(0.0, x), inside)


class ViewDensities:
    """The densities of readings for the nominals of one view that are in reach.

    Those of reading ``i`` stand from ``offset[i]`` on, for the nominals ``first[i]`` up to but not
    including ``last[i]``.
    """

    def __init__(self, place: PlaceTable, number: int, values: Values) -> None:
        view = place.views[number]
        low, high = view.reach
        margin, nominals = values.margin(), view.dimension.nominals
        self.view = view
        self.first: Ints = np.searchsorted(nominals, values.x - high - margin, side="left")
        last = np.searchsorted(nominals, values.x - low + margin, side="right")
        self.last: Ints = np.maximum(last, self.first)
        length = self.last - self.first
        self.offset: Ints = np.cumsum(length) - length
        self.of: Ints = np.repeat(np.arange(len(length)), length)
        self.nominal: Ints = np.arange(len(self.of)) - (self.offset - self.first)[self.of]
        self.by_band = band_densities(
            view.edges, self.nominal, values, self.of, slip=view.slip, share=view.share
        )
        self.total: Floats = self.by_band.sum(axis=1)

    def position(self, readings: Ints, sizes: Ints) -> tuple[Ints, Flags]:
        """Where the densities of some pairs of reading and size stand, and which pairs have any."""
        nominal = self.view.dimension.where[sizes]
        known = (nominal >= self.first[readings]) & (nominal < self.last[readings])
        found = np.where(known, self.offset[readings] + nominal - self.first[readings], 0)
        return found, known

    def expanded(self, readings: Ints) -> tuple[Ints, Ints]:
        """For some readings, every nominal in reach: which reading it is of, and where it stands.

        Readings may repeat; the first result counts them as they are given.
        """
        length = self.last[readings] - self.first[readings]
        of = np.repeat(np.arange(len(readings)), length)
        start = self.offset[readings] - (np.cumsum(length) - length)
        return of, np.arange(len(of)) + start[of]


class PlaceDensities:
    """What readings of a place say of every nominal in reach, and of sizes that no table lists."""

    def __init__(self, place: PlaceTable, values: Values, sizes: int) -> None:
        self.place = place
        self.values = values
        self.views = [ViewDensities(place, n, values) for n in range(len(place.views))]
        self._kinds = spreads()
        smallest, largest = place.span_mm
        possible = (smallest * BEYOND_LOW * NEAR_LOW <= values.x) & (
            values.x <= largest * BEYOND_HIGH * NEAR_HIGH
        )
        self.on_grid = self._on_grid(np.flatnonzero(possible))
        listed = np.zeros(len(values.x))
        for view in self.views:
            counts = view.view.dimension.counts[view.nominal]
            listed += np.bincount(view.of, view.total * counts, len(values.x))
        everyone = np.arange(len(values.x))
        self.anyhow = self.spread(
            everyone,
            listed / sizes,
            np.full(len(values.x), smallest * BEYOND_LOW),
            np.full(len(values.x), largest * BEYOND_HIGH),
        )

    def _on_grid(self, possible: Ints) -> Floats:
        total = np.zeros(len(self.values.x))
        values = self.values.at(possible)
        middle = self.place.nominals(values.x)
        found = np.zeros(len(possible))
        for grid in self.place.grids:
            steps = np.rint(middle / grid.kind.step_mm).astype(np.int64)
            some = np.flatnonzero(steps > 0)
            rows = grid.rows(steps[some])
            density = band_densities(grid.edges, rows, values, some, slip=self.place.slip)
            found[some] += grid.kind.share * grid.kind.step_mm * density.sum(axis=1)
        total[possible] = found
        return total

    def spread(self, readings: Ints, listed: Floats, low: Floats, high: Floats) -> Floats:
        """The density of readings whose nominal is spread as ``priors/unlisted`` says.

        Parameters
        ----------
        readings : array of int
            Which readings.
        listed : array of float
            Their density where the nominal is that of a listed size [1/mm].
        low, high : array of float
            From where to where it is spread [mm].
        """
        values = self.values.at(readings)
        inside = (low <= values.x) & (values.x <= high)
        span = np.log(np.where(inside, high / np.where(inside, low, 1.0), math.e))
        spread = np.where(inside, 1.0 / (values.x * span), 0.0)
        total: Floats = spread * self.on_grid[readings]
        for kind in self._kinds:
            if kind.kind == "listed":
                total += kind.share * listed
            elif not kind.step_mm:
                width = np.where(values.half > 0.0, 2.0 * values.half, 1.0)
                total += kind.share * spread * values.factor * width
        return total
