"""`fitcheck hub`: the main job, from a bench sheet to a job card."""

from __future__ import annotations

import click

from fitcheck.cli.common import Command, json_option, open_text, print_json
from fitcheck.cli.offers import card_offers, no_offers_option
from fitcheck.errors import FitcheckError, InputError

EXAMPLES = """\b
Examples:
  fitcheck hub data/demo/winch.toml
  fitcheck hub data/demo/trailer.toml --json
  fitcheck hub --blank

Fill in the blank sheet with what you can measure and leave the rest out; the
card says which reading would help most.

Where suppliers' lists are stored (see fitcheck lists), the parts show what
the lists offer for them, and which list has everything.
"""


@click.command(name="hub", cls=Command, epilog=EXAMPLES)
@click.argument("sheet", metavar="SHEET", required=False)
@click.option("--blank", is_flag=True, help="Write an empty bench sheet to fill in.")
@no_offers_option
@json_option
def hub(*, sheet: str | None, blank: bool, no_offers: bool, as_json: bool) -> None:
    """Turn the bench sheet SHEET into a job card; - reads it from stdin.

    The card says which parts to order in one go, what work the worn parts ask
    for, whether the seats hold, and which readings to take again.
    """
    if blank:
        if sheet is not None or as_json:
            raise InputError(
                value="--blank",
                rule="the empty sheet is TOML text and reads no other sheet",
                todo="Use `fitcheck hub --blank` by itself, or leave --blank out",
            )
        from fitcheck.job.blank import BLANK_SHEET

        click.echo(BLANK_SHEET, nl=False)
        return
    if sheet is None:
        raise InputError(
            value="no sheet",
            rule="a bench sheet is needed",
            todo="Name its file, or write an empty one with `fitcheck hub --blank > sheet.toml`",
        )
    from fitcheck.job.card import job_card
    from fitcheck.job.sheet import parse_sheet

    with open_text(sheet) as handle:
        text = handle.read()
    read = parse_sheet(text, name="stdin" if sheet == "-" else sheet)
    card = job_card(read)
    if not no_offers:
        card_offers(
            card, {entry.name: (entry.case, entry.oil or read.job.oil) for entry in read.seal}
        )
    if as_json:
        print_json(card)
    else:
        from fitcheck.report.card_text import card_text

        click.echo(card_text(card))
    if all(position["answer"] is None for position in card["positions"]):
        # The card says what is missing; no question on it was answered.
        click.get_current_context().exit(FitcheckError.exit_status)
