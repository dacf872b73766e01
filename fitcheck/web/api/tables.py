"""Endpoints for what the program knows: its tables, their sources, and the shop's store."""

from __future__ import annotations

from io import StringIO
from typing import Literal

from fastapi import APIRouter
from starlette.responses import Response

from fitcheck import tables as known
from fitcheck.cli import store as store_commands
from fitcheck.cli import tables as commands
from fitcheck.web.api.files import CSV, sent
from fitcheck.web.api.routes import Answer, answering

router = APIRouter(tags=["tables"])


def every() -> Answer:
    """What `fitcheck tables` lists."""
    return {"tables": commands.all_tables()}


def show(*, name: str, format: str) -> Answer | Response:
    """What `fitcheck tables show` shows.

    Parameters
    ----------
    name : str
        The table.
    format : str
        ``json`` or ``csv``.
    """
    table = known.table(name)
    if format == "json":
        return commands.whole_table(table)
    target = StringIO()
    commands.write_csv(table, target)
    return sent(target.getvalue().encode("utf-8"), name=f"{name.replace('/', '-')}.csv", media=CSV)


def sources() -> Answer:
    """What `fitcheck tables sources` lists."""
    return {"sources": commands.all_sources()}


def store(*, check: bool) -> Answer:
    """What `fitcheck store info` tells.

    Parameters
    ----------
    check : bool
        Whether everything is gone through.
    """
    return store_commands.store_facts(check=check)


answering(router, "/tables", every, command=commands.tables, how="query")
answering(
    router,
    "/tables/show",
    show,
    command=commands.show,
    how="query",
    without=("csv",),
    more={"format": (Literal["json", "csv"], "json")},
)
answering(router, "/tables/sources", sources, command=commands.sources, how="query")
answering(router, "/store", store, command=store_commands.info, how="query", heavy=True)
answering(
    router,
    "/tables/check",
    commands.checked,
    command=commands.check,
    how="query",
    without=("note",),
    heavy=True,
)
