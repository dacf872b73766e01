"""The counter: search the lists, and cross a whole page of wanted lines."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fitcheck.errors import FitcheckError, InputError
from fitcheck.web.pages.shell import GRADES
from fitcheck.web.pages.uploads import UPLOADS, Upload
from fitcheck.web.pages.view import page

router = APIRouter(include_in_schema=False)
UPLOAD_PATHS = ("/counter/cross",)

# So many lines are shown; a file has them all.
MOST_SHOWN = 300
_TOP = 5
_LONGEST_SEARCH = 500
_SORTS = ("price", "lead", "stock")
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_MEDIA = {"csv": "text/csv; charset=utf-8", "xlsx": _XLSX}


@dataclass(frozen=True, slots=True)
class Choice:
    """Which lists are asked, in what order, and in what unit bare sizes are."""

    lists: tuple[str, ...] = ()
    sort: str = "price"
    unit: str = "mm"

    def query(self) -> str:
        """The choice as it stands in an address."""
        pairs = [("list", name) for name in self.lists]
        return urlencode([*pairs, ("sort", self.sort), ("unit", self.unit)])


def choice_of(pairs: Sequence[tuple[str, str]]) -> Choice:
    """The choice in a form or an address.

    Parameters
    ----------
    pairs : sequence of tuple
        Names and texts.
    """
    told = dict(reversed(pairs))
    sort = told.get("sort", "")
    return Choice(
        lists=tuple(dict.fromkeys(text for name, text in pairs if name == "list" and text)),
        sort=sort if sort in _SORTS else "price",
        unit="in" if told.get("unit") == "in" else "mm",
    )


@router.get("/counter")
async def counter(request: Request) -> Response:
    """Search the lists by size, mark or text."""
    asked = request.query_params.get("q", "").strip()[:_LONGEST_SEARCH]
    choice = choice_of(request.query_params.multi_items())
    run = request.app.state.answers.run
    names, found, error = await run(_searched, asked, choice)
    return page(
        request,
        "counter",
        asked=asked,
        choice=choice,
        lists=names,
        found=found,
        tally=None,
        error=error,
        grades=GRADES,
        sorts=_SORTS,
        upload=None,
        more=0,
    )


@router.post("/counter/cross")
async def cross(request: Request) -> Response:
    """Take a page of wanted lines, pasted or as a file, and show it crossed."""
    form = await request.form(max_files=1, max_fields=200)
    pairs = [(name, text) for name, text in form.multi_items() if isinstance(text, str)]
    sent = form.get("file")
    if isinstance(sent, UploadFile) and sent.filename:
        content, name = await sent.read(), sent.filename
    else:
        content, name = str(form.get("wanted", "")).encode("utf-8", "replace"), "wanted lines.txt"
    if not content.strip():
        raise InputError(
            value="no wanted line",
            rule="nothing was pasted and no file was chosen",
            todo="Paste one part a line, or choose a file",
        )
    keep = request.app.state.heavy.run
    upload = await keep(UPLOADS.keep, content, name=name, session=request.state.session.id)
    return RedirectResponse(f"/counter/crossed/{upload.token}?{choice_of(pairs).query()}", 303)


@router.get("/counter/crossed/{token}")
async def crossed(request: Request, token: str) -> Response:
    """A page of wanted lines, crossed."""
    upload = UPLOADS.get(token, session=request.state.session.id)
    choice = choice_of(request.query_params.multi_items())

    def work() -> tuple[list[str], list[dict[str, Any]], dict[str, Any]]:
        from fitcheck.lists.rows import crossed_json

        found: list[dict[str, Any]] = []

        def show(answers: Any) -> None:
            for answer in answers:
                if len(found) < MOST_SHOWN:
                    found.append(crossed_json(answer))

        tally = _crossed(str(upload.path), choice, show)
        return list_names(), found, tally

    names, found, tally = await request.app.state.heavy.run(_told, work, upload)
    return page(
        request,
        "counter",
        asked="",
        choice=choice,
        lists=names,
        found=found,
        tally=tally,
        error=None,
        grades=GRADES,
        sorts=_SORTS,
        upload=upload,
        more=tally["wanted"] - len(found),
    )


@router.get("/counter/crossed/{token}/file")
async def crossed_file(request: Request, token: str) -> Response:
    """A page of wanted lines, crossed, as CSV or XLSX."""
    upload = UPLOADS.get(token, session=request.state.session.id)
    choice = choice_of(request.query_params.multi_items())
    kind = "xlsx" if request.query_params.get("as") == "xlsx" else "csv"
    work = _exported
    content = await request.app.state.heavy.run(_told, lambda: work(upload, choice, kind), upload)
    stem = os.path.splitext(upload.name)[0]
    return file_response(content, f"{stem} crossed.{kind}", _MEDIA[kind])


def _exported(upload: Upload, choice: Choice, kind: str) -> bytes:
    from fitcheck.lists.rows import OUT_COLUMNS, CsvText, rows

    with TemporaryDirectory() as folder:
        path = os.path.join(folder, f"out.{kind}")

        def write(answers: Any) -> None:
            if kind == "xlsx":
                from fitcheck.cli.saving import write_workbook

                write_workbook(path, OUT_COLUMNS, rows(answers))
                return
            text = CsvText()
            with open(path, "w", encoding="utf-8", newline="") as target:
                target.write(text.heading())
                target.writelines(map(text.of, answers))

        _crossed(str(upload.path), choice, write)
        with open(path, "rb") as source:
            return source.read()


def _told(work: Callable[[], Any], upload: Upload) -> Any:
    """Do something with a file that was sent; messages call it by its own name."""
    try:
        return work()
    except FitcheckError as error:
        place = str(upload.path)
        if place not in str(error):
            raise
        raise InputError(
            value=error.value.replace(place, upload.name),
            rule=error.rule.replace(place, upload.name),
            todo=error.todo.replace(place, upload.name),
        ) from None


def _crossed(path: str, choice: Choice, use: Callable[[Any], None]) -> dict[str, Any]:
    """Cross the wanted lines of a file and hand the answers on; gives the counts."""
    from fitcheck.cli.shop_lists import shop_source
    from fitcheck.lists.cross import Crossing
    from fitcheck.lists.rows import Tally
    from fitcheck.lists.wanted_file import wanted_of_file

    wants = list(wanted_of_file(path, unit=choice.unit))
    tally = Tally()
    with shop_source(choice.lists, every=not choice.lists, unit=choice.unit) as source:
        use(tally.counted(Crossing(wants, source, sort=choice.sort, top=_TOP)))
    return tally.as_json()


def _searched(
    asked: str, choice: Choice
) -> tuple[list[str], list[dict[str, Any]] | None, FitcheckError | None]:
    from fitcheck.lists.rows import crossed_json

    names = list_names()
    if not asked or not names:
        return names, None, None
    found: list[dict[str, Any]] = []
    with TemporaryDirectory() as folder:
        path = os.path.join(folder, "wanted.txt")
        with open(path, "w", encoding="utf-8", errors="replace") as target:
            target.write(" ".join(asked.split()) + "\n")
        try:
            _crossed(path, choice, lambda answers: found.extend(map(crossed_json, answers)))
        except FitcheckError as error:
            return names, None, error
    return names, found, None


def list_names() -> list[str]:
    """The names of the stored lists; none where there is no store."""
    from fitcheck.store import open_store, store_is_there

    return [info.name for info in open_store().lists()] if store_is_there() else []


def file_response(content: bytes | str, name: str, media: str) -> Response:
    """A file to take along.

    Parameters
    ----------
    content : bytes or str
        What is in it.
    name : str
        What it is called.
    media : str
        Its media type.
    """
    from urllib.parse import quote

    plain = "".join(c if c.isascii() and (c.isalnum() or c in " .-_") else "_" for c in name)
    disposition = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return Response(content, media_type=media, headers={"content-disposition": disposition})
