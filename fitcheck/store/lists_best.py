"""The best lines of each class of a stored list, sorted as columns of numbers.

A list's lines stand in the order of their sizes, so the database hands each size over as one row of
joined texts; a million lines never become a million rows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import repeat
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Text, cast, func, select
from sqlalchemy import text as sql

from fitcheck.lists.items import EXECUTION_FIELDS, SIZE_FIELDS, Execution, SizeKey
from fitcheck.lists.pool import SHOWN_FIELDS, ClassLines, Fields, Kept
from fitcheck.store.schema import list_execution, list_line, list_size

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.store.records import ListInfo

# So many sizes are asked for at once, and from this share of a list on it is read as a whole.
_ASKED = 500
_WHOLE = 0.3
# So many lines are sorted at once.
_SORTED = 200_000
# So many lines are asked for by their places at once.
_PLACES = 2000
# Between values that are joined: no number has it, and no code of a currency.
_COMMA, _APART = ",", "\x1f"
# The one whole number that the store takes in no field.
_NOT_GIVEN = -(2**63)
_COLUMN = {"price": "price", "lead": "lead_days", "stock": "on_hand"}

# A size's number, how many lines it has, then their executions, lines, places, values and
# currencies, each joined to one text.
_Joined = Sequence[Any]


class StoredBest:
    """The best lines of the classes of one list.

    Parameters
    ----------
    connection : Connection
        The store at one moment.
    info : ListInfo
        The list.
    """

    def __init__(self, connection: Connection, info: ListInfo) -> None:
        self._connection, self._info = connection, info

    def classes(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class of some sizes, each by its place in the list.

        Parameters
        ----------
        sizes : collection of SizeKey
            The sizes.
        sort : str
            ``price``, ``lead`` or ``stock``.
        top : int
            So many lines of a class at most.
        """
        numbers = self._sizes(sizes)
        executions = self._executions()
        batch: list[_Joined] = []
        lines = 0
        for row in self._rows(numbers, _COLUMN[sort]):
            batch.append(row)
            lines += row[1]
            if lines >= _SORTED:
                yield from self._best(batch, numbers, executions, sort, top)
                batch, lines = [], 0
        if batch:
            yield from self._best(batch, numbers, executions, sort, top)

    def _sizes(self, sizes: Collection[SizeKey]) -> dict[int, SizeKey]:
        rows = self._connection.execute(
            select(list_size.c.size_id, *(list_size.c[name] for name in SIZE_FIELDS)).where(
                list_size.c.list_id == self._info.id
            )
        )
        found = ((row[0], SizeKey(*row[1:])) for row in rows)
        return {number: size for number, size in found if size in sizes}

    def _executions(self) -> list[Execution]:
        rows = self._connection.execute(
            select(*(list_execution.c[name] for name in EXECUTION_FIELDS))
            .where(list_execution.c.list_id == self._info.id)
            .order_by(list_execution.c.execution_id)
        )
        return [Execution(*row) for row in rows]

    def _rows(self, numbers: Collection[int], field: str) -> Iterator[_Joined]:
        """One row for each size asked for."""
        line = list_line.c

        def joined(name: str, blank: str, between: str) -> Any:
            # A number is joined as its text; what is not given has to keep its place.
            return func.aggregate_strings(func.coalesce(cast(line[name], Text), blank), between)

        price = field == "price"
        # It is for the order alone: what stands between currencies may stand in none of them.
        code = func.replace(func.coalesce(line.currency, ""), _APART, " ")
        currency = [func.aggregate_strings(code, _APART)] if price else []
        statement = (
            select(
                line.size_id,
                func.count(),
                joined("execution_id", "", _COMMA),
                joined("line", "", _COMMA),
                joined("position", "", _COMMA),
                joined(field, "nan" if price else str(_NOT_GIVEN), _COMMA),
                *currency,
            )
            .where(line.list_id == self._info.id)
            .group_by(line.size_id)
        )
        asked = sorted(numbers)
        if len(asked) > _WHOLE * self._info.sizes:
            for row in self._connection.execute(statement):
                if row[0] in numbers:
                    yield row
            return
        for start in range(0, len(asked), _ASKED):
            some = line.size_id.in_(asked[start : start + _ASKED])
            yield from self._connection.execute(statement.where(some))

    def _best(
        self,
        batch: Sequence[_Joined],
        numbers: Mapping[int, SizeKey],
        executions: Sequence[Execution],
        sort: str,
        top: int,
    ) -> Iterator[ClassLines]:
        """The best of some sizes' lines, class by class."""
        import numpy as np

        counts = [row[1] for row in batch]
        total = sum(counts)
        made, line, place = (_numbers(batch, n, total, "int64") for n in (2, 3, 4))
        value = _numbers(batch, 5, total, "float64" if sort == "price" else "int64")
        codes, code = _codes([row[6] for row in batch], counts) if sort == "price" else ([""], None)
        # Both factors are counts of rows that are held in memory: far from where 64 bits end.
        size = np.repeat(np.arange(len(batch)), counts)
        of_class = size * len(executions) + made
        missing = np.isnan(value) if sort == "price" else value == _NOT_GIVEN
        rank = -value if sort == "stock" else value
        # What is not given stands last, whatever else is said beside it.
        keys: list[NDArray[Any]] = [np.where(missing, 0, rank)]
        if (line[1:] <= line[:-1])[np.diff(size) == 0].any():
            keys.insert(0, line)
        if code is not None:
            keys.append(np.where(missing, 0, code))
        if missing.any():
            keys.append(missing)
        order = np.lexsort((*keys, _narrow(of_class)))
        of_class = of_class[order]
        first = np.flatnonzero(np.r_[True, of_class[1:] != of_class[:-1]])
        lengths = np.diff(np.r_[first, total])
        best = order[np.arange(total) - np.repeat(first, lengths) < top]
        ends = np.cumsum(np.minimum(lengths, top)).tolist()
        orders = _orders(
            sort, missing[best], rank[best], codes, code if code is None else code[best]
        )
        names = repeat(self._info.name, len(best))
        kept: list[Kept] = list(
            zip(orders, names, line[best].tolist(), place[best].tolist(), strict=True)
        )
        start = 0
        for number, end in zip(of_class[first].tolist(), ends, strict=True):
            of_size, of_made = divmod(number, len(executions))
            yield numbers[batch[of_size][0]], executions[of_made], kept[start:end]
            start = end

    def shown(self, places: Mapping[SizeKey, Collection[int]]) -> dict[int, Fields]:
        """The shown fields of some lines, by their places.

        Parameters
        ----------
        places : mapping of SizeKey to collection of int
            The places by the size of the lines there.
        """
        asked = [
            f"({self._info.id},{number},{place})"
            for number, size in self._sizes(places).items()
            for place in places[size]
        ]
        found: dict[int, Fields] = {}
        for start in range(0, len(asked), _PLACES):
            # Whole numbers of our own, and so many that binding each takes longer than reading.
            sought = ",".join(asked[start : start + _PLACES])
            rows = self._connection.execute(sql(_LOOK_UP.format(sought=sought)))
            found.update((row[0], tuple(row[1:])) for row in rows)
        return found


