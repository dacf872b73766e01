"""`fitcheck stock plan` and `explain`: the list that completes the most jobs for the money."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from fitcheck.cli.common import (
    Command,
    aligned,
    json_option,
    print_json,
    terminal_width,
    wrap,
)
from fitcheck.cli.stock_records import (
    Money,
    ahead_options,
    records_options,
    refuse_json_file,
    shop_records,
    sure_option,
    tell_assumptions,
)
from fitcheck.errors import InputError, NotKnownError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from fitcheck.stock.pose import Posed
    from fitcheck.stock.prices import Prices
    from fitcheck.stock.records import Model

    Ints = NDArray[np.int64]

F = TypeVar("F", bound=Callable[..., Any])

PLAN_EXAMPLES = """\b
A job is complete only when every part of its kit is on the shelf. The plan
takes the levels that complete the most jobs for the money that full shelves
hold (--budget), or the least money that completes a share of them (--jobs).
level is the most there is of a size; order_at is when more is ordered, on
order included; met is the share of its asks that find all they take; jobs
is how many jobs a year take it; lost is how many a year are no longer
complete without it, those that take it in the place of another size too.

\b
-o writes every size with all columns. Edit the column level and read the
file back with --from: it is judged beside the plan for the same money.

\b
Examples:
  fitcheck stock plan --budget 5000 --folder data/demo/stock --top 5
  fitcheck stock plan --jobs 0.8 --folder data/demo/stock --top 5
  fitcheck stock plan --budget 5000 --folder data/demo/stock -o plan.xlsx
  fitcheck stock plan --from plan.xlsx --folder data/demo/stock --top 5
  fitcheck stock plan --budget 5000 --on 2025-09-01 --folder data/demo/stock
"""

EXPLAIN_EXAMPLES = """\b
Examples:
  fitcheck stock explain --budget 5000 --folder data/demo/stock --top 3
  fitcheck stock explain --budget 5000 --folder data/demo/stock --part 32215
