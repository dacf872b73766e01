"""What the sections share: a measured row, and runs that take turns."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import median
from typing import Any


@dataclass(frozen=True, slots=True)
class Measured:
    """One line of the table: ours and another way to do it, run by run, in turns.

    ``ratio`` is the median over the turns of ours divided by the other: what slows the machine
    down for a while slows both.
    """

    section: str
    what: str
    unit: str
    ours_runs: tuple[float, ...]
    other_name: str
    other_runs: tuple[float, ...]
    target: str = ""
    note: str = ""

    @property
    def ours(self) -> float:
        """The median of our runs."""
        return median(self.ours_runs)

    @property
    def other(self) -> float:
        """The median of the other's runs."""
        return median(self.other_runs)

    @property
    def ratio(self) -> float:
        """Ours divided by the other."""
        pairs = zip(self.ours_runs, self.other_runs, strict=True)
        return median(ours / other for ours, other in pairs)

    @property
    def best_ratio(self) -> float:
        """Our best run divided by the other's best: what a machine that is idle would show."""
        best = max if self.unit.endswith("/s") else min
        return best(self.ours_runs) / best(self.other_runs)

    def text(self, value: float) -> str:
        """A figure with its unit."""
        return (f"{value:,.0f}" if value >= 100 else f"{value:.3g}") + f" {self.unit}".rstrip()

    def spread(self, runs: tuple[float, ...]) -> str:
        """The least and the most of some runs."""
        return f"{self.text(min(runs))} to {self.text(max(runs))}"

    def as_json(self) -> dict[str, Any]:
        """The line as data."""
        return {
            "section": self.section,
            "what": self.what,
            "unit": self.unit,
            "ours": self.ours,
            "ours_runs": list(self.ours_runs),
            "other": self.other_name,
            "other_value": self.other,
            "other_runs": list(self.other_runs),
            "ratio": self.ratio,
            "best_ratio": self.best_ratio,
            "target": self.target,
            "note": self.note,
        }


def in_turns(
    jobs: Mapping[str, Callable[[], object]], *, runs: int
) -> dict[str, tuple[float, ...]]:
    """Seconds of each job in each of several rounds; one round before them warms up.

    Parameters
    ----------
    jobs : mapping of str to callable
        What is timed, by name.
    runs : int
        How many rounds are timed.
    """
    found: dict[str, list[float]] = {name: [] for name in jobs}
    for turn in range(runs + 1):
        for name, job in jobs.items():
            begun = time.perf_counter()
            job()
            if turn:
                found[name].append(time.perf_counter() - begun)
    return {name: tuple(times) for name, times in found.items()}
