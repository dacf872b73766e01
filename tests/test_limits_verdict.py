"""Measured parts beside their ISO 286 limits."""

from __future__ import annotations

import pytest

from fitcheck.errors import AmbiguousError
from fitcheck.limits import class_limits, fit
from fitcheck.limits_verdict import (
    clearance_text,
    judge,
    measured_fit,
    size_text,
    um_text,
)
from fitcheck.readings import read

H7 = class_limits(nominal_mm=30, tolerance_class="H7")
H8 = class_limits(nominal_mm=52, tolerance_class="H8")
H11_SHAFT = class_limits(nominal_mm=35, tolerance_class="h11")


def test_go_says_how_much_is_left() -> None:
    found = judge(limits=H11_SHAFT, reading=read(place="shaft", texts=("34.92mm@micrometer",)))
    assert found.verdict == "go"
    assert found.deviation_um == pytest.approx(-80)
    assert found.uncertainty_um == pytest.approx(10)
    assert "0.080 mm inside the upper limit of h11, 35.000 mm" in found.reasons[0]


def test_no_go_names_the_limit_and_the_side() -> None:
    over = judge(limits=H8, reading=read(place="bore", texts=("52.20",)))
    assert (over.verdict, over.reasons) == (
        "no-go",
        ("hole reads 52.200 mm, 0.154 mm over the upper limit of H8, 52.046 mm",),
    )
    under = judge(limits=H8, reading=read(place="bore", texts=("51.8",)))
    assert "0.200 mm under the lower limit of H8, 52.000 mm" in under.reasons[0]


def test_an_instrument_too_coarse_for_the_class_says_so() -> None:
    found = judge(limits=H7, reading=read(place="bore", texts=("30.01",)))
    assert found.verdict == "check"
    assert "it can't show that the hole holds; measure it with a bore-gauge" in found.reasons[0]


def test_check_on_either_side_of_a_limit() -> None:
    inside = judge(limits=H11_SHAFT, reading=read(place="shaft", texts=("34.98",)))
    outside = judge(limits=H11_SHAFT, reading=read(place="shaft", texts=("35.02",)))
    assert (inside.verdict, outside.verdict) == ("check", "check")
    assert "0.020 mm inside the upper limit" in inside.reasons[0]
    assert "0.020 mm outside the upper limit" in outside.reasons[0]
    assert "measure it with a micrometer" in outside.reasons[0]


def test_a_fine_instrument_is_told_to_repeat() -> None:
    texts = ("34.995@micrometer",)
    found = judge(limits=H11_SHAFT, reading=read(place="shaft", texts=texts))
    assert found.verdict == "check"
    assert "take several readings" in found.reasons[0]


def test_an_oval_bore_is_judged_where_it_is_worst() -> None:
    """The mean of 51.99 and 52.16 holds H8 within its uncertainty; the place of 52.16 does not."""
    found = judge(limits=H8, reading=read(place="bore", texts=("51.99", "52.16")))
    assert found.verdict == "check"
    assert "hole reads 52.160 mm, 0.114 mm over" in found.reasons[0]
    assert "alone does not condemn the hole" in found.reasons[0]
    assert "out of round" in found.reasons[1]
    again = judge(limits=H8, reading=read(place="bore", texts=("51.99", "52.16", "52.15")))
    assert again.verdict == "no-go"
    assert "hole reads 52.160 mm, 0.114 mm over" in again.reasons[0]
    assert "out of round" in again.reasons[1]


def test_out_of_round_is_never_go() -> None:
    wide = class_limits(nominal_mm=52, tolerance_class="H11")
    texts = ("52.06@bore-gauge", "52.09@bore-gauge")
    found = judge(limits=wide, reading=read(place="bore", texts=texts))
    assert found.verdict == "check"
    assert found.reasons[0] == "the hole holds H11 where it was read"


@pytest.mark.parametrize(
    ("text", "unit", "nominal_mm", "first"),
    [("1.375", "mm", 35.0, "1.375in"), ("34.92", "in", 35.0, "34.92mm")],
)
def test_a_reading_in_the_other_unit_is_asked_about(
    text: str, unit: str, nominal_mm: float, first: str
) -> None:
    limits = class_limits(nominal_mm=nominal_mm, tolerance_class="h11")
    with pytest.raises(AmbiguousError) as caught:
        judge(limits=limits, reading=read(place="measured shaft", texts=(text,), unit=unit))
    assert caught.value.readings[0] == first
    assert len(caught.value.readings) == 2
    assert "35 mm" in str(caught.value)


