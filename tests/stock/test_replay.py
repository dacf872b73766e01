"""The replay by hand: what a shelf meets, what it orders, and when that lies there."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from fitcheck.errors import InputError, NotKnownError
from fitcheck.stock.asks import Asks
from fitcheck.stock.estimate import Known
from fitcheck.stock.history import history_of
from fitcheck.stock.model import Kit, model_of
from fitcheck.stock.pose import pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.records import DemandLine, Model, Part
from fitcheck.stock.replay import Held, Replayed, held_jobs, replay
from fitcheck.stock.rules import three_hits
from fitcheck.stock.trial import HITS, LINES, PLAN, TODAY, trial

SEAL, WIDER, BEARING = 0, 1, 2


def shop(*, lead_days: float = 10.0, pack: int = 1, stand_in: bool = False) -> Model:
    """A seal, a wider one, a bearing, at one branch; lead times without spread."""
    terms = {"lead_days": lead_days, "lead_days_sd": 0.0}
    parts = [
        Part("seal", "seal", price=2.0, pack=pack, **terms),
        Part("wider seal", "seal", price=3.0, **terms),
        Part("bearing", "bearing", price=10.0, **terms),
    ]
    instead = {"seal": [("wider seal", "the pocket takes it")]} if stand_in else None
    return model_of(parts, [Kit("quay", {"seal": 1, "bearing": 1}, 5.0)], substitutes=instead)


def gone_through(
    model: Model, levels: list[int], jobs: list[tuple[int, list[tuple[int, int]]]]
) -> Replayed:
    """Replay jobs, each a day and its (item, pieces), over a hundred days."""
    held = Held(tuple((day, tuple(needs)) for day, needs in jobs), 1, 100)
    posed = pose(model, prices_of(model))
    level = np.array(levels)
    return replay(model, held, level, price=posed.problem.price, order=posed.order)


BOTH = [(SEAL, 1), (BEARING, 1)]


def test_what_goes_is_back_after_its_lead_time_and_not_before() -> None:
    early = gone_through(shop(), [1, 0, 1], [(5, BOTH), (14, BOTH)])
    assert (early.jobs, early.complete, early.filled, early.emergency) == (2, 1, 2, 2)
    late = gone_through(shop(), [1, 0, 1], [(5, BOTH), (15, BOTH)])
    assert (late.complete, late.filled, late.emergency) == (2, 4, 0)
    assert late.orders == 4


def test_a_job_takes_what_is_there_of_its_kit() -> None:
    done = gone_through(shop(), [1, 0, 2], [(5, BOTH), (6, BOTH), (7, [(BEARING, 1)])])
    # The seal is short on day 6 and the bearing still goes, so that day 7 finds none.
    assert (done.complete, done.filled, done.emergency) == (1, 3, 2)


def test_two_pieces_are_not_met_by_one() -> None:
    done = gone_through(shop(), [1, 0, 0], [(5, [(SEAL, 2)]), (6, [(SEAL, 1)])])
    assert (done.complete, done.filled) == (1, 1)


def test_packs_are_ordered_when_one_is_gone() -> None:
    done = gone_through(shop(pack=3), [3, 0, 0], [(day, [(SEAL, 1)]) for day in (1, 2, 3, 12, 13)])
    # Three go, a pack comes on day 13: day 12 finds none.
    assert (done.filled, done.orders) == (4, 1)


def test_a_stand_in_is_taken_where_there_is_one() -> None:
    jobs = [(5, BOTH), (6, BOTH)]
    without = gone_through(shop(), [1, 1, 2], jobs)
    assert (without.complete, without.stand_ins) == (1, 0)
    done = gone_through(shop(stand_in=True), [1, 1, 2], jobs)
    assert (done.complete, done.stand_ins) == (2, 1)


def test_money_on_the_shelf_is_the_average_of_its_days() -> None:
    # 12 lie there, 10 of it are gone from day 51 to day 60.
    done = gone_through(shop(), [1, 0, 1], [(51, [(BEARING, 1)])])
    assert done.money == 12.0
    assert done.shelf_money == pytest.approx((12 * 50 + 2 * 10 + 12 * 40) / 100)


def test_an_empty_shelf_meets_nothing() -> None:
    done = gone_through(shop(), [0, 0, 0], [(5, BOTH)])
    assert (done.complete, done.filled, done.emergency, done.orders) == (0, 0, 2, 0)


def test_jobs_come_in_the_order_of_their_first_day() -> None:
    asks = Asks(
        item=np.array([0, 0, 2]),
        day=np.array([9, 7, 8]),
        pieces=np.array([1.0, 2.0, 1.0]),
        short=np.zeros(3, dtype=bool),
        job=np.array([1, 2, 1]),
    )
    assert held_jobs(asks, first=1, last=20).jobs == ((7, ((0, 2),)), (8, ((0, 1), (2, 1))))
    assert held_jobs(asks, first=8, last=8).jobs == ((8, ((2, 1),)),)


# --- three hits ---------------------------------------------------------------------------------


def hits(counts: list[int], *, budget: float, day: int = 1000) -> list[int]:
    """Levels by the rule, each size asked for so often on a day."""
    model = shop()
    item = np.repeat(np.arange(3), counts)
    asks = Asks(item, np.full(len(item), day), np.ones(len(item)), item > 9, np.arange(len(item)))
    return three_hits(pose(model, prices_of(model)), asks, last=1000, budget=budget).tolist()


def test_three_hits_in_twelve_months_are_kept_and_two_are_not() -> None:
    assert hits([3, 2, 3], budget=12.5) == [1, 0, 1]
    assert hits([3, 2, 3], budget=12.5, day=635) == [0, 0, 0]


def test_months_of_it_grow_with_the_money() -> None:
    level = hits([12, 0, 6], budget=200.0)
    assert 190 <= 2 * level[SEAL] + 10 * level[BEARING] <= 200
    assert level[SEAL] == pytest.approx(2 * level[BEARING], abs=2)


def test_with_little_money_what_is_hit_most_comes_first() -> None:
    assert hits([3, 0, 9], budget=11.0) == [0, 0, 1]
    assert hits([9, 0, 3], budget=11.0) == [1, 0, 0]


# --- the trial ----------------------------------------------------------------------------------


def two_years() -> tuple[list[DemandLine], Known]:
    """A hub every ten days for two years, and its parts."""
    parts = [Part("seal", "seal", price=2.0), Part("bearing", "bearing", price=10.0)]
    lines = [
        DemandLine(0, date(2024, 1, 1) + timedelta(days=10 * n), "quay", f"J{n}", part.key, 1)
        for n in range(73)
        for part in parts
    ]
    return lines, Known(parts=parts, on_hand={("seal", "quay"): 2, ("bearing", "quay"): 1})


def test_every_list_has_the_same_money_and_sees_the_same_jobs() -> None:
    lines, known = two_years()
    found = trial(history_of(lines), known)
    assert (found["budget"], found["jobs"], found["lines"]) == (14.0, 37, 74)
    lists = {one["name"]: one for one in found["lists"]}
    assert list(lists) == [PLAN, LINES, HITS, TODAY]
    assert all(one["money"] <= 14.0 and one["jobs"] == 37 for one in lists.values())
    assert lists[PLAN]["jobs_complete"] >= lists[HITS]["jobs_complete"] > 0


def test_too_short_a_history_is_refused() -> None:
    lines, known = two_years()
    with pytest.raises(NotKnownError, match="fewer than 90 are left"):
        trial(history_of(lines), known, days=700)
    with pytest.raises(NotKnownError, match="no line"):
        trial(history_of([]), known)


def test_without_a_shelf_the_money_has_to_be_said() -> None:
    lines, known = two_years()
    with pytest.raises(InputError, match="--budget"):
        trial(history_of(lines), Known(parts=known.parts))
    assert trial(history_of(lines), Known(parts=known.parts), budget=30.0)["budget"] == 30.0


# --- levels below a lot -------------------------------------------------------------------------


def test_a_level_below_a_pack_is_refilled_by_the_pack_once_it_is_used_up() -> None:
    jobs = [(day, [(SEAL, 1)]) for day in (1, 2, 3, 20, 21, 22)]
    done = gone_through(shop(pack=5), [2, 0, 0], jobs)
    # Two go, a pack is ordered on day 2 and lies there on day 12: day 3 alone finds none.
    assert (done.filled, done.orders) == (5, 1)


def test_more_than_the_level_orders_nothing() -> None:
    # After the pack has come 5 lie there, 3 over the level; they go before more is ordered.
    jobs = [(day, [(SEAL, 1)]) for day in (1, 2, 20, 21, 22, 23, 24, 40)]
    done = gone_through(shop(pack=5), [2, 0, 0], jobs)
    assert (done.filled, done.orders) == (8, 2)
