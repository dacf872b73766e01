"""`fitcheck stock`: the stocking list, from what is asked for to what to keep."""

from __future__ import annotations

import click

from fitcheck.cli.common import Group
from fitcheck.cli.stock_demand import demand, levels
from fitcheck.cli.stock_files import fleet, history, shelf, terms
from fitcheck.cli.stock_frontier import cover, frontier, replay
from fitcheck.cli.stock_plan import explain, plan

EXAMPLES = """\b
Examples:
  fitcheck stock history add data/demo/stock/history.csv
  fitcheck stock demand --folder data/demo/stock --top 5
  fitcheck stock levels --fill 0.95 --folder data/demo/stock --top 5
  fitcheck stock plan --budget 5000 --folder data/demo/stock --top 5
  fitcheck stock replay --folder data/demo/stock

\b
The shop's records are kept in its store; every command also takes a folder of
files instead.
"""


@click.group(name="stock", cls=Group, epilog=EXAMPLES)
def stock() -> None:
    """Work out what to keep on the shelf, from what is asked for."""


for command in (
    history,
    fleet,
    terms,
    shelf,
    demand,
    levels,
    plan,
    explain,
    frontier,
    cover,
    replay,
):
    stock.add_command(command)
