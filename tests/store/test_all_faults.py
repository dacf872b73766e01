"""Whatever fails outside the program, nothing is lost; the script does far more when it is run."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
# One of each kind: a file made whole, one made line by line, and two that go into the store.
COMMANDS = ["hub --xlsx", "cross -o", "lists add", "jobs keep"]


def tried(*words: str) -> str:
    """Run the script over a few trials; gives its table."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "faults"), "--lines", "400", *words],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.rstrip().endswith("tried, 0 lost")
    return done.stdout


def test_nothing_is_lost() -> None:
    out = tried(
        *("--rounds", "1", "--only", "kill", "locked", "disk", "damage"), "--commands", *COMMANDS
    )
    for name in COMMANDS:
        assert f"| killed | {name} |" in out
    assert "| store damaged | cut short |" in out


@pytest.mark.postgres
def test_a_server_that_stops_loses_nothing() -> None:
    assert "| server stopped | lists add | 2 |" in tried("--rounds", "2", "--only", "server")
