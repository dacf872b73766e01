"""The fewest different sleeves that cover the shafts seen.

Each sleeve accepts a stretch of shaft diameters. Going up from the smallest shaft, the sleeve that
takes it and reaches furthest up is always right; so the count is the least there can be.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.parts.sleeve import Sleeve
from fitcheck.records import dataclass


@dataclass(frozen=True, slots=True)
class Cover:
    """The sleeves, the shafts each takes [mm], and the shafts that none takes."""

    sleeves: tuple[tuple[Sleeve, tuple[float, ...]], ...]
    uncovered: tuple[float, ...]


def fewest_sleeves(shafts_mm: Sequence[float], sleeves: Sequence[Sleeve]) -> Cover:
    """The fewest sleeves whose windows take all the shafts.

    Parameters
    ----------
    shafts_mm : sequence of float
        Diameters of the unworn lands [mm].
    sleeves : sequence of Sleeve
        The sleeves there are. Of those that reach equally far the widest is taken.

    Notes
    -----
    Exact: some sleeve must take the smallest shaft left, and of those that do, the one that reaches
    furthest takes every shaft that any other of them takes.

    Examples
    --------
    >>> from fitcheck.parts.sleeve import sleeves
    >>> cover = fewest_sleeves([34.98, 35.02], sleeves())
    >>> len(cover.sleeves), cover.uncovered
    (1, ())
    """
    found: list[tuple[Sleeve, tuple[float, ...]]] = []
    uncovered = []
    left = sorted(shafts_mm)
    while left:
        smallest = left[0]
        able = [one for one in sleeves if one.window_min_mm <= smallest <= one.window_max_mm]
        if not able:
            uncovered.append(smallest)
            left = left[1:]
            continue
        best = max(able, key=lambda one: (one.window_max_mm, one.width_mm))
        taken = tuple(shaft for shaft in left if shaft <= best.window_max_mm)
        found.append((best, taken))
        left = left[len(taken) :]
    return Cover(tuple(found), tuple(uncovered))
