"""The JSON interface: every answer of the command line as an endpoint."""

from __future__ import annotations

from fastapi import FastAPI

from fitcheck.cli.offers import read_lists_by
from fitcheck.web.api import (
    cross,
    drawings,
    hub,
    jobs,
    lists,
    parts,
    records,
    session,
    sheets,
    stock,
    tables,
)
from fitcheck.web.api.kept import KeptAnswers
from fitcheck.web.api.kept_lists import KeptLists
from fitcheck.web.api.routes import ANSWER_PATHS, UPLOAD_PATHS

ABOUT = """
Every answer of the command line, by the names of its options with `_` for `-`: the same keys, from
the same functions. Quantities are text as they are typed, `"34.92mm@micrometer"`; a list is several
readings of one place; a bare number is taken as its digits. Unknown fields are refused.

What can't be answered is `{"error": {"value", "rule", "todo"}}`: 400 is no request, 404 not known
here, 422 not understood, 503 busy. A `no-go` is an answer.

What changes the shop's store needs the session's cookie and its token, in the header
`X-CSRF-Token`; `GET /api/session` gives both.
"""


def add_to(app: FastAPI) -> None:
    """Add every endpoint to an application.

    Parameters
    ----------
    app : FastAPI
        The application.
    """
    app.state.kept = KeptAnswers(app.state.settings.limits.kept_answers)
    read_lists_by(KeptLists().open)
    for module in (
        session,
        parts,
        hub,
        drawings,
        lists,
        cross,
        jobs,
        stock,
        records,
        sheets,
        tables,
    ):
        app.include_router(module.router, prefix="/api")


def warm() -> None:
    """Read what every answer needs, before the first is asked for."""
    parts.warm()


def answer_paths() -> frozenset[str]:
    """The paths that change nothing, and need no token."""
    return frozenset(ANSWER_PATHS)


def upload_paths() -> frozenset[str]:
    """The paths that take files."""
    return frozenset(UPLOAD_PATHS)
