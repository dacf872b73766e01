"""From the texts of a request to the answer about a tapered bearing and its seats."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, FitcheckError, InputError, OffTableError
from fitcheck.job.bearing import PLACES, SEATS, BearingRequest, answer
from fitcheck.parts.bearing import bearing_sizes

VERDICTS = {"go", "check", "no-go"}
PAIRS = sorted(s.label for s in bearing_sizes() if s.details["cone"] != s.details["cup"])
KNOWN = {"bore": "30", "od": "62", "width": "17.3"}


def ask(**given: Any) -> dict[str, Any]:
    """The answer to a request; places and options by name."""
    readings: dict[str, Sequence[str]] = {}
    for place in (*PLACES, *SEATS):
        texts = given.pop(place.replace("-", "_"), ())
        readings[place] = (texts,) if isinstance(texts, str) else tuple(texts)
    return answer(BearingRequest(readings=readings, **given))


def top(found: dict[str, Any]) -> str:
    """The leading designation."""
    return str(found["candidates"][0]["designation"])


def check_promise(found: dict[str, Any]) -> None:
    """What everyone may rely on, whatever was asked."""
    assert found["verdict"] in VERDICTS
    assert found["reasons"]
    shares = [c["probability"] for c in found["candidates"]]
    assert all(0.0 <= share <= 1.0 for share in (*shares, found["unlisted"], found["others"]))
    assert sum(shares) + found["unlisted"] + found["others"] == pytest.approx(1.0, abs=1e-5)
    for candidate in found["candidates"]:
        assert candidate["verdict"] in VERDICTS
        assert candidate["source"]
        assert isinstance(candidate["reasons"], list)
        assert candidate["system"] in {"metric", "inch"}
        for key in ("bore_mm", "od_mm"):
            assert isinstance(candidate[key], float)
        for key in ("width_mm", "cone_width_mm", "cup_width_mm"):
            assert candidate[key] is None or candidate[key] > 0.0
        assert candidate["bore_mm"] < candidate["od_mm"]
        assert candidate["designation"] in {
            candidate["cone"],
            f"{candidate['cone']}/{candidate['cup']}",
        }
        for seat in candidate.get("seats", []):
            assert set(seat) >= {"seat", "class", "fit_um", "measured_um", "verdict", "reason"}
            assert set(seat["fit_um"]) == {"tight", "loose"}
            assert seat["seat"] in SEATS
            assert seat["verdict"] in VERDICTS
            assert seat["source"]
    for finding in found["findings"]:
        assert 0.0 < finding["probability"] <= 1.0
    if found["verdict"] == "go":
        assert found["candidates"][0]["verdict"] == "go"
    if found["verdict"] == "check":
        advice = [s["advice"] for s in found.get("seats", []) if s["verdict"] != "go"]
        assert found["next_reading"] is not None or any(advice)
    assert found["cautions"]


@pytest.mark.parametrize(
    "given",
    [
        KNOWN,
        {"bore": "30", "od": "62"},
        {"bore": "1.25in"},
        {"mark": ("L?670?8",)},
        {"mark": ("LM11949", "LM11710")},
        {"thickness": "16"},
        {**KNOWN, "journal": "29.99@micrometer", "turning": "hub"},
        {**KNOWN, "journal": "29.9@micrometer", "housing": "62.1", "turning": "shaft"},
        {"bore": "30", "od": "62", "width": "17.2", "cone_width": "16", "cup_width": "15.2"},
    ],
)
def test_the_answer_has_what_is_promised(given: dict[str, Any]) -> None:
    check_promise(ask(**given))


def test_the_assembled_width_tells_bearings_of_one_bore_and_outside_apart() -> None:
    for width, designation in (("17.3", "30206"), ("21.3", "32206"), ("25.1", "33206")):
        assert top(ask(bore="30", od="62", width=width)) == designation
    found = ask(bore="30", od="62")
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "width"


def test_look_alikes_are_named_with_how_to_tell() -> None:
    alike = ask(**KNOWN)["candidates"][0]["differs_from"]
    assert alike
    assert {"other", "differs", "how_to_tell", "source"} <= set(alike[0])


def test_an_inch_pair_is_found_by_bore_and_outside() -> None:
    found = ask(bore="0.7502", od="1.7815", unit="in")
    assert top(found) == "LM11949/LM11910"
    assert found["candidates"][0]["bore_mm"] == pytest.approx(19.05)
    assert found["candidates"][0]["system"] == "inch"


def test_the_width_of_the_cup_given_as_the_bearings_is_recognised() -> None:
    found = ask(bore="30", od="62", width="14.0")
    assert top(found) == "30206"
    assert found["verdict"] == "check"
    assert "cup-width-given" in [f["finding"] for f in found["findings"]]
    assert "seated" in found["next_reading"]["reason"]


def test_inches_typed_as_mm_are_asked_about() -> None:
    found = ask(bore="1.2500", od="2.3280")
    assert found["candidates"][0]["bore_mm"] == pytest.approx(31.75)
    assert found["verdict"] == "check"
    assert found["findings"][0]["finding"] == "unit-mixed"
    assert "write the unit" in found["next_reading"]["reason"]


def test_the_sources_are_those_of_the_places_read() -> None:
    joined = "; ".join(ask(**KNOWN)["sources"])
    assert "ISO 492" in joined
    assert "caliper:" in joined
    assert "ANSI/ABMA" not in joined


# --- marks ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mark", "designation"),
    [
        (("30206",), "30206"),
        (("LM11949",), "LM11949/LM11910"),
        (("LM11949/LM11910",), "LM11949/LM11910"),
        (("lm 11949", "lm 11910"), "LM11949/LM11910"),
        (("LM11910", "LM11949"), "LM11949/LM11910"),
        (("02475",), "02475/02420"),
        (("02475/02420",), "02475/02420"),
    ],
)
def test_a_mark_names_its_bearing(mark: tuple[str, ...], designation: str) -> None:
    found = ask(mark=mark)
    assert top(found) == designation
    assert found["verdict"] == "go"


@pytest.mark.parametrize(
    ("mark", "designation"),
    [("2475", "02475/02420"), ("L?670?8", "LM67048/LM67010")],
)
def test_a_mark_that_was_not_read_whole_is_confirmed_by_a_dimension(
    mark: str, designation: str
) -> None:
    found = ask(mark=(mark,))
    assert (top(found), found["verdict"]) == (designation, "check")
    assert found["next_reading"]["reading"] == "bore"
    bore = found["candidates"][0]["bore_mm"]
    assert ask(mark=(mark,), bore=f"{bore}")["verdict"] == "go"


def test_a_mark_read_in_full_is_not_passed_over_for_one_reading() -> None:
    found = ask(mark=("32215",), bore="70")
    assert found["verdict"] == found["candidates"][0]["verdict"] == "check"
    assert not any("every reading holds" in r for r in found["reasons"])
    assert any("the mark names 32215, the readings 32214" in r for r in found["reasons"])
    assert found["next_reading"]["reading"] == "mark"


def test_a_reading_to_take_again_is_no_go() -> None:
    found = ask(mark=("32215",), bore="74.9", od="130")
    assert found["verdict"] == found["candidates"][0]["verdict"] == "check"
    assert not any("every reading holds" in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == "bore"


def test_a_mark_that_its_bore_contradicts_is_said() -> None:
    found = ask(mark=("LM11949",), bore="30")
    assert found["verdict"] == "no-go"
    assert "LM11949/LM11910" in found["reasons"][1]
    assert found["next_reading"]["reading"] == "bore"


def test_two_metric_bearings_are_no_pair() -> None:
    found = ask(mark=("30206", "32206"))
    assert found["verdict"] == "no-go"
    assert found["partners"]["cups"] == ["30206"]


def test_a_cone_width_given_as_the_cup_width_is_recognised() -> None:
    found = ask(bore="35.01", od="72.0", cup_width="16.95")
    assert top(found) == "30207"
    assert "cone-width-given" in {f["finding"] for f in found["findings"]}


@pytest.mark.parametrize("mark", ["320/28 X", "320/28X", "320 / 28 X"])
def test_the_stroke_of_a_metric_designation_parts_no_cone_from_a_cup(mark: str) -> None:
    found = ask(mark=(mark,), bore="28")
    assert top(found) == "320/28 X"
    assert [f for f in found["findings"] if f["finding"] == "mixed-pair"] == []


@pytest.mark.parametrize(
    "mark",
    [
        ("LM11949/LM11710",),
        ("LM11949", "LM11710"),
        ("LM11710", "LM11949"),
        ("LM11710/LM11949",),
        ("LM11949 LM11710",),
        ("lm11949, lm11710",),
        ("LM 11949 / LM 11710",),
        ("LM1194?", "LM11710"),
        ("LM1194?/L?11710",),
    ],
)
def test_a_cone_and_a_cup_of_two_pairs_are_refused_with_their_partners(
    mark: tuple[str, ...],
) -> None:
    found = ask(mark=mark)
    assert found["verdict"] == "no-go"
    assert found["partners"] == {
        "cone": "LM11949",
        "cups": ["LM11910"],
        "cup": "LM11710",
        "cones": ["LM11749"],
    }
    assert "cone LM11949 runs in cup LM11910; cup LM11710 takes cone LM11749" in found["reasons"][0]
    assert found["findings"][0]["finding"] == "mixed-pair"
    assert found["next_reading"]["reading"] == "mark"
    assert found["sources"]
    check_promise(found)


def test_what_was_measured_beside_a_mixed_pair_is_kept() -> None:
    found = ask(mark=("LM11949/LM11710",), bore="19.05")
    assert [reading["place"] for reading in found["readings"]] == ["bore"]


@pytest.mark.parametrize("label", PAIRS)
def test_no_listed_pair_is_taken_for_a_mixed_one(label: str) -> None:
    cone, cup = label.split("/")
    for mark in ((label,), (cone, cup), (cup, cone), (f"{cone} {cup}",)):
        found = ask(mark=mark)
        assert not any(f["finding"] == "mixed-pair" for f in found["findings"]), mark


def test_marks_that_fit_several_parts_are_left_to_the_shares() -> None:
    found = ask(mark=("LM11?49", "LM11?10"))
    assert {c["designation"] for c in found["candidates"][:2]} == {
        "LM11949/LM11910",
        "LM11749/LM11710",
    }
    assert found["verdict"] == "check"


def test_three_marks_are_no_pair() -> None:
    assert "partners" not in ask(mark=("LM11949", "LM11710", "LM11910"))


# --- seats ---------------------------------------------------------------------------------------


def test_a_hub_that_turns_wants_the_cone_free_and_the_cup_tight() -> None:
    found = ask(**KNOWN, turning="hub", journal="29.986@micrometer", housing="61.97@bore-gauge")
    journal, housing = found["seats"]
    assert (journal["class"], journal["verdict"]) == ("g6", "go")
    assert (housing["class"], housing["verdict"]) == ("N7", "go")
    assert journal["fit_um"]["loose"] > 0
    assert housing["fit_um"]["tight"] > 0
    assert journal["measured_um"] == -14
    assert found["verdict"] == "go"


def test_a_shaft_that_turns_wants_the_cone_tight() -> None:
    found = ask(**KNOWN, turning="shaft", journal="29.986@micrometer")
    assert found["seats"][0]["verdict"] == "no-go"
    assert found["verdict"] == "no-go"
    assert found["candidates"][0]["verdict"] == "go"
    assert found["seats"][0]["advice"]
    assert found["seats"][0]["reason"] in found["reasons"]


def test_a_light_alloy_housing_is_judged_by_its_own_class() -> None:
    steel = ask(**KNOWN, turning="shaft", housing="62.00@bore-gauge")["seats"][0]
    alloy = ask(
        **KNOWN, turning="shaft", housing="62.00@bore-gauge", housing_material="light-alloy"
    )["seats"][0]
    assert steel["class"] != alloy["class"]


def test_a_seat_read_too_coarsely_asks_for_the_instrument() -> None:
    found = ask(**KNOWN, turning="hub", journal="29.986")
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "journal"
    assert found["next_reading"]["instrument"] == "micrometer"


def test_every_candidate_has_its_own_seats() -> None:
    found = ask(bore="30", od="62", turning="hub", journal="29.986@micrometer")
    assert len(found["candidates"]) > 1
    assert all(c["seats"][0]["seat"] == "journal" for c in found["candidates"])


@pytest.mark.parametrize(
    ("given", "readings"),
    [
        ({"journal": "1.1806@micrometer"}, ("1.1806in", "1.1806mm")),
        ({"housing": "2.44"}, ("2.44in", "2.44mm")),
        (
            {"bore": "30mm", "od": "62mm", "width": "17.3mm", "journal": "29.98", "unit": "in"},
            ("29.98in", "29.98mm"),
        ),
    ],
)
def test_a_seat_that_fits_only_the_other_unit_is_asked(
    given: dict[str, Any], readings: tuple[str, ...]
) -> None:
    with pytest.raises(AmbiguousError) as refused:
        ask(**{**KNOWN, **given}, turning="hub")
    assert refused.value.readings == readings


def test_a_written_unit_of_a_seat_is_believed() -> None:
    found = ask(**KNOWN, turning="hub", journal="1.1806mm@micrometer")
    assert found["seats"][0]["verdict"] == "no-go"


# --- options and properties ----------------------------------------------------------------------


def test_no_more_than_the_top_are_listed_and_the_rest_counted() -> None:
    few = ask(bore="30", top=1)
    assert len(few["candidates"]) == 1
    assert few["others"] > 0.0
    check_promise(few)


def test_a_shop_can_ask_for_more_certainty() -> None:
    assert ask(**KNOWN, certainty=0.9)["verdict"] == "go"
    assert ask(**KNOWN, certainty=1.0)["verdict"] == "check"


def test_the_order_of_readings_makes_no_difference() -> None:
    readings: dict[str, Sequence[str]] = {
        "bore": ("29.99", "30.0"),
        "od": ("62",),
        "width": ("17.3",),
    }
    forth = answer(BearingRequest(readings=readings))
    back = answer(BearingRequest(readings={p: readings[p][::-1] for p in reversed(readings)}))
    assert forth == back


sizes = st.one_of(
    st.floats(min_value=0.01, max_value=400.0).map(lambda x: f"{x:.2f}"),
    st.sampled_from(["30", "62", "17.3", "16", "14", "1.25", "2.328", "0.75in", "90mm@tape"]),
)


@given(
    given=st.dictionaries(
        st.sampled_from([p.replace("-", "_") for p in (*PLACES, *SEATS)]), sizes, min_size=1
    ),
    mark=st.sampled_from([(), ("30206",), ("LM119?9", "LM11710"), ("0?475",)]),
    turning=st.sampled_from(["", "hub", "shaft"]),
)
def test_any_readings_are_answered_or_refused_in_words(
    given: dict[str, str], mark: tuple[str, ...], turning: str
) -> None:
    # Whatever else is raised is a fault.
    with suppress(FitcheckError):
        check_promise(ask(**given, mark=mark, turning=turning))


def test_without_the_member_that_turns_only_the_seats_stay_open() -> None:
    found = ask(**KNOWN, journal="29.986@micrometer")
    assert found["candidates"][0]["verdict"] == "go"
    assert found["verdict"] == "check"
    assert "seats" not in found
    assert any("journal not judged: which member turns" in line for line in found["reasons"])
    assert found["next_reading"]["reading"] == "turning"


def test_a_thickness_is_held_against_the_width_that_it_fits() -> None:
    found = ask(bore="60", od="110", thickness="28")
    reasons = found["candidates"][0]["reasons"]
    assert "thickness 28 mm, as the cone width: within 27.850 to 28.000 mm" in reasons


@pytest.mark.parametrize(
    ("given", "wording"),
    [
        ({}, "at least one place must be measured"),
        ({"mark": ("???",)}, "at least one readable character"),
        ({"mark": ("9" * 41,)}, "at most 40 characters"),
        ({"bore": "-30"}, "can't be negative"),
        ({"od": "62@yardstick"}, "this instrument is not listed"),
        ({"journal": "30", "turning": "hub"}, "at least one place must be measured"),
        ({**KNOWN, "housing": "62", "turning": "both"}, "which member turns, hub or shaft"),
        ({**KNOWN, "housing": "x", "turning": "hub"}, "housing x"),
        ({**KNOWN, "housing": "62", "turning": "hub", "housing_material": "wood"}, "wood"),
        ({"mark": ("LM11949/LM11710",), "bore": "abc"}, "bore abc"),
    ],
)
def test_what_cannot_be_understood_is_refused(given: dict[str, Any], wording: str) -> None:
    with pytest.raises(InputError) as refused:
        ask(**given)
    assert wording in str(refused.value)


def test_readings_outside_every_table_are_refused_with_the_range() -> None:
    with pytest.raises(OffTableError, match=r"bore 5000 mm \(listed: [0-9.]+ to [0-9.]+ mm\)"):
        ask(bore="5000")


EVERY = {**KNOWN, "cone_width": "16", "cup_width": "14"}


def test_with_every_place_read_what_is_in_doubt_is_read_again() -> None:
    # A width of no known kind tells nothing more, and no instrument is named for it.
    found = ask(**{**EVERY, "bore": ("29.9", "30.1")}, thickness="17.3")
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "bore"
    assert "out of round" in found["next_reading"]["reason"]


def test_with_every_place_read_the_mark_is_the_last_witness() -> None:
    found = ask(**EVERY, thickness="17.3", certainty=1.0)
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "mark"


def test_a_width_of_no_known_kind_is_not_asked_for() -> None:
    found = ask(**{**EVERY, "bore": ("29.9", "30.1")})
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] in ("bore", "mark")


def test_capital_and_small_letters_of_a_mark_are_one() -> None:
    assert ask(mark=("32005x",)) == ask(mark=("32005X",))


def test_a_turning_member_without_a_seat_is_said_to_be_unused() -> None:
    found = ask(bore="30", od="62", width="17.3", turning="hub", housing_material="iron")
    assert any("turning member was not used" in reason for reason in found["reasons"])
    assert any("housing material was not used" in reason for reason in found["reasons"])
