"""A digit that slipped in a table of bearings is against the designation or the series code."""

from __future__ import annotations

import csv
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

import data_shapes  # noqa: E402

CHECKS = (data_shapes.check_series, data_shapes.check_codes)
# Digits of bore, outside diameter and width of the metric bearings that may slip unseen, at most.
UNSEEN = 0.30


def records(path: Path) -> list[dict[str, Any]]:
    """A table as the checks take it."""
    with path.open(encoding="utf-8", newline="") as handle:
        return [
            {name: data_shapes.Cell(line, 1, cell) for name, cell in row.items()}
            for line, row in enumerate(csv.DictReader(handle), 2)
        ]


def faults(path: Path, rows: list[dict[str, Any]]) -> list[str]:
    """What the checks have against some rows."""
    report = data_shapes.Report(path.parents[1])
    for check in CHECKS:
        check(report, path, list(rows))
    return report.faults


@pytest.mark.parametrize("name", ["tapered/metric", "ball/sizes", "roller/sizes"])
def test_the_shipped_bearings_pass(name: str) -> None:
    path = ROOT / "data" / f"{name}.csv"
    assert faults(path, records(path)) == []


@pytest.mark.parametrize(
    ("designation", "column", "cell", "said"),
    [
        ("30206", "bore_mm", "35", "is not the bore of 30206, which is 30"),
        ("302/22", "bore_mm", "25", "is not the bore of 302/22, which is 22"),
        ("30206", "od_mm", "26", "is less than that of"),
        ("30206", "od_mm", "68", "its diameter"),
        ("30206", "width_mm", "71.25", "its width"),
        ("31312", "e_factor", "0.38", "its angle"),
        ("30206", "iso355_series", "9XX", "against the series"),
    ],
)
def test_a_slip_is_told(designation: str, column: str, cell: str, said: str) -> None:
    path = ROOT / "data" / "tapered" / "metric.csv"
    rows = records(path)
    row = next(r for r in rows if r["designation"].text == designation)
    row[column] = data_shapes.Cell(row[column].line, 1, cell)
    assert any(said in fault for fault in faults(path, rows))


def test_most_slips_of_a_digit_are_seen() -> None:
    """Each digit of each dimension of every tenth bearing, one more and one less."""
    path = ROOT / "data" / "tapered" / "metric.csv"
    rows, tried, unseen = records(path), 0, 0
    for row in rows[::10]:
        group = [r for r in rows if r["series"].text == row["series"].text]
        for column in ("bore_mm", "od_mm", "width_mm"):
            was = row[column]
            for place, digit in enumerate(was.text):
                for step in (-1, 1) if digit.isdigit() else ():
                    slipped = f"{was.text[:place]}{(int(digit) + step) % 10}{was.text[place + 1 :]}"
                    row[column] = data_shapes.Cell(was.line, 1, slipped)
                    tried += 1
                    unseen += not faults(path, group)
            row[column] = was
    print(f"{tried} slips, {tried - unseen} seen")
    assert tried > 300
    assert unseen <= UNSEEN * tried


def test_the_script_runs_them_and_compares_with_the_manifest(tmp_path: Path) -> None:
    data = tmp_path / "data"
    shutil.copytree(ROOT / "data" / "tapered", data / "tapered")
    shutil.copy(ROOT / "data" / "manifest.json", data)
    metric = data / "tapered" / "metric.csv"
    metric.write_text(
        metric.read_text(encoding="utf-8").replace("\n30204,302,20,47,", "\n30204,302,20,74,"),
        encoding="utf-8",
    )
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "check_data"), str(data)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert 'metric.csv:4:4: od_mm: "74" is against the series 2DB' in done.stderr
    assert "data/tapered/metric.csv: not as data/manifest.json has it" in done.stderr
    assert "Run scripts/make_manifest.py once the change is meant" in done.stderr
