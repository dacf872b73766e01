"""Stock beside general engines: the plan beside an exact solver, a history's sums beside others.

The solver gets the whole problem, exactly: a level for each size, and for each kit one combination
of the levels of its sizes, whose share of complete jobs is its worth. That ends at kits of three
sizes; the plan does not need it. A history is read from a file and summed by branch and size: the
others take its words as they stand, ours also checks each line and crosses names of one size.
"""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Callable
from datetime import date, timedelta
from itertools import product
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd
import polars as pl
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]
from scipy.sparse import coo_array  # type: ignore[import-untyped]
from scipy.stats import poisson  # type: ignore[import-untyped]

from benches.timing import Measured, in_turns
from fitcheck.parts.seal import seal_sizes
from fitcheck.stock.history import demand_lines, history_of, read_history
from fitcheck.stock.plan import best_list
from fitcheck.stock.problem import Problem

_RUNS = 5
_MOST = 4
_TODAY = date(2026, 1, 1)

Sums = dict[tuple[str, str], int]


def others(quick: bool) -> list[Measured]:
    """The plan against a mixed-integer solver, and a million lines summed."""
    return [*_plans(quick), *_sums(quick)]


def _shop(seed: int, items: int, kits: int) -> Problem:
    """An invented shop whose kits share sizes, each of one to three of them."""
    rng = np.random.default_rng(seed)
    mean = rng.gamma(1.2, 0.8, items)
    ready = [np.concatenate([[0.0], poisson.cdf(np.arange(_MOST), one)]) for one in mean]
    chosen = [rng.choice(items, size=rng.integers(1, 4), replace=False) for _ in range(kits)]
    per_kit = np.array([len(one) for one in chosen])
    slots = int(per_kit.sum())
    return Problem(
        price=np.round(rng.lognormal(2.5, 0.8, items), 2),
        least=np.zeros(items, dtype=np.int64),
        first=np.ones(items, dtype=np.int64),
        most=np.full(items, _MOST, dtype=np.int64),
        row=np.arange(items + 1) * (_MOST + 1),
        ready=np.concatenate(ready),
        kit_rate=rng.gamma(1.0, 3.0, kits),
        kit_start=np.concatenate([[0], np.cumsum(per_kit)]),
        slot_start=np.arange(slots + 1),
        use_item=np.concatenate(chosen),
        use_quantity=np.ones(slots, dtype=np.int64),
    )


def _solved(problem: Problem, budget: float) -> float:
    """The jobs of the best list, by HiGHS."""
    items, levels = len(problem.price), _MOST + 1
    ready = problem.ready.reshape(items, levels)
    worth = [0.0] * (items * levels)
    entries: list[tuple[int, int, float]] = []
    least: list[float] = []
    most: list[float] = []

    def bound(low: float, high: float, *terms: tuple[int, float]) -> None:
        entries.extend((len(least), at, value) for at, value in terms)
        least.append(low)
        most.append(high)

    for item in range(items):
        bound(1, 1, *((item * levels + level, 1.0) for level in range(levels)))
    spent = ((i * levels + n, n * problem.price[i]) for i in range(items) for n in range(levels))
    bound(0, budget, *spent)
    for kit, rate in enumerate(problem.kit_rate):
        used = problem.use_item[problem.kit_start[kit] : problem.kit_start[kit + 1]]
        # The combinations of a kit's levels: one is taken, and each level with its own.
        first = len(worth)
        kept = list(product(range(levels), repeat=len(used)))
        for one in kept:
            shares = [ready[item, level] for item, level in zip(used, one, strict=True)]
            worth.append(rate * float(np.prod(shares)))
        for place, item in enumerate(used):
            for level in range(levels):
                with_it = [(first + n, 1.0) for n, one in enumerate(kept) if one[place] == level]
                bound(0, 0, *with_it, (int(item) * levels + level, -1.0))
    row, column, value = zip(*entries, strict=True)
    shape = (len(least), len(worth))
    whole = np.zeros(len(worth))
    whole[: items * levels] = 1
    found = milp(
        -np.array(worth),
        constraints=LinearConstraint(coo_array((value, (row, column)), shape), least, most),
        bounds=Bounds(0, 1),
        integrality=whole,
    )
    return -float(found.fun)


