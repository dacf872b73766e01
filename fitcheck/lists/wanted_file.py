"""Wanted lines out of a file: pasted text, a sheet of wanted lines, or a supplier's list.

The file may have any encoding and delimiter that lists have, or be a workbook. Every line that
holds anything gives one wanted line; what can't be read gives a refused one.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice

from fitcheck.errors import InputError
from fitcheck.lists.files import look_at, read_chunks
from fitcheck.lists.layout import Chunk, Layout
from fitcheck.lists.lines import Block, Remark
from fitcheck.lists.meaning import Describe, Once, Refusal, Want, describe_text, refused_want
from fitcheck.lists.numbers import DATE_MARK, MARKS, NO_VALUE_MARK
from fitcheck.lists.sheet import Column, Sheet, heading_of, known_columns
from fitcheck.lists.sizes import REPAIRED
from fitcheck.lists.understand import read_list
from fitcheck.lists.wanted import text_lines, wants_of_blocks
from fitcheck.lists.words import header_words, words_of

REFUSED = "refused"

# Columns of a supplier's list whose repairs bear on what is wanted.
_ASKED_ROLES = ("part_number", "description", "designation", "size", "shaft", "bore", "width")
# Headings of what is wanted; those of a stock stand for what a supplier has.
_QUANTITY_HEADS = frozenset(
    (
        *("QTY", "QUANTITY", "MENGE", "ANZAHL", "STÜCK", "STK", "CANTIDAD", "CANT", "QUANTITÉ"),
        *("QTÉ", "QTE", "QUANTITÀ", "QUANTIDADE", "AANTAL", "ANTAL", "ILOŚĆ"),
    )
)
# A heading stands within the first lines, below what titles a page has.
_HEADING_WITHIN = 10
_WORKBOOK = "workbook"
_LOST = {
    DATE_MARK: "the workbook holds it as a date. Write it as text",
    NO_VALUE_MARK: "the workbook holds no value for it. Write it as text",
}


def wanted_of_file(
    path: str, *, unit: str = "mm", describe: Describe = describe_text
) -> Iterator[Want]:
    """The wanted lines of a file, in its order.

    Parameters
    ----------
    path : str
        The file: text, CSV or a workbook.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    describe : callable
        What understands free text.

    Raises
    ------
    InputError
        The file can't be read, or holds nothing.
    """
    if not os.path.exists(path):
        raise InputError(
            value=path, rule="there is no such file", todo="Check the name, or use - for stdin"
        )
    layout = look_at(path)
    once = Once(describe)
    if layout.kind == _WORKBOOK:
        yield from _of_workbook(path, layout, unit, once)
        return
    with open(path, encoding=layout.encoding, errors="replace") as handle:
        begin = list(islice((line for line in handle if line.strip()), _HEADING_WITHIN)) or [""]
    first = begin[0]
    headings = (
        (above, found)
        for above, line in enumerate(begin)
        if (found := heading_of(line)) is not None and (above == 0 or len(found[1]) > 1)
    )
    above, heading = next(headings, (0, None))
    if heading is not None:
        layout = look_at(path, delimiter=heading[0])
        yield from _of_sheet(read_chunks(path, layout), heading[1], unit, once, above=above)
    elif _is_list(first):
        yield from _of_list(path, unit)
    else:
        with open(path, encoding=layout.encoding, errors="replace") as handle:
            yield from text_lines(enumerate(handle, start=1), unit, once)


def _is_list(first_line: str) -> bool:
    """Whether a first line that names no columns of ours is of a table all the same."""
    if any(delimiter in first_line for delimiter in "\t;|"):
        return True
    exact, plain = header_words()
    cells = next(csv.reader([first_line]), [])
    return sum(cell.strip() in exact or words_of(cell) in plain for cell in cells) > 1


def _of_workbook(path: str, layout: Layout, unit: str, once: Once) -> Iterator[Want]:
    rows = (row for chunk in read_chunks(path, layout) for row in chunk.rows if any(row))
    for above, row in enumerate(islice(rows, _HEADING_WITHIN)):
        names = known_columns(row)
        if names is not None and (above == 0 or len(names) > 1):
            yield from _of_sheet(read_chunks(path, layout), names, unit, once, above=above)
            return
    chunks = read_chunks(path, layout)
    if any(sum(map(bool, row)) > 1 for chunk in chunks for row in chunk.rows):
        yield from _of_list(path, unit)
        return
    for chunk in read_chunks(path, layout):
        cells = zip(chunk.lines, (_bare("".join(row)) for row in chunk.rows), strict=True)
        yield from text_lines(cells, unit, once)


def _bare(cell: str) -> str:
    """A cell without the sign that tells how a workbook holds it."""
    return cell[1:] if cell[:1] in MARKS else cell


def _of_sheet(
    chunks: Iterable[Chunk], columns: list[Column], unit: str, once: Once, *, above: int = 0
) -> Iterator[Want]:
    sheet = Sheet(columns, unit, once)
    started = False
    for chunk in chunks:
        for at, (line, row) in enumerate(zip(chunk.lines, chunk.rows, strict=True)):
            whole = "".join(row)
            if not whole.strip():
                continue
            if not started and above:
                above -= 1
                text = " ".join(_bare(cell).strip() for cell in row if cell.strip())
                yield refused_want(line, text, Refusal("row", text[:40], "above the heading"))
            elif not started:
                started = True
            elif at in chunk.faults or any(mark in whole for mark in MARKS):
                yield _checked(sheet, columns, line, row, chunk.faults.get(at, ""))
            else:
                yield sheet.want(line, row)


def _checked(sheet: Sheet, columns: list[Column], line: int, row: list[str], fault: str) -> Want:
    """The wanted line of a row that is not plain text: a workbook's, or a damaged one."""
    bare = [_bare(cell) for cell in row]
    text = " ".join(cell.strip() for cell in bare if cell.strip())
    if fault:
        return refused_want(line, text, Refusal("row", text[:40], fault))
    lost = next((place for place, cell in enumerate(row) if cell[:1] in _LOST), None)
    if lost is None:
        return sheet.want(line, bare)
    name = columns[lost].name if lost < len(columns) else ""
    return refused_want(
        line, text, Refusal(name or f"cell {lost + 1}", bare[lost], _LOST[row[lost][0]])
    )


