"""Answers that are kept for a while: the same question comes again while somebody types."""

from __future__ import annotations

import os
from collections import OrderedDict
from functools import lru_cache
from typing import Any

_MOST_KEPT = 100_000


class KeptAnswers:
    """The last answers by their question, as long as nothing changed in the shop's store.

    Parameters
    ----------
    most : int
        How many are kept.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[tuple[Any, ...], bytes] = OrderedDict()

    def get(self, key: tuple[Any, ...] | None) -> bytes | None:
        """An answer that was given before.

        Parameters
        ----------
        key : tuple, optional
            The question; nothing is kept of None.
        """
        if key is None or key not in self._kept:
            return None
        self._kept.move_to_end(key)
        return self._kept[key]

    def put(self, key: tuple[Any, ...] | None, content: bytes) -> None:
        """Keep an answer.

        Parameters
        ----------
        key : tuple, optional
            The question.
        content : bytes
            The answer.
        """
        if key is None or len(content) > _MOST_KEPT:
            return
        self._kept[key] = content
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)


def store_stamp() -> tuple[int, ...] | None:
    """What changes whenever the shop's store does; None where that can't be seen from outside.

    Returns
    -------
    tuple of int or None
        Empty where there is no store.
    """
    files = _files(*(os.environ.get(name, "") for name in _NAMED_BY))
    if files is None:
        return None
    stamp: list[int] = []
    for name in files:
        try:
            found = os.stat(name)
        except OSError:
            continue
        # Whoever reads leaves an empty log beside the store for a while: that changes nothing.
        if found.st_size:
            stamp += [found.st_ino, found.st_mtime_ns, found.st_size]
    return tuple(stamp)


# What says where the store is.
_NAMED_BY = ("FITCHECK_DATABASE", "XDG_DATA_HOME", "HOME", "USERPROFILE", "LOCALAPPDATA")


@lru_cache(maxsize=8)
def _files(*_named: str) -> tuple[str, ...] | None:
    """The files of the store that is named so; None where it is on a server."""
    from fitcheck.store.location import location

    path = location().path
    return None if path is None else (str(path), f"{path}-wal")
