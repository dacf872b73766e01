"""`fitcheck labels`: labels for the bins of a stocking list."""

from __future__ import annotations

import click

from fitcheck.cli.card_files import refuse_twice, write_page
from fitcheck.cli.common import Command
from fitcheck.errors import InputError

EXAMPLES = """\b
Examples:
  fitcheck labels data/demo/stock/shelf.csv --html labels.html
  fitcheck labels data/demo/stock/shelf.csv --branch "container yard" \\
      --pdf labels.pdf --paper letter

The list is what `fitcheck stock plan -o` writes, or any CSV or XLSX with a
column part; what, bin, branch, level and order_at are used where they are
there. The symbol is a QR code that reads as the size.
"""


@click.command(name="labels", cls=Command, epilog=EXAMPLES)
@click.argument("stocklist", metavar="STOCKLIST")
@click.option("--branch", metavar="NAME", help="Only this branch.")
@click.option("--html", "to_html", metavar="FILE", help="Write the labels as a page to print.")
@click.option("--pdf", "to_pdf", metavar="FILE", help="Write the labels as a PDF.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", help="Paper; a4.")
def labels(
    *,
    stocklist: str,
    branch: str | None,
    to_html: str | None,
    to_pdf: str | None,
    paper: str,
) -> None:
    """Print a label for each size of STOCKLIST that has a place on the shelf."""
    refuse_twice(stocklist, {"--html": to_html, "--pdf": to_pdf})
    if not (to_html or to_pdf):
        raise InputError(
            value="no file",
            rule="labels are a page to print",
            todo="Name the file with --html or --pdf",
        )
    from fitcheck.report.html.labels import labels_page
    from fitcheck.stock.bins import read_bins

    found = read_bins(stocklist, branch=branch)
    write_page(labels_page(found, paper=paper), to_html=to_html, to_pdf=to_pdf)
    click.echo(f"{len(found)} labels")
