"""Writing lists: a list is replaced in one transaction, whole or not at all.

Lines are staged in tables that only this connection sees while the file is still being read, so
that the store itself is held for the time of one copy and not for the time of the reading.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    MetaData,
    Table,
    delete,
    insert,
    literal,
    select,
)

from fitcheck.errors import DataError, InputError, NotKnownError
from fitcheck.lists.items import EXECUTION_FIELDS, SIZE_FIELDS
from fitcheck.lists.lines import FIELD_NAMES, FIELDS, INTEGER, Block, Remark
from fitcheck.store.engine import Database
from fitcheck.store.names import checked_name, name_key
from fitcheck.store.records import Counts, ListInfo, list_info, now_text
from fitcheck.store.schema import (
    Number,
    column_plan,
    list_execution,
    list_line,
    list_remark,
    list_size,
    supplier_list,
)

# What a list line keeps of its own, besides its size and execution.
OWN_FIELDS = tuple(name for name in FIELD_NAMES if name not in (*SIZE_FIELDS, *EXECUTION_FIELDS))
REPAIRED, REFUSED = "repaired", "refused"

_LIST_LOCK = 3_760_0005
_CHILDREN = (list_line, list_remark, list_execution, list_size)
_LINE_ORDER = ("size_id", "position")
_INTEGERS = frozenset(field.name for field in FIELDS if field.holds == INTEGER)
_LARGEST = 2**63 - 1

Marked = tuple[Block, Sequence[Remark]]


def _stage(table: Table, name: str) -> Table:
    """A table like one of a list's, without the list, that only one connection sees."""
    columns = [Column(c.name, c.type) for c in table.columns if c.name != "list_id"]
    return Table(name, MetaData(), *columns, prefixes=["TEMPORARY"])


STAGED_LINE = _stage(list_line, "staged_line")
STAGED_REMARK = _stage(list_remark, "staged_remark")
SORTED_LINE = Table(
    "sorted_line",
    MetaData(),
    *(Column(c.name, c.type, primary_key=c.name in _LINE_ORDER) for c in STAGED_LINE.columns),
    prefixes=["TEMPORARY"],
    sqlite_with_rowid=False,
)


class _Numbers(dict[tuple[Any, ...], int]):
    """Gives each distinct key the next number."""

    def __missing__(self, key: tuple[Any, ...]) -> int:
        number = self[key] = len(self)
        return number


class _Staging:
    """Takes blocks as they come, and knows the distinct sizes and executions among them."""

    def __init__(self, database: Database, connection: Connection) -> None:
        self._database, self._connection = database, connection
        self.sizes, self.executions = _Numbers(), _Numbers()
        self.size_lines: list[int] = []
        self.lines = self.remarks = 0
        self._repaired: set[int] = set()
        self._refused: set[int] = set()
        database.create_temporary(connection, STAGED_LINE)
        database.create_temporary(connection, STAGED_REMARK)

    def add(self, block: Block, remarks: Sequence[Remark]) -> None:
        """Stage a block and what was remarked about it."""
        count = len(block)
        if count:
            _check(block)
            blank: list[Any] = [None] * count
            column = block.columns
            size_ids = self._ids(self.sizes, [column.get(n, blank) for n in SIZE_FIELDS])
            execution_ids = self._ids(
                self.executions, [column.get(n, blank) for n in EXECUTION_FIELDS]
            )
            self.size_lines += [0] * (len(self.sizes) - len(self.size_lines))
            for size_id in size_ids:
                self.size_lines[size_id] += 1
            positions = range(self.lines, self.lines + count)
            own = [column.get(name, blank) for name in OWN_FIELDS]
            rows = zip(size_ids, positions, execution_ids, *own, strict=True)
            self._database.bulk_insert(self._connection, STAGED_LINE, rows)
            self.lines += count
        if remarks:
            self._database.bulk_insert(self._connection, STAGED_REMARK, self._noted(remarks))
            self.remarks += len(remarks)

    def _ids(self, numbers: _Numbers, columns: Sequence[Sequence[Any]]) -> list[int]:
        return list(map(numbers.__getitem__, zip(*columns, strict=True)))

    def _noted(self, remarks: Sequence[Remark]) -> Iterator[tuple[Any, ...]]:
        for number, remark in enumerate(remarks, start=self.remarks):
            if remark.outcome == REPAIRED:
                self._repaired.add(remark.line)
            elif remark.outcome == REFUSED:
                self._refused.add(remark.line)
            texts = (remark.column, remark.value, remark.reason)
            column, value, reason = map(_storable, texts)
            yield number, remark.outcome, remark.line, column, value, reason

    def sort(self) -> Table:
        """Bring the lines into the order they are stored in; gives the table that has them.

        Where a writer holds up all others this is done before it is one, and the copy that
        follows takes a third of the time. Elsewhere the copy sorts.
        """
        if not self._database.is_sqlite:
            return STAGED_LINE
        self._database.create_temporary(self._connection, SORTED_LINE)
        order = [STAGED_LINE.c[name] for name in _LINE_ORDER]
        rows = select(STAGED_LINE).order_by(*order)
        names = [c.name for c in STAGED_LINE.columns]
        self._database.run_raw(self._connection, insert(SORTED_LINE).from_select(names, rows))
        self._database.run_raw(self._connection, delete(STAGED_LINE))
        return SORTED_LINE

    def counts(self) -> Counts:
        """The counts by what was remarked."""
        repaired = len(self._repaired - self._refused)
        refused = len(self._refused)
        return Counts(self.lines + refused, self.lines - repaired, repaired, refused)


