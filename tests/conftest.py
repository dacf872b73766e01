"""What all tests share: how examples are drawn, and how a command is run."""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest
from click.testing import CliRunner
from hypothesis import settings

from fitcheck.cli.main import cli

# The machine may be busy, so no example has a deadline; where a red test must mean a fault of
# the change at hand, the same examples are drawn every time.
settings.register_profile("local", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "local")

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run `fitcheck` with some words: gives (exit status, stdout, stderr).

    What the program does not expect to happen is raised, not turned into a message.
    """
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)

    def fitcheck(*words: str, stdin: str | None = None) -> tuple[int, str, str]:
        result = CliRunner().invoke(
            cli, list(words), input=stdin, prog_name="fitcheck", catch_exceptions=False
        )
        return result.exit_code, result.stdout, result.stderr

    return fitcheck
