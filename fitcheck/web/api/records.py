"""Endpoints for the shop's own records: history, fleet, terms and shelf counts, kept."""

from __future__ import annotations

import os
from dataclasses import asdict
from functools import partial
from typing import Any, Literal

from fastapi import APIRouter
from starlette.responses import Response

from fitcheck.cli import stock_files as commands
from fitcheck.cli.stock_records import today
from fitcheck.web.api.files import Uploaded, called
from fitcheck.web.api.routes import Answer, answering, json_response
from fitcheck.web.refusals import NOT_UNDERSTOOD

router = APIRouter(tags=["the shop's records"])

KINDS = ("history", "fleet", "terms")
_MOST_REFUSED = 1000


def add(kind: str, *, file: Uploaded, unit: str, name: str = "") -> Answer | Response:
    """What `fitcheck stock history add` does, and its like.

    Parameters
    ----------
    kind : str
        ``history``, ``fleet``, ``terms`` or ``shelf``.
    file : Uploaded
        The file.
    unit : str
        ``mm`` or ``in``, of sizes that name none.
    name : str
        What to call it; the file's name when empty.
    """
    from fitcheck.store import stock_write as write

    with called(file):
        with commands.store_and_lists() as (store, source):
            found, lines = _read(kind, file.path, source, unit)
        if found.refused:
            return _refused(found.refused, file)
        there, shown = False, name or file.name
        with store.writing() as connection:
            if kind == "shelf":
                shown = file.name
                write.keep_shelf(connection, found)
            else:
                keep = getattr(write, f"keep_{kind}")
                there = keep(connection, shown, found, write.digest_of(file.path))
    return {
        "kept": True,
        "name": shown,
        "lines": lines,
        "replaced": there,
        "refused": [],
        "notes": list(found.notes()),
    }


def _read(kind: str, path: str, source: Any, unit: str) -> tuple[Any, int]:
    """The records of a file, and of how many lines they are."""
    if kind == "history":
        from fitcheck.stock.history import read_history

        history = read_history(path, today=today(), source=source, unit=unit)
        return history, len(history.lines)
    if kind == "fleet":
        from fitcheck.stock.fleet import read_fleet

        fleet = read_fleet(path, source=source, unit=unit)
        return fleet, len(fleet.positions)
    if kind == "terms":
        from fitcheck.stock.terms import read_terms

        terms = read_terms(path, source=source, unit=unit)
        return terms, len(terms.lines)
    from fitcheck.stock.shelf import read_shelf

    shelf = read_shelf(path, today=today(), source=source, unit=unit)
    return shelf, len(shelf.counts) + len(shelf.stretches)


def _refused(remarks: Any, file: Uploaded) -> Response:
    """Every refused line, as the command prints it, beside the error."""
    from fitcheck.stock.table_file import refused_words

    rows = [
        {"line": one.line, "column": one.column, "value": one.value, "reason": one.reason}
        for one in remarks[:_MOST_REFUSED]
    ]
    error = {
        "value": file.name,
        "rule": f"{refused_words(remarks, was=True)}, and nothing was kept",
        "todo": "Mend them and add it again: a file is kept whole or not at all",
    }
    return json_response({"error": error, "kept": False, "refused": rows}, NOT_UNDERSTOOD)


def show(kind: str) -> Answer:
    """What `fitcheck stock history show` lists, and its like.

    Parameters
    ----------
    kind : str
        ``history``, ``fleet`` or ``terms``.
    """
    from fitcheck.store import open_store, store_is_there
    from fitcheck.store.stock_write import sources

    if not store_is_there():
        return {"files": []}
    with open_store().reading() as connection:
        return {"files": [asdict(one) for one in sources(connection, kind)]}


def remove(*, kind: str, name: str) -> Answer:
    """What `fitcheck stock history remove` does, and its like.

    Parameters
    ----------
    kind : str
        ``history``, ``fleet`` or ``terms``.
    name : str
        The file.
    """
    from fitcheck.store import open_store
    from fitcheck.store.stock_write import remove_source

    with open_store().writing() as connection:
        remove_source(connection, kind, name)
    return {"removed": os.path.basename(name)}


for _kind, _group in (
    ("history", commands.history),
    ("fleet", commands.fleet),
    ("terms", commands.terms),
    ("shelf", commands.shelf),
):
    answering(
        router,
        f"/stock/{_kind}",
        partial(add, _kind),
        command=_group.commands["add"],
        how="files",
        files=("file",),
        heavy=True,
        changes=True,
    )
    if _kind in KINDS:
        answering(
            router,
            f"/stock/{_kind}/files",
            partial(show, _kind),
            command=_group.commands["show"],
            how="query",
        )
answering(
    router,
    "/stock/remove",
    remove,
    command=commands.history.commands["remove"],
    more={"kind": (Literal["history", "fleet", "terms"], ...)},
    changes=True,
)
