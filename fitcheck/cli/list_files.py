"""Supplier's files on their way into the store, and lists on their way out."""

from __future__ import annotations

import errno
import os
import shutil
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from tempfile import NamedTemporaryFile, gettempdir
from typing import TYPE_CHECKING, Any, TextIO

import click

from fitcheck.errors import DataError, FitcheckError, InputError

if TYPE_CHECKING:
    from fitcheck.lists.lines import Block, Remark
    from fitcheck.lists.understand import ListReading
    from fitcheck.store.lists_read import Moment
    from fitcheck.store.records import ListInfo
    from fitcheck.store.shop import Store

REMARKS_ENDING = ".remarks.csv"

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def role(text: str) -> tuple[str, str]:
    """A column that the user names, as its role and its header.

    Parameters
    ----------
    text : str
        ``ROLE=HEADER``.

    Raises
    ------
    InputError
        It is written otherwise.

    Examples
    --------
    >>> role("size=Dims")
    ('size', 'Dims')
    """
    role, equals, column = text.partition("=")
    if not (equals and role.strip() and column.strip()):
        raise InputError(
            value=f"--column {text}",
            rule="a column is given as ROLE=HEADER",
            todo="Write for example --column size=Dims, or --column size=#3",
        )
    return role.strip(), column


@contextmanager
def enough_room() -> Iterator[None]:
    """Turn a disk that is full for what is put aside meanwhile into a message.

    Raises
    ------
    DataError
        The disk is full.
    """
    try:
        yield
    except OSError as error:
        if error.errno not in _NO_ROOM:
            raise
        raise DataError(
            value=gettempdir(),
            rule=f"there is no room for what is put aside there ({error.strerror})",
            todo="Make room, or name another folder in TMPDIR; nothing was changed",
        ) from error


@contextmanager
def stdin_file() -> Iterator[str]:
    """What comes on stdin, as a file: a list is looked at before it is read."""
    with NamedTemporaryFile(prefix="fitcheck-", suffix=".list") as target:
        shutil.copyfileobj(sys.stdin.buffer, target)
        target.flush()
        yield target.name


def list_reading(
    kept: Mapping[str, Any] | None,
    name: str,
    path: str,
    given: dict[str, str],
    forced: tuple[str, str, str | None],
    *,
    delimiter: str = "",
) -> ListReading:
    """The list, its columns as they are given, remembered or found.

    Parameters
    ----------
    kept : mapping, optional
        The columns as they are remembered.
    name : str
        The list's name.
    path : str
        Its file.
    given : dict of str to str
        The columns that the user names, by role.
    forced : tuple of (str, str, str or None)
        Unit, decimal sign and sheet that the user names.
    delimiter : str
        The delimiter that the user names.
    """
    import json

    from fitcheck.lists.columns import ColumnPlan, plan_of
    from fitcheck.lists.understand import read_list

    remembered = None if kept is None else ColumnPlan.from_json(json.dumps(kept))
    unit, decimal, sheet = forced
    try:
        plan = plan_of(given, plan=remembered) if given else remembered
        return read_list(
            path, plan=plan, unit=unit, decimal=decimal, sheet=sheet, delimiter=delimiter
        )
    except InputError as error:
        if remembered is None:
            raise
        raise InputError(
            value=error.value,
            rule=f"{error.rule} (columns as remembered for {name})",
            todo=f"{error.todo}; or find the columns anew with --forget",
        ) from error


def remembered_roles(reading: ListReading, given: Mapping[str, str]) -> tuple[str, ...]:
    """The roles whose columns were given for a list before and are used again.

    Parameters
    ----------
    reading : ListReading
        The list.
    given : mapping
        The columns that the user names now, by role.
    """
    if reading.own_export:
        return ()
    return tuple(role for role in reading.remember.columns if role not in given)


def store_list(
    store: Store, name: str, reading: ListReading, spool: TextIO, shown: str
) -> tuple[ListInfo, int]:
    """Store the list while it is read; its remarks go to a file on the way."""
    import json

    from fitcheck.lists.export import RemarkWriter
    from fitcheck.store.records import Counts

    writer = RemarkWriter(spool, shown)
    noted = 0

    def noting() -> Iterator[tuple[Block, list[Remark]]]:
        nonlocal noted
        for block, remarks in _counted(reading):
            writer.write(remarks)
            noted += len(remarks)
            yield block, remarks

    def counts() -> Counts:
        tally = reading.tally
        return Counts(tally.lines, tally.accepted, tally.repaired, tally.refused)

    info = store.replace_list(
        name,
        noting(),
        source=shown,
        unit=reading.plan.unit,
        # An export of our own says nothing about how the supplier writes.
        plan=None if reading.own_export else json.loads(reading.plan.to_json()),
        remember=None if reading.own_export else json.loads(reading.remember.to_json()),
        counts=counts,
    )
    return info, noted


