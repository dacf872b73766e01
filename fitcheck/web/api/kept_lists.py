"""What was read of the shop's lists, kept until something in the store changes.

A size that was asked for before costs no statement: where many ask, most sizes come again.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field

from fitcheck.cli.offers import ListsChangedError, Sources, stored_lists
from fitcheck.lists.items import SizeKey
from fitcheck.lists.pool import ClassLines, Fields
from fitcheck.lists.source import LineSource, NamedBlock
from fitcheck.web.api.kept import store_stamp

# Sizes and lines that are kept of one list; then it is begun anew.
_MOST = 50_000
Stamp = tuple[int, ...]
Opened = Callable[[], Mapping[str, LineSource]]
Best = dict[tuple[SizeKey, str, int], list[ClassLines]]


@dataclass(slots=True)
class _Known:
    """What was read of one list.

    Several threads read it at once: whoever reads takes what he finds at the start and looks no
    second time. Nothing is ever taken out of these; one that is full makes way for another.
    """

    sizes: list[SizeKey] | None = None
    best: Best = field(default_factory=dict)
    shown: dict[int, Fields] = field(default_factory=dict)

    def keep_best(self, read: Best) -> None:
        """Add first lines that were read."""
        if len(self.best) > _MOST:
            self.best = {}
        self.best.update(read)

    def keep_shown(self, read: Mapping[int, Fields]) -> None:
        """Add shown fields that were read."""
        if len(self.shown) > _MOST:
            self.shown = {}
        self.shown.update(read)


@dataclass(slots=True)
class _Memory:
    """What was read of the store while it looked so."""

    stamp: Stamp
    lists: dict[str, _Known]


class KeptSource:
    """One list: from memory where it was read before, else from the store.

    Parameters
    ----------
    name : str
        The list.
    known : _Known
        What was read of it.
    opened : callable
        Opens the store, where it was not opened yet, and gives its lists.
    """

    def __init__(self, name: str, known: _Known, opened: Opened) -> None:
        self._name, self._known, self._opened = name, known, opened

    def sizes(self) -> Iterable[SizeKey]:
        """The distinct sizes of the list."""
        sizes = self._known.sizes
        if sizes is None:
            sizes = self._known.sizes = list(self._read().sizes())
        return sizes

    def best(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class of some sizes."""
        known = self._known.best
        found = {size: known.get((size, sort, top)) for size in sizes}
        missing = [size for size, lines in found.items() if lines is None]
        if missing:
            read: dict[SizeKey, list[ClassLines]] = {size: [] for size in missing}
            for line in self._read().best(missing, sort=sort, top=top):
                read[line[0]].append(line)
            found.update(read)
            self._known.keep_best({(size, sort, top): lines for size, lines in read.items()})
        for lines in found.values():
            yield from lines or ()

    def shown(self, name: str, places: Mapping[SizeKey, Collection[int]]) -> Mapping[int, Fields]:
        """The shown fields of lines by their places."""
        known = self._known.shown
        wanted = dict.fromkeys(place for lines in places.values() for place in lines)
        found = {place: fields for place in wanted if (fields := known.get(place)) is not None}
        missing = {
            size: unread
            for size, lines in places.items()
            if (unread := [place for place in lines if place not in found])
        }
        if missing:
            read = self._read().shown(name, missing)
            found.update(read)
            self._known.keep_shown(read)
        return found

    def lines_of_sizes(
        self, sizes: Collection[SizeKey], columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """The lines of some sizes, from the store."""
        return self._read().lines_of_sizes(sizes, columns)

    def numbers(self, columns: Sequence[str]) -> Iterator[NamedBlock]:
        """All lines that have a part number, from the store."""
        return self._read().numbers(columns)

    def _read(self) -> LineSource:
        return self._opened()[self._name]


class KeptLists:
    """The lists as the offers of an answer take them."""

    def __init__(self) -> None:
        self._memory: _Memory | None = None

    @contextmanager
    def open(self) -> Iterator[Sources]:
        """The lists by name; the store is opened where something was not read before."""
        stamp = store_stamp()
        if not stamp:
            # No store yet, or one on a server, whose changes can't be seen from outside.
            with stored_lists() as sources:
                yield sources
            return
        memory = self._memory
        if memory is None or memory.stamp != stamp:
            with stored_lists() as sources:
                fresh = _Memory(stamp, {name: _Known() for name in sources})
                # What was read is that of the stamp only where nothing was written meanwhile.
                if store_stamp() == stamp:
                    self._memory = fresh
                yield {
                    name: KeptSource(name, fresh.lists[name], lambda: sources)
                    for name in fresh.lists
                }
            return
        with ExitStack() as stack:
            opened: list[Sources] = []

            def read() -> Sources:
                if not opened:
                    opened.append(stack.enter_context(stored_lists()))
                    if store_stamp() != stamp:
                        raise ListsChangedError
                return opened[0]

            yield {name: KeptSource(name, known, read) for name, known in memory.lists.items()}
