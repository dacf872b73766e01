"""Invented demand histories of a workshop with branches, drawn with a seed.

Hubs of some types stand at each branch; each type has a kit of sizes, many sizes are in several
kits, and a type's jobs come at their own rate. Beside them single pieces are sold at the counter.
Nothing in it knows how the program estimates or plans.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from fitcheck.stock.records import DemandLine, Part

FIRST = date(2023, 1, 1)
KINDS = ("seal", "bearing", "sleeve", "other")


@dataclass(frozen=True, slots=True)
class Shop:
    """Parts and the demand for them."""

    parts: tuple[Part, ...]
    lines: tuple[DemandLine, ...]


def simulated_shop(
    seed: int,
    *,
    sizes: int = 120,
    types: int = 45,
    jobs_a_year: float = 260.0,
    counter_a_year: float = 120.0,
    branches: Sequence[str] = ("quay", "yard"),
    years: int = 3,
) -> Shop:
    """One invented shop.

    Parameters
    ----------
    seed : int
        Of the random numbers.
    sizes, types : int
        Sizes, and types of hub.
    jobs_a_year, counter_a_year : float
        Hub jobs and counter sales, all branches together [1/year].
    branches : sequence of str
        The branches.
    years : int
        How long the history is.
    """
    rng = np.random.default_rng(seed)
    kinds = rng.choice(KINDS, sizes, p=(0.45, 0.3, 0.15, 0.1))
    price = np.round(np.exp(rng.normal(np.where(kinds == "bearing", 3.4, 2.3), 0.7)), 2)
    parts = tuple(
        Part(
            key=f"{kind} {number:03d}",
            what=str(kind),
            price=float(cost),
            currency="EUR",
            lead_days=float(lead),
            lead_days_sd=float(lead) * 0.3,
        )
        for number, (kind, cost, lead) in enumerate(
            zip(kinds, price, rng.choice([4, 7, 14, 28], sizes), strict=True)
        )
    )
    popular = rng.gamma(0.6, 1.0, sizes) + 0.05
    kits = []
    for _ in range(types):
        length = int(rng.integers(2, 7))
        chosen = rng.choice(sizes, length, replace=False, p=popular / popular.sum())
        kits.append([(int(size), int(rng.choice([1, 1, 1, 2]))) for size in chosen])
    lines: list[DemandLine] = []
    type_rate = rng.gamma(0.7, 1.0, (len(branches), types))
    type_rate *= jobs_a_year / type_rate.sum()
    sale_rate = rng.gamma(0.5, 1.0, (len(branches), sizes)) * popular
    sale_rate *= counter_a_year / sale_rate.sum()
    days = 365 * years
    number = 0
    for place, branch in enumerate(branches):
        for kind, kit in enumerate(kits):
            for day in rng.integers(0, days, rng.poisson(type_rate[place, kind] * years)):
                number += 1
                when = FIRST + timedelta(days=int(day))
                # Now and then a part of the kit is still good.
                kept = [need for need in kit if rng.random() > 0.08] or kit[:1]
                lines += [
                    DemandLine(0, when, branch, f"J{number}", parts[size].key, pieces)
                    for size, pieces in kept
                ]
        for size in range(sizes):
            for day in rng.integers(0, days, rng.poisson(sale_rate[place, size] * years)):
                when = FIRST + timedelta(days=int(day))
                lines.append(DemandLine(0, when, branch, "", parts[size].key, 1))
    lines.sort(key=lambda line: (line.day, line.branch, line.job, line.part_key))
    return Shop(parts, tuple(lines))
