"""Endpoints of the session: its token, the passphrase, and whether the page is alive."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import parse_qs, quote, urlsplit

from fastapi import APIRouter, Request
from pydantic import Field
from starlette.responses import RedirectResponse, Response

import fitcheck
from fitcheck.web.api.requests import Body, parsed
from fitcheck.web.api.routes import ERRORS, JSON, json_response
from fitcheck.web.refusals import Refusal
from fitcheck.web.security.passphrase import LONGEST, is_passphrase

router = APIRouter(tags=["session"])
_FORM = "application/x-www-form-urlencoded"


class EnterRequest(Body):
    """The shop's passphrase."""

    passphrase: Annotated[str, Field(max_length=LONGEST)]


def session_facts(request: Request) -> dict[str, Any]:
    """What a page must know about its session.

    Parameters
    ----------
    request : Request
        The request; the shield has put its session there.
    """
    settings, session = request.app.state.settings, request.state.session
    return {
        "asks_passphrase": bool(settings.passphrase_hash),
        "entered": session.entered or not settings.passphrase_hash,
        "csrf_token": request.app.state.sessions.token(session),
        "version": fitcheck.__version__,
    }


@router.get(
    "/session", operation_id="session", summary="Tell the session's token", responses=ERRORS
)
async def session(request: Request) -> Response:
    """What a program needs before it changes anything.

    Send ``csrf_token`` back in the header ``X-CSRF-Token``, with the cookie that came with it.
    """
    return json_response(session_facts(request))


@router.get("/alive", operation_id="alive", summary="Say that the page is there")
async def alive() -> Response:
    """A constant, for whoever watches whether it runs."""
    return json_response({"alive": True})


@router.post(
    "/enter",
    operation_id="enter",
    summary="Enter with the shop's passphrase",
    responses=ERRORS,
    openapi_extra={
        "requestBody": {"content": {JSON: {"schema": EnterRequest.model_json_schema()}}}
    },
)
async def enter(request: Request) -> Response:
    """Take the passphrase, from JSON or from a posted form, and give a session that is in.

    A form has ``passphrase``, ``csrf_token`` and perhaps ``next``, a path of the page to go on to;
    it is answered with that path, or with the asking page again.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    content = await request.body()
    if kind != _FORM:
        body = parsed(EnterRequest, content, request.headers.get("content-type", ""))
        assert isinstance(body, EnterRequest)
        await _admit(request, body.passphrase)
        return _let_in(request, json_response({"entered": True}))
    fields = parse_qs(content.decode("utf-8", "replace"), max_num_fields=20)
    following = fields.get("next", ["/"])[0]
    try:
        await _admit(request, fields.get("passphrase", [""])[0])
    except Refusal as refusal:
        why = "wait" if refusal.status_code == 429 else "wrong"
        again = quote(own_path(following), safe="/")
        return RedirectResponse(f"/enter?failed={why}&next={again}", 303)
    return _let_in(request, RedirectResponse(own_path(following), 303))


@router.post("/leave", operation_id="leave", summary="Leave the session", responses=ERRORS)
async def leave(request: Request) -> Response:
    """Take the cookie away."""
    answer = json_response({"entered": False})
    answer.headers.append("set-cookie", request.app.state.sessions.goodbye())
    return answer


async def _admit(request: Request, text: str) -> None:
    """See that the passphrase is right; wrong ones are counted before they are looked at."""
    state = request.app.state
    kept = state.settings.passphrase_hash
    if not kept:
        return
    client = request.client.host if request.client else ""
    wait = state.attempts.wait_s(client)
    if wait > 0:
        raise Refusal(
            429,
            value="the passphrase",
            rule="it was entered wrongly too often",
            todo=f"Wait {int(wait // 60) + 1} minutes",
            retry_s=int(wait) + 1,
        )
    state.attempts.began(client)
    if not await state.heavy.run(is_passphrase, text, kept_hash=kept):
        raise Refusal(
            401,
            value="the passphrase",
            rule="this is not the shop's",
            todo="Enter it again, or ask whoever started the bench page",
        )
    state.attempts.succeeded(client)


def _let_in(request: Request, answer: Response) -> Response:
    """A new session: the number from before is known to whoever could set a cookie."""
    sessions = request.app.state.sessions
    answer.headers.append("set-cookie", sessions.header(sessions.new(entered=True)))
    return answer


def own_path(text: str) -> str:
    r"""A path of the page itself; the start where a text is anything else.

    Parameters
    ----------
    text : str
        What was asked for.

    Examples
    --------
    >>> own_path("/counter?q=1"), own_path("//elsewhere/x"), own_path("/\\elsewhere")
    ('/counter?q=1', '/', '/')
    """
    parts = urlsplit(text) if text.isprintable() else None
    if parts is None or parts.scheme or parts.netloc or "\\" in text:
        return "/"
    return text if text.startswith("/") and not text.startswith("//") else "/"
