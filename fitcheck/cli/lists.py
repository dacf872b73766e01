"""`fitcheck lists`: supplier lists put into the shop's store, looked at and taken out again."""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import ExitStack
from shlex import quote
from tempfile import TemporaryFile
from typing import TYPE_CHECKING

import click

from fitcheck.cli.common import Group, aligned, json_option, print_json, terminal_width, wrap
from fitcheck.cli.list_files import (
    REMARKS_ENDING,
    enough_room,
    export_text,
    export_workbook,
    list_reading,
    remembered_roles,
    role,
    save_remarks,
    stdin_file,
    store_list,
    utf8_stdout,
)
from fitcheck.cli.list_shown import columns_text, remark_text, show_preview, summary
from fitcheck.cli.saving import is_workbook
from fitcheck.errors import FitcheckError
from fitcheck.store.records import counted

if TYPE_CHECKING:
    from fitcheck.lists.lines import Remark
    from fitcheck.store.records import ListInfo

_DASH = "-"
_SHOWN_REMARKS = 5

EXAMPLES = """\b
Examples:
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | fitcheck lists add north -
  fitcheck lists show
  fitcheck lists show north
  fitcheck lists export north -o north.csv
  fitcheck lists remove north
"""

ADD_EXAMPLES = """\b
Columns are found by their headers and by what is in them, anew in each file.
--column says it where that goes wrong, and is remembered for the list's name:
ROLE=HEADER, or ROLE=#3 for the third column, or ROLE=- for none. Roles:
  part_number,description,kind,size,shaft,bore,width,unit,designation,
  cone,cup,lip,case,material,spring,lubricant,direction,price,price_per,
  currency,pack,minimum,lead_days,on_hand

\b
Examples:
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | \\
    fitcheck lists add north - --preview
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | fitcheck lists add north -
  printf 'a,b\\n0012,35x52x7\\n' | \\
    fitcheck lists add south - --column part_number=a --column size=#2
"""

SHOW_EXAMPLES = """\b
Examples:
  fitcheck lists show
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | fitcheck lists add north -
  fitcheck lists show north
  fitcheck lists show north --json
"""

REMOVE_EXAMPLES = """\b
Examples:
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | fitcheck lists add north -
  fitcheck lists remove north
"""

EXPORT_EXAMPLES = """\b
A list that is exported and added again is the same list. A text that a
spreadsheet would run as a formula gets an apostrophe before it, which is
taken off when the list is added.

\b
Examples:
  printf 'no;size;price\\n0012;35x52x7;4,20\\n' | fitcheck lists add north -
  fitcheck lists export north -o north.csv
  fitcheck lists export north -o north.xlsx
  fitcheck lists export north --remarks -o north-remarks.csv
"""


@click.group(name="lists", cls=Group, epilog=EXAMPLES)
def lists() -> None:
    """Keep suppliers' price lists in the shop's store."""


