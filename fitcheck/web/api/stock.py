"""Endpoints for the stocking list: what is asked for, what to keep, why, and the proof."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import Field
from starlette.responses import Response

from fitcheck.cli import stock_demand as demands
from fitcheck.cli import stock_frontier as frontiers
from fitcheck.cli import stock_plan as plans
from fitcheck.cli.stock_records import shop_records
from fitcheck.errors import NotKnownError
from fitcheck.web.api.files import CSV, XLSX, Uploaded, called, made
from fitcheck.web.api.requests import Texts
from fitcheck.web.api.routes import JSON, SVG, Answer, answering

router = APIRouter(tags=["stocking list"])

OUTPUT = (Literal["json", "csv", "xlsx"], "json")
_MEDIA = {"json": JSON, "csv": CSV, "xlsx": XLSX, "svg": SVG}
# A page asks for what the shop keeps, never for files of the machine it runs on.
_FILES = ("folder", "list", "from", "output", "top")


def demand(
    *, share: float, branch: str, text: str, every: bool, output: str, **options: Any
) -> Answer | Response:
    """What `fitcheck stock demand` answers.

    Parameters
    ----------
    share : float
        Probability that a rate lies between low and high.
    branch, text : str
        One branch and one size; all when empty.
    every : bool
        Whether sizes nobody asked for are meant too.
    output : str
        ``json``, ``csv`` or ``xlsx``.
    **options
        How the records are read.
    """
    from fitcheck.stock.estimate import estimate
    from fitcheck.stock.tell import DEMAND_COLUMNS, chosen_items, demand_rows

    history, known = shop_records(**options)
    found = estimate(history, known, substitutes=False)
    items = chosen_items(found, demands.chosen(found, branch, text, every, options["unit"]))
    rows = demand_rows(found, items, share=share)
    return _sizes(rows, DEMAND_COLUMNS, found.model.assumptions, output, name="demand")


def levels(
    *,
    fill: float,
    order_cost: float,
    holding: float,
    branch: str,
    text: str,
    every: bool,
    output: str,
    **options: Any,
) -> Answer | Response:
    """What `fitcheck stock levels` answers.

    Parameters
    ----------
    fill : float
        Share of the asks of each size that the shelf meets.
    order_cost, holding : float
        What an order costs, and keeping a piece for a year as a share of its price.
    branch, text : str
        One branch and one size; all when empty.
    every : bool
        Whether sizes nobody asked for are meant too.
    output : str
        ``json``, ``csv`` or ``xlsx``.
    **options
        How the records are read.
    """
    from fitcheck.stock.estimate import estimate
    from fitcheck.stock.policy import item_levels
    from fitcheck.stock.tell import LEVEL_COLUMNS, chosen_items, level_rows

    history, known = shop_records(**options)
    found = estimate(history, known, substitutes=False)
    kept = item_levels(found.model, fill=fill, order_cost=order_cost, holding_share=holding)
    items = chosen_items(found, demands.chosen(found, branch, text, every, options["unit"]))
    rows = level_rows(found, kept, items)
    return _sizes(rows, LEVEL_COLUMNS, found.model.assumptions, output, name="levels")


def _sizes(
    rows: Any, columns: Any, assumptions: Any, output: str, *, name: str
) -> Answer | Response:
    if output == "json":
        return {"rows": list(rows), "assumptions": list(assumptions)}
    return made(
        lambda path: demands.write_sizes(rows, columns, path),
        name=f"{name}.{output}",
        media=_MEDIA[output],
    )


def plan(
    *,
    budget: float | None,
    jobs: float | None,
    assume_price: float | None,
    output: str,
    **options: Any,
) -> Answer | Response:
    """What `fitcheck stock plan` answers.

    Parameters
    ----------
    budget, jobs : float, optional
        The money, or the share of jobs.
    assume_price : float, optional
        The price of a size without one.
    output : str
        ``json``, ``csv`` or ``xlsx``.
    **options
        How the records are read.
    """
    shop = plans.Shop(options, assume_price)
    level, notes = shop.levels(budget, jobs, "")
    return _planned(shop, level, notes, output)


def judge(
    *, file: Uploaded, assume_price: float | None, output: str, **options: Any
) -> Answer | Response:
    """What `fitcheck stock plan --from` answers to a list that somebody edited.

    Parameters
    ----------
    file : Uploaded
        The list.
    assume_price : float, optional
        The price of a size without one.
    output : str
        ``json``, ``csv`` or ``xlsx``.
    **options
        How the records are read.
    """
    from fitcheck.stock.answer import same_money

    shop = plans.Shop(options, assume_price)
    with called(file):
        level, notes = shop.levels(None, None, file.path)
    found = _planned(shop, level, notes, output)
    if not isinstance(found, Response) and (best := same_money(shop.posed, level)) is not None:
        found["best"] = best
    return found


def _planned(shop: plans.Shop, level: Any, notes: Any, output: str) -> Answer | Response:
    from fitcheck.stock.answer import plan_answer
    from fitcheck.stock.plan_sheet import plan_rows

    if output == "json":
        return plan_answer(shop.model, shop.prices, shop.posed, level, notes=notes)
    rows = plan_rows(shop.model, shop.prices, shop.posed, level)
    return made(
        lambda path: plans.write_rows(path, (row.cells() for row in rows)),
        name=f"plan.{output}",
        media=_MEDIA[output],
    )


def explain(
    *,
    budget: float | None,
    jobs: float | None,
    assume_price: float | None,
    text: str,
    **options: Any,
) -> Answer:
    """What `fitcheck stock explain` answers.

    Parameters
    ----------
    budget, jobs : float, optional
        The money, or the share of jobs.
    assume_price : float, optional
        The price of a size without one.
    text : str
        One size; all when empty.
    **options
        How the records are read.

    Raises
    ------
    NotKnownError
        No job takes the size.
    """
    from fitcheck.stock.answer import plan_answer

    shop = plans.Shop(options, assume_price)
    level, notes = shop.levels(budget, jobs, "")
    answer = plan_answer(shop.model, shop.prices, shop.posed, level, notes=notes, compare=False)
    if text:
        key = plans.part_key(text, shop)
        answer["lines"] = [line for line in answer["lines"] if line["part"] == key]
        if not answer["lines"]:
            raise NotKnownError(
                value=text,
                rule="no job takes this size and it is on no shelf",
                todo="Write the size as the history has it",
            )
    return answer


def frontier(
    *,
    points: int,
    highest: float | None,
    assume_price: float | None,
    output: str,
    **options: Any,
) -> Answer | Response:
    """What `fitcheck stock frontier` answers.

    Parameters
    ----------
    points : int
        Lists to work out.
    highest : float, optional
        The most money to look at.
    assume_price : float, optional
        The price of a size without one.
    output : str
        ``json``, ``csv`` or ``svg``.
    **options
        How the records are read.
    """
    from fitcheck.stock.answer import check_money

    if highest is not None:
        check_money(highest, name="--highest")
    shop = plans.Shop(options, assume_price)
    lines = frontiers.frontier_points(shop, points=points, highest=highest, shown=iter)
    currency = shop.prices.currency
    if output == "json":
        return {"currency": currency, "points": lines}
    return made(
        lambda path: frontiers.write_frontier(path, lines, currency),
        name=f"frontier.{output}",
        media=_MEDIA[output],
    )


def cover(*, shafts: tuple[str, ...], unit: str) -> Answer:
    """What `fitcheck stock cover` answers.

    Parameters
    ----------
    shafts : tuple of str
        The shafts.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    """
    return frontiers.cover_answer(frontiers.fewest(shafts, unit=unit, name="shafts"))


def replay(
    *,
    budget: float | None,
    days: int,
    seed: int,
    assume_price: float | None,
    **options: Any,
) -> Answer:
    """What `fitcheck stock replay` answers.

    Parameters
    ----------
    budget : float, optional
        Money on full shelves.
    days : int
        How many of the last days are held back.
    seed : int
        Of the lead times.
    assume_price : float, optional
        The price of a size without one.
    **options
        How the records are read.
    """
    from fitcheck.stock.answer import check_money
    from fitcheck.stock.trial import trial

    history, known = shop_records(**options)
    if budget is not None:
        check_money(budget, name="--budget")
    return trial(history, known, days=days, budget=budget, assume_price=assume_price, seed=seed)


for _path, _work, _command, _more in (
    ("/stock/demand", demand, demands.demand, {"output": OUTPUT}),
    ("/stock/levels", levels, demands.levels, {"output": OUTPUT}),
    ("/stock/plan", plan, plans.plan, {"output": OUTPUT}),
    ("/stock/explain", explain, plans.explain, None),
    (
        "/stock/frontier",
        frontier,
        frontiers.frontier,
        {
            "output": (Literal["json", "csv", "svg"], "json"),
            "points": (Annotated[int, Field(strict=True, ge=2, le=40)], 10),
        },
    ),
    (
        "/stock/replay",
        replay,
        frontiers.replay,
        {"seed": (Annotated[int, Field(strict=True, ge=0, le=2**31)], 1)},
    ),
):
    answering(
        router,
        _path,
        _work,
        command=_command,
        without=_FILES,
        more=_more,
        example={"budget": 5000} if _path in ("/stock/plan", "/stock/explain") else None,
        heavy=True,
        kept=True,
    )
answering(
    router,
    "/stock/judge",
    judge,
    command=plans.plan,
    how="files",
    files=("file",),
    without=(*_FILES, "budget", "jobs"),
    more={"output": OUTPUT},
    heavy=True,
)
answering(
    router,
    "/stock/cover",
    cover,
    command=frontiers.cover,
    without=("shafts",),
    more={"shafts": (Texts, ...)},
    example={"shafts": ["34.98", "35.03", "50.02"]},
)
