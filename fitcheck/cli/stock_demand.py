"""`fitcheck stock demand` and `fitcheck stock levels`: what is asked for, and what it takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import click

from fitcheck.cli.common import Command, aligned, json_option, print_json, terminal_width, wrap
from fitcheck.cli.stock_records import (
    ahead_options,
    records_options,
    refuse_json_file,
    shop_records,
    tell_assumptions,
)
from fitcheck.errors import NotKnownError

# From here on a share is told in tenths, so that it doesn't read as all.
_NEARLY_ALL = 0.995

DEMAND_EXAMPLES = """\b
A rate is what one size is asked for in a year at one branch. It comes from
the size's own history, from sizes like it, and from the fleet; low and high
hold it in 9 of 10 cases. own_history is how much of it is the size's own.

\b
Examples:
  fitcheck stock demand --folder data/demo/stock --top 5
  fitcheck stock demand --folder data/demo/stock --part "90 x 120 x 12"
  fitcheck stock demand --folder data/demo/stock --json
"""

LEVELS_EXAMPLES = """\b
reorder is r and quantity Q: order Q once r are left on hand and on order
together. level is r + Q, the most there can be; with a quantity of one it is
the base stock: one is ordered for each that goes. fill is the share of asks
that are met in full. Each size is looked at by itself: which sizes make jobs
complete for the least money is what `fitcheck stock plan` works out.

\b
Examples:
  fitcheck stock levels --fill 0.95 --folder data/demo/stock --top 5
  fitcheck stock levels --fill 0.9 --folder data/demo/stock -o levels.csv
  fitcheck stock levels --on 2025-09-01 --folder data/demo/stock --top 5
