"""A sheet of wanted lines: a heading that names its columns, and a row a line."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from typing import Any

from fitcheck.errors import FitcheckError, InputError
from fitcheck.lists.items import (
    BEARING,
    INCH,
    METRIC,
    MIXED,
    OTHER,
    PLAIN_EXECUTION,
    SEAL,
    SLEEVE,
    Execution,
    SizeKey,
    execution,
    size_key,
)
from fitcheck.lists.lines import FIELD_NAMES, UM_PER_MM
from fitcheck.lists.meaning import MOST_QUANTITY, Meaning, Once, Want, refused_want
from fitcheck.quantities import length, length_mm

_NAMES = {
    "text": "text",
    "wanted": "text",
    "item": "text",
    "description": "text",
    "size": "text",
    "what": "text",
    "part_number": "part_number",
    "part_no": "part_number",
    "number": "part_number",
    "mark": "mark",
    "marking": "mark",
    "designation": "designation",
    "kind": "kind",
    "part": "kind",
    "shaft": "shaft",
    "bore": "bore",
    "od": "od",
    "width": "width",
    "pocket": "pocket",
    "unit": "unit",
    "quantity": "quantity",
    "qty": "quantity",
    **{name: name for name in Execution._fields},
}
# The columns of a wanted sheet, as the help names them.
WANTED_COLUMNS = (
    "text",
    "part_number",
    "mark",
    "designation",
    "kind",
    "shaft",
    "bore",
    "od",
    "width",
    "pocket",
    *Execution._fields,
    "quantity",
    "unit",
)
_ALLOWED = {
    "kind": (SEAL, BEARING, SLEEVE, OTHER),
    "lip": ("single", "double", "axial"),
    "case": ("metal", "rubber"),
    "spring": ("yes", "no"),
    "lubricant": ("oil", "grease"),
    "direction": ("left", "right", "both"),
    "unit": ("mm", "in"),
}
_DIMENSIONS = ("shaft", "bore", "width")
# A bearing is given by its bore and outside diameter, which are its shaft and bore here.
_BEARING_DIMENSIONS = {"bore": "shaft", "od": "bore", "width": "width"}
_DELIMITERS = "\t;,|"


def is_wanted_sheet(first_line: str) -> bool:
    """Whether a file's first line names columns of a wanted sheet, or is text of one column.

    What is neither is a table of somebody else's making and is read as a supplier list.
    """
    return heading_of(first_line) is not None or not any(d in first_line for d in "\t;|")


def heading_of(line: str) -> tuple[str, list[str]] | None:
    """The delimiter and the columns that a first line names; None where it names none."""
    for delimiter in _DELIMITERS:
        cells = next(csv.reader([line.lstrip("\ufeff")], delimiter=delimiter), [])
        words = [re.sub(r"[\s.]+", "_", cell.strip().lower()).strip("_") for cell in cells]
        words = [re.sub(r"_(mm|in)$", "", word) for word in words]
        known = [_NAMES.get(word, "") for word in words]
        if known and sum(1 for name in known if name) * 2 >= len(known):
            return delimiter, known
    return None


class Sheet:
    """The rows of a sheet; rows that differ in nothing but the quantity are understood once."""

    def __init__(self, names: list[str], unit: str, describe: Once) -> None:
        self._names = names
        self._unit = unit
        self._describe = describe
        self._quantity = names.index("quantity") if "quantity" in names else len(names)
        self._known: dict[tuple[str, ...], Want] = {}

    def want(self, line: int, row: list[str]) -> Want:
        """The wanted line of a row."""
        at = self._quantity
        quantity = row[at].strip() if at < len(row) else ""
        key = (*row[:at], *row[at + 1 :])
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._understood(row)
        text = " ".join(cell.strip() for cell in row if cell.strip())
        refused = known.refused
        if not refused and quantity and not _is_quantity(quantity):
            refused = (
                f"quantity {quantity[:20]}: a quantity is a whole number from 1 to "
                f"{MOST_QUANTITY}. Write how many are wanted, or leave the cell blank"
            )
        if refused:
            return refused_want(line, text, refused)
        return Want(
            line,
            text,
            known.readings,
            int(quantity) if quantity else None,
            known.pocket_um,
            known.part_number,
            known.mark,
            known.questions,
        )

    def _understood(self, row: list[str]) -> Want:
        cells: dict[str, str] = {}
        for name, raw in zip(self._names, row, strict=False):
            if name and (cell := raw.strip()):
                cells[name] = f"{cells[name]} {cell}" if name in cells else cell
        try:
            return self._meant(cells)
        except FitcheckError as error:
            return refused_want(0, "", str(error))

    def _meant(self, cells: Mapping[str, str]) -> Want:
        checked = _checked(cells)
        unit = checked.get("unit", self._unit)
        pocket = None
        if "pocket" in cells:
            pocket = round(length_mm(cells["pocket"], unit=unit) * UM_PER_MM)
        base = self._describe(cells["text"], unit) if "text" in cells else Meaning()
        own = _own_fields(cells, checked, unit)
        readings = base.readings
        if any(name in own for name in ("shaft_um", "designation")):
            readings = ((size_key(own), execution({**_first_execution(readings), **own})),)
        elif own:
            readings = tuple(
                (
                    size._replace(kind=own.get("kind") or size.kind),
                    execution({**made._asdict(), **{k: v for k, v in own.items() if k != "kind"}}),
                )
                for size, made in readings
            )
        # A column of its own says more than the text, and a size more than a number in it.
        number = base.part_number if readings == base.readings else ""
        return Want(
            0,
            "",
            readings=readings,
            pocket_um=pocket,
            part_number=cells.get("part_number", number),
            mark=cells.get("mark", base.mark),
            questions=base.questions,
        )


def _is_quantity(text: str) -> bool:
    return text.isascii() and text.isdecimal() and 0 < int(text[:9]) <= MOST_QUANTITY


def _first_execution(readings: tuple[tuple[SizeKey, Execution], ...]) -> dict[str, Any]:
    return (readings[0][1] if readings else PLAIN_EXECUTION)._asdict()


def _checked(cells: Mapping[str, str]) -> dict[str, str]:
    """The cells that hold one word out of a few."""
    found = {}
    for name, allowed in _ALLOWED.items():
        if name not in cells:
            continue
        word = cells[name].lower()
        if word not in allowed:
            raise InputError(
                value=f"{name} {cells[name]}",
                rule=f"this column holds {', '.join(allowed)}, or nothing",
                todo="Write one of them, or leave the cell blank",
            )
        found[name] = word
    return found


def _own_fields(cells: Mapping[str, str], checked: Mapping[str, str], unit: str) -> dict[str, Any]:
    own: dict[str, Any] = {k: v for k, v in checked.items() if k in FIELD_NAMES}
    if "material" in cells:
        own["material"] = cells["material"].upper()
    if "designation" in cells:
        own["designation"] = cells["designation"]
        own.setdefault("kind", BEARING)
    systems = set()
    ringed = "od" in cells and "shaft" not in cells
    places = _BEARING_DIMENSIONS if ringed else dict(zip(_DIMENSIONS, _DIMENSIONS, strict=True))
    for name, place in places.items():
        if name in cells:
            found = length(cells[name], unit=unit)
            if found.value <= 0:
                raise InputError(
                    value=f"{name} {cells[name]}",
                    rule="a dimension is larger than zero",
                    todo="Check the line",
                )
            own[f"{place}_um"] = round(found.value * UM_PER_MM)
            systems.add(INCH if found.unit != "mm" else METRIC)
    if systems:
        # Who writes of a shaft means a seal, who writes of an outside diameter a bearing.
        if ringed or "shaft" in cells:
            own.setdefault("kind", BEARING if ringed else SEAL)
        own["system"] = systems.pop() if len(systems) == 1 else MIXED
    return own
