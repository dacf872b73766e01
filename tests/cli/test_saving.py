"""Answer files: what a killed run left half-written is cleared away, and nothing else is."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from fitcheck.cli import saving

LEFT = ".fitcheck-0123456789ab.part"
OLD = time.time() - 3600.0


def left(folder: Path, name: str = LEFT, *, moment: float = OLD) -> Path:
    """A half-written file of a run before."""
    path = folder / name
    path.write_text("half", encoding="utf-8")
    os.utime(path, (moment, moment))
    return path


def test_what_a_killed_run_left_goes_with_the_next_answer(tmp_path: Path) -> None:
    path = left(tmp_path)
    saving.write_bytes(str(tmp_path / "answer"), b"whole")
    assert not path.exists()
    assert [entry.name for entry in tmp_path.iterdir()] == ["answer"]


@pytest.mark.parametrize(
    "name", ["notes.part", ".fitcheck-0123456789ab.part.csv", ".fitcheck-x.part"]
)
def test_other_files_stay(tmp_path: Path, name: str) -> None:
    path = left(tmp_path, name)
    saving.write_bytes(str(tmp_path / "answer"), b"whole")
    assert path.exists()


def test_what_is_young_or_being_written_stays(tmp_path: Path) -> None:
    young = left(tmp_path, moment=time.time())
    saving.write_bytes(str(tmp_path / "answer"), b"whole")
    assert young.exists()
    young.unlink()
    with saving.complete(str(tmp_path / "slow")) as path:
        Path(path).write_text("half", encoding="utf-8")
        os.utime(path, (OLD, OLD))
        saving.write_bytes(str(tmp_path / "answer"), b"whole")
    assert (tmp_path / "slow").read_text(encoding="utf-8") == "half"


def test_an_answer_keeps_the_rights_of_the_file_it_replaces(tmp_path: Path) -> None:
    path = tmp_path / "answer"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o640)
    saving.write_bytes(str(path), b"new")
    assert (path.read_text(encoding="utf-8"), path.stat().st_mode & 0o777) == ("new", 0o640)
