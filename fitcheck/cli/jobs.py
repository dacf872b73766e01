"""`fitcheck jobs`: finished job cards kept, and found again: what did we fit last time?"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from fitcheck.cli.common import (
    Group,
    json_option,
    open_text,
    print_json,
    terminal_width,
    tidy,
    unit_option,
    wrap,
)
from fitcheck.errors import InputError

if TYPE_CHECKING:
    from fitcheck.store.cards import FoundCard

_DASH = "-"

EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck jobs find winch
  fitcheck jobs find --machine "mooring winch" --position drum
  fitcheck jobs show 1
"""

KEEP_EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck hub data/demo/winch.toml --json | fitcheck jobs keep -
"""

FIND_EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck jobs find
  fitcheck jobs find mooring winch --position bearing
  fitcheck jobs find --machine winch --position "drum-side seal" --limit 1
  fitcheck jobs find --size "90 x 120 x 12"
  fitcheck jobs find --size 30206 --json
"""

SHOW_EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck jobs show 1
  fitcheck jobs show 1 --json
"""


@click.group(name="jobs", cls=Group, epilog=EXAMPLES)
def jobs() -> None:
    """Keep finished job cards and find them again."""


@jobs.command(epilog=KEEP_EXAMPLES)
@click.argument("sheet", metavar="SHEET")
@json_option
def keep(*, sheet: str, as_json: bool) -> None:
    """Keep the job card of a bench sheet, or a card as JSON (- reads stdin).

    The same card kept twice is one card.
    """
    with open_text(sheet) as handle:
        text = handle.read()
    card = _card(text, "stdin" if sheet == _DASH else sheet)
    from fitcheck.store import open_store
    from fitcheck.store.cards import keep_card

    with open_store(create=True).writing() as connection:
        number, is_new = keep_card(connection, card)
    if as_json:
        print_json({"id": number, "new": is_new})
        return
    title = str(card["job"].get("title") or card["job"].get("machine") or "the job")
    words = "kept" if is_new else "was kept before"
    click.echo(wrap(f"{title}: {words} as card {number}", width=terminal_width()))


def _card(text: str, name: str) -> dict[str, Any]:
    """The card of a sheet, or the card itself where the text is one."""
    if not text.lstrip().startswith("{"):
        from fitcheck.cli.offers import sheet_card
        from fitcheck.job.sheet import parse_sheet

        # As it would be printed, so that a sheet and its card as JSON are one and the same.
        answer: dict[str, Any] = tidy(sheet_card(parse_sheet(text, name=name)))
        return answer
    try:
        card = json.loads(text)
    except ValueError as error:
        raise InputError(
            value=name,
            rule=f"this is no JSON ({error})",
            todo="Keep a bench sheet, or what `fitcheck hub SHEET.toml --json` prints",
        ) from error
    assert isinstance(card, dict)
    from fitcheck.lists.offered import without_offers

    return without_offers(card)


def found_cards(text: str, **asked: Any) -> list[FoundCard]:
    """The kept cards that are like what is looked for; none where there is no store.

    Parameters
    ----------
    text : str
        Words of the card.
    **asked
        What :func:`fitcheck.store.cards.find_cards` takes besides.
    """
    from fitcheck.store import open_store, store_is_there
    from fitcheck.store.cards import find_cards

    if not store_is_there():
        return []
    with open_store().reading() as connection:
        return find_cards(connection, text, **asked)


@jobs.command(epilog=FIND_EXAMPLES)
@click.argument("text", nargs=-1)
@click.option("--machine", default="", metavar="TEXT", help="A part of the machine's name.")
@click.option(
    "--size",
    default="",
    metavar="SIZE",
    help='Size or designation that was fitted: "35 x 52 x 7", "35 x 52", 30206.',
)
@click.option(
    "--position", default="", metavar="TEXT", help="A part of a position's name, or its kind."
)
@click.option(
    "--limit",
    default=20,
    type=click.IntRange(min=1, max=10_000),
    show_default=True,
    help="Cards to list at most.",
)
@unit_option
@json_option
def find(
    *,
    text: tuple[str, ...],
    machine: str,
    size: str,
    position: str,
    limit: int,
    unit: str,
    as_json: bool,
) -> None:
    """Find kept cards, the latest first: all, or those that have all words of TEXT.

    Of each it shows the day, the machine, and position by position what was
    chosen, the verdict, and the other parts; jobs show ID has the whole card.
    """
    from dataclasses import asdict

    asked = {"machine": machine, "position": position, "size": size, "unit": unit}
    found = found_cards(" ".join(text), **asked, limit=limit)
    if as_json:
        print_json({"cards": [asdict(card) for card in found]})
        return
    if not found:
        click.echo("No kept card is like that.")
    width = terminal_width()
    for card in found:
        facts = ", ".join(fact for fact in (card.title, card.machine, card.place) if fact)
        line = f"{card.id}: {card.day}  {facts}: {card.verdict}"
        click.echo(wrap(line, width=width, hanging="   "))
        for one in card.positions:
            pick = one.pick or ("not decided" if one.kind in ("seal", "bearing") else "")
            words = f"{one.name} ({one.kind}): {', '.join(filter(None, (pick, one.verdict)))}"
            if one.parts:
                words += "; " + ", ".join(f"{part.what} {part.size}" for part in one.parts)
            click.echo(wrap(words, width=width, indent="   ", hanging="     "))


@jobs.command(epilog=SHOW_EXAMPLES)
@click.argument("number", metavar="ID", type=click.IntRange(min=1, max=2**62))
@json_option
def show(*, number: int, as_json: bool) -> None:
    """Show the card that was kept under the number ID."""
    from fitcheck.store import open_store
    from fitcheck.store.cards import kept_card

    with open_store().reading() as connection:
        card = kept_card(connection, number)
    if as_json:
        print_json(card)
        return
    from fitcheck.report.card_text import card_text

    click.echo(card_text(card))