def _of_list(path: str, unit: str) -> Iterator[Want]:
    # A list tells its own unit where it can; mm is what is left then.
    reading = read_list(path, unit=unit if unit == "in" else "")
    columns = reading.plan.columns
    asked = {ref for role in _ASKED_ROLES for ref in columns.get(role, ())}
    counts = {ref for ref in columns.get("on_hand", ()) if words_of(ref) in _QUANTITY_HEADS}
    for block, remarks in reading.blocks():
        yield from _of_block(block, remarks, asked | counts, counted=bool(counts))


def _of_block(
    block: Block, remarks: list[Remark], asked: set[str], *, counted: bool
) -> Iterator[Want]:
    """The lines of a block and those refused among them, in the order of the file."""
    refused: dict[int, Remark] = {}
    repaired: dict[int, tuple[str, ...]] = {}
    for remark in remarks:
        if remark.outcome == REFUSED:
            refused.setdefault(remark.line, remark)
        elif remark.outcome == REPAIRED and remark.column in asked:
            said = f"{remark.value}: {remark.reason}"
            repaired[remark.line] = (*repaired.get(remark.line, ()), said)
    found = [
        replace(want, questions=repaired[want.line]) if want.line in repaired else want
        for want in wants_of_blocks([block], counted=counted)
    ]
    found += [
        refused_want(line, one.value, Refusal(one.column, one.value, one.reason))
        for line, one in refused.items()
    ]
    yield from sorted(found, key=lambda want: want.line)
