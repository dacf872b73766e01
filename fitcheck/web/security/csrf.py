"""Whether a request comes from a page of our own: its host, its origin, its token."""

from __future__ import annotations

from collections.abc import Collection
from ipaddress import ip_address
from urllib.parse import parse_qs, urlsplit

TOKEN_HEADER = "x-csrf-token"
TOKEN_FIELD = "csrf_token"
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
_MOST_FIELDS = 1000


def host_name(host: str) -> str:
    """The name in a ``Host`` header, without its port; empty where it is none.

    Parameters
    ----------
    host : str
        The header.

    Examples
    --------
    >>> host_name("Localhost:8137"), host_name("[::1]:8137"), host_name("a@b"), host_name("")
    ('localhost', '::1', '', '')
    """
    if not host or any(c in host for c in "/@?#\\ ,"):
        return ""
    try:
        parts = urlsplit(f"//{host}")
        _ = parts.port
    except ValueError:
        return ""
    return (parts.hostname or "").rstrip(".")


def is_own_host(host: str, *, names: Collection[str], any_address: bool) -> bool:
    """Whether a ``Host`` header names this machine.

    A foreign name that somebody makes point at this machine is refused; that is how a page from
    elsewhere would get at it through a browser. An address can't be made to point elsewhere.

    Parameters
    ----------
    host : str
        The header.
    names : collection of str
        The names in use, in small letters.
    any_address : bool
        Whether every numeric address is taken, because all of the machine's are listened on.
    """
    name = host_name(host)
    if name in names:
        return bool(name)
    if not any_address:
        return False
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def is_own_origin(*, origin: str, site: str, host: str, scheme: str) -> bool:
    """Whether a request that may change something was sent by a page of ours.

    Parameters
    ----------
    origin, site : str
        The headers ``Origin`` and ``Sec-Fetch-Site``; empty where a program sends none.
    host, scheme : str
        Where the request went.
    """
    if site and site not in ("same-origin", "none"):
        return False
    if not origin:
        return True
    return origin.lower() == f"{scheme}://{host}".lower()


def form_token(body: bytes) -> str:
    """The token in a posted form; empty where there is none.

    Parameters
    ----------
    body : bytes
        The form, url-encoded.

    Examples
    --------
    >>> form_token(b"a=1&csrf_token=abc")
    'abc'
    """
    try:
        fields = parse_qs(body.decode("ascii"), max_num_fields=_MOST_FIELDS)
    except ValueError:
        return ""
    return fields.get(TOKEN_FIELD, [""])[0]
