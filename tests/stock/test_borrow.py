"""Branches with little history: what they take from the others, sizes and kits."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from fitcheck.stock.estimate import Estimate, Known, estimate
from fitcheck.stock.fleet import FleetKit
from fitcheck.stock.history import history_of
from fitcheck.stock.records import DemandLine, Part

FIRST = date(2023, 1, 1)
PARTS = [Part(f"s{n}", "seal", price=2.0, currency="EUR") for n in range(8)]


def lines(branch: str, every: int, *, since: int = 0, days: int = 1095) -> list[DemandLine]:
    """A job of two sizes every so many days, and all the other sizes once."""
    found = []
    for day in range(since, days, every):
        when = FIRST + timedelta(days=day)
        found += [
            DemandLine(0, when, branch, f"J{day}", "s0", 1),
            DemandLine(0, when, branch, f"J{day}", "s1", 2),
        ]
    if not since:
        found += [
            DemandLine(0, FIRST + timedelta(days=20 * n), branch, "", f"s{n}", 1)
            for n in range(2, 8)
        ]
    return found


def found(*some: DemandLine, **known: object) -> Estimate:
    """The estimate of some lines."""
    listed = frozenset(part.key for part in PARTS)
    return estimate(history_of(list(some)), Known(PARTS, listed=listed, **known))  # type: ignore[arg-type]


def rate(one: Estimate, key: str, branch: str) -> float:
    """The rate of a size at a branch."""
    model = one.model
    number = [part.key for part in model.parts].index(key)
    return float(model.rate[number * len(model.branches) + model.branches.index(branch)])


def test_a_branch_without_history_takes_each_size_and_each_kit_from_the_others() -> None:
    one = found(*lines("quay", 30), *lines("yard", 60), branches=["new"])
    mean = (rate(one, "s1", "quay") + rate(one, "s1", "yard")) / 2
    assert rate(one, "s1", "new") == pytest.approx(mean, rel=0.02)
    assert rate(one, "s1", "new") > 10 * rate(one, "s5", "new")
    model = one.model
    wide = np.flatnonzero(np.diff(model.kit_start) == 2)
    here = [kit for kit in wide if model.branches[int(model.kit_branch[kit])] == "new"]
    assert len(here) == 1
    # Nine jobs a year is the middle of what the others do.
    assert float(model.kit_rate[here[0]]) == pytest.approx(9.0, rel=0.15)
    words = next(w for w in model.assumptions if w.startswith("new: "))
    assert words.endswith("what the other branches ask for on average, kits too")
    # It is less sure there than where it was seen.
    low, high = one.rates.bounds()
    at = model.branches.index("new")
    assert (high - low)[at] > 2 * (high - low)[model.branches.index("quay")]


def test_a_young_branch_is_as_busy_as_it_was_seen_to_be() -> None:
    busy = found(*lines("quay", 30), *lines("young", 5, since=1000))
    quiet = found(*lines("quay", 30), DemandLine(0, date(2025, 9, 29), "young", "", "s0", 1))
    assert rate(busy, "s0", "young") > 2.0 * rate(busy, "s0", "quay")
    assert rate(quiet, "s1", "young") < 0.8 * rate(quiet, "s1", "quay")
    assert any("young: only " in words for words in busy.model.assumptions)


def test_what_the_fleet_foretells_for_a_branch_is_not_borrowed_as_well() -> None:
    fleet = [FleetKit("new", "winch", {"s0": 1, "s1": 2}, 2.0)]
    one = found(*lines("quay", 30), fleet=fleet)
    new = one.model.branches.index("new")
    model = one.model
    wide = [
        kit for kit in np.flatnonzero(model.kit_branch == new) if np.diff(model.kit_start)[kit] == 2
    ]
    assert len(wide) == 1
    assert rate(one, "s0", "new") == pytest.approx(2.0 * one.rates.fleet_factor)


def test_where_all_branches_are_old_or_all_young_nothing_is_lent() -> None:
    assert not found(*lines("quay", 30), *lines("yard", 60)).rates.lent
    assert not found(*lines("quay", 30, days=200), branches=["new"]).rates.lent
