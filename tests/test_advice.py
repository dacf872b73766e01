"""What to measure next."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.advice import NextReading, next_reading
from fitcheck.errors import OffTableError
from fitcheck.identify import identify
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.readings import read

SEALS, BEARINGS = seal_family(), bearing_family()


def advice(family: Family, *, parts: str = "all", **texts: str) -> NextReading | None:
    """The advice for readings by place, with _ for -."""
    readings = {
        (place := name.replace("_", "-")): read(place=place, texts=(text,))
        for name, text in texts.items()
    }
    return next_reading(family, identify(family, readings), readings, parts=parts)


def test_a_sure_answer_needs_nothing() -> None:
    assert advice(SEALS, shaft="34.92", bore="52.02", old_width="7.02") is None


def test_the_dimension_that_differs_is_asked_for() -> None:
    found = advice(SEALS, shaft="34.92")
    assert found is not None
    assert found.reading == "bore"
    width = advice(SEALS, shaft="34.92", bore="52.02")
    assert width is not None
    assert width.reading == "old-width"
    assert width.instrument == "caliper"
    assert 0.9 < width.expected_certainty <= 1.0
    assert "expected certainty" in width.reason


def test_without_the_old_seal_only_the_seat_is_asked_for() -> None:
    found = advice(SEALS, parts="seat", shaft="34.92")
    assert found is not None
    assert SEALS.places[found.reading].part == "seat"
    width = advice(SEALS, parts="seat", shaft="34.92", bore="52.02")
    assert width is not None
    assert width.reading in ("pocket", "mark", "track")


@pytest.mark.parametrize(
    ("family", "texts", "reading", "words"),
    [
        (SEALS, {"shaft": "40.53", "bore": "62.02", "old_width": "7"}, "shaft", "thin sleeve"),
        (SEALS, {"shaft": "39.85", "bore": "62.25", "old_width": "7"}, "bore", "two directions"),
        (SEALS, {"track": "39.85", "bore": "62.02", "old_width": "7"}, "shaft", "unworn land"),
        (BEARINGS, {"bore": "50", "od": "90", "width": "17"}, "width", "cone seated in the cup"),
    ],
)
def test_a_reading_that_is_doubted_is_taken_again(
    family: Family, texts: dict[str, str], reading: str, words: str
) -> None:
    found = advice(family, **texts)
    assert found is not None
    assert found.reading == reading
    assert words in found.reason


def test_where_no_reading_splits_it_says_so() -> None:
    found = advice(BEARINGS, bore="30", od="62", width="21.2")
    assert found is not None
    assert (found.reading, found.instrument) == ("mark", "eye")
    assert "no reading can split 32206 and 32206 B" in found.reason


def test_the_expected_certainty_comes_true() -> None:
    """Reading what was asked for leaves the leading size about where it was said."""
    found = advice(BEARINGS, bore="29.99", od="61.99")
    assert found is not None
    assert found.reading == "width"
    reached = 0.0
    for width, share in (("17.2", 1), ("21.2", 2), ("24.95", 1), ("19.05", 1)):
        readings = {
            place: read(place=place, texts=(text,))
            for place, text in (("bore", "29.99"), ("od", "61.99"), ("width", width))
        }
        reached += share / 5 * identify(BEARINGS, readings).candidates[0].probability
    assert found.expected_certainty == pytest.approx(reached, abs=0.06)


def test_a_second_witness_is_a_place_that_can_be_named() -> None:
    texts = {"bore": "29.8", "od": "61.99", "width": "17.2", "cone_width": "16", "cup_width": "14"}
    found = advice(BEARINGS, **texts)
    assert found is None or found.reading != "thickness"


@given(
    st.sampled_from([SEALS, BEARINGS]),
    st.dictionaries(st.integers(0, 6), st.floats(5.0, 200.0), min_size=1, max_size=7),
)
def test_any_answer_can_be_advised_on(family: Family, numbers: dict[int, float]) -> None:
    names = sorted(family.places)
    readings = {
        names[i % len(names)]: read(place=names[i % len(names)], texts=(f"{n:.2f}",))
        for i, n in numbers.items()
    }
    try:
        found = identify(family, readings)
    except OffTableError:
        return
    following = next_reading(family, found, readings)
    if following is not None:
        assert following.reading == "mark" or following.reading in family.places
        assert 0.0 <= following.expected_certainty <= 1.0
        assert following.instrument
        assert following.reason