"""


def price_option(command: F) -> F:
    """Add ``--assume-price``, handed over as ``assume_price``."""
    return click.option(
        "--assume-price",
        type=float,
        metavar="PRICE",
        help="Price of a size without one; the middle price of its kind if left out.",
    )(command)


def _goal_options(command: F) -> F:
    for option in (
        click.option(
            "--from", "sheet", default="", metavar="FILE", help="A list, as -o wrote it, edited."
        ),
        click.option("--jobs", type=float, metavar="SHARE", help="Share of jobs to complete."),
        click.option("--budget", type=Money(), metavar="MONEY", help="Money on full shelves."),
    ):
        command = option(command)
    return command


def stage(words: str) -> None:
    """Say on stderr what is being done, where somebody can see it; nothing clears the line.

    Parameters
    ----------
    words : str
        What is being done.
    """
    if sys.stderr.isatty():
        click.echo(f"\r\x1b[K{words}{' ...' if words else ''}", nl=False, err=True)


def check_goal(budget: float | None, jobs: float | None, sheet: str) -> None:
    """What list is wanted, before anything is read for it.

    Parameters
    ----------
    budget : float, optional
        Money on full shelves [currency].
    jobs : float, optional
        Share of the jobs.
    sheet : str
        A file with the list; empty where there is none.

    Raises
    ------
    InputError
        Not one of them is given, or it can't be.
    """
    from fitcheck.stock.answer import check_money, check_share

    given = sum((budget is not None, jobs is not None, bool(sheet)))
    if given != 1:
        raise InputError(
            value="--budget, --jobs and --from",
            rule=f"one of them says what list is wanted, and {given} were given",
            todo="Give for example --budget 8000, or --jobs 0.95",
        )
    if budget is not None:
        check_money(budget, name="--budget")
    if jobs is not None:
        check_share(jobs)


class Shop:
    """The model of a shop with its prices and its problem."""

    def __init__(self, options: dict[str, Any], assume_price: float | None) -> None:
        from fitcheck.stock.estimate import estimate
        from fitcheck.stock.pose import pose
        from fitcheck.stock.prices import prices_of

        try:
            stage("reading the shop's records")
            history, known = shop_records(**options)
            stage(f"estimating demand from {len(history):,} lines")
            self.model: Model = estimate(history, known).model
            stage(f"laying out {len(self.model.part_of):,} sizes at their branches")
            self.prices: Prices = prices_of(self.model, assume=assume_price)
            self.posed: Posed = pose(self.model, self.prices)
            self.unit = str(options["unit"])
        finally:
            stage("")

    def levels(
        self, budget: float | None, jobs: float | None, sheet: str
    ) -> tuple[Ints, tuple[str, ...]]:
        """The list that is asked for, and what was assumed on the way."""
        from fitcheck.stock.plan import plan_for_budget, plan_for_jobs
        from fitcheck.stock.plan_sheet import read_levels

        check_goal(budget, jobs, sheet)
        if sheet:
            return read_levels(sheet, self.model, unit=self.unit)
        stage(f"planning {len(self.model.part_of):,} sizes at their branches")
        try:
            if budget is not None:
                return plan_for_budget(self.posed, budget), ()
            return plan_for_jobs(self.posed, jobs or 0.0), ()
        finally:
            stage("")


@click.command(name="plan", cls=Command, epilog=PLAN_EXAMPLES)
@_goal_options
@price_option
@click.option(
    "--top",
    default=15,
    show_default=True,
    type=click.IntRange(min=0),
    help="Sizes to print of each branch; a file has them all.",
)
@click.option("-o", "--output", default="", metavar="OUT", help="CSV file, or XLSX by its ending.")
@ahead_options
@sure_option
@records_options
@json_option
def plan(
    *,
    budget: float | None,
    jobs: float | None,
    sheet: str,
    assume_price: float | None,
    top: int,
    output: str,
    as_json: bool,
    **options: Any,
) -> None:
    """Give each size the level that completes the most jobs for the money."""
    from fitcheck.cli.saving import refuse_same
    from fitcheck.report.stock_text import LIST_HEADS, LIST_RIGHT, figures_text, list_cells
    from fitcheck.stock.answer import plan_answer, same_money
    from fitcheck.stock.plan_sheet import plan_rows
    from fitcheck.store.records import counted

    refuse_same(sheet or "-", output or "-")
    refuse_json_file(output)
    check_goal(budget, jobs, sheet)
    shop = Shop(options, assume_price)
    level, notes = shop.levels(budget, jobs, sheet)
    answer = plan_answer(shop.model, shop.prices, shop.posed, level, notes=notes)
    if sheet and (best := same_money(shop.posed, level)) is not None:
        answer["best"] = best
    if output:
        rows = plan_rows(shop.model, shop.prices, shop.posed, level)
        write_rows(output, (row.cells() for row in rows), currency=shop.prices.currency)
    if as_json:
        print_json(answer)
        return
    width = terminal_width()
    name = "this list" if sheet else "the plan"
    click.echo(_headline(answer, width=width))
    click.echo(figures_text(answer, aligned, width=width, name=name))
    kept = [line for line in answer["lines"] if line["level"]]
    for branch in shop.model.branches if top else ():
        some = [line for line in kept if line["branch"] == branch]
        click.echo(f"\n{branch}: {counted(len(some), 'size')}")
        table = aligned(LIST_HEADS, [list_cells(x) for x in some[:top]], right=LIST_RIGHT)
        click.echo("\n".join("  " + line for line in table.split("\n")))
        if len(some) > top:
            click.echo(f"  ... and {len(some) - top} more; -o FILE writes them all")
    if shop.prices.assumed and any(line["price_assumed"] for line in kept):
        click.echo("\n* no price is known; see what is assumed")
    _tell_dead(answer)
    tell_assumptions(tuple(answer["assumptions"]))
    if output:
        click.echo(f"\n{output}: {counted(len(answer['lines']), 'size')}")


def _headline(answer: dict[str, Any], *, width: int) -> str:
    figures, currency, days = answer["figures"], answer["currency"], answer["days"]
    pace = f"At the pace of {days['first']} to {days['last']}: " if days else ""
    return (
        wrap(
            f"{pace}{figures['jobs_complete_a_year']:.0f} of {figures['jobs_a_year']:.0f} jobs a "
            f"year complete from the shelf, {figures['money']:,.2f} {currency} on full shelves; "
            f"{answer['buy_money']:,.2f} to buy now",
            width=width,
        )
        + "\n"
    )


def _tell_dead(answer: dict[str, Any]) -> None:
    from fitcheck.report.stock_text import dead_text

    if not (answer["dead_pieces"] or answer["over_pieces"]):
        return
    click.echo(
        "\n"
        + wrap(
            dead_text(answer),
            width=terminal_width(),
        )
    )


def write_rows(
    output: str, rows: Iterable[list[str | int | float | None]], *, currency: str = ""
) -> None:
    """Write a list to a CSV file, or an XLSX by its ending.

    Parameters
    ----------
    output : str
        The file.
    rows : iterable of list
        Its rows, in the order of `plan_sheet.COLUMNS`.
    currency : str
        The currency, for the headings of a workbook.
    """
    from fitcheck.cli.saving import complete, is_workbook, write_table
    from fitcheck.report.stock_text import plan_table
    from fitcheck.report.workbook import write_workbook
    from fitcheck.stock.plan_sheet import COLUMNS

    if not is_workbook(output):
        write_table(output, [column.name for column in COLUMNS], rows)
        return
    with complete(output) as path:
        write_workbook(path, [plan_table(rows, currency=currency)])


@click.command(name="explain", cls=Command, epilog=EXPLAIN_EXAMPLES)
@_goal_options
@price_option
@click.option("--part", "text", default="", metavar="SIZE", help="One size.")
@click.option(
    "--top",
    default=10,
    show_default=True,
    type=click.IntRange(min=1),
    help="Sizes to print of each kind of change.",
)
@ahead_options
@sure_option
@records_options
@json_option
def explain(
    *,
    budget: float | None,
    jobs: float | None,
    sheet: str,
    assume_price: float | None,
    text: str,
    top: int,
    as_json: bool,
    **options: Any,
) -> None:
    """Say why each size is on the list, what is dead stock, what isn't known."""
    from fitcheck.stock.answer import plan_answer

    check_goal(budget, jobs, sheet)
    shop = Shop(options, assume_price)
    level, notes = shop.levels(budget, jobs, sheet)
    answer = plan_answer(shop.model, shop.prices, shop.posed, level, notes=notes, compare=False)
    lines = answer["lines"]
    if text:
        key = part_key(text, shop)
        lines = answer["lines"] = [line for line in lines if line["part"] == key]
        if not lines:
            raise NotKnownError(
                value=text,
                rule="no job takes this size and it is on no shelf",
                todo="Write the size as the history has it",
            )
    if as_json:
        print_json(answer)
        return
    click.echo(_headline(answer, width=terminal_width()).rstrip("\n"))
    if text:
        click.echo()
        _tell("", lines, answer["currency"])
    else:
        kept = [line for line in lines if line["level"]]
        loose = [line for line in kept if not line["always"]]
        lost = sorted(kept, key=lambda line: -float(line["dropped"]))
        _tell("Most is lost without", lost[:top], answer["currency"])
        _tell(
            "Nearest to being dropped: these do least for their money",
            sorted(loose, key=lambda line: float(line["dropped"]) / float(line["money"]))[:top],
            answer["currency"],
        )
        more = [line for line in lines if line["one_more"] > 0 and line["one_more_money"] > 0]
        _tell(
            "Next to add: one more of these does most for its money",
            sorted(more, key=lambda x: -float(x["one_more"]) / float(x["one_more_money"]))[:top],
            answer["currency"],
        )
        dead = sorted(
            (line for line in lines if line["dead"]), key=lambda line: -line["dead"] * line["price"]
        )
        _tell("Dead stock", dead[:top], answer["currency"])
    _tell_dead(answer)
    click.echo("\nNot known to the model")
    for words in answer["not_known"]:
        click.echo(wrap(words, width=terminal_width(), indent="  - ", hanging="    "))
    tell_assumptions(tuple(answer["assumptions"]))


def part_key(text: str, shop: Shop) -> str:
    """The name of a size as the model has it.

    Parameters
    ----------
    text : str
        The size, as somebody writes it.
    shop : Shop
        The shop.
    """
    from fitcheck.stock.parts import names_of

    if any(part.key == text for part in shop.model.parts):
        return text
    return names_of([(text, "")], unit=shop.unit)[text, ""].key


def _tell(title: str, lines: list[dict[str, Any]], currency: str) -> None:
    from fitcheck.report.stock_text import explained

    if title and lines:
        click.echo(f"\n{title}")
    for line in lines:
        words = explained(line, currency=currency)
        click.echo(wrap(words, width=terminal_width(), indent="  - ", hanging="    "))