def _storable(text: str) -> str:
    """A remark's text without what no database takes; the file itself still has it."""
    return text.replace("\0", "\N{SYMBOL FOR NULL}").encode("utf-8", "replace").decode("utf-8")


def _check(block: Block) -> None:
    """Refuse what one of the databases would not take, so that both take the same."""
    for name, values in block.columns.items():
        if name in _INTEGERS:
            for line, number in zip(block.columns["line"], values, strict=True):
                if number is not None and not -_LARGEST <= number <= _LARGEST:
                    raise _unfit(name, line, str(number), "is larger than the store takes")
            continue
        try:
            fit = "\0" not in "".join(filter(None, values)).encode("utf-8").decode("utf-8")
        except UnicodeEncodeError:
            fit = False
        if not fit:
            for line, value in zip(block.columns["line"], values, strict=True):
                if value and ("\0" in value or (not value.isascii() and not _encodes(value))):
                    raise _unfit(name, line, ascii(value), "has characters that are no text")


def _encodes(value: str) -> bool:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _unfit(name: str, line: int, value: str, rule: str) -> DataError:
    return DataError(
        value=f"line {line}, {name} {value[:60]}",
        rule=f"this {rule}",
        todo="Correct the line in the supplier's file and add it again; nothing was changed",
    )


def replace_list(
    database: Database,
    name: str,
    blocks: Iterable[Marked],
    *,
    source: str = "",
    unit: str = "",
    plan: Mapping[str, Any] | None = None,
    remember: Mapping[str, Any] | None = None,
    counts: Callable[[], Counts] | None = None,
) -> ListInfo:
    """Store a list under a name, in the place of the one that had it.

    Parameters
    ----------
    database : Database
        The store's database, with its tables.
    name : str
        The list's name.
    blocks : iterable of (Block, sequence of Remark)
        The lines, and what was noticed about the lines of each block.
    source, unit : str
        The file it came from, and the unit its bare lengths were read in.
    plan : mapping, optional
        Which column was taken for what.
    remember : mapping, optional
        What is remembered for the supplier of this name; the plan when it is left out.
    counts : callable, optional
        Gives what became of the file's lines, once the blocks are used up; when left out it is
        counted from the remarks.

    Returns
    -------
    ListInfo

    Raises
    ------
    InputError
        Not one line can be stored, or the name is no name.
    DataError
        A value can't be stored, or the lines stored and refused don't add up.
    """
    name = checked_name(name, what="a list")
    with database.connected() as connection:
        staging = _Staging(database, connection)

        def stage() -> None:
            for block, remarks in blocks:
                staging.add(block, remarks)
            staged.append(staging.sort())

        staged: list[Table] = []
        database.raw_transaction(connection, stage)
        found = counts() if counts else staging.counts()
        _check_counts(name, found, staging)
        row = {
            "name": name,
            "name_key": name_key(name),
            "added_at": now_text(),
            "source": _storable(source),
            "unit": unit,
            "plan": None if plan is None else json.dumps(plan, ensure_ascii=True),
            "lines": found.lines,
            "accepted": found.accepted,
            "repaired": found.repaired,
            "refused": found.refused,
            "sizes": len(staging.sizes),
        }
        with database.transaction(connection):
            list_id = _swap(database, connection, staging, staged[0], row)
            kept = plan if remember is None else remember
            if kept is not None:
                remember_plan(connection, name, kept)
    return list_info({"id": list_id, **row})


