"""A sheet of wanted lines: a heading that names its columns, and a row a line."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from fitcheck.errors import FitcheckError
from fitcheck.lists.describe import WITHOUT_SIZE, against_table
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
    size_text,
)
from fitcheck.lists.lines import FIELD_NAMES, UM_PER_MM
from fitcheck.lists.meaning import (
    BETWEEN,
    MOST_QUANTITY,
    QUANTITY_RULE,
    Meaning,
    Once,
    Refusal,
    Want,
    refusal,
    refused_want,
)
from fitcheck.lists.sizes import SizeReading
from fitcheck.quantities import Quantity, length

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
# So many rows are kept for others that are the same in every cell.
_KEPT_ROWS = 50_000
_FLOAT_ERROR_UM = 1e-6
_DELIMITERS = "\t;,|"
Readings = tuple[tuple[SizeKey, Execution], ...]
_UNIT = re.compile(r"[ (\[]+(mm|in|inch|inches|\")[)\]]*$")


class Column(NamedTuple):
    """A column of a wanted sheet: what it holds, empty where it is passed over, and its unit."""

    name: str
    unit: str = ""


def heading_of(line: str) -> tuple[str, list[Column]] | None:
    """The delimiter and the columns that a first line names; None where it names none."""
    for delimiter in _DELIMITERS:
        cells = next(csv.reader([line.lstrip("\ufeff")], delimiter=delimiter), [])
        known = known_columns(cells)
        if known is not None:
            return delimiter, known
    return None


def known_columns(cells: Sequence[str]) -> list[Column] | None:
    """The columns of a wanted sheet that a heading's cells name; None where most name none.

    >>> known_columns(["bore_in", "Qty."])
    [Column(name='bore', unit='in'), Column(name='quantity', unit='')]
    """
    known = [_column(cell) for cell in cells]
    return known if known and sum(bool(one.name) for one in known) * 2 >= len(known) else None


def _column(cell: str) -> Column:
    word = " ".join(cell.lower().replace("_", " ").split())
    unit = _UNIT.search(word)
    if unit:
        word = word[: unit.start()]
    name = _NAMES.get(re.sub(r"[\s.]+", "_", word).strip("_"), "")
    return Column(name, "" if unit is None else "mm" if unit[1] == "mm" else "in")


class Sheet:
    """The rows of a sheet; rows that differ in nothing but the quantity are understood once."""

    def __init__(self, columns: list[Column], unit: str, describe: Once) -> None:
        self._names = names = [column.name for column in columns]
        self._units = {column.name: column.unit for column in columns if column.unit}
        self._unit = unit
        self._describe = describe
        self._quantity = names.index("quantity") if "quantity" in names else -1
        self._known: dict[tuple[str, ...], Want] = {}
        self._rows: dict[tuple[str, ...], tuple[Any, ...]] = {}

    def want(self, line: int, row: list[str]) -> Want:
        """The wanted line of a row."""
        found = self._rows.get(key := tuple(row))
        if found is None:
            if len(self._rows) >= _KEPT_ROWS:
                self._rows.clear()
            found = self._rows[key] = self._want(row)
        return Want(line, *found)

    def _want(self, row: list[str]) -> tuple[Any, ...]:
        """All of a row's wanted line but the line's number."""
        at = self._quantity
        quantity = row[at].strip() if 0 <= at < len(row) else ""
        key = (*row[:at], *row[at + 1 :]) if at >= 0 else tuple(row)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._understood(row)
        text = " ".join(cell.strip() for cell in row if cell.strip())
        refused = known.refused
        if not refused and quantity and not _is_quantity(quantity):
            refused = Refusal("quantity", quantity[:40], QUANTITY_RULE)
        if refused:
            return (text, (), None, None, "", "", (), refused)
        return (
            text,
            known.readings,
            int(quantity) if quantity else None,
            known.pocket_um,
            known.part_number,
            known.mark,
            known.questions,
            None,
            known.made,
        )

    def _understood(self, row: list[str]) -> Want:
        beyond = " ".join(cell.strip() for cell in row[len(self._names) :] if cell.strip())
        if beyond:
            reason = (
                f"the row has more cells than the heading's {len(self._names)}. Put a text that "
                "holds the separator between quotes"
            )
            return refused_want(0, "", Refusal("beyond the last", beyond[:40], reason))
        cells: dict[str, str] = {}
        for name, raw in zip(self._names, row, strict=False):
            if name and (cell := raw.strip()):
                cells[name] = f"{cells[name]} {cell}" if name in cells else cell
        try:
            return self._meant(cells)
        except _CellError as error:
            return refused_want(0, "", error.refused)

    def _meant(self, cells: Mapping[str, str]) -> Want:
        checked = _checked(cells)
        unit = checked.get("unit", self._unit)
        for name, said in self._units.items():
            if name in cells and checked.get("unit", said) != said:
                reason = f"the heading of {name} says {said}. Leave one of them out"
                raise _CellError(Refusal("unit", cells["unit"], reason))
        pocket = None
        if "pocket" in cells:
            pocket = _um(_dimension("pocket", cells["pocket"], self._units.get("pocket", unit)))
        base = (
            self._describe(cells["text"], self._units.get("text", unit))
            if "text" in cells
            else Meaning()
        )
        own = _own_fields(cells, checked, unit, self._units, told=_told(base))
        readings, questions = base.readings, base.questions
        if "shaft_um" in own:
            questions = tuple(one for one in questions if not one.endswith(WITHOUT_SIZE))
        if own and (asks := _contradicts(own, readings)):
            # Which of the two is meant, the bearing or the size, only the customer knows.
            questions += asks
            readings = (*readings, (size_key(own), execution(own)))
        elif any(name in own for name in ("shaft_um", "designation")):
            named = {"designation": _designation(own, readings)}
            fields = {**_first_execution(readings), **named, **own}
            readings = ((size_key(fields), execution(fields)),)
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
            mark=BETWEEN.sub(" ", cells.get("mark", base.mark)),
            questions=questions,
            made=PLAIN_EXECUTION if readings else execution({**base.made._asdict(), **own}),
        )


class _CellError(Exception):
    """A cell that can't be read, on its way up to the row."""

    def __init__(self, refused: Refusal) -> None:
        self.refused = refused
        super().__init__(refused)


