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
    assert {"identify", "shell"} <= set(names)
    assert runs == {"a": 5, "b": 5}
    assert (row["ratio"], row["best_ratio"]) == (0.5, 0.5)
    assert table[-1] == (
        "| a | 2 ms | 1 ms to 4 ms | b | 4 ms | 2 ms to 8 ms | 0.5 | 0.5 | at most 2 |"
    )
