"""The shop's own data: SQLite by default, PostgreSQL where branches share it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from fitcheck.extras import import_needed
from fitcheck.store.location import WAIT_S, Location, location

if TYPE_CHECKING:
    from fitcheck.store.shop import Store


def open_store(text: str | None = None, *, create: bool = False, wait_s: float = WAIT_S) -> Store:
    """Open the shop's store.

    Parameters
    ----------
    text : str, optional
        A file name or a URL; ``FITCHECK_DATABASE`` or the user's data folder when left out.
    create : bool
        Whether something is going to be written, so that a store may be made.
    wait_s : float
        How long a writer waits for another [s].

    Returns
    -------
    Store

    Raises
    ------
    NotKnownError
        There is no store yet and none may be made, or a package it needs is missing.
    """
    place = location(text)
    needed = ("sqlalchemy", "alembic", *(() if place.path else ("psycopg",)))
    import_needed(*needed, what="the shop's store")
    from fitcheck.store.shop import no_store

    store = _opened(place, wait_s)
    if not create and store.revision() is None:
        raise no_store(place)
    return store


@lru_cache(maxsize=8)
def _opened(place: Location, wait_s: float) -> Store:
    """One store for each place: it holds no connection, and the statements it has compiled."""
    from fitcheck.store.shop import Store

    return Store(place, wait_s=wait_s)


def store_is_there(text: str | None = None) -> bool:
    """Whether there is a store; looking makes none.

    Parameters
    ----------
    text : str, optional
        A file name or a URL; ``FITCHECK_DATABASE`` or the user's data folder when left out.
    """
    place = location(text)
    if place.path is not None and not place.path.exists():
        return False
    return open_store(text, create=True).revision() is not None
