"""A job card as a file to print, to hand over or to order from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.cli.saving import complete, refuse_same, write_bytes
from fitcheck.errors import InputError

Answer = dict[str, Any]

# What the drawing of both bearings is called.
TOGETHER = "bearings together"


def refuse_twice(sheet: str | None, outputs: Mapping[str, str | None]) -> None:
    """Refuse two answers in one file, or one in the place of the sheet.

    Parameters
    ----------
    sheet : str, optional
        The file that is read.
    outputs : mapping of str to str
        The files to write, by their option.

    Raises
    ------
    InputError
        Two options name one file, or one names the sheet.
    """
    named = {option: name for option, name in outputs.items() if name}
    if len(set(named.values())) < len(named):
        raise InputError(
            value=" and ".join(named),
            rule="they name one file, and one would replace the other",
            todo="Give each a file of its own",
        )
    for option, name in named.items():
        if name == "-":
            raise InputError(
                value=f"{option} -",
                rule="a page or a workbook goes into a file",
                todo="Name the file; the card as text or --json goes to stdout",
            )
        if sheet is not None:
            refuse_same(sheet, name)


def write_page(html: str, *, to_html: str | None, to_pdf: str | None) -> None:
    """Write a page as HTML, as PDF, or both; the PDF is made before anything is written.

    Parameters
    ----------
    html : str
        The page.
    to_html, to_pdf : str, optional
        The files.

    Raises
    ------
    InputError, Failure
        A file can't be written.
    NotKnownError
        What makes the PDF is not installed.
    """
    files: dict[str, bytes] = {}
    if to_pdf:
        from fitcheck.report.html.page import pdf

        files[to_pdf] = pdf(html)
    if to_html:
        files[to_html] = html.encode("utf-8")
    for name, content in files.items():
        write_bytes(name, content)


def write_card(
    card: Answer,
    drawings: Mapping[str, str],
    *,
    to_html: str | None,
    to_pdf: str | None,
    to_xlsx: str | None,
    paper: str,
) -> None:
    """Write a job card to the files that were asked for.

    Parameters
    ----------
    card : dict
        The card as data.
    drawings : mapping of str to str
        SVG documents by the name of their position.
    to_html, to_pdf, to_xlsx : str, optional
        The files.
    paper : str
        ``a4`` or ``letter``.

    Raises
    ------
    InputError, Failure
        A file can't be written.
    NotKnownError
        A package it needs is not installed.
    """
    if to_html or to_pdf:
        from fitcheck.report.html.card import card_page

        page = card_page(card, drawings=printed(card, drawings), paper=paper)
        write_page(page, to_html=to_html, to_pdf=to_pdf)
    if to_xlsx:
        from fitcheck.extras import import_needed
        from fitcheck.report.card_workbook import card_tables
        from fitcheck.report.workbook import write_workbook

        import_needed("openpyxl", what="a workbook")
        with complete(to_xlsx) as path:
            write_workbook(path, card_tables(card))


def printed(card: Answer, drawings: Mapping[str, str]) -> list[tuple[str, str]]:
    """The drawings that go on paper: bearings that stand together are not drawn one by one too.

    Parameters
    ----------
    card : dict
        The card as data.
    drawings : mapping of str to str
        SVG documents by the name of their position.
    """
    if TOGETHER not in drawings:
        return list(drawings.items())
    single = {p["name"] for p in card["positions"] if p["kind"] == "bearing"} - {TOGETHER}
    return [(name, svg) for name, svg in drawings.items() if name not in single]
