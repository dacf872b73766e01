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
    from fitcheck.stock.records import Ahead

    _Param = click.ParamType[float]
else:
    # Some versions of click have no type in brackets when they run.
    _Param = click.ParamType

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


def ahead_options(command: F) -> F:
    """Add ``--on`` and ``--ahead``, the days that levels are for."""
    options = (
        click.option(
            "--on",
            default="",
            metavar="DATE",
            help="Levels for orders from this day on (2026-10-01, or today), by the months ahead; "
            "the whole year if left out.",
        ),
        click.option(
            "--ahead",
            default=90,
            show_default=True,
            type=click.IntRange(min=1, max=366),
            metavar="DAYS",
            help="With --on: for how many days the levels are to hold.",
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


def sure_option(command: F) -> F:
    """Add ``--sure-only``, handed over as ``sure_only``."""
    return click.option(
        "--sure-only",
        is_flag=True,
        help="Count no substitute that does only on a condition, such as a deep enough pocket.",
    )(command)


def shop_records(
    *,
    folder: str = "",
    lists: tuple[str, ...] = (),
    no_cards: bool = False,
    every_ask: bool = False,
    review: float = 0.0,
    unit: str = "mm",
    on: str = "",
    ahead: int = 90,
    sure_only: bool = False,
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
    on : str
        The first day that levels are for; the whole year where it is empty.
    ahead : int
        For how many days they are.
    sure_only : bool
        Whether substitutes on a condition are left out.

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
    days = days_ahead(on, ahead)
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
    known = replace(known, every_ask=every_ask, review_days=review)
    return history, replace(known, ahead=days, sure_only=sure_only)


def days_ahead(on: str, days: int) -> Ahead | None:
    """The days that levels are for; None for the whole year.

    Parameters
    ----------
    on : str
        The first day, ``2026-10-01`` or ``today``; empty for the whole year.
    days : int
        How many days.

    Raises
    ------
    InputError
        The first is no day, or its last lies beyond the calendar.
    """
    from fitcheck.stock.records import Ahead

    if not on:
        return None
    try:
        first = today() if on.strip().lower() == "today" else date.fromisoformat(on.strip())
        found = Ahead(first, days)
        # Lead times reach on beyond the last day.
        date(found.last.year + 100, 1, 1)
    except (ValueError, OverflowError):
        raise InputError(
            value=f"--on {on[:40]}", rule="this is no day", todo="Write it as 2026-10-01, or today"
        ) from None
    return found


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


def refuse_json_file(output: str) -> None:
    """Refuse a file that is named as JSON: -o writes CSV, or XLSX by its ending.

    Parameters
    ----------
    output : str
        The file; empty where there is none.

    Raises
    ------
    InputError
        It ends in ``.json``.
    """
    if output.lower().endswith(".json"):
        raise InputError(
            value=output,
            rule="-o writes CSV, or XLSX by its ending, and no JSON",
            todo="Use --json > FILE, or name a .csv or .xlsx file",
        )


class Money(_Param):
    """A sum of money: a plain number, and none that could be read as another one."""

    name = "money"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read the sum, or say which readings it has."""
        if isinstance(value, (int, float)):
            return float(value)
        text = str(value).strip()
        groups = text.replace(",", ".").split(".")
        whole = groups[0].isdigit() and len(groups[0]) <= 3 and not groups[0].startswith("0")
        if len(groups) > 1 and whole and all(len(g) == 3 and g.isdigit() for g in groups[1:]):
            small = f"{groups[0]}.{groups[1]}".rstrip("0").rstrip(".")
            other = f"{small} or " if len(groups) == 2 else ""
            self.fail(f"{text!r} may be {other}{''.join(groups)}: write it without separators")
        try:
            return float(text)
        except ValueError:
            number = text.split()[0] if text.split() else ""
            hint = f", here {number}" if number.replace(".", "", 1).isdigit() else ""
            self.fail(f"{text!r} is no plain number: write the digits alone{hint}")
