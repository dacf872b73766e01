"""Finished jobs: kept, and found again by machine, position or size."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fitcheck.cli.jobs import found_cards
from fitcheck.errors import FitcheckError
from fitcheck.web.pages.card import card_view, kept_drawn
from fitcheck.web.pages.forms import pairs_of, told_of
from fitcheck.web.pages.job import Job, job_of
from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)
_MOST = 50
_KEYS = ("text", "machine", "position", "size")


@router.get("/jobs")
async def jobs(request: Request) -> Response:
    """Find kept cards, the latest first."""
    query = request.query_params
    asked = {key: query.get(key, "").strip()[:200] for key in _KEYS}
    unit = "in" if query.get("unit") == "in" else "mm"
    found: list[Any] = []
    error: FitcheckError | None = None
    try:
        found = await request.app.state.answers.run(_found, asked, unit)
    except FitcheckError as refused:
        error = refused
    return page(
        request,
        "jobs",
        status=422 if error else 200,
        asked=asked,
        unit=unit,
        found=found,
        most=_MOST,
        error=error,
    )


def _found(asked: dict[str, str], unit: str) -> list[Any]:
    options = dict(asked)
    return found_cards(options.pop("text"), unit=unit, limit=_MOST, **options)


@router.post("/jobs/keep")
async def keep(request: Request) -> Response:
    """Keep the card of the job that the bench sends; the same card twice is one."""
    told = told_of(await pairs_of(request))
    number = await request.app.state.heavy.run(_kept, job_of(told.get("job", ""), told))
    return RedirectResponse(f"/jobs/{number}?kept=yes", 303)


def _kept(job: Job) -> int:
    from fitcheck.web.api.jobs import keep as kept

    return int(kept(sheet=job.tables(), card=None)["id"])


@router.get("/jobs/{number}")
async def show(request: Request, number: int) -> Response:
    """A card that was kept."""

    def work() -> Any:
        from fitcheck.store import open_store
        from fitcheck.store.cards import kept_card

        with open_store().reading() as connection:
            return kept_drawn(kept_card(connection, number))

    card, drawings = await request.app.state.answers.run(work)
    return card_view(request, card, drawings, number=number)
