"""Where the shop's store is: a SQLite file of the user's, or a PostgreSQL that branches share.

Nothing here opens anything, and nothing heavy is imported.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.records import dataclass

if TYPE_CHECKING:
    # A look-up without a store needs no paths, and pathlib brings urllib and ipaddress with it.
    from pathlib import Path

VARIABLE = "FITCHECK_DATABASE"
FILE_NAME = "fitcheck.sqlite"
# How long a writer waits for another before it gives up [s].
WAIT_S = 30.0

_SCHEMES = {"postgresql": "postgresql+psycopg", "postgresql+psycopg": "postgresql+psycopg"}
_SQLITE = "sqlite"


@dataclass(frozen=True, slots=True)
class Location:
    """One store: the file of a SQLite store, or the URL of a PostgreSQL one.

    ``shown`` is what messages call it; it never holds a password.
    """

    path: Path | None
    url: str
    shown: str


def _data_folder() -> str:
    # A relative XDG folder is to be ignored, says its specification.
    given = os.environ.get("XDG_DATA_HOME", "")
    base = given if os.path.isabs(given) else os.path.expanduser(os.path.join("~", ".local/share"))
    return os.path.join(base, "fitcheck")


def data_folder() -> Path:
    """The user's data folder for this program, as the XDG base directories have it."""
    from pathlib import Path

    return Path(_data_folder())


def may_be_there() -> bool:
    """Whether there may be a store; nothing is opened and nothing imported where there is none."""
    if not os.environ.get(VARIABLE, "").strip():
        return os.path.exists(os.path.join(_data_folder(), FILE_NAME))
    path = location().path
    return path is None or path.exists()


def location(text: str | None = None) -> Location:
    """Where a store is.

    Parameters
    ----------
    text : str, optional
        A file name or a URL; when left out ``FITCHECK_DATABASE`` says it, and without that it is
        a SQLite file in the user's data folder.

    Raises
    ------
    InputError
        It is a URL of another kind of database.

    Examples
    --------
    >>> location("postgresql://counter:secret@db/shop").shown
    'postgresql+psycopg://counter:***@db/shop'
    """
    from pathlib import Path

    given = text or os.environ.get(VARIABLE, "").strip()
    if not given:
        return _file(data_folder() / FILE_NAME)
    scheme, colon, rest = given.partition("://")
    if not colon:
        return _file(Path(given).expanduser())
    if scheme == _SQLITE and rest.startswith("/") and len(rest) > 1:
        return _file(Path(rest[1:]))
    if scheme not in _SCHEMES:
        raise InputError(
            value=f"{scheme}://",
            rule="a store is a SQLite file or a PostgreSQL database",
            todo=f"Set {VARIABLE} to a file name or to postgresql+psycopg://USER@HOST/DATABASE",
        )
    url = f"{_SCHEMES[scheme]}://{rest}"
    return Location(None, url, _without_password(url))


def _file(path: Path) -> Location:
    from pathlib import Path

    if not str(path).strip() or path.name in ("", ".", ".."):
        raise InputError(
            value=str(path), rule="this names no file", todo=f"Name a file in {VARIABLE}"
        )
    whole = Path(os.path.abspath(path))
    return Location(whole, "", str(whole))


def _without_password(url: str) -> str:
    scheme, _, rest = url.partition("://")
    rest, _, query = rest.partition("?")
    login, at, host = rest.rpartition("@")
    user, colon, _ = login.partition(":")
    shown = f"{scheme}://{user}:***@{host}" if colon else f"{scheme}://{login}{at}{host}"
    # The query may hold a password too, and says nothing about where the store is but the socket.
    places = [part for part in query.split("&") if part.startswith(("host=", "port="))]
    return f"{shown}?{'&'.join(places)}" if places else shown
