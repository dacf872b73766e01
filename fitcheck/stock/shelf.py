"""What lies on the shelves today, and on which days a shelf is known to have been empty."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fitcheck.lists.lines import Remark
from fitcheck.lists.source import LineSource
from fitcheck.records import dataclass
from fitcheck.stock.history import ONE_BRANCH
from fitcheck.stock.parts import Asked, Named, names_of, notes_of
from fitcheck.stock.table_file import REFUSED, Column, table_rows

COLUMNS = (
    Column("part", "size, designation or part number", ("size", "item", "number"), needed=True),
    Column("branch", "where it lies", ("place",)),
    Column("what", "seal, bearing, sleeve or other", ("kind",)),
    Column("on_hand", "pieces counted", ("quantity", "qty", "pieces")),
    Column("date", "the day it was counted", ("day",)),
    Column("empty_from", "first day on which there was none"),
    Column("empty_to", "first day on which there were some again"),
    Column("note", "free words"),
)


@dataclass(frozen=True, slots=True)
class Counted:
    """A count as it was written: pieces on hand on a day."""

    line: int
    branch: str
    text: str
    what: str
    pieces: int
    day: date


@dataclass(frozen=True, slots=True)
class Empty:
    """A stretch without a piece, as it was written: the day it began, and the day it ended."""

    line: int
    branch: str
    text: str
    what: str
    first: date
    end: date


@dataclass(frozen=True, slots=True)
class ShelfFile:
    """A file of shelf counts as read: counts, stretches, names, and what was refused."""

    counts: tuple[Counted, ...]
    stretches: tuple[Empty, ...]
    names: Mapping[Asked, Named]
    refused: tuple[Remark, ...]

    def notes(self) -> tuple[str, ...]:
        """What was assumed about its parts, each once."""
        lines: list[Counted | Empty] = [*self.counts, *self.stretches]
        return notes_of(self.names, ((one.text, one.what) for one in lines))


def read_shelf(
    path: str, *, today: date, source: LineSource | None = None, unit: str = "mm"
) -> ShelfFile:
    """Read a file of counts and empty stretches; the caller keeps all of it or nothing.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    today : date
        Today: nothing was counted after it.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    InputError
        The file can't be read, or its heading is not that of a shelf.
    """
    counts: list[Counted] = []
    stretches: list[Empty] = []
    refused: list[Remark] = []
    for cells in table_rows(path, COLUMNS, what="a shelf"):
        text, what = cells.needed("part"), cells.text("what").lower()
        branch = cells.text("branch") or ONE_BRANCH
        pieces = cells.whole("on_hand", least=0, blank=-1)
        day = cells.day("date", today=today) or today
        start, end = cells.day("empty_from", today=today), cells.day("empty_to", today=today)
        if pieces < 0 and start is None and not cells.refused:
            cells.refuse("on_hand", "give the pieces counted, or the days the shelf was empty")
        if end is not None and (start is None or end <= start):
            cells.refuse("empty_to", "the shelf was filled again after it had become empty")
        refused += cells.refused
        if cells.refused:
            continue
        if pieces >= 0:
            counts.append(Counted(cells.line, branch, text, what, pieces, day))
        if start is not None:
            # Still empty: up to today.
            stretches.append(Empty(cells.line, branch, text, what, start, end or today))
    lines: list[Counted | Empty] = [*counts, *stretches]
    names = names_of(((one.text, one.what) for one in lines), source=source, unit=unit)
    first: dict[tuple[str, str], int] = {}
    for one in lines:
        named = names[one.text, one.what]
        reason = named.refused
        if not reason and isinstance(one, Counted):
            before = first.setdefault((one.branch, named.key), one.line)
            if before != one.line:
                reason = f"line {before} counts the same part, {named.key}, at the same branch"
        if reason:
            refused.append(Remark(REFUSED, one.line, "part", one.text[:80], reason))
    return ShelfFile(
        tuple(counts), tuple(stretches), names, tuple(sorted(refused, key=lambda r: r.line))
    )
