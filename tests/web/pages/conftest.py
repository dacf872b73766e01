"""The pages as a browser sees them: `fitcheck serve` on the demo data, and Chromium before it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).parents[3]
# Chromium looks for its maker's services at every start unless it is told not to.
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
SIZES = {"phone": (360, 740), "desktop": (1920, 1080)}
PATIENCE_MS = 60_000


class Server:
    """A running `fitcheck serve`: its address, and a way to end it and to start it again."""

    def __init__(self, folder: Path, *, port: int = 0) -> None:
        self.folder = folder
        self.port = port
        self.address = ""
        self._process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        """Start it; it listens when this returns."""
        environment = {k: v for k, v in os.environ.items() if not k.startswith("FITCHECK_")}
        environment |= {"XDG_DATA_HOME": str(self.folder), "PYTHONPATH": str(ROOT)}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "fitcheck.cli.main", "serve", "--port", str(self.port)],
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._process.stdout is not None
        found = re.search(r"//127\.0\.0\.1:(\d+)/", self._process.stdout.readline())
        assert found, "it does not say where it listens"
        self.port = int(found[1])
        self.address = f"http://127.0.0.1:{self.port}"

    def end(self) -> None:
        """End it."""
        if self._process is not None:
            self._process.terminate()
            self._process.communicate(timeout=20)
            self._process = None


@pytest.fixture(scope="session")
def server(demo_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The pages of a shop with demo data of its own, which may be changed."""
    folder = tmp_path_factory.mktemp("pages") / "shop"
    shutil.copytree(demo_data, folder)
    running = Server(folder)
    running.start()
    yield running
    running.end()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The system's Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=list(QUIET))
        yield started
        started.close()


class Watched:
    """A page that is watched: what it complains of, and what it asks for elsewhere."""

    def __init__(self, page: Page, address: str) -> None:
        self.page = page
        self.address = address
        self.complaints: list[str] = []
        self.elsewhere: list[str] = []
        page.set_default_timeout(PATIENCE_MS)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", self._said)
        page.on("request", self._asked)

    def _said(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def _asked(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:", "blob:")):
            self.elsewhere.append(request.url)

    def go(self, path: str) -> Page:
        """Open a page of the shop's."""
        self.page.goto(f"{self.address}{path}")
        return self.page

    def is_quiet(self) -> bool:
        """Whether nothing was complained of, and nobody else was asked."""
        assert self.complaints == []
        assert self.elsewhere == []
        return True


@pytest.fixture
def opened(chromium: Browser, server: Server) -> Iterator[Any]:
    """Opens a browser of a size; closed at the end of the test."""
    made: list[BrowserContext] = []

    def open_one(size: str = "desktop", **options: Any) -> Watched:
        width, height = SIZES[size]
        context = chromium.new_context(
            viewport={"width": width, "height": height}, accept_downloads=True, **options
        )
        made.append(context)
        return Watched(context.new_page(), server.address)

    yield open_one
    for context in made:
        context.close()
