"""Pieces that go and come together: packs, asks of several, and what is left over."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from fitcheck.stock.explain import effects_of
from fitcheck.stock.figures import figures_of
from fitcheck.stock.lots import lots_of, order_point, unit_of_asks
from fitcheck.stock.model import Kit, model_of
from fitcheck.stock.plan import plan_for_budget
from fitcheck.stock.plan_sheet import plan_rows
from fitcheck.stock.policy import item_levels
from fitcheck.stock.pose import Posed, pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.records import DAYS_PER_YEAR, Model, Part
from fitcheck.stock.replay import Held, replay

QUAY = "quay"
RATE = 4.0


def one_size(*, ask: int, pack: int, lead_days: float = 10.0, rate: float = RATE) -> Model:
    """One seal, always asked for by so many, at so many asks a year."""
    part = Part("a", "seal", price=4.0, pack=pack, lead_days=lead_days, lead_days_sd=0.0)
    return model_of([part], [Kit(QUAY, {"a": ask}, rate)])


def posed_of(model: Model) -> Posed:
    """Its problem."""
    return pose(model, prices_of(model))


def walked(model: Model, posed: Posed, level: int, *, ask: int, years: int = 400) -> float:
    """The share of asks, at random times, that a shelf meets over many years."""
    rng = np.random.default_rng(3)
    days = np.sort(rng.integers(1, round(years * DAYS_PER_YEAR), round(RATE * years))).tolist()
    held = Held(tuple((day, ((0, ask),)) for day in days), 1, round(years * DAYS_PER_YEAR))
    done = replay(
        model,
        held,
        np.array([level]),
        price=posed.problem.price,
        order=posed.order,
        ask=posed.ask,
    )
    return done.complete / done.jobs


@pytest.mark.parametrize(("ask", "pack"), [(2, 5), (3, 10), (4, 1), (2, 10), (4, 2), (3, 1)])
def test_the_least_shelf_of_a_plan_does_what_is_said_of_it(ask: int, pack: int) -> None:
    model = one_size(ask=ask, pack=pack)
    posed = posed_of(model)
    level = posed.problem.first
    said = figures_of(posed, level).job_share
    seen = walked(model, posed, int(level[0]), ask=ask)
    # An emergency order brings what is out, so that the shelf does a little better than is said.
    assert said - 0.02 <= seen <= said + 0.05


@pytest.mark.parametrize("fill", [0.3, 0.75, 0.95])
@pytest.mark.parametrize(("ask", "pack"), [(2, 5), (3, 10), (4, 1), (2, 10)])
def test_levels_order_while_the_next_ask_is_served(ask: int, pack: int, fill: float) -> None:
    model = one_size(ask=ask, pack=pack)
    found = item_levels(model, fill=fill)
    assert int(found.reorder[0]) >= ask - 1
    seen = walked(model, posed_of(model), int(found.level[0]), ask=ask)
    assert seen >= fill
    assert float(found.fill[0]) - 0.02 <= seen <= float(found.fill[0]) + 0.05


def test_what_is_left_and_serves_nobody_does_not_stop_the_orders() -> None:
    # Five, three, one: the next ask of two finds one, and a pack has to be on its way by then.
    model = one_size(ask=2, pack=5)
    posed = posed_of(model)
    assert walked(model, posed, 5, ask=2, years=40) > 0.8
    row = next(plan_rows(model, prices_of(model), posed, np.array([5])))
    assert (row.order_at, row.order_quantity) == (1, 5)


def test_levels_go_up_by_what_an_ask_takes() -> None:
    model = one_size(ask=4, pack=1, lead_days=30.0)
    posed = posed_of(model)
    for budget in (16.0, 27.0, 31.9, 32.0, 63.0):
        level = plan_for_budget(posed, budget)
        assert level.tolist() == [int(budget // 16) * 4]
    mean = RATE * 30.0 / DAYS_PER_YEAR
    said = figures_of(posed, np.array([8])).job_share
    assert said == pytest.approx(stats.poisson.cdf(1, mean), abs=1e-5)
    # Pieces between serve no more.
    assert figures_of(posed, np.array([11])).job_share == pytest.approx(said)
    wanted = 4 * (int(stats.poisson.ppf(0.9, mean)) + 1)
    assert item_levels(model, fill=0.9).level.tolist() == [wanted]


def test_what_is_met_is_the_share_of_its_own_asks() -> None:
    model = one_size(ask=4, pack=1, lead_days=30.0)
    posed = posed_of(model)
    assert effects_of(posed, np.array([3])).share.tolist() == [0.0]
    effects = effects_of(posed, np.array([4]))
    assert float(effects.share[0]) == pytest.approx(figures_of(posed, np.array([4])).job_share)


def test_units_steps_and_points_of_order() -> None:
    asks = np.array([0, 0, 1, 1, 2])
    assert unit_of_asks(asks, np.array([4, 6, 1, 4, 3]), 4).tolist() == [2, 1, 3, 1]
    unit, order = np.array([1, 4, 2, 3, 4, 1]), np.array([5, 1, 10, 10, 2, 10])
    lots = lots_of(unit=unit, usual=np.array([1, 4, 2, 3, 4, 3]), order=order)
    assert lots.first.tolist() == [5, 4, 10, 12, 4, 12]
    assert lots.step.tolist() == [1, 4, 2, 1, 4, 1]
    points = order_point(np.array([3, 3, 0, 12]), np.array([5, 1, 1, 10]), np.array([1, 4, 1, 3]))
    assert points.tolist() == [0, 2, -1, 2]


def test_a_level_over_the_shelf_life_is_named() -> None:
    from fitcheck.stock.answer import plan_answer

    terms = {"lead_days": 10.0, "lead_days_sd": 0.0, "shelf_life_months": 6.0}
    part = Part("a", "seal", price=4.0, pack=1, **terms)
    model = model_of([part], [Kit(QUAY, {"a": 1}, 1.0)])
    prices = prices_of(model)
    posed = pose(model, prices)
    most = int(posed.problem.most[0])
    answer = plan_answer(model, prices, posed, np.array([most + 5]))
    assert any(f"a at {QUAY} as {most} for its shelf life" in one for one in answer["assumptions"])
    assert "held down by the shelf life of 6 months" in answer["lines"][0]["why"]
    under = plan_answer(model, prices, posed, np.array([most]))
    assert not any("judged as" in one for one in under["assumptions"])


def test_dead_stock_of_one_branch_is_offered_to_another_once() -> None:
    part = Part("a", "seal", price=4.0, lead_days=10.0)
    kits = [Kit(place, {"a": 1}, 3.0) for place in ("north", "west")]
    places = ("north", "south", "west")
    model = model_of([part], kits, branches=places, on_hand={("a", "south"): 3})
    prices = prices_of(model)
    rows = {
        row.branch: row
        for row in plan_rows(model, prices, pose(model, prices), np.array([2, 0, 2]))
    }
    assert "take 2 from south, where they are dead stock" in rows["north"].why
    assert "take 1 from south, where it is dead stock" in rows["west"].why
