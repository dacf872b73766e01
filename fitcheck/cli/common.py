"""What every command shares: exit statuses, options, JSON, text to width, files and progress."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from enum import Enum
from io import StringIO
from typing import Any, TextIO, TypeVar

import click

from fitcheck.errors import FitcheckError, InputError, printable

T = TypeVar("T")
F = TypeVar("F", bound=Callable[..., Any])

# Digits kept after the point in JSON: a nanometre in mm, far below what any value here means.
JSON_DECIMALS = 6
NARROWEST_TEXT_COLUMN = 10


class Failure(click.ClickException):
    """The program could not answer; shown as one line on stderr, exit status 1."""

    def show(self, file: Any = None) -> None:
        """Print ``fitcheck: message``."""
        click.echo(f"fitcheck: {printable(self.format_message())}", file=file or sys.stderr)


class Refusal(Failure):
    """What was asked can't be understood; exit status 2."""

    exit_code = InputError.exit_status


@contextmanager
def _statuses() -> Iterator[None]:
    """Turn the program's own errors into messages with their exit status."""
    try:
        yield
    except FitcheckError as error:
        kind = Refusal if error.exit_status == Refusal.exit_code else Failure
        raise kind(str(error)) from error


def _refuse_repeats(command: click.Command, ctx: click.Context, args: list[str]) -> None:
    """Refuse an option that says two things; an option of readings may be given several times."""
    # A copy: the parser takes the words out of the list it is given.
    _, _, order = command.make_parser(ctx).parse_args(args=list(args))
    seen: set[str | None] = set()
    for option in order:
        single = isinstance(option, click.Option) and not (
            option.multiple or option.count or option.is_flag
        )
        if single and option.name in seen and not ctx.resilient_parsing:
            raise click.BadOptionUsage(
                option.opts[-1],
                f"Option '{option.opts[-1]}' was given twice, and takes one value. "
                "Leave one of the two out.",
                ctx=ctx,
            )
        seen.add(option.name)


class Command(click.Command):
    """A command whose failures reach the user as one line and the right exit status.

    An option that takes one value is refused when it is given twice: the last one does not win.
    """

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the arguments, each option of one value once."""
        _refuse_repeats(self, ctx, args)
        return super().parse_args(ctx, args)

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        """Read the arguments; options may raise the program's own errors."""
        with _statuses():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command."""
        with _statuses():
            return super().invoke(ctx)


class Group(click.Group):
    """A group of commands; failures inside it are shown as those of a single command."""

    command_class = Command
    group_class = type

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the arguments of the group itself, each option of one value once."""
        _refuse_repeats(self, ctx, args)
        return super().parse_args(ctx, args)

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        """Read the arguments; options may raise the program's own errors."""
        with _statuses():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the group and the command inside it."""
        with _statuses():
            return super().invoke(ctx)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; a mistyped one is answered with the nearest name."""
        name = args[0]
        names = self.list_commands(ctx)
        if name in names or name.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        from difflib import get_close_matches

        near = get_close_matches(name, names, n=1, cutoff=0.5)
        hint = f"Did you mean '{near[0]}'?" if near else f"There are: {', '.join(names)}."
        raise click.UsageError(f"No such command '{name}'. {hint}", ctx=ctx)


def reading_option(*names: str, help: str, metavar: str = "READING") -> Callable[[F], F]:
    """An option that is measured: given several times it is several readings of one thing.

    Parameters
    ----------
    *names : str
        The option as typed, and the name it is handed over by where that is another.
    help : str
        What is measured.
    metavar : str
        What the help shows for its value.
    """
    return click.option(*names, multiple=True, metavar=metavar, help=help)


