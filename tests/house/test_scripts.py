"""The scripts: what they do about Debian packages, with and without the right to install them."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPTS = [
    ROOT / "scripts" / name for name in ("setup", "demo", "test", "check_data", "bench_identify")
]
NEEDS = ["'frobber browser the bench page'", "'gadget server the shop store'"]


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """Stand-ins for the programs that tell and change what a machine has: frobber is missing."""
    folder = tmp_path / "bin"
    folder.mkdir()
    programs = {
        "dpkg-query": '[ "${!#}" = gadget ] && echo -n installed',
        "id": "echo 1000",
        "sudo": "exit 1",
        "apt-get": 'echo "$*" >>"$LOG"',
    }
    for name, text in programs.items():
        (folder / name).write_text(f"#!/bin/bash\n{text}\n", encoding="utf-8")
        (folder / name).chmod(0o755)
    return folder


def left_out(machine: Path, *, ci: str) -> subprocess.CompletedProcess[str]:
    """Ask what is left out on a machine."""
    return subprocess.run(
        ["bash", "-euo", "pipefail", "-c", f". scripts/lib.sh; left_out {' '.join(NEEDS)}"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={"PATH": f"{machine}:{os.defpath}", "CI": ci, "LOG": str(machine / "log")},
    )


def test_without_the_right_to_install_it_says_what_is_left_out(machine: Path) -> None:
    done = left_out(machine, ci="")
    assert (done.returncode, done.stdout) == (0, "browser\n")
    assert done.stderr == "Left out: the bench page (needs the Debian package frobber).\n"


def test_under_ci_nothing_is_left_out(machine: Path) -> None:
    done = left_out(machine, ci="true")
    assert (done.returncode, done.stdout) == (1, "")
    assert "The Debian package frobber can't be installed" in done.stderr


def test_as_root_it_installs_what_is_missing_and_no_more(machine: Path) -> None:
    (machine / "id").write_text("#!/bin/bash\necho 0\n", encoding="utf-8")
    done = left_out(machine, ci="true")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    log = (machine / "log").read_text(encoding="utf-8")
    assert log == "-qq install -y --no-install-recommends frobber\n"


def test_an_install_that_fails_is_an_error_under_ci(machine: Path) -> None:
    (machine / "id").write_text("#!/bin/bash\necho 0\n", encoding="utf-8")
    (machine / "apt-get").write_text("#!/bin/bash\nexit 100\n", encoding="utf-8")
    assert left_out(machine, ci="true").returncode == 1
    assert left_out(machine, ci="").stdout == "browser\n"


@pytest.mark.parametrize("path", [*SCRIPTS, ROOT / ".ci" / "run"], ids=lambda path: path.name)
def test_scripts_can_be_run(path: Path) -> None:
    assert os.access(path, os.X_OK)
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first in ("#!/usr/bin/env bash", "#!/usr/bin/env python3")
    if first.endswith("bash"):
        subprocess.run(["bash", "-n", str(path)], check=True)
