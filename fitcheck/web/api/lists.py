"""Endpoints for suppliers' lists: looked at before they are stored, stored, shown, taken out."""

from __future__ import annotations

from contextlib import ExitStack
from tempfile import TemporaryFile
from typing import Any, Literal

from fastapi import APIRouter
from starlette.responses import Response

from fitcheck.cli import lists as commands
from fitcheck.cli.list_files import (
    enough_room,
    export_text,
    export_workbook,
    list_reading,
    role,
    store_list,
)
from fitcheck.cli.list_shown import preview
from fitcheck.web.api.files import CSV, XLSX, Uploaded, called, made
from fitcheck.web.api.routes import Answer, answering

router = APIRouter(tags=["suppliers' lists"])

_SHOWN_REMARKS = 5
FORMAT = (Literal["csv", "xlsx"], "csv")


def look(**options: Any) -> Answer:
    """What `fitcheck lists add --preview` shows.

    Parameters
    ----------
    **options
        The options of the command, and the file.
    """
    return _added(stored=False, **options)


def add(**options: Any) -> Answer:
    """What `fitcheck lists add` does.

    Parameters
    ----------
    **options
        The options of the command, and the file.
    """
    return _added(stored=True, **options)


def _added(
    *,
    stored: bool,
    file: Uploaded,
    name: str,
    columns: tuple[str, ...],
    unit: str,
    decimal: str,
    sheet: str,
    delimiter: str,
    forget: bool,
) -> Answer:
    from fitcheck.store import open_store
    from fitcheck.store.names import checked_name

    name = checked_name(name, what="a list")
    given = dict(role(text) for text in columns)
    store = open_store(create=True)
    with enough_room(), called(file), ExitStack() as stack:
        kept = None if forget else store.column_plan(name)
        forced = (unit, decimal, sheet or None)
        reading = list_reading(kept, name, file.path, given, forced, delimiter=delimiter)
        if not stored:
            return preview(reading, file.name)
        spool = stack.enter_context(TemporaryFile("w+", encoding="utf-8", newline=""))
        info, noted = store_list(store, name, reading, spool, file.name)
    # The remarks are with the list: there is no file to write them beside.
    return {"list": info.as_json(), "remarks": noted, "remarks_file": None}


def overview() -> Answer:
    """What `fitcheck lists show` tells of all lists."""
    from fitcheck.store import open_store, store_is_there

    found = open_store().lists() if store_is_there() else []
    return {"lists": [info.as_json() for info in found]}


def show(*, name: str) -> Answer:
    """What `fitcheck lists show NAME` tells.

    Parameters
    ----------
    name : str
        The list.
    """
    from fitcheck.store import open_store

    counts: dict[str, int] = {}
    first: list[Answer] = []
    with open_store().moment() as moment:
        info = moment.list_info(name)
        for remark in moment.remarks(name):
            counts[remark.outcome] = counts.get(remark.outcome, 0) + 1
            if len(first) < _SHOWN_REMARKS:
                first.append(
                    {
                        "outcome": remark.outcome,
                        "line": remark.line,
                        "column": remark.column,
                        "value": remark.value,
                        "reason": remark.reason,
                    }
                )
    return {"list": info.as_json(), "remarks": counts, "first_remarks": first}


def remove(*, name: str) -> Answer:
    """What `fitcheck lists remove` does.

    Parameters
    ----------
    name : str
        The list.
    """
    from fitcheck.store import open_store

    store = open_store()
    info = store.list_info(name)
    store.remove_list(name)
    return {"removed": info.as_json()}


def export(*, name: str, remarks: bool, format: str) -> Response:
    """What `fitcheck lists export` writes.

    Parameters
    ----------
    name : str
        The list.
    remarks : bool
        Whether what was remarked about its lines is meant.
    format : str
        ``csv`` or ``xlsx``.
    """
    from fitcheck.store import open_store

    with open_store().moment() as moment:
        info = moment.list_info(name)

        def make(path: str) -> None:
            if format == "xlsx":
                export_workbook(moment, info, path, remarks=remarks)
                return
            with open(path, "w", encoding="utf-8", newline="") as target:
                export_text(moment, info, target, remarks=remarks)

        called_so = f"{info.name}{'-remarks' if remarks else ''}.{format}"
        return made(make, name=called_so, media=XLSX if format == "xlsx" else CSV)


_ADD_OPTIONS: dict[str, Any] = {
    "command": commands.add,
    "how": "files",
    "without": ("remarks", "preview"),
    "files": ("file",),
    "heavy": True,
}
answering(router, "/lists/preview", look, **_ADD_OPTIONS)
answering(router, "/lists/add", add, **_ADD_OPTIONS, changes=True)
answering(router, "/lists", overview, command=commands.show, how="query", without=("name",))
answering(
    router,
    "/lists/show",
    show,
    command=commands.show,
    how="query",
    without=("name",),
    more={"name": (str, ...)},
)
answering(router, "/lists/remove", remove, command=commands.remove, changes=True)
answering(
    router,
    "/lists/export",
    export,
    command=commands.export,
    how="query",
    without=("output",),
    more={"format": FORMAT},
    heavy=True,
    media=CSV,
)
