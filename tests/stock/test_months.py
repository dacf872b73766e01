"""The months: single sizes that have their own, and what months do to levels and plans."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from fitcheck.stock.estimate import Estimate, Known, estimate
from fitcheck.stock.history import History
from fitcheck.stock.months import pace_of
from fitcheck.stock.policy import item_levels
from fitcheck.stock.pose import pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.records import Ahead, Part

FIRST, LAST = date(2023, 1, 1), date(2025, 12, 31)
DAYS = (LAST - FIRST).days + 1
MONTH = np.array([date.fromordinal(FIRST.toordinal() + d).month - 1 for d in range(DAYS)])
WINTER = np.array([3.0, 2.0, 1.0, 0, 0, 0, 0, 0, 0, 1.0, 2.0, 3.0])
NOVEMBER, MAY = Ahead(date(2025, 11, 15), 60), Ahead(date(2025, 5, 15), 60)


def history(days: dict[str, Any]) -> History:
    """Asks of one piece on some days from the first on, for each size."""
    keys = tuple(sorted(days))
    part = np.repeat(np.arange(len(keys)), [len(days[key]) for key in keys])
    day = np.concatenate([np.asarray(days[key]) for key in keys])
    none = np.full(len(day), -1)
    ones = np.ones(len(day), dtype=np.int64)
    first = FIRST.toordinal()
    return History(keys, ("quay",), (), first + day, 0 * ones, none, part, ones, none)


def drawn(seed: int, **some: Any) -> History:
    """Forty sizes asked for five times a year, all days alike, and some more."""
    draw = np.random.default_rng(seed)
    plain = {f"p{n:02d}": draw.integers(0, DAYS, draw.poisson(15)) for n in range(40)}
    return history(plain | some)


def winter_days(seed: int, count: int) -> Any:
    """Days of the winter months."""
    chance = WINTER[MONTH]
    return np.random.default_rng(seed).choice(DAYS, count, p=chance / chance.sum())


def found(given: History, **known: Any) -> Estimate:
    """The estimate of a history, with a lead time of a month."""
    parts = [
        Part(key, "seal", price=4.0, currency="EUR", lead_days=30.0, lead_days_sd=0.0)
        for key in given.parts
    ]
    return estimate(given, Known(parts, listed=frozenset(given.parts), **known), since=FIRST)


def own(given: History) -> list[str]:
    """The sizes that are taken to have months of their own."""
    model = found(given).model
    return [model.parts[number].key for number in sorted(model.own_months or {})]


def test_a_size_with_months_of_its_own_is_seen_and_told() -> None:
    seen = [own(drawn(seed, winter=winter_days(seed, 36))) for seed in range(6)]
    assert sum("winter" in some for some in seen) == 6
    # Of 240 sizes that follow the shop hardly one is taken for such.
    assert sum(len(some) for some in seen) <= 6 + 1
    model = found(drawn(1, winter=winter_days(1, 36))).model
    assert (model.own_months or {})[40].startswith("months of its own: Feb, Dec ask")
    assert any("1 size has months of its own: winter" in words for words in model.assumptions)


def test_bunches_that_do_not_come_back_are_no_months_of_its_own() -> None:
    bunch = np.concatenate([np.arange(300, 314), [5, 100, 500, 700, 900, 1000]])
    assert "bunch" not in own(drawn(3, bunch=bunch))


def test_levels_use_the_months_ahead() -> None:
    given = drawn(1, winter=winter_days(1, 36))
    cold, warm, whole = (found(given, ahead=days) for days in (NOVEMBER, MAY, None))
    levels = [item_levels(one.model, fill=0.95).level for one in (cold, warm, whole)]
    winter = 40
    assert levels[0][winter] > levels[2][winter] > levels[1][winter]
    # The mean before those who ask: the winter's lead times hold more than twice the year's.
    mean = [one.model.mean[winter] for one in (cold, warm)]
    year = float(whole.model.rate[winter]) * 30.0 / 365.25
    assert mean[0] > 2.0 * year
    assert mean[1] < 0.5 * year
    # The rate itself is of the year, whatever day it is asked on.
    assert cold.model.rate[winter] == pytest.approx(warm.model.rate[winter])
    assert any("ordered from 2025-11-15 to 2026-01-13" in w for w in cold.model.assumptions)


def test_plans_count_the_jobs_of_the_months_ahead() -> None:
    given = drawn(1, winter=winter_days(1, 36))
    cold, warm = (found(given, ahead=days).model for days in (NOVEMBER, MAY))
    jobs = []
    for model in (cold, warm):
        posed = pose(model, prices_of(model))
        use = posed.problem.use_item[posed.problem.slot_start[:-1]]
        jobs.append(float(posed.problem.kit_rate[use == 40].sum()))
    assert jobs[0] > 3.0 * jobs[1]


def test_where_all_months_are_alike_nothing_changes() -> None:
    given = history({"a": np.arange(0, DAYS, 30), "b": np.arange(10, DAYS, 45)})
    plain, dated = found(given), found(given, ahead=NOVEMBER)
    assert plain.model.pace is None
    assert np.array_equal(plain.model.mean, dated.model.mean)
    assert any("makes no difference" in words for words in dated.model.assumptions)


def test_the_pace_is_that_of_the_days_in_a_lead_time() -> None:
    flat = np.ones((1, 12))
    rows, leads = np.zeros(3, dtype=np.int64), np.array([0.0, 12.5, 400.0])
    for days in (None, MAY):
        pace = pace_of(flat, rows, leads, days)
        assert pace.lead == pytest.approx([1.0] * 3)
        assert pace.swing == pytest.approx([0.0] * 3, abs=1e-12)
        assert pace.now == pytest.approx([1.0] * 3)
    # One day's orders, thirty days of lead time: half November of 3, half December of 6.
    steep = np.ones((1, 12))
    steep[0, 10], steep[0, 11] = 3.0, 6.0
    one = Ahead(date(2025, 11, 16), 1)
    pace = pace_of(steep, np.zeros(1, dtype=np.int64), np.array([30.0]), one)
    assert (pace.lead[0], pace.swing[0], pace.now[0]) == pytest.approx((4.5, 0.0, 3.0))
    # A whole year of lead time has every month in it, whoever asks.
    year = pace_of(steep, np.zeros(1, dtype=np.int64), np.array([365.0]), None)
    assert year.lead[0] == pytest.approx(steep[0][MONTH[:365]].mean())
    assert year.swing[0] == pytest.approx(0.0, abs=1e-9)


def test_years_are_counted_by_the_months_of_the_size_itself() -> None:
    # Watched to the end of September: three years' winters less one autumn.
    short = drawn(2, winter=np.sort(winter_days(2, 48)))
    kept = short.between(FIRST, date(2025, 9, 30))
    rates = found(kept).rates
    assert float(rates.years[40]) == pytest.approx(2.5, abs=0.12)
    assert float(rates.years[0]) == pytest.approx(2.75, abs=0.03)
