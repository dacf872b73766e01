"""The best possible answer to a simulated bench, worked out by itself.

It follows the same tables of sizes, tolerances, priors and instruments as the draws and shares no
formula with the identification engine: every reading is the probability of its written cell, every
size and every explanation is summed over densely, and a size that no table lists is summed over
its possible nominals.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from itertools import permutations
from typing import Any

import numpy as np
import numpy.typing as npt
from simulate_parts import (
    ANY_PROPORTION,
    BEYOND,
    PER_UNIT,
    SIXTEENTH_MM,
    STEP,
    Bands,
    Bench,
    Floats,
    Parts,
    edges,
)

from fitcheck.parts.family import Family

_GRID = np.linspace(-9.0, 9.0, 18001)
_PHI = np.array([0.5 * math.erfc(-z / math.sqrt(2.0)) for z in _GRID])


# The account of a set of readings: prior and, by place, (value mm, sigma mm, cell mm).
_Account = tuple[float, dict[str, tuple[float, float, float]]]


class Model(Parts):
    """The generating model of a family: draws benches and weighs every size against them."""

    def __init__(self, family: Family) -> None:
        super().__init__(family)
        self._memo: dict[tuple[Any, ...], Any] = {}

    def posterior(
        self, bench: Bench, mark: Callable[[str], tuple[Floats, float]] | None = None
    ) -> tuple[Floats, float]:
        """The exact probability of every size, and of none, given what a bench shows."""
        self.forget()
        weights = np.zeros(len(self.share))
        unlisted = 0.0
        for prior, values in self.accounts(bench):
            found = np.full(len(self.share), prior)
            for place, (x, sigma, cell) in values.items():
                found *= self.place(place, x, sigma, cell)
            weights += found
            unlisted += prior * self.none(values)
        no_size = self.mistakes["unlisted-size"]
        weights *= self.share * (1.0 - no_size)
        unlisted *= no_size
        if mark is not None and bench.mark:
            by_size, by_none = mark(bench.mark)
            weights, unlisted = weights * by_size, unlisted * by_none
        total = weights.sum() + unlisted
        if total <= 0.0:
            return weights, 1.0
        return weights / total, unlisted / total

    def forget(self) -> None:
        """Drop what was worked out for the last bench."""
        self._memo.clear()

    def accounts(self, bench: Bench) -> list[_Account]:
        """Every account of what is written: as given, other units, other orders, rounded."""
        factor, p = PER_UNIT[bench.unit], self.mistakes
        other = PER_UNIT["in" if bench.unit == "mm" else "mm"]
        plainly: dict[str, tuple[float, float, float]] = {}
        mixed: dict[str, tuple[float, float, float]] = {}
        for place, number in bench.numbers.items():
            sigma, resolution = self.tools[bench.tools[place]]
            cell = max(STEP[bench.unit], resolution / factor if resolution > 0.1 else 0.0)
            plainly[place] = (number * factor, sigma, cell * factor)
            mixed[place] = (number * other, sigma, cell * other)
        found: list[_Account] = []
        for place in plainly:
            found.append((p["unit-one"], {**plainly, place: mixed[place]}))
        if len(plainly) > 1:
            found.append((p["unit-all"], mixed))
        group = [place for place in plainly if place in self.family.order_group]
        orders = [o for o in permutations(group) if list(o) != group]
        for order in orders:
            swapped = {to: plainly[of] for to, of in zip(group, order, strict=True)}
            found.append((p["order-swapped"] / len(orders), {**plainly, **swapped}))
        step = 1.0 if bench.unit == "mm" else 1.0 / 16.0
        # Inches are taken for rounded only where they are written as fractions.
        coarsely = bench.unit == "mm" or bench.fractions
        on_step = (abs(n / step - round(n / step)) < 1e-6 for n in bench.numbers.values())
        if plainly and coarsely and all(on_step):
            name = "rounded-mm" if bench.unit == "mm" else "rounded-sixteenth"
            coarse = {place: (x, s, step * factor) for place, (x, s, _) in plainly.items()}
            found.append((p[name], coarse))
        return [(1.0 - sum(prior for prior, _ in found), plainly), *found]

    def place(self, place: str, x: float, sigma: float, cell: float) -> Floats:
        """The probability of a written reading for every size."""
        key = (place, x, sigma, cell)
        if key not in self._memo:
            total = np.zeros(len(self.share))
            for number, view in enumerate(self.family.places[place].views):
                bands = self.view_edges(place, number, view)
                by_key = np.append(self._cell(bands, x, sigma, cell), 0.0)
                total += view.share * by_key[self.where[view.dimension]]
            self._memo[key] = total
        found: Floats = self._memo[key]
        return found

    def _cell(self, bands: Bands, x: float, sigma: float, cell: float) -> Floats:
        """Probability that a value between the edges, read with error, falls in a cell."""
        low, high, priors = bands
        near = (low < x + cell + 30.0 * sigma) & (high > x - cell - 30.0 * sigma)
        total = np.zeros(low.shape)
        if not near.any():
            return np.zeros(low.shape[:-1])
        count = min(200, max(1, math.ceil(cell / (0.5 * sigma))))
        slip = self.mistakes["slip"]
        ends = np.stack((low[near], high[near]))
        points = x + cell * ((np.arange(count) + 0.5) / count - 0.5)
        away = (points[:, None, None] - ends) / sigma
        below = np.interp(np.stack((away, 0.25 * away)), _GRID, _PHI).mean(axis=1)
        part = (1.0 - slip) * (below[0, 0] - below[0, 1]) + slip * (below[1, 0] - below[1, 1])
        heights = np.broadcast_to(priors, low.shape)[near] / (ends[1] - ends[0])
        total[near] = np.maximum(part, 0.0) * heights * cell
        found: Floats = total.sum(axis=-1)
        return found

    def none(self, values: Mapping[str, tuple[float, float, float]]) -> float:
        """The probability of the readings for a part of no listed size."""
        groups: dict[int, list[str]] = {}
        for place in values:
            groups.setdefault(self.family.places[place].views[0].dimension, []).append(place)
        total = 1.0
        first, anchor = -1, 0.0
        for dimension, places in sorted(groups.items()):
            key: tuple[Any, ...] = ("none", *((place, *values[place]) for place in places))
            keys = self.keys[dimension]
            everyone = np.arange(len(self.share))
            if key not in self._memo:
                span = (keys[0][0] * BEYOND[0], keys[-1][0] * BEYOND[1])
                self._memo[key] = self._group(dimension, places, values, everyone, span)
            anyhow = self._memo[key]
            if first < 0:
                first, anchor = dimension, values[places[0]][0]
                total *= anyhow
                continue
            key = (*key, first, anchor)
            if key not in self._memo:
                members, near = self.near(first, anchor, dimension)
                self._memo[key] = (
                    anyhow
                    if members is None or near is None
                    else self._group(dimension, places, values, members, near)
                )
            total *= ANY_PROPORTION * anyhow + (1.0 - ANY_PROPORTION) * self._memo[key]
        return total

    def _group(
        self,
        dimension: int,
        places: list[str],
        values: Mapping[str, tuple[float, float, float]],
        members: npt.NDArray[np.int64],
        span: tuple[float, float],
    ) -> float:
        """The readings that show one dimension, over what its nominal may be."""
        keys = self.keys[dimension]
        found = self.where[dimension][members]
        counts = np.bincount(found[found >= 0], minlength=len(keys)) / len(members)
        x, _, cell = values[places[0]]
        low, high = span
        start, stop = max(x - 25.0, low), min(x + 25.0, high)
        middles = np.arange(start, stop, 0.01)
        millimetres = np.arange(math.ceil(start), stop)
        inches = np.arange(math.ceil(start / SIXTEENTH_MM) * SIXTEENTH_MM, stop, SIXTEENTH_MM)
        spread = math.log(high / low)
        parts: list[tuple[str, Any, Any]] = [
            ("listed", keys, counts),
            ("millimetre", millimetres, 1.0 / (millimetres * spread)),
            ("sixteenth", inches, SIXTEENTH_MM / (inches * spread)),
            ("anywhere", middles, 0.01 / (middles * spread)),
        ]
        total = 0.0
        for kind, nominals, weights in parts:
            share = self.unlisted[kind]
            if not len(nominals):
                continue
            if kind == "anywhere" and len(places) == 1:
                # One reading of a nominal that may be anywhere is itself anywhere.
                total += share * cell / (x * spread) if low <= x <= high else 0.0
                continue
            each = np.ones(len(nominals))
            for place in places:
                each *= self._over(place, kind, nominals, values[place], members)
            total += share * float((each * weights).sum())
        return total

    def _over(
        self,
        place: str,
        kind: str,
        nominals: Any,
        value: tuple[float, float, float],
        members: npt.NDArray[np.int64],
    ) -> Floats:
        total = np.zeros(len(nominals))
        dimension = self.family.places[place].views[0].dimension
        for position, view in enumerate(self.family.places[place].views):
            if kind == "listed" or view.dimension != dimension:
                bands = self.view_edges(place, position, view)
            else:
                # Limits hardly change over the width of the bands: those at the reading serve all.
                system = "inch" if kind == "sixteenth" else "metric"
                offset = edges(view, [0.0], [(value[0], system)])
                shift = np.asarray(nominals)[:, None]
                bands = (shift + offset[0], shift + offset[1], offset[2])
            chances = self._cell(bands, *value)
            if view.dimension == dimension:
                total += view.share * chances
            else:
                # A reading of another dimension by mistake: of a listed nominal of that one.
                there = self.where[view.dimension][members]
                counts = np.bincount(there[there >= 0], minlength=len(chances)) / len(members)
                total += view.share * float((chances * counts).sum())
        return total
