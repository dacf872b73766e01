"""The family of radial shaft seals: sizes, labels and limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.parts.seal import (
    bore_limits,
    case_limits,
    inch_text,
    lip_limits,
    seal_family,
    seal_sizes,
    shaft_limits,
    size_label,
    width_limits,
)

SYSTEMS = st.sampled_from(["metric", "inch"])


def test_every_size_is_listed_once_and_has_three_dimensions() -> None:
    sizes = seal_sizes()
    keys = [tuple(round(n[0], 4) for n in s.nominals if n is not None) for s in sizes]
    assert len(set(keys)) == len(keys)
    assert all(len(key) == 3 for key in keys)
    assert all(key[0] < key[1] for key in keys)
    assert len({s.label for s in sizes}) == len(sizes)
    assert all(s.source and s.series for s in sizes)
    assert {s.system for s in sizes} == {"metric", "inch", "mixed"}


def test_a_size_names_all_the_series_that_list_it() -> None:
    size = next(s for s in seal_sizes() if s.label == "35 x 52 x 8")
    assert {"ISO 6194-1", "DIN 3760"} <= set(size.series)
    assert size.nominals == ((35.0, "metric"), (52.0, "metric"), (8.0, "metric"))


def test_labels() -> None:
    assert size_label(shaft_mm=34.925, bore_mm=53.975, width_mm=7.9375, system="inch") == (
        "1.375 x 2.125 x 0.3125 in"
    )
    assert inch_text(0.5) == "0.500"


@pytest.mark.parametrize(
    ("limits", "nominal", "system", "expected"),
    [
        (shaft_limits, 35.0, "metric", (-0.160, 0.0)),
        (bore_limits, 52.0, "metric", (0.0, 0.046)),
        (shaft_limits, 34.925, "inch", (-0.0762, 0.0762)),
        (width_limits, 7.0, "metric", (-0.3, 0.3)),
        (width_limits, 12.0, "metric", (-0.4, 0.4)),
        (width_limits, 7.94, "inch", (-0.381, 0.381)),
        (lip_limits, 25.0, "metric", (-1.3, -0.5)),
        (lip_limits, 35.0, "metric", (-1.7, -0.8)),
        (lip_limits, 30.0, "metric", (-1.3, -0.5)),
    ],
)
def test_limits(limits: object, nominal: float, system: str, expected: tuple[float, float]) -> None:
    found = limits(nominal, system)  # type: ignore[operator]
    assert found == pytest.approx(expected, abs=1e-4)


def test_a_case_is_larger_than_its_bore() -> None:
    assert case_limits("metal", 52.0, "metric") == pytest.approx((0.09, 0.23))
    metal, rubber = case_limits("metal", 40.0, "metric"), case_limits("rubber", 40.0, "metric")
    assert metal == pytest.approx((0.08, 0.20))
    assert rubber[0] > metal[0]
    assert case_limits("metal", 53.975, "inch") == pytest.approx((0.003 * 25.4, 0.008 * 25.4))


@given(st.floats(3.0, 700.0), SYSTEMS)
def test_limits_are_given_for_whatever_the_search_tries(nominal: float, system: str) -> None:
    for limits in (shaft_limits, bore_limits, width_limits, lip_limits):
        if limits in (shaft_limits, bore_limits) and system == "inch" and nominal > 500.0:
            continue
        lower, upper = limits(nominal, system)
        assert lower <= upper
    for case in ("metal", "rubber"):
        lower, upper = case_limits(case, nominal, system)
        assert 0.0 < lower < upper


def test_the_case_that_is_known_leaves_one_view() -> None:
    assert len(seal_family().places["old-od"].views) == 2
    for case in ("metal", "rubber"):
        (view,) = seal_family(case=case).places["old-od"].views
        assert view.share == 1.0
        assert view.limits(52.0, "metric") == case_limits(case, 52.0, "metric")
