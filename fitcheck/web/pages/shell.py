"""What belongs to no single page: the worker that serves it offline, the card's style, the help."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import FileResponse, Response

from fitcheck.report.html.page import FOLDER as PRINTED
from fitcheck.web.pages.view import STATIC, page

router = APIRouter(include_in_schema=False)


@router.get("/sw.js")
async def worker() -> Response:
    """The worker, at the root so that it serves all pages."""
    return FileResponse(
        STATIC / "worker.js", media_type="text/javascript", headers={"cache-control": "no-cache"}
    )


@router.get("/card.css")
async def card_style() -> Response:
    """The style of the printed card, from where the printed card has it."""
    return FileResponse(
        PRINTED / "page.css", media_type="text/css", headers={"cache-control": "no-cache"}
    )


@router.get("/help")
async def help_page(request: Request) -> Response:
    """How readings are written, and what the words mean."""
    return page(request, "help", grades=GRADES)


# As `fitcheck cross --help` explains them.
GRADES = (
    (
        "same",
        "the same size, and lip, lubricant and direction known on both sides and equal; the same "
        "bearing designation",
    ),
    (
        "same-ask",
        "the same size, nothing known differs, but something is not said, or said and not read: "
        "ask",
    ),
    ("other-execution", "the same size made otherwise; what differs is named"),
    (
        "condition",
        "fits here if the named condition holds: another width, another case, a diameter inside "
        "the seat's limits",
    ),
    (
        "near-miss",
        "not a fit: what is off, by how much, against which limit; shown only where nothing fits",
    ),
    ("nothing", "no line comes near"),
)
