"""The bench: what lies on it, what was measured, and the answer while it is typed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from fitcheck.errors import FitcheckError
from fitcheck.quantities import percent
from fitcheck.web.pages.asking import (
    LEADS,
    Answer,
    Given,
    answer_of,
    drawing_of,
    given_of_form,
    places_of,
)
from fitcheck.web.pages.fields import KINDS, OTHERS, part, parts
from fitcheck.web.pages.figures import figures
from fitcheck.web.pages.forms import pairs_of, told_of
from fitcheck.web.pages.job import ABOUT, Entry, Job, job_of
from fitcheck.web.pages.page_words import on_page
from fitcheck.web.pages.view import fragment, page
from fitcheck.web.refusals import Refusal

router = APIRouter(include_in_schema=False)


@router.get("/")
async def root() -> Response:
    """The bench is where one begins."""
    return RedirectResponse("/bench", status_code=303)


@router.get("/bench")
async def bench(request: Request) -> Response:
    """The bench with nothing on it yet: a seal, since that is what leaks."""
    return _bench(request, Given("seal"), Job(), fresh=True)


@router.get("/bench/{kind}")
async def bench_of(request: Request, kind: str) -> Response:
    """The bench for one kind of part; an address may carry readings."""
    given = given_of_form(_kind(kind), request.query_params.multi_items())
    if given.is_empty:
        return _bench(request, Given(kind), Job(), fresh=True)
    html = await request.app.state.answers.run(answer_html, given)
    return _bench(request, given, Job(), html=html)


@router.post("/bench/{kind}/answer")
async def answer_alone(request: Request, kind: str) -> Response:
    """The answer alone, for a page that is being typed in."""
    given = given_of_form(_kind(kind), await pairs_of(request))
    return HTMLResponse(await request.app.state.answers.run(answer_html, given))


@router.post("/bench/{kind}")
async def bench_done(request: Request, kind: str) -> Response:
    """The bench after a button: answered, one more field, put into the job, taken out of it."""
    pairs = await pairs_of(request)
    given = given_of_form(_kind(kind), pairs)
    told = told_of(pairs)
    job, said = job_of(told.get("job", "")), ""
    do, _, what = told.get("do", "answer").partition(":")
    if do == "more":
        texts = given.values.get(what, ())
        # Shown as one more empty field beside those that are filled.
        values = {**given.values, what: (*(text for text in texts if text), "")}
        given = replace(given, values=values)
    elif do == "put" and given.is_empty:
        said = "Nothing was put into the job: nothing is measured or read yet."
    elif do == "put":
        job = job.with_entry(await request.app.state.answers.run(_entry, given))
        said = f"In the job: {job.entries[-1].given.name}"
        given = Given(given.kind, unit=given.unit)
    elif do in ("clear", "turn"):
        given = Given(given.kind, unit=given.unit)
    elif do in ("drop", "take") and what.isdigit() and int(what[:4]) < len(job.entries):
        number = int(what[:4])
        if do == "take":
            given = job.entries[number].given
        said = f"Taken out: {job.entries[number].given.name}"
        job = job.without(number)
    html = await request.app.state.answers.run(answer_html, given)
    return _bench(request, given, job, said=said, html=html)


def _kind(kind: str) -> str:
    if kind in KINDS:
        return kind
    raise Refusal(
        404,
        value=kind[:40],
        rule="there is no such part on the bench",
        todo=f"There are: {', '.join(KINDS)}",
    )


def _bench(
    request: Request,
    given: Given,
    job: Job,
    *,
    said: str = "",
    html: str = "",
    fresh: bool = False,
) -> HTMLResponse:
    return page(
        request,
        "bench",
        part=part(given.kind),
        parts=parts(),
        others=parts(OTHERS),
        names={one.kind: one.name for one in parts(KINDS)},
        given=given,
        further=any(not one.first and one.key in given.values for one in part(given.kind).fields),
        places=places_of(given.kind),
        answer_html=html,
        job=job,
        job_text=job.text(),
        job_fields=ABOUT,
        said=said,
        fresh=fresh,
    )


def answer_html(given: Given) -> str:
    """The answer about one part as HTML.

    Parameters
    ----------
    given : Given
        What was typed.
    """
    if given.is_empty:
        return '<p class="wait">Type what you can measure. The answer comes here.</p>'
    try:
        found = answer_of(given)
    except FitcheckError as error:
        told = {"value": error.value, "rule": error.rule, "todo": error.todo}
        return fragment("answer", error=on_page(told, given.kind))
    drawing = drawing_of(given, found)
    heads, facts = figures(given.kind, found)
    if given.unit == "in":
        from fitcheck.report.inch_text import in_inches

        found = in_inches(found)
    found = on_page(found, given.kind)
    return fragment(
        "answer",
        error=None,
        found=found,
        pick=_pick(given, found),
        next_name=_next_name(given, found),
        said=_said(given, found),
        drawing=drawing,
        heads=heads,
        facts=facts,
    )


def _entry(given: Given) -> Entry:
    try:
        found = answer_of(given)
    except FitcheckError:
        return Entry(given)
    return Entry(given, str(found["verdict"]), _pick(given, found))


def _pick(given: Given, found: Answer) -> str:
    """What is shown beside the verdict: the leading size, or the first way."""
    candidates: list[dict[str, Any]] = found.get("candidates", [])
    if candidates and candidates[0]["probability"] >= LEADS:
        return str(candidates[0].get("size") or candidates[0]["designation"])
    if given.kind == "pivot":
        return str(found["pick"] or "")
    if given.kind == "sleeve" and found.get("ways"):
        return str(found["ways"][0]["way"]).replace("-", " ")
    return ""


def _said(given: Given, found: Answer) -> str:
    """What a screen reader is told when the answer changes: no more than it takes."""
    words = [str(found["verdict"]).replace("-", " ")]
    candidates: list[dict[str, Any]] = found.get("candidates", [])
    if candidates:
        leading = candidates[0]
        name = leading.get("size") or leading["designation"]
        words.append(f"{name}, {percent(leading['probability'])}")
    following = found.get("next_reading")
    if following:
        words.append(f"next reading: {_next_name(given, found)}")
    return "; ".join(words)


def _next_name(given: Given, found: Answer) -> str:
    """What the next reading is called: a family's places have short names, its fields long ones."""
    following = found.get("next_reading")
    if not following:
        return ""
    place = str(following["reading"])
    if given.kind in OTHERS:
        for one in part(given.kind).fields:
            if one.key == place.replace("-", "_"):
                return one.name.lower()
    return place.replace("-", " ")