def watched() -> bool:
    """Whether somebody can see what goes to stderr."""
    return sys.stderr.isatty()


def _counted(reading: ListReading) -> Iterator[tuple[Block, list[Remark]]]:
    """The blocks, with the lines read so far on stderr where somebody can see them."""
    if not watched():
        yield from reading.blocks()
        return
    try:
        for block, remarks in reading.blocks():
            click.echo(f"\r{reading.tally.lines:>12,} lines read", file=sys.stderr, nl=False)
            yield block, remarks
        click.echo(", storing them ...", file=sys.stderr, nl=False)
    finally:
        click.echo(file=sys.stderr)


def save_remarks(spool: TextIO, beside: str, *, told: bool) -> str:
    """Put the remarks into their file; gives its name, or nothing where there is none."""
    from fitcheck.cli.saving import text_file

    spool.flush()
    spool.seek(0)
    heading = spool.readline()
    first = spool.readline()
    # Remarks of an earlier reading must not stay when there are none now.
    if not beside or not (first or os.path.exists(beside)):
        return ""
    try:
        with text_file(beside) as target:
            target.write(heading + first)
            shutil.copyfileobj(spool, target)
    except (FitcheckError, click.ClickException) as error:
        if told:
            words = error.format_message() if isinstance(error, click.ClickException) else error
            click.echo(f"fitcheck: the remarks were not written: {words}", err=True)
        return ""
    return beside if first else ""


@contextmanager
def utf8_stdout() -> Iterator[TextIO]:
    """Stdout as UTF-8 whatever the locale, with line ends left alone."""
    import io

    stream = io.TextIOWrapper(sys.stdout.buffer, encoding="utf-8", newline="")
    try:
        yield stream
    finally:
        stream.flush()
        stream.detach()


def export_text(moment: Moment, info: ListInfo, target: TextIO, *, remarks: bool) -> None:
    """Write a list, or what was remarked about it, as CSV.

    Parameters
    ----------
    moment : Moment
        The store.
    info : ListInfo
        The list.
    target : text file
        Opened with ``newline=""``.
    remarks : bool
        Whether the remarks are meant.
    """
    from fitcheck.lists.export import RemarkWriter
    from fitcheck.lists.own import write_list

    if remarks:
        RemarkWriter(target, info.source).write(moment.remarks(info.name))
    else:
        write_list(target, (block for _, block in moment.blocks(info.name)))


def export_workbook(moment: Moment, info: ListInfo, output: str, *, remarks: bool) -> None:
    """Write a list, or what was remarked about it, as a workbook.

    Parameters
    ----------
    moment : Moment
        The store.
    info : ListInfo
        The list.
    output : str
        The file.
    remarks : bool
        Whether the remarks are meant.

    Raises
    ------
    InputError
        The list is longer than a sheet.
    """
    from fitcheck.cli.saving import SHEET_ROWS, write_workbook
    from fitcheck.lists.export import REMARK_COLUMNS, safe_cell
    from fitcheck.lists.lines import FIELD_NAMES

    if remarks:
        rows: Iterable[Iterable[Any]] = (
            (
                safe_cell(info.source),
                remark.line,
                *map(safe_cell, (remark.column, remark.value, remark.outcome, remark.reason)),
            )
            for remark in moment.remarks(info.name)
        )
        write_workbook(output, REMARK_COLUMNS, rows)
        return
    if info.stored >= SHEET_ROWS:
        raise InputError(
            value=output,
            rule=f"a sheet takes {SHEET_ROWS:,} rows, and the list has {info.stored:,} lines",
            todo="Export it as CSV",
        )
    # A blank at the end of a row is written too: a sheet leaves it out, and a row that is short
    # looks as if it had been cut off.
    lines = (
        [*map(_sheet_cell, line[:-1]), "" if line[-1] is None else _sheet_cell(line[-1])]
        for _, block in moment.blocks(info.name)
        for line in zip(*(block.columns[field] for field in FIELD_NAMES), strict=True)
    )
    write_workbook(output, FIELD_NAMES, lines, amounts=())


def _sheet_cell(cell: Any) -> Any:
    from fitcheck.lists.export import safe_cell

    return safe_cell(cell) if isinstance(cell, str) else cell
