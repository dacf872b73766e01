"""Wanted lines crossed with lists: the join alone, and the whole command from file to file.

Every engine answers the same question: for each wanted size the ten cheapest lines whose shaft and
bore lie within 0.5 mm and whose width lies within 0.3 mm; each answer is compared with ours. The
lists stand ready in memory for all; sorting ours into classes is a row of its own.
"""

from __future__ import annotations

import gc
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from math import log
from pathlib import Path
from typing import Any

import bench_cross
import bench_engines as engines
from bench_duckdb import Duck
from bench_files import ROOT, child, write_files

from benches.timing import Measured, in_turns

SECTION = "cross"
FORM = "hash join on cells"
WANTED, LINES = (1_000, 10_000, 100_000), (10_000, 100_000, 1_000_000)
NOISE_UM = 60
# So many pairs of a wanted line and a line, and beyond them only the quickest engine takes part.
MOST_PAIRS = 1_000_000_000


def rows(quick: bool) -> list[Measured]:
    """The figures of the section."""
    most = LINES[1] if quick else LINES[2]
    runs = 2 if quick else 5
    found: list[Measured] = []
    for noise_um in (0, NOISE_UM):
        found += _joins(noise_um, most, runs)
    return found + list(_whole(most, runs))


def _joins(noise_um: int, most: int, runs: int) -> Iterator[Measured]:
    """The join alone: every number of wanted sizes against every length of list."""
    named = f"noise {noise_um} um" if noise_um else "nominal"
    ours: dict[tuple[int, int], float] = {}
    for lines in (count for count in LINES if count <= most):
        lists = bench_cross.invented(lines=lines, wanted=WANTED[-1], noise_um=noise_um)
        joined = bench_cross.Joined(lists, 1)
        for wanted in WANTED:
            gc.collect()
            asked = lists.wanted[:wanted]
            columns = (lists.shaft, lists.bore, lists.width, lists.price)
            others: dict[str, Callable[[], Any]] = {}
            duck = Duck(columns, asked)
            others[f"duckdb, {FORM}"] = partial(duck.join, FORM)
            if wanted * lines <= MOST_PAIRS:
                others["duckdb, range join"] = partial(duck.join, "range join")
                others["duckdb, distinct sizes first"] = partial(duck.join, "distinct sizes first")
                others |= engines.ready(columns, asked)
            what = f"join {wanted:,} x {lines:,}, {named}"
            mine = partial(joined.own, wanted)
            answer = mine()
            for name, job in others.items():
                if not engines.agrees(answer, job()):
                    raise SystemExit(f"{what}: {name} gives other lines")
            times = in_turns({"ours": mine, **others}, runs=runs)
            ours[wanted, lines] = min(times["ours"])
            for name in others:
                target = "1/30" if name.endswith(FORM) and (wanted, lines) == _LARGEST else ""
                yield _row(what, times["ours"], name, times[name], target)
    last = max(lines for _, lines in ours)
    first = min(lines for _, lines in ours)
    by_lines = log(ours[WANTED[-1], last] / ours[WANTED[-1], first]) / log(last / first)
    by_wanted = log(ours[WANTED[-1], last] / ours[WANTED[0], last]) / log(WANTED[-1] / WANTED[0])
    for of, exponent in (("lines", by_lines), ("wanted lines", by_wanted)):
        what = f"growth of the join with {of}, {named}"
        yield Measured(SECTION, what, "", (exponent,), "straight", (1.0,), "1.05")


_LARGEST = (WANTED[-1], LINES[-1])


def _row(
    what: str, ours: tuple[float, ...], other: str, times: tuple[float, ...], target: str = ""
) -> Measured:
    return Measured(SECTION, what, "s", ours, other, times, target)


def _whole(lines: int, runs: int) -> Iterator[Measured]:
    """The command from file to file, and its memory, against DuckDB on lists it has loaded."""
    lists = bench_cross.invented(lines=lines, wanted=WANTED[-1])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        wanted, listed = write_files(lists, folder)
        del lists
        own, other = folder / "lists.sqlite", folder / "lists.duckdb"
        duck = [str(ROOT / "scripts" / "bench_duckdb.py")]
        main = ["fitcheck.cli.main"]
        child([*main, "lists", "add", "big", str(listed)], own)
        child([*duck, "load", str(listed), str(other)], own)
        words = {
            "ours": [*main, "cross", str(wanted), "--list", "big", "--top", "10"],
            "duckdb": [*duck, "cross", str(wanted), str(other), str(folder / "other.csv")],
        }
        words["ours"] += ["-o", str(folder / "own.csv")]
        seconds: dict[str, list[float]] = {key: [] for key in words}
        memory: dict[str, list[float]] = {key: [] for key in words}
        for turn in range(runs + 1):
            for key, command in words.items():
                took, mib = child(command, own)
                if turn:
                    seconds[key].append(took)
                    memory[key].append(mib)
    what = f"cross {WANTED[-1]:,} x {lines:,}, file to file"
    engine = f"duckdb, {FORM}"
    yield _row(what, tuple(seconds["ours"]), engine, tuple(seconds["duckdb"]), "0.333")
    yield Measured(
        SECTION,
        f"{what}, most memory",
        "MiB",
        tuple(memory["ours"]),
        engine,
        tuple(memory["duckdb"]),
        "1536 MiB",
    )