def json_option(command: F) -> F:
    """Add ``--json``, handed over as ``as_json``."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print the answer as one JSON object."
    )(command)


def unit_option(command: F) -> F:
    """Add ``--unit``, handed over as ``unit``: what a bare length is in."""
    return click.option(
        "--unit",
        type=click.Choice(["mm", "in"]),
        default="mm",
        show_default=True,
        help="Unit of lengths that are written without one.",
    )(command)


def tidy(value: Any) -> Any:
    """A value as JSON can carry it: records and mappings become objects, floats are rounded.

    Raises
    ------
    TypeError
        The value is of a kind that has no JSON form here.

    Examples
    --------
    >>> tidy({"bore_mm": 52.00000000001, "counts": (1, 2)})
    {'bore_mm': 52.0, 'counts': [1, 2]}
    """
    kind = type(value)
    # Nearly all of an answer is of these; what derives from them is looked at below.
    if kind is str or value is None or kind is bool or kind is int:
        return value
    if kind is dict:
        return {str(key): tidy(item) for key, item in value.items()}
    if kind is list or kind is tuple:
        return [tidy(item) for item in value]
    if isinstance(value, bool | int | str):
        return value.value if isinstance(value, Enum) else value
    if isinstance(value, float):
        # Adding zero turns a rounded -0.0 into 0.0.
        return round(float(value), JSON_DECIMALS) + 0.0
    if isinstance(value, Enum):
        return tidy(value.value)
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: tidy(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): tidy(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [tidy(item) for item in value]
    raise TypeError(f"{value!r} of type {type(value).__name__} has no JSON form")


def print_json(value: Any) -> None:
    """Print one JSON object on stdout."""
    click.echo(json_text(value))


def json_text(value: Any) -> str:
    """A value as JSON text on lines of its own, without a line end at its close."""
    text = json.dumps(tidy(value), ensure_ascii=False, indent=2, allow_nan=False)
    # Letters of any language stay readable; what a terminal would obey or hide is spelled out.
    return "".join(c if c.isprintable() or c == "\n" else json.dumps(c)[1:-1] for c in text)


def terminal_width() -> int:
    """Characters that fit on a line: the terminal's width, 80 where there is none."""
    from shutil import get_terminal_size

    return max(40, get_terminal_size((80, 24)).columns)


def wrap(text: str, *, width: int = 80, indent: str = "", hanging: str | None = None) -> str:
    """Break paragraphs to a width; sizes and part numbers are never broken.

    Parameters
    ----------
    text : str
        One or more paragraphs, parted by blank lines.
    width : int
        Longest line, in characters.
    indent : str
        What the first line of each paragraph starts with.
    hanging : str, optional
        What its other lines start with; the same as ``indent`` when left out.

    Returns
    -------
    str
        The text, without a line end at its close.

    Examples
    --------
    >>> print(wrap("The land reads 34.92 mm.", width=16, indent="- ", hanging="  "))
    - The land reads
      34.92 mm.
    """
    from textwrap import fill

    rest = indent if hanging is None else hanging
    return "\n\n".join(
        fill(
            " ".join(paragraph.split()),
            width=width,
            initial_indent=indent,
            subsequent_indent=rest,
            break_long_words=False,
            break_on_hyphens=False,
        )
        for paragraph in text.split("\n\n")
    )


