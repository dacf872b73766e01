"""Finding the header and the columns of a list from its first lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import field
from shlex import quote

from fitcheck.errors import InputError
from fitcheck.lists import content
from fitcheck.lists.attributes import KIND, read_attribute
from fitcheck.lists.columns import (
    ROLES,
    TELLING,
    ColumnPlan,
    column_number,
    column_ref,
    given_columns,
)
from fitcheck.lists.headers import known_headers, read_header, second_field, suggested_field
from fitcheck.lists.numbers import MARKS, read_currency
from fitcheck.lists.two_rows import joined_header
from fitcheck.lists.words import unit_of
from fitcheck.records import dataclass

# A header stands within the first lines; what looks like one further down is a line of the list.
_HEADER_WITHIN = 60
_MOST_DESCRIPTIONS = 3


@dataclass(slots=True)
class Shape:
    """The header of a list, where it stands, and which column holds what."""

    width: int
    headers: list[str] = field(default_factory=list)
    header_row: int = -1
    # The row or the two rows of the header as the file has them.
    header_rows: list[list[str]] = field(default_factory=list)
    units_row: int = -1
    roles: dict[str, tuple[int, ...]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    # Roles that a header names and few cells bear out.
    doubted: set[str] = field(default_factory=set)
    # Columns that a header names and that are not used: column, and why.
    unread: list[tuple[str, str]] = field(default_factory=list)

    def name(self, number: int) -> str:
        """How a column is called in a remark."""
        return column_ref(number, self.headers)


def find_shape(rows: Sequence[list[str]], plan: ColumnPlan) -> Shape:
    """The header and the columns of a list.

    Parameters
    ----------
    rows : sequence of list of str
        The first rows of the file.
    plan : ColumnPlan
        The columns that are given.

    Raises
    ------
    InputError
        A given column is not there, or nothing tells what the lines are.
    """
    header = _header_row(rows, plan)
    headers: list[str] = []
    above = header
    if header >= 0:
        usual = _usual_width(rows)
        cells = [_plain(cell) for cell in rows[header]]
        if not (names := _names(plan)) or not all(
            column_number(name, cells) is not None for name in names
        ):
            cells, above, header = joined_header(rows, header, lambda row: _is_line(row, usual))
        headers = _trimmed(cells)
    body = rows[header + 1 :] if header >= 0 else rows
    # Columns without a header belong to the list where most rows have them.
    width = max(len(headers), _width_of_most(body)) if header >= 0 else _usual_width(body)
    shape = Shape(width, headers, header, list(rows[above : header + 1]))
    if header >= 0 and body and _is_units_row(body[0]):
        shape.units_row = header + 1
        body = body[1:]
    fixed, left_out = given_columns(plan, headers, width)
    columns = [[row[i] if i < len(row) else "" for row in body] for i in range(width)]
    _assign(shape, [content.filled(column) for column in columns], columns, fixed, left_out)
    if not any(role in shape.roles for role in TELLING) or (
        "shaft" in shape.roles and len(shape.roles) == 1
    ):
        have = ", ".join(h for h in headers if h) or f"{width} without headers"
        raise InputError(
            value=f"columns {have}",
            rule="none was found to hold part numbers, sizes or descriptions",
            todo="Name a column, such as --column size=Dims or --column description=#2"
            + (
                "; where its cells are parted by an uncommon character, name it: --delimiter '^'"
                if width == 1
                else ""
            ),
        )
    return shape


def _plain(cell: str) -> str:
    return cell[1:] if cell[:1] in MARKS and cell else cell


def _trimmed(row: list[str]) -> list[str]:
    end = len(row)
    while end and not row[end - 1].strip():
        end -= 1
    return row[:end]


def _usual_width(rows: Sequence[list[str]]) -> int:
    widths = Counter(len(_trimmed(row)) for row in rows if any(cell.strip() for cell in row))
    if not widths:
        return 1
    # Blank last cells make a row look narrow: the widest that is common counts.
    common = max(widths.values())
    return max(width for width, count in widths.items() if count >= 0.3 * common and width)


def _width_of_most(rows: Sequence[list[str]]) -> int:
    """The width that more than half of the rows have or exceed."""
    widths = sorted(len(_trimmed(row)) for row in rows if any(cell.strip() for cell in row))
    return widths[(len(widths) - 1) // 2] if widths else 0


def _is_units_row(row: list[str]) -> bool:
    cells = [cell for cell in row if cell.strip()]
    return bool(cells) and all(
        unit_of(cell.strip(" ()[]")) or read_header(cell).unit for cell in cells
    )


def _header_row(rows: Sequence[list[str]], plan: ColumnPlan) -> int:
    """The row of the header, or -1 where the list starts with its first line."""
    near = [i for i, row in enumerate(rows[:_HEADER_WITHIN]) if any(cell.strip() for cell in row)]
    if named := _names(plan):
        for i in near:
            if all(
                column_number(ref, [_plain(cell) for cell in rows[i]]) is not None for ref in named
            ):
                return i
    usual = _usual_width(rows)
    best, most = -1, 0
    for i in near:
        cells = [_plain(cell) for cell in rows[i]]
        known = len(set(known_headers(cells).values()))
        count = sum(bool(cell.strip()) for cell in cells)
        # A word of the tables in a wide line is chance; two are a header.
        enough = known >= 2 or (known == 1 and count <= 2 and count >= min(usual, 2))
        if enough and known > most and not _is_line(rows[i], usual):
            best, most = i, known
        if _is_line(rows[i], usual):
            break
    if best >= 0 or not near:
        return best
    return _wordless_header(rows, near, usual)


def _names(plan: ColumnPlan) -> set[str]:
    """The headers that a plan names columns by."""
    return {ref for refs in plan.columns.values() for ref in refs if ref and ref[:1] not in "#-"}


def _is_line(row: list[str], usual: int) -> bool:
    """Whether a row looks like a line of the list: nearly full, and with figures or a size."""
    cells = [cell for cell in row if cell.strip()]
    if len(cells) < max(1, 0.6 * usual):
        return False
    known = known_headers(row)
    if any(content.has_size(cell) for cell in cells):
        return True
    with_digits = sum(any(c.isdigit() for c in cell) for cell in cells)
    return not known and with_digits >= 0.5 * len(cells)


def _wordless_header(rows: Sequence[list[str]], near: list[int], usual: int) -> int:
    """A first full row without any figure above rows with figures: headers of unknown words."""
    for i in near:
        cells = [cell for cell in _trimmed(rows[i]) if cell.strip()]
        if len(cells) < max(2, 0.8 * usual):
            continue
        if any(c.isdigit() for cell in cells for c in cell):
            return -1
        below = [row for row in rows[i + 1 : i + 30] if any(cell.strip() for cell in row)]
        figures = sum(any(c.isdigit() for cell in row for c in cell) for row in below)
        return i if below and figures >= 0.8 * len(below) else -1
    return -1


def _assign(
    shape: Shape,
    columns: list[list[str]],
    whole: list[list[str]],
    fixed: dict[str, tuple[int, ...]],
    left_out: set[str],
) -> None:
    """Give every column its role: as given, by known header, by like header, by content."""
    shape.roles.update(fixed)
    taken = {number for numbers in fixed.values() for number in numbers}
    # A column that is the housing bore of a seal and one that is a bearing's bore are both "bore";
    # beside an outside diameter a bore is the inner one.
    names = [read_header(h).field for h in shape.headers] + [""] * (
        shape.width - len(shape.headers)
    )
    _bore_beside_outside(names, shape.headers)
    doubted: list[tuple[str, int]] = []
    for likely in (False, True):
        for number, texts in enumerate(columns):
            if number in taken:
                continue
            role = names[number]
            if likely and not role and number < len(shape.headers):
                role = suggested_field(shape.headers[number])
            if role and not likely:
                role = _meaning(role, shape, number, texts)
            if not role or role in left_out:
                continue
            if not content.agrees(role, texts):
                if not likely:
                    doubted.append((role, number))
                continue
            if role == "description" and 0 < len(shape.roles.get(role, ())) < _MOST_DESCRIPTIONS:
                if role not in fixed:
                    shape.roles[role] = (*shape.roles[role], number)
                    taken.add(number)
                continue
            if role not in shape.roles:
                shape.roles[role] = (number,)
                taken.add(number)
    numbered = "part_number" in shape.roles or "part_number" in names
    kept = [
        (role, number)
        for role, number in doubted
        if not content.is_another(role, columns[number], numbered=numbered)
    ]
    # Amounts go before what the cells look like: a stock of >10, 5 and 7 is no part number.
    _keep(shape, [one for one in kept if one[0] in content.VALUES], taken)
    _by_content(shape, columns, whole, taken, left_out)
    _keep(shape, [one for one in kept if one[0] != KIND], taken)
    for role, number in doubted:
        name = shape.name(number)
        if number not in taken:
            shape.unread.append((name, f"its header says {role} and its cells do not: not used"))
        if number not in shape.roles.get(role, ()):
            shape.notes.append(f"column {name} does not hold what its header says ({role})")
    _unused(shape, [n for n in range(shape.width) if n not in taken and columns[n]], columns)


def _keep(shape: Shape, doubted: Sequence[tuple[str, int]], taken: set[int]) -> None:
    """Take columns by their headers although few cells bear them out: they are read one by one."""
    for role, number in doubted:
        if role in shape.roles or number in taken:
            continue
        shape.roles[role] = (number,)
        shape.doubted.add(role)
        taken.add(number)
        shape.notes.append(
            f"column {shape.name(number)} is headed as {role}, and most of its cells can't be read "
            "as that: each that can't is remarked"
        )


def _unused(shape: Shape, numbers: Sequence[int], columns: Sequence[Sequence[str]]) -> None:
    """Say which columns are not used, and how one is named."""
    if not numbers:
        return
    told = [
        shape.name(n) + (" (numbers)" if content.are_numbers(columns[n]) else "") for n in numbers
    ]
    amounts = [n for n in numbers if content.are_numbers(columns[n])]
    role = "price" if amounts and "price" not in shape.roles else "ROLE"
    named = quote(f"{role}={shape.name((amounts or list(numbers))[0])}")
    shape.notes.append(
        f"columns that are not used: {', '.join(told)}; name one with --column {named}"
    )


def _meaning(role: str, shape: Shape, number: int, texts: list[str]) -> str:
    """The role of a header that may mean two things: the first one, unless the cells are another.

    Artículo heads numbers or names: names where they are no codes, or where another column has the
    numbers.
    """
    other = second_field(shape.headers[number])
    if not other or not texts or not content.agrees(other, texts):
        return role
    named = other == "description" and not content.are_codes(texts)
    if role in shape.roles or named or not content.agrees(role, texts):
        return other
    return role


def _bore_beside_outside(names: list[str], headers: Sequence[str]) -> None:
    """Headers Bore and OD: the bore is the inner diameter where an outer one has its own."""
    bores = [i for i, name in enumerate(names) if name == "bore"]
    if len(bores) == 2 and "shaft" not in names:
        inner = [
            i for i in bores if "BORE" in headers[i].upper() or "BOHRUNG" in headers[i].upper()
        ]
        if len(inner) == 1:
            names[inner[0]] = "shaft"


def _by_content(
    shape: Shape,
    columns: list[list[str]],
    whole: list[list[str]],
    taken: set[int],
    left_out: set[str],
) -> None:
    """What no header tells and the cells themselves do."""

    def take(role: str, number: int) -> None:
        shape.roles[role] = (number,)
        taken.add(number)

    def free() -> list[int]:
        return [n for n in range(shape.width) if n not in taken and columns[n]]

    def wanted(role: str) -> bool:
        return role not in shape.roles and role not in left_out

    sized = "size" in shape.roles or {"shaft", "bore"} <= shape.roles.keys()
    for number in free():
        if not sized and wanted("size") and content.share(columns[number], content.is_size) >= 0.6:
            take("size", number)
            sized = True
    if not sized and wanted("shaft") and wanted("bore") and wanted("width"):
        for number in free():
            three = [number, number + 1, number + 2]
            if set(three) <= set(free()) and content.are_dimensions([whole[n] for n in three]):
                for role, one in zip(("shaft", "bore", "width"), three, strict=True):
                    take(role, one)
                break
    for number in free():
        if wanted("description") and content.is_description(columns[number]):
            take("description", number)
    for role, holds, least in _BY_CELL:
        for number in free():
            if wanted(role) and content.share(columns[number], holds) >= least:
                take(role, number)
    for number in free():
        # Headers that were known and not believed must not become something by chance.
        # A few cells of a column say nothing about it.
        rows = min(len(whole[number]), content.SAMPLE)
        many = 2 * len(columns[number]) >= rows
        if many and wanted("part_number") and content.is_part_number(columns[number]):
            take("part_number", number)
    if not shape.headers:
        for number in free():
            if wanted("price") and content.is_price(columns[number]):
                take("price", number)


_COMMON = frozenset({"EUR", "USD", "GBP", "CHF", "SEK", "NOK", "DKK", "PLN", "AUD", "CAD", "JPY"})
_BY_CELL: tuple[tuple[str, Callable[[str], object], float], ...] = (
    ("unit", unit_of, 0.9),
    ("currency", lambda text: len(text.strip()) <= 3 and read_currency(text) in _COMMON, 0.9),
    ("material", lambda text: len(text) < 12 and read_attribute("material", text), 0.8),
    ("lip", lambda text: _worded(text) and read_attribute("lip", text), 0.8),
)


def _worded(text: str) -> bool:
    return len(text.strip()) > 2 and not any(c.isdigit() for c in text)


def refs_of(shape: Shape) -> dict[str, tuple[str, ...]]:
    """The columns found, by name, in the order of the roles."""
    return {
        role: tuple(shape.name(number) for number in shape.roles[role])
        for role in ROLES
        if role in shape.roles
    }
