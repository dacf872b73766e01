"""From the texts of a request to the answer about a lip seal."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, FitcheckError, InputError, OffTableError
from fitcheck.job.seal import PLACES, SealRequest, answer

VERDICTS = {"go", "check", "no-go"}
FINDINGS = {
    "earlier-sleeve",
    "ring-left-on",
    "worn-track-read",
    "unit-mixed",
    "order-swapped",
    "unlisted-size",
    # Beyond the six that every reader of answers knows.
    "oval-bore",
    "rounded",
}
FINE = {"shaft": "34.95@micrometer", "bore": "52.02@bore-gauge", "old_width": "7.0"}


def ask(**given: Any) -> dict[str, Any]:
    """The answer to a request; places and options by name."""
    readings: dict[str, Sequence[str]] = {}
    for place in PLACES:
        texts = given.pop(place.replace("-", "_"), ())
        readings[place] = (texts,) if isinstance(texts, str) else tuple(texts)
    return answer(SealRequest(readings=readings, **given))


def findings(found: dict[str, Any]) -> dict[str, float]:
    """The findings and their probabilities."""
    return {f["finding"]: f["probability"] for f in found["findings"]}


def check_promise(found: dict[str, Any]) -> None:
    """What everyone may rely on, whatever was asked."""
    assert found["verdict"] in VERDICTS
    assert found["reasons"]
    shares = [c["probability"] for c in found["candidates"]]
    assert all(0.0 <= share <= 1.0 for share in (*shares, found["unlisted"], found["others"]))
    assert sum(shares) + found["unlisted"] + found["others"] == pytest.approx(1.0, abs=1e-5)
    assert shares == sorted(shares, reverse=True)
    for candidate in found["candidates"]:
        assert candidate["verdict"] in VERDICTS
        assert isinstance(candidate["reasons"], list)
        assert candidate["system"] in {"metric", "inch", "mixed"}
        assert candidate["series"]
        assert candidate["source"]
        assert candidate["size"].endswith(" in") == (candidate["system"] != "metric")
        for key in ("shaft_mm", "bore_mm", "width_mm"):
            assert isinstance(candidate[key], float)
        assert candidate["shaft_mm"] < candidate["bore_mm"]
    for finding in found["findings"]:
        assert finding["finding"] in FINDINGS
        assert 0.0 < finding["probability"] <= 1.0
        assert finding["reason"]
    following = found["next_reading"]
    if following is not None:
        assert set(following) >= {"reading", "instrument", "reason"}
    assert found["cautions"]
    if found["verdict"] == "go":
        assert found["candidates"][0]["verdict"] == "go"
    if found["verdict"] == "check":
        work = [check["advice"] for check in found["checks"] if check["verdict"] != "go"]
        ways = found.get("counterface", {}).get("ways", [])
        assert following is not None or any(work) or ways or found["duty"]


@pytest.mark.parametrize(
    "given",
    [
        FINE,
        {"shaft": "34.92", "bore": "52.02"},
        {"bore": "52"},
        {"mark": ("35 52 7",)},
        {"old_od": ("52.2", "52.25"), "old_lip": "33.8", "old_width": "7.1", "case": "rubber"},
        {"shaft": "33.6", "bore": "52.25", "old_width": "7"},
        {"shaft": "1.375in", "bore": "2.125in", "old_width": "0.313in"},
        {**FINE, "track": "34.6@micrometer", "rpm": "300rpm", "oil": "gear oil"},
        {"track": "34.6"},
        {"pocket": "9"},
    ],
)
def test_the_answer_has_what_is_promised(given: dict[str, Any]) -> None:
    found = ask(**given)
    found.setdefault("duty", None)
    check_promise(found)


def test_good_readings_name_one_size() -> None:
    found = ask(**FINE)
    assert found["verdict"] == "go"
    top = found["candidates"][0]
    assert (top["size"], top["verdict"]) == ("35 x 52 x 7", "go")
    assert (top["shaft_mm"], top["bore_mm"], top["width_mm"]) == (35.0, 52.0, 7.0)
    assert top["probability"] > 0.95
    assert found["findings"] == []
    assert found["next_reading"] is None


def test_inch_readings_name_an_inch_size() -> None:
    found = ask(shaft="1.3745", bore="2.1253", old_width="0.315", unit="in")
    top = found["candidates"][0]
    assert top["size"] == "1.375 x 2.125 x 0.313 in"
    assert top["shaft_mm"] == pytest.approx(34.925)
    assert top["system"] == "inch"


def test_the_bore_splits_what_the_shaft_cannot() -> None:
    metric, inch = ask(shaft="34.93", bore="52.02"), ask(shaft="34.93", bore="53.99")
    assert metric["candidates"][0]["system"] == "metric"
    # 34.925 mm lies inside h11 of 35 mm: the bore of 53.975 mm stands between 52 and 54.
    assert {c["bore_mm"] for c in metric["candidates"][:3]} == {52.0}
    assert all(abs(c["bore_mm"] - 53.99) < 0.1 for c in inch["candidates"][:2])


def test_shaft_and_bore_alone_ask_for_the_width() -> None:
    found = ask(shaft="34.92", bore="52.02")
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "old-width"
    assert "tells 35 x 52 x" in found["next_reading"]["reason"]


def test_a_size_between_the_listed_ones_is_not_snapped() -> None:
    found = ask(shaft="36.50@micrometer", bore="53.40@bore-gauge", old_width="8.6")
    assert found["verdict"] != "go"
    assert findings(found)["unlisted-size"] > 0.5


# --- what else explains the readings -------------------------------------------------------------


def test_an_earlier_sleeve_is_recognised() -> None:
    found = ask(shaft="35.50@micrometer", bore="52.02@bore-gauge", old_width="7.0")
    assert found["verdict"] == "check"
    assert found["candidates"][0]["size"] == "35 x 52 x 7"
    assert findings(found)["earlier-sleeve"] > 0.5
    assert found["next_reading"]["reading"] == "shaft"
    assert "sleeve" in found["next_reading"]["reason"]


def test_a_track_read_instead_of_the_land_is_recognised() -> None:
    found = ask(shaft="34.70@micrometer", bore="52.02@bore-gauge", old_width="7.0")
    assert found["verdict"] == "check"
    assert found["candidates"][0]["size"] == "35 x 52 x 7"
    assert findings(found)["worn-track-read"] > 0.5
    assert found["next_reading"]["reading"] == "shaft"
    assert "land" in found["next_reading"]["reason"]


def test_the_ring_of_a_two_part_seal_is_recognised() -> None:
    found = ask(
        shaft="67.1@micrometer", bore="90.03@bore-gauge", old_width="10.0", mark=("60x90x10",)
    )
    assert found["candidates"][0]["size"] == "60 x 90 x 10"
    assert findings(found)["ring-left-on"] > 0.5
    assert found["verdict"] == "check"


def test_a_bare_shaft_is_sure_and_one_that_may_carry_a_ring_is_not() -> None:
    seat = {"shaft": "64.93", "bore": "90.03", "old_width": "10.1"}
    found = ask(**seat)
    assert (found["verdict"], found["candidates"][0]["verdict"]) == ("check", "check")
    assert found["next_reading"]["instrument"] == "eye"
    assert "say so (bare shaft)" in found["next_reading"]["reason"]
    assert ask(**seat, bare_shaft=True)["verdict"] == "go"


def test_an_old_seal_gives_its_seat_not_its_own_diameters() -> None:
    found = ask(old_od="52.2", old_lip="33.8", old_width="7.1", case="rubber")
    top = found["candidates"][0]
    assert top["size"] == "35 x 52 x 7"
    # The case is over the bore and the free lip under the shaft; neither is the size.
    assert (top["shaft_mm"], top["bore_mm"]) == (35.0, 52.0)


def test_an_old_seal_given_as_bore_and_shaft_is_not_taken_at_its_word() -> None:
    found = ask(shaft="33.6", bore="52.25", old_width="7.1")
    assert found["verdict"] != "go"
    assert findings(found)


def test_an_inch_shaft_typed_as_mm_is_asked_about() -> None:
    found = ask(shaft="1.375", bore="52", old_width="7")
    assert found["verdict"] == "check"
    assert findings(found)["unit-mixed"] > 0.9
    assert found["candidates"][0]["size"] == "35 x 52 x 7"
    assert found["next_reading"]["reading"] == "shaft"
    assert "1.375 was meant in inches" in found["next_reading"]["reason"]


def test_a_reading_in_doubt_judges_no_seat() -> None:
    found = ask(shaft="1.375", bore="52.02@bore-gauge", old_width="7")
    assert [check["what"] for check in found["checks"]] == ["seal bore"]
    assert not any("33625 um" in reason for reason in found["reasons"])
    shaft = [r for r in found["candidates"][0]["reasons"] if r.startswith("shaft")]
    assert shaft == ["shaft 1.375 mm: fits in another unit or order only (expected 34.840 to "
                     "35.000 mm)"]  # fmt: skip


def test_inches_throughout_typed_as_mm_are_named() -> None:
    found = ask(shaft="1.375", bore="2.125", old_width="0.313")
    assert findings(found)["unit-mixed"] > 0.9
    assert found["candidates"][0]["size"] == "1.375 x 2.125 x 0.313 in"
    assert found["checks"] == []


def test_another_order_is_named() -> None:
    found = ask(shaft="35", bore="7", old_width="52")
    assert findings(found)["order-swapped"] > 0.9
    assert found["candidates"][0]["size"] == "35 x 52 x 7"
    assert "its own place" in found["next_reading"]["reason"]


def test_a_written_unit_is_believed_more_than_a_bare_number() -> None:
    bare, stated = ask(shaft="1.375", bore="52"), ask(shaft="1.375mm", bore="52mm")
    assert findings(stated).get("unit-mixed", 0.0) <= findings(bare)["unit-mixed"]


# --- land and track ------------------------------------------------------------------------------


def test_land_and_track_give_the_counterface() -> None:
    found = ask(**FINE, track="34.69@micrometer")
    worn = found["counterface"]
    assert worn["groove_depth_mm"] == pytest.approx(0.13)
    assert worn["counterface"]["seal"] == "35 x 52 x 7"
    assert found["candidates"][0]["verdict"] == "go"
    assert any("worn 0.13 mm deep" in reason for reason in found["reasons"])
    assert set(worn["cautions"]) <= set(found["cautions"])


def test_the_track_alone_gives_no_counterface() -> None:
    assert "counterface" not in ask(track="34.6", bore="52.02")


def test_a_groove_depth_is_graded_with_or_without_the_land() -> None:
    assert ask(bore="52.02", groove_depth="0.1")["counterface"]["groove_depth_mm"] == 0.1
    assert ask(**FINE, groove_depth="0.1")["counterface"]["groove_depth_mm"] == 0.1


def test_a_light_track_that_polishes_out_keeps_go() -> None:
    found = ask(**FINE, track="34.946@micrometer")
    assert found["counterface"]["ways"][0]["way"] == "polish"


def test_a_sleeve_over_the_track_is_named() -> None:
    found = ask(**FINE, track="35.47@micrometer")
    assert found["verdict"] == "check"
    assert findings(found)["earlier-sleeve"] > 0.9
    assert [way["way"] for way in found["counterface"]["ways"]] == ["thin-sleeve"]
    assert found["next_reading"]["reading"] == "track"


def test_a_ring_over_the_track_is_named_with_what_to_do() -> None:
    found = ask(**FINE, track="41.2")
    assert findings(found)["ring-left-on"] > 0.9
    assert found["counterface"]["ways"] == []
    assert "take the ring off" in found["next_reading"]["reason"]


# --- seats, duty ---------------------------------------------------------------------------------


def test_every_seat_read_is_judged() -> None:
    found = ask(**FINE, pocket="8.5@depth-gauge")
    assert {check["what"] for check in found["checks"]} == {"seal bore", "counterface", "pocket"}
    for check in found["checks"]:
        assert check["verdict"] in VERDICTS
        assert check["reason"]
        assert check["source"]
        assert "measured_um" in check


def test_a_seat_that_fails_speaks_against_the_whole() -> None:
    found = ask(shaft="34.95@micrometer", bore="52.12@bore-gauge", old_width="7.0")
    bore = next(check for check in found["checks"] if check["what"] == "seal bore")
    assert bore["verdict"] == "no-go"
    assert found["verdict"] == "no-go"
    assert bore["advice"]
    # The size itself is judged by itself: it is the bore that does not hold it.
    assert found["candidates"][0]["verdict"] != "no-go"


def test_readings_too_coarse_for_a_seat_leave_the_size_sure() -> None:
    found = ask(shaft="34.93", bore="52.02", old_width="7")
    bore = next(check for check in found["checks"] if check["what"] == "seal bore")
    assert bore["verdict"] == "check"
    assert bore["read_again"]
    assert found["verdict"] == "go"


def test_readings_that_differ_are_a_check() -> None:
    found = ask(shaft="34.95@micrometer", bore=("52.00", "52.03", "52.20"), old_width="7.0")
    assert found["verdict"] == "check"
    assert any(reading["out_of_round"] for reading in found["readings"])
    assert any("out of round" in reason for reason in found["reasons"])


def test_a_duty_no_lip_stands_is_a_no_go() -> None:
    found = ask(**FINE, rpm="9000rpm", oil="gear oil", oil_temp="220C", pressure="9bar")
    assert found["duty"]["verdict"] == "no-go"
    assert found["verdict"] == "no-go"


def test_pressure_speaks_against_every_width_of_the_shaft() -> None:
    seat = {"shaft": "44.955@micrometer", "bore": "62.02@bore-gauge", "bare_shaft": True}
    found = ask(**seat, pressure="3bar")
    assert found["candidates"][0]["probability"] < 0.95
    assert found["verdict"] == "no-go"


def test_a_duty_that_is_open_keeps_the_whole_open_and_is_asked_about() -> None:
    duty = {"rpm": "6000rpm", "oil": "EP gear oil", "oil_temp": "90C"}
    found = ask(**FINE, **duty)
    assert found["duty"]["best"]
    assert found["verdict"] == found["duty"]["verdict"] == "check"
    assert found["next_reading"]["reading"] == "pressure"
    assert ask(**FINE, **duty, pressure="0bar")["verdict"] == "go"
    unsaid = ask(**FINE, rpm="300rpm", pressure="0bar")
    assert unsaid["verdict"] == "check"
    assert unsaid["next_reading"]["reading"] == "oil"


def test_a_duty_without_any_shaft_says_so() -> None:
    found = ask(mark=("zzzz",), rpm="300rpm")
    assert found["duty"] is None
    assert any("without a shaft" in reason for reason in found["reasons"])


def test_nothing_asked_about_the_duty_leaves_it_out() -> None:
    assert "duty" not in ask(**FINE)


def test_every_source_is_named() -> None:
    found = ask(old_od="52.2", old_width="7.1", case="metal", shaft="34.95@micrometer")
    joined = "; ".join(found["sources"])
    for words in ("seat classes", "case diameter", "width tolerance", "caliper:", "micrometer:"):
        assert words in joined
    assert "shares of wear and mistakes: common practice, no source (from memory)" in joined


# --- options -------------------------------------------------------------------------------------


def test_no_more_than_the_top_are_listed_and_the_rest_counted() -> None:
    few, many = ask(bore="52", top=2), ask(bore="52", top=50)
    assert len(few["candidates"]) == 2
    assert few["candidates"] == many["candidates"][:2]
    assert few["others"] > many["others"]
    check_promise({**few, "duty": None})


def test_a_shop_can_ask_for_more_certainty() -> None:
    assert ask(**FINE)["verdict"] == "go"
    strict = ask(**FINE, certainty=1.0)
    assert strict["verdict"] == "check"
    assert strict["candidates"][0]["verdict"] == "check"
    assert strict["next_reading"] is not None


def test_the_order_of_readings_makes_no_difference() -> None:
    places = [("shaft", ("34.9", "34.95")), ("bore", ("52.0", "52.05")), ("old-width", ("7",))]
    forth = answer(SealRequest(readings=dict(places)))
    back = answer(SealRequest(readings={p: t[::-1] for p, t in reversed(places)}))
    assert forth == back


@given(
    shaft=st.integers(min_value=1000, max_value=3000),
    case=st.integers(min_value=300, max_value=1500),
)
def test_the_unit_makes_no_difference(shaft: int, case: int) -> None:
    # Whole thousandths of an inch are exact in mm to four decimals.
    inch = {"shaft": f"{shaft / 1000}in", "bore": f"{(shaft + case) / 1000}in"}
    metric = {
        "shaft": f"{shaft * 0.0254:.4f}mm",
        "bore": f"{(shaft + case) * 0.0254:.4f}mm",
    }
    one, other = ask(**inch), ask(**metric)
    first = [(c["size"], round(c["probability"], 2)) for c in one["candidates"][:3]]
    second = [(c["size"], round(c["probability"], 2)) for c in other["candidates"][:3]]
    # Mistakes are restated the other way round, so that shares may differ a little.
    assert one["verdict"] == other["verdict"] or abs(one["unlisted"] - other["unlisted"]) < 0.2
    if first and second and min(first[0][1], second[0][1]) > 0.9:
        assert first[0][0] == second[0][0]


numbers = st.one_of(
    st.floats(min_value=0.01, max_value=900.0).map(lambda x: f"{x:.2f}"),
    st.sampled_from(["35", "52", "7", "1.375", "2.125", "34.6", "62", "0.313in", "90mm@tape"]),
)


@given(
    given=st.dictionaries(
        st.sampled_from([place.replace("-", "_") for place in PLACES]), numbers, min_size=1
    ),
    mark=st.sampled_from([(), ("35 52 7",), ("4? 62",)]),
)
def test_any_readings_are_answered_or_refused_in_words(
    given: dict[str, str], mark: tuple[str, ...]
) -> None:
    # Whatever else is raised is a fault.
    with suppress(FitcheckError):
        check_promise({"duty": None, **ask(**given, mark=mark)})


# --- bad input -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "wording"),
    [
        ({}, "at least one place must be measured"),
        ({"mark": ("",)}, "at least one place must be measured"),
        ({"mark": ("??",)}, "at least one readable character"),
        ({"shaft": "35@ruler"}, "this instrument is not listed"),
        ({"shaft": "thirty"}, "a value starts with a number"),
        ({"shaft": "-35"}, "can't be negative"),
        ({"shaft": "0"}, "larger than zero"),
        ({"shaft": "35kg"}, "35kg"),
        ({"bore": "80C"}, "a length is wanted here"),
        ({**FINE, "case": "wood"}, "a seal's case is metal or rubber"),
        ({**FINE, "rpm": "fast"}, "a value starts with a number"),
        ({**FINE, "oil": "oil", "oil_temp": "80mm"}, "a temperature is wanted here"),
        ({**FINE, "pressure": "3C"}, "a pressure is wanted here"),
        ({**FINE, "top": 0}, "at least one candidate"),
        ({**FINE, "certainty": 0.2}, "from 0.5 to 1"),
        ({**FINE, "track": "28"}, "no lip wears a groove"),
    ],
)
def test_what_cannot_be_understood_is_refused(given: dict[str, Any], wording: str) -> None:
    with pytest.raises(InputError) as refused:
        ask(**given)
    assert wording in str(refused.value)


@pytest.mark.parametrize("text", ["1,250", "25.4 Mm", "1 3/8 35", "13/8in"])
def test_what_can_be_read_two_ways_names_both(text: str) -> None:
    with pytest.raises(AmbiguousError) as refused:
        ask(shaft=text)
    assert len(refused.value.readings) == 2
    assert all(reading in str(refused.value) for reading in refused.value.readings)


def test_readings_outside_every_table_are_refused_with_the_range() -> None:
    with pytest.raises(OffTableError, match=r"bore 9100 mm \(listed: [0-9.]+ to [0-9.]+ mm\)"):
        ask(shaft="9000", bore="9100")


@pytest.mark.parametrize(
    "given",
    [
        {"pitted": True},
        {"oval": True},
        {"groove_depth": "0.2"},
        {"groove_width": "2"},
        {"lip_at": "20"},
        {"room": "3"},
        {"rpm": "300"},
        {"oil": "gear oil"},
        {"oil_temp": "80C"},
        {"pressure": "0.2bar"},
        {"mark": ("40x60",)},
        {"shaft_end": ("61.0",)},
        {"bore_chamfer": ("1.1",)},
    ],
    ids=lambda given: next(iter(given)),
)
def test_nothing_that_was_given_is_dropped_without_a_word(given: dict[str, Any]) -> None:
    seat = {"shaft": "64.93", "bore": "90.03", "old_width": "10.1", "bare_shaft": True}
    assert ask(**seat, **given) != ask(**seat)


@pytest.mark.parametrize("given", [{"pitted": True}, {"oval": True}, {"groove_depth": "0.6"}])
def test_a_damaged_counterface_is_never_go(given: dict[str, Any]) -> None:
    found = ask(shaft="64.93", bore="90.03", old_width="10.1", bare_shaft=True, **given)
    assert found["verdict"] == "check"
    assert found["counterface"]["ways"]


@pytest.mark.parametrize("mark", ["35x52x7", "35X52X7", "35 52 7", "35*52*7", "35 x 52 X 7"])
def test_a_size_is_read_whatever_parts_its_dimensions(mark: str) -> None:
    found = ask(mark=(mark,))
    assert found["candidates"][0]["size"] == "35 x 52 x 7"
    assert found["candidates"][0]["probability"] > 0.9


def test_lead_in_chamfers_are_judged_when_given() -> None:
    seat = {"shaft": "64.93", "bore": "90.03", "old_width": "10.1", "bare_shaft": True}
    good = ask(**seat, shaft_end=("60.5",), bore_chamfer=("0.9",))
    # JIS B 2402-1, table 1: the chamfer takes at least 4.0 mm off a 65 mm shaft.
    assert {c["what"]: c["verdict"] for c in good["checks"]}["shaft chamfer"] == "go"
    short = ask(**seat, shaft_end=("63.5",))
    assert {c["what"]: c["verdict"] for c in short["checks"]}["shaft chamfer"] == "check"
    assert short["verdict"] == "check"


def test_a_pocket_too_shallow_for_the_seal_is_named() -> None:
    found = ask(shaft="35.01", bore="52.01", old_width="7", pocket="5")
    assert found["verdict"] == "no-go"
    assert any("leaves its 7 mm width no room" in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == "pocket"


def test_a_mark_with_a_lost_digit_is_confirmed_by_the_bore() -> None:
    found = ask(mark=("40 6? 7",))
    assert (found["verdict"], found["next_reading"]["reading"]) == ("check", "bore")


def test_an_exact_inch_shaft_is_not_taken_for_a_rounded_metric_one() -> None:
    found = ask(shaft="1.750in", bore="2.5625in")
    assert "rounded" not in {f["finding"] for f in found["findings"]}
    assert found["unlisted"] > 0.5


def test_a_shallow_pocket_names_the_listed_widths_that_fit() -> None:
    found = ask(
        shaft=("35@micrometer",), bore=("52@bore-gauge",), pocket=("9.5",), old_width=("10",)
    )
    check = next(c for c in found["checks"] if c["what"] == "pocket")
    assert (found["candidates"][0]["size"], check["verdict"]) == ("35 x 52 x 10", "no-go")
    assert "(listed: 8, 7 mm)" in check["advice"]


def test_the_run_out_of_an_inch_shaft_goes_by_the_inch_table() -> None:
    inch = {"shaft": ("1.375in",), "bore": ("2.125in",), "old_width": ("0.313in",)}
    found = ask(**inch, rpm="1800rpm")
    assert found["duty"]["runout_mm"]["NBR"] == 0.152
    metric = ask(shaft=("35",), bore=("52",), old_width=("7",), rpm="1800rpm")
    assert metric["duty"]["runout_mm"]["NBR"] == 0.224


def test_no_room_at_all_is_an_answer_whether_a_groove_was_measured_or_not() -> None:
    unused = ask(**FINE, room="0")
    assert any(reason.startswith("room could not be used") for reason in unused["reasons"])
    used = ask(**FINE, track="34.7@micrometer", room="0")
    assert used["counterface"]["counterface"]["room_mm"] == 0.0
    with pytest.raises(InputError):
        ask(**FINE, lip_at="0")
    with pytest.raises(InputError):
        ask(**FINE, track="34.7@micrometer", lip_at="0")
