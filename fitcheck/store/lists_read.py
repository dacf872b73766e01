"""Reading lists: one moment of the store, streamed in blocks of columns."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import ColumnElement, Connection, select

from fitcheck.lists.items import EXECUTION_FIELDS, SIZE_FIELDS, SizeKey
from fitcheck.lists.lines import BLOCK_LINES, FIELD_NAMES, Block, Remark
from fitcheck.store.lists_best import StoredBest
from fitcheck.store.lists_write import OWN_FIELDS, no_list
from fitcheck.store.names import name_key
from fitcheck.store.records import ListInfo, list_info
from fitcheck.store.schema import (
    column_plan,
    list_execution,
    list_line,
    list_remark,
    list_size,
    supplier_list,
)

# So many sizes are asked for at once, and from this share of a list on it is read as a whole.
_ASKED = 500
_WHOLE = 0.3

NamedBlock = tuple[str, Block]
_NAMES_OF = {"size_id": SIZE_FIELDS, "execution_id": EXECUTION_FIELDS}


class Moment:
    """The store's lists as they were when reading began, whatever is written meanwhile.

    Parameters
    ----------
    connection : Connection
        A connection that reads one moment, from ``Database.reading``.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def lists(self) -> list[ListInfo]:
        """Every list, by name."""
        rows = self._connection.execute(select(supplier_list))
        # Sorted here: databases sort letters each in its own way.
        found = (list_info(row._asdict()) for row in rows)
        return sorted(found, key=lambda info: name_key(info.name))

    def list_info(self, name: str) -> ListInfo:
        """One list.

        Parameters
        ----------
        name : str
            Its name, in whatever case.

        Raises
        ------
        NotKnownError
            There is no list of that name.
        """
        row = self._connection.execute(
            select(supplier_list).where(supplier_list.c.name_key == name_key(name))
        ).first()
        if row is None:
            raise no_list(name, [info.name for info in self.lists()])
        return list_info(row._asdict())

    def named(self, names: Sequence[str] | None) -> list[ListInfo]:
        """The lists of some names, or all.

        Parameters
        ----------
        names : sequence of str, optional
            Their names; all lists when left out.
        """
        if names is None:
            return self.lists()
        found = [self.list_info(name) for name in names]
        return list({info.id: info for info in found}.values())

    def sizes(self, name: str | None = None) -> dict[SizeKey, int]:
        """The distinct sizes, each with the number of lines that have it.

        Parameters
        ----------
        name : str, optional
            A list; all of them when left out.
        """
        found: dict[SizeKey, int] = {}
        for info in self.named(None if name is None else [name]):
            for row in self._connection.execute(
                select(list_size)
                .where(list_size.c.list_id == info.id)
                .order_by(list_size.c.size_id)
            ):
                size = SizeKey(*row[2:-1])
                found[size] = found.get(size, 0) + row[-1]
        return found

    def blocks(
        self, name: str | None = None, *, columns: Sequence[str] = FIELD_NAMES
    ) -> Iterator[NamedBlock]:
        """The lines in the order of their files, streamed.

        Parameters
        ----------
        name : str, optional
            A list; all of them, one after the other, when left out.
        columns : sequence of str
            The fields wanted; ``line`` always comes along.
        """
        for info in self.named(None if name is None else [name]):
            yield from self._read(info, columns, (), ordered=True)

    def lines(
        self, info: ListInfo, *, columns: Sequence[str], with_number: bool = False
    ) -> Iterator[NamedBlock]:
        """A list's lines in no particular order, which is quicker than ``blocks``.

        Parameters
        ----------
        info : ListInfo
            The list.
        columns : sequence of str
            The fields wanted; ``line`` always comes along.
        with_number : bool
            Only lines that have a part number.
        """
        where = (list_line.c.part_number.is_not(None),) if with_number else ()
        return self._read(info, columns, where)

    def lines_of_sizes(
        self, info: ListInfo, sizes: Collection[SizeKey], *, columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """The lines of some sizes; of many sizes all lines, the others among them.

        Parameters
        ----------
        info : ListInfo
            The list.
        sizes : collection of SizeKey
            The sizes.
        columns : sequence of str
            The fields wanted; ``line`` always comes along.
        """
        rows = self._connection.execute(select(list_size).where(list_size.c.list_id == info.id))
        wanted = {row.size_id: row.lines for row in rows if SizeKey(*row[2:-1]) in sizes}
        if sum(wanted.values()) > _WHOLE * info.stored:
            yield from self._read(info, columns, ())
            return
        numbers = sorted(wanted)
        for start in range(0, len(numbers), _ASKED):
            asked = list_line.c.size_id.in_(numbers[start : start + _ASKED])
            yield from self._read(info, columns, (asked,))

    def best(self, info: ListInfo) -> StoredBest:
        """The best lines of a list's classes.

        Parameters
        ----------
        info : ListInfo
            The list.
        """
        return StoredBest(self._connection, info)

    def _read(
        self,
        info: ListInfo,
        columns: Sequence[str],
        where: Sequence[ColumnElement[bool]],
        *,
        ordered: bool = False,
    ) -> Iterator[NamedBlock]:
        """Read lines and put size and execution back in the place of their numbers."""
        own = ["line", *(name for name in OWN_FIELDS if name in columns and name != "line")]
        classes = [key for key, names in _NAMES_OF.items() if set(names) & set(columns)]
        known = {key: self._class_columns(info.id, key, columns) for key in classes}
        statement = select(*(list_line.c[name] for name in (*own, *classes)))
        statement = statement.where(list_line.c.list_id == info.id, *where)
        if ordered:
            statement = statement.order_by(list_line.c.position)
        result = self._connection.execute(
            statement, execution_options={"yield_per": BLOCK_LINES, "max_row_buffer": BLOCK_LINES}
        )
        with result:
            for rows in result.partitions():
                read = dict(zip((*own, *classes), map(list, zip(*rows, strict=True)), strict=True))
                block = {name: read[name] for name in own}
                for key in classes:
                    for name, values in known[key].items():
                        block[name] = [values[number] for number in read[key]]
                yield info.name, Block(block)

    def _class_columns(
        self, list_id: int, key: str, columns: Sequence[str]
    ) -> dict[str, list[Any]]:
        """For each wanted field of a size or an execution its values by number."""
        table = list_size if key == "size_id" else list_execution
        names = [name for name in _NAMES_OF[key] if name in columns]
        rows = self._connection.execute(
            select(*(table.c[name] for name in names))
            .where(table.c.list_id == list_id)
            .order_by(table.c[key])
        ).all()
        return dict(zip(names, map(list, zip(*rows, strict=True)), strict=True))

    def remarks(self, name: str) -> Iterator[Remark]:
        """What was remarked about a list's lines, in the order it was found.

        Parameters
        ----------
        name : str
            The list.
        """
        info = self.list_info(name)
        result = self._connection.execute(
            select(*list_remark.columns[2:])
            .where(list_remark.c.list_id == info.id)
            .order_by(list_remark.c.number),
            execution_options={"yield_per": BLOCK_LINES},
        )
        with result:
            for row in result:
                yield Remark(*row)

    def column_plan(self, supplier: str) -> Mapping[str, Any] | None:
        """Which column of a supplier's files is what, as remembered; None where nothing is.

        Parameters
        ----------
        supplier : str
            The supplier: the name of its list.
        """
        found = self._connection.execute(
            select(column_plan.c.plan).where(column_plan.c.supplier_key == name_key(supplier))
        ).scalar()
        return None if found is None else json.loads(found)
