"""Files that come with a request, and files that go out."""

from __future__ import annotations

import os
import shutil
from collections.abc import AsyncIterator, Callable, Iterator, Mapping
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from fitcheck.errors import FitcheckError, printable
from fitcheck.web.refusals import BAD_REQUEST, NOT_UNDERSTOOD, Refusal

CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
HTML = "text/html; charset=utf-8"
PDF = "application/pdf"

_BLOCK = 1 << 18
_MOST_FIELDS = 100
_LONGEST_FIELD = 1 << 16
_LONGEST_NAME = 80
_WORKBOOKS = (".xlsx", ".xlsm")


@dataclass(frozen=True, slots=True)
class Uploaded:
    """A file that came with a request: where it lies meanwhile, and what it is called."""

    path: str
    name: str


def file_name(text: str | None) -> str:
    r"""What an uploaded file is called: the last part of its name, as it can be shown.

    Parameters
    ----------
    text : str, optional
        The name as it was sent.

    Examples
    --------
    >>> file_name("../../etc/passwd"), file_name("C:\\lists\\north.csv"), file_name("..")
    ('passwd', 'north.csv', 'upload')
    """
    last = (text or "").replace("\\", "/").rsplit("/", 1)[-1]
    shown = printable(last.replace("\x00", "")).strip().strip(".")
    return shown[-_LONGEST_NAME:] or "upload"


@asynccontextmanager
async def read_form(
    request: Request, *, files: tuple[str, ...]
) -> AsyncIterator[tuple[list[tuple[str, str]], Mapping[str, Uploaded]]]:
    """The fields and the files of a form; the files are gone when it is done.

    Parameters
    ----------
    request : Request
        The request.
    files : tuple of str
        The fields that are files.

    Raises
    ------
    Refusal
        It is no form, or not one with these files.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "multipart/form-data":
        raise Refusal(
            415,
            value=f"Content-Type: {printable(kind[:_LONGEST_NAME])}",
            rule="a form with a file is wanted",
            todo="Send it as multipart/form-data",
        )
    try:
        form = await request.form(
            max_files=len(files) + 1, max_fields=_MOST_FIELDS, max_part_size=_LONGEST_FIELD
        )
    except Refusal:
        raise
    except HTTPException as error:
        raise Refusal(
            BAD_REQUEST,
            value="the form",
            rule=f"it can't be read ({printable(str(error.detail))[:_LONGEST_NAME]})",
            todo="Send it again as multipart/form-data",
        ) from None
    try:
        items: list[tuple[str, str]] = []
        parts: dict[str, UploadFile] = {}
        for name, part in form.multi_items():
            if isinstance(part, str):
                items.append((name, part))
            elif name not in files or name in parts:
                raise _wrong_file(name, "this file is not wanted, or came twice", files)
            else:
                parts[name] = part
        missing = [name for name in files if name not in parts]
        if missing:
            raise _wrong_file(missing[0], "this file is needed", files)
        with TemporaryDirectory(prefix="fitcheck-") as folder:
            uploads = {
                name: await run_in_threadpool(_put_down, part, folder, number)
                for number, (name, part) in enumerate(parts.items())
            }
            yield items, uploads
    finally:
        await form.close()


def _wrong_file(name: str, rule: str, files: tuple[str, ...]) -> Refusal:
    return Refusal(
        NOT_UNDERSTOOD,
        value=printable(name[:_LONGEST_NAME]),
        rule=rule,
        todo=f"Send {' and '.join(files)} as a file, once",
    )


def _put_down(part: UploadFile, folder: str, number: int) -> Uploaded:
    """Put a file into a folder under a name of our own; only its ending is taken over."""
    name = file_name(part.filename)
    ending = os.path.splitext(name)[1].lower()
    path = os.path.join(folder, f"{number}{ending if ending in (*_WORKBOOKS, '.csv') else ''}")
    part.file.seek(0)
    with open(path, "wb") as target:
        shutil.copyfileobj(part.file, target, _BLOCK)
    return Uploaded(path, name)


@contextmanager
def called(*files: Uploaded) -> Iterator[None]:
    """Let errors call files by their names, not by where they lie meanwhile.

    Parameters
    ----------
    *files : Uploaded
        The files.
    """
    try:
        yield
    except FitcheckError as error:
        for file in files:
            for key in ("value", "rule", "todo"):
                words = getattr(error, key).replace(file.path, file.name)
                setattr(error, key, words.replace(os.path.basename(file.path) + ":", file.name))
        raise


def sent(content: bytes, *, name: str, media: str) -> Response:
    """A file that goes out as a whole.

    Parameters
    ----------
    content : bytes
        What is in it.
    name : str
        What it is called.
    media : str
        What it is.
    """
    return Response(content, media_type=media, headers=_attached(name))


def made(make: Callable[[str], Any], *, name: str, media: str) -> Response:
    """A file that may be large: made on disk, sent piece by piece, and gone.

    Parameters
    ----------
    make : callable
        Writes it to the path it is given.
    name : str
        What it is called.
    media : str
        What it is.
    """
    with TemporaryDirectory(prefix="fitcheck-") as folder:
        path = os.path.join(folder, f"file{os.path.splitext(name)[1]}")
        make(path)
        # Open, it outlives its name, and nothing is left behind where the browser goes away.
        descriptor = os.open(path, os.O_RDONLY)
    return StreamingResponse(_pieces(descriptor), media_type=media, headers=_attached(name))


def _pieces(descriptor: int) -> Iterator[bytes]:
    with os.fdopen(descriptor, "rb") as handle:
        while block := handle.read(_BLOCK):
            yield block


def _attached(name: str) -> dict[str, str]:
    """The header that gives a file its name."""
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "._- ") else "_" for c in name)
    encoded = quote(name.encode("utf-8", "replace"), safe="")
    return {"content-disposition": f"attachment; filename=\"{plain}\"; filename*=UTF-8''{encoded}"}