@lists.command(epilog=ADD_EXAMPLES)
@click.argument("name")
@click.argument("file")
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="ROLE=HEADER",
    help="Which column is what; repeatable, and remembered for NAME.",
)
@click.option("--unit", type=click.Choice(["mm", "in"]), help="Unit of sizes that name none.")
@click.option(
    "--decimal", type=click.Choice(["point", "comma"]), help="Decimal sign of its numbers."
)
@click.option("--sheet", metavar="SHEET", help="The sheet of a workbook.")
@click.option(
    "--delimiter",
    metavar="CHARACTER",
    help="What parts its cells, or the word tab or space; remembered for NAME.",
)
@click.option("--forget", is_flag=True, help="Leave out the columns that are remembered.")
@click.option(
    "--remarks",
    metavar="FILE",
    help=f"Where remarks go; beside the list, with {REMARKS_ENDING} at its end.",
)
@click.option("--preview", is_flag=True, help="Show how the list is understood, store nothing.")
@json_option
def add(
    *,
    name: str,
    file: str,
    columns: tuple[str, ...],
    unit: str | None,
    decimal: str | None,
    sheet: str | None,
    delimiter: str | None,
    forget: bool,
    remarks: str | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Store the list in FILE (- reads stdin) as NAME.

    It takes the place of the list that had the name, whole or not at all.
    Lines that had to be repaired or refused are reported in a file beside it.
    """
    from fitcheck.store import open_store
    from fitcheck.store.names import checked_name

    name = checked_name(name, what="a list")
    given = dict(role(text) for text in columns)
    store = open_store(create=True)
    beside = remarks or ("" if file == _DASH else f"{file}{REMARKS_ENDING}")
    with enough_room(), ExitStack() as stack:
        path = stack.enter_context(stdin_file()) if file == _DASH else file
        kept = None if forget else store.column_plan(name)
        forced = (unit or "", decimal or "", sheet)
        reading = list_reading(kept, name, path, given, forced, delimiter=delimiter or "")
        remembered = remembered_roles(reading, given)
        shown = "stdin" if file == _DASH else os.path.basename(file)
        if preview:
            show_preview(reading, shown, remembered=remembered, as_json=as_json)
            return
        spool = stack.enter_context(TemporaryFile("w+", encoding="utf-8", newline=""))
        try:
            info, noted = store_list(store, name, reading, spool, shown)
        except FitcheckError:
            # Why a list could not be stored stands in its remarks and in what was found of it.
            save_remarks(spool, beside, told=True)
            for note in reading.plan.notes:
                click.echo(wrap(note, width=terminal_width()), err=True)
            raise
        saved = save_remarks(spool, beside, told=not as_json)
    if as_json:
        print_json({"list": info.as_json(), "remarks": noted, "remarks_file": saved or None})
        return
    click.echo(summary(info))
    click.echo(_plan_text(info, remembered=remembered))
    for note in reading.plan.notes:
        click.echo(wrap(note, width=terminal_width(), indent="  ", hanging="    "))
    if noted:
        where = f"in {saved}" if saved else f"shown by `fitcheck lists show {quote(info.name)}`"
        click.echo(wrap(f"{counted(noted, 'remark')}, {where}", width=terminal_width()))


def _plan_text(info: ListInfo, *, remembered: Iterable[str] = ()) -> str:
    columns = (info.plan or {}).get("columns", {})
    return columns_text(columns, info.unit, own=info.plan is None, remembered=tuple(remembered))


@lists.command(epilog=SHOW_EXAMPLES)
@click.argument("name", required=False)
@json_option
def show(*, name: str | None, as_json: bool) -> None:
    """Name the stored lists, or tell about the list NAME.

    Of one list it shows what became of its lines, which columns were taken
    for what, and the first remarks.
    """
    from fitcheck.store import open_store, store_is_there

    if name is None:
        found = open_store().lists() if store_is_there() else []
        if as_json:
            print_json({"lists": [info.as_json() for info in found]})
        else:
            click.echo(_overview(found))
        return
    with open_store().moment() as moment:
        info = moment.list_info(name)
        counts: dict[str, int] = {}
        first: list[Remark] = []
        for remark in moment.remarks(name):
            counts[remark.outcome] = counts.get(remark.outcome, 0) + 1
            if len(first) < _SHOWN_REMARKS:
                first.append(remark)
    if as_json:
        shown = [
            {
                "outcome": remark.outcome,
                "line": remark.line,
                "column": remark.column,
                "value": remark.value,
                "reason": remark.reason,
            }
            for remark in first
        ]
        print_json({"list": info.as_json(), "remarks": counts, "first_remarks": shown})
        return
    click.echo(summary(info))
    click.echo(_plan_text(info))
    if not first:
        click.echo("  no remarks")
        return
    click.echo("  remarks: " + ", ".join(f"{n:,} {outcome}" for outcome, n in counts.items()))
    for remark in first:
        click.echo(remark_text(remark))
    if sum(counts.values()) > len(first):
        click.echo(f"  all of them: fitcheck lists export {quote(info.name)} --remarks -o FILE.csv")


def _overview(found: Iterable[ListInfo]) -> str:
    rows = [
        (
            info.name,
            info.added_at[:10],
            f"{info.stored:,}",
            f"{info.repaired:,}",
            f"{info.refused:,}",
            f"{info.sizes:,}",
            info.source,
        )
        for info in found
    ]
    if not rows:
        return "There are no lists yet: fitcheck lists add NAME FILE"
    heads = ("list", "added", "lines", "repaired", "refused", "sizes", "from")
    return aligned(heads, rows, right={2, 3, 4, 5}, width=terminal_width())


@lists.command(epilog=REMOVE_EXAMPLES)
@click.argument("name")
@json_option
def remove(*, name: str, as_json: bool) -> None:
    """Take the list NAME out of the store; its columns stay remembered."""
    from fitcheck.store import open_store

    store = open_store()
    info = store.list_info(name)
    store.remove_list(name)
    if as_json:
        print_json({"removed": info.as_json()})
    else:
        click.echo(f"{info.name}: {counted(info.stored, 'line')} removed")


@lists.command(epilog=EXPORT_EXAMPLES)
@click.argument("name")
@click.option(
    "-o",
    "--output",
    default=_DASH,
    metavar="FILE",
    help="CSV file, or XLSX by its ending; - is CSV on stdout.",
)
@click.option("--remarks", is_flag=True, help="Export what was remarked about its lines.")
def export(*, name: str, output: str, remarks: bool) -> None:
    """Write the list NAME to a file."""
    from fitcheck.store import open_store

    with open_store().moment() as moment:
        info = moment.list_info(name)
        if is_workbook(output):
            export_workbook(moment, info, output, remarks=remarks)
        elif output == _DASH:
            with utf8_stdout() as target:
                export_text(moment, info, target, remarks=remarks)
        else:
            from fitcheck.cli.saving import text_file

            with text_file(output) as target:
                export_text(moment, info, target, remarks=remarks)
