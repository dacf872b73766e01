"""Where crossing takes list lines from: anything that gives sizes and blocks of lines.

The store is one such source; lists held in memory, or read straight from files, are another.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any, Protocol

from fitcheck.lists.items import SIZE_FIELDS, SizeKey
from fitcheck.lists.lines import BLOCK_LINES, FIELD_NAMES, Block
from fitcheck.lists.pool import ClassLines, Fields, Pool

NamedBlock = tuple[str, Block]


class LineSource(Protocol):
    """Lists as crossing sees them."""

    def sizes(self) -> Iterable[SizeKey]:
        """The distinct sizes of all the lists."""

    def lines_of_sizes(
        self, sizes: Collection[SizeKey], columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """The lines of some sizes, in blocks of one list each; lines of other sizes may be among
        them."""

    def best(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class of some sizes, in an order, at most so many of a class."""

    def shown(self, name: str, places: Mapping[SizeKey, Collection[int]]) -> Mapping[int, Fields]:
        """The shown fields of lines of a list that ``best`` gave by their places, by place."""

    def numbers(self, columns: Sequence[str]) -> Iterator[NamedBlock]:
        """All lines that have a part number, in blocks of one list each; others may be among
        them."""


class BlockSource:
    """A source over lists that can be gone through again and again.

    Parameters
    ----------
    lists : mapping of str to callable
        For each list's name, what gives its blocks from the beginning.
    """

    def __init__(self, lists: Mapping[str, Callable[[], Iterable[Block]]]) -> None:
        self._lists = lists

    def sizes(self) -> Iterable[SizeKey]:
        """The distinct sizes of all the lists."""
        found: dict[tuple[Any, ...], None] = {}
        for _, block in self._blocks():
            blank: list[Any] = [None] * len(block)
            columns = [block.columns.get(name, blank) for name in SIZE_FIELDS]
            found.update(dict.fromkeys(zip(*columns, strict=True)))
        return [SizeKey(*key) for key in found]

    def lines_of_sizes(
        self, sizes: Collection[SizeKey], columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """All lines: the pool passes over those it has no use for."""
        del columns
        return self._blocks() if sizes else iter(())

    def best(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class, all their fields among them."""
        pool = Pool(sizes, sort=sort, top=top)
        for name, block in self._blocks() if sizes else ():
            pool.add(name, block)
        return pool.classes()

    def shown(self, name: str, places: Mapping[SizeKey, Collection[int]]) -> Mapping[int, Fields]:
        """Nothing: every line carries its fields."""
        del name, places
        return {}

    def numbers(self, columns: Sequence[str]) -> Iterator[NamedBlock]:
        """All lines."""
        del columns
        return self._blocks()

    def _blocks(self) -> Iterator[NamedBlock]:
        for name, blocks in self._lists.items():
            for block in blocks():
                yield name, block


class JoinedSource:
    """Several sources as one.

    Parameters
    ----------
    *parts : LineSource
        The sources, in the order their lines come.
    numbers_from : sequence of LineSource, optional
        Where part numbers are looked up: a number of a list that is not asked for still tells
        what is wanted. The parts themselves when left out.
    """

    def __init__(
        self, *parts: LineSource, numbers_from: Sequence[LineSource] | None = None
    ) -> None:
        self._parts = parts
        self._numbers_from = parts if numbers_from is None else numbers_from

    def sizes(self) -> Iterable[SizeKey]:
        """The distinct sizes of all the lists."""
        return list(dict.fromkeys(size for part in self._parts for size in part.sizes()))

    def lines_of_sizes(
        self, sizes: Collection[SizeKey], columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """The lines of some sizes, one source after the other."""
        for part in self._parts:
            yield from part.lines_of_sizes(sizes, columns)

    def best(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class, one source after the other."""
        for part in self._parts:
            yield from part.best(sizes, sort=sort, top=top)

    def shown(self, name: str, places: Mapping[SizeKey, Collection[int]]) -> Mapping[int, Fields]:
        """The shown fields, from the source that has them."""
        return next(filter(None, (part.shown(name, places) for part in self._parts)), {})

    def numbers(self, columns: Sequence[str]) -> Iterator[NamedBlock]:
        """All lines that have a part number, one source after the other."""
        for part in self._numbers_from:
            yield from part.numbers(columns)


def rows_source(lists: Mapping[str, Sequence[Mapping[str, Any]]]) -> BlockSource:
    """A source over lists given row by row.

    Parameters
    ----------
    lists : mapping of str to sequence of mapping
        For each list's name its lines, each with the fields it gives.
    """

    def blocks(rows: Sequence[Mapping[str, Any]]) -> Iterator[Block]:
        for first in range(0, len(rows), BLOCK_LINES):
            part = rows[first : first + BLOCK_LINES]
            yield Block({name: [row.get(name) for row in part] for name in FIELD_NAMES})

    return BlockSource({name: partial(blocks, rows) for name, rows in lists.items()})
