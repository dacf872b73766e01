"""`fitcheck cross`: wanted lines against the supplier lists."""

from __future__ import annotations

import gc
import os
import shutil
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from tempfile import TemporaryDirectory
from textwrap import indent

import click

from fitcheck.cli.common import (
    Command,
    json_option,
    json_text,
    print_json,
    progress,
    terminal_width,
    unit_option,
)
from fitcheck.cli.cross_text import counts_text, crossed_text
from fitcheck.cli.saving import is_workbook, refuse_same, text_file, write_workbook
from fitcheck.cli.shop_lists import shop_source
from fitcheck.errors import FitcheckError, InputError
from fitcheck.lists.cross import DEFAULT_TOP, Crossed, Crossing
from fitcheck.lists.pool import SORTS
from fitcheck.lists.rows import OUT_COLUMNS, CsvText, Tally, crossed_json, rows
from fitcheck.lists.wanted import Want
from fitcheck.lists.wanted_file import wanted_of_file

EXAMPLES = """\b
WANTED is text, one wanted part a line: a size, "35 shaft 52 bore", a
designation, a mark with ? for what can't be read, a part number of any
stored list; or a sheet, CSV or XLSX, with any of these columns, those not
needed left out, and the unit in the heading where it helps (shaft_in):
  text,part_number,mark,designation,kind,shaft,bore,od,width,pocket,
  lip,case,material,spring,lubricant,direction,quantity,unit
or a supplier's list.

\b
Grades, best first. They are this program's own:
  same             the same size, and lip, lubricant and direction are known
                   on both sides and equal; the same bearing designation
  same-ask         the same size, nothing known differs, but something is
                   not said, or said in words that were not read: the column
                   ask has the questions
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
apart by the currency's code. Every wanted line is in the answer; a refused
one with its column, value and reason. A text that a spreadsheet would run
as a formula gets an apostrophe before it.

\b
Examples:
  printf '35x52x7\\n0621\\n' | fitcheck cross - \\
      --file data/demo/lists/north_quay_invented.csv
  fitcheck cross data/demo/lists/wanted_invented.txt -o crossed.csv \\
      --file data/demo/lists/north_quay_invented.csv --sort lead
"""

_DASH = "-"
# Endings that a text file may have; one without an ending is CSV.
_ENDINGS = ("", ".csv", ".txt", ".json")
_ZIP = b"PK\x03\x04"


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
    help="CSV file, or XLSX or JSON by its ending; - is CSV on stdout.",
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
    under its name when it is complete, and --json prints the counts. Progress
    goes to stderr.
    """
    if as_json and output == _DASH:
        raise InputError(
            value="--json",
            rule="the counts and the answers can't both go to stdout",
            todo="Name a file for the answers with -o, or leave -o out",
        )
    refuse_same(wanted, output or _DASH)
    _refuse_ending(output)
    if not (names or every or files):
        raise InputError(
            value="no list",
            rule="wanted lines are crossed with one list or with all",
            todo="Name a stored list with --list, take --all, or read one with --file",
        )
    with _no_collector():
        wants = list(progress(_wants(wanted, unit), label="wanted lines"))
        with shop_source(names, every=every, files=files, unit=unit) as source:
            found = Crossing(wants, source, sort=sort, top=top)
        tally = Tally()
        answers = tally.counted(found)
        if not output:
            one_list = not every and len(names) + len(files) == 1
            _print(answers, tally, as_json=as_json, one_list=one_list)
            return
        write_answers(progress(answers, label="crossed", length=len(found.wants)), tally, output)
    if as_json:
        print_json(tally.as_json())
    refused = tally.verdicts["refused"]
    if refused:
        click.echo(
            f"fitcheck: {refused} of {tally.wanted} lines were refused; the columns reason, "
            "refused_column and refused_value say why",
            err=True,
        )


def _refuse_ending(output: str) -> None:
    """Refuse a name that promises a file of another kind than is written."""
    ending = os.path.splitext(output)[1].lower()
    if ending not in _ENDINGS and not is_workbook(output):
        raise InputError(
            value=output,
            rule="the answers are written as CSV, XLSX or JSON, by the ending of the name",
            todo=f"Name a file that ends in {', '.join(filter(None, _ENDINGS))} or .xlsx",
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


def _wants(wanted: str, unit: str) -> Iterator[Want]:
    if wanted != _DASH:
        yield from wanted_of_file(wanted, unit=unit)
        return
    # What is piped in may be anything that a file may be, and a workbook is no stream.
    with TemporaryDirectory() as folder:
        head = sys.stdin.buffer.read(len(_ZIP))
        path = os.path.join(folder, "stdin.xlsx" if head == _ZIP else "stdin")
        with open(path, "wb") as file:
            file.write(head)
            shutil.copyfileobj(sys.stdin.buffer, file)
        try:
            yield from wanted_of_file(path, unit=unit)
        except FitcheckError as error:
            raise InputError(
                value="stdin" if error.value == path else error.value,
                rule=error.rule.replace(path, "stdin"),
                todo=error.todo,
            ) from error


def write_answers(answers: Iterable[Crossed], tally: Tally, output: str) -> None:
    """Write crossed lines to a file as CSV, or as XLSX or JSON by its ending; ``-`` is stdout.

    Parameters
    ----------
    answers : iterable of Crossed
        The answers.
    tally : Tally
        Counts them while they pass.
    output : str
        The file.
    """
    if is_workbook(output):
        write_workbook(output, OUT_COLUMNS, rows(answers))
        return
    if os.path.splitext(output)[1].lower() == ".json":
        with text_file(output) as file:
            file.writelines(_json_pieces(answers, tally))
        return
    text = CsvText()
    if output == _DASH:
        target = sys.stdout.buffer
        for piece in text.pieces(answers):
            target.write(piece.encode("utf-8"))
        target.flush()
        return
    with text_file(output) as file:
        file.writelines(text.pieces(answers))


def _json_pieces(answers: Iterable[Crossed], tally: Tally) -> Iterator[str]:
    """One JSON object, piece by piece: the answers as they come, then the counts."""
    yield '{\n  "lines": ['
    between = "\n"
    for crossed in answers:
        yield between + indent(json_text(crossed_json(crossed)), "    ")
        between = ",\n"
    counts = json_text(tally.as_json()).removeprefix("{\n").removesuffix("\n}")
    yield f"\n  ],\n{counts}\n}}\n"


def _print(answers: Iterable[Crossed], tally: Tally, *, as_json: bool, one_list: bool) -> None:
    if as_json:
        for piece in _json_pieces(answers, tally):
            click.echo(piece, nl=False)
        return
    width = terminal_width()
    for crossed in answers:
        click.echo(crossed_text(crossed, width=width, one_list=one_list))
    if tally.wanted > 1:
        click.echo(counts_text(tally, width=width))
