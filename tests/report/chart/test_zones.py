"""Tolerance zones and candidates, drawn to their numbers."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.limits import fit
from fitcheck.report.chart.answers import fit_chart, shares_chart
from fitcheck.report.chart.axis import ticks
from fitcheck.report.chart.shares import MOST_BARS, Share, SharesChart, shares_svg
from fitcheck.report.chart.zones import FitChart, Zone, fit_svg

NEAR = 0.002


def heights(points: list[tuple[float, float]]) -> tuple[float, float]:
    """From where to where points reach down the paper."""
    return min(y for _, y in points), max(y for _, y in points)


def test_zones_stand_about_the_zero_line_to_scale(svg: Any) -> None:
    found = svg(fit_svg(FitChart(30.0, Zone("H7", 0.0, 21.0, 9.0, 4.0), Zone("g6", -20.0, -7.0))))
    assert (found.outside(), found.overlapping()) == ([], [])
    zero = found.part("zero line")[0][1]
    hole, shaft = heights(found.part("zone hole")), heights(found.part("zone shaft"))
    per_um = (hole[1] - hole[0]) / 21.0
    assert hole[1] == pytest.approx(zero, abs=NEAR)
    assert shaft == pytest.approx((zero + 7.0 * per_um, zero + 20.0 * per_um), abs=NEAR)
    assert found.circle("measured hole")[1] == pytest.approx(zero - 9.0 * per_um, abs=NEAR)
    sure = heights(found.part("sure hole"))
    assert sure == pytest.approx((zero - 13.0 * per_um, zero - 5.0 * per_um), abs=NEAR)
    assert {"+21", "0", "-7", "-20", "+9", "um", "hole H7", "shaft g6"} <= set(found.texts())
    assert "7 to 41 um clearance" in " ".join(found.texts())
    assert "hole H7 from 0 to +21 um, measured +9 um" in found.description


@settings(max_examples=40)
@given(
    st.floats(3.0, 500.0),
    st.sampled_from(["H7/g6", "N7/h6", "H8/s7", "K7/m6", "H11/h11"]),
    st.one_of(st.none(), st.floats(-900.0, 900.0)),
)
def test_any_fit_keeps_to_its_paper(
    svg: Any, nominal: float, classes: str, measured: float | None
) -> None:
    hole, shaft = classes.split("/")
    found = fit(nominal_mm=nominal, hole_class=hole, shaft_class=shaft)
    chart = FitChart(
        nominal,
        Zone(hole, found.hole.lower_um, found.hole.upper_um, measured, 5.0),
        Zone(shaft, found.shaft.lower_um, found.shaft.upper_um),
    )
    drawn = svg(fit_svg(chart))
    assert drawn.outside() == []


def test_one_class_is_a_chart_too(svg: Any) -> None:
    found = svg(fit_svg(FitChart(52.0, hole=Zone("H8", 0.0, 46.0))))
    assert found.parts("zone shaft") == []
    assert (found.outside(), found.overlapping()) == ([], [])


@pytest.mark.parametrize(
    "chart",
    [
        FitChart(30.0),
        FitChart(30.0, Zone("H7", 21.0, 0.0)),
        FitChart(30.0, Zone("H7", 0.0, float("nan"))),
    ],
)
def test_what_is_no_fit_is_refused(chart: FitChart) -> None:
    with pytest.raises(InputError, match="a chart of a fit"):
        fit_svg(chart)


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4), st.integers(2, 12))
def test_ticks_cover_the_range_in_even_round_steps(low: float, span: float, most: int) -> None:
    marks = ticks(low=low, high=low + span, most=most)
    assert marks[0] <= low + 1e-6 * span
    assert marks[-1] >= low + span * (1.0 - 1e-6)
    assert len(marks) <= most + 3


def test_ticks_of_nothing_are_ticks_all_the_same() -> None:
    assert len(ticks(low=3.0, high=3.0)) > 1


# --- candidates ----------------------------------------------------------------------------------


def test_bars_are_as_long_as_their_probability(svg: Any) -> None:
    chart = SharesChart(
        (Share("35 x 52 x 7", 0.6), Share("35 x 52 x 8", 0.3), Share("no listed size", 0.1, False))
    )
    found = svg(shares_svg(chart))
    assert (found.outside(), found.overlapping()) == ([], [])
    bars = {round(max(x for x, _ in bar) - 8.0, 3) for bar in found.parts("bar")}
    assert bars == {round(84.0 * share, 3) for share in (0.6, 0.3, 0.1)}
    assert found.part("sure")[0][0] == pytest.approx(8.0 + 84.0 * 0.95, abs=NEAR)
    assert {"60.0 %", "30.0 %", "10.0 %", "0", "100"} <= set(found.texts())


def test_many_candidates_are_cut_and_the_rest_is_said(svg: Any) -> None:
    shares = tuple(Share(f"size {n}", 0.05) for n in range(20))
    found = svg(shares_svg(SharesChart(shares)))
    assert (found.outside(), found.overlapping()) == ([], [])
    assert f"{20 - MOST_BARS} sizes more" in found.texts()
    assert "40.0 %" in found.texts()


def test_a_hostile_name_is_text_and_fits(svg: Any) -> None:
    name = '<b onclick="x">' + "w" * 200
    found = svg(shares_svg(SharesChart((Share(name, 1.0),), title=name)))
    assert (found.outside(), found.overlapping()) == ([], [])
    assert name in found.title


@pytest.mark.parametrize("shares", [(), (Share("a", 1.5),), (Share("a", float("nan")),)])
def test_shares_outside_nothing_and_all_are_refused(shares: tuple[Share, ...]) -> None:
    with pytest.raises(InputError, match="from 0 to 1"):
        shares_svg(SharesChart(shares))


@pytest.mark.parametrize(
    ("answer", "make"),
    [
        ({}, fit_chart),
        ({"hole": 7}, fit_chart),
        ({"hole": {"class": "H7", "upper_um": "21", "lower_um": 0}}, fit_chart),
        ({"hole": {"class": 7, "upper_um": 21, "lower_um": 0}}, fit_chart),
        ({}, shares_chart),
        ({"candidates": [1], "unlisted": 0.1}, shares_chart),
        ({"candidates": [{"size": "a", "probability": True}], "unlisted": 0.1}, shares_chart),
        ({"candidates": []}, shares_chart),
    ],
)
def test_what_is_no_answer_is_refused(answer: dict[str, Any], make: Any) -> None:
    with pytest.raises(InputError, match="this is no answer of"):
        make(answer)
