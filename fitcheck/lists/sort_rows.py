"""Which rows of a file are lines of the list; the others are counted and told."""

from __future__ import annotations

from dataclasses import field

from fitcheck.lists.find_columns import Shape
from fitcheck.lists.layout import Chunk
from fitcheck.lists.lines import Remark
from fitcheck.lists.numbers import MARKS
from fitcheck.lists.sizes import NOTED, REPAIRED
from fitcheck.lists.words import is_total
from fitcheck.records import dataclass

REFUSED, SKIPPED = "refused", "skipped"
_SHOWN = 200


@dataclass(slots=True)
class Tally:
    """How many lines a list has, and what became of them; skipped rows are no lines."""

    lines: int = 0
    accepted: int = 0
    repaired: int = 0
    refused: int = 0
    skipped: int = 0

    def clear(self) -> None:
        """Start counting again."""
        self.lines = self.accepted = self.repaired = self.refused = self.skipped = 0


@dataclass(slots=True)
class Report:
    """The lines of a block by number, their cells, and what is said of them.

    ``repaired`` and ``refused`` hold indices of lines.
    """

    lines: list[int] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    repaired: set[int] = field(default_factory=set)
    refused: set[int] = field(default_factory=set)

    def say(self, outcome: str, index: int, column: str, value: str, reason: str) -> None:
        """Add a remark on a line, and sort the line by it."""
        self.remarks.append(Remark(outcome, self.lines[index], column, value[:_SHOWN], reason))
        if outcome == REFUSED:
            self.refused.add(index)
        elif outcome == REPAIRED:
            self.repaired.add(index)

    def note(self, index: int, column: str, value: str, reason: str) -> None:
        """Say something about a line that is kept as it is."""
        self.say(NOTED, index, column, value, reason)

    def repair(self, index: int, column: str, value: str, reason: str) -> None:
        """Say what was changed or left out in a line that is kept."""
        self.say(REPAIRED, index, column, value, reason)

    def refuse(self, index: int, column: str, value: str, reason: str) -> None:
        """Say why a line is not kept."""
        self.say(REFUSED, index, column, value, reason)


def bare(text: str) -> str:
    """A cell without the mark of a workbook, and on one line."""
    if text and text[0] in MARKS:
        text = text.lstrip("".join(MARKS))
    return " ".join(text.split()) if "\n" in text or "\r" in text else text


def shown(row: list[str]) -> str:
    """A whole row, as a remark shows it."""
    return " | ".join(bare(cell) for cell in row)[:_SHOWN]


def _filled(row: list[str]) -> list[str]:
    return [" ".join(bare(cell).split()).casefold() for cell in row if cell.strip()]


class RowSorter:
    """Tells lines from titles, blank rows, repeated headers and feet."""

    def __init__(self, shape: Shape, tally: Tally, encoding: str) -> None:
        self._shape, self._tally = shape, tally
        # The other encodings have been tried on the whole file, or can't fail.
        self._may_fail = encoding.startswith(("utf-16", "utf-32", "utf-8-sig"))
        self._above = max(shape.header_row, shape.units_row)
        heads = [row for row in shape.header_rows if any(cell.strip() for cell in row)]
        self._headers = [_filled(row) for row in heads]
        self._first_cells = {bare(row[0]).strip().casefold() for row in heads}
        self._first_ends = {cell[-1:] for cell in self._first_cells}
        self._first_chunk = True

    def lines_of(self, chunk: Chunk) -> Report:
        """The rows that are lines, all of the list's width; the rest are skipped or refused."""
        report, width = Report(), self._shape.width
        few = max(2, width // 2)
        start = 0
        if self._first_chunk:
            self._first_chunk = False
            start = self._above + 1
            for index in range(start):
                self._skip_above(report, chunk.lines[index], chunk.rows[index], index)
        in_blank = False
        for index in range(start, len(chunk.rows)):
            row, line, cause = chunk.rows[index], chunk.lines[index], ""
            filled = len(row) - row.count("")
            if filled <= few or 2 * filled <= len(row):
                if not any(cell.strip() for cell in row):
                    # A run of blank rows is told once, where it starts.
                    self._tally.skipped += 1
                    if not in_blank:
                        report.remarks.append(Remark(SKIPPED, line, "", "", "blank, here or on"))
                    in_blank = True
                    continue
                cause = self._no_part(row)
            in_blank = False
            if self._headers and self._is_header(row):
                self._tally.skipped += 1
                report.remarks.append(Remark(SKIPPED, line, "", shown(row), "the header again"))
                continue
            self._tally.lines += 1
            if cause or self._may_fail or chunk.faults or len(row) != width:
                self._add(report, row, line, chunk.faults.get(index) or cause)
            else:
                report.lines.append(line)
                report.rows.append(row)
        return report

    def _add(self, report: Report, row: list[str], line: int, cause: str) -> None:
        width, repair = self._shape.width, ""
        if not cause and len(row) > width:
            if any(cell.strip() for cell in row[width:]):
                cause = f"{len(row)} cells where the list has {width}: its cells may have moved"
            row = row[:width] if not cause else row
        elif not cause and len(row) < width:
            missing = range(len(row), width)
            if any(n in missing for numbers in self._shape.roles.values() for n in numbers):
                repair = f"{len(row)} cells where the list has {width}: the rest taken as blank"
            row = row + [""] * len(missing)
        if not cause and self._may_fail and "\ufffd" in "".join(row):
            cause = "a character can't be read in the encoding of the file"
        if cause:
            self._tally.refused += 1
            report.remarks.append(Remark(REFUSED, line, "", shown(row), cause))
            return
        report.lines.append(line)
        report.rows.append(row)
        if repair:
            report.repair(len(report.lines) - 1, "", shown(row), repair)

    def _skip_above(self, report: Report, line: int, row: list[str], index: int) -> None:
        if index == self._shape.header_row:
            return
        self._tally.skipped += 1
        why = "the units below the header" if index == self._shape.units_row else "above the header"
        if self._shape.header_row - len(self._shape.header_rows) < index < self._shape.header_row:
            why = "the first of the header's two rows"
        report.remarks.append(Remark(SKIPPED, line, "", shown(row), why))

    def _is_header(self, row: list[str]) -> bool:
        first = row[0] if row else ""
        if first[-1:].casefold() not in self._first_ends and first[-1:].strip():
            return False
        if bare(first).strip().casefold() not in self._first_cells:
            return False
        return _filled(row) in self._headers

    def _no_part(self, row: list[str]) -> str:
        """Why a row with few cells filled is no part: a total, a heading, a note."""
        cells = [bare(cell).strip() for cell in row if cell.strip()]
        if is_total(cells[0]):
            return "a total or foot line, no part"
        if len(cells) == 1 and self._shape.width >= 3:
            digits = any(c.isdigit() for c in cells[0])
            if not digits or len(cells[0].split()) > 2:
                return "a heading or a note, no part: one cell is filled"
        return ""
