"""The buyer: what is asked for, what to keep for the money, why, and the proof."""

from __future__ import annotations

import os
from tempfile import TemporaryDirectory
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from fitcheck.errors import FitcheckError, InputError, NotKnownError
from fitcheck.web.pages.counter import file_response
from fitcheck.web.pages.shop import KEPT, OPTIONS, Stock, budget_of, plan_of, sensible_budget
from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)

# So many sizes of a branch stand in sight, and so many on the page; a file has them all.
_FIRST_SHOWN, _MOST_SHOWN = 12, 300
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_MEDIA = {"csv": "text/csv; charset=utf-8", "xlsx": _XLSX}


@router.get("/buyer")
async def buyer(request: Request) -> Response:
    """The plan for a budget, what it does, and the line of all budgets."""
    return await _shown(request, "buyer", _planned, request.query_params.get("budget", ""))


def _form(stock: Stock, budget: float) -> dict[str, Any]:
    """What the form with the slider needs."""
    return {
        "budget": budget,
        "top": max(stock.top, budget),
        "step": max(1, round(stock.top / 500)),
        "currency": stock.shop.prices.currency,
    }


def _refused(text: str) -> dict[str, Any]:
    """The form, to give another budget; the slider stands at what was typed where it can."""
    stock = KEPT.get()
    try:
        budget = min(budget_of(text, stock), stock.top)
    except InputError:
        budget = sensible_budget(stock)
    return {**_form(stock, budget), "typed": text.strip()[:20]}


def _planned(text: str) -> dict[str, Any]:
    from fitcheck.report.stock_text import dead_text

    stock = KEPT.get()
    budget = budget_of(text, stock)
    found = plan_of(stock, budget)
    kept = [line for line in found["lines"] if line["level"]]
    return {
        **_form(stock, budget),
        "error": None,
        "found": found,
        "dead": dead_text(found),
        "branches": [
            (branch, [line for line in kept if line["branch"] == branch])
            for branch in stock.shop.model.branches
        ],
        "first": _FIRST_SHOWN,
        "most": _MOST_SHOWN,
    }


@router.get("/buyer/chart.svg")
async def chart(request: Request) -> Response:
    """Money against complete jobs, the plan and today's shelf marked; narrow for a telephone."""
    query = request.query_params
    found = await request.app.state.heavy.run(
        _drawn, query.get("budget", ""), narrow=query.get("narrow") == "yes"
    )
    return Response(found, media_type="image/svg+xml")


@router.get("/buyer/frontier")
async def frontier(request: Request) -> Response:
    """Money against complete jobs, as a chart and in figures."""
    return await _shown(request, "frontier", _lined, request.query_params.get("budget", ""))


def _lined(text: str) -> dict[str, Any]:
    stock = KEPT.get()
    return {
        "budget": budget_of(text, stock),
        "points": KEPT.line(stock),
        "today": stock.today,
        "currency": stock.shop.prices.currency,
    }


def _drawn(text: str, *, narrow: bool) -> str:
    from fitcheck.report.chart.money import NARROW_MM, PAPER_MM, Spot, frontier_svg

    stock = KEPT.get()
    marks = []
    if text.strip():
        figures = plan_of(stock, budget_of(text, stock), compare=False)["figures"]
        marks.append(Spot(figures["money"], figures["jobs_complete_share"], "this plan"))
    if stock.today is not None:
        today = stock.today
        marks.append(Spot(today["money"], today["jobs_complete_share"], "today's shelf"))
    line = [Spot(one["money"], one["jobs_complete_share"]) for one in KEPT.line(stock)]
    return frontier_svg(
        line,
        marks=marks,
        currency=stock.shop.prices.currency,
        paper_mm=NARROW_MM if narrow else PAPER_MM,
    )


@router.get("/buyer/plan")
async def plan_file(request: Request) -> Response:
    """The plan as CSV or XLSX, as `fitcheck stock plan -o` writes it."""
    kind = "xlsx" if request.query_params.get("as") == "xlsx" else "csv"
    text = request.query_params.get("budget", "")

    def work() -> bytes:
        from fitcheck.cli.stock_plan import write_rows
        from fitcheck.stock.plan_sheet import plan_rows

        stock = KEPT.get()
        shop = stock.shop
        level, _ = shop.levels(budget_of(text, stock), None, "")
        rows = plan_rows(shop.model, shop.prices, shop.posed, level)
        return _written(kind, lambda path: write_rows(path, (row.cells() for row in rows)))

    content = await request.app.state.heavy.run(work)
    return file_response(content, f"plan.{kind}", _MEDIA[kind])


