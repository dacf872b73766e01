"""Ways to give limits: classes, shares, steps of a table."""

from __future__ import annotations

import pytest

from fitcheck.advice import next_reading
from fitcheck.identify import identify
from fitcheck.parts.kind import kind_family
from fitcheck.parts.limit_rules import between, iso_limits, shares, tabled
from fitcheck.readings import read


def test_a_class_goes_on_past_the_ends_of_the_standard() -> None:
    assert iso_limits("H7")(30.0, "metric") == pytest.approx((0.0, 0.021))
    assert iso_limits("h9")(0.2, "metric") == iso_limits("h9")(1.0, "metric")
    assert iso_limits("h9")(9000.0, "metric") == iso_limits("h9")(3150.0, "metric")


def test_between_two_classes() -> None:
    assert between("g6", "k6")(30.0, "metric") == pytest.approx((-0.020, 0.015))
    assert between("P7", "G7")(52.0, "metric") == pytest.approx((-0.051, 0.040))


def test_shares_of_the_nominal() -> None:
    assert shares(0.1, 0.2, beside_mm=0.5)(10.0, "metric") == pytest.approx((0.5, 2.5))


def test_steps_go_by_the_nominal_or_by_what_the_system_carries() -> None:
    width = tabled("rolling/tolerances", "dimension", "width", scale=0.001, unit="um")
    assert width(16.0, "metric") == pytest.approx((-0.120, 0.0))
    assert width(16.0, "metric@100") == pytest.approx((-0.200, 0.0))
    # Past the table its last step goes on.
    assert width(16.0, "metric@9000") == pytest.approx((-0.400, 0.0))


def test_a_place_of_other_parts_is_not_asked_for() -> None:
    family = kind_family("circlip")
    readings = {"shaft": read(place="shaft", texts=("34.5",))}
    found = identify(family, readings)
    following = next_reading(family, found, readings)
    assert following is not None
    assert not following.reading.startswith("bore")
    assert following.reading != "free-outside"


def test_ordinary_wear_puts_no_size_in_doubt_and_is_not_read_again() -> None:
    """A bushing worn by its shaft is no reason to read it again; a worn shaft is."""
    family = kind_family("bushing")
    texts = {
        "shaft": "19.80@micrometer",
        "housing": "26.012@bore-gauge",
        "length": "20",
        "old-bore": "20.3",
    }
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(family, readings)
    top = found.candidates[0]
    assert top.explanations["old-bore"][0][0] == "worn-bore"
    assert "worn-bore" not in {finding.finding for finding in found.findings}
    following = next_reading(family, found, readings)
    assert following is not None
    assert following.reading == "shaft"
    assert "beside its worn part" in following.reason
