"""Asks: the lines of a history taken together by job and size, as numbered items."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from fitcheck.errors import NotKnownError
from fitcheck.records import dataclass
from fitcheck.stock.history import NO_JOB, SHORT, History

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Flags = NDArray[np.bool_]


# A stretch without a line is told from so many days on, and from so many times the usual one.
# The day after the last of a history without lines.
_ANY_DAY = 730_000
_LONG_DAYS, _LONG_TIMES = 30, 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Asks:
    """Each time one size was asked for by one customer: item, day, pieces, job.

    An item is ``part x branches + branch``. Lines of one job and size are one ask of their pieces
    together; a line without a job is an ask, and a job, of its own.
    """

    item: Ints
    day: Ints
    pieces: Floats
    short: Flags
    job: Ints

    def __len__(self) -> int:
        return len(self.item)


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """The days that each branch wrote its demand down: first and last, as ``date.toordinal``."""

    first: Ints
    last: Ints


def asks_of(history: History, *, parts: Sequence[str], branches: Sequence[str]) -> Asks:
    """The asks of a history, in the order of items and days.

    Parameters
    ----------
    history : History
        The lines.
    parts, branches : sequence of str
        Every part and every branch there is; those of the history must be among them.
    """
    import numpy as np

    part = _places(history.parts, parts)[history.part_of]
    item = part * len(branches) + _places(history.branches, branches)[history.branch_of]
    lines = len(history)
    alone = history.job_of == NO_JOB
    job = np.where(alone, len(history.jobs) + np.arange(lines), history.job_of)
    order = np.lexsort((history.day, job, item))
    item, job = item[order], job[order]
    starts = np.concatenate([[True], (item[1:] != item[:-1]) | (job[1:] != job[:-1])])
    first = np.flatnonzero(starts[:lines])
    if not lines:
        none = np.zeros(0, dtype=np.int64)
        return Asks(none, none, none.astype(float), none.astype(bool), none)
    pieces = np.add.reduceat(history.quantity[order].astype(np.float64), first)
    short = np.logical_or.reduceat(history.short[order] == SHORT, first)
    day = history.day[order][first]
    again = np.lexsort((day, item[first]))
    return Asks(item[first][again], day[again], pieces[again], short[again], job[first][again])


def _places(names: Sequence[str], among: Sequence[str]) -> Ints:
    import numpy as np

    place: Mapping[str, int] = {name: at for at, name in enumerate(among)}
    return np.array([place[name] for name in names], dtype=np.int64)


def window_of(
    history: History,
    branches: Sequence[str],
    *,
    since: int | None = None,
    through: int | None = None,
    needed: bool = True,
) -> Window:
    """The days that each branch was watched.

    Parameters
    ----------
    history : History
        The lines.
    branches : sequence of str
        Every branch.
    since, through : int, optional
        First and last day, as ``date.toordinal``. A branch is otherwise watched from the first day
        of the month of its first line to the last day of the whole history.
    needed : bool
        Whether there must be a history; no branch was watched otherwise.

    Raises
    ------
    NotKnownError
        There is no line in those days.
    """
    import numpy as np

    if not len(history) and not needed:
        none = np.full(len(branches), _ANY_DAY, dtype=np.int64)
        return Window(none, none - 1)
    if not len(history):
        raise NotKnownError(
            value="the history",
            rule="it has no line in the days that are looked at",
            todo="Add one with `fitcheck stock history add FILE`, or keep job cards",
        )
    last = int(history.day.max()) if through is None else through
    first = np.full(len(branches), last + 1, dtype=np.int64)
    at = _places(history.branches, branches)[history.branch_of]
    np.minimum.at(first, at, _month_start(history.day))
    # A branch without a line was not watched at all: its time is nothing, and it borrows.
    if since is not None:
        first = np.where(first <= last, since, first)
    return Window(first, np.full(len(branches), last, dtype=np.int64))


def _month_start(day: Ints) -> Ints:
    import numpy as np

    dates = np.datetime64("0001-01-01") + (day - 1).astype("timedelta64[D]")
    start = dates.astype("datetime64[M]").astype("datetime64[D]")
    result: Ints = day - (dates - start).astype(np.int64)
    return result


def silent_stretches(asks: Asks, branches: Sequence[str]) -> list[str]:
    """Stretches so long without a line that they look like a gap in the books.

    Parameters
    ----------
    asks : Asks
        The asks.
    branches : sequence of str
        Every branch there is.
    """
    from datetime import date

    import numpy as np

    found = []
    for number, branch in enumerate(branches):
        days = np.unique(asks.day[asks.item % len(branches) == number])
        apart = np.diff(days)
        if len(apart) < 2:
            continue
        usual = float((apart.sum() - apart.max()) / (len(apart) - 1))
        for at in np.flatnonzero(apart > max(_LONG_DAYS, _LONG_TIMES * usual)).tolist():
            first, last = (date.fromordinal(int(days[one])) for one in (at, at + 1))
            found.append(
                f"{branch}: no line between {first} and {last}, {int(apart[at])} days: taken as "
                "days on which nothing was asked for"
            )
    return found
