"""One judge for a measured size: fits, bearing seats and the seats of a seal agree."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.assess.seal_seat import seal_bore
from fitcheck.assess.seat import journal_seat
from fitcheck.judging import COVERAGE, judge, judge_reading
from fitcheck.limits import class_limits
from fitcheck.limits_verdict import judge as fit_judge
from fitcheck.readings import Reading, read, reading_of


def verdict(measured_um: float, *, sure_um: float) -> str:
    """Judged by 0 to 21 um, the band of H7 at 30 mm."""
    return judge(
        deviation_um=measured_um,
        lower_um=0,
        upper_um=21,
        standard_error_um=sure_um / COVERAGE,
    ).verdict


@pytest.mark.parametrize(
    ("measured_um", "expected"),
    [
        # A fifth of the band, 4.2 um, is enough for an instrument this fine.
        (4.2, "go"),
        (4.19, "check"),
        (5.0, "go"),
        (16.0, "go"),
        (16.8, "go"),
        (16.81, "check"),
        (21.0, "check"),
        (26.0, "check"),
        (26.1, "no-go"),
        (-5.0, "check"),
        (-5.1, "no-go"),
    ],
)
def test_three_verdicts_at_their_edges(measured_um: float, expected: str) -> None:
    assert verdict(measured_um, sure_um=5.0) == expected


def test_a_coarse_instrument_never_proves_a_narrow_band() -> None:
    assert verdict(10.5, sure_um=16.8) == "go"
    assert verdict(10.5, sure_um=16.9) == "check"


@given(st.floats(-100, 100), st.floats(0, 50), st.floats(0, 50))
def test_a_surer_reading_never_turns_a_verdict_over(
    measured_um: float, one_um: float, two_um: float
) -> None:
    surer, looser = sorted((one_um, two_um))
    firm = verdict(measured_um, sure_um=surer)
    assert verdict(measured_um, sure_um=looser) in {"check", firm}


def bore(*texts: str) -> Reading:
    return read(place="bore", texts=texts)


def test_one_odd_place_is_a_check_and_two_are_a_no_go() -> None:
    h8 = class_limits(nominal_mm=52, tolerance_class="H8")
    one = judge_reading(measured=bore("51.99", "52.16"), limits=h8)
    two = judge_reading(measured=bore("51.99", "52.16", "52.17"), limits=h8)
    assert (one.verdict, two.verdict, two.worst) == ("check", "no-go", True)


@pytest.mark.parametrize(
    "texts",
    [
        ("30.010@micrometer",),
        ("30.004@micrometer",),
        ("30.0025@micrometer",),
        ("30.02@micrometer",),
        ("30.03@micrometer",),
        ("30.01",),
        ("30.005@micrometer", "30.04@micrometer"),
        ("30.005@micrometer", "30.04@micrometer", "30.045@micrometer"),
    ],
)
def test_a_journal_and_an_iso_shaft_get_one_verdict(texts: tuple[str, ...]) -> None:
    reading = read(place="shaft", texts=texts)
    seat = journal_seat(bore_mm=30, system="metric", turning="shaft", measured=reading)
    limits = class_limits(nominal_mm=30, tolerance_class=seat.tolerance_class)
    assert fit_judge(limits=limits, reading=reading).verdict == seat.verdict


def test_a_micrometer_can_prove_a_k6_journal() -> None:
    reading = read(place="shaft", texts=("30.010@micrometer",))
    found = fit_judge(limits=class_limits(nominal_mm=30, tolerance_class="k6"), reading=reading)
    assert found.verdict == "go"
    assert "fine enough for the 0.013 mm allowed" in found.reasons[0]


@given(st.floats(-0.4, 0.4), st.sampled_from(("caliper", "micrometer", "bore-gauge", "tape")))
def test_a_bore_and_an_iso_hole_get_one_verdict(off_mm: float, tool: str) -> None:
    reading = reading_of(place="bore", value_mm=52 + off_mm, instrument_name=tool)
    seat = seal_bore(bore_mm=52, system="metric", measured=reading)
    hole = class_limits(nominal_mm=52, tolerance_class="H8")
    assert fit_judge(limits=hole, reading=reading).verdict == seat.verdict
