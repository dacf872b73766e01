"""What a place shows of a family's sizes, as arrays: nominals, bands and limits of every view.

Made once for a family and used for any number of readings; nothing here depends on a reading.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from fitcheck.parts.family import LEAST_BAND_MM, Band, Family, Place, View, ViewIndex
from fitcheck.unlisted import Spread, reach_mm, spreads

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


class Dimension:
    """One dimension of a family: which sizes have which of its nominals.

    ``where`` gives each size's place among the distinct nominals, -1 where it has none;
    ``members`` the sizes in the order of their nominals, those of nominal n from ``starts[n]``.
    """

    def __init__(self, family: Family, number: int) -> None:
        keys = sorted(key for key in family.by_key[number] if key is not None)
        self.nominals: Floats = np.array([key[0] for key in keys])
        self.where: Ints = np.full(len(family.sizes), -1)
        groups = [family.by_key[number][key] for key in keys]
        for position, group in enumerate(groups):
            self.where[group] = position
        self.members: Ints = np.array([size for group in groups for size in group], dtype=np.int64)
        self.counts: Ints = np.array([len(group) for group in groups], dtype=np.int64)
        self.starts: Ints = np.concatenate(([0], np.cumsum(self.counts)))


class Edges:
    """Bands as rows of three arrays; rows that have fewer are filled up with bands out of reach."""

    def __init__(self, rows: Sequence[Sequence[Band]]) -> None:
        shape = len(rows), max((len(bands) for bands in rows), default=0)
        self.low: Floats = np.full(shape, np.inf)
        self.high: Floats = np.full(shape, np.inf)
        self.height: Floats = np.zeros(shape)
        for number, bands in enumerate(rows):
            for column, band in enumerate(bands):
                self.low[number, column] = band.low_mm
                self.high[number, column] = band.high_mm
                self.height[number, column] = band.height


class ViewTable:
    """One view of a place: its bands by nominal, and which explanation each of them is."""

    def __init__(
        self, view: View, index: ViewIndex, dimension: Dimension, states: Mapping[str, int]
    ) -> None:
        rows = [index.bands(position) for position in range(len(index.keys))]
        self.edges = Edges(rows)
        self.states: Ints = np.zeros(self.edges.low.shape, dtype=np.int64)
        for number, bands in enumerate(rows):
            for column, band in enumerate(bands):
                self.states[number, column] = states[view.state or band.state]
        self.dimension = dimension
        self.number = view.dimension
        self.share = view.share
        self.reach = index.reach_low, index.reach_high
        self.slip = index.slip
        self.as_asked = not view.state
        limits = [view.limits(*key) for key in index.keys]
        nominals = dimension.nominals
        self.lowest: Floats = nominals + np.array([lower for lower, _ in limits])
        self.highest: Floats = nominals + np.array([upper for _, upper in limits])


class Grid:
    """The bands around nominals that need not be listed: the steps of one way they are spread."""

    def __init__(self, index: ViewIndex, kind: Spread) -> None:
        self._index = index
        self.kind = kind
        self._rows: list[Sequence[Band]] = []
        self._row_of: dict[int, int] = {}
        self.edges = Edges([])

    def rows(self, steps: Ints) -> Ints:
        """The row of ``edges`` for each of some whole numbers of steps."""
        distinct, back = np.unique(steps, return_inverse=True)
        known = len(self._rows)
        for step in distinct.tolist():
            if step not in self._row_of:
                self._row_of[step] = len(self._rows)
                nominal = step * self.kind.step_mm
                self._rows.append(self._index.bands_at(nominal, self.kind.system))
        if len(self._rows) > known:
            self.edges = Edges(self._rows)
        found: Ints = np.array([self._row_of[step] for step in distinct.tolist()], dtype=np.int64)
        return found[back]


class PlaceTable:
    """One place: its views, and what it needs for sizes that no table lists."""

    def __init__(
        self,
        family: Family,
        place: Place,
        dimensions: Sequence[Dimension],
        states: Mapping[str, int],
    ) -> None:
        self.name = place.name
        indexes = family.indexes(place.name)
        self.views = [
            ViewTable(view, index, dimensions[view.dimension], states)
            for view, index in zip(place.views, indexes, strict=True)
        ]
        first = place.views[0]
        self.first = first.dimension
        self.slip = indexes[0].slip
        self.span_mm = family.span_mm(first.dimension)
        self.reach = reach_mm(family, place.name)
        self.grids = [Grid(indexes[0], kind) for kind in spreads() if kind.step_mm]
        self._view = first
        self._cells: dict[int, tuple[float, float, float, float] | None] = {}

    def nominals(self, values_mm: Floats) -> Floats:
        """The nominals that would put readings in the middle of their first band [mm]."""
        cells, back = np.unique(np.ceil(values_mm / _CELL_MM).astype(np.int64), return_inverse=True)
        offsets = np.full((len(cells), 4), np.nan)
        for number, cell in enumerate(cells.tolist()):
            if cell not in self._cells:
                self._cells[cell] = self._offsets_in(cell)
            found = self._cells[cell]
            if found is not None:
                offsets[number] = found
        by_value = offsets[back]
        for number in np.flatnonzero(np.isnan(by_value[:, 0])).tolist():
            by_value[number] = self._offsets(float(values_mm[number]))
        low = values_mm + by_value[:, 0] + by_value[:, 1]
        high = np.maximum(values_mm + by_value[:, 2] + by_value[:, 3], low + LEAST_BAND_MM)
        nominals: Floats = 2.0 * values_mm - (low + high) / 2.0
        return nominals

    def _offsets_in(self, cell: int) -> tuple[float, float, float, float] | None:
        """The offsets that hold all over a cell; None where a step of the limits falls in it."""
        right = cell * _CELL_MM
        left = self._offsets(right - _CELL_MM + _JUST_OVER_MM)
        return left if left == self._offsets(right) else None

    def _offsets(self, value_mm: float) -> tuple[float, float, float, float]:
        """What lies between a nominal and the ends of its first band [mm]."""
        lower, upper = self._view.limits(value_mm, "metric")
        rule = next(rule for rule in self._view.rules if value_mm >= rule.from_mm)
        return rule.low_scale * lower, rule.low_mm, rule.high_scale * upper, rule.high_mm


# Limits are looked up once for a cell of diameters: no table has a step as narrow as that.
_CELL_MM = 0.25
_JUST_OVER_MM = 1e-7
