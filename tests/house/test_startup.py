"""A single look-up from the shell feels instant: nothing heavy is imported, and it is timed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from fitcheck.cli.main import COMMANDS

ROOT = Path(__file__).parents[2]
HEAVY = {
    "alembic",
    "fastapi",
    "hypothesis",
    "jinja2",
    "matplotlib",
    "msgspec",
    "numpy",
    "openpyxl",
    "pandas",
    "pint",
    "psycopg",
    "pydantic",
    "rapidfuzz",
    "scipy",
    "sqlalchemy",
    "uvicorn",
}

PROBE = """
import json, sys
from fitcheck.cli.main import run
status = run(sys.argv[1:])
names = sorted({name.partition(".")[0] for name in sys.modules})
ours = sorted(name for name in sys.modules if name.startswith("fitcheck."))
print(json.dumps({"status": status, "names": names, "ours": ours}), file=sys.stderr)
"""

LOOK_UPS = [
    ["--help"],
    ["--version"],
    ["fit", "30", "H7/g6"],
    ["seal", "--shaft", "35", "--bore", "52"],
    ["bearing", "--bore", "30", "--od", "62"],
    ["sleeve", "--shaft", "35", "--track", "34.8"],
    ["tables"],
    ["tables", "show", "seals/din3760"],
    *([name, "--help"] for name in COMMANDS),
]


def probe(words: list[str]) -> dict[str, object]:
    """Run one command in a fresh Python and look at what it imported."""
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *words],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    found: dict[str, object] = json.loads(done.stderr.splitlines()[-1])
    return found


@pytest.mark.parametrize("words", LOOK_UPS, ids=" ".join)
def test_a_look_up_imports_nothing_heavy(words: list[str]) -> None:
    found = probe(words)
    assert found["status"] == 0
    assert HEAVY.intersection(found["names"]) == set()  # type: ignore[call-overload]


def test_help_imports_no_command() -> None:
    assert probe(["--help"])["ours"] == [
        "fitcheck.cli",
        "fitcheck.cli.common",
        "fitcheck.cli.main",
        "fitcheck.errors",
    ]


def test_help_needs_one_package_from_outside() -> None:
    found = probe(["--help"])["names"]
    outside = set(found) - set(sys.stdlib_module_names)  # type: ignore[call-overload]
    # The folder's own path file, where it is installed in place, may bring a finder with it.
    named = {name for name in outside if not name.startswith(("_", "sitecustomize"))}
    assert named <= {"click", "colorama", "fitcheck"}
