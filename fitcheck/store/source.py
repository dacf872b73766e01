"""Stored lists as crossing takes them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from fitcheck.lists.items import SizeKey
from fitcheck.lists.pool import ClassLines, Fields
from fitcheck.store.lists_read import Moment, NamedBlock


class StoreSource:
    """Some lists of the store, or all, at one moment.

    Parameters
    ----------
    moment : Moment
        The store as it is read; it stays open until the crossing is done.
    names : sequence of str, optional
        The lists; all of them when left out.

    Raises
    ------
    NotKnownError
        There is no list of one of the names.
    """

    def __init__(self, moment: Moment, names: Sequence[str] | None = None) -> None:
        self._moment = moment
        self._lists = moment.named(names)

    def sizes(self) -> Iterable[SizeKey]:
        """The distinct sizes of all the lists."""
        found: dict[SizeKey, int] = {}
        for info in self._lists:
            found.update(self._moment.sizes(info.name))
        return list(found)

    def lines_of_sizes(
        self, sizes: Collection[SizeKey], columns: Sequence[str]
    ) -> Iterator[NamedBlock]:
        """The lines of some sizes; lines of other sizes may be among them."""
        if sizes:
            for info in self._lists:
                yield from self._moment.lines_of_sizes(info, sizes, columns=columns)

    def best(self, sizes: Collection[SizeKey], *, sort: str, top: int) -> Iterator[ClassLines]:
        """The first lines of each class, each by its place; ``shown`` reads what is shown of it."""
        if sizes:
            for info in self._lists:
                yield from self._moment.best(info).classes(sizes, sort=sort, top=top)

    def shown(self, name: str, places: Mapping[SizeKey, Collection[int]]) -> Mapping[int, Fields]:
        """The shown fields of lines that ``best`` gave by their places."""
        info = next((info for info in self._lists if info.name == name), None)
        return self._moment.best(info).shown(places) if info else {}

    def numbers(self, columns: Sequence[str]) -> Iterator[NamedBlock]:
        """All lines that have a part number."""
        for info in self._lists:
            yield from self._moment.lines(info, columns=columns, with_number=True)