def _written(kind: str, write: Any) -> bytes:
    with TemporaryDirectory() as folder:
        path = os.path.join(folder, f"out.{kind}")
        write(path)
        with open(path, "rb") as source:
            return source.read()


@router.get("/buyer/why")
async def why(request: Request) -> Response:
    """Why one size is on the list or not."""
    query = request.query_params
    return await _shown(
        request, "why", _explained, query.get("budget", ""), query.get("part", "").strip()[:200]
    )


def _explained(text: str, part: str) -> dict[str, Any]:
    from fitcheck.stock.parts import names_of

    stock = KEPT.get()
    budget = budget_of(text, stock)
    found = plan_of(stock, budget)
    key = part
    if not any(line["part"] == part for line in found["lines"]):
        key = names_of([(part, "")], unit="mm")[part, ""].key
    lines = [line for line in found["lines"] if line["part"] == key]
    if not lines:
        raise NotKnownError(
            value=part,
            rule="no job takes this size and it is on no shelf",
            todo="Write the size as the history has it",
        )
    return {"budget": budget, "part": key, "lines": lines, "found": found}


@router.get("/buyer/demand")
async def demand(request: Request) -> Response:
    """How much of each size is asked for in a year, how sure that is, and why."""
    return await _shown(request, "demand", _demanded)


def _demanded() -> dict[str, Any]:
    rows, assumptions = _demand_rows()
    branches: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        branches.setdefault(row["branch"], []).append(row)
    return {
        "branches": branches,
        "assumptions": assumptions,
        "first": _FIRST_SHOWN,
        "most": _MOST_SHOWN,
    }


def _demand_rows() -> tuple[list[dict[str, Any]], list[str]]:
    from fitcheck.cli.stock_records import shop_records
    from fitcheck.stock.estimate import estimate
    from fitcheck.stock.tell import Chosen, chosen_items, demand_rows

    history, known = shop_records(**OPTIONS)
    found = estimate(history, known, substitutes=False)
    rows = [dict(row) for row in demand_rows(found, chosen_items(found, Chosen()), share=0.9)]
    return rows, list(found.model.assumptions)


@router.get("/buyer/demand/file")
async def demand_file(request: Request) -> Response:
    """The demand as CSV or XLSX."""
    kind = "xlsx" if request.query_params.get("as") == "xlsx" else "csv"

    def work() -> bytes:
        from fitcheck.cli.saving import write_table
        from fitcheck.lists.export import safe_cell
        from fitcheck.stock.tell import DEMAND_COLUMNS

        rows, _ = _demand_rows()
        cells = (
            [
                safe_cell(value) if isinstance(value, str) else "" if value is None else value
                for value in (row[name] for name in DEMAND_COLUMNS)
            ]
            for row in rows
        )
        return _written(kind, lambda path: write_table(path, DEMAND_COLUMNS, cells))

    content = await request.app.state.heavy.run(work)
    return file_response(content, f"demand.{kind}", _MEDIA[kind])


@router.get("/buyer/replay")
async def replay(request: Request) -> Response:
    """The plan proved on a year it has not seen, beside simpler rules."""
    return await _shown(request, "replay", _replayed, request.query_params.get("budget", ""))


def _replayed(text: str) -> dict[str, Any]:
    from fitcheck.cli.stock_records import shop_records
    from fitcheck.stock.trial import trial

    budget = budget_of(text, KEPT.get()) if text.strip() else None
    history, known = shop_records(**OPTIONS)
    found = trial(history, known, days=365, budget=budget, assume_price=None, seed=1)
    return {"found": found, "budget": budget}


async def _shown(request: Request, template: str, work: Any, *args: str) -> Response:
    """A page of the buyer's; without records it says how they get in.

    What is refused with records there is a value: the form stays, with what was refused.
    """
    heavy = request.app.state.heavy
    try:
        values = await heavy.run(work, *args)
    except FitcheckError as error:
        if request.query_params.get("part") and isinstance(error, NotKnownError):
            raise
        try:
            form = await heavy.run(_refused, request.query_params.get("budget", ""))
        except NotKnownError:
            return page(request, "no_records", status=404, error=error)
        return page(request, "buyer", status=422, error=error, **form)
    return page(request, template, **values)
