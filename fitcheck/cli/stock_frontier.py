"""`fitcheck stock frontier`, `cover` and `replay`: money against jobs, sleeves, the proof."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from typing import Any

import click

from fitcheck.cli.common import (
    Command,
    aligned,
    json_option,
    open_text,
    print_json,
    progress,
    terminal_width,
    wrap,
)
from fitcheck.cli.stock_plan import Shop, price_option
from fitcheck.cli.stock_records import (
    Money,
    ahead_options,
    records_options,
    shop_records,
    sure_option,
    tell_assumptions,
)
from fitcheck.errors import InputError

FRONTIER_EXAMPLES = """\b
Examples:
  fitcheck stock frontier --folder data/demo/stock --points 4
  fitcheck stock frontier --folder data/demo/stock --points 4 -o frontier.csv

-o writes CSV, or a chart (.svg, .png) drawn by matplotlib:
pip install 'fitcheck[charts]'.
"""

COVER_EXAMPLES = """\b
SHAFTS has a shaft a line, measured beside the track; - reads stdin.

\b
Examples:
  printf '34.98\\n35.03\\n50.02\\n' | fitcheck stock cover -
"""


REPLAY_EXAMPLES = """\b
The last year of the history is held back: demand is estimated from what came
before, each list is made with the same money, and the year is gone through
ask by ask with lead times. Without --budget it is what today's shelf holds.

\b
Lists: the plan; single lines (the most lines filled, each by itself, from the
same estimate); three hits (what was asked for three times in the twelve
months before, as many months of it as the money allows); today's shelf.

\b
Examples:
  fitcheck stock replay --folder data/demo/stock
  fitcheck stock replay --budget 4000 --folder data/demo/stock --json
"""


@click.command(name="frontier", cls=Command, epilog=FRONTIER_EXAMPLES)
@click.option(
    "--points",
    default=10,
    show_default=True,
    type=click.IntRange(min=2, max=200),
    help="Lists to work out.",
)
@click.option("--highest", type=float, metavar="MONEY", help="The most money to look at.")
@price_option
@click.option("-o", "--output", default="", metavar="OUT", help="CSV, SVG or PNG by its ending.")
@ahead_options
@sure_option
@records_options
@json_option
def frontier(
    *,
    points: int,
    highest: float | None,
    assume_price: float | None,
    output: str,
    as_json: bool,
    **options: Any,
) -> None:
    """Draw money against complete jobs, with today's shelf as a point."""
    from fitcheck.report.stock_text import frontier_text
    from fitcheck.stock.answer import check_money

    if highest is not None:
        check_money(highest, name="--highest")
    shop = Shop(options, assume_price)
    lines = frontier_points(
        shop,
        points=points,
        highest=highest,
        shown=lambda some: progress(list(some), label="lists", length=points),
    )
    if output:
        write_frontier(output, lines, shop.prices.currency)
    if as_json:
        print_json({"currency": shop.prices.currency, "points": lines})
        return
    jobs = shop.posed.problem.jobs
    currency = f" in {shop.prices.currency}" if shop.prices.currency else ""
    click.echo(f"{jobs:.0f} jobs a year; money on full shelves{currency}\n")
    click.echo(frontier_text(lines, aligned, width=terminal_width()))
    tell_assumptions(shop.prices.told(shop.model.assumptions))


def frontier_points(
    shop: Shop, *, points: int, highest: float | None, shown: Callable[[Any], Any]
) -> list[dict[str, Any]]:
    """Money against complete jobs, with today's shelf as a point where it was counted.

    Parameters
    ----------
    shop : Shop
        The shop.
    points : int
        Lists to work out.
    highest : float, optional
        The most money to look at.
    shown : callable
        Goes through the budgets, and may show how far it is.
    """
    from fitcheck.stock.figures import figures_of
    from fitcheck.stock.frontier import budgets, frontier

    row = budgets(shop.posed, highest=highest, points=points)
    found = frontier(shop.posed, row, shown=shown)
    lines = [{"name": "", **point.figures.as_json()} for point in found]
    if shop.model.counted.any():
        today = figures_of(shop.posed, shop.model.on_hand).as_json()
        lines.append({"name": "today's shelf", **today})
    lines.sort(key=lambda line: float(str(line["money"])))
    return lines


