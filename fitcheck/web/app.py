"""The bench page as one application: shield, pages, files and the JSON interface."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import click
from fastapi import FastAPI, Request
from fastapi.templating import Jinja2Templates
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Scope

import fitcheck
from fitcheck.errors import FitcheckError
from fitcheck.web import api, pages
from fitcheck.web.refusals import Refusal, error_response, program_response
from fitcheck.web.security.limits import Attempts
from fitcheck.web.security.sessions import Sessions
from fitcheck.web.security.shield import Paths, Shield
from fitcheck.web.settings import Settings
from fitcheck.web.work import Bench

HERE = Path(__file__).parent
_WORDS = {
    404: ("there is nothing at this address", "See /api/openapi.json for what there is"),
    405: ("this address does not take that method", "See /api/openapi.json for what it takes"),
}
_log = logging.getLogger("fitcheck.web")


class BenchPage(FastAPI):
    """The application with the shield around all of it, its error pages too."""

    shield_paths: Paths
    shield_settings: Settings
    shield_sessions: Sessions

    def build_middleware_stack(self) -> ASGIApp:
        """Put the shield outermost."""
        return Shield(
            super().build_middleware_stack(),
            settings=self.shield_settings,
            sessions=self.shield_sessions,
            paths=self.shield_paths,
            refuse=_refused,
        )


def create_app(settings: Settings) -> FastAPI:
    """The application.

    Parameters
    ----------
    settings : Settings
        Where it listens, whom it lets in, its limits.

    Returns
    -------
    FastAPI
        ``app.state`` has ``settings``, ``sessions``, ``attempts``, ``answers`` and ``heavy`` (the
        threads for short and for long work) and ``templates``.
    """
    app = BenchPage(
        title="fitcheck",
        version=fitcheck.__version__,
        summary="Find which seal, bearing and sleeve fit a worn hub, from what can be measured.",
        description=api.ABOUT,
        openapi_url="/api/openapi.json",
        # The pages that show an interface fetch their scripts from outside.
        docs_url=None,
        redoc_url=None,
        lifespan=_lifespan,
        redirect_slashes=False,
    )
    limits = settings.limits
    app.state.settings = settings
    app.state.sessions = Sessions(settings.secret, seconds=limits.session_s, secure=settings.secure)
    app.state.attempts = Attempts(
        most=limits.attempts, most_of_all=limits.attempts_of_all, seconds=limits.attempts_s
    )
    app.state.answers = Bench(
        at_once=limits.answers_at_once, waiting=limits.answers_waiting, seconds=limits.answer_s
    )
    app.state.heavy = Bench(
        at_once=limits.heavy_at_once, waiting=limits.heavy_waiting, seconds=limits.heavy_s
    )
    app.state.templates = Jinja2Templates(HERE / "templates")
    api.add_to(app)
    app.include_router(pages.router, include_in_schema=False)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    app.add_exception_handler(FitcheckError, _program_error)
    app.add_exception_handler(click.ClickException, _command_error)
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(ClientDisconnect, _gone)
    app.add_exception_handler(Exception, _fault)
    app.shield_settings = settings
    app.shield_sessions = app.state.sessions
    app.shield_paths = Paths(
        answers=api.answer_paths() | pages.ANSWER_PATHS,
        uploads=api.upload_paths() | pages.UPLOAD_PATHS,
    )
    return app


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    await app.state.answers.run(api.warm)
    yield
    app.state.answers.close()
    app.state.heavy.close()


async def _program_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, FitcheckError)
    return _shown(request, program_response(error), error.value, error.rule, error.todo)


def _refused(scope: Scope, refusal: Refusal) -> Response:
    """What the shield refuses; under a name that isn't ours nothing is shown."""
    plain = refusal.response()
    if "session" not in scope.get("state", {}):
        return plain
    return _shown(Request(scope), plain, refusal.value, refusal.rule, refusal.todo)


def _shown(request: Request, plain: Response, value: str, rule: str, todo: str) -> Response:
    """A refusal as a page where somebody looks at pages, else as it is."""
    wanted = "text/html" in request.headers.get("accept", "")
    if request.url.path.startswith("/api/") or not wanted:
        return plain
    page: Response = pages.refusal_page(request, plain.status_code, value, rule, todo)
    for name in ("connection", "retry-after"):
        if name in plain.headers:
            page.headers[name] = plain.headers[name]
    return page


async def _command_error(_request: Request, error: Exception) -> Response:
    """What a command refuses before it is asked anything: a wrong option."""
    assert isinstance(error, click.ClickException)
    return error_response(
        422,
        value="the request",
        rule=error.format_message(),
        todo="See /api/openapi.json for what is taken",
    )


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if isinstance(error, Refusal):
        return _shown(request, error.response(), error.value, error.rule, error.todo)
    rule, todo = _WORDS.get(
        error.status_code, (str(error.detail), "See /api/openapi.json for what is taken")
    )
    plain = error_response(
        error.status_code, value="the request", rule=rule, todo=todo, headers=error.headers
    )
    return _shown(request, plain, request.url.path, rule, todo)


async def _gone(_request: Request, _error: Exception) -> Response:
    """Nobody is there any more to read this."""
    return error_response(400, value="the request", rule="it was broken off", todo="Send it again")


async def _fault(request: Request, error: Exception) -> Response:
    """A fault of ours: told without its inside, which goes to the log."""
    _log.error("%s %s: %r", request.method, request.url.path, error)
    return error_response(
        500,
        value=f"{request.method} {request.url.path}",
        rule="this is a fault in the program",
        todo="Please report it with what you entered; the log of `fitcheck serve` says more",
    )
