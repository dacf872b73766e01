"""Tables with provenance: a CSV, its descriptor, and rows that carry their source.

A table is named by folder and file, ``seals/din3760``. It is read on first use and cached.
Beside the shipped tables a shop may keep its own: a CSV of the same name, with any of the same
columns that include the key, in the folder that ``FITCHECK_TABLES`` names. Its rows replace the
shipped rows with the same key or are added to them, and cite the shop as their source.
"""

from __future__ import annotations

import csv
import json
import math
import os
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from fitcheck.errors import DataError, NotKnownError, OffTableError

SHOP_EVIDENCE = "shop"

_FLAGS = ("", "true", "false")
# Finer than any step of a table and coarser than what a float loses when inches become mm and
# inches again: 76.2 / 25.4 is 3.0000000000000004.
_STEP_DECIMALS = 9


@dataclass(frozen=True, slots=True)
class Source:
    """Where a value comes from: a published text, memory, or a rule of our own."""

    key: str
    title: str
    edition: str = ""

    def text(self) -> str:
        """The source in one line."""
        return f"{self.title}, {self.edition}" if self.edition else self.title


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

    __slots__ = ("_cells", "_numbers", "evidence", "source", "table")

    def __init__(self, *, table: str, cells: dict[str, str], source: Source, evidence: str) -> None:
        self.table = table
        self._cells = cells
        self._numbers: dict[str, float | None] = {}
        self.source = source
        self.evidence = evidence

    def text(self, column: str) -> str:
        """The cell as text; a blank cell is the empty text."""
        try:
            return self._cells[column]
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
        return dict(self._cells)


@dataclass(frozen=True, slots=True)
class Table:
    """A table as read: its title, columns, rows and sources."""

    name: str
    title: str
    columns: tuple[str, ...]
    key: tuple[str, ...]
    rows: tuple[Row, ...]
    sources: tuple[Source, ...]
    used_by: tuple[str, ...]

    def evidence_counts(self) -> dict[str, int]:
        """How many rows are seen, from memory, invented, or the shop's own."""
        counts: dict[str, int] = {}
        for row in self.rows:
            counts[row.evidence] = counts.get(row.evidence, 0) + 1
        return counts


@cache
def data_folder() -> str:
    """The folder of shipped tables: inside an installed package, or beside it in a checkout."""
    package = os.path.dirname(os.path.abspath(__file__))
    inside = os.path.join(package, "data")
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(package), "data")


def shop_folder() -> str:
    """The folder of the shop's own tables, or the empty text when none is set."""
    return os.environ.get("FITCHECK_TABLES", "")


@cache
def package(folder: str) -> dict[str, Any]:
    """The descriptor of one folder of tables.

    Raises
    ------
    NotKnownError
        There is no such folder of tables.
    DataError
        The descriptor is not readable JSON.
    """
    path = os.path.join(data_folder(), folder, "datapackage.json")
    try:
        with open(path, encoding="utf-8") as handle:
            found: dict[str, Any] = json.load(handle)
    except FileNotFoundError:
        raise NotKnownError(
            value=folder,
            rule="there is no folder of tables with this name",
            todo="`fitcheck tables` lists them all",
        ) from None
    except ValueError as error:
        raise DataError(
            value=path,
            rule=f"the descriptor is not readable JSON ({error})",
            todo="Install the program again or restore the file",
        ) from None
    return found


def table_names() -> list[str]:
    """The names of all shipped tables, in alphabetical order."""
    names: list[str] = []
    root = data_folder()
    for folder in sorted(os.listdir(root)):
        if os.path.isfile(os.path.join(root, folder, "datapackage.json")):
            names += [f"{folder}/{resource['name']}" for resource in package(folder)["resources"]]
    return sorted(names)


def table(name: str) -> Table:
    """A table by name, ``folder/file``, with the shop's own rows laid over it.

    Raises
    ------
    NotKnownError
        There is no such table.
    DataError
        The file and its descriptor disagree, or a shop row lacks its key.
    """
    return _table(name, shop_folder())


@cache
def _table(name: str, shop: str) -> Table:
    folder, _, short = name.partition("/")
    descriptor = package(folder)
    resource = next((r for r in descriptor["resources"] if r["name"] == short), None)
    if resource is None:
        raise NotKnownError(
            value=name,
            rule="there is no table with this name",
            todo="`fitcheck tables` lists them all",
        )
    sources = {
        s["key"]: Source(key=s["key"], title=s["title"], edition=s.get("edition", ""))
        for s in descriptor["sources"]
    }
    columns, raw = _read_csv(os.path.join(data_folder(), folder, resource["path"]))
    rows = [_row(name, cells, sources) for cells in raw]
    key = tuple(resource["schema"].get("primaryKey", ()))
    if shop:
        path = os.path.join(shop, folder, resource["path"])
        if os.path.isfile(path):
            rows = _overlay(name=name, rows=rows, columns=columns, key=key, path=path)
    return Table(
        name=name,
        title=resource.get("title", name),
        columns=columns,
        key=key,
        rows=tuple(rows),
        sources=tuple(sources.values()),
        used_by=tuple(resource.get("usedBy", ())),
    )


