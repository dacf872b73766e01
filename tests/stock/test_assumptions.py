"""What the records leave open is said: lines twice, gaps, no history, no currency."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from fitcheck.stock.estimate import Known, estimate
from fitcheck.stock.explain import effects_of
from fitcheck.stock.folder import folder_records
from fitcheck.stock.gather import Records, gathered
from fitcheck.stock.history import Asking, history_of, read_history
from fitcheck.stock.model import Kit, model_of
from fitcheck.stock.plan_sheet import plan_rows
from fitcheck.stock.pose import pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.records import DemandLine, Part
from fitcheck.stock.tell import Chosen, chosen_items

TODAY = date(2026, 11, 25)


def test_lines_that_say_the_same_are_counted_and_named(tmp_path: Path) -> None:
    file = tmp_path / "history.csv"
    line = "2026-03-09,quay,J1,{part},2\n"
    file.write_text(
        "date,branch,job,part,quantity\n"
        + line.format(part="35x52x7")
        + line.format(part="30206")
        + line.format(part="35 x 52 x 7")
    )
    found = read_history(str(file), today=TODAY)
    assert len(found.lines) == 3
    assert found.notes()[-1] == "1 line says the same as one before (4): each is counted"


def test_a_long_stretch_without_a_line_is_said() -> None:
    first = date(2025, 1, 1)
    days = [first + timedelta(7 * week) for week in range(60) if not 20 <= week < 32]
    lines = [DemandLine(n, day, "quay", f"J{n}", "30206", 1) for n, day in enumerate(days)]
    model = estimate(history_of(lines), Known(parts=[Part("30206", "bearing")])).model
    said = [words for words in model.assumptions if "no line between" in words]
    assert len(said) == 1
    assert said[0].startswith("quay: no line between 2025-05-14 and 2025-08-13, 91 days")


def test_a_fleet_without_a_history_foretells_demand(tmp_path: Path) -> None:
    (tmp_path / "fleet.csv").write_text(
        "branch,machine,machines,hub,position,part,quantity,renewals\n"
        "quay,winch,6,drive hub,1,90 x 120 x 12,1,0.5\n"
        "quay,winch,6,drive hub,2,32215,2,0.5\n"
    )
    history, known = gathered(folder_records(str(tmp_path), today=TODAY))
    found = estimate(history, known)
    rate = dict(zip((part.key for part in found.model.parts), found.rates.mean, strict=True))
    assert rate["90 x 120 x 12"] == pytest.approx(3.0)
    assert rate["32215"] == pytest.approx(6.0)
    words = " ".join(found.model.assumptions)
    assert "the fleet file's figures are taken as they stand" in words
    assert "come true" not in words


def test_a_critical_spare_that_nobody_asked_for_is_told() -> None:
    parts = [Part("30206", "bearing"), Part("odd", "other", critical=True)]
    lines = [DemandLine(1, date(2026, 3, 9), "quay", "J1", "30206", 1)]
    found = estimate(history_of(lines), Known(parts=parts))
    assert chosen_items(found, Chosen()).tolist() == [0, 1]


def test_what_is_always_kept_is_still_missed_where_it_is_gone() -> None:
    model = model_of([Part("s0", "seal", price=4.0, critical=True)], [Kit("quay", {"s0": 1}, 3.0)])
    posed = pose(model, prices_of(model))
    effects = effects_of(posed, np.array([1]))
    assert effects.none_jobs[0] > 2.0
    assert effects.none_money[0] == 4.0


def test_a_stand_in_says_for_how_many_and_what_it_replaces_says_by_what() -> None:
    parts = [Part("s0", "seal", price=4.0), Part("s1", "seal", price=5.0)]
    kits = [Kit("quay", {"s0": 1}, 6.0), Kit("quay", {"s1": 1}, 2.0)]
    instead = {"s0": [("s1", "the pocket takes it")]}
    model = model_of(parts, kits, substitutes=instead)
    prices = prices_of(model)
    posed = pose(model, prices)
    level = np.array([0, 4])
    effects = effects_of(posed, level)
    assert effects.instead[0] == 0.0
    assert 5.5 < effects.instead[1] <= 6.0
    why = {row.part: row.why for row in plan_rows(model, prices, posed, level)}
    assert "and 6.0 more in the place of a size that is out" in why["s1"]
    assert why["s0"].endswith("; s1 stands in for it, the pocket takes it")


def test_a_price_without_a_currency_is_said() -> None:
    parts = [Part("s0", "seal", price=4.0, currency="EUR"), Part("s1", "seal", price=5.0)]
    model = model_of(parts, [Kit("quay", {"s0": 1, "s1": 1}, 6.0)])
    assert prices_of(model).notes == ("1 price without a currency: taken as EUR",)


def test_shelves_that_were_not_counted_are_counted_by_branch() -> None:
    lines = [
        DemandLine(n, date(2026, 3, 9), branch, f"J{n}", part, 1)
        for n, (branch, part) in enumerate(
            [("quay", "30206"), ("yard", "30206"), ("quay", "32215"), ("yard", "32215")]
        )
    ]
    parts = [Part("30206", "bearing"), Part("32215", "bearing")]
    counts = {("30206", "quay"): 2, ("32215", "quay"): 1, ("30206", "yard"): 0}
    model = estimate(history_of(lines), Known(parts=parts, on_hand=counts)).model
    said = [words for words in model.assumptions if "not counted" in words]
    assert said == [
        "the shelf was not counted for 1 of 4 sizes at their branches: none is taken to lie there"
    ]


def test_a_critical_part_is_forced_only_where_something_takes_it() -> None:
    parts = [
        Part("30206", "bearing", price=4.0, critical=True),
        Part("32215", "bearing", price=4.0),
        Part("odd", "other", price=4.0, critical=True),
    ]
    lines = [
        DemandLine(1, date(2026, 3, 9), "quay", "J1", "30206", 1),
        DemandLine(2, date(2026, 3, 9), "yard", "J2", "32215", 1),
    ]
    model = estimate(history_of(lines), Known(parts=parts, branches=["new"])).model
    assert model.branches == ("new", "quay", "yard")
    # Nothing is known of the new branch, nor of the odd part anywhere: kept there all the same.
    assert model.always.tolist() == [True, True, False, False, False, False, True, True, True]
    assert pose(model, prices_of(model)).problem.least.tolist() == model.always.tolist()
    said = [words for words in model.assumptions if "critical" in words]
    assert len(said) == 1
    assert said[0].startswith("yard: 30206 marked critical, and neither the fleet nor the history")


def test_executions_that_are_one_demand_are_said() -> None:
    names = ["6205", "6205-2RS", "6205 ZZ", "6305"]
    asked = [
        Asking(n, date(2026, 3, 9), "quay", f"J{n}", x, "", 1, None) for n, x in enumerate(names)
    ]
    history, known = gathered(Records(history=asked))
    assert set(history.parts) == {f"deep-groove ball bearing {n}" for n in (6205, 6305)}
    assert (
        "deep-groove ball bearing 6205 (6205, 6205 ZZ, 6205-2RS): several executions are taken as "
        "one demand"
    ) in known.assumptions
