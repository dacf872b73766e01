"""The bench page for tests: in this process, with the shop's own data in a folder of the test."""

from __future__ import annotations

import asyncio
import json
import shutil
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import httpx
import pytest
from argon2 import PasswordHasher
from click.testing import CliRunner
from fastapi import FastAPI

from fitcheck.cli.main import cli
from fitcheck.web.app import create_app
from fitcheck.web.settings import Limits, Settings

DEMO = Path(__file__).parents[2] / "data" / "demo"
PASSPHRASE = "three wet ropes"


class Browser:
    """Asks an application in this process, and keeps its cookies and its token."""

    def __init__(
        self, app: FastAPI, *, host: str = "localhost", address: str = "127.0.0.1"
    ) -> None:
        self.app = app
        self.cookies = httpx.Cookies()
        self._base, self._address = f"http://{host}", address

    def ask(self, method: str, path: str, **options: Any) -> httpx.Response:
        """Send one request."""

        async def sent() -> httpx.Response:
            transport = httpx.ASGITransport(
                self.app, raise_app_exceptions=False, client=(self._address, 5000)
            )
            async with httpx.AsyncClient(
                transport=transport, base_url=self._base, cookies=self.cookies
            ) as client:
                answer = await client.request(method, path, **options)
                self.cookies = client.cookies
                return answer

        # In a thread of its own: where Chromium was driven before, a loop is running in this one.
        with ThreadPoolExecutor(1) as thread:
            return thread.submit(lambda: asyncio.run(sent())).result()

    def get(self, path: str, **options: Any) -> httpx.Response:
        """Ask for something."""
        return self.ask("GET", path, **options)

    def post(self, path: str, **options: Any) -> httpx.Response:
        """Send something, without a token."""
        return self.ask("POST", path, **options)

    def token(self) -> str:
        """The session's token."""
        return str(self.get("/api/session").json()["csrf_token"])

    def send(self, path: str, **options: Any) -> httpx.Response:
        """Send something that changes the store, with the token."""
        return self.post(path, headers={"X-CSRF-Token": self.token()}, **options)


@pytest.fixture
def shop(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder for the shop's own data; nothing is in it yet."""
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)
    monkeypatch.delenv("FITCHECK_DATABASE", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    return tmp_path


@pytest.fixture
def browser(shop: Path) -> Browser:
    """A browser on this machine, where nobody is asked for a passphrase."""
    return Browser(create_app(Settings()))


@pytest.fixture(scope="session")
def passphrase_hash() -> str:
    """The hash of the passphrase, made cheaply."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSPHRASE)


@pytest.fixture
def guarded(shop: Path, passphrase_hash: str) -> Browser:
    """A browser somewhere in the shop, which is asked for the passphrase."""
    settings = Settings(
        host="0.0.0.0", names=("bench.local",), passphrase_hash=passphrase_hash, secret="s" * 40
    )
    return Browser(create_app(settings), host="bench.local:8137", address="192.168.7.20")


@pytest.fixture
def limited(shop: Path) -> Callable[..., Browser]:
    """Makes a browser on a page with limits of its own."""

    def make(**limits: Any) -> Browser:
        return Browser(create_app(Settings(limits=replace(Limits(), **limits))))

    return make


def _filled(folder: Path) -> None:
    commands = [
        ["lists", "add", "quay", str(DEMO / "lists/north_quay_invented.csv")],
        ["lists", "add", "harbour_road", str(DEMO / "lists/harbour_road_invented.csv")],
        ["jobs", "keep", str(DEMO / "winch.toml")],
        *(
            ["stock", kind, "add", str(DEMO / f"stock/{kind}.csv")]
            for kind in ("history", "fleet", "terms", "shelf")
        ),
    ]
    environment = {"XDG_DATA_HOME": str(folder), "FITCHECK_DATABASE": ""}
    for words in commands:
        remarks = ["--remarks", str(folder / "r.csv")] if words[0] == "lists" else []
        done = CliRunner(env=environment).invoke(cli, [*words, *remarks], catch_exceptions=False)
        assert done.exit_code == 0, done.output


@pytest.fixture(scope="session")
def demo_data(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The data folder of a shop with lists, a card and records; it is only read."""
    folder = tmp_path_factory.mktemp("demo-shop")
    _filled(folder)
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def demo(demo_data: Path, monkeypatch: pytest.MonkeyPatch) -> Browser:
    """A browser on a page whose shop has the demo data; nothing may be changed in it."""
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)
    monkeypatch.delenv("FITCHECK_DATABASE", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(demo_data))
    return Browser(create_app(Settings()))


def error_of(answer: httpx.Response) -> dict[str, str]:
    """The error of an answer, which has all its three parts and nothing of the program's inside."""
    found = answer.json()["error"]
    assert set(found) == {"value", "rule", "todo"}
    assert all(isinstance(text, str) and text for text in found.values()), found
    assert "Traceback" not in json.dumps(found)
    assert "site-packages" not in json.dumps(found)
    return dict(found)