def _plans(quick: bool) -> list[Measured]:
    found = []
    for items, kits in ((12, 8), (24, 16)) if quick else ((12, 8), (24, 16), (48, 32)):
        shops = [_shop(seed, items, kits) for seed in range(2 if quick else 5)]
        posed = [(one, 0.3 * float(one.price.sum()) * _MOST) for one in shops]

        def ours(posed: list[tuple[Problem, float]] = posed) -> list[float]:
            return [best_list(problem, budget).jobs for problem, budget in posed]

        def other(posed: list[tuple[Problem, float]] = posed) -> list[float]:
            return [_solved(problem, budget) for problem, budget in posed]

        gap = max(1 - mine / best for mine, best in zip(ours(), other(), strict=True))
        taken = in_turns({"ours": ours, "other": other}, runs=_RUNS)
        found.append(
            Measured(
                section="stock",
                what=f"plans of {len(shops)} shops of {items} sizes and {kits} kits",
                unit="s",
                ours_runs=taken["ours"],
                other_name="HiGHS, exact",
                other_runs=taken["other"],
                note=f"greatest gap {max(gap, 0.0):.2%}",
            )
        )
    return found


def _history(path: Path, lines: int) -> None:
    """An invented history: the sizes of the seal tables at ten branches over three years."""
    rng = np.random.default_rng(7)
    names = [size.label for size in seal_sizes()]
    taken = np.minimum(rng.zipf(1.3, lines) - 1, len(names) - 1)
    with path.open("w", newline="", encoding="utf-8") as file:
        write = csv.writer(file, lineterminator="\n")
        write.writerow(["date", "branch", "job", "part", "quantity"])
        for number, part in enumerate(taken):
            day = date(2023, 1, 1) + timedelta(days=int(number * 1095 / lines))
            write.writerow([day, f"branch {number % 10}", "", names[part], 1 + number % 3])


def _ours(path: str) -> Sums:
    read = read_history(path, today=_TODAY)
    history = history_of(demand_lines(read.lines, read.names))
    places = len(history.branches)
    counted = np.bincount(
        history.part_of * places + history.branch_of,
        weights=history.quantity,
        minlength=places * len(history.parts),
    )
    return {
        (history.branches[at % places], history.parts[at // places]): int(counted[at])
        for at in np.flatnonzero(counted)
    }


def _pandas(path: str) -> Sums:
    frame = pd.read_csv(path, parse_dates=["date"])
    summed = frame.groupby(["branch", "part"])["quantity"].sum()
    return {(str(b), str(p)): int(n) for (b, p), n in summed.items()}


def _polars(path: str) -> Sums:
    summed = (
        pl.read_csv(path, try_parse_dates=True).group_by("branch", "part").agg(pl.sum("quantity"))
    )
    return {(b, p): int(n) for b, p, n in summed.iter_rows()}


def _duckdb(path: str) -> Sums:
    with duckdb.connect() as engine:
        engine.execute("SET threads = 2")
        words = "SELECT branch, part, sum(quantity) FROM read_csv(?) GROUP BY branch, part"
        return {(b, p): int(n) for b, p, n in engine.execute(words, [path]).fetchall()}


def _sums(quick: bool) -> list[Measured]:
    lines = 20_000 if quick else 1_000_000
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "history.csv")
        _history(path, lines)
        ways: dict[str, Callable[[], Sums]] = {
            name: lambda way=way: way(str(path))  # type: ignore[misc]
            for name, way in (
                ("ours", _ours),
                ("pandas", _pandas),
                ("polars", _polars),
                ("DuckDB", _duckdb),
            )
        }
        sums = {name: way() for name, way in ways.items()}
        # Ours has one name for each size; the others have every way it was written.
        total = {name: sum(found.values()) for name, found in sums.items()}
        if len(set(total.values())) != 1:
            raise SystemExit(f"the sums differ: {total}")
        taken = in_turns(ways, runs=_RUNS)
    return [
        Measured(
            section="stock",
            what=f"{lines:,} lines of history, file to sums",
            unit="s",
            ours_runs=taken["ours"],
            other_name=name,
            other_runs=taken[name],
            note=f"{len(sums['ours']):,} sums of ours, {len(sums[name]):,} of the other",
        )
        for name in ("pandas", "polars", "DuckDB")
    ]
