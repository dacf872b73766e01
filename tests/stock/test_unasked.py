"""Sizes that nobody asked for at a branch: terms, another shelf or another fleet are no demand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from fitcheck.stock.estimate import Estimate, Known, estimate
from fitcheck.stock.fleet import FleetKit
from fitcheck.stock.history import history_of
from fitcheck.stock.policy import item_levels
from fitcheck.stock.records import DemandLine, Part

QUAY, YARD = "quay", "yard"


def found(
    on_hand: dict[tuple[str, str], int] | None = None, fleet: Sequence[FleetKit] = ()
) -> Estimate:
    """A bearing asked for at both branches, one at the quay alone, one that stands in the terms."""
    keys = ("30205", "30206", "30207")
    parts = [Part(key, "bearing", price=9.0) for key in keys]
    begin = date(2024, 1, 1)
    lines = [
        DemandLine(0, begin + timedelta(days=day), branch, f"{branch}{day}", key, 1)
        for day in range(0, 700, 50)
        for branch, key in ((QUAY, "30205"), (QUAY, "30206"), (YARD, "30205"))
    ]
    known = Known(parts=parts, on_hand=on_hand or {}, fleet=fleet, listed=frozenset(keys))
    return estimate(history_of(lines), known)


def test_nobody_asked_is_no_demand() -> None:
    seen = found()
    model = seen.model
    assert model.branches == (QUAY, YARD)
    # What the quay asks for the yard may be asked for; what stands in the terms is neither.
    assert (model.rate > 0).tolist() == [True, True, True, True, False, False]
    assert sorted(set(model.kit_item.tolist())) == [0, 1, 2, 3]
    assert item_levels(model, fill=0.95).level.tolist()[4:] == [0, 0]
    # What sizes like it bring is still told, and so is that it is left out.
    assert (seen.rates.mean > 0).all()
    assert any("2 sizes at their branches were never asked for" in x for x in model.assumptions)


def test_a_shelf_elsewhere_is_no_demand_and_ones_own_is_judged_by_sizes_like_it() -> None:
    model = found({("30207", YARD): 2}).model
    assert (model.rate > 0).tolist() == [True, True, True, True, False, True]
    assert np.isfinite(model.mean).all()
    assert np.isfinite(model.variance).all()


def test_the_fleet_of_one_branch_is_no_demand_of_another() -> None:
    fleet = [FleetKit(QUAY, "winch", {"30206": 1}, 2.0)]
    model = found(fleet=fleet).model
    assert (model.rate > 0).tolist() == [True, True, True, False, False, False]
