"""Lists that the program has written: every field as it is, so that a round trip is exact."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, TextIO

from fitcheck.lists.export import safe_cell, unsafe_cell
from fitcheck.lists.layout import Chunk
from fitcheck.lists.lines import DECIMAL, FIELD_NAMES, FIELDS, INTEGER, Block, Remark
from fitcheck.lists.numbers import MARKS
from fitcheck.lists.sort_rows import REFUSED, SKIPPED, Tally

_WHOLE = re.compile(r"-?[0-9]{1,15}")
_DECIMAL = re.compile(r"[0-9]{1,20}(?:\.[0-9]{1,20})?")
_HOLDS = {field.name: field.holds for field in FIELDS}
# A line with none of these tells no part.
_TELLING = ("part_number", "shaft_um", "designation")


def write_list(handle: TextIO, blocks: Iterable[Block]) -> int:
    """Write blocks as CSV with the field names as its header; the number of lines written.

    Parameters
    ----------
    handle : text file
        Opened with ``newline=""``.
    blocks : iterable of Block
        The lines.
    """
    # Only with both characters in the line end does the writer quote a text that holds either.
    writer = csv.writer(handle, lineterminator="\r\n")
    writer.writerow(FIELD_NAMES)
    count = 0
    for block in blocks:
        columns = [_cells(block.columns[name], _HOLDS[name]) for name in FIELD_NAMES]
        writer.writerows(zip(*columns, strict=True))
        count += len(block)
    return count


def _cells(values: Sequence[Any], holds: str) -> list[str]:
    if holds in (INTEGER, DECIMAL):
        return ["" if value is None else str(value) for value in values]
    return ["" if value is None else safe_cell(value) for value in values]


def is_own_header(cells: Sequence[str]) -> bool:
    """Whether a header is the one that :func:`write_list` writes."""
    return tuple(cell.strip() for cell in cells) == FIELD_NAMES


def own_blocks(chunks: Iterable[Chunk], tally: Tally) -> Iterator[tuple[Block, list[Remark]]]:
    """The lines of such a list; each cell is what its field holds, or the line is refused."""
    first = True
    for chunk in chunks:
        block, remarks = Block.empty(), []
        for index, row in enumerate(chunk.rows):
            line = chunk.lines[index]
            if first:
                first = False
                continue
            if not any(cell.strip() for cell in row):
                tally.skipped += 1
                remarks.append(Remark(SKIPPED, line, "", "", "a blank row"))
                continue
            tally.lines += 1
            cause = chunk.faults.get(index) or _cause(row)
            if cause:
                tally.refused += 1
                remarks.append(Remark(REFUSED, line, "", _shown(row), cause))
                continue
            tally.accepted += 1
            for name, cell in zip(FIELD_NAMES, row, strict=True):
                block.columns[name].append(_value(cell, _HOLDS[name]))
        yield block, remarks


def _shown(row: list[str]) -> str:
    return ",".join(row)[:200]


def _plain(cell: str) -> str:
    return cell[1:] if cell and cell[0] in MARKS else cell


def _value(cell: str, holds: str) -> str | int | None:
    cell = _plain(cell)
    if not cell:
        return None
    if holds == INTEGER:
        return int(cell)
    return cell if holds == DECIMAL else unsafe_cell(cell)


def _cause(row: list[str]) -> str:
    """Why a row is no line of our own making; empty where it is one."""
    if len(row) != len(FIELD_NAMES):
        return f"{len(row)} cells where the header has {len(FIELD_NAMES)}"
    cells = dict(zip(FIELD_NAMES, map(_plain, row), strict=True))
    for name, cell in cells.items():
        pattern = {INTEGER: _WHOLE, DECIMAL: _DECIMAL}.get(_HOLDS[name])
        if cell and pattern and not pattern.fullmatch(cell):
            return f"{name} holds {_HOLDS[name]}s, and {cell[:40]} is none"
    if not cells["line"]:
        return "the number of its line is missing"
    for name, allowed in _ALLOWED.items():
        if cells[name] and cells[name] not in allowed:
            return f"{name} is one of {', '.join(allowed)}, not {cells[name][:40]}"
    if not any(cells[name] for name in _TELLING):
        return "neither part number, size nor designation"
    return ""


_ALLOWED = {
    "kind": ("seal", "bearing", "sleeve", "other"),
    "system": ("metric", "inch", "mixed"),
    "lip": ("single", "double", "axial"),
    "case": ("metal", "rubber"),
    "spring": ("yes", "no"),
    "lubricant": ("oil", "grease"),
    "direction": ("left", "right", "both"),
}
