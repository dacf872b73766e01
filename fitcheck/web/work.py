"""Work that takes its time, in threads of a bounded number, so that the page stays alive."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial
from threading import Lock
from typing import Any, TypeVar

from fitcheck.web.refusals import busy

T = TypeVar("T")


class Bench:
    """Threads that work, and a queue before them that is never longer than its limit.

    Parameters
    ----------
    at_once : int
        How many work at the same time.
    waiting : int
        How many may wait; who comes then is told to come again.
    seconds : float
        After what time an answer is not waited for any longer [s].
    """

    def __init__(self, *, at_once: int, waiting: int, seconds: float) -> None:
        self._at_once = at_once
        self._threads = self._new_threads()
        self._room, self._seconds = at_once + waiting, seconds
        self._taken, self._lock = 0, Lock()

    async def run(self, function: Callable[..., T], *args: Any, **options: Any) -> T:
        """Do one piece of work in a thread.

        Parameters
        ----------
        function : callable
            What does it; it must not rely on the thread it runs in.
        *args, **options
            What it is called with.

        Raises
        ------
        Refusal
            Too many wait already, or it takes too long.
        """
        with self._lock:
            if self._taken >= self._room:
                raise busy()
            self._taken += 1
        work = self._threads.submit(partial(function, *args, **options))
        # A thread can't be stopped, so its place stays taken until it is done, also where nobody
        # waits for it any longer; what still waits for a thread is given up with who asked for it.
        work.add_done_callback(self._done)
        try:
            async with asyncio.timeout(self._seconds):
                return await asyncio.wrap_future(work)
        except TimeoutError:
            raise busy(f"it took longer than {self._seconds:g} seconds") from None

    def _done(self, _work: Future[Any]) -> None:
        with self._lock:
            self._taken -= 1

    def close(self) -> None:
        """Give up what waits; a page that is started again has threads again."""
        ended, self._threads = self._threads, self._new_threads()
        ended.shutdown(wait=False, cancel_futures=True)

    def _new_threads(self) -> ThreadPoolExecutor:
        # None is started before there is work.
        return ThreadPoolExecutor(self._at_once, thread_name_prefix="fitcheck")
