"""The shield before every page and endpoint, as one thin layer of plain ASGI."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from urllib.parse import quote

from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fitcheck.web.refusals import Refusal
from fitcheck.web.security.csrf import (
    SAFE,
    TOKEN_HEADER,
    form_token,
    is_own_host,
    is_own_origin,
)
from fitcheck.web.security.headers import strict
from fitcheck.web.security.limits import declared, limited
from fitcheck.web.security.sessions import Session, Sessions, cookie_value
from fitcheck.web.settings import Settings, is_loopback

ENTER = "/enter"
API = "/api/"
STATIC = "/static/"
# What may be had before the passphrase was given: the page that asks for it and what it needs.
_BEFORE_ENTERING = frozenset(
    {ENTER, "/api/enter", "/api/session", "/api/alive", "/favicon.ico", "/sw.js", "/card.css"}
)
_FORM = "application/x-www-form-urlencoded"


@dataclass(frozen=True, slots=True)
class Paths:
    """Which paths are handled otherwise than the rest.

    ``answers`` change nothing and need no token; ``uploads`` may be large.
    """

    answers: Collection[str] = frozenset()
    uploads: Collection[str] = frozenset()


class Shield:
    """Checks host, origin, session and token, cuts bodies off, and adds the strict headers.

    Parameters
    ----------
    app : callable
        What stands behind it.
    settings : Settings
        The settings.
    sessions : Sessions
        Reads and writes the cookie.
    paths : Paths
        Which paths are handled otherwise.
    refuse : callable
        Makes the answer to a request that is refused.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        settings: Settings,
        sessions: Sessions,
        paths: Paths,
        refuse: Callable[[Scope, Refusal], Response],
    ) -> None:
        self._app, self._settings, self._sessions = app, settings, sessions
        self._refuse = refuse
        self._paths = paths
        names = {"localhost", "127.0.0.1", "::1", settings.host.strip("[]").lower()}
        self._names = frozenset(names | {name.lower() for name in settings.names})
        self._any_address = not is_loopback(settings.host)
        self._scheme = "https" if settings.secure else "http"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or refuse it."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        cookies: list[str] = []
        kept = scope["path"].startswith(STATIC)
        begun = False

        async def sent(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                message["headers"] = strict(message.get("headers", ()), kept=kept, cookies=cookies)
            await send(message)

        try:
            refused = await self._checked(scope, receive, cookies)
            if isinstance(refused, Response):
                await refused(scope, receive, sent)
            else:
                await self._app(scope, refused, sent)
        except Refusal as refusal:
            if begun:
                raise
            await self._refuse(scope, refusal)(scope, receive, sent)

    async def _checked(
        self, scope: Scope, receive: Receive, cookies: list[str]
    ) -> Response | Receive:
        """What the request is answered with before it is looked at, or its body to go on with."""
        headers: dict[bytes, bytes] = dict(scope["headers"])
        path, method = scope["path"], scope["method"]
        host = headers.get(b"host", b"").decode("latin-1")
        # Two of them would leave it open which one was meant.
        hosts = sum(name == b"host" for name, _ in scope["headers"])
        if hosts != 1 or not is_own_host(host, names=self._names, any_address=self._any_address):
            raise Refusal(
                400,
                value=f"Host: {host[:100]}",
                rule="the bench page isn't called that",
                todo="Use the address it was started on, or name it with --name",
            )
        session = self._session(headers, path, cookies)
        state = scope.setdefault("state", {})
        state["session"] = session
        if self._settings.passphrase_hash and not session.entered:
            outside = self._outside(scope, path, method)
            if outside is not None:
                return outside
        if method in SAFE:
            return receive
        return await self._unsafe(scope, receive, headers, host)

    def _session(self, headers: dict[bytes, bytes], path: str, cookies: list[str]) -> Session:
        """The session of the cookie, or a new one, which is given a cookie where it is of use."""
        cookie = cookie_value(headers.get(b"cookie", b"").decode("latin-1"))
        # What changes nothing needs no session where nobody is asked for a passphrase; a page
        # needs one all the same, for the token of what can be sent from it.
        idle = path.startswith(STATIC) or (path.startswith(API) and path in self._paths.answers)
        if idle and not self._settings.passphrase_hash:
            return Session("")
        found = self._sessions.read(cookie) if cookie else None
        if found is not None and (found.entered or not self._settings.passphrase_hash):
            return found
        if found is None:
            found = self._sessions.new()
            if not idle:
                cookies.append(self._sessions.header(found))
        return found

    def _outside(self, scope: Scope, path: str, method: str) -> Response | None:
        """What somebody gets who has not given the passphrase; None for what is free."""
        if path in _BEFORE_ENTERING or path.startswith(STATIC):
            return None
        if path.startswith(API) or method not in SAFE:
            raise Refusal(
                401,
                value="no passphrase",
                rule="this bench page asks for the shop's passphrase",
                todo="Enter it at /enter, or post it to /api/enter",
            )
        query = scope["query_string"].decode("latin-1")
        where = path + (f"?{query}" if query else "")
        return RedirectResponse(f"{ENTER}?next={quote(where, safe='/')}", 303)

    async def _unsafe(
        self, scope: Scope, receive: Receive, headers: dict[bytes, bytes], host: str
    ) -> Receive:
        """The body of a request that may change something, once its sender is known."""
        limits, path = self._settings.limits, scope["path"]
        if not is_own_origin(
            origin=headers.get(b"origin", b"").decode("latin-1"),
            site=headers.get(b"sec-fetch-site", b"").decode("latin-1"),
            host=host,
            scheme=self._scheme,
        ):
            raise Refusal(
                403,
                value="the request's origin",
                rule="it was sent by a page from elsewhere",
                todo="Send it from the bench page itself",
                close=True,
            )
        kind = headers.get(b"content-type", b"").decode("latin-1").partition(";")[0].strip().lower()
        upload = path in self._paths.uploads
        # The forms of the bench carry a whole job; those below /api a passphrase.
        small = kind == _FORM and path.startswith(API)
        most = limits.upload if upload else limits.form if small else limits.body
        declared(headers.get(b"content-length"), most=most)
        seconds = limits.upload_s if upload else limits.body_s
        body = limited(receive, most=most, seconds=seconds)
        if path in self._paths.answers:
            return body
        token = headers.get(TOKEN_HEADER.encode(), b"").decode("latin-1")
        if not token and upload:
            # A form with a file carries it in its address: the body is not read here.
            token = form_token(scope["query_string"])
        elif not token and kind == _FORM:
            content = await _whole(body)
            token = form_token(content)
            body = _again(content, receive)
        if not token or not self._sessions.is_token(scope["state"]["session"], token):
            raise Refusal(
                403,
                value="the page's token",
                rule="it is missing, or the page was opened before the bench page was started anew",
                todo="Load the page again and send it once more; "
                "programs get a token from /api/session",
                close=True,
            )
        return body


async def _whole(receive: Receive) -> bytes:
    """A body as a whole; it is a small one."""
    parts = []
    while True:
        message = await receive()
        parts.append(message.get("body", b""))
        if not message.get("more_body", False):
            return b"".join(parts)


def _again(content: bytes, receive: Receive) -> Receive:
    """A body that was read, to be read once more."""
    given = False

    async def part() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": content, "more_body": False}

    return part
