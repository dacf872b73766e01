"""The job card on screen: the printed card inside the page, to keep, to print, to take along."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from fitcheck.web.api import hub
from fitcheck.web.pages.forms import pairs_of, told_of
from fitcheck.web.pages.job import Job, job_of
from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)
ANSWER_PATHS = ("/job/card", "/job/card.pdf", "/job/card.xlsx")

Answer = dict[str, Any]
Drawings = list[tuple[str, str]]


@router.post("/job/card")
async def card(request: Request) -> Response:
    """The card of the job that the bench sends."""
    job = await _job(request)
    made, drawings = await request.app.state.answers.run(_made, job)
    return card_view(request, made, drawings, job=job)


@router.post("/job/card.pdf")
async def card_pdf(request: Request) -> Response:
    """The card as a PDF."""
    job = await _job(request)
    found: Response = await request.app.state.heavy.run(hub.pdf, sheet=job.tables(), paper="a4")
    return found


@router.post("/job/card.xlsx")
async def card_workbook(request: Request) -> Response:
    """The parts of the card as a workbook."""
    job = await _job(request)
    run = request.app.state.heavy.run
    found: Response = await run(hub.workbook, sheet=job.tables(), no_offers=False)
    return found


async def _job(request: Request) -> Job:
    told = told_of(await pairs_of(request))
    return job_of(told.get("job", ""), told)


def _made(job: Job) -> tuple[Answer, Drawings]:
    """The card with what the lists offer, and its drawings."""
    from fitcheck.job.drawn import sheet_extras
    from fitcheck.job.sheet import sheet_of

    tables = job.tables()
    return _drawn(hub.card(sheet=tables), extra=sheet_extras(sheet_of(tables)))


def kept_drawn(card: Answer) -> tuple[Answer, Drawings]:
    """A card that was kept, with its drawings.

    Parameters
    ----------
    card : dict
        The card as data.
    """
    return _drawn(card, extra=None)


def _drawn(card: Answer, *, extra: Answer | None) -> tuple[Answer, Drawings]:
    from fitcheck.cli.card_files import printed
    from fitcheck.report.drawing.answers import card_drawings

    unit = str(card["job"].get("unit") or "mm")
    return card, printed(card, card_drawings(card, unit=unit, extra=extra))


def card_view(
    request: Request,
    card: Answer,
    drawings: Drawings,
    *,
    job: Job | None = None,
    number: int = 0,
) -> Response:
    """A card as a page.

    Parameters
    ----------
    request : Request
        What was asked.
    card : dict
        The card as data.
    drawings : list of (name, svg)
        Its drawings.
    job : Job, optional
        The job at the bench it was made from.
    number : int
        The number it was kept under; 0 where it was not.
    """
    from fitcheck.report.html.card import card_values

    return page(
        request,
        "card_view",
        # The page's policy takes no widths written into it: the drawings stand in columns.
        **{**card_values(card, drawings=drawings), "widths": []},
        bench_job=job,
        job_text=job.text() if job is not None else "",
        number=number,
    )
