"""Picture files of the commands: written whole or not at all, under names that are file names."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from contextlib import ExitStack, suppress
from typing import Any, TypeVar

import click

from fitcheck.cli import saving
from fitcheck.cli.saving import text_file
from fitcheck.errors import InputError

F = TypeVar("F", bound=Callable[..., Any])

_LONGEST_NAME = 60


def svg_output_option(command: F) -> F:
    """Add ``-o``, handed over as ``output``: the file, or stdout."""
    return click.option(
        "-o",
        "--output",
        default="-",
        metavar="FILE",
        help="The file to write, ending in .svg; stdout without it.",
    )(command)


def kind_of(output: str, *, kinds: tuple[str, ...]) -> str:
    """The kind of picture a file name asks for; stdout is always SVG.

    Parameters
    ----------
    output : str
        The file, or ``-``.
    kinds : tuple of str
        The kinds there are, the usual one first.

    Raises
    ------
    InputError
        The name ends in none of them.

    Examples
    --------
    >>> kind_of("seal.SVG", kinds=("svg",))
    'svg'
    """
    if output == "-":
        return kinds[0]
    ending = os.path.splitext(output)[1].lower().removeprefix(".")
    if ending not in kinds:
        raise InputError(
            value=output,
            rule=f"a picture is written as {' or '.join(kind.upper() for kind in kinds)}",
            todo=f"Give the file a name that ends in {' or '.join(f'.{kind}' for kind in kinds)}",
        )
    return ending


def write_svg(output: str, text: str) -> None:
    """Write an SVG document to a file or to stdout.

    Parameters
    ----------
    output : str
        The file, or ``-``.
    text : str
        The document.

    Raises
    ------
    InputError
        No file can be written there, or its name ends otherwise.
    Failure
        It can't be written to the end.
    """
    kind_of(output, kinds=("svg",))
    if output == "-":
        click.echo(text, nl=False)
        return
    with text_file(output) as target:
        target.write(text)


def write_bytes(output: str, content: bytes) -> None:
    """Write a picture to a file or to stdout.

    Parameters
    ----------
    output : str
        The file, or ``-``.
    content : bytes
        The picture.

    Raises
    ------
    InputError
        No file can be written there.
    Failure
        It can't be written to the end.
    """
    if output == "-":
        click.echo(content, nl=False)
        return
    saving.write_bytes(output, content)


def write_svgs(folder: str, drawings: Mapping[str, str]) -> dict[str, str]:
    """Write several SVG documents into a folder, all of them or none.

    Parameters
    ----------
    folder : str
        The folder; made where it isn't there.
    drawings : mapping of str to str
        Documents by title.

    Returns
    -------
    dict of str to str
        The path of each, by its title.

    Raises
    ------
    InputError
        There is nothing to write, or no folder can be there.
    Failure
        They can't be written to the end.
    """
    if not drawings:
        raise InputError(
            value=folder,
            rule="no position is decided, so there is nothing to draw",
            todo="Take the readings the card asks for; `fitcheck hub SHEET` names them",
        )
    made = _folder(folder)
    paths = {title: os.path.join(folder, name) for title, name in file_names(drawings).items()}
    try:
        with ExitStack() as stack:
            # Each takes its name when all of them are complete.
            for title, path in paths.items():
                target = stack.enter_context(text_file(path))
                target.write(drawings[title])
                target.flush()
    except BaseException:
        if made:
            with suppress(OSError):
                os.rmdir(folder)
        raise
    return paths


def _folder(folder: str) -> bool:
    """Make the folder where it isn't there; tells whether it was made."""
    if os.path.isdir(folder):
        return False
    try:
        os.mkdir(folder)
    except OSError as error:
        raise InputError(
            value=folder,
            rule=f"no folder can be made there ({os.strerror(error.errno or 0)})",
            todo="Name a folder in a place that is there and that you may write to",
        ) from error
    return True


def file_names(titles: Iterable[str]) -> dict[str, str]:
    """A file name for each title: letters, digits and hyphens only, no two alike.

    Examples
    --------
    >>> file_names(["inner seal", "Inner  seal!", "../x"])
    {'inner seal': 'inner-seal.svg', 'Inner  seal!': 'inner-seal-2.svg', '../x': 'x.svg'}
    """
    found: dict[str, str] = {}
    used: set[str] = set()
    for title in titles:
        words = "".join(c if c.isalnum() else " " for c in title.lower()).split()
        # Counted in bytes: file systems do, and any script may be in a name.
        body = "-".join(words).encode()[:_LONGEST_NAME].decode(errors="ignore").strip("-")
        body = body or "drawing"
        name, number = body, 1
        while name in used:
            number += 1
            name = f"{body}-{number}"
        used.add(name)
        found[title] = f"{name}.svg"
    return found
