"""Limits: how often a passphrase may be tried, how large a body may be, how long it may take."""

from __future__ import annotations

import asyncio
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from ipaddress import IPv6Address, ip_address

from starlette.types import Message, Receive

from fitcheck.web.refusals import Refusal

_MOST_CLIENTS = 10_000
_NETWORK_BITS = 64


class Attempts:
    """Counts wrong passphrases, of each client and of all together, in a sliding time.

    Parameters
    ----------
    most, most_of_all : int
        How many wrong ones are allowed, of one client and of all.
    seconds : float
        In what time [s].
    clock : callable
        The time [s].
    """

    def __init__(
        self,
        *,
        most: int,
        most_of_all: int,
        seconds: float,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._most, self._most_of_all, self._seconds = most, most_of_all, seconds
        self._clock = clock
        self._of: OrderedDict[str, deque[float]] = OrderedDict()
        self._all: deque[float] = deque(maxlen=most_of_all)

    def wait_s(self, client: str) -> float:
        """How long a client must wait before it may try; 0 where it may now [s].

        Parameters
        ----------
        client : str
            Its address.
        """
        now = self._clock()
        own = self._of.get(_who(client), deque())
        waits = [
            times[0] + self._seconds - now
            for times, most in ((own, self._most), (self._all, self._most_of_all))
            if len(times) >= most
        ]
        return max(0.0, *waits) if waits else 0.0

    def began(self, client: str) -> None:
        """Count a try before it is looked at, so that many at once are counted too.

        Parameters
        ----------
        client : str
            Its address.
        """
        now, who = self._clock(), _who(client)
        times = self._of.setdefault(who, deque(maxlen=self._most))
        self._of.move_to_end(who)
        times.append(now)
        self._all.append(now)
        while len(self._of) > _MOST_CLIENTS:
            self._of.popitem(last=False)

    def succeeded(self, client: str) -> None:
        """Forget the tries of a client that knew the passphrase.

        Parameters
        ----------
        client : str
            Its address.
        """
        times = self._of.pop(_who(client), deque())
        for moment in times:
            if moment in self._all:
                self._all.remove(moment)


def _who(client: str) -> str:
    """An address as it is counted: of IPv6 the network, since a machine has very many."""
    try:
        address = ip_address(client)
    except ValueError:
        return client
    if isinstance(address, IPv6Address):
        return str(int(address) >> _NETWORK_BITS)
    return client


def declared(length: bytes | None, *, most: int) -> None:
    """Refuse a body that says itself that it is too large.

    Parameters
    ----------
    length : bytes, optional
        The header ``Content-Length``.
    most : int
        The most that is read [bytes].

    Raises
    ------
    Refusal
        It is larger.
    """
    if length is not None and length.isdigit() and int(length[:19]) > most:
        raise too_large(most)


def too_large(most: int) -> Refusal:
    """The refusal of a body that is too large.

    Parameters
    ----------
    most : int
        The most that is read [bytes].
    """
    size = f"{most // 1024:,} KiB" if most < 1024 * 1024 else f"{most // (1024 * 1024):,} MiB"
    return Refusal(
        413,
        value="the request",
        rule=f"more than {size} are not taken here",
        todo="Send less at a time"
        if most < 1024 * 1024
        else "Send less at a time; on the machine itself `fitcheck lists add` takes larger lists",
        close=True,
    )


def limited(receive: Receive, *, most: int, seconds: float) -> Receive:
    """A body that is cut off where it gets too large or takes too long.

    Parameters
    ----------
    receive : callable
        Gives the parts of the body.
    most : int
        The most that is read [bytes].
    seconds : float
        The longest it may take [s].
    """
    read, ended, deadline = 0, False, asyncio.get_running_loop().time() + seconds

    async def part() -> Message:
        nonlocal read, ended
        if ended:
            return await receive()
        try:
            async with asyncio.timeout_at(deadline):
                message = await receive()
        except TimeoutError:
            raise Refusal(
                408,
                value="the request",
                rule=f"it did not arrive whole in {seconds:g} seconds",
                todo="Try again nearer to the shop's network",
                close=True,
            ) from None
        if message["type"] == "http.request":
            read += len(message.get("body", b""))
            ended = not message.get("more_body", False)
            if read > most:
                raise too_large(most)
        return message

    return part
