"""From the texts of a request to the answer about a counterface."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.sleeve import SleeveRequest, answer
from fitcheck.quantities import plain


def ask(**options: Any) -> dict[str, Any]:
    """The answer to a request."""
    return answer(SleeveRequest(**options))


def ways(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """The ways by name."""
    return {way["way"]: way for way in found["ways"]}


GOOD = {"shaft": ("34.97@micrometer", "34.98@micrometer", "34.97@micrometer")}


def test_the_answer_has_what_is_promised() -> None:
    found = ask(**GOOD, track="34.71@micrometer", seal="35 x 52 x 7", rpm="1500")
    assert {"verdict", "groove_depth_mm", "ways"} <= set(found)
    assert found["verdict"] == "go"
    assert found["groove_depth_mm"] == pytest.approx(0.131667, abs=1e-6)
    assert 0.0 < found["groove_depth_uncertainty_mm"] < 0.02
    assert found["counterface"]["speed_mps"] == pytest.approx(2.747, abs=0.001)
    assert found["ways"][0]["way"] == "thin-sleeve"
    for way in found["ways"]:
        assert {"way", "verdict", "reasons", "parts", "dimensions_mm", "work"} <= set(way)
        assert len(way["work"]) == len(way["work_sources"])
        assert all(source in found["sources"] for source in way["sources"])


def test_one_text_or_several_readings_are_taken_alike() -> None:
    one = ask(shaft="34.97@micrometer", track=["34.71@micrometer"])
    assert one == ask(shaft=("34.97@micrometer",), track="34.71@micrometer")


def test_a_depth_of_its_own_is_taken_as_it_is() -> None:
    found = ask(shaft="34.97@micrometer", groove_depth="0.15mm@indicator")
    assert found["groove_depth_mm"] == 0.15
    assert ask(groove_depth="6thou@indicator")["groove_depth_mm"] == pytest.approx(0.1524)


def test_no_groove_at_all() -> None:
    found = ask(shaft="35@micrometer", groove_depth="0@indicator", room="0")
    assert found["groove_depth_mm"] == 0.0
    assert found["ways"][0]["way"] == "polish"


def asked_again(found: dict[str, Any], words: str) -> list[str]:
    """The readings to take again for a reason, none of which stands among the cautions."""
    assert not any(words in caution for caution in found["cautions"])
    return [entry["reading"] for entry in found["read_again"] if words in entry["reason"]]


# --- depth and diameters together ---------------------------------------------------------------


def test_the_whole_difference_given_as_the_depth_is_recognised() -> None:
    found = ask(shaft="35@micrometer", track="34.8@micrometer", groove_depth="0.2@indicator")
    assert found["groove_depth_mm"] == pytest.approx(0.1)
    assert asked_again(found, "whole difference") == ["groove-depth"]


def test_a_depth_that_agrees_is_not_remarked_on() -> None:
    found = ask(shaft="35@micrometer", track="34.8@micrometer", groove_depth="0.1@indicator")
    assert found["groove_depth_mm"] == pytest.approx(0.1)
    assert not any("difference" in caution for caution in found["cautions"])
    assert not any("agree" in reason for reason in found["reasons"])


def test_a_depth_that_contradicts_the_diameters_is_a_check_at_the_deeper() -> None:
    found = ask(**GOOD, track="34.91@micrometer", groove_depth="0.25@indicator")
    assert found["verdict"] == "check"
    assert found["groove_depth_mm"] == 0.25
    assert any("do not agree" in reason for reason in found["reasons"])
    assert "groove-depth" in [entry["reading"] for entry in found["read_again"]]


# --- the track larger than the land -------------------------------------------------------------


def test_an_earlier_sleeve_over_the_track_is_found() -> None:
    found = ask(shaft="34.97@micrometer", track="35.49@micrometer")
    assert found["verdict"] == "check"
    assert found["groove_depth_mm"] is None
    assert [f["finding"] for f in found["findings"]] == ["earlier-sleeve"]
    assert found["findings"][0]["probability"] > 0.9
    assert [way["way"] for way in found["ways"]] == ["thin-sleeve"]
    assert "track" in [entry["reading"] for entry in found["read_again"]]


def test_a_ring_left_on_is_found() -> None:
    found = ask(shaft="34.97", track="41.2")
    assert (found["verdict"], found["ways"]) == ("check", [])
    assert [f["finding"] for f in found["findings"]] == ["ring-left-on"]
    assert "take the ring off" in found["read_again"][0]["reason"]


def test_larger_by_no_more_than_the_instrument_is_no_groove() -> None:
    found = ask(shaft="34.97", track="34.99")
    assert found["groove_depth_mm"] == 0.0
    assert asked_again(found, "no more than the instruments explain") == ["groove-depth"]


@pytest.mark.parametrize("track", ["35.20", "36.5", "37.8", "48"])
def test_larger_by_what_nothing_explains_is_refused(track: str) -> None:
    with pytest.raises(InputError, match="a worn track is smaller than the land"):
        ask(shaft="34.97@micrometer", track=f"{track}@micrometer")


# --- the land beside the seal -------------------------------------------------------------------


def test_a_land_read_over_an_earlier_sleeve_is_found() -> None:
    found = ask(shaft="35.46@micrometer", track="35.3@micrometer", seal="35x52x7")
    assert [f["finding"] for f in found["findings"]] == ["earlier-sleeve"]
    assert found["verdict"] == "check"
    assert ways(found)["thin-sleeve"]["parts"] == []


def test_a_land_read_over_a_ring_is_found() -> None:
    found = ask(shaft="41@micrometer", groove_depth="0.1", seal="35x52x7")
    assert [f["finding"] for f in found["findings"]] == ["ring-left-on"]


def test_a_land_read_in_a_track_is_found_and_is_a_check() -> None:
    found = ask(shaft="34.6@micrometer", track="34.4@micrometer", seal="35x52x7")
    assert [f["finding"] for f in found["findings"]] == ["worn-track-read"]
    assert found["verdict"] != "go"
    assert found["groove_depth_mm"] == pytest.approx(0.1)


def test_a_land_that_is_no_seat_of_the_seal_is_a_check() -> None:
    found = ask(shaft="36.4@micrometer", track="36.2@micrometer", seal="35x52x7")
    assert found["verdict"] != "go"
    assert any("the seal 35 x 52 x 7 asks 34.84 to 35 mm" in r for r in found["reasons"])


def test_the_land_of_another_shaft_is_refused() -> None:
    with pytest.raises(InputError, match="not of the same place"):
        ask(shaft="52@micrometer", track="51.9@micrometer", seal="35x52x7")


# --- damage -------------------------------------------------------------------------------------


@pytest.mark.parametrize("damage", ["pitted", "oval"])
def test_damage_rules_out_the_thin_repairs(damage: str) -> None:
    found = ask(shaft="34.97@micrometer", seal="35x52x7", **{damage: True})
    assert found["groove_depth_mm"] is None
    assert found["ways"][0]["way"] == "thick-sleeve"
    assert ways(found)["thin-sleeve"]["verdict"] == "no-go"


def test_readings_far_apart_are_a_shaft_out_of_round() -> None:
    found = ask(shaft=("34.98@micrometer", "34.88@micrometer"), track="34.8@micrometer")
    assert found["counterface"]["damage"] == ["out of round"]
    assert ways(found)["thin-sleeve"]["verdict"] == "no-go"


def test_readings_somewhat_apart_are_a_doubt() -> None:
    found = ask(shaft=("34.98@micrometer", "34.95@micrometer"), track="34.7@micrometer")
    assert found["counterface"]["damage"] == []
    assert ways(found)["thin-sleeve"]["verdict"] == "check"
    assert "shaft" in [entry["reading"] for entry in found["read_again"]]
    assert "shaft" in asked_again(found, "out of round")


def test_one_reading_of_the_land_is_to_be_averaged() -> None:
    one = ask(shaft="34.97@micrometer", track="34.71@micrometer")
    three = ask(**GOOD, track="34.71@micrometer")
    assert asked_again(one, "average 3 readings") == ["shaft"]
    assert not asked_again(three, "average 3 readings")


# --- bad input ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "wording"),
    [
        ({}, "nothing was measured"),
        ({"shaft": "35"}, "Give --shaft"),
        ({"track": "34.8"}, "takes two diameters"),
        ({"shaft": "35", "groove_depth": "34.8"}, "no lip wears a groove"),
        ({"shaft": "35", "track": "28"}, "no lip wears a groove"),
        ({"shaft": "thirty", "track": "34"}, "shaft thirty"),
        ({"shaft": "0", "track": "34"}, "larger than zero"),
        ({"shaft": "-35", "track": "34"}, "negative"),
        ({"shaft": "35@ruler", "track": "34.9"}, "ruler"),
        ({"shaft": "35", "track": "34.9", "seal": "35x52"}, "the width is missing"),
        ({"shaft": "35", "track": "34.9", "rpm": "80C"}, "80C"),
        ({"groove_depth": "0.4", "rpm": "1500"}, "takes a diameter"),
        ({"shaft": "35", "track": "34.9", "room": "much"}, "room much"),
    ],
)
def test_what_cannot_be_answered_says_why(options: dict[str, str], wording: str) -> None:
    with pytest.raises(InputError) as refused:
        ask(**options)
    assert wording in str(refused.value)


@pytest.mark.parametrize(
    ("options", "readings"),
    [
        ({"shaft": "1.375", "track": "34.8"}, ("1.375in", "1.375mm")),
        ({"shaft": "34.92", "track": "1.37"}, ("1.37in", "1.37mm")),
        ({"shaft": "1.375", "groove_depth": "0.1"}, ("1.375in", "1.375mm")),
        ({"shaft": "1.375", "groove_depth": "0.1", "seal": "35x52x7"}, ("1.375in", "1.375mm")),
        ({"shaft": "34.92", "groove_depth": "5thou", "unit": "in"}, ("34.92in", "34.92mm")),
    ],
)
def test_a_value_that_fits_only_the_other_unit_is_asked(
    options: dict[str, str], readings: tuple[str, str]
) -> None:
    with pytest.raises(AmbiguousError) as asked:
        ask(**options)
    assert asked.value.readings == readings


def test_a_written_unit_is_believed() -> None:
    assert ask(shaft="4mm", groove_depth="0.01mm")["counterface"]["land_mm"] == 4.0


# --- properties ---------------------------------------------------------------------------------

thousandths = st.integers(min_value=1000, max_value=6000)


@given(land=thousandths, wear=st.integers(min_value=0, max_value=40), width=st.integers(10, 300))
def test_the_unit_makes_no_difference(land: int, wear: int, width: int) -> None:
    def texts(scale: float, unit: str) -> dict[str, Any]:
        # Whole thousandths of an inch are exact in mm to four decimals.
        return {
            name: f"{plain(round(value / 1000 * scale, 6))}{unit}@micrometer"
            for name, value in (
                ("shaft", land),
                ("track", land - wear),
                ("groove_width", width),
                ("room", 200),
                ("lip_at", 900),
            )
        }

    inches, metric = ask(**texts(1.0, "in")), ask(**texts(25.4, "mm"))
    assert inches["groove_depth_mm"] == pytest.approx(metric["groove_depth_mm"], abs=1e-6)
    assert inches["verdict"] == metric["verdict"]
    assert [(w["way"], w["verdict"], w["parts"]) for w in inches["ways"]] == [
        (w["way"], w["verdict"], w["parts"]) for w in metric["ways"]
    ]


@given(wear=st.integers(min_value=0, max_value=150))
def test_the_verdict_is_that_of_the_first_way_that_keeps_the_part(wear: int) -> None:
    found = ask(**GOOD, track=f"{34.97 - wear / 100:.2f}@micrometer", seal="35x52x7")
    kept = [w for w in found["ways"] if w["way"] != "replace" and w["verdict"] != "no-go"]
    assert found["verdict"] == (kept[0]["verdict"] if kept else "no-go")


def test_no_shaft_is_cut_while_a_polish_waits_for_a_reading() -> None:
    found = ask(shaft="60", track="59.98")
    assert found["reasons"] == ["first way: polish (check)"]
    assert found["read_again"]


def test_a_lighter_way_without_another_reading_is_still_named() -> None:
    found = ask(shaft=["34.98@micrometer"] * 3, track=["34.88@micrometer"] * 3)
    assert found["ways"][0]["way"] in {"move-lip", "thin-sleeve"}
    assert not any("thick sleeve" in reason for reason in found["reasons"])


def test_a_seal_past_its_standard_is_not_held_against_the_land() -> None:
    found = ask(shaft="519.9@micrometer", groove_depth="0.05", seal="520 x 560 x 20")
    assert any("not held against the seal's shaft" in reason for reason in found["reasons"])
    assert "finish_min" not in ways(found)["thick-sleeve"]["dimensions_mm"]


@pytest.mark.parametrize(
    ("track", "said"),
    [
        ("89.724", "0.128 mm deep as read, to 0.007 mm, and so may be deeper than 0.13 mm"),
        ("89.7194", "0.1303 mm deep, deeper than 0.13 mm"),
        ("89.60", "0.19 mm deep, deeper than 0.13 mm"),
    ],
)
def test_the_depth_that_is_filled_does_not_contradict_its_limit(track: str, said: str) -> None:
    found = ask(shaft="89.98@micrometer", track=f"{track}@micrometer", seal="90 x 120 x 12")
    assert f"the groove is {said}: fill it" in ways(found)["thin-sleeve"]["reasons"]


def test_what_the_work_asks_for_under_the_sleeve_is_on_the_order() -> None:
    given = {"shaft": "34.97@micrometer", "seal": "35 x 52 x 7"}
    light = ways(ask(**given, track="34.81@micrometer", groove_width="2.5"))["thin-sleeve"]
    assert any("gasket compound" in step for step in light["work"])
    assert any(part["what"] == "non-hardening gasket compound" for part in light["parts"])
    assert not any("no filler needed" in reason for reason in light["reasons"])
    deep = ways(ask(**given, track="34.60@micrometer"))["thin-sleeve"]
    assert not any("gasket compound" in step for step in deep["work"])
    assert [part["what"] for part in deep["parts"]] == ["thin sleeve", "metal-filled epoxy"]