def write_frontier(output: str, lines: list[dict[str, Any]], currency: str) -> None:
    """Write money against complete jobs as CSV, or as a chart by the file's ending.

    Parameters
    ----------
    output : str
        The file.
    lines : list of dict
        The points.
    currency : str
        The currency.
    """
    from fitcheck.cli.saving import text_file

    ending = os.path.splitext(output)[1].lower().removeprefix(".")
    if ending in ("svg", "png"):
        from fitcheck.cli.pictures import write_bytes
        from fitcheck.report.chart.curves import MoneyChart, MoneyPoint, money_chart

        row = tuple(
            MoneyPoint(line["money"], line["jobs_complete_share"])
            for line in lines
            if not line["name"]
        )
        today = tuple(
            MoneyPoint(line["money"], line["jobs_complete_share"], line["name"])
            for line in lines
            if line["name"]
        )
        chart = MoneyChart(points=row, today=today[0] if today else None, currency=currency)
        write_bytes(output, money_chart(chart, kind=ending))
        return
    import csv

    with text_file(output) as target:
        writer = csv.DictWriter(target, list(lines[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(lines)


@click.command(name="cover", cls=Command, epilog=COVER_EXAMPLES)
@click.argument("shafts", metavar="SHAFTS")
@click.option("--unit", type=click.Choice(["mm", "in"]), default="mm", help="Unit of bare lengths.")
@json_option
def cover(*, shafts: str, unit: str, as_json: bool) -> None:
    """Find the fewest different sleeves that cover the shafts seen."""
    with open_text(shafts) as handle:
        found = fewest(handle, unit=unit, name=shafts)
    if as_json:
        print_json(cover_answer(found))
        return
    rows = [
        (
            one.designation,
            f"{one.window_min_mm:.2f} to {one.window_max_mm:.2f}",
            f"{one.width_mm:g}",
            ", ".join(f"{shaft:.2f}" for shaft in taken),
        )
        for one, taken in found.sleeves
    ]
    from fitcheck.store.records import counted

    shafts_taken = counted(sum(len(taken) for _, taken in found.sleeves), "shaft")
    click.echo(f"{counted(len(rows), 'sleeve')} cover{'s' * (len(rows) == 1)} {shafts_taken}")
    heads = ("sleeve", "window mm", "width mm", "shafts mm")
    click.echo(aligned(heads, rows, width=terminal_width()))
    if found.uncovered:
        click.echo("No sleeve takes " + ", ".join(f"{one:.2f}" for one in found.uncovered) + " mm")


def fewest(lines: Iterable[str], *, unit: str, name: str) -> Any:
    """The fewest sleeves that cover shafts, one a line.

    Parameters
    ----------
    lines : iterable of str
        The shafts.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    name : str
        What messages call the lines.

    Raises
    ------
    InputError
        A line can't be read, or there is none.
    """
    from fitcheck.parts.sleeve import sleeves
    from fitcheck.quantities import length_mm
    from fitcheck.stock.cover import fewest_sleeves

    lengths = []
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            lengths.append(length_mm(line.strip(), unit=unit))
        except InputError as error:
            raise error.at(f"line {number}") from error
    if not lengths:
        raise InputError(value=name, rule="it names no shaft", todo="Write a shaft a line")
    return fewest_sleeves(lengths, sleeves())


def cover_answer(found: Any) -> dict[str, Any]:
    """The fewest sleeves as data.

    Parameters
    ----------
    found : Cover
        The sleeves.
    """
    return {
        "sleeves": [
            {
                "designation": one.designation,
                "window_min_mm": one.window_min_mm,
                "window_max_mm": one.window_max_mm,
                "width_mm": one.width_mm,
                "shafts_mm": list(taken),
            }
            for one, taken in found.sleeves
        ],
        "uncovered_mm": list(found.uncovered),
    }


@click.command(name="replay", cls=Command, epilog=REPLAY_EXAMPLES)
@click.option("--budget", type=Money(), metavar="MONEY", help="Money on full shelves.")
@click.option(
    "--days",
    default=365,
    show_default=True,
    type=click.IntRange(min=28, max=3660),
    help="How many of the last days are held back.",
)
@click.option("--seed", default=1, show_default=True, help="Of the lead times.")
@price_option
@sure_option
@records_options
@json_option
def replay(
    *,
    budget: float | None,
    days: int,
    seed: int,
    assume_price: float | None,
    as_json: bool,
    **options: Any,
) -> None:
    """Prove it: go through a held-back year with the plan and other rules."""
    from fitcheck.report.stock_text import replay_text
    from fitcheck.stock.answer import check_money
    from fitcheck.stock.trial import trial
    from fitcheck.store.records import counted

    history, known = shop_records(**options)
    if budget is not None:
        check_money(budget, name="--budget")
    found = trial(history, known, days=days, budget=budget, assume_price=assume_price, seed=seed)
    if as_json:
        print_json(found)
        return
    width = terminal_width()
    words = (
        f"{found['first']} to {found['last']}: {counted(found['jobs'], 'job')} with "
        f"{counted(found['lines'], 'line')}, "
        f"{found['budget']:,.2f} {found['currency']} for each list"
    )
    click.echo(wrap(words, width=width) + "\n")
    click.echo(replay_text(found["lists"], aligned, width=width))
    tell_assumptions(tuple(found["assumptions"]))
