"""The shop's demand history: who asked for what, when and where.

A history file has a line for each size that was asked for; lines of one job have the same job, and
together are the kit that the job took. A million lines travel as columns of numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from fitcheck.lists.lines import Remark
from fitcheck.lists.source import LineSource
from fitcheck.records import dataclass
from fitcheck.stock.parts import Asked, Named, names_of, notes_of
from fitcheck.stock.records import DemandLine
from fitcheck.stock.table_file import REFUSED, Column, table_rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

_SHOWN = 5
NO_JOB = -1
NOT_KNOWN, NOT_SHORT, SHORT = -1, 0, 1

COLUMNS = (
    Column("date", "the day it was asked for, 2026-03-09", ("day",), needed=True),
    Column("part", "size, designation or part number", ("size", "item", "number"), needed=True),
    Column("quantity", "pieces asked for", ("qty", "pieces"), needed=True),
    Column("branch", "where it was asked for", ("place",)),
    Column("job", "what it was for; lines of one job are its kit", ("order",)),
    Column("what", "seal, bearing, sleeve or other", ("kind",)),
    Column("short", "yes where the shelf did not have it"),
    Column("note", "free words"),
)
# The branch of lines that name none.
ONE_BRANCH = "shop"


@dataclass(frozen=True, slots=True)
class Asking:
    """One line of a history as it was written, its day and quantity read."""

    line: int
    day: date
    branch: str
    job: str
    text: str
    what: str
    quantity: int
    short: bool | None


@dataclass(frozen=True, slots=True)
class HistoryFile:
    """A history file as read: its good lines, what each text names, and what was refused."""

    lines: tuple[Asking, ...]
    names: Mapping[Asked, Named]
    refused: tuple[Remark, ...]

    def notes(self) -> tuple[str, ...]:
        """What was assumed about its parts and its lines, each once."""
        parts = notes_of(self.names, ((line.text, line.what) for line in self.lines))
        return (*parts, *self._same())

    def _same(self) -> tuple[str, ...]:
        """Lines that say what a line before them says: entered twice, or two of a kind."""
        seen: set[tuple[object, ...]] = set()
        again = []
        for one in self.lines:
            key = self.names[one.text, one.what].key
            said = (one.day, one.branch, one.job, key, one.quantity, one.short)
            if said in seen:
                again.append(str(one.line))
            seen.add(said)
        if not again:
            return ()
        more = f" and {len(again) - _SHOWN} more" if len(again) > _SHOWN else ""
        are = "line says" if len(again) == 1 else "lines say"
        return (
            f"{len(again)} {are} the same as one before ({', '.join(again[:_SHOWN])}{more}): "
            "each is counted",
        )


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """Demand as columns: one place in each array is one line.

    ``day`` counts days as ``date.toordinal``; ``job_of`` is -1 where no job was named; ``short`` is
    1, 0, or -1 where that is not known.
    """

    parts: tuple[str, ...]
    branches: tuple[str, ...]
    jobs: tuple[str, ...]
    day: Ints
    branch_of: Ints
    job_of: Ints
    part_of: Ints
    quantity: Ints
    short: Ints

    def __len__(self) -> int:
        return len(self.day)

    def between(self, first: date, last: date) -> History:
        """The lines of some days, both ends included."""
        kept = (self.day >= first.toordinal()) & (self.day <= last.toordinal())
        columns = (self.day, self.branch_of, self.job_of, self.part_of, self.quantity, self.short)
        return History(self.parts, self.branches, self.jobs, *(c[kept] for c in columns))


def read_history(
    path: str, *, today: date, source: LineSource | None = None, unit: str = "mm"
) -> HistoryFile:
    """Read a history file; what is refused is told, and the caller keeps all of it or nothing.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    today : date
        Today: no line may lie after it.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    InputError
        The file can't be read, or its heading is not that of a history.
    """
    found: list[Asking] = []
    refused: list[Remark] = []
    for cells in table_rows(path, COLUMNS, what="a history"):
        day = cells.day("date", today=today)
        if day is None and not cells.text("date"):
            cells.needed("date")
        text = cells.needed("part")
        quantity = cells.whole("quantity", least=1, blank=0)
        if not quantity and not cells.text("quantity"):
            cells.needed("quantity")
        short = cells.flag("short")
        if cells.refused or day is None:
            refused += cells.refused
            continue
        branch, job = cells.text("branch") or ONE_BRANCH, cells.text("job")
        what = cells.text("what").lower()
        found.append(Asking(cells.line, day, branch, job, text, what, quantity, short))
    names = names_of(((line.text, line.what) for line in found), source=source, unit=unit)
    good = []
    for line in found:
        reason = names[line.text, line.what].refused
        if reason:
            refused.append(Remark(REFUSED, line.line, "part", line.text[:80], reason))
        else:
            good.append(line)
    return HistoryFile(tuple(good), names, tuple(sorted(refused, key=lambda r: r.line)))


def demand_lines(lines: Iterable[Asking], names: Mapping[Asked, Named]) -> list[DemandLine]:
    """Lines as demand for one name of each size.

    Parameters
    ----------
    lines : iterable of Asking
        The lines.
    names : mapping
        What their texts name.
    """
    return [
        DemandLine(
            one.line,
            one.day,
            one.branch,
            one.job,
            names[one.text, one.what].key,
            one.quantity,
            one.short,
        )
        for one in lines
    ]


def history_of(lines: Sequence[DemandLine]) -> History:
    """Lines of demand as columns.

    Parameters
    ----------
    lines : sequence of DemandLine
        The lines, in any order.

    Examples
    --------
    >>> lines = [DemandLine(2, date(2026, 3, 9), "quay", "J1", "30206", 2)]
    >>> history = history_of(lines)
    >>> history.parts, history.branches, len(history)
    (('30206',), ('quay',), 1)
    """
    import numpy as np

    parts, part_of = _numbered([line.part_key for line in lines])
    branches, branch_of = _numbered([line.branch for line in lines])
    # A job's number is only its branch's own.
    named = [f"{line.branch}\0{line.job}" if line.job else "" for line in lines]
    jobs, job_of = _numbered([name for name in named if name])
    job = np.full(len(lines), NO_JOB, dtype=np.int64)
    job[[at for at, name in enumerate(named) if name]] = job_of
    return History(
        parts=parts,
        branches=branches,
        jobs=tuple(name.partition("\0")[2] for name in jobs),
        day=np.array([line.day.toordinal() for line in lines], dtype=np.int64),
        branch_of=branch_of,
        job_of=job,
        part_of=part_of,
        quantity=np.array([line.quantity for line in lines], dtype=np.int64),
        short=np.array(
            [NOT_KNOWN if line.short is None else int(line.short) for line in lines],
            dtype=np.int64,
        ),
    )


def _numbered(names: Sequence[str]) -> tuple[tuple[str, ...], Ints]:
    import numpy as np

    number = {name: at for at, name in enumerate(sorted(set(names)))}
    return tuple(number), np.array([number[name] for name in names], dtype=np.int64)