"""


def _choice_options(command: Any) -> Any:
    """Add ``--branch``, ``--part``, ``--all``, ``--top``, ``-o``."""
    options = (
        click.option("--branch", default="", metavar="NAME", help="One branch."),
        click.option(
            "--part", "text", default="", metavar="SIZE", help="One size, designation or number."
        ),
        click.option(
            "--all", "every", is_flag=True, help="Sizes nobody has asked for at the branch too."
        ),
        click.option(
            "--top",
            default=20,
            show_default=True,
            type=click.IntRange(min=1),
            help="Sizes to print of each branch; a file has them all.",
        ),
        click.option(
            "-o", "--output", default="", metavar="OUT", help="CSV file, or XLSX by its ending."
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


@click.command(name="demand", cls=Command, epilog=DEMAND_EXAMPLES)
@click.option(
    "--share",
    default=0.9,
    show_default=True,
    type=click.FloatRange(min=0.5, max=0.999),
    help="Probability that a rate lies between low and high.",
)
@_choice_options
@records_options
@json_option
def demand(
    *,
    share: float,
    branch: str,
    text: str,
    every: bool,
    top: int,
    output: str,
    as_json: bool,
    **options: Any,
) -> None:
    """Say how much of each size is asked for in a year, how sure, and why."""
    from fitcheck.stock.estimate import estimate
    from fitcheck.stock.tell import DEMAND_COLUMNS, chosen_items, demand_rows

    refuse_json_file(output)
    history, known = shop_records(**options)
    found = estimate(history, known, substitutes=False)
    items = chosen_items(found, chosen(found, branch, text, every, options["unit"]))
    rows = demand_rows(found, items, share=share)
    if _answered(rows, DEMAND_COLUMNS, found.model.assumptions, output, as_json=as_json):
        return
    for place, some in _by_branch(rows).items():
        cells = [
            (
                row["part"],
                _number(row["pieces_a_year"]),
                f"{_number(row['low'])} to {_number(row['high'])}",
                f"{row['own_history']:.0%}",
                row["reason"],
            )
            for row in some[:top]
        ]
        _table(place, ("part", "a year", "between", "own", "why"), cells, len(some), {1, 3})
    tell_assumptions(found.model.assumptions)


@click.command(name="levels", cls=Command, epilog=LEVELS_EXAMPLES)
@click.option(
    "--fill",
    default=0.95,
    show_default=True,
    type=click.FloatRange(min=0, max=1, max_open=True),
    help="Share of the asks of each size that the shelf meets in full.",
)
@click.option(
    "--order-cost",
    default=0.0,
    type=click.FloatRange(min=0),
    metavar="MONEY",
    help="What placing one order costs; 0 orders as little as packs allow.",
)
@click.option(
    "--holding",
    default=0.25,
    show_default=True,
    type=click.FloatRange(min=0, min_open=True),
    metavar="SHARE",
    help="Cost of keeping a piece for a year, as a share of its price.",
)
@ahead_options
@_choice_options
@records_options
@json_option
def levels(
    *,
    fill: float,
    order_cost: float,
    holding: float,
    branch: str,
    text: str,
    every: bool,
    top: int,
    output: str,
    as_json: bool,
    **options: Any,
) -> None:
    """Give each size the fewest pieces that serve a share of its asks."""
    from fitcheck.report.stock_text import share
    from fitcheck.stock.estimate import estimate
    from fitcheck.stock.policy import item_levels
    from fitcheck.stock.tell import LEVEL_COLUMNS, chosen_items, level_rows

    refuse_json_file(output)
    history, known = shop_records(**options)
    found = estimate(history, known, substitutes=False)
    kept = item_levels(found.model, fill=fill, order_cost=order_cost, holding_share=holding)
    items = chosen_items(found, chosen(found, branch, text, every, options["unit"]))
    rows = level_rows(found, kept, items)
    if _answered(rows, LEVEL_COLUMNS, found.model.assumptions, output, as_json=as_json):
        return
    for place, some in _by_branch(rows).items():
        cells = [
            (
                row["part"],
                _number(row["pieces_a_year"]),
                str(row["reorder"]),
                str(row["quantity"]),
                str(row["level"]),
                "?" if row["on_hand"] is None else str(row["on_hand"]),
                f"{row['fill']:.0%}" if row["fill"] < _NEARLY_ALL else share(row["fill"]),
                row["reason"],
            )
            for row in some[:top]
        ]
        heads = ("part", "a year", "r", "Q", "level", "now", "fill", "why")
        _table(place, heads, cells, len(some), {1, 2, 3, 4, 5, 6})
    tell_assumptions(found.model.assumptions)


def chosen(found: Any, branch: str, text: str, every: bool, unit: str) -> Any:
    """Which items of a model are asked for.

    Parameters
    ----------
    found : Estimate
        The model.
    branch : str
        One branch; all when empty.
    text : str
        One size, as somebody writes it; all when empty.
    every : bool
        Whether sizes that nobody asked for are meant too.
    unit : str
        ``mm`` or ``in``, of a size that names none.

    Raises
    ------
    NotKnownError
        There is no such branch or size.
    """
    from fitcheck.stock.parts import names_of
    from fitcheck.stock.tell import Chosen

    places, parts = found.model.branches, {part.key for part in found.model.parts}
    if branch and branch not in places:
        raise NotKnownError(
            value=branch,
            rule="no branch is called so",
            todo=f"There are: {', '.join(places)}",
        )
    key = names_of([(text, "")], unit=unit)[text, ""].key if text else ""
    if text and text in parts:
        key = text
    if text and key not in parts:
        raise NotKnownError(
            value=text,
            rule="it was never asked for and is in no fleet, on no shelf and in no terms",
            todo="Write the size as the history has it",
        )
    return Chosen(branch, key, every)


def _by_branch(rows: Sequence[Mapping[str, Any]]) -> dict[str, list[Mapping[str, Any]]]:
    found: dict[str, list[Mapping[str, Any]]] = {}
    for row in rows:
        found.setdefault(row["branch"], []).append(row)
    return found


def _table(
    place: str, heads: Sequence[str], cells: Sequence[Sequence[str]], count: int, right: set[int]
) -> None:
    from fitcheck.store.records import counted

    click.echo(f"{place}: {counted(count, 'size')}")
    table = aligned(heads, cells, right=right, width=terminal_width() - 2)
    click.echo("\n".join("  " + line for line in table.split("\n")))
    if count > len(cells):
        click.echo(f"  ... and {count - len(cells)} more; -o FILE writes them all")


def _number(value: float) -> str:
    return f"{value:.1f}" if value >= 1 else f"{value:.2f}"


def _answered(
    rows: Sequence[Mapping[str, Any]],
    columns: Sequence[str],
    assumptions: Sequence[str],
    output: str,
    *,
    as_json: bool,
) -> bool:
    """Write the rows where they are asked for otherwise than as a table; whether they were."""
    if output:
        write_sizes(rows, columns, output)
    if as_json:
        facts = {"written": output, "rows": len(rows)} if output else {"rows": list(rows)}
        print_json({**facts, "assumptions": list(assumptions)})
    elif output:
        from fitcheck.store.records import counted

        click.echo(wrap(f"{output}: {counted(len(rows), 'size')}", width=terminal_width()))
        tell_assumptions(tuple(assumptions))
    return bool(output) or as_json


def write_sizes(rows: Sequence[Mapping[str, Any]], columns: Sequence[str], output: str) -> None:
    """Write sizes to a CSV file, or an XLSX by its ending.

    Parameters
    ----------
    rows : sequence of mapping
        The sizes.
    columns : sequence of str
        The names of the columns.
    output : str
        The file.
    """
    from fitcheck.cli.saving import write_table
    from fitcheck.lists.export import safe_cell

    def cell(value: Any) -> Any:
        if isinstance(value, str):
            return safe_cell(value)
        return round(value, 4) if isinstance(value, float) else value

    write_table(output, columns, ([cell(row[name]) for name in columns] for row in rows))
