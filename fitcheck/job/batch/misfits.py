"""For many rows that fit no listed size: the one reading without which the others name one.

As ``job.misfit`` for one row.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fitcheck.job.batch.posterior import Posterior, Weigher
from fitcheck.job.batch.restated import Columns
from fitcheck.job.misfit import NAMED, UNLISTED_LEADS, misfit_words
from fitcheck.readings import Reading
from fitcheck.records import dataclass

# Fewer rows than this are answered sooner one by one.
_FEW = 6


@dataclass(frozen=True, slots=True)
class Misfit:
    """The place to read again, with what, and the words for it."""

    place: str
    tool: str
    words: str


class Misfits:
    """The misfits among the rows of a posterior.

    Parameters
    ----------
    weigher : Weigher
        Weighs the sizes.
    readings : mapping of str to list of Reading
        By place, one reading for each row.
    found : Posterior
        What the readings say together.
    """

    def __init__(
        self, weigher: Weigher, readings: Mapping[str, list[Reading]], found: Posterior
    ) -> None:
        self._family = weigher.family
        self._readings = readings
        asked = np.flatnonzero((found.total > 0.0) & (found.unlisted >= UNLISTED_LEADS)).tolist()
        self._asked = frozenset(asked if len(asked) >= _FEW or len(readings) < 2 else ())
        # By row: the largest share of a size without one place, that place, and the size.
        self._best: dict[int, tuple[float, str, int]] = {}
        if self._asked and len(readings) > 1:
            for place in found.places:
                self._leave_out(weigher, place, asked)

    def _leave_out(self, weigher: Weigher, place: str, rows: list[int]) -> None:
        others = {
            p: [all_[row] for row in rows] for p, all_ in self._readings.items() if p != place
        }
        found = weigher.weigh(Columns(others))
        sizes = found.candidates
        leads = np.flatnonzero((np.diff(sizes.first) > 0) & (found.total > 0.0))
        first = sizes.first[leads]
        for number, size, share in zip(
            leads.tolist(),
            sizes.size[first].tolist(),
            sizes.probability[first].tolist(),
            strict=True,
        ):
            row = rows[number]
            if share >= NAMED and share > self._best.get(row, (0.0, "", 0))[0]:
                self._best[row] = share, place, size

    def of(self, row: int) -> tuple[bool, Misfit | None]:
        """Whether a row was looked at, and its misfit where it has one.

        Parameters
        ----------
        row : int
            The row.
        """
        best = self._best.get(row)
        if best is None:
            return row in self._asked, None
        share, place, size = best
        given = {p: column[row] for p, column in self._readings.items()}
        words = misfit_words(self._family, self._family.sizes[size], share, place, given)
        tools = self._family.places[place].instruments
        return True, Misfit(place, (tools or ("caliper",))[-1], words)
