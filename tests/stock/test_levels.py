"""Poisson and negative binomial levels against scipy, and what must hold of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fitcheck.stock.levels import (
    at_most,
    cumulative_rows,
    expected_short,
    ready_share,
    reorder_ready_share,
    smallest_level,
)

# Every mean with every variance over mean, and levels from nothing to far beyond.
MEANS = np.geomspace(1e-4, 4990.5, 60)
OVER = np.array([1.0, 1.0 + 1e-6, 1.01, 1.3, 2.0, 5.0, 40.0])
MEAN, FACTOR = (grid.ravel() for grid in np.meshgrid(MEANS, OVER))
VARIANCE = MEAN * FACTOR
POISSON = FACTOR == 1.0


def reference(method: str, argument: np.ndarray) -> np.ndarray:
    """The same by scipy."""
    excess = np.where(POISSON, 1.0, VARIANCE - MEAN)
    number = np.where(POISSON, 1.0, MEAN**2 / excess)
    chance = np.where(POISSON, 0.5, MEAN / VARIANCE)
    negative = getattr(stats.nbinom, method)(argument, number, chance)
    return np.where(POISSON, getattr(stats.poisson, method)(argument, MEAN), negative)


@pytest.mark.parametrize("deviations", [-4.0, -1.0, 0.0, 0.5, 2.0, 5.0, 10.0])
def test_at_most(deviations: float) -> None:
    level = np.floor(MEAN + deviations * np.sqrt(VARIANCE))
    found = at_most(mean=MEAN, variance=VARIANCE, level=level)
    # So near Poisson the number of the negative binomial itself has no more digits.
    assert found == pytest.approx(reference("cdf", level), abs=1e-8)
    far = np.not_equal(FACTOR, OVER[1])
    assert found[far] == pytest.approx(reference("cdf", level)[far], abs=1e-11)


@pytest.mark.parametrize("wanted", [0.0, 0.01, 0.5, 0.9, 0.95, 0.99, 0.9999])
def test_smallest_level(wanted: float) -> None:
    found = smallest_level(mean=MEAN, variance=VARIANCE, wanted=wanted)
    # scipy's answer for no probability at all is the level below the first.
    assert found.tolist() == np.maximum(reference("ppf", np.array(wanted)), 0).tolist()


@pytest.mark.parametrize("factor", [1.0, 1.5, 6.0])
@pytest.mark.parametrize("mean", [0.02, 0.7, 3.0, 45.0])
def test_expected_short_is_the_sum_of_the_tail(mean: float, factor: float) -> None:
    counts = np.arange(0, 4000)
    if factor == 1.0:
        chances = stats.poisson.pmf(counts, mean)
    else:
        chances = stats.nbinom.pmf(counts, mean / (factor - 1.0), 1.0 / factor)
    for level in (0, 1, 2, 5, 60):
        wanted = float((np.maximum(counts - level, 0) * chances).sum())
        found = expected_short(mean=mean, variance=mean * factor, level=level)
        assert float(found) == pytest.approx(wanted, abs=1e-9)


def test_levels_row_by_row_are_the_levels_one_by_one() -> None:
    for level, found in cumulative_rows(mean=MEAN, variance=VARIANCE, highest=40):
        wanted = at_most(mean=MEAN, variance=VARIANCE, level=level)
        assert found == pytest.approx(wanted, abs=1e-12)


def test_an_order_of_one_is_the_base_stock() -> None:
    for reorder in range(-1, 6):
        base = ready_share(mean=MEAN, variance=VARIANCE, level=reorder + 1)
        found = reorder_ready_share(mean=MEAN, variance=VARIANCE, reorder=reorder, quantity=1)
        assert found == pytest.approx(base, abs=1e-8)


@pytest.mark.parametrize("reorder", [-7, -3, -1, 0, 4])
@pytest.mark.parametrize("quantity", [1, 4, 9])
def test_an_order_of_many_is_the_mean_over_its_positions(reorder: int, quantity: int) -> None:
    positions = range(reorder + 1, reorder + quantity + 1)
    each = [at_most(mean=2.2, variance=3.0, level=y - 1) for y in positions]
    found = reorder_ready_share(mean=2.2, variance=3.0, reorder=reorder, quantity=quantity)
    assert float(found) == pytest.approx(float(np.mean(each)), abs=1e-12)


@settings(max_examples=60)
@given(
    mean=st.floats(1e-3, 300.0),
    factor=st.floats(1.0, 20.0),
    level=st.integers(0, 400),
    wanted=st.floats(1e-6, 0.999),
)
def test_levels_and_probabilities_turn_each_other_round(
    mean: float, factor: float, level: int, wanted: float
) -> None:
    variance = mean * factor
    here = float(at_most(mean=mean, variance=variance, level=level))
    above = float(at_most(mean=mean, variance=variance, level=level + 1))
    assert 0.0 <= here <= above <= 1.0
    least = int(smallest_level(mean=mean, variance=variance, wanted=wanted))
    assert float(at_most(mean=mean, variance=variance, level=least)) >= wanted - 1e-12
    if least:
        assert float(at_most(mean=mean, variance=variance, level=least - 1)) < wanted
    short = float(expected_short(mean=mean, variance=variance, level=level))
    less = float(expected_short(mean=mean, variance=variance, level=level + 1))
    assert less == pytest.approx(short - (1.0 - here), abs=1e-8)
