"""The plan against every list there is, on small problems; and what must hold of it anywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import NotKnownError
from fitcheck.stock import plan as planning
from fitcheck.stock.choices import choices_of, full
from fitcheck.stock.estimate import estimate
from fitcheck.stock.frontier import budgets, frontier
from fitcheck.stock.model import Kit, Rate, model_of
from fitcheck.stock.months import pace_of
from fitcheck.stock.plan import best_list, plan_for_budget, plan_for_jobs
from fitcheck.stock.pose import Posed, loaded, pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.problem import Problem, complete_jobs, money, ready_rows
from fitcheck.stock.records import DAYS_PER_YEAR, Ahead, Model, Part
from fitcheck.stock.rules import line_fill
from fitcheck.stock.spend import per_line


def small_problem(
    seed: int, *, substitutes: bool = False, packs: bool = True, items: int = 0
) -> Problem:
    """A few items and kits that share them."""
    rng = np.random.default_rng(seed)
    count = items or int(rng.integers(4, 8))
    mean = rng.gamma(0.8, 0.6, count) + 0.01
    variance = mean * rng.uniform(1.0, 2.0, count)
    pack = np.where(rng.random(count) < 0.2, 2, 1) if packs else np.ones(count, dtype=np.int64)
    pack = pack.astype(np.int64)
    most = np.full(count, 4 if count <= 6 else 3, dtype=np.int64)
    row, ready, most = ready_rows(mean=mean, variance=variance, pack=pack, most=most)
    kits = [
        sorted(rng.choice(count, size=int(rng.integers(1, min(5, count) + 1)), replace=False))
        for _ in range(int(rng.integers(2, 7)))
    ]
    kits += [[item] for item in range(count) if rng.random() < 0.4]
    kit_start, slot_start, use_item, use_quantity = [0], [0], [], []
    instead = rng.integers(0, count, count)
    for kit in kits:
        for item in kit:
            quantity = int(rng.choice([1, 1, 1, 2]))
            use_item.append(int(item))
            use_quantity.append(quantity)
            if substitutes and rng.random() < 0.3 and instead[item] != item:
                use_item.append(int(instead[item]))
                use_quantity.append(quantity)
            slot_start.append(len(use_item))
        kit_start.append(len(slot_start) - 1)
    return Problem(
        price=np.round(rng.lognormal(2.5, 0.8, count), 2),
        least=np.zeros(count, dtype=np.int64),
        first=pack,
        most=most,
        row=row,
        ready=ready,
        kit_rate=rng.gamma(1.0, 3.0, len(kits)),
        kit_start=np.array(kit_start),
        slot_start=np.array(slot_start),
        use_item=np.array(use_item),
        use_quantity=np.array(use_quantity),
    )


def every_list(problem: Problem) -> tuple[np.ndarray, np.ndarray]:
    """The money and the complete jobs of every list there is, one by one from the definition."""
    ranges = [
        [0, *range(int(first), int(most) + 1)]
        for first, most in zip(problem.first, problem.most, strict=True)
    ]
    lists = np.array(list(product(*ranges)))
    jobs = np.zeros(len(lists))
    for kit, rate in enumerate(problem.kit_rate):
        complete = np.ones(len(lists))
        for slot in range(problem.kit_start[kit], problem.kit_start[kit + 1]):
            missing = np.ones(len(lists))
            for use in range(problem.slot_start[slot], problem.slot_start[slot + 1]):
                item, quantity = problem.use_item[use], problem.use_quantity[use]
                row = problem.ready[problem.row[item] : problem.row[item + 1]]
                missing *= 1.0 - row[np.maximum(lists[:, item] - quantity + 1, 0)]
            complete *= 1.0 - missing
        jobs += rate * complete
    return lists @ problem.price, jobs


def budget_for(seed: int, highest: float) -> float:
    """Some money for a problem."""
    return float(highest * np.random.default_rng(seed + 1000).uniform(0.05, 0.8))


# Two hundred problems: items shared between kits, packs, kits that take two pieces; in every
# fourth a slot may be filled by another item.
@pytest.mark.parametrize("first", range(0, 200, 20))
def test_within_one_per_cent_of_the_best_of_all_lists(first: int) -> None:
    for seed in range(first, first + 20):
        problem = small_problem(seed, substitutes=seed % 4 == 0)
        spent, jobs = every_list(problem)
        budget = budget_for(seed, spent.max())
        best = jobs[spent <= budget + 1e-9].max()
        found = best_list(problem, budget)
        assert found.money <= budget + 1e-9
        assert found.jobs >= 0.99 * best, f"problem {seed}"
        assert found.jobs <= best + 1e-9


@given(st.integers(0, 10_000), st.floats(0.02, 1.2))
@settings(max_examples=30, deadline=None)
def test_never_worse_than_the_per_line_list_for_the_same_money(seed: int, part: float) -> None:
    problem = small_problem(seed, substitutes=seed % 2 == 0, items=6)
    budget = part * float(problem.price @ problem.most)
    lines, _ = per_line(problem, choices_of(problem), budget)
    assert money(problem, lines) <= budget
    found = best_list(problem, budget)
    assert found.jobs >= complete_jobs(problem, lines)
    assert found.money <= budget


@given(st.integers(0, 10_000), st.floats(0.1, 0.9), st.floats(1.01, 1.5))
@settings(max_examples=15, deadline=None)
def test_more_money_completes_no_fewer_jobs(seed: int, part: float, more: float) -> None:
    problem = small_problem(seed, items=5)
    budget = part * float(problem.price @ problem.most)
    less = best_list(problem, budget)
    assert best_list(problem, budget * more, also=(less.level,)).jobs >= less.jobs


def shop(*, sizes: int = 6, substitutes: bool = False, critical: bool = False) -> Model:
    """A few sizes at two branches, and kits that share them."""
    parts = [
        Part(f"s{n}", "seal", price=5.0 + 3 * n, currency="EUR", critical=critical and n == 5)
        for n in range(sizes)
    ]
    kits = [
        Kit(branch, {f"s{(n + k) % sizes}": 1 + (n == 0) for n in range(size)}, 2.0 + k)
        for branch in ("quay", "yard")
        for k, size in enumerate((1, 2, 3, 4))
    ]
    instead = {"s0": [("s1", "the pocket takes it")], "s2": [("s3", "the pocket takes it")]}
    return model_of(parts, kits, substitutes=instead if substitutes else None)


def posed_shop(model: Model) -> Posed:
    """The problem of a shop."""
    return pose(model, prices_of(model))


def whole_shop(seed: int, *, substitutes: bool) -> Posed:
    """Three sizes at two branches with all that terms and records may say."""
    rng = np.random.default_rng(seed)

    def part(number: int) -> Part:
        return Part(
            f"s{number}",
            ("seal", "bearing", "other")[number],
            price=float(np.round(rng.lognormal(2.0, 0.7), 2)),
            currency="EUR",
            lead_days=float(rng.choice([3, 9, 20])),
            lead_days_sd=float(rng.choice([0, 4])),
            pack=int(rng.choice([1, 1, 2])),
            minimum=int(rng.choice([1, 1, 3])),
            shelf_life_months=float(rng.choice([9, 60])) if number == 0 else None,
            critical=number == 1 and seed % 2 == 0,
        )

    parts = [part(number) for number in range(3)]
    kits = [
        Kit(branch, {f"s{n}": int(rng.choice([1, 1, 2])) for n in sizes}, rng.gamma(1.5, 1.0))
        for branch in ("quay", "yard")
        for sizes in ([0], [2], [0, 1], [1, 2], [0, 1, 2])
    ]
    rates = {
        (f"s{n}", branch): Rate(float(rng.gamma(2.0, 1.5)), shape=3.0, dispersion=1.5)
        for n in range(3)
        for branch in ("quay", "yard")
    }
    instead = {"s0": [("s2", "where the pocket takes it")]} if substitutes else None
    model = model_of(parts, kits, rates=rates, substitutes=instead)
    row = np.zeros(6, dtype=np.int64)
    weights = np.linspace(0.4, 1.6, 12)[None, :]
    days = Ahead(date(2025, 9, 1), 60) if seed % 3 else None
    pace = pace_of(weights, row, model.lead_mean_years * DAYS_PER_YEAR, days)
    return posed_shop(replace(model, pace=pace, kit_pace=np.full(10, pace.now[0])))


@pytest.mark.parametrize(
    ("substitutes", "seeds"),
    [(False, range(12)), (True, (8, 10))],
    ids=["alone", "stand-ins"],
)
def test_near_the_best_of_all_lists_whatever_the_terms(substitutes: bool, seeds: Any) -> None:
    for seed in seeds:
        posed = whole_shop(seed, substitutes=substitutes)
        problem = posed.problem
        few = np.minimum(problem.most, np.maximum(problem.first + 1, 3))
        ranges = [
            [n for n in (0, *range(int(first), int(most) + 1)) if n >= least]
            for first, most, least in zip(problem.first, few, problem.least, strict=True)
        ]
        lists = np.array(list(product(*ranges)))
        spent = lists @ problem.price
        more = float(np.random.default_rng(seed).uniform(0.15, 0.7))
        budget = float(spent.min() + more * (np.quantile(spent, 0.8) - spent.min()))
        level = plan_for_budget(posed, budget)
        assert money(problem, level) <= budget + 1e-9
        assert (level >= problem.least).all()
        assert ((level == 0) | (level >= problem.first)).all()
        # Each list is judged by itself, under its own loads; the best spends most of its money.
        some = lists[(spent <= budget + 1e-9) & (spent > 0.75 * budget)]
        best = max(complete_jobs(loaded(posed, one), one) for one in some)
        assert complete_jobs(loaded(posed, level), level) >= 0.99 * best, f"shop {seed}"


def test_the_frontier_never_falls() -> None:
    posed = posed_shop(shop(substitutes=True))
    points = frontier(posed, budgets(posed, points=5))
    complete = [point.figures.complete for point in points]
    assert complete == sorted(complete)
    assert all(point.figures.money <= point.budget + 1e-9 for point in points)


def test_the_least_money_for_a_share_of_the_jobs() -> None:
    posed = posed_shop(shop())
    level = plan_for_jobs(posed, 0.9)
    assert complete_jobs(posed.problem, level) >= 0.9 * posed.problem.jobs
    less = plan_for_budget(posed, 0.97 * money(posed.problem, level))
    assert complete_jobs(posed.problem, less) < 0.9 * posed.problem.jobs + 0.01


def test_a_share_that_no_shelf_reaches_is_refused_with_what_one_does() -> None:
    with pytest.raises(NotKnownError, match=r"complete 99\.\d+%"):
        plan_for_jobs(posed_shop(shop()), 0.99999)


def test_what_is_always_kept_is_kept_and_may_be_too_dear() -> None:
    posed = posed_shop(shop(critical=True))
    level = plan_for_budget(posed, 60.0)
    assert (level[posed.problem.least > 0] >= 1).all()
    with pytest.raises(NotKnownError, match=r"always kept cost 40\.00"):
        plan_for_budget(posed, 30.0)


def test_a_stand_in_is_asked_for_by_the_jobs_of_what_is_out() -> None:
    model = shop(substitutes=True)
    posed = posed_shop(model)
    level = np.full(len(model.part_of), 2)
    level[0] = 0
    true = loaded(posed, level)
    # s1 at the first branch is asked for in the place of s0, so a single piece is there less often.
    at = posed.problem.row[2] + 1
    assert true.ready[at] < posed.problem.ready[at]
    assert complete_jobs(true, level) < complete_jobs(posed.problem, level)
    # Where nothing is out nothing is asked of others, next to nothing.
    full = posed.problem.most
    assert complete_jobs(loaded(posed, full), full) == pytest.approx(
        complete_jobs(posed.problem, full), rel=1e-3
    )


def test_a_stand_in_makes_jobs_complete_that_would_not_be() -> None:
    alone, both = posed_shop(shop()), posed_shop(shop(substitutes=True))
    for budget in (60.0, 120.0):
        without = plan_for_budget(alone, budget)
        shared = plan_for_budget(both, budget)
        assert complete_jobs(loaded(both, shared), shared) > complete_jobs(alone.problem, without)


def test_packs_are_bought_whole() -> None:
    parts = [Part("s0", "seal", price=2.0, pack=5), Part("s1", "seal", price=3.0, minimum=2)]
    model = model_of(parts, [Kit("quay", {"s0": 1, "s1": 1}, 10.0)])
    posed = posed_shop(model)
    assert plan_for_budget(posed, 9.0).tolist() in ([0, 0], [0, 2], [0, 3])
    level = plan_for_budget(posed, 16.0)
    assert level[0] >= 5
    assert level[1] >= 2


def test_a_seal_that_ages_is_not_kept_beyond_its_life() -> None:
    fresh = Part("s0", "seal", price=1.0, shelf_life_months=6.0)
    model = model_of([fresh], [Kit("quay", {"s0": 1}, 2.0)])
    posed = posed_shop(model)
    assert posed.problem.most.tolist() == [1]
    assert plan_for_budget(posed, 1000.0).tolist() == [1]


def test_a_shop_without_jobs_keeps_nothing() -> None:
    model = model_of([Part("s0", "seal", price=1.0)], [], branches=["quay"])
    posed = posed_shop(model)
    assert plan_for_budget(posed, 100.0).tolist() == [0]


# --- shops too large for swaps --------------------------------------------------------------------


def invented_shop(sizes: int, branches: int, lines: int) -> Posed:
    """A shop as scripts/bench_stock draws it: half of its seals may stand in for others."""
    file = str(Path(__file__).parents[2] / "scripts" / "bench_stock")
    loader = SourceFileLoader("bench_stock", file)
    spec = spec_from_loader("bench_stock", loader)
    assert spec is not None
    bench = module_from_spec(spec)
    loader.exec_module(bench)
    history, known = bench.invented_shop(sizes, branches, lines)
    return posed_shop(estimate(history, known).model)


@pytest.mark.parametrize("share", [0.15, 0.4])
def test_a_large_list_is_better_than_line_by_line_under_the_loads_it_makes(share: float) -> None:
    posed = invented_shop(1000, 5, 50_000)
    assert len(posed.problem.use_item) > planning.SWAP_USES
    budget = share * money(posed.problem, full(choices_of(posed.problem)))
    plan, lines = plan_for_budget(posed, budget), line_fill(posed, budget)
    complete, by_line = (
        complete_jobs(loaded(posed, level), level) / posed.problem.jobs for level in (plan, lines)
    )
    assert money(posed.problem, plan) <= budget
    # Of the jobs that single lines leave over, the plan leaves less than three in four.
    assert 1.0 - complete < 0.75 * (1.0 - by_line)


def test_without_swaps_small_lists_too_are_near_the_best_of_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(planning, "SWAP_USES", 0)
    near = []
    for seed in range(1, 40, 2):
        problem = small_problem(seed)
        spent, jobs = every_list(problem)
        budget = budget_for(seed, spent.max())
        zero = np.zeros(len(problem.price))
        level = plan_for_budget(Posed(problem, zero, zero, problem.first, zero), budget)
        assert money(problem, level) <= budget + 1e-9
        near.append(complete_jobs(problem, level) / jobs[spent <= budget + 1e-9].max())
    assert np.mean(near) > 0.9


def test_a_large_share_of_jobs_costs_least_to_a_hundredth(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "SWAP_USES", 0)
    posed = invented_shop(200, 2, 5_000)
    level = plan_for_jobs(posed, 0.8)
    share = complete_jobs(loaded(posed, level), level) / posed.problem.jobs
    assert 0.8 <= share < 0.82


@pytest.mark.parametrize("kept", [(1, 1), (2, 1), (2, 3)])
def test_a_kit_of_two_is_complete_as_often_as_in_a_simulation(kept: tuple[int, int]) -> None:
    # Both sizes sell mostly by themselves, so that what is out of one says little of the other.
    rates, days = (20.0, 14.0, 1.0), (20.0, 30.0)
    parts = [
        Part(f"s{n}", "seal", price=1.0, lead_days=days[n], lead_days_sd=0.0) for n in range(2)
    ]
    needs = ({"s0": 1}, {"s1": 1}, {"s0": 1, "s1": 1})
    kits = [Kit("quay", need, rate) for need, rate in zip(needs, rates, strict=True)]
    posed = posed_shop(model_of(parts, kits))
    level = np.array(kept)
    shares = np.array([posed.problem.ready[posed.problem.row[n] + kept[n]] for n in range(2)])
    expected = float(shares.prod())
    assert complete_jobs(posed.problem, level) == pytest.approx(
        rates[0] * shares[0] + rates[1] * shares[1] + rates[2] * expected
    )
    rng = np.random.default_rng(5)
    asks = 60_000
    when = np.cumsum(rng.exponential(365.0 / sum(rates), asks)).tolist()
    which = rng.choice(3, asks, p=np.array(rates) / sum(rates)).tolist()
    away: tuple[list[float], list[float]] = ([], [])
    seen = complete = 0
    for day, job in zip(when, which, strict=True):
        there = []
        for item in (0, 1):
            away[item][:] = [back for back in away[item] if back > day]
            there.append(len(away[item]) < kept[item])
        # Any job sees what the kit would find, for all come at random.
        seen, complete = seen + 1, complete + all(there)
        for item in ((0,), (1,), (0, 1))[job]:
            # One is ordered for each that is asked for; who finds none waits for it.
            away[item].append(day + days[item])
    assert complete / seen == pytest.approx(expected, abs=0.02)