def _check_counts(name: str, found: Counts, staging: _Staging) -> None:
    if not staging.lines:
        raise InputError(
            value=name,
            rule=f"not one of {found.lines} lines can be stored",
            todo="See the remarks, say which column is what, and add it again; what was stored "
            "under this name stays",
        )
    kept = found.accepted + found.repaired
    if kept != staging.lines or kept + found.refused != found.lines:
        raise DataError(
            value=name,
            rule=f"{found.lines} lines were read, and {staging.lines} stored with "
            f"{found.refused} refused do not add up to them",
            todo="Nothing was changed; please report it with the file",
        )


def _swap(
    database: Database,
    connection: Connection,
    staging: _Staging,
    lines: Table,
    row: Mapping[str, Any],
) -> int:
    """Put the staged list in the place of the old one; gives the number of the new one."""
    database.lock_name(connection, _LIST_LOCK, row["name_key"])
    _delete_list(connection, row["name_key"])
    inserted = insert(supplier_list).values(row).returning(supplier_list.c.id)
    list_id: int = connection.execute(inserted).scalar_one()
    sizes = zip(staging.sizes.items(), staging.size_lines, strict=True)
    database.bulk_insert(
        connection, list_size, [(list_id, number, *key, n) for (key, number), n in sizes]
    )
    executions = [(list_id, number, *key) for key, number in staging.executions.items()]
    database.bulk_insert(connection, list_execution, executions)
    for table, staged, order in (
        (list_line, lines, _LINE_ORDER),
        (list_remark, STAGED_REMARK, ("number",)),
    ):
        rows = select(literal(list_id, Number), *staged.columns)
        rows = rows.order_by(*(staged.c[name] for name in order))
        connection.execute(insert(table).from_select([c.name for c in table.columns], rows))
    return list_id


def _delete_list(connection: Connection, key: str) -> bool:
    old = connection.execute(
        select(supplier_list.c.id).where(supplier_list.c.name_key == key)
    ).scalar()
    if old is None:
        return False
    for table in _CHILDREN:
        connection.execute(delete(table).where(table.c.list_id == old))
    connection.execute(delete(supplier_list).where(supplier_list.c.id == old))
    return True


def remove_list(database: Database, name: str) -> None:
    """Take a list out of the store; the supplier's column plan stays remembered.

    Parameters
    ----------
    database : Database
        The store's database, with its tables.
    name : str
        The list's name.

    Raises
    ------
    NotKnownError
        There is no list of that name.
    """
    key = name_key(name)
    with database.writing() as connection:
        database.lock_name(connection, _LIST_LOCK, key)
        if not _delete_list(connection, key):
            raise no_list(name)


# So many names of lists fit into a message.
_NAMED = 12


def no_list(name: str, there: Sequence[str] = ()) -> NotKnownError:
    """The error for a list that isn't there.

    Parameters
    ----------
    name : str
        The name that was given.
    there : sequence of str
        The names of the lists there are, where they are known.
    """
    todo = "`fitcheck lists show` names the lists there are"
    if there:
        more = f" and {len(there) - _NAMED} more" if len(there) > _NAMED else ""
        todo = f"There are: {', '.join(there[:_NAMED])}{more}; `fitcheck lists show` says more"
    return NotKnownError(value=name, rule="there is no list of that name", todo=todo)


def remember_plan(connection: Connection, supplier: str, plan: Mapping[str, Any]) -> None:
    """Keep which column of a supplier's files is what.

    Parameters
    ----------
    connection : Connection
        The database, in a writer's transaction.
    supplier : str
        The supplier: the name of its list.
    plan : mapping
        The plan, as JSON can carry it.
    """
    key = name_key(supplier)
    connection.execute(delete(column_plan).where(column_plan.c.supplier_key == key))
    connection.execute(
        insert(column_plan).values(
            supplier_key=key,
            supplier=supplier,
            plan=json.dumps(plan, ensure_ascii=True),
            kept_at=now_text(),
        )
    )
