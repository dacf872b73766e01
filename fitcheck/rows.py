"""The rows of a table: cells read by column name and kind, with their source and evidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from fitcheck.errors import DataError
from fitcheck.records import dataclass

SHOP_EVIDENCE = "shop"

_FLAGS = ("", "true", "false")


@dataclass(frozen=True, slots=True)
class Source:
    """Where a value comes from: a published text, memory, or a rule of our own."""

    key: str
    title: str
    edition: str = ""

    def text(self) -> str:
        """The source in one line."""
        return f"{self.title}, {self.edition}" if self.edition else self.title


# The same few sizes fill the cells of thousands of rows: each text is read once.
@lru_cache(maxsize=16384)
def _number(cell: str) -> float | None:
    """A cell's number; None where it holds none, or one as only a program writes it: nan, 1_000."""
    if "_" in cell or not cell.isascii():
        return None
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


class Row:
    """One row of a table; cells are read by column name and kind."""

    __slots__ = ("_cells", "_columns", "_numbers", "evidence", "source", "table")

    def __init__(
        self,
        *,
        table: str,
        columns: dict[str, int],
        cells: Sequence[str],
        source: Source,
        evidence: str,
    ) -> None:
        self.table = table
        # Where each column stands is the same for all rows; a look-up makes thousands of rows.
        self._columns = columns
        self._cells = cells
        self._numbers: dict[str, float | None] = {}
        self.source = source
        self.evidence = evidence

    def text(self, column: str) -> str:
        """The cell as text; a blank cell is the empty text."""
        try:
            return self._cells[self._columns[column]]
        except KeyError:
            raise DataError(
                value=column,
                rule=f"the table {self.table} has no such column",
                todo="Run scripts/check_data to compare the table with its descriptor",
            ) from None

    def maybe(self, column: str) -> float | None:
        """The cell as a number, or None where it is blank."""
        try:
            return self._numbers[column]
        except KeyError:
            pass
        cell = self.text(column)
        value = _number(cell) if cell else None
        if cell and value is None:
            raise DataError(
                value=cell,
                rule=f"column {column} of table {self.table} must hold a number",
                todo=self._mending("Correct the cell"),
            )
        self._numbers[column] = value
        return value

    def number(self, column: str) -> float:
        """The cell as a number; a blank cell is an error."""
        value = self.maybe(column)
        if value is None:
            raise DataError(
                value="(blank)",
                rule=f"column {column} of table {self.table} must hold a number",
                todo=self._mending("Fill the cell"),
            )
        return value

    def flag(self, column: str) -> bool:
        """The cell as a yes or no; blank is no."""
        cell = self.text(column)
        if cell not in _FLAGS:
            raise DataError(
                value=cell,
                rule=f"column {column} of table {self.table} must hold true or false",
                todo=self._mending("Correct the cell"),
            )
        return cell == "true"

    def _mending(self, what: str) -> str:
        if self.evidence == SHOP_EVIDENCE:
            return f"{what} in {self.source.title}"
        return f"{what} and run scripts/check_data"

    def cite(self) -> str:
        """One line that names the source and says when it is memory or invented."""
        if self.evidence == "memory":
            return f"{self.source.text()} (from memory)"
        if self.evidence == "invented":
            return f"{self.source.text()} (invented)"
        return self.source.text()

    def cells(self) -> dict[str, str]:
        """A copy of the cells as text."""
        return dict(zip(self._columns, self._cells, strict=True))
