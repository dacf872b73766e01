"""Reading a list: a file in, its lines as blocks of columns out, and every line accounted for.

Lines are all rows below the header that hold anything and do not repeat the header. Each is
accepted, repaired (kept, with something changed or left out) or refused, and the three add up.
Rows above the header, blank rows and repeated headers are counted as skipped and reported too.
"""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck.errors import InputError
from fitcheck.lists.columns import ColumnPlan, changed_columns
from fitcheck.lists.files import delimiter_given, look_at, read_chunks
from fitcheck.lists.find_columns import Shape, find_shape, refs_of
from fitcheck.lists.headers import Header, read_header
from fitcheck.lists.layout import Chunk, Layout
from fitcheck.lists.line_reader import LineReader
from fitcheck.lists.lines import Block, Remark
from fitcheck.lists.numbers import STYLES
from fitcheck.lists.own import is_own_header, own_blocks
from fitcheck.lists.sort_rows import Tally
from fitcheck.lists.styles import Evidence, numeric_columns, unit_shown
from fitcheck.records import dataclass

# Columns, units and signs are found in so many first rows; signs that are not decided there are
# looked for in the whole file.
_SAMPLE_ROWS = 2000
_ONE_COLUMN = (
    "read as a file of one column: where a character parts its cells, name it with --delimiter"
)
_SIZE_ROLES = ("size", "shaft", "bore", "width")


@dataclass(slots=True)
class ListReading:
    """A list that is being read: its plan, its blocks, and the tally, complete after the last.

    ``skipped`` of the tally are rows that are no lines: blank, above the header, the header again.
    ``remember`` is what the user gave, for the next list of the supplier.
    """

    path: str
    plan: ColumnPlan
    tally: Tally
    own_export: bool
    remember: ColumnPlan
    _layout: Layout
    _shape: Shape

    def blocks(self) -> Iterator[tuple[Block, list[Remark]]]:
        """The lines that are kept, some thousands at a time, with the remarks on these and others.

        Raises
        ------
        InputError
            The file turns out to be damaged on the way.
        """
        self.tally.clear()
        chunks = read_chunks(self.path, self._layout)
        if self.own_export:
            yield from own_blocks(chunks, self.tally)
            return
        yield from LineReader(self.plan, self._shape, self.tally).blocks(chunks)


