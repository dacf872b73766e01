"""Worked examples of base stock, (r, Q) and spare parts, recalled from memory and recomputed.

None was read again in its book. Each figure below is the one remembered; that the arithmetic of the
book's own formula, written out here beside the program's, comes to the same digits is the check.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitcheck.stock.levels import at_most, expected_short, reorder_ready_share, smallest_level


def poisson(count: int, mean: float) -> float:
    """Probability of a count."""
    return math.exp(-mean) * mean**count / math.factorial(count)


# An inventory textbook's (r, Q) example with Poisson demand (fundamentals of supply chain theory,
# chapter on the exact (r, Q) policy), from memory: demand 1.5, lead time 2, fixed cost 100, holding
# 20 and shortage 150 each unit and time. Optimal r = 3, Q = 5, cost 107.92.
RATE, LEAD, FIXED, HOLDING, SHORTAGE = 1.5, 2.0, 100.0, 20.0, 150.0


def cost(reorder: int, quantity: int) -> float:
    """Cost a unit of time, by the program's back-orders."""
    mean = RATE * LEAD
    position = np.arange(reorder + 1, reorder + quantity + 1)
    short = expected_short(mean=mean, variance=mean, level=position)
    held = position - mean + short
    return float((FIXED * RATE + (HOLDING * held + SHORTAGE * short).sum()) / quantity)


def test_the_textbook_reorder_point_and_quantity() -> None:
    found = min((cost(r, q), r, q) for r in range(12) for q in range(1, 20))
    assert found[1:] == (3, 5)
    assert found[0] == pytest.approx(107.92358063, abs=1e-7)


def test_the_textbook_fill_by_hand() -> None:
    by_hand = sum(sum(poisson(k, 3.0) for k in range(y)) for y in range(4, 9)) / 5
    found = reorder_ready_share(mean=3.0, variance=3.0, reorder=3, quantity=5)
    assert float(found) == pytest.approx(by_hand, abs=1e-14)


# The spare-parts book on multi-echelon allocation, its first example of marginal analysis, from
# memory: two parts with 10 and 50 demands a year and repair times of 0.1 and 0.08 years, so 1 and 4
# in repair on average. Expected back-orders by level, to three places.
BACK_ORDERS = {
    1.0: (1.000, 0.368, 0.104, 0.023, 0.004),
    4.0: (4.000, 3.018, 2.110, 1.348, 0.781, 0.410, 0.195),
}


@pytest.mark.parametrize("mean", BACK_ORDERS)
def test_the_back_orders_of_the_spares_example(mean: float) -> None:
    levels = range(len(BACK_ORDERS[mean]))
    found = expected_short(mean=mean, variance=mean, level=list(levels))
    assert found == pytest.approx(BACK_ORDERS[mean], abs=5e-4)
    for level in levels:
        tail = sum((k - level) * poisson(k, mean) for k in range(level, 60))
        assert float(found[level]) == pytest.approx(tail, abs=1e-12)


# The newsvendor with Poisson demand of any textbook: at a critical ratio of 0.8 and a mean of 20
# the level is 24, from memory.
def test_the_textbook_base_stock_at_a_critical_ratio() -> None:
    assert int(smallest_level(mean=20.0, variance=20.0, wanted=0.8)) == 24
    assert float(at_most(mean=20.0, variance=20.0, level=23)) < 0.8
    assert sum(poisson(k, 20.0) for k in range(25)) >= 0.8
