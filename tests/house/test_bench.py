"""The bench finds its sections and says its figures; the figures themselves are run by hand."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

PROBE = """
import sys
sys.path.insert(0, "scripts")
import bench
from benches.timing import Measured, in_turns
found = in_turns({"a": lambda: None, "b": lambda: None}, runs=5)
row = Measured("probe", "a", "ms", (1.0, 4.0, 2.0), "b", (2.0, 4.0, 8.0), "at most 2")
print(bench.markdown([row]))
import json
print(json.dumps([bench.sections(), {n: len(t) for n, t in found.items()}, row.as_json()]))
"""


def test_the_bench_gathers_its_sections_and_prints_ratios() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROBE], capture_output=True, text=True, check=True, cwd=ROOT
    )
    *table, data = done.stdout.splitlines()
    names, runs, row = json.loads(data)
    assert {"cross", "identify", "lists", "page", "shell", "stock"} == set(names)
    assert runs == {"a": 5, "b": 5}
    assert (row["ratio"], row["best_ratio"]) == (0.5, 0.5)
    assert table[-1] == (
        "| a | 2 ms | 1 ms to 4 ms | b | 4 ms | 2 ms to 8 ms | 0.5 | 0.5 | at most 2 |"
    )


PAGE = """
import sys, json
sys.path.insert(0, "scripts")
from benches import page
from benches.scripts import script
bench = script("bench_web")
def figures(what, users, a_second):
    return bench.Figures(what, users, 100, 0, a_second, 1000.0 / a_second, 2000.0 / a_second)
def rounds(**_):
    kinds = [(bench.BARE, 100.0), (page.LOOK_UP, 80.0)]
    return [[[figures(what, users, rate) for what, rate in kinds]] * 5 for users in (50, 1)]
bench.all_rounds = rounds
print(json.dumps([row.as_json() for row in page.rows(True)]))
"""


def test_the_page_is_held_against_the_bare_endpoint_of_the_same_round() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PAGE], capture_output=True, text=True, check=True, cwd=ROOT
    )
    rows = json.loads(done.stdout)
    assert [(row["ratio"], row["target"]) for row in rows[:3]] == [
        (0.8, "at least 0.5"),
        (1.25, ""),
        (1.25, "below 50 ms"),
    ]
    assert [row["target"] for row in rows[3:]] == ["", "", ""]
    assert {len(row["ours_runs"]) for row in rows} == {5}
