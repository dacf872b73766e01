"""Suppliers' lists: sent, looked at before they are stored, shown, taken along, removed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from io import StringIO
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fitcheck.errors import FitcheckError, InputError
from fitcheck.records import dataclass
from fitcheck.web.pages.counter import file_response
from fitcheck.web.pages.forms import pairs_of
from fitcheck.web.pages.uploads import UPLOADS, Upload
from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)
UPLOAD_PATHS = ("/lists/preview",)

_FIRST_LINES, _FIRST_REMARKS = 12, 60
_LONGEST = 200
_MOST_COLUMNS = 40
_FACTS = ("lip", "case", "material", "spring", "lubricant", "direction")
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class Told:
    """How a list is to be read: its name, its unit, its decimal sign, its sheet, its columns."""

    name: str = ""
    unit: str = ""
    decimal: str = ""
    sheet: str = ""
    delimiter: str = ""
    columns: tuple[tuple[str, str], ...] = ()

    def query(self) -> str:
        """The same as it stands in an address."""
        keys = ("name", "unit", "decimal", "sheet", "delimiter")
        pairs = [(key, getattr(self, key)) for key in keys]
        pairs += [(f"column.{role}", column) for role, column in self.columns]
        return urlencode([pair for pair in pairs if pair[1]])


def told_of(pairs: list[tuple[str, str]]) -> Told:
    """How a list is to be read, from a form or an address.

    Parameters
    ----------
    pairs : list of tuple
        Names and texts.
    """
    found = {name: text.strip()[:_LONGEST] for name, text in pairs}
    return Told(
        name=found.get("name", ""),
        unit=found["unit"] if found.get("unit") in ("mm", "in") else "",
        decimal=found["decimal"] if found.get("decimal") in ("point", "comma") else "",
        sheet=found.get("sheet", ""),
        delimiter=found.get("delimiter", ""),
        columns=tuple(
            (name.removeprefix("column."), text)
            for name, text in found.items()
            if name.startswith("column.") and text
        )[:_MOST_COLUMNS],
    )


@router.get("/lists")
async def lists(request: Request) -> Response:
    """The stored lists, and the way to add one."""

    def work() -> list[Any]:
        from fitcheck.store import open_store, store_is_there

        return open_store().lists() if store_is_there() else []

    found = await request.app.state.answers.run(work)
    said = request.query_params.get("removed", "")[:_LONGEST]
    return page(request, "lists", lists=found, said=f"Removed: {said}" if said else "")


@router.post("/lists/preview")
async def send(request: Request) -> Response:
    """Take a file and go on to how it is understood."""
    form = await request.form(max_files=1, max_fields=100)
    sent = form.get("file")
    content = await sent.read() if isinstance(sent, UploadFile) and sent.filename else b""
    if not isinstance(sent, UploadFile) or not content.strip():
        raise InputError(
            value="no list",
            rule="no file was chosen, or it is empty",
            todo="Choose the supplier's file, CSV or XLSX",
        )
    name = sent.filename or "list"
    told = told_of([(key, text) for key, text in form.multi_items() if isinstance(text, str)])
    if not told.name:
        told = replace(told, name=os.path.splitext(os.path.basename(name))[0][:60])
    keep = request.app.state.heavy.run
    upload = await keep(UPLOADS.keep, content, name=name, session=request.state.session.id)
    return RedirectResponse(f"/lists/preview/{upload.token}?{told.query()}", 303)


@router.get("/lists/preview/{token}")
async def preview(request: Request, token: str) -> Response:
    """How a list is understood; nothing is stored."""
    from fitcheck.lists.columns import ROLES

    upload = UPLOADS.get(token, session=request.state.session.id)
    told = told_of(request.query_params.multi_items())
    found, error = None, None
    try:
        found = await request.app.state.heavy.run(_looked_at, upload, told)
    except FitcheckError as refused:
        error = _named(refused, upload)
    return page(
        request,
        "preview",
        status=422 if error else 200,
        upload=upload,
        told=told,
        found=found,
        error=error,
        roles=ROLES,
        facts=_FACTS,
    )


@router.post("/lists/store")
async def store(request: Request) -> Response:
    """Store a list that was looked at."""
    pairs = await pairs_of(request)
    upload = UPLOADS.get(dict(pairs).get("upload", ""), session=request.state.session.id)
    told = told_of(pairs)
    try:
        name = await request.app.state.heavy.run(_stored, upload, told)
    except FitcheckError as refused:
        raise _named(refused, upload) from None
    UPLOADS.drop(upload.token)
    return RedirectResponse(f"/lists/show?{urlencode({'name': name, 'added': 'yes'})}", 303)


@router.get("/lists/show")
async def show(request: Request, name: str, added: str = "") -> Response:
    """One stored list: what became of its lines, and what was remarked."""
    info, first, remarks, counts = await request.app.state.answers.run(_shown, name)
    return page(
        request,
        "list",
        info=info,
        lines=first,
        remarks=remarks,
        counts=counts,
        facts=_FACTS,
        said="It is stored, and is asked from now on." if added else "",
    )


@router.get("/lists/export")
async def export(request: Request, name: str) -> Response:
    """A stored list, or what was remarked about it, as a file."""
    remarks = request.query_params.get("what") == "remarks"
    kind = "xlsx" if request.query_params.get("as") == "xlsx" else "csv"
    content, called = await request.app.state.heavy.run(_exported, name, kind, remarks)
    media = _XLSX if kind == "xlsx" else "text/csv; charset=utf-8"
    return file_response(content, f"{called}{' remarks' if remarks else ''}.{kind}", media)


@router.post("/lists/remove")
async def remove(request: Request) -> Response:
    """Take a list out of the store."""
    name = dict(await pairs_of(request)).get("name", "")

    def work() -> str:
        from fitcheck.store import open_store

        store = open_store()
        found = store.list_info(name)
        store.remove_list(name)
        return found.name

    gone = await request.app.state.heavy.run(work)
    return RedirectResponse(f"/lists?{urlencode({'removed': gone})}", 303)


def _named(error: FitcheckError, upload: Upload) -> InputError:
    """A message that calls the file by its own name."""
    place = str(upload.path)
    texts = (text.replace(place, upload.name) for text in (error.value, error.rule, error.todo))
    value, rule, todo = texts
    return InputError(value=value, rule=rule, todo=_by_hand(todo))


def _by_hand(todo: str) -> str:
    """What to do, with the page's fields where it names the command's options."""
    told = todo.replace("--column", "the columns below").replace("--forget", "other columns")
    return told.replace("--delimiter", "the field for what parts cells")


def _reading(upload: Upload, told: Told, *, create: bool = False) -> Any:
    """The list as it is read: its columns as they are told, remembered or found."""
    from fitcheck.cli.list_files import list_reading
    from fitcheck.store import open_store, store_is_there
    from fitcheck.store.names import checked_name

    name = checked_name(told.name, what="a list")
    kept = open_store().column_plan(name) if store_is_there() else None
    forced = (told.unit, told.decimal, told.sheet or None)
    columns, path = dict(told.columns), str(upload.path)
    return list_reading(kept, name, path, columns, forced, delimiter=told.delimiter)


def _looked_at(upload: Upload, told: Told) -> dict[str, Any]:
    from fitcheck.cli.list_files import enough_room

    lines: list[dict[str, Any]] = []
    remarks: list[Any] = []
    noted = 0
    with enough_room():
        reading = _reading(upload, told)
        for block, found in reading.blocks():
            lines += _lines(block, _FIRST_LINES - len(lines))
            # What is refused is told first: it will not be there.
            remarks += [one for one in found if one.outcome == "refused"]
            remarks[_FIRST_REMARKS:] = []
            noted += len(found)
        if len(remarks) < _FIRST_REMARKS and noted > len(remarks):
            for _, found in _reading(upload, told).blocks():
                remarks += [one for one in found if one.outcome != "refused"]
                if len(remarks) >= _FIRST_REMARKS:
                    break
    tally, plan = reading.tally, reading.plan
    return {
        "tally": tally,
        "columns": {} if reading.own_export else _columns(plan.columns),
        "own": reading.own_export,
        "unit": plan.unit,
        "notes": [_by_hand(note) for note in plan.notes],
        "lines": lines,
        "remarks": remarks[:_FIRST_REMARKS],
        "noted": noted,
    }


def _columns(columns: Any) -> dict[str, str]:
    return {role: " + ".join(refs) for role, refs in columns.items() if list(refs) != ["-"]}


def _lines(block: Any, most: int) -> Iterator[dict[str, Any]]:
    from fitcheck.lists.items import size_key, size_text

    for index in range(max(0, min(most, len(block)))):
        line = {name: column[index] for name, column in block.columns.items()}
        yield {**line, "size_text": size_text(size_key(line))}


def _stored(upload: Upload, told: Told) -> str:
    from fitcheck.cli.list_files import enough_room, store_list
    from fitcheck.store import open_store
    from fitcheck.store.names import checked_name

    name = checked_name(told.name, what="a list")
    with enough_room():
        reading = _reading(upload, told)
        info, _ = store_list(open_store(create=True), name, reading, StringIO(), upload.name)
    return info.name


def _shown(name: str) -> tuple[Any, list[dict[str, Any]], list[Any], dict[str, int]]:
    from fitcheck.store import open_store

    with open_store().moment() as moment:
        info = moment.list_info(name)
        lines: list[dict[str, Any]] = []
        for _, block in moment.blocks(info.name):
            lines += _lines(block, _FIRST_LINES - len(lines))
            if len(lines) >= _FIRST_LINES:
                break
        counts: dict[str, int] = {}
        remarks: list[Any] = []
        for remark in moment.remarks(info.name):
            counts[remark.outcome] = counts.get(remark.outcome, 0) + 1
            if len(remarks) < _FIRST_REMARKS:
                remarks.append(remark)
    return info, lines, remarks, counts


def _exported(name: str, kind: str, remarks: bool) -> tuple[bytes, str]:
    from fitcheck.cli.list_files import export_text, export_workbook
    from fitcheck.store import open_store

    with TemporaryDirectory() as folder, open_store().moment() as moment:
        info = moment.list_info(name)
        path = os.path.join(folder, f"list.{kind}")
        if kind == "xlsx":
            export_workbook(moment, info, path, remarks=remarks)
        else:
            with open(path, "w", encoding="utf-8", newline="") as target:
                export_text(moment, info, target, remarks=remarks)
        with suppress(OSError), open(path, "rb") as source:
            return source.read(), info.name
    return b"", info.name
