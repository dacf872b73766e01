"""The page that asks for the shop's passphrase, and the way out again."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)

_FAILED = {
    "wrong": ("the passphrase", "this is not the shop's", "Type it again, or ask who set it"),
    "wait": ("the passphrase", "it was tried too often", "Wait a quarter of an hour"),
}


@router.get("/enter")
async def enter(request: Request, next: str = "/", failed: str = "") -> Response:
    """Ask for the passphrase."""
    error = None
    if failed in _FAILED:
        error = dict(zip(("value", "rule", "todo"), _FAILED[failed], strict=True))
    return page(
        request,
        "enter",
        status=429 if failed == "wait" else 401 if error else 200,
        following=next[:500],
        error=error,
    )


@router.post("/leave")
async def leave(request: Request) -> Response:
    """End the session."""
    answer = RedirectResponse("/enter", 303)
    answer.headers.append("set-cookie", request.app.state.sessions.goodbye())
    return answer
