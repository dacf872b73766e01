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
from functools import cache
from typing import Any

from fitcheck.errors import DataError, NotKnownError, OffTableError
from fitcheck.records import dataclass
from fitcheck.rows import SHOP_EVIDENCE, Row, Source

__all__ = [
    "SHOP_EVIDENCE",
    "Row",
    "Source",
    "Table",
    "data_folder",
    "in_step",
    "named_row",
    "package",
    "shop_folder",
    "step_row",
    "table",
    "table_names",
]

# Finer than any step of a table and coarser than what a float loses when inches become mm and
# inches again: 76.2 / 25.4 is 3.0000000000000004.
_STEP_DECIMALS = 9


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
    rows = _rows(name, columns, raw, sources)
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


def _read_csv(path: str) -> tuple[tuple[str, ...], list[list[str]]]:
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
            rows.append(cells)
    return columns, rows


def _rows(
    name: str, columns: tuple[str, ...], raw: list[list[str]], sources: dict[str, Source]
) -> list[Row]:
    places = _places(columns)
    source_at, evidence_at = places.get("source"), places.get("evidence")
    rows = []
    for cells in raw:
        key = cells[source_at] if source_at is not None else ""
        source = sources.get(key)
        if source is None:
            raise DataError(
                value=key or "(blank)",
                rule=f"a row of table {name} names a source that its descriptor does not list",
                todo="Run scripts/check_data",
            )
        evidence = cells[evidence_at] if evidence_at is not None else ""
        rows.append(Row(table=name, columns=places, cells=cells, source=source, evidence=evidence))
    return rows


def _places(columns: tuple[str, ...]) -> dict[str, int]:
    return {column: number for number, column in enumerate(columns)}


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
    places = _places(columns)
    for shop_cells in shop_rows:
        cells = dict(zip(shop_columns, shop_cells, strict=True))
        row_key = tuple(cells[c] for c in key)
        base = merged[row_key].cells() if row_key in merged else dict.fromkeys(columns, "")
        base.update(cells)
        merged[row_key] = Row(
            table=name,
            columns=places,
            cells=[base[column] for column in columns],
            source=shop_source,
            evidence=SHOP_EVIDENCE,
        )
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
