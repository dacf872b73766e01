"""What a running bench page is told: where it listens, whom it lets in, and its limits."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from ipaddress import ip_address

MIB = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Limits:
    """How much and how long: sizes in bytes, times in seconds."""

    body: int = MIB // 2
    form: int = MIB // 16
    upload: int = 32 * MIB
    body_s: float = 20.0
    upload_s: float = 180.0
    answer_s: float = 20.0
    heavy_s: float = 120.0
    answers_at_once: int = 2
    answers_waiting: int = 400
    heavy_at_once: int = 2
    heavy_waiting: int = 16
    attempts: int = 5
    attempts_of_all: int = 30
    attempts_s: float = 900.0
    session_s: int = 7 * 24 * 3600
    kept_answers: int = 500


@dataclass(frozen=True, slots=True)
class Settings:
    """One bench page.

    ``passphrase_hash`` is empty where nobody is asked; ``names`` are host names that a browser may
    use beside ``localhost`` and the machine's addresses; ``secure`` says that it is served by TLS.
    """

    host: str = "127.0.0.1"
    port: int = 8137
    names: tuple[str, ...] = ()
    passphrase_hash: str = ""
    secret: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)
    secure: bool = False
    limits: Limits = field(default_factory=Limits)


def is_loopback(host: str) -> bool:
    """Whether an address can be reached from this machine alone.

    Parameters
    ----------
    host : str
        An address or a name.

    Examples
    --------
    >>> is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("localhost")
    (True, True, True)
    >>> is_loopback("0.0.0.0"), is_loopback("192.168.7.20"), is_loopback("bench.example")
    (False, False, False)
    """
    if host == "localhost":
        return True
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False
