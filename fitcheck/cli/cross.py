"""`fitcheck cross`: wanted lines against the supplier lists."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import click

from fitcheck.cli.common import (
    Command,
    aligned,
    json_option,
    open_text,
    print_json,
    progress,
    terminal_width,
    unit_option,
    wrap,
)
from fitcheck.cli.saving import refuse_same, text_file, write_workbook
from fitcheck.cli.shop_lists import list_blocks, shop_source
from fitcheck.errors import InputError
from fitcheck.lists.cross import DEFAULT_TOP, Crossed, Crossing
from fitcheck.lists.items import size_text
from fitcheck.lists.pool import SORTS
from fitcheck.lists.rows import OUT_COLUMNS, CsvText, Tally, crossed_json, rows
from fitcheck.lists.wanted import Want, is_wanted_sheet, wanted_lines, wants_of_blocks

EXAMPLES = """\b
WANTED is pasted text, one wanted part a line (a size, a designation, a mark
with ? for what can't be read, a part number of any list); or a sheet with
any of these columns, those not needed left out:
  text,part_number,mark,designation,kind,shaft,bore,od,width,pocket,
  lip,case,material,spring,lubricant,direction,quantity,unit
or a supplier's list, CSV or XLSX.

\b
Grades, best first. They are this program's own:
  same             the same size, and lip, lubricant and direction are known
                   on both sides and equal; the same bearing designation
  same-ask         the same size, nothing known differs, but something is
                   not said: the column ask has the questions
  other-execution  the same size made otherwise: another lip, lubricant,
                   material or direction, a width inside its tolerance, the
                   inch twin of a metric size, another designation
  condition        fits here if the named condition holds: another case,
                   another width, a shaft inside the limits of the seat
  near-miss        not a fit: what is off, by how much, against which limit;
                   shown only where nothing fits
  nothing          no line comes near

\b
With a stored list it is --list NAME (see fitcheck lists), or --all of them.

\b
Alternatives are ordered by grade, then price, lead time or stock, then list
and line. Prices in different currencies are not compared: they stand
apart by the currency's code. A text that a spreadsheet would run as a
formula gets an apostrophe before it.

\b
Examples:
  printf '35x52x7\\n0621\\n' | fitcheck cross - \\
      --file data/demo/lists/north_quay_invented.csv
  fitcheck cross data/demo/lists/wanted_invented.txt -o crossed.csv \\
      --file data/demo/lists/north_quay_invented.csv --sort lead
"""

_DASH = "-"
_TABLES = (".xlsx", ".xlsm")


@click.command(name="cross", cls=Command, epilog=EXAMPLES)
@click.argument("wanted", metavar="WANTED")
@click.option("--list", "names", multiple=True, metavar="NAME", help="A stored list; repeatable.")
@click.option("--all", "every", is_flag=True, help="Every stored list.")
@click.option(
    "--file",
    "files",
    multiple=True,
    metavar="FILE",
    help="A list that is read without being stored; repeatable.",
)
@click.option(
    "-o",
    "--output",
    default="",
    metavar="OUT",
    help="CSV file, or XLSX by its ending; - is CSV on stdout.",
)
@click.option(
    "--sort",
    type=click.Choice(SORTS),
    default=SORTS[0],
    show_default=True,
    help="Order inside a grade.",
)
@click.option("--top", default=DEFAULT_TOP, show_default=True, help="Alternatives to list at most.")
@unit_option
@json_option
def cross(
    *,
    wanted: str,
    names: tuple[str, ...],
    every: bool,
    files: tuple[str, ...],
    output: str,
    sort: str,
    top: int,
    unit: str,
    as_json: bool,
) -> None:
    """Find what the lists have for each line of WANTED (- reads stdin).

    Without -o the answers are printed; with it they go to a file that appears
    under its name when it is complete, and --json prints the counts.
    """
    if as_json and output == _DASH:
        raise InputError(
            value="--json",
            rule="the counts and the answers can't both go to stdout",
            todo="Name a file for the answers with -o, or leave -o out",
        )
    refuse_same(wanted, output or _DASH)
    if not (names or every or files):
        raise InputError(
            value="no list",
            rule="wanted lines are crossed with one list or with all",
            todo="Name a stored list with --list, take --all, or read one with --file",
        )
    with _no_collector():
        with shop_source(names, every=every, files=files, unit=unit) as source:
            found = Crossing(_wants(wanted, unit), source, sort=sort, top=top)
        tally = Tally()
        answers = tally.counted(found)
        if not output:
            _print(answers, tally, as_json=as_json)
            return
        _write(progress(answers, label="lines", length=len(found.wants)), output)
    if as_json:
        print_json(tally.as_json())
    refused = tally.verdicts["refused"]
    if refused:
        click.echo(
            f"fitcheck: {refused} of {tally.wanted} lines were refused; the column differs "
            "says why",
            err=True,
        )


@contextmanager
def _no_collector() -> Iterator[None]:
    """Without the cyclic collector: millions of tuples hold no cycle, and it visits every one."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _wants(wanted: str, unit: str) -> list[Want]:
    if wanted != _DASH:
        if os.path.splitext(wanted)[1].lower() in _TABLES:
            return list(wants_of_blocks(list_blocks(wanted, unit=unit)))
        with open_text(wanted) as handle:
            first = next((line for line in handle if line.strip()), "")
        if not is_wanted_sheet(first):
            return list(wants_of_blocks(list_blocks(wanted, unit=unit)))
    with open_text(wanted) as handle:
        return list(wanted_lines(handle, unit=unit))


def _write(answers: Iterable[Crossed], output: str) -> None:
    if os.path.splitext(output)[1].lower() in _TABLES:
        write_workbook(output, OUT_COLUMNS, rows(answers))
        return
    text = CsvText()
    if output == _DASH:
        target = sys.stdout.buffer
        target.write(text.heading().encode("utf-8"))
        for crossed in answers:
            target.write(text.of(crossed).encode("utf-8"))
        target.flush()
        return
    with text_file(output) as file:
        file.write(text.heading())
        file.writelines(map(text.of, answers))


def _print(answers: Iterable[Crossed], tally: Tally, *, as_json: bool) -> None:
    if as_json:
        lines = [crossed_json(crossed) for crossed in answers]
        print_json({**tally.as_json(), "lines": lines})
        return
    for crossed in answers:
        click.echo(_text(crossed))


def _text(crossed: Crossed) -> str:
    """One answer for a terminal."""
    width = terminal_width()
    want = crossed.want
    pieces = f", {want.quantity} wanted" if want.quantity else ""
    parts = [wrap(f"{want.text}{pieces}: {crossed.verdict} ({crossed.grade})", width=width)]
    parts += [
        wrap(reason, width=width, indent="  - ", hanging="    ") for reason in crossed.reasons
    ]
    if crossed.alternatives:
        cells = [
            (
                found.grade,
                found.line.list,
                found.line.part_number or f"line {found.line.line}",
                size_text(found.size),
                f"{found.line.price or ''} {found.line.currency or ''}".strip(),
                "" if found.line.lead_days is None else str(found.line.lead_days),
                "" if found.line.on_hand is None else str(found.line.on_hand),
            )
            for found in crossed.alternatives
        ]
        heads = ("grade", "list", "part", "size", "price", "lead_days", "on_hand")
        table = aligned(heads, cells, right={4, 5, 6}, width=width - 2)
        parts += ["  " + line for line in table.split("\n")]
    return "\n".join(parts) + "\n"
