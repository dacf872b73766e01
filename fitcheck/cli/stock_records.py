"""Where the stock commands take the shop's records from: the store, or a folder of files."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

import click

from fitcheck.cli.common import terminal_width, wrap
from fitcheck.errors import InputError

if TYPE_CHECKING:
    from fitcheck.stock.estimate import Known
    from fitcheck.stock.history import History

F = TypeVar("F", bound=Callable[..., Any])


def records_options(command: F) -> F:
    """Add the options that say where the records are and how they are to be read."""
    options = (
        click.option(
            "--folder",
            default="",
            metavar="FOLDER",
            help="Read history, fleet, shelf and terms (.csv, .xlsx) there, not from the store.",
        ),
        click.option(
            "--list",
            "lists",
            multiple=True,
            metavar="FILE",
            help="With --folder: a price list, for prices and part numbers; repeatable.",
        ),
        click.option("--no-cards", is_flag=True, help="Leave kept job cards out of the history."),
        click.option(
            "--every-ask",
            is_flag=True,
            help="Every ask is written down, also when the shelf is empty: leave no day out.",
        ),
        click.option(
            "--review",
            default=0.0,
            type=click.FloatRange(min=0, max=366),
            metavar="DAYS",
            help="Days between looks at the shelf; 0 when it is watched all the time.",
        ),
        click.option(
            "--unit",
            type=click.Choice(["mm", "in"]),
            default="mm",
            show_default=True,
            help="Unit of sizes that are written without one.",
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


def shop_records(
    *,
    folder: str = "",
    lists: tuple[str, ...] = (),
    no_cards: bool = False,
    every_ask: bool = False,
    review: float = 0.0,
    unit: str = "mm",
) -> tuple[History, Known]:
    """The shop's history and what is known beside it, as the options say.

    Parameters
    ----------
    folder : str
        A folder of files; the store where it is empty.
    lists : tuple of str
        Price lists that are read beside the folder.
    no_cards : bool
        Whether job cards are left out.
    every_ask : bool
        Whether every ask was written down.
    review : float
        Days between looks at the shelf [d].
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    NotKnownError
        There is no store, no history, or a package is missing.
    InputError
        A file can't be read, or options don't go together.
    """
    from dataclasses import replace

    from fitcheck.extras import import_needed
    from fitcheck.stock.gather import gathered
    from fitcheck.store import open_store

    import_needed("numpy", what="the stocking list")
    if folder:
        from fitcheck.cli.shop_lists import shop_source
        from fitcheck.stock.folder import folder_records

        with shop_source(files=lists, unit=unit) as source:
            found = folder_records(folder, today=today(), source=source, unit=unit)
            history, known = gathered(found, source=source, unit=unit)
    elif lists:
        raise InputError(
            value=f"--list {lists[0]}",
            rule="stored records go with the lists that are stored",
            todo="Keep the list with `fitcheck lists add`, or name --folder too",
        )
    else:
        from fitcheck.store.lists_read import Moment
        from fitcheck.store.source import StoreSource
        from fitcheck.store.stock_read import stored_records

        with open_store().reading() as connection:
            stored = StoreSource(Moment(connection))
            records = stored_records(connection, cards=not no_cards)
            history, known = gathered(records, source=stored, unit=unit)
    return history, replace(known, every_ask=every_ask, review_days=review)


def today() -> date:
    """Today, by the machine's clock."""
    return date.today()


def tell_assumptions(assumptions: tuple[str, ...]) -> None:
    """Print what was assumed, below an answer."""
    if not assumptions:
        return
    click.echo("\nAssumed")
    for words in assumptions:
        click.echo(wrap(words, width=terminal_width(), indent="  - ", hanging="    "))
