"""The listed sizes near many values at once; see ``parts.family.Family.near``."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fitcheck.job.batch.bands_table import Dimension, Floats, Ints
from fitcheck.parts.family import Family
from fitcheck.unlisted import NEAR


class Nearby:
    """Windows of sizes that differ in one dimension by no more than a factor.

    A window is a number; how many of its sizes have each nominal is worked out when it is first
    met, and kept: there are no more windows than pairs of nominals that stand so near each other.
    """

    def __init__(self, family: Family, dimensions: Sequence[Dimension]) -> None:
        self._family = family
        self._dimensions = dimensions
        self._number: dict[tuple[int, int, int], int] = {}
        self._members: list[int] = []
        self._spans: list[list[tuple[float, float]]] = [[] for _ in dimensions]
        self._counts: list[list[Ints]] = [[] for _ in dimensions]
        self._made = 0
        self._members_of = np.zeros(0)
        self._spans_of = [np.zeros((0, 2)) for _ in dimensions]
        self._counts_of = [np.zeros((0, 0), dtype=np.int64) for _ in dimensions]

    def windows(self, dimension: int, values_mm: Floats) -> Ints:
        """The window of each of some values of a dimension."""
        nominals = self._dimensions[dimension].nominals
        first = np.searchsorted(nominals, values_mm / NEAR, side="left")
        last = np.searchsorted(nominals, values_mm * NEAR, side="right")
        keys, where, back = np.unique(
            first * (len(nominals) + 1) + last, return_index=True, return_inverse=True
        )
        found = np.empty(len(keys), dtype=np.int64)
        for number, at in enumerate(where.tolist()):
            key = (dimension, int(first[at]), int(last[at]))
            known = self._number.get(key)
            if known is None:
                known = self._add(key, dimension, float(values_mm[at]))
            found[number] = known
        if len(self._members) > self._made:
            self._stack()
        return found[back]

    def _add(self, key: tuple[int, int, int], dimension: int, value_mm: float) -> int:
        near = self._family.near(dimension, value_mm, NEAR)
        members = np.array(sorted(near.members), dtype=np.int64)
        for number, known in enumerate(self._dimensions):
            nominals = known.where[members]
            nominals = nominals[nominals >= 0]
            self._counts[number].append(np.bincount(nominals, minlength=len(known.nominals)))
            self._spans[number].append(near.spans[number] or (0.0, 0.0))
        number = self._number[key] = len(self._members)
        self._members.append(len(members))
        return number

    def _stack(self) -> None:
        self._made = len(self._members)
        self._members_of = np.array(self._members)
        self._spans_of = [np.array(spans) for spans in self._spans]
        self._counts_of = [np.array(counts) for counts in self._counts]

    def span(self, windows: Ints, dimension: int) -> tuple[Floats, Floats, Ints]:
        """What a dimension spans in some windows [mm], and how many sizes they hold.

        No sizes are told where none of them has the dimension.
        """
        spans = self._spans_of[dimension][windows]
        members = np.where(spans[:, 1] > 0.0, self._members_of[windows], 0)
        return spans[:, 0], spans[:, 1], members

    def count(self, windows: Ints, dimension: int, nominals: Ints) -> Ints:
        """How many sizes of some windows have a nominal."""
        found: Ints = self._counts_of[dimension][windows, nominals]
        return found
