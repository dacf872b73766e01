"""Database errors as messages somebody at the counter can act on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from fitcheck.errors import DataError

Words = tuple[str, str]

_BUSY: Words = (
    "another is writing to the store, and it took too long to wait",
    "Try again in a moment; what was there before is untouched",
)
_FULL: Words = (
    "the disk is full",
    "Make room and try again; what was there before is untouched",
)
_READ_ONLY: Words = (
    "the store, or the folder it is in, can't be written",
    "Ask for the right to write there, or name another place in FITCHECK_DATABASE",
)
_CANT_OPEN: Words = (
    "the store can't be opened",
    "See that its folder is there and that you may read and write in it, or name another place in "
    "FITCHECK_DATABASE",
)
_DAMAGED: Words = (
    "this is no store, or it is damaged",
    "Put the file aside and bring the last backup back with `fitcheck store restore`",
)
_FAILING: Words = (
    "the disk reports an error while reading or writing",
    "See whether it is full, limited or failing and try again; what was there before is untouched",
)
_LOGIN: Words = (
    "the database server refuses the login",
    "See that the user, the password and the database in FITCHECK_DATABASE are right",
)
_NO_SERVER: Words = (
    "the database server does not answer",
    "See that it runs and that the host and port in FITCHECK_DATABASE are right",
)
_NO_DATABASE: Words = (
    "there is no such database on the server",
    "Have it made on the server first, or correct FITCHECK_DATABASE",
)
_NOT_ALLOWED: Words = (
    "the database server does not allow that",
    "Ask for the right to read and write in that database",
)

# By the beginning of SQLite's name of the error, the first that fits.
_SQLITE = {
    "SQLITE_BUSY": _BUSY,
    "SQLITE_LOCKED": _BUSY,
    "SQLITE_FULL": _FULL,
    "SQLITE_READONLY": _READ_ONLY,
    "SQLITE_PERM": _READ_ONLY,
    "SQLITE_CANTOPEN": _CANT_OPEN,
    "SQLITE_AUTH": _CANT_OPEN,
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_NOTADB": _DAMAGED,
    "SQLITE_IOERR": _FAILING,
}
# By the beginning of the SQL standard's code of the error.
_POSTGRESQL = {
    "55P03": _BUSY,
    "57014": _BUSY,
    "40P01": _BUSY,
    "40001": _BUSY,
    "53": _FULL,
    "25006": _READ_ONLY,
    "42501": _NOT_ALLOWED,
    "28": _LOGIN,
    "3D000": _NO_DATABASE,
    "08": _NO_SERVER,
    "57P": _NO_SERVER,
    "XX": _DAMAGED,
    "58": _FAILING,
}


@contextmanager
def told(shown: str) -> Iterator[None]:
    """Turn what a database reports inside the block into the program's own error.

    Parameters
    ----------
    shown : str
        What messages call the store.
    """
    from sqlalchemy.exc import DBAPIError

    try:
        yield
    except DBAPIError as error:
        raise fault(shown, error.orig or error) from error
    except sqlite3.Error as error:
        raise fault(shown, error) from error
    except UnicodeDecodeError as error:
        # What SQLite reports of a damaged file may quote names that are no longer text.
        raise DataError(value=shown, rule=_DAMAGED[0], todo=_DAMAGED[1]) from error
    except Exception as error:
        # The other driver is looked at by name, so that it need not be installed.
        if "psycopg" not in {k.__module__.partition(".")[0] for k in type(error).__mro__}:
            raise
        raise fault(shown, error) from error


def fault(shown: str, error: BaseException) -> DataError:
    """The program's error for one of a database driver's.

    Parameters
    ----------
    shown : str
        What messages call the store.
    error : BaseException
        What the driver raised.
    """
    name = getattr(error, "sqlite_errorname", None)
    if isinstance(error, sqlite3.Error):
        # What the driver itself reports has no name: a text that is none.
        words = _words(_SQLITE, name or "")
        if name is None and "decode" in str(error):
            words = _DAMAGED
    else:
        # Where no connection came about there is no code, only what the client says.
        code = getattr(error, "sqlstate", None)
        words = _words(_POSTGRESQL, code) if code else _connection_words(str(error))
    if words is None:
        first = str(error).strip().splitlines() or [type(error).__name__]
        words = (
            f"the database reports: {first[0]}",
            "See `fitcheck store info`; what was there before is untouched",
        )
    return DataError(value=shown, rule=words[0], todo=words[1])


def _words(table: dict[str, Words], code: str) -> Words | None:
    return next((words for start, words in table.items() if code.startswith(start)), None)


def _connection_words(message: str) -> Words:
    if "password" in message or "authentication" in message or "role" in message:
        return _LOGIN
    if "does not exist" in message and "database" in message:
        return _NO_DATABASE
    return _NO_SERVER