def _read_csv(path: str) -> tuple[tuple[str, ...], list[dict[str, str]]]:
    with open(path, encoding="utf-8", newline="") as handle:
        reader = csv.reader(handle)
        try:
            columns = tuple(next(reader))
        except StopIteration:
            raise DataError(
                value=path, rule="the table is empty", todo="Restore the file"
            ) from None
        rows = []
        for line, cells in enumerate(reader, start=2):
            if len(cells) != len(columns):
                raise DataError(
                    value=f"{path} line {line}",
                    rule=f"the line has {len(cells)} cells and the header has {len(columns)}",
                    todo="Correct the line",
                )
            rows.append(dict(zip(columns, cells, strict=True)))
    return columns, rows


def _row(name: str, cells: dict[str, str], sources: dict[str, Source]) -> Row:
    key = cells.get("source", "")
    source = sources.get(key)
    if source is None:
        raise DataError(
            value=key or "(blank)",
            rule=f"a row of table {name} names a source that its descriptor does not list",
            todo="Run scripts/check_data",
        )
    return Row(table=name, cells=cells, source=source, evidence=cells.get("evidence", ""))


def _overlay(
    *, name: str, rows: list[Row], columns: tuple[str, ...], key: tuple[str, ...], path: str
) -> list[Row]:
    """Lay the shop's rows over the shipped ones: same key replaces, new key is added."""
    shop_columns, shop_rows = _read_csv(path)
    unknown = [c for c in shop_columns if c not in columns]
    missing = [c for c in key if c not in shop_columns]
    if unknown or missing or not key:
        raise DataError(
            value=path,
            rule=f"a shop table needs the key columns {', '.join(key)} and only columns of {name}"
            + (f"; not known: {', '.join(unknown)}" if unknown else ""),
            todo=f"`fitcheck tables show {name}` prints the columns",
        )
    shop_source = Source(key="shop", title=f"the shop's own table, {path}")
    merged = {tuple(row.text(c) for c in key): row for row in rows}
    for cells in shop_rows:
        row_key = tuple(cells[c] for c in key)
        base = merged[row_key].cells() if row_key in merged else dict.fromkeys(columns, "")
        base.update(cells)
        merged[row_key] = Row(table=name, cells=base, source=shop_source, evidence=SHOP_EVIDENCE)
    return list(merged.values())


def named_row(table_name: str, name: str) -> Row:
    """The row of a table that a name stands for: a limit, a share, a usual value.

    Parameters
    ----------
    table_name : str
        The table, ``folder/file``, with a column ``name``.
    name : str
        The name.

    Raises
    ------
    DataError
        The table has no row of this name.

    Examples
    --------
    >>> named_row("press/limits", "interference_share_limit").number("value")
    0.01
    """
    for row in table(table_name).rows:
        if row.text("name") == name:
            return row
    raise DataError(
        value=name,
        rule=f"the table {table_name} has no such limit or value",
        todo=f"`fitcheck tables show {table_name}` lists the names; restore the file",
    )


def in_step(row: Row, *, value: float, over: str, incl: str) -> bool:
    """Whether a row's step holds a value: over the one limit, up to and including the other.

    Parameters
    ----------
    row : Row
        The row.
    value, over, incl :
        As for :func:`step_row`.

    Notes
    -----
    Rounded to nine decimals, an inch size that was in mm meets the edge of its step.
    """
    # What is too small to be rounded stays as it is: the first step starts right over zero.
    rounded = round(value, _STEP_DECIMALS) or value
    upper = row.maybe(incl)
    return rounded > (row.maybe(over) or 0.0) and (upper is None or rounded <= upper)


def step_row(rows: Iterable[Row], *, value: float, over: str, incl: str, what: str) -> Row:
    """The row whose step holds a value: over the one limit, up to and including the other.

    Parameters
    ----------
    rows : iterable of Row
        Rows of one table, already narrowed to one series.
    value : float
        The value, in the unit of the two columns.
    over, incl : str
        The columns that bound a step; a blank ``over`` starts at zero, a blank ``incl`` has no end.
    what : str
        What is looked up, for the refusal.

    Raises
    ------
    OffTableError
        No step holds the value; the message names the range that is covered.
    """
    low, high, last = math.inf, 0.0, None
    for row in rows:
        if in_step(row, value=value, over=over, incl=incl):
            return row
        lower, upper = row.maybe(over) or 0.0, row.maybe(incl)
        low = min(low, lower)
        if upper is None or upper >= high:
            high, last = math.inf if upper is None else upper, row
    unit = over.rpartition("_")[2]
    # Why a table ends where it does is said by the note of its last step.
    note = last.cells().get("note", "") if last is not None and value > high else ""
    why = f" ({note})" if note else ""
    raise OffTableError(
        value=f"{value:.6g} {unit}",
        rule=f"{what} is tabled over {low:g} up to and including {high:g} {unit}{why}"
        if high
        else f"{what} has no table",
        todo="Check the value; if it is right, take it from the drawing or the machine's manual",
    )
