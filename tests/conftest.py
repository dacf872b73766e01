"""What all tests share: how examples are drawn, and how a command is run."""

from __future__ import annotations

import glob
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import settings

from fitcheck.cli.main import cli

# The machine may be busy, so no example has a deadline; where a red test must mean a fault of
# the change at hand, the same examples are drawn every time.
settings.register_profile("local", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "local")

# Nobody's own store is touched by a test.
os.environ.pop("FITCHECK_DATABASE", None)

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Run `fitcheck` with some words: gives (exit status, stdout, stderr).

    What the program does not expect to happen is raised, not turned into a message.
    """
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))

    def fitcheck(*words: str, stdin: str | bytes | None = None) -> tuple[int, str, str]:
        result = CliRunner().invoke(
            cli, list(words), input=stdin, prog_name="fitcheck", catch_exceptions=False
        )
        return result.exit_code, result.stdout, result.stderr

    return fitcheck


# --- the shop's store -----------------------------------------------------------------------------

_numbers = count(1)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """A PostgreSQL of our own for the time of the tests; gives the folder of its socket."""
    places = glob.glob("/usr/lib/postgresql/*/bin") or [
        os.path.dirname(shutil.which("initdb") or "")
    ]
    binaries = max(places, key=lambda place: [int(n) for n in place.split("/") if n.isdigit()])
    # The server refuses to run as root.
    # It lies where the paths of some shells don't reach.
    runuser = shutil.which("runuser", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
    words = [runuser or "runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    folder = tempfile.mkdtemp(prefix="fitcheck-pg-")
    if words:
        shutil.chown(folder, "postgres")

    def server(program: str, *options: str) -> None:
        with Path(folder, "out").open("ab") as log:
            subprocess.run(
                [*words, f"{binaries}/{program}", "-D", f"{folder}/data", *options],
                check=True,
                stdout=log,
                stderr=log,
                cwd=folder,
            )

    try:
        server("initdb", "-A", "trust", "-U", "shop", "-E", "UTF8", "--no-sync")
        settings = f"-c listen_addresses= -c unix_socket_directories={folder} -c fsync=off"
        server("pg_ctl", "-w", "-l", f"{folder}/log", "-o", settings, "start")
        yield folder
        server("pg_ctl", "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def shop(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A place for a store that isn't there yet, on each database; FITCHECK_DATABASE names it."""
    if request.param == "sqlite":
        place = str(tmp_path / "shop" / "fitcheck.sqlite")
    else:
        import psycopg

        folder = request.getfixturevalue("postgresql")
        name = f"shop_{next(_numbers)}"
        with psycopg.connect(
            host=folder, user="shop", dbname="postgres", autocommit=True
        ) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        place = f"postgresql+psycopg://shop@/{name}?host={folder}"
    monkeypatch.setenv("FITCHECK_DATABASE", place)
    return place
