"""The shop's own data: SQLite by default, PostgreSQL where branches share it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.errors import NotKnownError
from fitcheck.store.location import WAIT_S, location

if TYPE_CHECKING:
    from fitcheck.store.shop import Store

_NEEDED = {"sqlalchemy": "counter", "alembic": "counter", "psycopg": "postgres"}


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
    import_needed("sqlalchemy", "alembic", *(() if place.path else ("psycopg",)))
    from fitcheck.store.shop import Store, no_store

    store = Store(place, wait_s=wait_s)
    if not create and store.revision() is None:
        raise no_store(place)
    return store


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


def import_needed(*packages: str) -> None:
    """Import packages that come with an extra, and say which extra when one is missing.

    Parameters
    ----------
    *packages : str
        The packages.

    Raises
    ------
    NotKnownError
        One is not installed.
    """
    from importlib.util import find_spec

    for package in packages:
        if find_spec(package) is None:
            raise NotKnownError(
                value=f"the shop's store needs the package {package}",
                rule="which is not installed",
                todo=f"pip install 'fitcheck[{_NEEDED[package]}]'",
            )
