"""Files that were sent and are still to be used: previewed lists, pages of wanted lines.

They wait in a folder of this process under names of ours, few at a time, and not for long. Each
belongs to the session that sent it.
"""

from __future__ import annotations

import atexit
import os
import secrets
import shutil
import tempfile
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from fitcheck.errors import NotKnownError, printable

MOST = 60
MOST_BYTES = 512 * 1024 * 1024
SECONDS = 3600.0
_ENDINGS = (".csv", ".xlsx", ".xlsm", ".txt", ".tsv")


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that waits: where it is, what it was called, whose it is."""

    token: str
    path: Path
    name: str
    session: str
    size: int
    at: float


class Uploads:
    """The files that wait.

    Parameters
    ----------
    most : int
        How many at a time.
    most_bytes : int
        How much all of them together [bytes].
    seconds : float
        How long each waits [s].
    clock : callable
        The time [s].
    """

    def __init__(
        self,
        *,
        most: int = MOST,
        most_bytes: int = MOST_BYTES,
        seconds: float = SECONDS,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._most, self._most_bytes, self._seconds, self._clock = most, most_bytes, seconds, clock
        self._kept: OrderedDict[str, Upload] = OrderedDict()
        self._lock = Lock()
        self._folder: Path | None = None

    def keep(self, content: bytes, *, name: str, session: str) -> Upload:
        """Let a file wait; older ones go where there is no room.

        Parameters
        ----------
        content : bytes
            What is in it.
        name : str
            What it was called where it came from; only shown.
        session : str
            Whose it is.
        """
        token = secrets.token_urlsafe(18)
        shown = printable(os.path.basename(name.replace("\\", "/")))[:100] or "list"
        ending = os.path.splitext(shown)[1].lower()
        with self._lock:
            self._forget(room_for=len(content))
            folder = self._made()
            # Named by us: what it was called elsewhere never becomes a path.
            path = folder / f"{len(self._kept)}-{token}{ending if ending in _ENDINGS else ''}"
            path.write_bytes(content)
            upload = Upload(token, path, shown, session, len(content), self._clock())
            self._kept[token] = upload
        return upload

    def get(self, token: str, *, session: str) -> Upload:
        """A file that waits.

        Parameters
        ----------
        token : str
            What `keep` gave.
        session : str
            Who asks.

        Raises
        ------
        NotKnownError
            It does not wait any more, or belongs to somebody else.
        """
        with self._lock:
            self._forget(room_for=0)
            found = self._kept.get(token)
        if found is None or found.session != session:
            raise NotKnownError(
                value="the file",
                rule="it does not wait here any more",
                todo="Send it again",
            )
        return found

    def drop(self, token: str) -> None:
        """Let a file go.

        Parameters
        ----------
        token : str
            What `keep` gave.
        """
        with self._lock:
            found = self._kept.pop(token, None)
        if found is not None:
            found.path.unlink(missing_ok=True)

    def _forget(self, *, room_for: int) -> None:
        oldest = self._clock() - self._seconds
        while self._kept:
            first = next(iter(self._kept.values()))
            total = sum(one.size for one in self._kept.values()) + room_for
            if (
                first.at >= oldest
                and (not room_for or len(self._kept) < self._most)
                and (not room_for or total <= self._most_bytes)
            ):
                return
            self._kept.popitem(last=False)
            first.path.unlink(missing_ok=True)

    def _made(self) -> Path:
        if self._folder is None:
            self._folder = Path(tempfile.mkdtemp(prefix="fitcheck-bench-"))
            atexit.register(shutil.rmtree, self._folder, ignore_errors=True)
        return self._folder


UPLOADS = Uploads()
