"""`fitcheck stock history`, `fleet`, `terms` and `shelf`: the shop's own records, kept."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

from fitcheck.cli.common import (
    Failure,
    Group,
    aligned,
    json_option,
    print_json,
    terminal_width,
    unit_option,
    wrap,
)
from fitcheck.cli.stock_records import today

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from fitcheck.lists.lines import Remark
    from fitcheck.store.shop import Store
    from fitcheck.store.source import StoreSource

_HISTORY = "data/demo/stock/history.csv"

HISTORY_EXAMPLES = f"""\b
A history has a line for each size that was asked for. Columns, in any order:
  date      the day, 2026-03-09
  part      size, designation or part number of a stored list
  quantity  pieces asked for
  branch, job, what (seal, bearing, sleeve, other), short (yes or no): where
  known. Lines of one job are the kit that the job took; short says that the
  shelf did not have it.

\b
Examples:
  fitcheck stock history add {_HISTORY}
  fitcheck stock history show
"""

FLEET_EXAMPLES = """\b
A fleet has a line for each position of a hub. Columns, in any order:
  machine   the machine, or the kind of machine
  part      size, designation or part number of a stored list
  renewals  of each hub in a year; or hours (a machine runs in a year) and
            life (hours a hub lasts)
  branch, machines (how many), hub, hubs (of each machine), position, what,
  quantity (in each hub): where known.

\b
Examples:
  fitcheck stock fleet add data/demo/stock/fleet.csv
  fitcheck stock fleet show
"""

TERMS_EXAMPLES = """\b
Terms are what buying a part takes, where no price list says it or the shop
knows better. Columns, in any order:
  part      size, designation or part number of a stored list
  what, price, currency, lead_days, lead_days_sd (its spread), pack, minimum,
  shelf_life_months, critical (yes where one is always kept): where known.

\b
Examples:
  fitcheck stock terms add data/demo/stock/terms.csv
  fitcheck stock terms show
"""

SHELF_EXAMPLES = """\b
A shelf has a line for each count. Columns, in any order:
  part      size, designation or part number of a stored list
  on_hand   pieces counted
  branch, what, date (of the count), empty_from and empty_to (days on which
  there was none; a line may have these alone): where known.
A count takes the place of the one before.

\b
Examples:
  fitcheck stock shelf add data/demo/stock/shelf.csv
"""

_KEPT = "kept whole or not at all"


@click.group(name="history", cls=Group, epilog=HISTORY_EXAMPLES)
def history() -> None:
    """Keep what was asked for: date, branch, job, part, quantity."""


@click.group(name="fleet", cls=Group, epilog=FLEET_EXAMPLES)
def fleet() -> None:
    """Keep what the machines will ask for: hubs, positions, renewals."""


@click.group(name="terms", cls=Group, epilog=TERMS_EXAMPLES)
def terms() -> None:
    """Keep prices, lead times, packs and shelf lives of the shop's own."""


@click.group(name="shelf", cls=Group, epilog=SHELF_EXAMPLES)
def shelf() -> None:
    """Keep what was counted on the shelves, and when they were empty."""


def _name_option(command: Any) -> Any:
    return click.option(
        "--name", default="", metavar="NAME", help="What to call it; the file's name if left out."
    )(command)


@history.command(name="add", epilog=f"\b\nExamples:\n  fitcheck stock history add {_HISTORY}\n")
@click.argument("file", metavar="FILE")
@_name_option
@unit_option
@json_option
def history_add(*, file: str, name: str, unit: str, as_json: bool) -> None:
    """Keep a history, CSV or XLSX, whole or not at all.

    A file of the same name takes the place of the one before. Every line that
    is refused is listed with its column, value and reason, and then nothing
    is kept.
    """
    from fitcheck.stock.history import read_history
    from fitcheck.store.stock_write import keep_history

    with store_and_lists() as (store, source):
        found = read_history(file, today=today(), source=source, unit=unit)
    _keep(keep_history, store, file, name, found, lines=len(found.lines), as_json=as_json)


@fleet.command(
    name="add", epilog="\b\nExamples:\n  fitcheck stock fleet add data/demo/stock/fleet.csv\n"
)
@click.argument("file", metavar="FILE")
@_name_option
@unit_option
@json_option
def fleet_add(*, file: str, name: str, unit: str, as_json: bool) -> None:
    """Keep a fleet, CSV or XLSX, whole or not at all."""
    from fitcheck.stock.fleet import read_fleet
    from fitcheck.store.stock_write import keep_fleet

    with store_and_lists() as (store, source):
        found = read_fleet(file, source=source, unit=unit)
    _keep(keep_fleet, store, file, name, found, lines=len(found.positions), as_json=as_json)


@terms.command(
    name="add", epilog="\b\nExamples:\n  fitcheck stock terms add data/demo/stock/terms.csv\n"
)
@click.argument("file", metavar="FILE")
@_name_option
@unit_option
@json_option
def terms_add(*, file: str, name: str, unit: str, as_json: bool) -> None:
    """Keep terms, CSV or XLSX, whole or not at all."""
    from fitcheck.stock.terms import read_terms
    from fitcheck.store.stock_write import keep_terms

    with store_and_lists() as (store, source):
        found = read_terms(file, source=source, unit=unit)
    _keep(keep_terms, store, file, name, found, lines=len(found.lines), as_json=as_json)


