"""Stock: levels beside scipy's quantiles, and the plan beside the time and memory it may take.

The shops and the stages of the plan are those of `scripts/bench_stock`, each run a process of its
own. Both sides of the levels are whole arrays, and every level is compared.
"""

from __future__ import annotations

import json
import subprocess
import sys

import numpy as np
from scipy.stats import nbinom, poisson  # type: ignore[import-untyped]

from benches import stock_others
from benches.scripts import SCRIPTS, script
from benches.timing import Measured, in_turns
from fitcheck.stock.levels import smallest_level

# What the plan of the largest shop may take: seconds, and MiB.
_MOST_SECONDS, _MOST_MEMORY = 60.0, 4096.0
# The share of asks that a level is to meet.
_WANTED = 0.95


def rows(quick: bool) -> list[Measured]:
    """Levels of a million size-branches, and the plan of the largest shop."""
    return [*_levels(quick), *stock_others.others(quick), *_plan(quick)]


def _levels(quick: bool) -> list[Measured]:
    runs, count = 5, (50_000 if quick else 1_000_000)
    rng = np.random.default_rng(4)
    mean = rng.lognormal(-1.0, 1.5, count)
    found = []
    for name, variance in (("Poisson", mean), ("negative binomial", mean * 1.8)):

        def ours(variance: object = variance) -> object:
            return smallest_level(mean=mean, variance=variance, wanted=_WANTED)  # type: ignore[arg-type]

        def other(name: str = name) -> object:
            if name == "Poisson":
                return poisson.ppf(_WANTED, mean)
            # A variance of 1.8 times the mean.
            return nbinom.ppf(_WANTED, mean / 0.8, 1.0 / 1.8)

        differ = int(np.sum(np.asarray(ours()) != np.asarray(other())))
        taken = in_turns({"ours": ours, "other": other}, runs=runs)
        found.append(
            Measured(
                section="stock",
                what=f"levels of {count:,} size-branches, {name}",
                unit="s",
                ours_runs=taken["ours"],
                other_name="scipy ppf",
                other_runs=taken["other"],
                note=f"{differ} levels differ",
            )
        )
    return found


def _plan(quick: bool) -> list[Measured]:
    largest = script("bench_stock").LARGEST
    shop = (1_000, 10, 10_000) if quick else largest
    runs = []
    for _ in range(5):
        words = [sys.executable, str(SCRIPTS / "bench_stock"), "--one", *map(str, shop)]
        done = subprocess.run(words, capture_output=True, check=True)
        runs.append(json.loads(done.stdout))
    sizes, branches, lines = shop
    what = f"plan of {sizes:,} sizes x {branches} branches, {lines:,} lines"
    complete, single = runs[0]["complete"], runs[0]["single_lines"]
    note = f"{complete:.1%} of jobs complete, {single:.1%} by single lines at the same money"
    return [
        Measured(
            section="stock",
            what=f"{what}: {stage}",
            unit=unit,
            ours_runs=tuple(run[key] for run in runs),
            other_name="what it may take",
            other_runs=(most,) * len(runs),
            target="at most 1",
            note=note,
        )
        for stage, key, unit, most in (
            ("all stages", "all", "s", _MOST_SECONDS),
            ("all stages, processor", "processor", "s", _MOST_SECONDS),
            ("most memory", "megabytes", "MiB", _MOST_MEMORY),
        )
    ]
