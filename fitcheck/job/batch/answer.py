"""`fitcheck batch`: a table of readings in, ranked sizes out, one request after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field
from operator import itemgetter
from typing import TYPE_CHECKING

from fitcheck.errors import FitcheckError, InputError, NotKnownError, OffTableError
from fitcheck.job.answers import Answer
from fitcheck.job.batch.csv_rows import Row, Rows, guarded
from fitcheck.job.batch.row import BatchRequest, Line, RowAnswerer
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, GO, NO_GO

if TYPE_CHECKING:
    from fitcheck.job.batch.together import Together

COLUMNS = (
    *("id", "part", "shaft", "track", "bore", "pocket", "old_od", "old_lip", "old_width"),
    *("od", "width", "cone_width", "cup_width", "thickness", "mark", "instrument", "unit"),
)
ANSWER_COLUMNS = ("id", "rank", "size", "probability", "verdict", "finding", "next_reading")
REFUSED = "refused"
# How many rows are read before they are answered together, and from how many on that is quicker.
AT_ONCE, _MANY = 4096, 200


@dataclass(slots=True)
class Tally:
    """How many requests came to which verdict so far."""

    by_verdict: dict[str, int] = field(
        default_factory=lambda: dict.fromkeys((GO, CHECK, NO_GO, REFUSED), 0)
    )

    def as_json(self) -> Answer:
        """The counts as data."""
        rows = sum(self.by_verdict.values())
        refused = self.by_verdict[REFUSED]
        return {
            "rows": rows,
            "answered": rows - refused,
            "refused": refused,
            "by_verdict": dict(self.by_verdict),
        }


def checked_header(header: Sequence[str]) -> tuple[str, ...]:
    """The columns of a table of readings, by their own names, in the order of the table.

    Capitals, spaces around a name and hyphens for underscores do not matter.

    Raises
    ------
    InputError
        A column is not known or stands there twice, or none says which part is meant.

    >>> checked_header(["Part", "id", "old-width"])
    ('part', 'id', 'old_width')
    """
    names = tuple("_".join(name.lower().replace("-", " ").split()) for name in header)
    for given, name in zip(header, names, strict=True):
        if name not in COLUMNS:
            raise InputError(
                value=f"column {given[:60]!r}",
                rule="a table of readings has no such column, and its first line names the columns",
                todo=_nearest(given, name),
            )
        if names.count(name) > 1:
            raise InputError(
                value=f"column {name}",
                rule="the column stands there twice",
                todo="Take one of them away; several readings of one place go into one cell, "
                "with ; between them",
            )
    if "part" not in names:
        raise InputError(
            value="columns " + ", ".join(names),
            rule="a column part must say for each row whether it is a seal or a bearing",
            todo="Add the column part",
        )
    return names


def _nearest(given: str, name: str) -> str:
    if ";" in given or "\t" in given:
        return "Save the table with commas between the cells"
    from difflib import get_close_matches

    near = get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
    return f"Did you mean {near[0]}?" if near else "Use " + ", ".join(COLUMNS)


def answers(
    source: Iterable[str], request: BatchRequest, *, tally: Tally | None = None
) -> Iterator[list[tuple[str, ...]]]:
    """The lines of the answer, those of each request together, in the order of the requests.

    Parameters
    ----------
    source : iterable of str
        The lines of the table (see :class:`Rows`).
    request : BatchRequest
        What applies to every row.
    tally : Tally, optional
        Counts the requests while they are answered.

    Notes
    -----
    A request without an id is named by its line, ``line 7``; ids that come twice are answered
    twice. A row that can't be read, and one that lies outside everything the tables cover, gives
    one line with the verdict ``refused`` and the reason as its finding.

    Raises
    ------
    InputError
        The header is missing or wrong, or an option is.
    DataError
        A table is damaged: no row is to blame, and none is answered.
    """
    tally = Tally() if tally is None else tally
    rows = Rows(source)
    names = checked_header(rows.header())
    rows.allow_breaks([n for n, name in enumerate(names) if name in ("id", "mark")])
    number = names.index("id") if "id" in names else None
    answerer = RowAnswerer(request, tuple(name for name in names if name != "id"))
    own = [n for n in range(len(names)) if n != number]
    cells_of: Callable[[tuple[str, ...]], tuple[str, ...]] = (
        itemgetter(*own) if len(own) > 1 else lambda cells: (cells[own[0]],)
    )
    return _answered(rows, number, cells_of, answerer, tally)


def _answered(
    rows: Rows,
    number: int | None,
    cells_of: Callable[[tuple[str, ...]], tuple[str, ...]],
    answerer: RowAnswerer,
    tally: Tally,
) -> Iterator[list[tuple[str, ...]]]:
    together: Together | None = None
    for block in _blocks(rows):
        if together is None and len(block) >= _MANY:
            together = _together(answerer)
        sound = [None if row.fault is not None else cells_of(row.cells) for row in block]
        known: list[tuple[Line, ...] | None] = [None] * len(block)
        if together is not None:
            known = together.answers(sound)
        for row, cells, lines in zip(block, sound, known, strict=True):
            found = lines
            if found is None:
                try:
                    if row.fault is not None:
                        raise row.fault
                    found = answerer.answer(cells or ())
                except (InputError, OffTableError, NotKnownError) as error:
                    found = (_refused(error),)
            tally.by_verdict[found[0][3]] += 1
            name = _id(row, number)
            yield [(name, *line) for line in found]


def _blocks(rows: Rows) -> Iterator[list[Row]]:
    """The rows, many at a time; those before something that can't be read come before its error."""
    block: list[Row] = []
    try:
        for row in rows:
            block.append(row)
            if len(block) == AT_ONCE:
                yield block
                block = []
    except Exception:
        yield block
        raise
    yield block


def _together(answerer: RowAnswerer) -> Together | None:
    """What answers many rows at once, where numpy is at hand."""
    # Imported here: a short table is answered before numpy is loaded.
    try:
        import numpy  # noqa: F401
    except ImportError:
        return None
    from fitcheck.job.batch.together import Together

    return Together(answerer)


def _id(row: Row, number: int | None) -> str:
    """The id as given; the line where there is none, or none that can be written."""
    given = row.cells[number] if number is not None and number < len(row.cells) else ""
    return guarded(given) if given.strip() and "\0" not in given else f"line {row.line}"


def _refused(error: FitcheckError) -> Line:
    # One line of text, whatever was in the cell.
    reason = " ".join(str(error).split())
    return ("", "", "", REFUSED, guarded(reason), "")
