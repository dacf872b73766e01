"""What every page shares: templates that escape all text, and how a page is answered."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import HTMLResponse

from fitcheck.report.html.page import FOLDER as PRINTED
from fitcheck.report.text import unparted

if TYPE_CHECKING:
    from jinja2 import Environment

WEB = Path(__file__).parents[1]
TEMPLATES = WEB / "templates"
STATIC = WEB / "static"


@cache
def environment() -> Environment:
    """The templates: those of the pages, then those of the printed card."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    from fitcheck.quantities import percent
    from fitcheck.report.offers_text import offer_text
    from fitcheck.report.text import with_tool

    made = Environment(
        loader=FileSystemLoader([TEMPLATES, PRINTED]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["whole"] = lambda value: unparted(str(value))
    made.filters["percent"] = percent
    made.filters["money"] = lambda value: f"{value:,.2f}"
    made.filters["few"] = lambda value: f"{value:.1f}" if value >= 1 else f"{value:.2f}"
    made.globals["offer_text"] = offer_text
    made.globals["with_tool"] = with_tool
    return made


def fragment(template: str, **values: Any) -> str:
    """A part of a page.

    Parameters
    ----------
    template : str
        The name of the template.
    **values
        What it shows.
    """
    return environment().get_template(f"{template}.html").render(**values)


def page(
    request: Request,
    template: str,
    *,
    status: int = 200,
    headers: dict[str, str] | None = None,
    **values: Any,
) -> HTMLResponse:
    """A page as a response.

    Parameters
    ----------
    request : Request
        What was asked.
    template : str
        The name of the template.
    status : int
        The HTTP status.
    headers : dict of str to str, optional
        More headers.
    **values
        What the template shows.
    """
    text = fragment(
        template,
        token=token_of(request),
        may_leave=may_leave(request),
        here=request.url.path,
        **values,
    )
    return HTMLResponse(text, status_code=status, headers=headers)


def token_of(request: Request) -> str:
    """What the forms of a browser carry; empty before it has a cookie."""
    session = getattr(request.state, "session", None)
    return str(request.app.state.sessions.token(session)) if session is not None else ""


def may_leave(request: Request) -> bool:
    """Whether a passphrase was given, so that one can leave again."""
    session = getattr(request.state, "session", None)
    return bool(session is not None and session.entered)


def refusal_page(request: Request, status: int, value: str, rule: str, todo: str) -> HTMLResponse:
    """What can't be answered, as a page: value, rule and what to do next.

    Parameters
    ----------
    request : Request
        What was asked.
    status : int
        The HTTP status.
    value, rule, todo : str
        What was given, the rule it broke, what to do next.
    """
    return page(request, "error", status=status, error={"value": value, "rule": rule, "todo": todo})
