"""The special functions against an independent library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from fitcheck.stock.special import gamma_at_most, gamma_quantile, log_gamma, log_gamma_step

SHAPES = np.geomspace(1e-3, 1e4, 150)


def test_log_gamma() -> None:
    x = np.geomspace(1e-6, 1e9, 2000)
    assert log_gamma(x) == pytest.approx(special.gammaln(x), rel=1e-12, abs=1e-13)


def test_log_gamma_step_keeps_its_digits() -> None:
    x, step = np.meshgrid(np.geomspace(1e-3, 1e3, 60), np.linspace(0.0, 200.0, 41))
    wanted = special.gammaln(x + step) - special.gammaln(x)
    assert log_gamma_step(x, step) == pytest.approx(wanted, rel=1e-11, abs=1e-11)
    # Far out the difference of two library values has no digits left, the limit has.
    assert log_gamma_step(1e14, 3.0) == pytest.approx(3.0 * np.log(1e14), rel=1e-12)


@pytest.mark.parametrize("share", [1e-3, 0.1, 0.5, 0.9, 0.999, 1.5, 3.0])
def test_gamma_at_most(share: float) -> None:
    x = SHAPES * share + 1e-9
    wanted = special.gammainc(SHAPES, x)
    assert gamma_at_most(shape=SHAPES, x=x) == pytest.approx(wanted, rel=1e-9, abs=1e-12)
    assert gamma_at_most(shape=[2.0, 3.0], x=[0.0, -1.0]).tolist() == [0.0, 0.0]


@pytest.mark.parametrize("probability", [0.01, 0.05, 0.5, 0.95, 0.999])
def test_gamma_quantile(probability: float) -> None:
    wanted = special.gammaincinv(SHAPES, probability)
    found = gamma_quantile(shape=SHAPES, probability=probability)
    assert found == pytest.approx(wanted, rel=1e-8, abs=1e-250)
