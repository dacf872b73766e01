"""What every printed page shares: templates that escape all text, the style sheet, PDF."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fitcheck.errors import InputError, NotKnownError
from fitcheck.extras import import_needed
from fitcheck.report.text import unparted

if TYPE_CHECKING:
    from jinja2 import Environment

FOLDER = Path(__file__).parent / "templates"
# Paper sizes by name, as the page style wants them.
PAPERS = {"a4": "A4", "letter": "Letter"}


@cache
def _environment() -> Environment:
    import_needed("jinja2", what="a printed page")
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    # Whatever a sheet, a reading or a list says is text and escaped everywhere.
    environment = Environment(
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["whole"] = lambda value: unparted(str(value))
    return environment


def page(template: str, *, paper: str = "a4", **values: Any) -> str:
    """One self-contained HTML page.

    Parameters
    ----------
    template : str
        The name of the template, such as ``card``.
    paper : str
        ``a4`` or ``letter``; what the PDF is set on. A browser prints on what its printer has.
    **values
        What the template shows. Drawings come as SVG text that was escaped when it was made.

    Returns
    -------
    str

    Raises
    ------
    InputError
        There is no such paper.
    NotKnownError
        The package it needs is not installed.
    """
    if paper not in PAPERS:
        raise InputError(
            value=repr(paper),
            rule=f"paper is one of {', '.join(PAPERS)}",
            todo="Choose the one that is in the printer",
        )
    style = (FOLDER / "page.css").read_text(encoding="utf-8")
    return (
        _environment()
        .get_template(f"{template}.html")
        .render(style=style, paper=PAPERS[paper], **values)
    )


def pdf(html: str) -> bytes:
    """A page as PDF. Nothing is fetched: a page that asks for a file or an address goes without.

    Parameters
    ----------
    html : str
        The page.

    Returns
    -------
    bytes

    Raises
    ------
    NotKnownError
        The package it needs is not installed, or the system's text libraries are not.
    """
    import_needed("weasyprint", what="a PDF")
    try:
        from weasyprint import HTML
    except OSError as error:  # Pango, which sets the text, is a library of the system.
        raise NotKnownError(
            value="a PDF",
            rule="is set by the system's library Pango, which is not here",
            todo="Install it (on Debian: apt install libpango-1.0-0 libpangoft2-1.0-0), "
            "or write --html and print that from a browser",
        ) from error
    document: bytes = HTML(string=html, url_fetcher=_refused).write_pdf()
    return document


def _refused(address: str, *_: Any, **__: Any) -> dict[str, Any]:
    raise NotKnownError(
        value=address,
        rule="a printed page fetches nothing",
        todo="Write what it shows into the page itself",
    )
