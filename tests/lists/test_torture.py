"""Invented lists, each another mess: every line is accounted for, and says what it must."""

from __future__ import annotations

import csv
import subprocess
import sys
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from fitcheck.lists.files import look_at, read_chunks
from fitcheck.lists.lines import Remark
from fitcheck.lists.understand import ListReading, read_list

ROOT = Path(__file__).parents[2]
FOLDER = Path(__file__).parent / "torture"
FILES = sorted(path.name for path in FOLDER.iterdir() if path.name != "answers.csv")

# What the mess is about, beside the sizes and part numbers of answers.csv.
REPAIRED = {
    "16-short-rows.csv": 8,
    "34-other-order.csv": 8,
    "46-money.csv": 5,
    "49-bearings.csv": 2,
    "53-workbook-dates.xlsx": 1,
    "54-workbook-formulas.xlsx": 1,
}


def read(name: str) -> tuple[ListReading, dict[int, dict[str, Any]], list[Remark]]:
    """A file of the folder: the reading, its kept lines by number, and the remarks."""
    reading = read_list(str(FOLDER / name))
    lines: dict[int, dict[str, Any]] = {}
    remarks: list[Remark] = []
    for block, found in reading.blocks():
        names = list(block.columns)
        for values in zip(*block.columns.values(), strict=True):
            row = dict(zip(names, values, strict=True))
            lines[row["line"]] = row
        remarks += found
    return reading, lines, remarks


def answers() -> dict[str, list[dict[str, str]]]:
    """What the files hold."""
    found: dict[str, list[dict[str, str]]] = defaultdict(list)
    with (FOLDER / "answers.csv").open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            found[row["file"]].append(row)
    return found


ANSWERS = answers()


def test_there_are_forty_files_and_more() -> None:
    assert len(FILES) >= 40
    assert set(FILES) == set(ANSWERS)


def test_the_files_are_what_the_script_writes() -> None:
    script = ROOT / "scripts" / "make_torture_lists.py"
    subprocess.run([sys.executable, str(script), "--check"], check=True)


@pytest.mark.parametrize("name", FILES)
def test_every_line_says_what_it_must(name: str) -> None:
    _, lines, remarks = read(name)
    refused = {remark.line: remark for remark in remarks if remark.outcome == "refused"}
    for answer in ANSWERS[name]:
        line = int(answer["line"])
        if answer["outcome"]:
            assert line in refused, answer
            assert line not in lines
            continue
        assert line not in refused, refused.get(line)
        found = lines[line]
        assert (found["part_number"] or "") == answer["part_number"]
        for size in ("shaft_um", "bore_um", "width_um"):
            wanted = int(answer[size]) if answer[size] else None
            assert found[size] == wanted, (answer, found)


@pytest.mark.parametrize("name", FILES)
def test_every_line_is_accounted_for(name: str) -> None:
    reading, lines, remarks = read(name)
    tally = reading.tally
    assert tally.accepted + tally.repaired + tally.refused == tally.lines == len(ANSWERS[name])
    assert tally.accepted + tally.repaired == len(lines)
    by_outcome = {
        outcome: {remark.line for remark in remarks if remark.outcome == outcome}
        for outcome in ("repaired", "refused", "skipped", "noted")
    }
    assert len(by_outcome["refused"]) == tally.refused
    assert len(by_outcome["repaired"]) == tally.repaired == len(by_outcome["repaired"] & set(lines))
    # Rows of the file: the header once, the lines, and what is skipped and told.
    path = str(FOLDER / name)
    rows = sum(len(chunk.rows) for chunk in read_chunks(path, look_at(path)))
    header = 1 if reading.plan.header_line else 0
    assert rows == header + tally.lines + tally.skipped
    assert bool(tally.skipped) == bool(by_outcome["skipped"])


@pytest.mark.parametrize(("name", "count"), REPAIRED.items())
def test_what_is_changed_is_told(name: str, count: int) -> None:
    reading, _, remarks = read(name)
    assert reading.tally.repaired == count, [r for r in remarks if r.outcome == "repaired"]
    for remark in remarks:
        assert remark.reason
        assert remark.line > 0
