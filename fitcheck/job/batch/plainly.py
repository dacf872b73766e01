"""Readings of plain cells, read the short way: digits, a point, and nothing else.

Most cells of a long table are such; every other cell is read by ``readings.read``, and so is one
plain cell of each kind, of which the rest differ in their value and its step alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from fitcheck.errors import FitcheckError
from fitcheck.job.batch.row import MAX_CELL, several
from fitcheck.quantities import MAX_LENGTH_MM
from fitcheck.readings import Reading, read
from fitcheck.units import UNITS

_PLAIN = re.compile(r"[0-9]{1,4}(?:\.([0-9]{1,6}))?")
_KEPT = 32768
_KINDS = 256


class PlainReader:
    """Reads single readings of cells, and remembers them.

    Parameters
    ----------
    usual : callable
        How any other cell is read: place, cell, unit and instrument to a reading.
    """

    def __init__(self, usual: Callable[[str, str, str, str], Reading]) -> None:
        self._usual = usual
        self._kind = lru_cache(_KINDS)(_kind)
        self.reading = lru_cache(_KEPT)(self._reading)

    def _reading(self, place: str, cell: str, unit: str, tool: str) -> Reading | None:
        """The reading of a cell, or None where the cell is refused or asks for more than a number.

        What is None here is for the usual way, which says why.
        """
        found = _PLAIN.fullmatch(cell)
        try:
            if found is None:
                return self._any(place, cell, unit, tool)
            kind, of = self._kind(place, unit, tool), UNITS[unit]
        except FitcheckError:
            return None
        value = of.to_base(float(cell))
        if not 0.0 < value <= MAX_LENGTH_MM:
            return None
        return Reading(
            place=place,
            values_mm=(value,),
            strays_mm=(),
            instrument=kind.instrument,
            mean_mm=value,
            standard_error_mm=kind.standard_error_mm,
            spread_mm=0.0,
            roundness_limit_mm=kind.roundness_limit_mm,
            stated=False,
            step_mm=of.change_to_base(10.0 ** -len(found[1] or "")),
            unit=kind.unit,
        )

    def _any(self, place: str, cell: str, unit: str, tool: str) -> Reading | None:
        if len(cell) > MAX_CELL or not several(cell):
            return None
        found = self._usual(place, cell, unit, tool)
        return found if found.unit in ("mm", "in") and not found.notes() else None


def _kind(place: str, unit: str, tool: str) -> Reading:
    return read(place=place, texts=("1",), unit=unit, tool=tool)