# With the whole key in it each place is looked up; else the list would be gone through for it.
_LOOK_UP = f"""
WITH sought (list_id, size_id, position) AS (VALUES {{sought}})
SELECT place.position, {", ".join(f"place.{name}" for name in SHOWN_FIELDS)}
FROM sought JOIN list_line AS place
ON place.list_id = sought.list_id
AND place.size_id = sought.size_id AND place.position = sought.position
"""


def _numbers(batch: Sequence[_Joined], at: int, total: int, kind: str) -> NDArray[Any]:
    """Joined numbers as a column."""
    import numpy as np

    text = _COMMA.join([row[at] for row in batch])
    found: NDArray[Any] = np.fromstring(text, dtype=kind, sep=_COMMA)
    assert len(found) == total, text[:80]
    return found


def _narrow(numbers: NDArray[np.int64]) -> NDArray[Any]:
    """Numbers from zero on in as few bits as hold them: numpy sorts 16 bits by counting."""
    import numpy as np

    return numbers.astype(np.min_scalar_type(numbers.max()))


def _codes(
    texts: Sequence[str], counts: Sequence[int]
) -> tuple[list[str], NDArray[np.int64] | None]:
    """The currencies in order, and which of them each line has; None where all have the one."""
    import numpy as np

    first = texts[0].partition(_APART)[0]
    if all(one == _APART.join([first] * n) for one, n in zip(texts, counts, strict=True)):
        return [first], None
    every = [code for one in texts for code in one.split(_APART)]
    assert len(every) == sum(counts)
    codes = sorted(set(every))
    rank = {code: number for number, code in enumerate(codes)}
    return codes, np.array([rank[code] for code in every], dtype=np.int64)


def _orders(
    sort: str,
    missing: NDArray[np.bool_],
    rank: NDArray[Any],
    codes: Sequence[str],
    code: NDArray[np.int64] | None,
) -> list[tuple[Any, ...]]:
    """Where each line stands, as tuples that are compared with those of other lists."""
    gone = missing.tolist()
    if sort != "price":
        values = rank.tolist()
        return [
            (1, 0) if absent else (0, value) for absent, value in zip(gone, values, strict=True)
        ]
    named = repeat(codes[0]) if code is None else (codes[number] for number in code.tolist())
    return [
        (1, "", 0.0) if absent else (0, currency, value)
        for absent, currency, value in zip(gone, named, rank.tolist(), strict=False)
    ]