def test_a_stated_unit_is_taken_at_its_word() -> None:
    found = judge(limits=H11_SHAFT, reading=read(place="shaft", texts=("1.375mm",)))
    assert found.verdict == "no-go"
    assert judge(limits=H11_SHAFT, reading=read(place="shaft", texts=("20",))).verdict == "no-go"


def test_two_measured_parts_give_their_clearance() -> None:
    pair = fit(nominal_mm=30, hole_class="H7", shaft_class="g6")
    hole = judge(limits=pair.hole, reading=read(place="hole", texts=("30.012@bore-gauge",)))
    shaft = judge(limits=pair.shaft, reading=read(place="shaft", texts=("29.982@micrometer",)))
    found = measured_fit(fit=pair, hole=hole, shaft=shaft)
    assert found.clearance_um == pytest.approx(30)
    assert found.uncertainty_um == pytest.approx(14.142, abs=0.001)
    assert found.reason == (
        "as measured the parts have 30 um clearance, +/-14.1 um; H7/g6 allows 7 to 41 um clearance"
    )


def test_numbers_as_people_read_them() -> None:
    assert (um_text(0.0), um_text(-0.0), um_text(-7.5), um_text(2050.0)) == (
        "0",
        "0",
        "-7.5",
        "2050",
    )
    assert (size_text(30.0), size_text(30.0105), size_text(29.99994)) == (
        "30.000",
        "30.0105",
        "29.99994",
    )
    assert clearance_text(0, 34) == "0 to 34 um clearance"
    assert clearance_text(-28, 0) == "0 to 28 um interference"
    assert clearance_text(-9.94, -9.94) == "9.9 um interference"


def reason(nominal_mm: float, tolerance_class: str, *texts: str) -> str:
    """The first reason of a part judged by its class."""
    limits = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    return judge(limits=limits, reading=read(place="part", texts=texts)).reasons[0]


FINE = ", fine enough for the 0.021 mm allowed this far inside"


@pytest.mark.parametrize(
    ("text", "ending"),
    [
        ("30.006@bore-gauge", f"good to 0.010 mm{FINE}"),
        ("30.016@bore-gauge", f"good to 0.010 mm{FINE}"),
        ("30.010@bore-gauge", "good to 0.010 mm"),
        ("30.011@bore-gauge", "good to 0.010 mm"),
    ],
)
def test_go_nearer_a_limit_than_the_reading_is_sure_says_why(text: str, ending: str) -> None:
    assert reason(30, "H7", text).endswith(ending)


def test_how_far_a_reading_is_sure_is_said_to_the_thousandth() -> None:
    assert reason(400, "h16", "399@tape").endswith("the reading (tape) is good to 0.800 mm")


def test_a_class_that_is_narrower_than_the_reading_is_sure() -> None:
    assert "g6 is only 0.013 mm wide: it can't show" in reason(30, "g6", "29.985")


@pytest.mark.parametrize(("tolerance_class", "text"), [("h10", "34.995"), ("h11", "34.98")])
def test_one_that_is_as_wide_as_the_reading_is_sure_can_be_shown(
    tolerance_class: str, text: str
) -> None:
    """h10 is 0.1 mm wide, and the caliper is good to 0.05 mm either way."""
    ending = "and the reading (caliper) is good to 0.050 mm; measure it with a micrometer"
    assert reason(35, tolerance_class, text).endswith(ending)


def test_readings_that_agree_are_judged_by_their_mean() -> None:
    assert reason(35, "h11", "34.98", "34.99").startswith("shaft reads 34.985 mm, 0.015 mm inside")


def test_the_worst_place_is_the_one_furthest_from_the_middle_of_the_limits() -> None:
    assert reason(52, "H8", "51.90", "52.06").startswith("hole reads 51.900 mm, 0.100 mm under")


@pytest.mark.parametrize("texts", [("52.00", "52.04"), ("52.19", "52.14")])
def test_a_limit_belongs_to_what_is_allowed(texts: tuple[str, str]) -> None:
    found = reason(52, "H11", *(f"{text}@bore-gauge" for text in texts))
    assert found == "the hole holds H11 where it was read"


def test_a_reading_on_its_limit_is_inside() -> None:
    assert "0.000 mm inside the upper limit" in reason(35, "h11", "35.00@micrometer")


def test_a_part_that_is_no_size_in_either_unit_is_no_question() -> None:
    assert "32.840 mm under the lower limit" in reason(35, "h11", "2")


def test_numbers_are_cut_where_nothing_is_known() -> None:
    assert um_text(1.2346) == "1.235"
    assert size_text(30.0123456) == "30.01235"
