"""Endpoints for crossing: wanted lines, pasted or as a file, against the supplier lists."""

from __future__ import annotations

import os
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import Field
from starlette.responses import Response

from fitcheck.cli.cross import cross as cross_command
from fitcheck.cli.cross import write_answers
from fitcheck.cli.shop_lists import shop_source
from fitcheck.errors import InputError
from fitcheck.lists.cross import Crossing
from fitcheck.lists.rows import Tally, crossed_json
from fitcheck.lists.wanted_file import wanted_of_file
from fitcheck.web.api.files import CSV, XLSX, Uploaded, called, made
from fitcheck.web.api.routes import JSON, Answer, answering

router = APIRouter(tags=["crossing"])

LONGEST_WANTED = 200_000
OUTPUT = (Literal["json", "csv", "xlsx"], "json")
_MEDIA = {"json": JSON, "csv": CSV, "xlsx": XLSX}
_WITHOUT = ("wanted", "file", "output")


def pasted(*, wanted: str, **options: Any) -> Answer | Response:
    """What `fitcheck cross -` answers to a text.

    Parameters
    ----------
    wanted : str
        The wanted lines, one a line.
    **options
        The options of the command.
    """
    with TemporaryDirectory(prefix="fitcheck-") as folder:
        file = Uploaded(os.path.join(folder, "wanted"), "wanted")
        Path(file.path).write_bytes(wanted.encode("utf-8", "replace"))
        return crossed(wanted=file, **options)


def crossed(
    *,
    wanted: Uploaded,
    names: tuple[str, ...],
    every: bool,
    sort: str,
    top: int,
    unit: str,
    output: str,
) -> Answer | Response:
    """What `fitcheck cross` answers to a file.

    Parameters
    ----------
    wanted : Uploaded
        The wanted lines.
    names : tuple of str
        Stored lists.
    every : bool
        Whether all stored lists are meant.
    sort : str
        The order inside a grade.
    top : int
        Alternatives to list at most.
    unit : str
        ``mm`` or ``in``, of sizes that name none.
    output : str
        ``json``, ``csv`` or ``xlsx``.

    Raises
    ------
    InputError
        The lines can't be read, or no list is named.
    """
    if not (names or every):
        raise InputError(
            value="no list",
            rule="wanted lines are crossed with one list or with all",
            todo='Name stored lists in "list", or set "all"',
        )
    with called(wanted):
        wants = list(wanted_of_file(wanted.path, unit=unit))
        with shop_source(names, every=every, unit=unit) as source:
            found = Crossing(wants, source, sort=sort, top=top)
        tally = Tally()
        answers = tally.counted(found)
        if output != "json":
            return made(
                lambda path: write_answers(answers, tally, path),
                name=f"crossed.{output}",
                media=_MEDIA[output],
            )
        lines = [crossed_json(one) for one in answers]
        return {"lines": lines, **tally.as_json()}


answering(
    router,
    "/cross",
    pasted,
    command=cross_command,
    without=_WITHOUT,
    more={
        "wanted": (Annotated[str, Field(min_length=1, max_length=LONGEST_WANTED)], ...),
        "output": OUTPUT,
    },
    example={"wanted": "35x52x7\n30206", "all": True},
    heavy=True,
)
answering(
    router,
    "/cross/file",
    crossed,
    command=cross_command,
    how="files",
    files=("wanted",),
    without=_WITHOUT,
    more={"output": OUTPUT},
    heavy=True,
)