@shelf.command(
    name="add", epilog="\b\nExamples:\n  fitcheck stock shelf add data/demo/stock/shelf.csv\n"
)
@click.argument("file", metavar="FILE")
@unit_option
@json_option
def shelf_add(*, file: str, unit: str, as_json: bool) -> None:
    """Keep shelf counts, CSV or XLSX, whole or not at all."""
    from fitcheck.stock.shelf import read_shelf
    from fitcheck.store.stock_write import keep_shelf

    with store_and_lists() as (store, source):
        found = read_shelf(file, today=today(), source=source, unit=unit)
    _refuse(file, found.refused, as_json=as_json)
    with store.writing() as connection:
        keep_shelf(connection, found)
    lines = len(found.counts) + len(found.stretches)
    _kept(file, "", lines, False, found.notes(), as_json=as_json)


def _keep(
    keep: Callable[[Connection, str, Any, str], bool],
    store: Store,
    file: str,
    name: str,
    found: Any,
    *,
    lines: int,
    as_json: bool,
) -> None:
    """Keep what was read of a file under its name, and say so; nothing where a line is refused."""
    _refuse(file, found.refused, as_json=as_json)
    with store.writing() as connection:
        there = keep(connection, _called(name, file), found, _digest(file))
    _kept(file, name, lines, there, found.notes(), as_json=as_json)


def _show(kind: str, *, as_json: bool) -> None:
    from dataclasses import asdict

    from fitcheck.store import open_store, store_is_there
    from fitcheck.store.stock_write import sources

    found = []
    if store_is_there():
        with open_store().reading() as connection:
            found = list(sources(connection, kind))
    if as_json:
        print_json({"files": [asdict(one) for one in found]})
        return
    if not found:
        click.echo(f"No {kind} is kept.")
        return
    rows = [(one.name, f"{one.lines:,}", one.added_at[:10]) for one in found]
    click.echo(aligned(("name", "lines", "added"), rows, right={1}, width=terminal_width()))


def _remove(kind: str, name: str) -> None:
    from fitcheck.store import open_store
    from fitcheck.store.stock_write import remove_source

    with open_store().writing() as connection:
        remove_source(connection, kind, name)
    click.echo(f"{name}: taken out")


def _add_show_and_remove(group: click.Group, kind: str, file: str) -> None:
    """The two commands that are alike for every kind of file."""
    example = f"\b\nExamples:\n  fitcheck stock {kind} show\n"

    @group.command(name="show", epilog=example)
    @json_option
    def show(*, as_json: bool) -> None:
        _show(kind, as_json=as_json)

    show.help = f"List what is kept of {kind}."
    example = (
        f"\b\nExamples:\n  fitcheck stock {kind} add data/demo/stock/{file}\n"
        f"  fitcheck stock {kind} remove {file}\n"
    )

    @group.command(name="remove", epilog=example)
    @click.argument("name", metavar="NAME")
    def remove(*, name: str) -> None:
        _remove(kind, name)

    remove.help = f"Take a file of {kind} out, with all its lines."


_add_show_and_remove(history, "history", "history.csv")
_add_show_and_remove(fleet, "fleet", "fleet.csv")
_add_show_and_remove(terms, "terms", "terms.csv")


def _called(name: str, file: str) -> str:
    return name or os.path.basename(file)


def _digest(file: str) -> str:
    from fitcheck.store.stock_write import digest_of

    return digest_of(file)


@contextmanager
def store_and_lists() -> Iterator[tuple[Store, StoreSource | None]]:
    """The store, and its lists where it has any."""
    from fitcheck.store import open_store, store_is_there

    store = open_store(create=True)
    if not store_is_there():
        yield store, None
        return
    # A store of an older version is brought up to date by the first thing that is written.
    store.ready()
    from fitcheck.store.source import StoreSource

    with store.moment() as moment:
        yield store, StoreSource(moment)


def _refuse(file: str, refused: Sequence[Remark], *, as_json: bool) -> None:
    """Report every refused line, and stop."""
    if not refused:
        return
    from fitcheck.stock.table_file import refused_words

    if as_json:
        rows = [
            {"line": one.line, "column": one.column, "value": one.value, "reason": one.reason}
            for one in refused
        ]
        print_json({"kept": False, "refused": rows})
    else:
        cells = [(str(one.line), one.column, one.value, one.reason) for one in refused]
        heads = ("line", "column", "value", "reason")
        click.echo(aligned(heads, cells, right={0}, width=terminal_width()))
    raise Failure(
        f"{file}: {refused_words(refused, was=True)}, and nothing was kept: a file is "
        f"{_KEPT}. Mend them and add it again"
    )


def _kept(
    file: str, name: str, lines: int, there: bool, notes: Sequence[str], *, as_json: bool
) -> None:
    called = _called(name, file)
    if as_json:
        facts = {"kept": True, "name": called, "lines": lines, "replaced": there}
        print_json({**facts, "refused": [], "notes": list(notes)})
        return
    from fitcheck.store.records import counted

    words = " in the place of the one before" if there else ""
    width = terminal_width()
    click.echo(wrap(f"{called}: {counted(lines, 'line')} kept{words}", width=width))
    for note in notes:
        click.echo(wrap(note, width=width, indent="  - ", hanging="    "))
