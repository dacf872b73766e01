"""How an endpoint is made: body in, work in a thread, answer out, and its description."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import click
from fastapi import APIRouter, Request
from starlette.responses import Response

from fitcheck.cli.common import tidy
from fitcheck.web.api.files import Uploaded, read_form
from fitcheck.web.api.kept import store_stamp
from fitcheck.web.api.requests import Body, from_items, options_of, parsed, request_model
from fitcheck.web.work import Bench

Answer = Any
Work = Callable[..., Answer]

JSON = "application/json"
SVG = "image/svg+xml"

ERROR_SCHEMA: dict[str, Any] = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["value", "rule", "todo"],
            "properties": {
                "value": {"type": "string", "description": "What was given."},
                "rule": {"type": "string", "description": "The rule it broke."},
                "todo": {"type": "string", "description": "What to do next."},
            },
        }
    },
}
_ERRORS = {
    400: "It is no request.",
    401: "The shop's passphrase is asked for.",
    403: "It came from elsewhere, or without the page's token.",
    404: "It is understood, but nothing here answers it.",
    408: "It did not arrive in time.",
    413: "It is too large.",
    415: "It is no JSON.",
    422: "It can't be understood; the error says what to write instead.",
    429: "Too many tries.",
    503: "Busy; try again.",
}
ERRORS: dict[int | str, dict[str, Any]] = {
    status: {"description": words, "content": {JSON: {"schema": ERROR_SCHEMA}}}
    for status, words in _ERRORS.items()
}

# Paths that change nothing, and paths that take files; the shield asks for them.
ANSWER_PATHS: set[str] = set()
UPLOAD_PATHS: set[str] = set()


def json_response(found: Answer, status: int = 200) -> Response:
    """An answer as JSON, with the numbers as the command line writes them.

    Parameters
    ----------
    found : object
        The answer.
    status : int
        The HTTP status.
    """
    return Response(json_bytes(found), status, media_type=JSON)


def json_bytes(found: Answer) -> bytes:
    """An answer as JSON text in UTF-8.

    Parameters
    ----------
    found : object
        The answer.
    """
    text = json.dumps(tidy(found), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    # Half a character, as somebody may send, has no place in UTF-8.
    return text.encode("utf-8", "replace")


@dataclass(frozen=True, slots=True)
class Endpoint:
    """One endpoint: how its request is read, what answers it, and what it is called.

    ``how`` is ``json`` (a JSON body), ``query`` (the address) or ``files`` (a form with files).
    """

    path: str
    work: Work
    command: click.Command
    model: type[Body]
    how: str = "json"
    files: tuple[str, ...] = ()
    example: Mapping[str, Any] | None = None
    heavy: bool = False
    kept: bool = False
    quick: bool = False
    media: str = JSON

    def is_quick(self, body: Body, stamp: tuple[int, ...] | None) -> bool:
        """Whether an answer takes so little that a thread would cost more: no store is looked at.

        Parameters
        ----------
        body : Body
            The question.
        stamp : tuple of int, optional
            That of the store; empty where there is none.
        """
        if not self.quick:
            return False
        looks = "no_offers" in type(body).model_fields
        asked = bool(getattr(body, "list", "")) or not getattr(body, "no_offers", False)
        return not looks or stamp == () or not asked

    def worked(self, body: Body, files: Mapping[str, Uploaded]) -> bytes | Response:
        """The answer as it is sent; made in a thread, so that the page stays alive."""
        found = self.work(**options_of(self.command, body), **files)
        if isinstance(found, Response | bytes):
            return found
        return json_bytes(found) if self.media == JSON else str(found).encode("utf-8", "replace")


def answering(
    router: APIRouter,
    path: str,
    work: Work,
    *,
    command: click.Command,
    how: str = "json",
    without: Collection[str] = (),
    more: Mapping[str, tuple[Any, Any]] | None = None,
    files: tuple[str, ...] = (),
    example: Mapping[str, Any] | None = None,
    heavy: bool = False,
    kept: bool = False,
    quick: bool = False,
    media: str = JSON,
    changes: bool = False,
) -> None:
    """Add an endpoint that answers as a command does.

    Parameters
    ----------
    router : APIRouter
        Where it is added.
    path : str
        Its address below ``/api``.
    work : callable
        Takes the command's parameters by name and gives the answer: data, or the text of a
        drawing, or a whole response.
    command : click.Command
        The command whose options are the fields.
    how : str
        ``json``, ``query`` or ``files``.
    without, more
        Fields left out and added; see `request_model`.
    files : tuple of str
        The fields that are files.
    example : mapping, optional
        A body that is answered.
    heavy : bool
        Whether it may take long.
    kept : bool
        Whether the same question may have the same answer while the store doesn't change.
    quick : bool
        Whether it takes a few milliseconds, so that it is answered without a thread.
    media : str
        What the answer is.
    changes : bool
        Whether it changes something in the shop's store.
    """
    title = "".join(word.capitalize() for word in path.replace("/", "_").split("_"))
    method = "GET" if how == "query" else "POST"
    model = request_model(
        command, f"{title}{method.capitalize()}", without={*without, *files}, more=more
    )
    endpoint = Endpoint(path, work, command, model, how, files, example, heavy, kept, quick, media)
    if not changes:
        ANSWER_PATHS.add(f"/api{path}")
    if how == "files":
        UPLOAD_PATHS.add(f"/api{path}")
    call = {"json": _by_json, "query": _by_query, "files": _by_form}[how](endpoint)
    router.add_api_route(path, call, methods=[method], **described(endpoint, method))


Call = Callable[[Request], Awaitable[Response]]


def _by_json(endpoint: Endpoint) -> Call:
    async def call(request: Request) -> Response:
        content = await request.body()
        state = request.app.state
        # Looked at before the work: what is stored meanwhile makes the answer a stale one.
        stamp = store_stamp() if endpoint.kept else None
        # What is planned from today on is another answer tomorrow.
        key = None if stamp is None else (endpoint.path, content, stamp, date.today())
        found = state.kept.get(key)
        if found is None:
            body = parsed(endpoint.model, content, request.headers.get("content-type", ""))
            if endpoint.is_quick(body, stamp):
                made = endpoint.worked(body, {})
            else:
                made = await _bench(request, endpoint).run(endpoint.worked, body, {})
            if isinstance(made, Response):
                return made
            found = made
            state.kept.put(key, found)
        return Response(found, media_type=endpoint.media)

    return call


def _by_query(endpoint: Endpoint) -> Call:
    async def call(request: Request) -> Response:
        items = request.query_params.multi_items()
        body = from_items(endpoint.command, endpoint.model, items)
        return await _answered(request, endpoint, body, {})

    return call


def _by_form(endpoint: Endpoint) -> Call:
    async def call(request: Request) -> Response:
        async with read_form(request, files=endpoint.files) as (items, uploads):
            body = from_items(endpoint.command, endpoint.model, items)
            return await _answered(request, endpoint, body, uploads)

    return call


async def _answered(
    request: Request, endpoint: Endpoint, body: Body, uploads: Mapping[str, Uploaded]
) -> Response:
    made = await _bench(request, endpoint).run(endpoint.worked, body, uploads)
    return made if isinstance(made, Response) else Response(made, media_type=endpoint.media)


def _bench(request: Request, endpoint: Endpoint) -> Bench:
    state = request.app.state
    bench: Bench = state.heavy if endpoint.heavy else state.answers
    return bench


def described(endpoint: Endpoint, method: str) -> dict[str, Any]:
    """What the description of the interface says of an endpoint, in the words of its command.

    Parameters
    ----------
    endpoint : Endpoint
        The endpoint.
    method : str
        Its method.
    """
    schema = endpoint.model.model_json_schema()
    schema.pop("title", None)
    extra: dict[str, Any] = {}
    if endpoint.how == "query":
        needed = schema.get("required", ())
        extra["parameters"] = [
            {
                "name": name,
                "in": "query",
                "required": name in needed,
                "description": shape.pop("description", ""),
                "schema": shape,
            }
            for name, shape in schema.get("properties", {}).items()
        ]
    else:
        if endpoint.files:
            file = {"type": "string", "contentMediaType": "application/octet-stream"}
            schema["properties"] = {
                **dict.fromkeys(endpoint.files, file),
                **schema.get("properties", {}),
            }
            schema["required"] = [*endpoint.files, *schema.get("required", ())]
        shape = {"schema": schema}
        if endpoint.example is not None:
            shape["example"] = dict(endpoint.example)
        media = "multipart/form-data" if endpoint.files else JSON
        extra["requestBody"] = {"required": True, "content": {media: shape}}
    first, _, rest = " ".join((endpoint.command.help or "").split()).partition(". ")
    answer = {"type": "object"} if endpoint.media == JSON else {"type": "string"}
    return {
        "operation_id": f"{method.lower()}_{endpoint.path.strip('/').replace('/', '_')}",
        "summary": first.rstrip("."),
        "description": rest,
        "response_class": Response,
        "responses": {
            **ERRORS,
            200: {"description": "The answer.", "content": {endpoint.media: {"schema": answer}}},
        },
        "openapi_extra": extra,
    }
