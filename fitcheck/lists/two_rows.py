"""Headers over two rows: a group above and its parts below, or one name cut in two.

Artikel-  Bezeichnung  Abmessungen  .  .  Preis        Part    Lead  Unit
nummer    .            d            D  b  EUR / 100    number  time  price
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fitcheck.lists.headers import read_header
from fitcheck.lists.numbers import MARKS
from fitcheck.lists.words import unit_of

# What a single row must gain by the one beside it.
_GAIN = 1


def joined_header(
    rows: Sequence[list[str]], header: int, is_line: Callable[[list[str]], bool]
) -> tuple[list[str], int, int]:
    """The headers of a list, and the first and the last row they stand in.

    Parameters
    ----------
    rows : sequence of list of str
        The first rows of the file.
    header : int
        The row that is the header by itself.
    is_line : callable
        Whether a row looks like a line of the list.

    Notes
    -----
    The row above or below belongs to the header where the two together name more fields than the
    one, and it is no line of the list.

    Examples
    --------
    >>> rows = [["Part", "Unit", "Lead"], ["number", "price", "time"], ["0001", "2.10", "3"]]
    >>> joined_header(rows, 0, lambda row: row[0].isdigit())
    (['Part number', 'Unit price', 'Lead time'], 0, 1)
    """
    alone = [_plain(cell) for cell in rows[header]]
    best, most = (alone, header, header), _known(alone) + _GAIN
    for first in (header - 1, header):
        other = first if first < header else first + 1
        if not 0 <= other < len(rows) or not _may_head(rows[other], is_line):
            continue
        joined = _joined(rows[first], rows[first + 1])
        if _known(joined) >= most:
            best, most = (joined, first, first + 1), _known(joined) + 1
    return best


def _may_head(row: list[str], is_line: Callable[[list[str]], bool]) -> bool:
    cells = [_plain(cell).strip() for cell in row if cell.strip()]
    if not cells or is_line(row):
        return False
    # Figures stand in headers only with a name or a unit: Price / 100, d1.
    return all(
        not any(c.isdigit() for c in cell) or read_header(f"Price {cell}").field == "price"
        for cell in cells
    )


def _joined(above: list[str], below: list[str]) -> list[str]:
    width = max(len(above), len(below))
    uppers = [_plain(cell).strip() for cell in (*above, *[""] * (width - len(above)))]
    lowers = [_plain(cell).strip() for cell in (*below, *[""] * (width - len(below)))]
    found, group = [], ""
    for upper, lower in zip(uppers, lowers, strict=True):
        # A merged cell stands over the blank ones behind it that have a part below.
        group = upper or (group if lower else "")
        found.append(_header(upper, group, lower))
    return found


def _header(upper: str, group: str, lower: str) -> str:
    """What heads one column: both, where they make a name together, else what names a field."""
    if not lower or not group:
        return lower or upper
    both = f"{group[:-1]}{lower}" if group.endswith("-") else f"{group} {lower}"
    if read_header(both).field:
        return both
    if read_header(lower).field:
        return lower
    if upper and (read_header(upper).field or unit_of(lower.strip(" ()[]"))):
        return f"{upper} ({lower})"
    return both if upper else lower


def _known(cells: Sequence[str]) -> int:
    return len({name for cell in cells if (name := read_header(cell).field)})


def _plain(cell: str) -> str:
    return cell[1:] if cell[:1] in MARKS and cell else cell
