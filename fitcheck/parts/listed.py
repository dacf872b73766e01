"""What families share that come out of one table: their sizes, and the usual ways to mark them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache

from fitcheck.parts.family import Size
from fitcheck.tables import Row, shop_folder, table


def listed(name: str, size_of: Callable[[Row], Size]) -> Callable[[], tuple[Size, ...]]:
    """What gives every size of a table, made once for each folder of a shop's own tables.

    Parameters
    ----------
    name : str
        The table.
    size_of : callable
        Makes a row a size.
    """

    @cache
    def made(_shop: str) -> tuple[Size, ...]:
        return tuple(size_of(row) for row in table(name).rows)

    return lambda: made(shop_folder())


def marked_by_digits(size: Size) -> Iterable[str]:
    """The ways a part's bag is marked: the dimensions of its name run together.

    Parameters
    ----------
    size : Size
        The size.
    """
    yield "".join(c for c in size.label if c.isdigit())
