"""Many rows of a table answered together: what row by row gives, in a fraction of the time.

Rows that were read at the same places are weighed at once (``posterior``) and judged one by one
(``judged``). What asks for more is left to the way row by row: marks, several readings of a
dimension, cells that can't be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from fitcheck.errors import FitcheckError
from fitcheck.job.batch.judged import judged
from fitcheck.job.batch.plainly import PlainReader
from fitcheck.job.batch.posterior import Weigher
from fitcheck.job.batch.row import PARTS, UNITS, Line, RowAnswerer
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.readings import Reading

# Fewer rows than this are answered sooner one by one.
FEW = 24
# How many answers are remembered: rows repeat in a long table.
_ANSWERS = 16384

_Cells = tuple[str, ...]
# The part and the places that a row was read at.
_Pattern = tuple[str, tuple[str, ...]]


class Together:
    """Answers the rows of one table, many at once.

    Parameters
    ----------
    answerer : RowAnswerer
        Answers the same rows one by one.
    """

    def __init__(self, answerer: RowAnswerer) -> None:
        self._answerer = answerer
        self._reader = PlainReader(answerer.reading)
        self._possible: dict[_Pattern, bool] = {}
        self._known: dict[_Cells, tuple[Line, ...]] = {}
        names = answerer.names
        self._column = {name: number for number, name in enumerate(names)}
        self._places = [
            (number, name.replace("_", "-"))
            for number, name in enumerate(names)
            if name not in ("part", "unit", "instrument", "mark")
        ]

    def answers(self, rows: Sequence[_Cells | None]) -> list[tuple[Line, ...] | None]:
        """The lines about each row, as ``RowAnswerer.answer`` gives them.

        Parameters
        ----------
        rows : sequence of tuple of str
            The cells of each row; None for a row that could not be read.

        Returns
        -------
        list
            None for a row that must be answered by itself.
        """
        if len(self._known) > _ANSWERS:
            self._known.clear()
        groups: dict[_Pattern, list[tuple[_Cells, list[Reading]]]] = {}
        for cells in dict.fromkeys(rows):
            asked = None if cells is None or cells in self._known else self._asked(cells)
            if cells is not None and asked is not None:
                groups.setdefault(asked[0], []).append((cells, asked[1]))
        for (part, places), members in groups.items():
            if len(members) >= FEW:
                columns = zip(*(readings for _, readings in members), strict=True)
                readings = dict(zip(places, map(list, columns), strict=True))
                weigher = _weigher(seal_family() if part == "seal" else bearing_family())
                found = judged(self._answerer, part, weigher, readings)
                for (cells, _), lines in zip(members, found, strict=True):
                    if lines is not None:
                        self._known[cells] = lines
        return [None if cells is None else self._known.get(cells) for cells in rows]

    def _asked(self, cells: _Cells) -> tuple[_Pattern, list[Reading]] | None:
        """A row as understood, or None where it is none of those that are answered together."""
        part = self._cell(cells, "part").lower()
        unit = (self._cell(cells, "unit") or self._answerer.request.unit).lower()
        if part not in PARTS or unit not in UNITS or self._cell(cells, "mark"):
            return None
        tool = self._cell(cells, "instrument")
        if tool:
            try:
                self._answerer.tool(tool)
            except FitcheckError:
                return None
        places, readings = [], []
        for number, place in self._places:
            cell = cells[number].strip()
            if cell:
                reading = self._reader.reading(place, cell, unit, tool)
                if reading is None:
                    return None
                places.append(place)
                readings.append(reading)
        pattern = part, tuple(places)
        possible = self._possible.get(pattern)
        if possible is None:
            possible = self._possible[pattern] = _possible(*pattern)
        return (pattern, readings) if possible else None

    def _cell(self, cells: _Cells, name: str) -> str:
        number = self._column.get(name)
        return "" if number is None else cells[number].strip()


# Made once for a family: its bands and limits are laid out as arrays.
@lru_cache(maxsize=4)
def _weigher(family: Family) -> Weigher:
    return Weigher(family)


def _possible(part: str, places: tuple[str, ...]) -> bool:
    """Whether rows read at some places can be weighed together: each shows another dimension."""
    if not places or not set(places) <= set(PARTS[part]):
        return False
    family = seal_family() if part == "seal" else bearing_family()
    shown = {family.places[place].views[0].dimension for place in places}
    return len(shown) == len(places)
