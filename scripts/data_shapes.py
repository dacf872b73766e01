"""What every table is checked for cell against cell: pairs in order, shapes that are possible."""

from __future__ import annotations

import csv
import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from fitcheck.assess.cross_checks import (
    bore_told,
    shape_against_series,
)

CELL_TYPES = {
    "string": re.compile(r".*", re.DOTALL),
    "number": re.compile(r"-?\d+(\.\d+)?([eE]-?\d+)?"),
    "integer": re.compile(r"-?\d+"),
    "boolean": re.compile(r"true|false"),
}
UNITS = ("_mm", "_um", "_in", "_n", "_mpa", "_bar", "_c", "_mps", "_rpm", "_deg", "_grade")
IN_ORDER = (
    ("over", "<", "incl"),
    ("lower", "<=", "upper"),
    ("min", "<=", "max"),
    ("low", "<=", "high"),
    ("from", "<=", "to"),
)


@dataclass(frozen=True)
class Cell:
    """One cell with the place it stands at."""

    line: int
    number: int
    text: str


Record = dict[str, Cell]
Bound = tuple[str, float | None, float | None]


class Report:
    """Collects faults, each with its place."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.faults: list[str] = []

    def fault(self, path: Path, message: str, *, line: int = 1, cell: int = 1) -> None:
        """Note one fault."""
        self.faults.append(f"{path.relative_to(self.root.parent)}:{line}:{cell}: {message}")

    def at(self, path: Path, column: str, cell: Cell, message: str) -> None:
        """Note a fault of one cell."""
        where = f'{column}: "{cell.text}" {message}'
        self.fault(path, where, line=cell.line, cell=cell.number)


def number(record: Record, column: str) -> float | None:
    """A cell as a number; None where the column is missing, blank or not a number."""
    cell = record.get(column)
    if cell is None or not CELL_TYPES["number"].fullmatch(cell.text):
        return None
    return float(cell.text)


def pairs(columns: list[str], folder: str) -> Iterator[tuple[str, str, str]]:
    """Columns that must stand in order, told by their names: (smaller, "<" or "<=", larger)."""
    named = list(IN_ORDER)
    if folder == "seals":
        named += [("shaft", "<", "bore"), ("bore", "<", "od")]
    if folder == "tapered":
        named += [("bore", "<", "od"), ("cup_width", "<=", "width")]
    for column in columns:
        words = f"_{column}_"
        for smaller, relation, larger in named:
            partner = words.replace(f"_{smaller}_", f"_{larger}_", 1).strip("_")
            ordered = column == smaller or column.endswith(UNITS)
            if ordered and partner != column and partner in columns:
                yield column, relation, partner


def check_pairs(report: Report, path: Path, columns: list[str], records: list[Record]) -> None:
    """Every pair of columns that must stand in order does so."""
    for small, relation, large in pairs(columns, path.parent.name):
        for record in records:
            left, right = number(record, small), number(record, large)
            if left is None or right is None:
                continue
            if left > right or (relation == "<" and left == right):
                message = f'must be {relation} {large}, which is "{record[large].text}"'
                report.at(path, small, record[small], message)


def shape(value: Callable[[str], float | None], folder: str, unit: str) -> Iterator[Bound]:
    """What a part can look like at all: (column, lowest, highest), so that a slipped digit shows.

    The cone of a tapered bearing is at most a quarter wider than the assembled bearing, and no
    width exceeds the outside diameter. A seal is between 2 and 40 mm wide, its section at least
    1.5 mm and its bore at most twice the shaft and 40 mm. A repair sleeve's nominal shaft lies in
    its window, and its counterface is no wider than the sleeve.
    """
    mm = 1.0 if unit == "mm" else 1.0 / 25.4
    shaft, outside, assembled = value("shaft"), value("od"), value("width")
    if folder == "tapered":
        yield "width", 0.0, outside
        yield "cone_width", 0.0, assembled * 1.25 if assembled else outside
    if folder == "seals" and shaft is not None:
        yield "width", 2.0 * mm, 40.0 * mm
        yield "bore", shaft + 3.0 * mm, 2.0 * shaft + 40.0 * mm
    if folder == "sleeves":
        yield "shaft", value("window_min"), value("window_max")
        yield "width", 0.0, value("overall")


def check_shape(report: Report, path: Path, records: list[Record]) -> None:
    """Every part has a shape that is possible."""
    for record in records:
        for unit in ("mm", "in"):

            def value(name: str, record: Record = record, unit: str = unit) -> float | None:
                return number(record, f"{name}_{unit}")

            for name, low, high in shape(value, path.parent.name, unit):
                found = value(name)
                if found is None or low is None or high is None or low <= found <= high:
                    continue
                column = f"{name}_{unit}"
                message = f"is outside {low:g} to {high:g}, the shape that is possible"
                report.at(path, column, record[column], message)


# --- second opinions: what a designation says of its dimensions -----------------------------------

# Folders whose designations give the bore that way, and the columns that grow with it.
GROWING = {
    "tapered": ("od_mm", "width_mm", "cone_width_mm"),
    "ball": ("od_mm", "width_mm"),
    "roller": ("od_mm", "width_mm"),
}


def check_series(report: Report, path: Path, records: list[Record]) -> None:
    """Bearings: the bore is that of the designation, and each series grows with it."""
    columns = GROWING.get(path.parent.name, ())
    series: dict[str, list[Record]] = {}
    for record in records:
        if not {"designation", "series", "bore_mm"} <= set(record) or not record["bore_mm"].text:
            continue
        told, bore = bore_told(record["designation"].text), number(record, "bore_mm")
        if columns and told is not None and told != bore:
            message = f"is not the bore of {record['designation'].text}, which is {told:g}"
            report.at(path, "bore_mm", record["bore_mm"], message)
        series.setdefault(record["series"].text, []).append(record)
    for group in series.values() if columns else ():
        group.sort(key=lambda record: number(record, "bore_mm") or 0.0)
        for column in columns:
            for before, after in pairwise(r for r in group if number(r, column) is not None):
                if (number(after, column) or 0.0) < (number(before, column) or 0.0):
                    other = (
                        f"{before['designation'].text} of the same series, {before[column].text}"
                    )
                    report.at(path, column, after[column], f"is less than that of {other}")


def check_codes(report: Report, path: Path, records: list[Record]) -> None:
    """Tapered bearings: the dimensions lie where the ISO 355 series code puts them."""
    if (
        not records
        or "iso355_series" not in records[0]
        or not (path.parent / "codes.csv").is_file()
    ):
        return
    with (path.parent / "codes.csv").open(encoding="utf-8", newline="") as handle:
        steps = {
            (row["of"], row["sign"]): (float(row["over"]), float(row["incl"]))
            for row in csv.DictReader(handle)
        }
    for record in records:
        code = record["iso355_series"].text
        bore, od, width = (number(record, c) for c in ("bore_mm", "od_mm", "width_mm"))
        if not code or bore is None or od is None or width is None or not od > bore > 0.0:
            continue
        wrong = shape_against_series(
            code=code,
            bore_mm=bore,
            od_mm=od,
            width_mm=width,
            e_factor=number(record, "e_factor"),
            steps=steps,
        )
        for dimension, words in wrong.items():
            column = "e_factor" if dimension == "e_factor" else f"{dimension}_mm"
            report.at(path, column, record[column], words)
