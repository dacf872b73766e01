"""The best lines of each class of lines: same size, same execution.

Only the first lines of a class in the order asked for can ever be shown, so no more are kept:
memory goes by the classes, not by the lines.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from typing import Any, NamedTuple

from fitcheck.errors import InputError
from fitcheck.lists.items import EXECUTION_FIELDS, SIZE_FIELDS, Execution, SizeKey
from fitcheck.lists.lines import Block

SORTS = ("price", "lead", "stock")

_SIZE_PARTS = len(SIZE_FIELDS)
_CLASS_FIELDS = (*SIZE_FIELDS, *EXECUTION_FIELDS)
SHOWN_FIELDS = (
    "line",
    "part_number",
    "description",
    "price",
    "currency",
    "pack",
    "minimum",
    "lead_days",
    "on_hand",
)
# The columns of a block that crossing reads.
POOL_FIELDS = (*_CLASS_FIELDS, *SHOWN_FIELDS)

# A class is cut back to its best lines when it has grown by this many times.
_SLACK = 8


_Columns = dict[str, list[Any]]


class Line(NamedTuple):
    """A list line as an alternative."""

    list: str
    line: int
    part_number: str | None
    description: str | None
    price: str | None
    currency: str | None
    pack: int | None
    minimum: int | None
    lead_days: int | None
    on_hand: int | None


def _by_price(columns: _Columns) -> Iterator[tuple[Any, ...]]:
    """Cheapest first; currencies are not converted, so they stand apart by their code."""
    for price, currency in zip(columns["price"], columns["currency"], strict=True):
        yield (1, "", 0.0) if price is None else (0, currency or "", float(price))


def _by_lead(columns: _Columns) -> Iterator[tuple[Any, ...]]:
    for days in columns["lead_days"]:
        yield (1, 0) if days is None else (0, days)


def _by_stock(columns: _Columns) -> Iterator[tuple[Any, ...]]:
    for pieces in columns["on_hand"]:
        yield (1, 0) if pieces is None else (0, -pieces)


_ORDERS: dict[str, Callable[[_Columns], Iterator[tuple[Any, ...]]]] = {
    "price": _by_price,
    "lead": _by_lead,
    "stock": _by_stock,
}

# A line as it is kept: its order, its list, its number, and all its shown fields, or else its place
# in the list, where it is read once it is sure to be shown. Tuples of plain values sort fast; one
# becomes a ``Line`` only when it is shown.
Fields = tuple[Any, ...]
Kept = tuple[tuple[Any, ...], str, int, Fields | int]

Classes = dict[Execution, list[Kept]]
# The kept lines of one class, in their order.
ClassLines = tuple[SizeKey, Execution, list[Kept]]


def check_order(sort: str, top: int) -> None:
    """Refuse an order that there isn't, and a list of nothing.

    Parameters
    ----------
    sort : str
        ``price``, ``lead`` or ``stock``.
    top : int
        How many lines of one class can be shown at most.

    Raises
    ------
    InputError
        The order is unknown, or nothing is to be shown.
    """
    if sort not in _ORDERS:
        raise InputError(
            value=sort,
            rule="alternatives of one grade are ordered by price, lead or stock",
            todo="Use --sort price, --sort lead or --sort stock",
        )
    if top < 1:
        raise InputError(
            value=str(top), rule="at least one alternative is shown", todo="Give 1 or more"
        )


def _rank(kept: Kept) -> tuple[Any, ...]:
    return kept[:3]


def joined_classes(found: Iterable[ClassLines], top: int) -> dict[SizeKey, Classes]:
    """The classes of several lists together, by size: of each the best lines.

    Parameters
    ----------
    found : iterable of ClassLines
        The classes of each list, each in its order.
    top : int
        How many lines of one class can be shown at most.
    """
    by_size: dict[SizeKey, Classes] = {}
    for size, made, kept in found:
        classes = by_size.setdefault(size, {})
        before = classes.get(made)
        # Fields and places are not compared: a file may stand beside the stored list it went into.
        classes[made] = kept if before is None else sorted(before + kept, key=_rank)[:top]
    return by_size


class Pool:
    """Lines by size and execution, the best of each in the order asked for.

    Parameters
    ----------
    sizes : collection of SizeKey
        The sizes that are wanted; lines of others are passed over.
    sort : str
        ``price``, ``lead`` or ``stock``.
    top : int
        How many lines of one class can be shown at most.

    Raises
    ------
    InputError
        The order is unknown, or nothing is to be shown.
    """

    def __init__(self, sizes: Collection[SizeKey], *, sort: str = "price", top: int = 10) -> None:
        check_order(sort, top)
        self.sort = sort
        self.top = top
        self._order = _ORDERS[sort]
        self._classes: dict[tuple[Any, ...], list[Kept]] = {}
        self._wanted: dict[tuple[Any, ...], SizeKey] = {tuple(size): size for size in sizes}

    def add(self, name: str, block: Block) -> None:
        """Take in the lines of a block.

        Parameters
        ----------
        name : str
            The list they are of.
        block : Block
            Columns that are left out count as not given.
        """
        count = len(block)
        blank: list[Any] = [None] * count
        columns = {field: block.columns.get(field, blank) for field in POOL_FIELDS}
        keys = zip(*(columns[field] for field in _CLASS_FIELDS), strict=True)
        shown = zip(*(columns[field] for field in SHOWN_FIELDS), strict=True)
        orders = self._order(columns)
        wanted, classes = self._wanted, self._classes
        limit = self.top * _SLACK
        for key, order, line in zip(keys, orders, shown, strict=True):
            found = classes.get(key)
            if found is None:
                if key[:_SIZE_PARTS] not in wanted:
                    continue
                found = classes[key] = []
            found.append((order, name, line[0], line))
            if len(found) >= limit:
                found.sort()
                del found[self.top :]

    def classes(self) -> Iterator[ClassLines]:
        """The kept lines of each class, in the order of the first line of each."""
        for key, kept in self._classes.items():
            kept.sort()
            del kept[self.top :]
            yield self._wanted[key[:_SIZE_PARTS]], Execution(*key[_SIZE_PARTS:]), kept
