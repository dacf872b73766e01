"""Rates from histories that were drawn: their intervals hold what they say, and nothing is lost."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError, NotKnownError
from fitcheck.lists.items import SizeKey
from fitcheck.stock.censored import blind_stretches
from fitcheck.stock.estimate import Estimate, Known, estimate
from fitcheck.stock.fleet import FleetKit
from fitcheck.stock.history import History, history_of
from fitcheck.stock.records import DemandLine, Part, Stretch
from fitcheck.stock.season import season_of
from fitcheck.stock.tell import Chosen, chosen_items, demand_rows

FIRST = date(2023, 1, 1)
YEARS = 3
LAST = date(2025, 12, 31)
DAYS = (LAST - FIRST).days + 1
BRANCHES = ("quay", "yard")


def seal(key: str, **extra: Any) -> Part:
    """A seal like any other."""
    return Part(key, "seal", SizeKey("seal", 35_000, 52_000, 7_000, "metric"), **extra)


def drawn(
    rate: np.ndarray, seed: int, *, twos: float = 0.0, weights: Any = None, bunch: float = 0.0
) -> History:
    """Three years of asks at true rates, parts by branches; `twos` of them for two pieces."""
    draw = np.random.default_rng(seed)
    parts, places = rate.shape
    counts = draw.poisson(rate * DAYS / 365.25)
    item = np.repeat(np.arange(parts * places), counts.ravel())
    if weights is None:
        day = draw.integers(0, DAYS, len(item))
    else:
        month = np.array([date.fromordinal(FIRST.toordinal() + d).month - 1 for d in range(DAYS)])
        chance = np.asarray(weights)[month]
        day = draw.choice(DAYS, len(item), p=chance / chance.sum())
    if bunch:
        many = 1 + draw.poisson(bunch, len(item))
        item, day = np.repeat(item, many), np.repeat(day, many)
    return History(
        parts=tuple(f"p{n:04d}" for n in range(parts)),
        branches=BRANCHES[:places],
        jobs=(),
        day=FIRST.toordinal() + day,
        branch_of=item % places,
        job_of=np.full(len(item), -1),
        part_of=item // places,
        quantity=1 + (draw.random(len(item)) < twos).astype(np.int64),
        short=np.full(len(item), -1),
    )


def fitted(history: History, *, listed: bool = True, **known: Any) -> Estimate:
    """The estimate of a drawn history."""
    parts = [seal(key) for key in history.parts]
    keys = frozenset(history.parts) if listed else frozenset()
    return estimate(
        history, Known(parts, listed=keys, **known), since=FIRST, through=LAST, substitutes=False
    )


def held(found: Estimate, true: np.ndarray, share: float) -> float:
    """How many of the true rates lie in their intervals."""
    low, high = found.rates.bounds(share=share)
    return float(((true.ravel() >= low) & (true.ravel() <= high)).mean())


@pytest.mark.parametrize("share", [0.5, 0.8, 0.9, 0.95])
@pytest.mark.parametrize(
    ("shape", "mean", "twos"), [(0.8, 1.2, 0.0), (0.8, 1.2, 0.5), (0.3, 0.5, 0.0), (2.0, 5.0, 0.2)]
)
def test_intervals_hold_what_they_say(shape: float, mean: float, twos: float, share: float) -> None:
    inside = []
    for seed in range(4):
        true = np.random.default_rng(100 + seed).gamma(shape, mean / shape, (250, 2))
        found = fitted(drawn(true, seed, twos=twos))
        inside.append(held(found, true * (1.0 + twos), share))
        assert found.rates.mean.sum() == pytest.approx(true.sum() * (1.0 + twos), rel=0.12)
    # Two thousand intervals: the share is known to about a point.
    assert np.mean(inside) == pytest.approx(share, abs=0.035)


def test_sizes_known_by_their_demand_alone_are_a_choice_and_that_is_allowed_for() -> None:
    inside, ratio = [], []
    for seed in range(4):
        true = np.random.default_rng(seed).gamma(0.4, 0.4 / 0.4, (900, 2))
        whole = drawn(true, seed)
        seen = np.unique(whole.part_of)
        number = np.searchsorted(seen, whole.part_of)
        names = tuple(whole.parts[n] for n in seen)
        history = History(
            names,
            whole.branches,
            (),
            whole.day,
            whole.branch_of,
            whole.job_of,
            number,
            whole.quantity,
            whole.short,
        )
        allowed = fitted(history, listed=False)
        inside.append(held(allowed, true[seen], 0.9))
        ratio.append(allowed.rates.mean.sum() / true[seen].sum())
        # Taken for all there are, the same sizes look busier than such sizes are.
        assert fitted(history).rates.like[0] > 1.1 * allowed.rates.like[0]
    assert np.mean(inside) == pytest.approx(0.9, abs=0.035)
    assert np.mean(ratio) == pytest.approx(1.0, abs=0.06)


def test_bunches_widen_the_intervals() -> None:
    inside = []
    for seed in range(4):
        true = np.random.default_rng(seed).gamma(2.0, 2.0, (200, 2))
        found = fitted(drawn(true / 2.0, seed, bunch=1.0))
        inside.append(held(found, true, 0.9))
    assert found.rates.dispersion[0] > 1.2
    assert np.mean(inside) > 0.8


def test_empty_shelves_do_not_lower_the_rates() -> None:
    true = np.full((300, 2), 3.0)
    history = drawn(true, 5)
    # Every shelf was empty for the whole second year, and what was asked for went unwritten.
    start, end = date(2024, 1, 1), date(2025, 1, 1)
    kept = (history.day < start.toordinal()) | (history.day >= end.toordinal())
    columns = (
        history.day,
        history.branch_of,
        history.job_of,
        history.part_of,
        history.quantity,
        history.short,
    )
    thinned = History(history.parts, history.branches, (), *(column[kept] for column in columns))
    stretches = [Stretch(b, key, start, end) for key in history.parts for b in BRANCHES]
    allowed = fitted(thinned, stretches=stretches)
    assert allowed.rates.mean.mean() == pytest.approx(3.0, rel=0.05)
    assert allowed.rates.blind_years.mean() == pytest.approx(1.0, abs=0.01)
    assert fitted(thinned).rates.mean.mean() < 2.2
    # A shop that writes down every ask leaves nothing out.
    whole = fitted(history, stretches=stretches, every_ask=True)
    assert whole.rates.left_out.sum() == 0.0


def test_short_asks_on_a_shelf_that_runs_out_leave_the_rate_unskewed() -> None:
    draw = np.random.default_rng(3)
    lines, lead = [], 30
    for number in range(400):
        day, empty_until = 0.0, -1.0
        while (day := day + draw.exponential(365.25 / 6.0)) < DAYS:
            empty = day < empty_until
            if empty and draw.random() < 0.6:
                continue
            if not empty:
                empty_until = day + lead
            when = date.fromordinal(FIRST.toordinal() + int(day))
            lines.append(DemandLine(0, when, "quay", "", f"p{number:04d}", 1, empty))
    history = history_of(lines)
    parts = [seal(key, lead_days=float(lead)) for key in history.parts]
    known = Known(parts, listed=frozenset(history.parts))
    found = estimate(history, known, since=FIRST, through=LAST, substitutes=False)
    naive = len(lines) / 400 / YEARS
    assert naive < 5.0
    # What went unwritten before the first short ask of a stretch is out of anybody's sight.
    assert naive < found.rates.mean.mean() < 6.3


def test_months_that_differ_are_found_and_those_that_do_not_are_left_alike() -> None:
    weights = np.array([1.6, 1.4, 1.2, 0.9, 0.7, 0.6, 0.5, 0.7, 0.9, 1.0, 1.2, 1.3])
    true = np.full((300, 1), 4.0)
    stormy = fitted(drawn(true, 1, weights=weights)).season
    assert stormy.weights == pytest.approx(weights / weights.mean(), abs=0.12)
    assert stormy.weights.mean() == pytest.approx(1.0)
    quiet = fitted(drawn(np.full((40, 1), 1.0), 2)).season
    assert np.abs(quiet.weights - 1.0).max() < 0.25
    short = season_of(days=np.array([FIRST.toordinal()]), first=FIRST.toordinal(), last=738600)
    assert (short.kept, short.weights.tolist()) == (0.0, [1.0] * 12)


def test_the_fleet_is_the_prior_and_history_the_evidence() -> None:
    key, other = "30206", "30207"
    parts = [Part(k, "bearing", SizeKey("bearing", 30_000, designation=k)) for k in (key, other)]
    fleet = [FleetKit("quay", "winch", {key: 2}, 3.0)]
    one = [DemandLine(2, date(2025, 6, 1), "quay", "J1", other, 1)]
    quiet = estimate(history_of(one), Known(parts, fleet=fleet), since=FIRST, through=LAST)
    rate = dict(zip((p.key for p in parts), quiet.rates.mean.tolist(), strict=True))
    # Nothing was asked for in three years: the fleet's six a year lose most of their credit.
    assert 0.0 < rate[key] < 3.0
    new = estimate(history_of(one), Known(parts, fleet=fleet), since=date(2025, 5, 20))
    assert new.rates.mean[0] > 4.5
    many = [
        DemandLine(n, date(2023 + n % 3, 1 + n % 12, 9), "quay", f"J{n}", key, 2) for n in range(30)
    ]
    busy = estimate(history_of(many + one), Known(parts, fleet=fleet), since=FIRST, through=LAST)
    assert rate[key] < 6.0 < busy.rates.mean[0] < 20.0


@settings(max_examples=25)
@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 900), st.integers(1, 5)), min_size=1))
def test_nothing_is_lost_and_more_asks_never_lower_a_rate(
    asked: list[tuple[int, int, int]],
) -> None:
    lines = [
        DemandLine(0, date.fromordinal(FIRST.toordinal() + day), "quay", "", f"p{part}", pieces)
        for part, day, pieces in asked
    ]
    keys = [f"p{n}" for n in range(4)]
    known = Known([seal(key) for key in keys], listed=frozenset(keys))
    found = estimate(history_of(lines), known, since=FIRST, through=LAST, substitutes=False)
    assert found.rates.pieces.sum() == sum(pieces for _, _, pieces in asked)
    low, high = found.rates.bounds()
    assert (low <= found.rates.mean).all()
    assert (found.rates.mean <= high).all()
    assert (found.rates.mean > 0).all()
    order = np.argsort(found.rates.pieces, kind="stable")
    even = found.rates.dispersion.max() == found.rates.dispersion.min()
    if even:
        assert (np.diff(found.rates.mean[order]) >= -1e-9).all()


def test_kits_are_what_jobs_took_and_their_sum_is_the_demand() -> None:
    lines = []
    for n in range(12):
        day = date(2023 + n % 3, 1 + n, 3)
        lines += [
            DemandLine(0, day, "quay", f"J{n}", "a", 2),
            DemandLine(0, day, "quay", f"J{n}", "b", 1),
        ]
    lines += [
        DemandLine(0, date(2024, 5, 1), "yard", "J1", "a", 1),
        DemandLine(0, date(2024, 5, 1), "quay", "", "b", 1),
    ]
    parts = [seal(key) for key in ("a", "b")]
    found = estimate(history_of(lines), Known(parts), since=FIRST, through=LAST)
    model = found.model
    kits: dict[tuple[object, ...], float] = {}
    for k, jobs in enumerate(found.kits.jobs.tolist()):
        own = slice(int(model.kit_start[k]), int(model.kit_start[k + 1]))
        named = [parts[n].key for n in model.part_of[model.kit_item[own]].tolist()]
        needs = zip(named, model.kit_quantity[own].tolist(), strict=True)
        if jobs:
            kits[(*needs, model.branches[int(model.kit_branch[k])])] = jobs
    assert kits == {
        (("a", 2), ("b", 1), "quay"): 12.0,
        (("a", 1), "yard"): 1.0,
        (("b", 1), "quay"): 1.0,
    }
    taken = np.bincount(
        model.kit_item,
        np.repeat(model.kit_rate, np.diff(model.kit_start)) * model.kit_quantity,
        minlength=len(model.part_of),
    )
    assert (taken >= model.rate - 1e-6).all()
    assert 0.0 < model.new_job_share < 0.3


def test_stretches_that_touch_are_one() -> None:
    blind = blind_stretches(
        item=np.array([0, 0, 1, 1]),
        day=np.array([10, 12, 10, 14]),
        short=np.array([True, True, True, False]),
        lead_days=np.array([5.0, 30.0]),
        stretches=[(0, 30, 40), (0, 35, 50), (1, 60, 60)],
    )
    rows = zip(blind.item.tolist(), blind.first.tolist(), blind.end.tolist(), strict=True)
    assert list(rows) == [(0, 11, 18), (0, 30, 50), (1, 11, 15)]
    inside = blind.covers(np.array([0, 0, 0, 1, 1]), np.array([10, 11, 18, 14, 15]))
    assert inside.tolist() == [False, True, False, True, False]


def test_every_rate_says_why() -> None:
    true = np.full((30, 2), 2.0)
    found = fitted(drawn(true, 1))
    rows = demand_rows(found, chosen_items(found, Chosen(every=True)), share=0.9)
    assert len(rows) == 60
    assert all("a year" in row["reason"] for row in rows)
    only = chosen_items(found, Chosen(branch="yard", key="p0003"))
    assert len(only) == 1


def test_what_can_not_be_estimated_is_an_error() -> None:
    with pytest.raises(NotKnownError, match="no line in the days"):
        estimate(history_of([]), Known([seal("a")]))
    line = [DemandLine(0, FIRST, "quay", "", "b", 1)]
    with pytest.raises(InputError, match="no part was given"):
        estimate(history_of(line), Known([seal("a")]))
    with pytest.raises(InputError, match="comes after the last"):
        estimate(history_of(line), Known([seal("b")]), since=LAST, through=FIRST)


def test_a_branch_without_history_borrows_and_it_is_said() -> None:
    line = [DemandLine(0, date(2025, 3, 1), "quay", "", "b", 1)]
    known = Known([seal("b")], branches=["new yard"])
    found = estimate(history_of(line), known)
    assert found.model.branches == ("new yard", "quay")
    assert found.rates.mean[0] > 0
    assert any("new yard: no history" in words for words in found.model.assumptions)
