"""`fitcheck hub`: the main job, from a bench sheet to a job card."""

from __future__ import annotations

import click

from fitcheck.cli.card_files import refuse_twice, write_card, write_page
from fitcheck.cli.common import Command, json_option, open_text, print_json
from fitcheck.cli.offers import card_offers, no_offers_option, sheet_card
from fitcheck.errors import FitcheckError, InputError

EXAMPLES = """\b
Examples:
  fitcheck hub data/demo/winch.toml
  fitcheck hub data/demo/trailer.toml --json
  fitcheck hub data/demo/winch.toml --html winch.html --pdf winch.pdf
  fitcheck hub data/demo/winch.toml --xlsx winch.xlsx
  fitcheck hub --blank
  fitcheck hub --blank --pdf blank.pdf --paper letter

Fill in the blank sheet with what you can measure and leave the rest out; the
card says which reading would help most.

Where suppliers' lists are stored (see fitcheck lists), the parts show what
the lists offer for them, and which list has everything. With list = "NAME"
in its [job] the sizes to choose from are that list's own.
"""


@click.command(name="hub", cls=Command, epilog=EXAMPLES)
@click.argument("sheet", metavar="SHEET", required=False)
@click.option("--blank", is_flag=True, help="Write an empty bench sheet to fill in.")
@click.option("--html", "to_html", metavar="FILE", help="Write the card as a page to print.")
@click.option("--pdf", "to_pdf", metavar="FILE", help="Write the card as a PDF.")
@click.option("--xlsx", "to_xlsx", metavar="FILE", help="Write the parts list as a workbook.")
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", help="Paper of the PDF; a4."
)
@no_offers_option
@json_option
def hub(
    *,
    sheet: str | None,
    blank: bool,
    to_html: str | None,
    to_pdf: str | None,
    to_xlsx: str | None,
    paper: str,
    no_offers: bool,
    as_json: bool,
) -> None:
    """Turn the bench sheet SHEET into a job card; - reads it from stdin.

    The card says which parts to order in one go, what work the worn parts ask
    for, whether the seats hold, and which readings to take again.
    """
    refuse_twice(sheet, {"--html": to_html, "--pdf": to_pdf, "--xlsx": to_xlsx})
    if blank:
        _blank(sheet, as_json=as_json, to_html=to_html, to_pdf=to_pdf, to_xlsx=to_xlsx, paper=paper)
        return
    if sheet is None:
        raise InputError(
            value="no sheet",
            rule="a bench sheet is needed",
            todo="Name its file, or write an empty one with `fitcheck hub --blank > sheet.toml`",
        )
    from fitcheck.job.sheet import parse_sheet

    with open_text(sheet) as handle:
        text = handle.read()
    read = parse_sheet(text, name="stdin" if sheet == "-" else sheet)
    card = sheet_card(read)
    if not no_offers:
        card_offers(
            card,
            {entry.name: (entry.case, entry.oil or read.job.oil) for entry in read.seal},
            only=read.job.list,
        )
    if to_html or to_pdf or to_xlsx:
        drawings: dict[str, str] = {}
        if to_html or to_pdf:
            from fitcheck.job.drawn import sheet_extras
            from fitcheck.report.drawing.answers import card_drawings

            drawings = card_drawings(card, unit=read.job.unit, extra=sheet_extras(read))
        write_card(card, drawings, to_html=to_html, to_pdf=to_pdf, to_xlsx=to_xlsx, paper=paper)
    if as_json:
        print_json(card)
    else:
        from fitcheck.report.card_text import card_text

        click.echo(card_text(card))
    if all(position["answer"] is None for position in card["positions"]):
        # The card says what is missing; no question on it was answered.
        click.get_current_context().exit(FitcheckError.exit_status)


def _blank(
    sheet: str | None,
    *,
    as_json: bool,
    to_html: str | None,
    to_pdf: str | None,
    to_xlsx: str | None,
    paper: str,
) -> None:
    """Write the empty sheet: as TOML to fill in, or as a page to print."""
    if sheet is not None or as_json or to_xlsx:
        raise InputError(
            value="--blank",
            rule="the empty sheet is TOML text or a page, and reads no other sheet",
            todo="Use `fitcheck hub --blank` by itself or with --html or --pdf, or leave it out",
        )
    if to_html or to_pdf:
        from fitcheck.report.drawing.places import places_svg
        from fitcheck.report.html.blank import blank_page

        panels = {
            "seat": "Seat of a seal",
            "bearing": "Tapered bearing",
            "old-seal": "Old seal",
            "gap": "Gap under a cap",
        }
        drawings = [(title, places_svg((panel,), legend=False)) for panel, title in panels.items()]
        page = blank_page(drawings=drawings, paper=paper)
        write_page(page, to_html=to_html, to_pdf=to_pdf)
        return
    from fitcheck.job.blank_families import blank_sheet

    click.echo(blank_sheet(), nl=False)
