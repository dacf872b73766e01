"""`fitcheck batch`: many requests at once, from one CSV file to another."""

from __future__ import annotations

import codecs
import csv
import io
import os
import signal
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from types import FrameType
from typing import Any, TextIO

import click

from fitcheck.cli.common import (
    Command,
    json_option,
    open_text,
    print_json,
    progress,
    unit_option,
)
from fitcheck.cli.saving import text_file
from fitcheck.errors import InputError
from fitcheck.identify import CERTAINTY
from fitcheck.job.batch.answer import ANSWER_COLUMNS, Tally, answers
from fitcheck.job.batch.csv_rows import MAX_ROW
from fitcheck.job.batch.row import DEFAULT_RANKS, BatchRequest

EXAMPLES = """\b
Columns of READINGS, in any order; those that are not needed may be left out:
  id,part,shaft,track,bore,pocket,old_od,old_lip,old_width,
  od,width,cone_width,cup_width,thickness,mark,instrument,unit
part is seal or bearing, a blank cell was not measured, and bore serves both.
A cell may hold several readings of one place: 52.02; 52.04@bore-gauge.

\b
Columns of the answer:
  id,rank,size,probability,verdict,finding,next_reading
The line of rank 1 carries the verdict on the request, with what speaks for
or against it and what to read next; the other lines carry the verdict on
their size alone. A row that can't be read gives one line, verdict refused,
with the reason as its finding; the other rows are answered. A blank id
becomes the line's number (line 7), and an id that comes twice is answered
twice. A text that a spreadsheet would run as a formula (= + - @ in front)
gets an apostrophe before it; a plain number stays as it is.

\b
Examples:
  printf 'id,part,shaft,bore\\n7,seal,34.92,52.02\\n' | fitcheck batch -
  printf 'part,bore,od\\nbearing,30,62\\n' | fitcheck batch - -o answers.csv
"""

# Exit status of a run that was ended by a signal, as shells give it.
_ENDED = 128
_BLOCK = 1 << 20
_DASH = "-"


@click.command(name="batch", cls=Command, epilog=EXAMPLES)
@click.argument("readings", metavar="READINGS.csv")
@click.option(
    "-o",
    "--output",
    default=_DASH,
    metavar="ANSWERS.csv",
    help="Where the answers go; stdout when left out, or for -.",
)
@click.option(
    "--top", default=DEFAULT_RANKS, show_default=True, help="Sizes to list at most for each row."
)
@click.option(
    "--certainty", default=CERTAINTY, show_default=True, help="Share a size needs to be sure."
)
@click.option("--no-next", is_flag=True, help="Leave next_reading blank, which is quicker.")
@unit_option
@json_option
def batch(
    *,
    readings: str,
    output: str,
    top: int,
    certainty: float,
    no_next: bool,
    unit: str,
    as_json: bool,
) -> None:
    """Answer every row of READINGS.csv: which seal or bearing it is.

    The file is UTF-8 with one header line; - reads stdin. A file of any length
    is answered in the same memory. The answers appear under their name when
    they are complete, or not at all. With --json the counts are printed.

    Rows that are piped in wait for each other: they are answered when there are
    4096 of them, or at the end.
    """
    if as_json and output == _DASH:
        raise InputError(
            value="--json",
            rule="the counts and the answers can't both go to stdout",
            todo="Name a file for the answers with -o",
        )
    _refuse_same(readings, output)
    tally = Tally()
    request = BatchRequest(unit=unit, certainty=certainty, top=top, advise=not no_next)
    count = _checked_count(readings)
    with _opened(readings) as source, _ending(), _saved(output) as target:
        lines: Iterable[str] = iter(partial(source.readline, MAX_ROW + 1), "")
        if count is not None:
            lines = progress(lines, label="rows", length=count)
        found = answers(lines, request, tally=tally)
        writer = csv.writer(target)
        writer.writerow(ANSWER_COLUMNS)
        for rows in found:
            writer.writerows(rows)
    counts = tally.as_json()
    if counts["refused"]:
        click.echo(
            f"fitcheck: {counts['refused']} of {counts['rows']} rows were refused; "
            "the column finding says why",
            err=True,
        )
    if as_json:
        print_json(counts)


def _refuse_same(readings: str, output: str) -> None:
    """Refuse to write over what is read, under whatever name."""
    with suppress(OSError, io.UnsupportedOperation):
        read = os.fstat(sys.stdin.fileno()) if readings == _DASH else os.stat(readings)
        if output != _DASH and stat.S_ISREG(read.st_mode):
            if not os.path.samestat(read, os.stat(output)):
                return
            raise InputError(
                value=output,
                rule="the answers would replace the readings",
                todo="Name another file with -o",
            )


def _checked_count(readings: str) -> int | None:
    """How many lines a file has, once it is known to be text; None for what is read only once.

    A file that is no text is refused before anything is written.
    """
    # What can't be read is reported when it is opened as text.
    if readings == _DASH or not os.path.isfile(readings) or not os.access(readings, os.R_OK):
        return None
    decoder = codecs.getincrementaldecoder("utf-8")()
    lines = 1
    with open(readings, "rb") as handle:
        while True:
            block = handle.read(_BLOCK)
            try:
                decoder.decode(block, final=not block)
            except UnicodeDecodeError as error:
                line = lines + error.object[: error.start].count(b"\n")
                raise _not_text(f"{readings} line {line}") from error
            if not block:
                return lines
            lines += block.count(b"\n")


def _not_text(value: str) -> InputError:
    return InputError(
        value=value, rule="this is not UTF-8 text", todo="Save it as UTF-8 and try again"
    )


@contextmanager
def _opened(readings: str) -> Iterator[TextIO]:
    """The readings as text, line ends as they are, read as they come."""
    if readings != _DASH:
        with open_text(readings) as handle:
            assert isinstance(handle, io.TextIOWrapper)
            handle.reconfigure(newline="")
            yield handle
        return
    # A byte-order mark is what spreadsheets put before UTF-8; it is no part of the text.
    stream = io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8-sig", newline="")
    try:
        yield stream
    except UnicodeDecodeError as error:
        raise _not_text("stdin") from error
    finally:
        stream.detach()


@contextmanager
def _ending() -> Iterator[None]:
    """Let a signal to end the run as an exception does, so that half a file is cleared away."""

    def end(number: int, _frame: FrameType | None) -> None:
        raise SystemExit(_ENDED + number)

    before: dict[int, Any] = {}
    try:
        for name in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                number = getattr(signal, name)
                # Only the main thread may set this, and a signal that is ignored stays so.
                with suppress(ValueError):
                    if signal.getsignal(number) is signal.SIG_DFL:
                        before[number] = signal.signal(number, end)
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


class _Stdout:
    """Stdout as UTF-8 whatever the locale, with line ends left alone."""

    def write(self, text: str) -> int:
        return sys.stdout.buffer.write(text.encode("utf-8"))


@contextmanager
def _saved(output: str) -> Iterator[_Stdout | TextIO]:
    """A file to write that takes its name when it is complete, and is cleared away otherwise."""
    if output == _DASH:
        yield _Stdout()
        sys.stdout.buffer.flush()
        return
    with text_file(output) as target:
        yield target
