"""Seats of parts whose standard names one class, and of radial bearings."""

from __future__ import annotations

import pytest

from fitcheck.assess.part_seat import class_seat, ring_seat
from fitcheck.assess.within import Check
from fitcheck.readings import read


def seat(text: str, *, place: str = "housing", cls: str = "H7", nominal: float = 26.0) -> Check:
    return class_seat(
        place=place,
        nominal_mm=nominal,
        tolerance_class=cls,
        source="ISO 3547-1",
        measured=read(place=place, texts=(text,) * 3),
    )


@pytest.mark.parametrize(
    ("text", "verdict", "words"),
    [
        ("26.010@bore-gauge", "go", "the bore holds"),
        ("26.080@bore-gauge", "no-go", "bush it or renew it"),
        ("25.960@bore-gauge", "no-go", "too tight"),
        ("26.010@caliper", "check", "too coarse"),
        ("27.4@caliper", "no-go", "another size"),
    ],
)
def test_a_housing_against_its_class(text: str, verdict: str, words: str) -> None:
    found = seat(text)
    assert found.verdict == verdict
    assert words in found.reason
    assert "ISO 3547-1" in found.source
    assert "ISO 286" in found.source


def test_only_wear_is_work_for_the_shop() -> None:
    assert seat("26.080@bore-gauge").advice == "housing: bush it or renew it"
    assert seat("25.960@bore-gauge").advice == ""
    worn = seat("19.90@micrometer", place="shaft", cls="f7", nominal=20.0)
    assert worn.advice == "shaft: build it up and grind it, or renew it"
    assert seat("19.97@micrometer", place="shaft", cls="f7", nominal=20.0).advice == ""


@pytest.mark.parametrize(
    ("place", "turning", "text", "verdict"),
    [
        ("journal", "shaft", "25.008@micrometer", "go"),
        ("journal", "shaft", "24.985@micrometer", "no-go"),
        ("journal", "hub", "24.986@micrometer", "go"),
        ("housing", "hub", "51.975@bore-gauge", "go"),
        ("housing", "hub", "52.020@bore-gauge", "no-go"),
        ("housing", "shaft", "52.015@bore-gauge", "go"),
    ],
)
def test_the_ring_that_turns_is_held(place: str, turning: str, text: str, verdict: str) -> None:
    nominal = 25.0 if place == "journal" else 52.0
    found = ring_seat(
        place=place,
        nominal_mm=nominal,
        turning=turning,
        measured=read(place=place, texts=(text,) * 3),
    )
    assert found.verdict == verdict, found.reason
    ring = "inner" if place == "journal" else "outer"
    held = (place == "journal") == (turning == "shaft")
    assert f"the {ring} ring {'turns' if held else 'may slide'}" in found.reason
