"""Endpoints for whole tables: readings answered row by row, labels for the bins of a shelf."""

from __future__ import annotations

import csv
from functools import partial

from fastapi import APIRouter
from starlette.responses import Response

from fitcheck.cli.batch import batch as batch_command
from fitcheck.cli.labels import labels as labels_command
from fitcheck.errors import InputError
from fitcheck.extras import import_needed
from fitcheck.job.batch.answer import ANSWER_COLUMNS, Tally, answers
from fitcheck.job.batch.csv_rows import MAX_ROW
from fitcheck.job.batch.row import BatchRequest
from fitcheck.web.api.files import CSV, HTML, Uploaded, called, made, sent
from fitcheck.web.api.hub import PAPER
from fitcheck.web.api.routes import answering

router = APIRouter(tags=["whole tables"])


def batch(*, readings: Uploaded, top: int, certainty: float, no_next: bool, unit: str) -> Response:
    """What `fitcheck batch` writes.

    Parameters
    ----------
    readings : Uploaded
        The table of readings.
    top : int
        Sizes to list at most for each row.
    certainty : float
        The share a size needs to be sure.
    no_next : bool
        Whether the next reading is left blank.
    unit : str
        ``mm`` or ``in``, of lengths that name none.

    Raises
    ------
    InputError
        It is no table of readings.
    """
    request = BatchRequest(unit=unit, certainty=certainty, top=top, advise=not no_next)

    def make(path: str) -> None:
        with (
            open(readings.path, encoding="utf-8-sig", newline="") as source,
            open(path, "w", encoding="utf-8", newline="") as target,
        ):
            lines = iter(partial(source.readline, MAX_ROW + 1), "")
            writer = csv.writer(target)
            writer.writerow(ANSWER_COLUMNS)
            for rows in answers(lines, request, tally=Tally()):
                writer.writerows(rows)

    try:
        with called(readings):
            return made(make, name="answers.csv", media=CSV)
    except UnicodeDecodeError as error:
        raise InputError(
            value=readings.name,
            rule="this is not UTF-8 text",
            todo="Save it as UTF-8 and try again",
        ) from error


def labels(*, stocklist: Uploaded, branch: str, paper: str) -> Response:
    """What `fitcheck labels --html` writes.

    Parameters
    ----------
    stocklist : Uploaded
        The stocking list.
    branch : str
        Only this branch; all when empty.
    paper : str
        ``a4`` or ``letter``.
    """
    import_needed("segno", what="a label")
    from fitcheck.report.html.labels import labels_page
    from fitcheck.stock.bins import read_bins

    with called(stocklist):
        page = labels_page(read_bins(stocklist.path, branch=branch or None), paper=paper)
    return sent(page.encode("utf-8"), name="labels.html", media=HTML)


answering(
    router,
    "/batch",
    batch,
    command=batch_command,
    how="files",
    files=("readings",),
    without=("readings.csv", "output"),
    heavy=True,
    media=CSV,
)
answering(
    router,
    "/labels",
    labels,
    command=labels_command,
    how="files",
    files=("stocklist",),
    without=("html", "pdf", "paper"),
    more={"paper": PAPER},
    heavy=True,
    media=HTML,
)