def aligned(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    right: frozenset[int] | set[int] = frozenset(),
    width: int = 80,
) -> str:
    """Columns side by side, fitted to a width where that can be done.

    When the columns do not fit, long headings are stacked at their underscores, and then text
    columns are wrapped, the widest first.

    Parameters
    ----------
    header : sequence of str
        The heading of each column.
    rows : sequence of sequence of str
        The cells, as many in each row as there are headings.
    right : set of int
        Numbers of the columns that are set to the right.
    width : int
        Longest line wanted, in characters.

    Returns
    -------
    str
        The lines, without a line end at their close.

    Examples
    --------
    >>> print(aligned(["size", "rows"], [["a", "7"], ["b", "12"]], right={1}))
    size  rows
    a        7
    b       12
    """
    widest = [max([len(row[i]) for row in rows] or [0]) for i in range(len(header))]
    heads = [[name] for name in header]
    if _line_length([max(w, len(h)) for w, h in zip(widest, header, strict=True)]) > width:
        heads = [_stacked(h, w) for w, h in zip(widest, header, strict=True)]
    sizes = [max(w, *(len(part) for part in h)) for w, h in zip(widest, heads, strict=True)]
    floors = [
        max(
            NARROWEST_TEXT_COLUMN,
            *(len(part) for part in head),
            *(len(word) for row in rows for word in row[i].split()),
        )
        for i, head in enumerate(heads)
    ]
    while _line_length(sizes) > width:
        loose = [i for i in range(len(sizes)) if i not in right and sizes[i] > floors[i]]
        if not loose:
            break
        sizes[max(loose, key=lambda i: sizes[i])] -= 1
    depth = max(len(h) for h in heads)
    lines = [
        _line([h[k - depth + len(h)] if k >= depth - len(h) else "" for h in heads], sizes, right)
        for k in range(depth)
    ]
    for row in rows:
        cells = [_folded(cell, size) for cell, size in zip(row, sizes, strict=True)]
        for k in range(max(len(cell) for cell in cells)):
            lines.append(_line([c[k] if k < len(c) else "" for c in cells], sizes, right))
    return "\n".join(lines)


def _line_length(sizes: Sequence[int]) -> int:
    return sum(sizes) + 2 * (len(sizes) - 1)


def _line(cells: Sequence[str], sizes: Sequence[int], right: frozenset[int] | set[int]) -> str:
    placed = (
        cell.rjust(size) if i in right else cell.ljust(size)
        for i, (cell, size) in enumerate(zip(cells, sizes, strict=True))
    )
    return "  ".join(placed).rstrip()


def _stacked(name: str, size: int) -> list[str]:
    """A heading in several lines, broken at underscores, for a column of narrow cells."""
    words = name.split("_")
    room = max(size, *(len(word) for word in words))
    lines = [words[0]]
    for word in words[1:]:
        if len(lines[-1]) + 1 + len(word) <= room:
            lines[-1] += f"_{word}"
        else:
            lines.append(word)
    return lines


def _folded(cell: str, size: int) -> list[str]:
    return wrap(cell, width=size).split("\n") if len(cell) > size else [cell]


@contextmanager
def open_text(path: str) -> Iterator[TextIO]:
    """Open a text file for reading; ``-`` is stdin.

    Raises
    ------
    InputError
        The file isn't there, can't be read, or isn't UTF-8 text.
    """
    try:
        if path == "-":
            # A byte-order mark is what spreadsheets put before UTF-8; it is no part of the text.
            yield StringIO(sys.stdin.buffer.read().decode("utf-8-sig"), newline=None)
        else:
            with open(path, encoding="utf-8-sig") as handle:
                yield handle
    except UnicodeDecodeError as error:
        raise InputError(
            value="stdin" if path == "-" else path,
            rule=f"this is not UTF-8 text (byte {error.start})",
            todo="Save it as UTF-8 and try again",
        ) from error
    except FileNotFoundError as error:
        if error.filename != path:
            raise
        raise InputError(
            value=path, rule="there is no such file", todo="Check the name, or use - for stdin"
        ) from error
    except (IsADirectoryError, PermissionError) as error:
        if error.filename != path:
            raise
        raise InputError(
            value=path,
            rule=f"this can't be read as a file ({os.strerror(error.errno or 0)})",
            todo="Name a file that you may read",
        ) from error


def progress(items: Iterable[T], *, label: str, length: int | None = None) -> Iterator[T]:
    """Hand the items on, with a bar on stderr where somebody can see it."""
    if not sys.stderr.isatty():
        yield from items
        return
    with click.progressbar(items, label=label, length=length, file=sys.stderr) as bar:
        yield from bar
