"""The lists a command works with: from the shop's store, or straight from files."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import click

from fitcheck.errors import InputError
from fitcheck.lists.lines import Block
from fitcheck.lists.source import BlockSource, JoinedSource, LineSource


@contextmanager
def shop_source(
    names: Sequence[str] = (), *, every: bool = False, files: Sequence[str] = (), unit: str = "mm"
) -> Iterator[LineSource]:
    """Stored lists and files as one source, at one moment.

    Part numbers are looked up in every stored list, whichever are asked for.

    Parameters
    ----------
    names : sequence of str
        Stored lists.
    every : bool
        Whether all stored lists are meant.
    files : sequence of str
        Lists that are read without being stored, named after their files.
    unit : str
        ``mm`` or ``in``, of sizes in files that name none.

    Raises
    ------
    NotKnownError
        There is no store or no list of a name.
    InputError
        Two lists have one name, or a file can't be read.
    """
    parts: list[LineSource] = []
    if files:
        parts.append(_file_source(files, names, unit))
    if not (names or every):
        yield JoinedSource(*parts)
        return
    from fitcheck.store import open_store
    from fitcheck.store.source import StoreSource

    with open_store().moment() as moment:
        asked = StoreSource(moment, None if every else list(names))
        yield JoinedSource(asked, *parts, numbers_from=(StoreSource(moment), *parts))


def _file_source(files: Sequence[str], names: Sequence[str], unit: str) -> BlockSource:
    held: dict[str, list[Block]] = {}
    for path in files:
        name = os.path.basename(path)
        if name in held or name in names:
            raise InputError(
                value=path,
                rule=f"two lists would be called {name}",
                todo="Rename the file, or leave one of them out",
            )
        held[name] = list(list_blocks(path, unit=unit))
    return BlockSource({name: blocks.__iter__ for name, blocks in held.items()})


def list_blocks(path: str, *, unit: str = "mm") -> Iterator[Block]:
    """The lines of a supplier's file; how many were refused or repaired is told on stderr.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    unit : str
        ``mm`` or ``in``, of sizes that name none.
    """
    from fitcheck.lists.understand import read_list

    # A list tells its own unit where it can; mm is what is left then.
    reading = read_list(path, unit=unit if unit == "in" else "")
    for block, _ in reading.blocks():
        yield block
    tally = reading.tally
    told = [
        f"{count} {outcome}"
        for count, outcome in ((tally.refused, "refused"), (tally.repaired, "repaired"))
        if count
    ]
    if told:
        click.echo(
            f"fitcheck: {path}: of {tally.lines} lines {' and '.join(told)}; "
            "`fitcheck lists add` writes the reasons into a file",
            err=True,
        )
