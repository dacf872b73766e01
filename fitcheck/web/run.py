"""Starts the bench page: the passphrase it needs, the socket it listens on, the server."""

from __future__ import annotations

import socket
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import uvicorn

from fitcheck.errors import InputError, NotKnownError
from fitcheck.web.app import create_app
from fitcheck.web.security import passphrase
from fitcheck.web.settings import MIB, Limits, Settings, is_loopback

# A browser that holds its connection open this long without asking is let go [s].
_IDLE_S = 15
_CONNECTIONS = 500
_ENDING_S = 5
_SWITCH_S = 0.001


@dataclass(frozen=True, slots=True)
class Wishes:
    """What somebody asked for when starting the bench page."""

    host: str = "127.0.0.1"
    port: int = 8137
    names: tuple[str, ...] = ()
    set_passphrase: bool = False
    passphrase_file: str = ""
    certificate: str = ""
    key: str = ""
    upload_mib: int = 32
    check: bool = False


def settings_for(wishes: Wishes, *, ask: Callable[[], str] | None) -> Settings:
    """The settings of a bench page, with the passphrase where one is needed.

    Parameters
    ----------
    wishes : Wishes
        What was asked for.
    ask : callable, optional
        Asks for a new passphrase; left out where nobody can be asked.

    Raises
    ------
    NotKnownError
        A passphrase is needed, none is set, and nobody can be asked.
    InputError, DataError
        The passphrase is none, or can't be kept.
    """
    limits = replace(Limits(), upload=wishes.upload_mib * MIB)
    settings = Settings(
        host=wishes.host,
        port=wishes.port,
        names=wishes.names if is_loopback(wishes.host) else (*wishes.names, *_own_names()),
        secure=bool(wishes.certificate),
        limits=limits,
    )
    path = passphrase.kept_path()
    wanted = not is_loopback(wishes.host)
    kept = None if wishes.set_passphrase or wishes.passphrase_file else passphrase.read_kept(path)
    if kept is None and (wanted or wishes.set_passphrase or wishes.passphrase_file):
        kept = passphrase.keep(path, _new_passphrase(wishes, ask))
    if kept is None or not wanted:
        return settings
    return replace(settings, passphrase_hash=kept.hash, secret=kept.secret)


def _own_names() -> tuple[str, ...]:
    """What other machines of the network may call this one."""
    name = socket.gethostname().lower()
    return (name, f"{name.partition('.')[0]}.local")


def _new_passphrase(wishes: Wishes, ask: Callable[[], str] | None) -> str:
    if wishes.passphrase_file:
        try:
            text = Path(wishes.passphrase_file).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise InputError(
                value=wishes.passphrase_file,
                rule="the passphrase can't be read there",
                todo="Write it on the first line of a file that only you may read",
            ) from error
        return text.split("\n", 1)[0].strip()
    if ask is None:
        raise NotKnownError(
            value=f"--host {wishes.host}",
            rule="others reach that address, no passphrase is set, and nobody can be asked here",
            todo="Start it once at a terminal, or name a file with --passphrase-file",
        )
    return ask()


def listening(host: str, port: int) -> socket.socket:
    """A socket that listens; its number is chosen by the system where the port is 0.

    Parameters
    ----------
    host : str
        The address or name.
    port : int
        The port.

    Raises
    ------
    InputError
        Nothing can listen there.
    """
    try:
        family, kind, number, _, address = socket.getaddrinfo(
            host.strip("[]"), port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        found = socket.socket(family, kind, number)
    except (OSError, UnicodeError) as error:
        raise _cannot(host, port, error) from error
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(address)
        found.listen(socket.SOMAXCONN)
    except (OSError, OverflowError) as error:
        found.close()
        raise _cannot(host, port, error) from error
    return found


def _cannot(host: str, port: int, error: Exception) -> InputError:
    words = error.strerror if isinstance(error, OSError) else str(error)
    return InputError(
        value=f"{host} port {port}",
        rule=f"nothing can listen there ({words})",
        todo="Choose another port with --port, or an address of this machine with --host",
    )


def start(wishes: Wishes, *, ask: Callable[[], str] | None, tell: Callable[[str], Any]) -> None:
    """Run the bench page until it is ended.

    Parameters
    ----------
    wishes : Wishes
        What was asked for.
    ask : callable, optional
        Asks for a new passphrase.
    tell : callable
        Told where the page is.
    """
    settings = settings_for(wishes, ask=ask)
    for file in filter(None, (wishes.certificate, wishes.key)):
        if not Path(file).is_file():
            raise InputError(value=file, rule="there is no such file", todo="Check its name")
    with listening(settings.host, settings.port) as found:
        port = int(found.getsockname()[1])
        config = uvicorn.Config(
            create_app(replace(settings, port=port)),
            log_level="warning",
            access_log=False,
            server_header=False,
            # Nothing stands between: what a request says about its sender is not believed.
            proxy_headers=False,
            ws="none",
            limit_concurrency=_CONNECTIONS,
            timeout_keep_alive=_IDLE_S,
            timeout_graceful_shutdown=_ENDING_S,
            ssl_certfile=wishes.certificate or None,
            ssl_keyfile=wishes.key or None,
        )
        tell(address_text(settings, port))
        if wishes.check:
            return
        # A page is not held up by what is worked out in a thread for longer than this.
        sys.setswitchinterval(_SWITCH_S)
        uvicorn.Server(config).run(sockets=[found])


def address_text(settings: Settings, port: int) -> str:
    """Where the page is, as it is told.

    Parameters
    ----------
    settings : Settings
        The settings.
    port : int
        The port.

    Examples
    --------
    >>> address_text(Settings(), 8137)
    'The bench page is at http://127.0.0.1:8137/, for this machine alone; Ctrl-C ends it.'
    """
    host = settings.host.strip("[]")
    any_address = host in ("0.0.0.0", "::")
    shown = socket.gethostname() if any_address else f"[{host}]" if ":" in host else host
    scheme = "https" if settings.secure else "http"
    whom = "with the shop's passphrase" if settings.passphrase_hash else "for this machine alone"
    return f"The bench page is at {scheme}://{shown}:{port}/, {whom}; Ctrl-C ends it."
