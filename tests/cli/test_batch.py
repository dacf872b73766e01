"""`fitcheck batch`: files in and out, and what is left behind when something goes wrong."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from fitcheck.job.batch.answer import AT_ONCE

ROOT = Path(__file__).parents[2]
Run = Callable[..., tuple[int, str, str]]
TABLE = "id,part,shaft,bore\n1,seal,34.95,52.02\nx,seal,what,52\n"
SUMMARY = "fitcheck: 1 of 2 rows were refused; the column finding says why\n"


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """A small table of readings."""
    path = tmp_path / "readings.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


def command(*words: str) -> list[str]:
    """The words that start the program in a process of its own."""
    return [sys.executable, "-m", "fitcheck.cli.main", "batch", *words]


def files(folder: Path) -> list[str]:
    """The names of every file in a folder, hidden ones included."""
    return sorted(os.listdir(folder))


def test_the_answers_go_to_stdout(run: Run, source: Path) -> None:
    status, out, err = run("batch", str(source))
    assert (status, err) == (0, SUMMARY)
    lines = out.splitlines()
    assert lines[0] == "id,rank,size,probability,verdict,finding,next_reading"
    assert lines[1].startswith("1,1,35 x 52 x ")
    assert lines[-1].startswith('x,,,,refused,"shaft what: a value starts with a number')


def test_stdin_and_a_file_give_the_same(run: Run, source: Path, tmp_path: Path) -> None:
    target = tmp_path / "answers.csv"
    assert run("batch", "-", "-o", str(target), stdin=TABLE) == (0, "", SUMMARY)
    status, out, _ = run("batch", str(source), "-o", "-")
    assert status == 0
    # Every line ends as RFC 4180 says.
    written = target.read_bytes()
    assert written.count(b"\r\n") == written.count(b"\n") > 3
    assert written.decode("utf-8").splitlines() == out.splitlines()


def test_json_gives_the_counts(run: Run, source: Path, tmp_path: Path) -> None:
    status, out, _ = run("batch", str(source), "-o", str(tmp_path / "a.csv"), "--json")
    assert status == 0
    assert json.loads(out) == {
        "rows": 2,
        "answered": 1,
        "refused": 1,
        "by_verdict": {"go": 0, "check": 1, "no-go": 0, "refused": 1},
    }


def test_json_needs_a_file_for_the_answers(run: Run, source: Path) -> None:
    status, out, err = run("batch", str(source), "--json")
    assert (status, out) == (2, "")
    assert "can't both go to stdout" in err


def test_options_reach_the_rows(run: Run, source: Path) -> None:
    status, out, _ = run("batch", str(source), "--top", "1", "--no-next")
    assert status == 0
    rows = list(csv.DictReader(out.splitlines()))
    assert [row["rank"] for row in rows] == ["1", ""]
    assert {row["next_reading"] for row in rows} == {""}
    assert run("batch", str(source), "--top", "0")[0] == 2
    assert run("batch", str(source), "--certainty", "0.1")[0] == 2
    inches = "part,shaft,bore\nseal,1.375,2.125\n"
    assert "1.375 x 2.125" in run("batch", "-", "--unit", "in", stdin=inches)[1]


def test_a_byte_order_mark_is_no_part_of_the_header(run: Run, source: Path) -> None:
    source.write_bytes(b"\xef\xbb\xbf" + TABLE.replace("\n", "\r\n").encode())
    assert run("batch", str(source))[1] == run("batch", "-", stdin=TABLE)[1]
    assert run("batch", "-", stdin="\ufeff" + TABLE)[0] == 0


@pytest.mark.parametrize(
    ("raw", "where"),
    [
        (TABLE.encode() + b"caf\xe9,seal,35,52\n", "line 4"),
        (TABLE.encode("utf-16"), "line 1"),
        (TABLE.encode() * 50_000 + b"caf\xe9,seal,35,52\n", "line 150001"),
        (TABLE.encode() + b"caf\xc3", ""),
    ],
    ids=["latin-1", "utf-16", "far down", "cut off"],
)
def test_what_is_no_utf8_is_refused_whole(
    run: Run, source: Path, tmp_path: Path, raw: bytes, where: str
) -> None:
    source.write_bytes(raw)
    for words in ([], ["-o", str(tmp_path / "answers.csv")]):
        status, out, err = run("batch", str(source), *words)
        assert (status, out) == (2, "")
        assert "not UTF-8 text" in err
        assert where in err
    assert files(tmp_path) == ["readings.csv"]


@pytest.mark.parametrize("text", ["", "1,seal,35\n", "id,part,shafts\n"])
def test_a_wrong_header_leaves_nothing(run: Run, tmp_path: Path, text: str) -> None:
    status, out, err = run("batch", "-", "-o", str(tmp_path / "answers.csv"), stdin=text)
    assert (status, out) == (2, "")
    assert "the first line" in err or "first line names" in err
    assert files(tmp_path) == []


def test_missing_files_and_folders(run: Run, source: Path, tmp_path: Path) -> None:
    assert run("batch", str(tmp_path / "no.csv"))[0] == 2
    assert run("batch", str(tmp_path))[0] == 2
    for target in (tmp_path / "no" / "answers.csv", tmp_path):
        status, _, err = run("batch", str(source), "-o", str(target))
        assert status == 2
        assert str(target) in err
    assert files(tmp_path) == ["readings.csv"]


def test_the_readings_are_never_written_over(run: Run, source: Path, tmp_path: Path) -> None:
    (tmp_path / "link.csv").symlink_to(source)
    (tmp_path / "hard.csv").hardlink_to(source)
    for name in ("readings.csv", "link.csv", "hard.csv", "../" + tmp_path.name + "/readings.csv"):
        status, _, err = run("batch", str(source), "-o", str(tmp_path / name))
        assert status == 2
        assert "the answers would replace the readings" in err
    with source.open() as handle:
        done = subprocess.run(
            command("-", "-o", str(source)),
            stdin=handle,
            capture_output=True,
            cwd=ROOT,
            check=False,
        )
    assert done.returncode == 2
    assert source.read_text(encoding="utf-8") == TABLE


def test_earlier_answers_are_replaced_and_keep_their_mode(
    run: Run, source: Path, tmp_path: Path
) -> None:
    target = tmp_path / "answers.csv"
    target.write_text("old\n", encoding="utf-8")
    target.chmod(0o640)
    (tmp_path / "link.csv").symlink_to(target)
    assert run("batch", str(source), "-o", str(tmp_path / "link.csv"))[0] == 0
    assert (tmp_path / "link.csv").is_symlink()
    assert target.read_text(encoding="utf-8").startswith("id,rank")
    assert target.stat().st_mode & 0o777 == 0o640


def test_a_device_is_written_and_not_replaced(run: Run, source: Path) -> None:
    assert run("batch", str(source), "-o", os.devnull)[0] == 0
    assert not Path(os.devnull).is_file()


@pytest.mark.parametrize(
    ("number", "status"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129), (signal.SIGINT, 130)]
)
def test_a_run_that_is_ended_leaves_no_file(
    tmp_path: Path, number: signal.Signals, status: int
) -> None:
    target = tmp_path / "answers.csv"
    with subprocess.Popen(
        command("-", "-o", str(target)),
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        # A shell's background job ignores the interrupt, and what it starts inherits that.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),  # noqa: PLW1509
    ) as process:
        assert process.stdin is not None
        process.stdin.write(TABLE.encode() + b"1,seal,34.95,52.02\n" * 20_000)
        process.stdin.flush()
        until = time.monotonic() + 60
        while not any(name.endswith(".part") for name in files(tmp_path)):
            assert process.poll() is None
            assert time.monotonic() < until
            time.sleep(0.01)
        process.send_signal(number)
        # It was waiting for more rows, and is told to end meanwhile.
        assert process.wait(60) == status
    assert files(tmp_path) == []


def test_a_reader_that_stops_early_is_no_fault(source: Path) -> None:
    source.write_text(TABLE + "1,seal,34.95,52.02\n" * 50_000, encoding="utf-8")
    with subprocess.Popen(
        command(str(source)), stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.wait(60) == 1
        assert process.stderr.read() == b""


def test_a_full_disk_is_told(source: Path) -> None:
    done = subprocess.run(
        command(str(source), "-o", "/dev/full"),
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.startswith("fitcheck: /dev/full: it can't be written to the end")


def test_how_long_rows_that_are_piped_in_wait_is_said(run: Run) -> None:
    text = " ".join(run("batch", "--help")[1].split())
    assert f"answered when there are {AT_ONCE} of them, or at the end" in text
