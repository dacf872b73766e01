#!/usr/bin/env python3
"""Measure fitcheck beside what else would do the job, and print one table.

Each section is a module of the folder `benches` with a function `rows(quick)`; a module that is
added there is found by its name. No section uses the network.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
from collections.abc import Sequence
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "scripts")]

from benches.timing import Measured  # noqa: E402

# Not a section: what the sections share.
SHARED = {"__init__", "scripts", "stock_others", "timing"}


def sections() -> list[str]:
    """The names of the sections, in alphabetical order."""
    found = (ROOT / "scripts" / "benches").glob("*.py")
    return sorted(path.stem for path in found if path.stem not in SHARED)


def markdown(rows: Sequence[Measured]) -> str:
    """The figures as a Markdown table."""
    lines = [
        "| what | ours | spread | the other | its figure | spread | ratio | best | target |",
        "|---|--:|--:|---|--:|--:|--:|--:|--:|",
    ]
    for row in rows:
        cells = (
            row.what,
            row.text(row.ours),
            row.spread(row.ours_runs),
            row.other_name,
            row.text(row.other),
            row.spread(row.other_runs),
            f"{row.ratio:.3g}",
            f"{row.best_ratio:.3g}",
            row.target,
        )
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def versions() -> dict[str, str]:
    """What was measured with."""
    found = {"python": platform.python_version(), "machine": f"{os.cpu_count()} cores"}
    for name in ("click", "numpy", "pandas", "duckdb", "polars", "scipy", "fastapi"):
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            continue
    return found


def main() -> None:
    """Run the sections that were asked for and print their figures."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--only", action="append", choices=sections(), help="only this section")
    parser.add_argument("--quick", action="store_true", help="few runs, small tables")
    parser.add_argument("--json", action="store_true", help="print JSON alone, not the table")
    given = parser.parse_args()
    rows: list[Measured] = []
    for name in given.only or sections():
        print(f"{name} ...", file=sys.stderr)
        rows += import_module(f"benches.{name}").rows(given.quick)
    record = {"versions": versions(), "rows": [row.as_json() for row in rows]}
    if not given.json:
        print(markdown(rows))
        print()
    print(json.dumps(record, indent=1))


if __name__ == "__main__":
    main()
