"""Part numbers that stand in a list more than once, with different sizes."""

from __future__ import annotations

from array import array
from typing import Any

from fitcheck.lists.sizes import METRIC, size_words_um
from fitcheck.lists.sort_rows import Report

_SIZE = ("shaft_um", "bore_um", "width_um", "system")

_Size = tuple[int | None, int | None, int | None, str | None]


class Repeats:
    """Remembers the size of every part number, and tells of one that comes with another.

    A line takes some 150 bytes: its part number, where it stood, and the number of its size.
    """

    def __init__(self) -> None:
        self._first: dict[str, int] = {}
        self._lines = array("L")
        self._sizes = array("L")
        self._numbers: dict[_Size, int] = {}

    def look(self, out: dict[str, list[Any]], report: Report, column: str) -> None:
        """Remember the lines of a block, and remark those whose number stood above otherwise.

        Parameters
        ----------
        out : dict of str to list
            The fields of the lines, with part numbers and sizes.
        report : Report
            The lines, which takes the remarks.
        column : str
            The column of the part numbers.
        """
        parts = out["part_number"]
        start, first, numbers = len(self._lines), self._first, self._numbers
        self._lines.extend(report.lines)
        sizes = list(zip(*(out[name] for name in _SIZE), strict=True))
        self._sizes.extend([numbers.setdefault(size, len(numbers)) for size in sizes])
        here = dict(zip(reversed(parts), range(start + len(parts) - 1, start - 1, -1), strict=True))
        if len(here) == len(parts) and first.keys().isdisjoint(here) and None not in here:
            first.update(here)
            return
        by_number = list(numbers)
        for index, part in enumerate(parts):
            if part is None or index in report.refused:
                continue
            before = first.setdefault(part, start + index)
            size, other = sizes[index], by_number[self._sizes[before]]
            if size != other and _differ(size, other):
                line = self._lines[before]
                reason = f"the same part number is {_words(other)} in line {line}: ask which it is"
                report.note(index, column, part, f"{_words(size)} here; {reason}")


def _differ(one: _Size, other: _Size) -> bool:
    """Whether two sizes are both given, and differ where both say something."""
    pairs = list(zip(one[:3], other[:3], strict=True))
    return all(pairs[0]) and any(a != b for a, b in pairs if a is not None and b is not None)


def _words(size: _Size) -> str:
    shaft, bore, width, system = size
    return size_words_um(shaft or 0, bore or 0, width, system or METRIC)
