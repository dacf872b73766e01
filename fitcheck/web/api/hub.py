"""Endpoints for the main job: a bench sheet in, a job card out, on screen and on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Annotated, Any, Literal

import click
from fastapi import APIRouter
from pydantic import Field
from starlette.responses import Response

from fitcheck.cli.draw import sheet as draw_sheet_command
from fitcheck.cli.hub import hub as hub_command
from fitcheck.cli.offers import card_offers, sheet_card
from fitcheck.errors import InputError
from fitcheck.extras import import_needed
from fitcheck.job.drawn import sheet_extras
from fitcheck.job.sheet import MAX_BYTES, Sheet, parse_sheet, sheet_of
from fitcheck.web.api.files import HTML, PDF, XLSX, sent
from fitcheck.web.api.requests import MOST_READINGS
from fitcheck.web.api.routes import Answer, answering

router = APIRouter(tags=["the main job"])

Given = str | dict[str, Any]
SHEET = (
    Annotated[Given, Field(description="The bench sheet: its TOML text, or its tables as JSON.")],
    ...,
)
PAPER = (Literal["a4", "letter"], "a4")
_FILES = ("sheet", "blank", "html", "pdf", "xlsx", "paper")
_EXAMPLE = {
    "sheet": {
        "job": {"machine": "conveyor drum"},
        "seal": [{"name": "drive-end seal", "shaft": "59.98", "bore": "80.02"}],
    }
}


def sheet_given(sheet: Given) -> Sheet:
    """A bench sheet out of a request.

    Parameters
    ----------
    sheet : str or dict
        Its TOML text, or its tables.

    Raises
    ------
    InputError
        It can't be understood.
    """
    read = parse_sheet(sheet[: MAX_BYTES + 1]) if isinstance(sheet, str) else sheet_of(sheet)
    for position in read.positions():
        for name, given in _readings(position):
            if len(given) > MOST_READINGS:
                raise InputError(
                    value=f"{position.name[:60]} {name}, {len(given)} readings",
                    rule=f"at most {MOST_READINGS} readings of one place are taken",
                    todo="Leave the rest out",
                )
    return read


def _readings(table: Any) -> Iterator[tuple[str, Sequence[Any]]]:
    """The lists of a table and of the tables in it, by key."""
    for name in table.__struct_fields__:
        given = getattr(table, name)
        if isinstance(given, list | tuple):
            yield name, given
        elif hasattr(given, "__struct_fields__"):
            yield from _readings(given)


def card(*, sheet: Given, no_offers: bool = False) -> Answer:
    """The job card of `fitcheck hub`.

    Parameters
    ----------
    sheet : str or dict
        The bench sheet.
    no_offers : bool
        Whether the shop's lists are left alone.
    """
    return _card(sheet_given(sheet), no_offers=no_offers)


def _card(read: Sheet, *, no_offers: bool) -> Answer:
    found = sheet_card(read)
    if not no_offers:
        card_offers(
            found,
            {entry.name: (entry.case, entry.oil or read.job.oil) for entry in read.seal},
            only=read.job.list,
        )
    return found


def printed(*, sheet: Given, paper: str, no_offers: bool = False) -> str:
    """The job card as a page to print.

    Parameters
    ----------
    sheet : str or dict
        The bench sheet.
    paper : str
        ``a4`` or ``letter``.
    no_offers : bool
        Whether the shop's lists are left alone.
    """
    from fitcheck.cli.card_files import printed as on_paper
    from fitcheck.report.drawing.answers import card_drawings
    from fitcheck.report.html.card import card_page

    read = sheet_given(sheet)
    found = _card(read, no_offers=no_offers)
    drawings = card_drawings(found, unit=read.job.unit, extra=sheet_extras(read))
    return card_page(found, drawings=on_paper(found, drawings), paper=paper)


def page(**options: Any) -> Response:
    """The job card as an HTML file.

    Parameters
    ----------
    **options
        As those of `printed`.
    """
    return sent(printed(**options).encode("utf-8"), name="job-card.html", media=HTML)


def pdf(**options: Any) -> Response:
    """The job card as a PDF.

    Parameters
    ----------
    **options
        As those of `printed`.
    """
    import_needed("weasyprint", what="a PDF")
    from fitcheck.report.html.page import pdf as pdf_of

    return sent(pdf_of(printed(**options)), name="job-card.pdf", media=PDF)


def workbook(*, sheet: Given, no_offers: bool) -> Response:
    """The parts list of a job card as a workbook.

    Parameters
    ----------
    sheet : str or dict
        The bench sheet.
    no_offers : bool
        Whether the shop's lists are left alone.
    """
    import_needed("openpyxl", what="a workbook")
    from fitcheck.report.card_workbook import card_tables
    from fitcheck.report.workbook import write_workbook

    target = BytesIO()
    write_workbook(target, card_tables(card(sheet=sheet, no_offers=no_offers)))
    return sent(target.getvalue(), name="parts-list.xlsx", media=XLSX)


def drawings(*, sheet: Given) -> Answer:
    """The drawings of every position that is decided, and the names of those that are not.

    Parameters
    ----------
    sheet : str or dict
        The bench sheet.
    """
    from fitcheck.report.drawing.answers import card_drawings

    read = sheet_given(sheet)
    found = sheet_card(read)
    drawn = card_drawings(found, unit=read.job.unit, extra=sheet_extras(read))
    left_out = [
        position["name"]
        for position in found["positions"]
        if position["kind"] in ("seal", "bearing", "shims") and position["name"] not in drawn
    ]
    return {"drawings": drawn, "left_out": left_out}


@click.command(help="Give an empty bench sheet. It is TOML text to fill in.")
def _blank_command() -> None:
    """What the description says of the empty sheet."""


def blank() -> str:
    """The empty bench sheet of `fitcheck hub --blank`."""
    from fitcheck.job.blank_families import blank_sheet

    return blank_sheet()


answering(
    router,
    "/hub",
    card,
    command=hub_command,
    without=_FILES,
    more={"sheet": SHEET},
    example=_EXAMPLE,
    kept=True,
)
answering(
    router,
    "/hub/page",
    page,
    command=hub_command,
    without=_FILES,
    more={"sheet": SHEET, "paper": PAPER},
    example=_EXAMPLE,
    media=HTML,
)
answering(
    router,
    "/hub/pdf",
    pdf,
    command=hub_command,
    without=_FILES,
    more={"sheet": SHEET, "paper": PAPER},
    example=_EXAMPLE,
    heavy=True,
    media=PDF,
)
answering(
    router,
    "/hub/xlsx",
    workbook,
    command=hub_command,
    without=_FILES,
    more={"sheet": SHEET},
    example=_EXAMPLE,
    media=XLSX,
)
answering(router, "/hub/blank", blank, command=_blank_command, how="query", media="text/plain")
answering(
    router,
    "/draw/sheet",
    drawings,
    command=draw_sheet_command,
    without=("sheet", "output"),
    more={"sheet": SHEET},
    example=_EXAMPLE,
    kept=True,
)
