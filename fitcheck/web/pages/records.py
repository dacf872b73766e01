"""The buyer's records: history, fleet, terms and shelf counts, sent as files and kept whole."""

from __future__ import annotations

import json
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fitcheck.web.api import records
from fitcheck.web.api.files import read_form
from fitcheck.web.pages.forms import pairs_of
from fitcheck.web.pages.view import page
from fitcheck.web.refusals import Refusal

router = APIRouter(include_in_schema=False)

# Kind, what it is, and the columns that a file of it has.
KINDS = (
    ("history", "History", "what was asked for", "date, branch, job, part, quantity, short"),
    (
        "fleet",
        "Fleet",
        "which machines there are, and what is in them",
        "branch, machine, machines, hub, position, part, quantity, renewals",
    ),
    (
        "terms",
        "Terms",
        "what a part costs and how long it takes",
        "part, price, currency, lead_days, lead_days_sd, pack, critical",
    ),
    ("shelf", "Shelf counts", "what was counted, and when", "date, branch, part, on_hand"),
)
UPLOAD_PATHS = tuple(f"/buyer/records/{kind}" for kind, *_ in KINDS)
_MOST_SHOWN = 200

# What the page says was done: an address says which, and no words of its own.
_DONE = {
    "kept": "The file is kept.",
    "removed": "The file is removed.",
}


@router.get("/buyer/records")
async def shown(request: Request) -> Response:
    """The files that are kept, and the way to send others."""
    return await _page(request, done=request.query_params.get("done", ""))


@router.post("/buyer/records/remove")
async def remove(request: Request) -> Response:
    """Take a file of records out of the store."""
    told = dict(await pairs_of(request))
    kind, name = _kind(told.get("kind", ""), of=records.KINDS), told.get("name", "")
    await request.app.state.heavy.run(records.remove, kind=kind, name=name)
    return RedirectResponse("/buyer/records?done=removed", 303)


@router.post("/buyer/records/{kind}")
async def send(request: Request, kind: str) -> Response:
    """Keep a file whole, or tell every line that is refused and keep nothing of it."""
    _kind(kind, of=[name for name, *_ in KINDS])
    async with read_form(request, files=("file",)) as (items, files):
        told = dict(items)
        unit = "in" if told.get("unit") == "in" else "mm"
        found = await request.app.state.heavy.run(
            records.add, kind, file=files["file"], unit=unit, name=told.get("name", "").strip()
        )
    if isinstance(found, Response):
        refused = json.loads(bytes(found.body))
        return await _page(request, status=found.status_code, kind=kind, refused=refused)
    return RedirectResponse("/buyer/records?done=kept", 303)


def _kind(kind: str, *, of: Any) -> str:
    if kind in of:
        return kind
    raise Refusal(
        404,
        value=kind[:40],
        rule="there are no such records",
        todo=f"There are: {', '.join(name for name, *_ in KINDS)}",
    )


async def _page(
    request: Request,
    *,
    status: int = 200,
    done: str = "",
    kind: str = "",
    refused: dict[str, Any] | None = None,
) -> Response:
    def work() -> dict[str, Any]:
        return {name: records.show(name)["files"] for name in records.KINDS}

    return page(
        request,
        "records",
        status=status,
        kinds=KINDS,
        files=await request.app.state.answers.run(work),
        said=_DONE.get(done, ""),
        refused_kind=kind,
        error=refused and refused["error"],
        lines=refused["refused"][:_MOST_SHOWN] if refused else [],
        more=max(0, len(refused["refused"]) - _MOST_SHOWN) if refused else 0,
    )
