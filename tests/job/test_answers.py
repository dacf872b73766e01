"""What the answers about seals and bearings share."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.identify import CERTAINTY, identify
from fitcheck.job.answers import (
    asked,
    cautions,
    checked_certainty,
    checked_top,
    identification_answer,
    place_reasons,
    question,
    reading_answer,
    readings_from,
    restated_places,
)
from fitcheck.job.identified import mark_evidence
from fitcheck.job.sources import bearing_sources, reading_sources, seal_sources
from fitcheck.parts.bearing import bearing_family, bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.parts.seal import seal_family, seal_sizes
from fitcheck.readings import Reading
from fitcheck.verdicts import worst

VERDICTS = ("go", "check", "no-go")


def size(label: str) -> Size:
    """A listed size by its label."""
    return next(s for s in (*seal_sizes(), *bearing_sizes()) if s.label == label)


@given(st.lists(st.sampled_from(VERDICTS), max_size=6))
def test_the_worst_verdict_is_the_gravest(verdicts: list[str]) -> None:
    grave = max((VERDICTS.index(v) for v in verdicts), default=0)
    assert worst(*verdicts) == VERDICTS[grave]
    assert worst(*reversed(verdicts)) == worst(*verdicts)


@pytest.mark.parametrize("certainty", [0.5, 0.95, 1.0])
def test_a_certainty_within_its_range_is_kept(certainty: float) -> None:
    assert checked_certainty(certainty) == certainty


@pytest.mark.parametrize("certainty", [0.49, 1.01, -1.0, math.nan, math.inf])
def test_a_certainty_outside_its_range_is_refused(certainty: float) -> None:
    with pytest.raises(InputError, match=r"lies from 0\.5 to 1\. Give for example 0\.95"):
        checked_certainty(certainty)


@pytest.mark.parametrize("top", [0, -3])
def test_fewer_than_one_candidate_is_refused(top: int) -> None:
    with pytest.raises(InputError, match="at least one candidate"):
        checked_top(top)
    assert checked_top(1) == 1


def test_places_without_a_text_are_left_out() -> None:
    found = readings_from({"shaft": ("34.92", "34.96"), "bore": ()}, unit="mm")
    assert list(found) == ["shaft"]
    assert found["shaft"].mean_mm == pytest.approx(34.94)


def test_the_instrument_of_the_bench_stands_in_where_none_is_named() -> None:
    found = readings_from({"shaft": ("34.92",), "bore": ("52@tape",)}, unit="mm", tool="micrometer")
    assert (found["shaft"].instrument, found["bore"].instrument) == ("micrometer", "tape")


def test_a_reading_as_data_keeps_its_spread_and_strays() -> None:
    read = readings_from({"bore": ("52.00", "52.01", "52.02", "54.9")}, unit="mm")["bore"]
    found = reading_answer(read)
    assert found["place"] == "bore"
    assert found["count"] == 3
    assert found["spread_mm"] == 0.02
    assert found["strays_mm"] == [54.9]
    assert found["out_of_round"] is False


def test_no_mark_is_no_evidence() -> None:
    assert mark_evidence(("", ""), lambda _size: ["X"]) == (None, 1.0)


def test_marks_weigh_together() -> None:
    likelihood, unlisted = mark_evidence(("LM11949", "LM11910"), lambda s: s.details.values())
    assert likelihood is not None
    right, wrong = likelihood(size("LM11949/LM11910")), likelihood(size("LM11749/LM11710"))
    assert right > 1000.0 * wrong
    assert right > 1000.0 * unlisted


@pytest.mark.parametrize("mark", ["??", " ? ", "---"])
def test_a_mark_that_says_nothing_is_refused(mark: str) -> None:
    with pytest.raises(InputError, match="at least one readable character"):
        mark_evidence((mark,), lambda _size: ["X"])


def test_cautions_of_a_kind_come_before_those_of_any_work() -> None:
    found = cautions("seal")
    assert "every seal of the hub together" in found[0]
    assert found[-1].startswith("The machine's own manual")


# --- readings that fit in another unit or order only ---------------------------------------------


def seal_readings(**texts: str) -> dict[str, Reading]:
    """Readings of a seal by place."""
    return readings_from({k.replace("_", "-"): (v,) for k, v in texts.items()}, unit="mm")


@pytest.mark.parametrize(
    ("texts", "places", "todo"),
    [
        ({"shaft": "1.375", "bore": "52", "old_width": "7"}, ("shaft",), "write the unit"),
        ({"shaft": "35", "bore": "7", "old_width": "52"}, ("bore", "old-width"), "its own place"),
    ],
)
def test_a_mistake_that_explains_the_readings_is_asked_about(
    texts: dict[str, str], places: tuple[str, ...], todo: str
) -> None:
    family, readings = seal_family(), seal_readings(**texts)
    found = identify(family, readings)
    assert restated_places(family, found, readings) == places
    ask = question(found, places, readings)
    assert ask is not None
    assert ask["reading"] == places[0]
    assert ask["reason"].startswith("is this so? ")
    assert todo in ask["reason"]


def test_readings_that_fit_as_written_raise_no_question() -> None:
    family, readings = seal_family(), seal_readings(shaft="34.95", bore="52.02", old_width="7")
    found = identify(family, readings)
    assert restated_places(family, found, readings) == ()
    assert question(found, (), readings) is None


def test_a_worn_reading_is_not_taken_for_another_unit() -> None:
    family, readings = seal_family(), seal_readings(shaft="35.5", bore="52.02", old_width="7")
    found = identify(family, readings)
    assert restated_places(family, found, readings) == ()


def test_an_inch_limit_is_not_passed_by_its_own_conversion() -> None:
    family = bearing_family()
    readings = readings_from({"bore": ("2.6255",), "od": ("4.813",)}, unit="in")
    found = identify(family, readings)
    result = identification_answer(
        found,
        family=family,
        readings=readings,
        following=None,
        fields=lambda c: {"designation": c.size.label},
        certainty=CERTAINTY,
        top=1,
    )
    assert "bore 66.688 mm: within 66.675 to 66.688 mm" in result["candidates"][0]["reasons"]


def test_what_is_asked_is_data() -> None:
    assert asked(reading="bore", instrument="caliper", reason="why", certainty=0.98765) == {
        "reading": "bore",
        "instrument": "caliper",
        "reason": "why",
        "expected_certainty": 0.988,
    }


# --- where the numbers come from -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("label", "place", "source"),
    [
        ("35 x 52 x 7", "shaft", "seat classes for shaft and bore"),
        ("35 x 52 x 7", "bore", "seat classes for shaft and bore"),
        ("35 x 52 x 7", "old-width", "seal width tolerance"),
        ("35 x 52 x 7", "old-od", "case diameter table"),
        ("35 x 52 x 7", "old-lip", "lip diameter table"),
        ("1.375 x 2.125 x 0.313 in", "shaft", "RMA OS-4"),
        ("1.375 x 2.125 x 0.313 in", "old-width", "RMA OS-4"),
        ("1.375 x 2.125 x 0.313 in", "old-od", "RMA OS-4, inch case diameter"),
        ("1.375 x 2.125 x 0.313 in", "old-lip", "from memory"),
    ],
)
def test_every_limit_of_a_seal_has_its_source(label: str, place: str, source: str) -> None:
    found = seal_sources(size(label), [place], case="metal")
    assert len(found) == 1
    assert source in found[0]


def test_a_pocket_has_no_limits_of_its_own() -> None:
    assert seal_sources(size("35 x 52 x 7"), ["pocket"], case="") == []


@pytest.mark.parametrize("place", ["bore", "od", "width", "cone-width", "cup-width", "thickness"])
@pytest.mark.parametrize(
    ("label", "source"), [("30206", "ISO 492"), ("LM11949/LM11910", "ANSI/ABMA 19.2")]
)
def test_every_limit_of_a_bearing_has_its_source(label: str, source: str, place: str) -> None:
    found = bearing_sources(size(label), [place])
    assert len(found) == 1
    assert source in found[0]


def test_instruments_and_shares_have_their_source() -> None:
    readings = readings_from({"shaft": ("35@micrometer", "35.01@caliper")}, unit="mm")
    found = reading_sources("seal", readings)
    assert [line.split(":")[0] for line in found] == [
        "caliper",
        "micrometer",
        "shares of wear and mistakes",
    ]
    assert "memory" in found[-1]


# --- what wear explains --------------------------------------------------------------------------


def reasons_of(label: str, **texts: str) -> str:
    """What the readings say about one size."""
    family, readings = seal_family(bare_shaft=True), seal_readings(**texts)
    if "/" in label or label.isdigit():
        family = bearing_family()
    found = identify(family, readings)
    candidate = next(c for c in found.candidates if c.size.label == label)
    return "\n".join(place_reasons(family, candidate, readings))


@pytest.mark.parametrize(
    ("label", "texts", "wears"),
    [
        ("35 x 52 x 7", {"old_od": "52.04@micrometer"}, True),
        ("35 x 52 x 7", {"shaft": "35.02@micrometer"}, False),
        ("35 x 52 x 7", {"bore": "51.98@bore-gauge"}, False),
        ("30206", {"width": "17.05@micrometer"}, True),
        ("30206", {"width": "17.52@micrometer"}, False),
        ("30206", {"bore": "29.97@bore-gauge"}, False),
    ],
)
def test_wear_explains_one_direction_only(label: str, texts: dict[str, str], wears: bool) -> None:
    usual = {
        "35 x 52 x 7": {"shaft": "34.95@micrometer", "bore": "52.02@bore-gauge", "old_width": "7"},
        "30206": {"bore": "29.995@bore-gauge", "od": "61.99@micrometer"},
    }
    text = reasons_of(label, **(usual[label] | texts))
    assert ("as wear or use explains" in text) is wears
    assert ("wear does not do that: read it again" in text) is not wears


def test_a_cup_over_its_limit_is_not_worn() -> None:
    text = reasons_of("30206", bore="30.00@bore-gauge", od="62.03@micrometer", width="17.3")
    assert "od 62.03 mm: 0.030 mm outside 61.984 to 62.000 mm: wear does not do that" in text


def test_a_lip_within_the_range_of_a_new_one_is_new_or_set() -> None:
    text = reasons_of("45 x 62 x 8", old_lip="43.9", bore="62.02")
    assert "old-lip 43.9 mm: as new or set; new it reads 43.30 to 44.20 mm" in text
    text = reasons_of("45 x 62 x 8", old_lip="44.6", bore="62.02")
    assert "old-lip 44.6 mm: a worn and set lip; new it reads 43.30 to 44.20 mm" in text
