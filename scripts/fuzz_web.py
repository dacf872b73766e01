"""The doors of the page in the browser: questions as JSON and as forms, sent in this process."""

from __future__ import annotations

import asyncio
import json
import os
import sys
import time
from functools import cache
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import httpx
from fuzz_doors import FOLDER, HANGS_S, FaultError, consistent

# What the first line of a text may name; another is the first of them.
QUESTIONS = (
    "seal",
    "bearing",
    "sleeve",
    "fit",
    "press",
    "shim",
    "oil",
    "part/oring",
    "part/ball",
    "hub",
    "cross",
    "draw/sheet",
    "chart/fit",
    "labels",
)
FORMS = ("seal", "bearing", "sleeve", "press", "shims", "oil", "oring", "ball")
# A text that must never come back as a tag.
TAG = "<fuzz"


@cache
def _app() -> Any:
    os.environ["XDG_DATA_HOME"] = str(FOLDER / "share")
    from fitcheck.web.app import create_app
    from fitcheck.web.settings import Settings

    return create_app(Settings())


def _sent(path: str, content: bytes, kind: str) -> httpx.Response:
    async def ask() -> httpx.Response:
        sender = httpx.ASGITransport(_app(), client=("127.0.0.1", 5000))
        async with httpx.AsyncClient(transport=sender, base_url="http://localhost") as client:
            return await client.post(path, content=content, headers={"Content-Type": kind})

    start = time.process_time()
    answer = asyncio.run(ask())
    if time.process_time() - start > HANGS_S:
        raise FaultError(f"{path}: took {time.process_time() - start:.1f} s")
    if answer.status_code >= 500:
        raise FaultError(f"{path}: {answer.status_code} {answer.text[:300]}")
    return answer


def _parted(text: str, known: tuple[str, ...]) -> tuple[str, bytes]:
    name, _, body = text.partition("\n")
    return name if name in known else known[0], body.encode("utf-8", "surrogatepass")


def question(text: str) -> None:
    """A question as JSON: its name in the first line, then its body."""
    name, body = _parted(text, QUESTIONS)
    answer = _sent(f"/api/{name}", body, "application/json")
    kind = answer.headers.get("content-type", "")
    if "json" not in kind:
        return
    told = json.loads(answer.content)
    if answer.status_code == 200:
        consistent(told if isinstance(told, dict) else None)
    elif not all(told["error"].get(part) for part in ("rule", "todo")):
        raise FaultError(f"/api/{name}: refused without a reason: {told}")


def form(text: str) -> None:
    """A form of the bench: its kind in the first line, then what is filled in."""
    name, body = _parted(text, FORMS)
    page = _sent(f"/bench/{name}/answer", body, "application/x-www-form-urlencoded").text
    if TAG in page:
        raise FaultError(f"/bench/{name}: what was filled in came back as a tag")