def read_list(
    path: str,
    *,
    plan: ColumnPlan | None = None,
    unit: str = "",
    decimal: str = "",
    sheet: str | None = None,
    delimiter: str = "",
) -> ListReading:
    """Find out how a list is written, and get ready to read it.

    Parameters
    ----------
    path : str
        A CSV or .xlsx file.
    plan : ColumnPlan, optional
        What is given, now or for a list before.
    unit : str
        ``mm`` or ``in`` of sizes that name none; found when empty.
    decimal : str
        ``point`` or ``comma``; found when empty.
    sheet : str, optional
        The sheet of a workbook.
    delimiter : str
        What parts the cells of a text file, a character or ``tab`` or ``space``; found when empty.

    Raises
    ------
    AmbiguousError
        Numbers can be read two ways and nothing in the file tells which.
    InputError
        The file can't be read, or no column tells what its lines are.
    """
    if unit not in ("", "mm", "in") or decimal not in ("", *STYLES):
        raise InputError(
            value=unit if unit not in ("", "mm", "in") else decimal,
            rule="a unit is mm or in, and a decimal sign is point or comma",
            todo="Write one of these",
        )
    plan = plan or ColumnPlan()
    delimiter = delimiter_given(delimiter)
    layout = look_at(path, sheet=sheet or plan.sheet or None, delimiter=delimiter)
    if delimiter and layout.kind == "workbook":
        raise InputError(
            value=f"--delimiter {delimiter}",
            rule=f"{path} is a workbook, whose cells are apart by themselves",
            todo="Leave the delimiter out",
        )
    first = next(read_chunks(path, layout, rows=_SAMPLE_ROWS), Chunk())
    rows = first.rows
    own = _own_header(rows)
    if plan.delimiter and not delimiter and own < 0 and layout.kind != "workbook":
        # What was given for the list before counts, but an export of our own is known by itself.
        layout = look_at(path, delimiter=plan.delimiter)
        first = next(read_chunks(path, layout, rows=_SAMPLE_ROWS), Chunk())
        rows = first.rows
    if own >= 0:
        headers = [cell.strip() for cell in rows[own]]
        shape = Shape(len(headers), headers, own)
        found = ColumnPlan(
            {name: (name,) for name in headers},
            header_line=own + 1,
            encoding=layout.encoding,
            delimiter=layout.delimiter,
            sheet=layout.sheet,
        )
        return ListReading(path, found, Tally(), True, plan, layout, shape)
    shape = find_shape(rows, plan)
    body = rows[max(shape.header_row, shape.units_row) + 1 :]
    evidence = _evidence(path, layout, shape, body, forced=decimal)
    decimals, guessed = evidence.decide(
        remembered=plan.decimals, forced=decimal, given=plan.decimal
    )
    heads = _heads(shape, rows)
    shown = unit_shown(shape, body[:_SAMPLE_ROWS], decimals)
    price, lead = heads.get("price", Header()), heads.get("lead_days", Header())
    refs = refs_of(shape)
    changed = changed_columns(plan.last, refs) if plan.last else ""
    remember = ColumnPlan(
        columns=plan.columns,
        unit=unit or plan.unit,
        decimals={**plan.decimals, **{r: s for r, s in decimals.items() if r not in guessed}},
        decimal=decimal or plan.decimal,
        delimiter=delimiter or plan.delimiter,
        sheet=sheet or plan.sheet,
        last=refs,
    )
    found = ColumnPlan(
        columns={**{r: ("-",) for r, c in plan.columns.items() if c == ("-",)}, **refs},
        header_line=first.lines[shape.header_row] if shape.header_row >= 0 else 0,
        unit=unit or shown or plan.unit,
        # A unit that the user gives goes before what a header says.
        units={} if unit else _units(heads),
        decimals=decimals,
        guessed=guessed,
        currency=price.currency,
        price_per=price.per,
        lead_unit_days=lead.days,
        encoding=layout.encoding,
        delimiter=layout.delimiter,
        sheet=layout.sheet,
        notes=(
            *layout.notes,
            *shape.notes,
            *((_ONE_COLUMN,) if layout.kind == "text" and shape.width == 1 else ()),
            *((f"other columns than in the list before: {changed}",) if changed else ()),
        ),
    )
    return ListReading(path, found, Tally(), False, remember, layout, shape)


def _own_header(rows: list[list[str]]) -> int:
    return 0 if rows and is_own_header(rows[0]) else -1


def _heads(shape: Shape, rows: list[list[str]]) -> dict[str, Header]:
    """What the headers of the columns say, by role, and the row of units below them."""
    found: dict[str, Header] = {}
    below = rows[shape.units_row] if shape.units_row >= 0 else []
    for role, numbers in shape.roles.items():
        number = numbers[0]
        text = shape.headers[number] if number < len(shape.headers) else ""
        under = below[number].strip() if number < len(below) else ""
        found[role] = read_header(f"{text} ({under.strip(' ()[]')})" if under else text)
    return found


def _units(heads: dict[str, Header]) -> dict[str, str]:
    return {role: heads[role].unit for role in _SIZE_ROLES if role in heads and heads[role].unit}


def _evidence(
    path: str, layout: Layout, shape: Shape, body: list[list[str]], *, forced: str
) -> Evidence:
    """What the number columns show, from the whole file where its start shows nothing."""
    columns = numeric_columns(shape)
    evidence = Evidence(list(columns))
    for role, number in columns.items():
        evidence.add(role, (row[number] for row in body if number < len(row)))
    undecided = evidence.undecided()
    # A workbook's numbers are typed, and its texts among them show their own signs.
    if undecided and not forced and layout.kind != "workbook" and len(body) >= _SAMPLE_ROWS // 2:
        evidence = _whole_file(path, layout, shape, columns)
    return evidence


def _whole_file(path: str, layout: Layout, shape: Shape, columns: dict[str, int]) -> Evidence:
    evidence = Evidence(list(columns))
    first = max(shape.header_row, shape.units_row) + 1
    for chunk in read_chunks(path, layout):
        for role, number in columns.items():
            evidence.add(role, (row[number] for row in chunk.rows[first:] if number < len(row)))
        first = 0
    return evidence