def _is_quantity(text: str) -> bool:
    return text.isascii() and text.isdecimal() and 0 < int(text[:9]) <= MOST_QUANTITY


def _dimension(name: str, cell: str, unit: str) -> Quantity:
    try:
        found = length(cell, unit=unit)
    except FitcheckError as error:
        raise _CellError(refusal(name, cell, error)) from error
    if found.value <= 0:
        raise _CellError(Refusal(name, cell, "a dimension is larger than zero. Check the line"))
    return found


def _um(found: Quantity) -> int:
    # Halves up, as in lists: 9/16 in is 14288 um, however the float of 14.2875 falls.
    return math.floor(found.value * UM_PER_MM + 0.5 + _FLOAT_ERROR_UM)


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
            rule = f"this column holds {', '.join(allowed)}, or nothing"
            todo = "Write one of them, or leave the cell blank"
            raise _CellError(Refusal(name, cells[name], f"{rule}. {todo}"))
        found[name] = word
    return found


def _designation(own: Mapping[str, Any], readings: Readings) -> str | None:
    """The designation in the text of a bearing whose size stands in columns of its own."""
    named = {size.designation for size, _ in readings}
    return named.pop() if own.get("kind") == BEARING and len(named) == 1 else None


def _contradicts(own: Mapping[str, Any], readings: Readings) -> tuple[str, ...]:
    """What to ask where the columns' size is not that of the bearing in the text."""
    if "shaft_um" not in own or "designation" in own:
        return ()
    shaft, bore, width = (own.get(name) for name in ("shaft_um", "bore_um", "width_um"))
    size = SizeReading(shaft, bore, width, own["system"])
    shown = size_text(size_key(own))
    notes = against_table(_designation(own, readings), size, shown)
    return tuple(f"{note.value}: {note.reason}; ask which is meant" for note in notes)


def _told(base: Meaning) -> str:
    """The kind of part that a text without a size of its own names."""
    named = any(size.designation for size, _ in base.readings)
    return base.kind if named or not base.readings else ""


def _own_fields(
    cells: Mapping[str, str],
    checked: Mapping[str, str],
    unit: str,
    units: Mapping[str, str],
    *,
    told: str,
) -> dict[str, Any]:
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
            found = _dimension(name, cells[name], units.get(name, unit))
            own[f"{place}_um"] = _um(found)
            systems.add(INCH if found.unit != "mm" else METRIC)
    if systems:
        # Who writes of a shaft means a seal, who writes of an outside diameter a bearing.
        if ringed or "shaft" in cells:
            said = told if told in (BEARING, SLEEVE, SEAL) else ""
            own.setdefault("kind", said or (BEARING if ringed else SEAL))
        own["system"] = systems.pop() if len(systems) == 1 else MIXED
    return own
