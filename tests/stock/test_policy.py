"""Levels of single sizes: base stock, reorder points, packs, shelf life, critical spares."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fitcheck.errors import InputError
from fitcheck.lists.items import SizeKey
from fitcheck.stock.model import Kit, Rate, model_of
from fitcheck.stock.policy import ItemLevels, item_levels
from fitcheck.stock.records import DAYS_PER_YEAR, Model, Part
from fitcheck.stock.substitutes import substitutes_of

QUAY = "quay"


def model_with(rate: float, *, ask: int = 1, spread: float = 1.0, **terms: Any) -> Model:
    """One size at one branch, its lead time a year in 12 unless the terms say otherwise."""
    given = {"lead_days": DAYS_PER_YEAR / 12, "lead_days_sd": 0.0, **terms}
    part = Part("a", "seal", SizeKey("seal", 35_000, 52_000, 7_000), price=4.0, **given)
    rates = {("a", QUAY): Rate(rate, dispersion=spread)}
    return model_of([part], [Kit(QUAY, {"a": ask}, rate / ask)], rates=rates)


def levels(model: Model, fill: float, **costs: float) -> ItemLevels:
    """The levels of a model."""
    return item_levels(model, fill=fill, **costs)


@pytest.mark.parametrize("rate", [0.1, 1.0, 12.0, 100.0])
@pytest.mark.parametrize("fill", [0.5, 0.9, 0.95, 0.99])
def test_base_stock_is_scipys(rate: float, fill: float) -> None:
    model = model_with(rate)
    found = levels(model, fill)
    wanted = int(stats.poisson.ppf(fill, rate / 12)) + 1
    assert (int(found.level[0]), int(found.quantity[0])) == (wanted, 1)
    assert float(found.fill[0]) == pytest.approx(stats.poisson.cdf(wanted - 1, rate / 12), abs=1e-5)


def test_uneven_demand_takes_a_negative_binomial() -> None:
    model = model_with(12.0, spread=3.0)
    wanted = int(stats.nbinom.ppf(0.95, 1.0 / 2.0, 1.0 / 3.0)) + 1
    assert int(levels(model, 0.95).level[0]) == wanted
    assert wanted > int(levels(model_with(12.0), 0.95).level[0])


def test_a_lead_time_that_varies_takes_more() -> None:
    steady = model_with(60.0)
    shaky = model_with(60.0, lead_days_sd=30.0)
    assert shaky.variance[0] == pytest.approx(5.0 + 60.0**2 * (30 / DAYS_PER_YEAR) ** 2, rel=1e-4)
    assert levels(shaky, 0.95).level[0] > levels(steady, 0.95).level[0]


def test_jobs_that_take_two_are_met_in_full_only_by_two() -> None:
    one, two = levels(model_with(1.0), 0.9), levels(model_with(1.0, ask=2), 0.9)
    assert int(two.level[0]) == int(one.level[0]) + 1
    assert (int(one.ask[0]), int(two.ask[0])) == (1, 2)


def test_packs_and_least_orders() -> None:
    found = levels(model_with(24.0, pack=10, minimum=15), 0.9)
    assert int(found.quantity[0]) == 20
    # With twenty coming at once little has to be left when they are ordered.
    assert int(found.reorder[0]) < int(levels(model_with(24.0), 0.9).reorder[0])
    assert int(found.level[0]) == int(found.reorder[0]) + 20


def test_an_order_that_costs_money_is_made_larger() -> None:
    found = levels(model_with(24.0), 0.9, order_cost=5.0, holding_share=0.25)
    assert int(found.quantity[0]) == math.ceil(math.sqrt(2 * 24.0 * 5.0 / (0.25 * 4.0)))
    assert float(found.orders[0]) == pytest.approx(24.0 / int(found.quantity[0]), rel=1e-6)


def test_what_ages_is_not_piled_up() -> None:
    # Sixty months of one a year: the fifth piece would be too old too often.
    young = levels(model_with(1.0, shelf_life_months=60, pack=1), 0.999, order_cost=50.0)
    fresh = levels(model_with(1.0), 0.999, order_cost=50.0)
    assert int(young.level[0]) < int(fresh.level[0])
    most = int(young.level[0])
    assert stats.poisson.cdf(most - 1, 5.0) <= 0.1 or most <= int(young.quantity[0])
    slow = levels(model_with(0.01, shelf_life_months=60), 0.9999999)
    assert int(slow.level[0]) == 1
    assert bool(slow.capped[0])


def test_critical_spares_are_kept_whatever_the_arithmetic_says() -> None:
    assert int(levels(model_with(0.01), 0.0).level[0]) == 0
    spare = levels(model_with(0.01, critical=True), 0.0)
    assert (int(spare.level[0]), bool(spare.critical[0])) == (1, True)


@settings(max_examples=60)
@given(
    rate=st.floats(0.001, 200.0),
    spread=st.floats(1.0, 5.0),
    fill=st.floats(0.01, 0.999),
    pack=st.integers(1, 12),
    ask=st.integers(1, 4),
)
def test_the_level_is_the_least_that_reaches_the_share(
    rate: float, spread: float, fill: float, pack: int, ask: int
) -> None:
    model = model_with(rate, ask=ask, spread=spread, pack=pack)
    found = levels(model, fill)
    assert float(found.fill[0]) >= fill - 1e-9
    assert int(found.quantity[0]) % pack == 0
    again = levels(model, min(0.9995, fill + 0.0004))
    assert int(again.level[0]) >= int(found.level[0])
    assert 0.0 <= float(found.on_shelf[0]) <= int(found.level[0]) + 1e-9


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"fill": 1.0}, "lies from 0 to below 1"),
        ({"fill": 0.9, "order_cost": -1.0}, "costs 0 or more"),
        ({"fill": 0.9, "holding_share": 0.0}, "costs something"),
    ],
)
def test_impossible_questions(given: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        item_levels(model_with(1.0), **given)


@pytest.mark.parametrize(
    ("kit", "words"),
    [
        (Kit(QUAY, {"b": 1}, 1.0), "no part that was given"),
        (Kit(QUAY, {"a": 0}, 1.0), "at least one"),
        (Kit("yard", {"a": 1}, 1.0), "was not given"),
    ],
)
def test_kits_that_can_not_be(kit: Kit, words: str) -> None:
    with pytest.raises(InputError, match=words):
        model_of([Part("a", "seal")], [kit], branches=[QUAY])


def test_substitutes_are_found_at_their_own_branch() -> None:
    seals = [
        Part(f"35 x 52 x {w}", "seal", SizeKey("seal", 35_000, 52_000, w * 1000, "metric"))
        for w in (7, 8, 15)
    ]
    sleeve = Part("sleeve 35.00 x 13", "sleeve", SizeKey("sleeve", 35_000, None, 13_000))
    found = substitutes_of([*seals, sleeve])
    assert {key: [name for name, _ in some] for key, some in found.items()} == {
        "35 x 52 x 7": ["35 x 52 x 8"],
        "35 x 52 x 8": ["35 x 52 x 7"],
    }
    assert "only where the pocket is" in found["35 x 52 x 7"][0][1]
    model = model_of(seals, [], branches=["quay", "yard"], substitutes=found)
    pairs = [
        (int(i), int(model.sub_item[at]))
        for i in range(6)
        for at in range(int(model.sub_start[i]), int(model.sub_start[i + 1]))
    ]
    assert pairs == [(0, 2), (1, 3), (2, 0), (3, 1)]
    assert len(model.sub_condition) == 4
    assert np.array_equal(model.branch_of[[0, 1]], [0, 1])


def test_a_level_that_serves_no_ask_is_not_advised() -> None:
    # Of a seal that ages so fast one piece may be kept; a job takes two: as many as that are.
    aged = levels(model_with(1.0, ask=2, shelf_life_months=3.0), 0.95)
    assert int(aged.level[0]) == 2
    assert float(aged.fill[0]) > 0.9
    # What is always kept is kept in the pieces that an ask takes.
    spare = levels(model_with(0.02, ask=2, critical=True), 0.0)
    assert int(spare.level[0]) == 2
    assert float(spare.fill[0]) > 0.9
