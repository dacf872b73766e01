"""What `fitcheck shim` answers: way, pack, shims, what to expect, and every refusal."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import AmbiguousError, FitcheckError, InputError, NotKnownError
from fitcheck.job.shim.answer import answer
from fitcheck.job.shim.text import ShimRequest, read_shims, read_target

KEYS = {
    *("verdict", "method", "position", "measured_mm", "fitted_mm", "target", "pack_mm"),
    *("change_mm", "direction", "picks", "count", "picked_mm", "expected_mm", "order_mm"),
    *("counted_out", "counted_in", "left_over", "nearest", "measure_again", "nut_procedure"),
    *("allowed_mm", "reused", "buy", "with_bought", "sure", "only_after", "next_reading", "unit"),
    *("reasons", "assumptions", "cautions", "sources"),
}


def shim(**options: Any) -> dict[str, Any]:
    return answer(ShimRequest(**options))


def play(measured: str = "0.30", **options: Any) -> dict[str, Any]:
    """End play under a cap, 0.05 to 0.10 mm wanted."""
    values: dict[str, Any] = {"position": "cap", "target": "0.05..0.10mm", "fitted": "0.20x4"}
    return shim(method="end-play", measured=[measured], **(values | options))


def gap(measured: str = "0.51", **options: Any) -> dict[str, Any]:
    """A free gap under a cap."""
    return shim(method="free-gap", measured=[measured], **({"position": "cap"} | options))


def drag(**options: Any) -> dict[str, Any]:
    values: dict[str, Any] = {"pull": ["100N"], "radius": "200mm", "target": "15..25N.m"}
    return shim(method="drag", **(values | options))


def said(found: dict[str, Any], words: str) -> bool:
    return any(words in reason for reason in found["reasons"])


def test_every_answer_has_the_same_keys() -> None:
    for found in (play(), gap(), shim(method="lead", measured=["1.2"])):
        assert set(found) == KEYS
    assert set(drag()) == KEYS | {
        *("torque_nm", "base_drag_nm", "compared_nm", "sure_nm", "pull_at_target_n"),
        "next_shim",
    }


# --- end play -----------------------------------------------------------------------------------


def test_end_play_that_holds_leaves_the_pack() -> None:
    found = play("0.075")
    assert (found["verdict"], found["direction"], found["change_mm"]) == ("go", "none", 0.0)
    assert found["pack_mm"] == found["fitted_mm"] == 0.8
    assert found["expected_mm"] == 0.075
    assert found["counted_in"] == found["counted_out"] == {"count": 4, "mm": 0.8}


@pytest.mark.parametrize(
    ("measured", "direction"),
    [("0.049", "add"), ("0.050", "none"), ("0.100", "none"), ("0.101", "remove")],
)
def test_both_ends_of_the_target_belong_to_it(measured: str, direction: str) -> None:
    assert play(measured)["direction"] == direction


@pytest.mark.parametrize(
    ("measured", "verdict"),
    [("0.055", "check"), ("0.062", "go"), ("0.088", "go"), ("0.095", "check")],
)
def test_near_an_end_an_indicator_is_not_sure(measured: str, verdict: str) -> None:
    found = play(measured)
    assert found["verdict"] == verdict
    assert said(found, "an indicator is sure to 0.01 mm here") == (verdict == "check")
    assert found["sure"] == (verdict == "go")


@pytest.mark.parametrize(
    ("position", "measured", "direction"),
    [
        ("cap", "0.30", "remove"),
        ("retainer", "0.30", "remove"),
        ("spacer", "0.30", "remove"),
        ("behind-cup", "0.30", "add"),
        ("cap", "0.01", "add"),
        ("behind-cup", "0.01", "remove"),
    ],
)
def test_where_the_shims_sit_decides(position: str, measured: str, direction: str) -> None:
    found = play(measured, position=position, have=["0.05x9,0.10x9,0.15x2"])
    assert found["direction"] == direction
    assert found["change_mm"] == pytest.approx(abs(float(measured) - 0.075))
    sign = 1 if direction == "add" else -1
    assert found["pack_mm"] == pytest.approx(0.8 + sign * found["change_mm"])
    assert 0.05 <= found["expected_mm"] <= 0.10
    # The end play that is expected follows from the shims that were picked.
    change = found["picked_mm"] - 0.8
    side = -1 if position == "behind-cup" else 1
    assert found["expected_mm"] == pytest.approx(float(measured) + side * change, abs=1e-4)


def test_old_shims_go_back_in_and_the_rest_is_left_over() -> None:
    found = play(fitted="0.20x3,0.10x2", have=["0.38x1"])
    assert found["counted_out"] == {"count": 5, "mm": 0.8}
    assert found["picks"] == [{"thickness_mm": 0.38, "count": 1}, {"thickness_mm": 0.2, "count": 1}]
    assert found["counted_in"] == {"count": 2, "mm": 0.58}
    assert found["left_over"] == [
        {"thickness_mm": 0.2, "count": 2},
        {"thickness_mm": 0.1, "count": 2},
    ]
    assert found["order_mm"] == [0.38, 0.2]
    assert said(found, "the thickest next to the flange")


# --- how sure the reading is ----------------------------------------------------------------------


def sure(measured: str, **options: Any) -> dict[str, Any]:
    """End play under a cap, 0.02 to 0.08 mm wanted."""
    values: dict[str, Any] = {"target": "0.02..0.08", "fitted": "0.20x3,0.10x2"}
    return play(measured, **(values | {"have": ["0.05x4,0.10x4"]} | options))


def test_a_tape_can_not_say_where_the_changed_setting_will_lie() -> None:
    found = sure("0.3@tape")
    assert (found["verdict"], found["sure"]) == ("check", False)
    assert found["picked_mm"] == pytest.approx(0.55)
    assert found["next_reading"]["reading"] == "end play"
    assert found["next_reading"]["instrument"] == "indicator"
    assert said(found, "a tape is sure to 0.8 mm only, too coarse for 0.02 to 0.08 mm end play")
    assert said(found, "measure the end play with an indicator, which settles it")
    assert said(found, "or fit the pack and let the reading after fitting decide")
    assert sure("0.3@indicator")["verdict"] == "go"
    for tool in ("feeler", "caliper"):
        assert sure(f"0.3@{tool}")["verdict"] == "check"


@pytest.mark.parametrize(
    ("shim", "expected", "verdict"),
    [
        ("0.526x1", 0.026, "check"),
        ("0.529x1", 0.029, "check"),
        ("0.530x1", 0.030, "go"),
        ("0.570x1", 0.070, "go"),
        ("0.571x1", 0.071, "check"),
        ("0.520x1", 0.020, "check"),
    ],
)
def test_near_an_end_of_the_range_a_reading_does_not_decide(
    shim: str, expected: float, verdict: str
) -> None:
    found = sure("0.30", have=[shim, "0.05x4"])
    assert found["expected_mm"] == pytest.approx(expected)
    assert found["verdict"] == verdict
    # The fewest shims stay the pick; what to change to afterwards is said as a second step.
    assert found["count"] == 1
    named = said(found, "pack goes in, as it has the fewest shims. Only where the reading after")
    assert named == said(found, "so near the middle that this reading") == (verdict == "check")
    assert not said(found, "take a pack nearer the middle")


def test_a_gap_is_as_sure_as_it_was_read() -> None:
    assert gap("0.51@feeler", have=["0.40x1"])["verdict"] == "go"
    tape = gap("0.51@tape", have=["0.40x1"])
    assert (tape["verdict"], tape["next_reading"]["instrument"]) == ("check", "feeler")
    edge = gap("0.51@feeler", have=["0.36x1"])
    assert (edge["verdict"], edge["picked_mm"]) == ("check", 0.36)
    assert gap("0.51@tape", fitted="0.40x1")["verdict"] == "check"
    # Two places that differ are a tilt, and the mean of both is the gap all the same.
    found = shim(method="free-gap", measured=["0.49", "0.54"], position="cap", have=["0.415x1"])
    assert found["verdict"] == "go"
    lead = shim(method="lead", measured=["1.2@tape"], have=["1.2x1"])
    assert lead["next_reading"]["instrument"] == "micrometer"


def test_a_narrow_range_no_instrument_is_fine_enough_for() -> None:
    found = sure("0.30", target="0.048..0.052", have=["0.55x1"])
    assert (found["verdict"], found["next_reading"]) == ("check", None)
    assert said(found, "no instrument is fine enough")


def test_a_reading_just_outside_is_taken_again_before_a_change() -> None:
    assert said(sure("0.085"), "it may lie inside: measure again before the pack is changed")
    assert not said(sure("0.095"), "it may lie inside")


def test_readings_that_differ_too_much_are_no_go_ahead() -> None:
    found = shim(
        method="end-play",
        measured=["0.05", "0.10"],
        position="cap",
        target="0.01..0.20mm",
        fitted="0.20x4",
    )
    assert (found["verdict"], found["sure"]) == ("check", False)
    crooked = shim(method="free-gap", measured=["0.48", "0.54"], position="cap", have=["0.4x1"])
    assert crooked["verdict"] == "check"
    assert said(play("0.075"), "readings") is False


# --- what is to be bought -------------------------------------------------------------------------


def test_no_pack_from_this_shelf_is_a_shim_to_buy() -> None:
    found = play(target="0.06..0.09mm", fitted="0.40x2")
    assert found["verdict"] == "check"
    assert (found["picks"], found["count"]) == ([], 0)
    assert found["nearest"]["picks"] == [{"thickness_mm": 0.4, "count": 1}]
    assert found["nearest"]["expected_mm"] == pytest.approx(-0.1)
    assert said(found, "no pack from this shelf")
    # 0.56 to 0.59 mm is wanted, and metric sizes step by 0.05 mm: an inch shim helps.
    assert sum(shim["count"] for shim in found["buy"]) == 2
    bought = found["with_bought"]
    assert 0.56 <= bought["total_mm"] <= 0.59
    assert found["expected_mm"] == bought["expected_mm"] == pytest.approx(0.07, abs=0.011)


@pytest.mark.parametrize(
    ("measured", "fitted", "buy"),
    [("0.525", "0.20x4,0.10x1", 0.25), ("0.325", "0.40x2", 0.15), ("0.675", "0.70x2", 0.1)],
)
def test_one_shim_to_buy_is_named(measured: str, fitted: str, buy: float) -> None:
    found = play(measured, target="0.06..0.09mm", fitted=fitted)
    assert found["buy"] == [{"thickness_mm": buy, "count": 1}]
    assert (found["verdict"], found["sure"]) == ("check", True)
    assert found["with_bought"]["expected_mm"] == pytest.approx(0.075, abs=0.0151)
    assert said(found, f"buy 1 x {found['buy'][0]['thickness_mm']:g} mm: then")
    # What came out is counted in again as far as it goes.
    out = sum(s["count"] for s in (*found["reused"], *found["left_over"]))
    assert out == found["counted_out"]["count"]


def test_an_inch_shop_buys_inch_shims() -> None:
    found = play("0.012in", target="0.0022in..0.0028in", fitted="0.010inx2")
    assert found["verdict"] == "check"
    for shim in found["buy"]:
        assert round(shim["thickness_mm"] / 0.0254, 3) in (2, 3, 5, 10, 20, 30)
    assert any("shims that can be bought" in source for source in found["sources"])


def test_where_no_usual_size_helps_one_is_made() -> None:
    found = play(target="0.0711..0.0719mm", fitted="0.40x2")
    assert (found["verdict"], found["buy"], found["with_bought"]) == ("check", [], None)
    assert said(found, "have one ground to size")


def test_a_pack_too_thin_to_take_from_says_what_else_it_may_be() -> None:
    found = play("0.90", fitted="0.10x2")
    assert (found["verdict"], found["pack_mm"], found["change_mm"]) == ("no-go", None, None)
    assert said(found, "only 0.2 mm is fitted, so 0.825 mm can't be removed")
    assert said(found, "with no shim at all the set still has 0.7 mm end play")
    # A tape does not know that.
    tape = play("0.90@tape", fitted="0.10x2")
    assert tape["verdict"] == "check"
    assert tape["next_reading"]["instrument"] == "indicator"


def test_no_more_is_removed_than_is_there() -> None:
    found = play("0.30", target="0.02..0.12mm", fitted="0.20x1")
    assert (found["direction"], found["change_mm"], found["pack_mm"]) == ("remove", 0.2, 0.0)
    assert (found["picks"], found["count"], found["expected_mm"]) == ([], 0, pytest.approx(0.1))
    assert said(found, "no more than that can be removed")
    assert said(found, "leave them all out")


def test_a_pack_of_unknown_shims_needs_the_shelf() -> None:
    found = play(fitted="0.80mm")
    assert (found["verdict"], found["pack_mm"]) == ("check", 0.575)
    assert found["counted_out"] is None
    assert said(found, "give --have")
    found = play(fitted="0.80mm", have=["0.50x1,0.10x1"])
    assert (found["verdict"], found["picked_mm"]) == ("check", 0.6)
    assert said(found, "0.1 mm end play is nearer than that to an end")


def test_without_the_old_pack_something_can_be_added_but_nothing_taken() -> None:
    found = play("0.01", fitted="", have=["0.05x3"])
    assert (found["verdict"], found["direction"], found["pack_mm"]) == ("go", "add", None)
    assert found["picks"] == [{"thickness_mm": 0.05, "count": 1}]
    assert found["expected_mm"] == pytest.approx(0.06)
    found = play("0.30", fitted="", have=["0.05x3"])
    assert (found["verdict"], found["direction"]) == ("check", "remove")
    assert said(found, "count it out with --fitted")


def test_a_measured_pack_that_does_not_add_up_is_said() -> None:
    # Four labelled shims: 0.02 and 4 x 0.005 mm are allowed.
    assert play("0.075", pack_measured="0.84")["verdict"] == "go"
    found = play("0.075", pack_measured="0.841")
    assert found["verdict"] == "check"
    assert "add up to 0.800 mm, 0.041 mm less" in found["reasons"][0]
    assert play("0.30", pack_measured="0.82")["fitted_mm"] == 0.82


def test_a_measured_pack_of_measured_shims_has_less_room() -> None:
    shims = "0.20=0.200x4"
    assert play("0.075", fitted=shims, pack_measured="0.82")["verdict"] == "go"
    assert play("0.075", fitted=shims, pack_measured="0.821")["verdict"] == "check"


def test_measured_thickness_counts_and_a_wrong_label_is_said() -> None:
    found = play(fitted="0.80mm", have=["0.60=0.575x1,0.60x1"])
    assert found["picks"] == [{"thickness_mm": 0.575, "count": 1, "label_mm": 0.6}]
    assert said(found, "a shim labelled 0.6 mm measures 0.575 mm")
    assert not said(play(fitted="0.80mm", have=["0.60=0.580x1"]), "labelled")


def test_several_readings_are_averaged_and_a_scatter_is_said() -> None:
    found = shim(
        method="end-play",
        measured=["0.07", "0.08"],
        position="cap",
        target="0.05..0.10mm",
    )
    assert found["measured_mm"] == 0.075
    found = shim(
        method="end-play", measured=["0.05", "0.10"], position="cap", target="0.05..0.10mm"
    )
    assert said(found, "the readings differ by 0.050 mm")


def test_a_preload_may_be_the_target() -> None:
    found = play("0.10", target="-0.06..-0.02mm", have=["0.05x1,0.01x4"])
    assert found["change_mm"] == pytest.approx(0.14)
    near = play("0.03", target="-0.06..-0.02mm", have=["0.05x3"])
    assert said(near, "0.02 mm preload is nearer than that to an end of 0.02 to 0.06 mm preload")
    assert -0.06 <= found["expected_mm"] <= -0.02


def test_inches_are_shown_beside() -> None:
    found = play("0.012", unit="in", target="0.002..0.004in", fitted="0.008x4")
    assert said(found, "0.305 mm (0.012 in) end play measured")


# --- free gap, lead, solder -----------------------------------------------------------------------


def test_one_reading_three_packs() -> None:
    packs = {
        method: shim(method=method, measured=["0.60"])["pack_mm"]
        for method in ("free-gap", "lead", "solder")
    }
    assert packs == {"free-gap": 0.5, "lead": 0.6, "solder": 0.473}


def test_a_fitted_pack_inside_the_tolerance_stays() -> None:
    assert gap(fitted="0.45x1")["direction"] == "none"
    assert gap(fitted="0.46x1")["direction"] == "none"
    assert gap(fitted="0.47x1")["direction"] == "remove"
    assert gap(fitted="0.36x1")["direction"] == "none"
    assert gap(fitted="0.35x1")["direction"] == "add"
    found = gap(fitted="0.42x1", tolerance="0.005")
    assert (found["direction"], found["change_mm"]) == ("remove", pytest.approx(0.01))


def test_expected_preload_follows_from_what_was_picked() -> None:
    assert gap(have=["0.40x1"])["expected_mm"] == pytest.approx(-0.11)
    assert gap()["expected_mm"] == pytest.approx(-0.1)
    assert shim(method="lead", measured=["1.2"], have=["1.2x1"])["expected_mm"] is None


def test_gaps_that_differ_mean_a_crooked_cap() -> None:
    found = shim(method="free-gap", measured=["0.018in", "0.020in"], position="cap")
    assert not said(found, "crooked")
    found = shim(method="free-gap", measured=["0.48", "0.531"], position="cap")
    assert said(found, "the places differ by 0.051 mm")
    found = shim(method="free-gap", measured=["0.48", "0.54"], position="cap")
    assert said(found, "the places differ by 0.060 mm")


def test_the_torque_proves_the_pack() -> None:
    assert "too high, add shims" in gap(target="4..6N.m")["measure_again"]
    assert "manual's figure" in gap()["measure_again"]
    lead = shim(method="lead", measured=["1.2"], target="4..6N.m", position="behind-cup")
    assert "too high, remove shims" in lead["measure_again"]


# --- drag -----------------------------------------------------------------------------------------


def test_torque_and_pull_at_the_target() -> None:
    found = drag()
    assert (found["torque_nm"], found["verdict"]) == (20.0, "go")
    assert found["pull_at_target_n"] == {"low": 75.0, "high": 125.0}
    assert found["pack_mm"] is None


@pytest.mark.parametrize(
    ("torque", "verdict", "direction"),
    [
        ("14.3", "no-go", "tighten"),
        ("14.99", "check", "tighten"),
        ("15", "check", "none"),
        ("15.7", "go", "none"),
        ("24", "go", "none"),
        ("25", "check", "none"),
        ("25.01", "check", "loosen"),
        ("26.1", "no-go", "loosen"),
    ],
)
def test_a_wrench_is_not_sure_at_the_ends_of_the_range(
    torque: str, verdict: str, direction: str
) -> None:
    found = drag(pull=(), radius="", measured=[torque])
    assert (found["verdict"], found["direction"]) == (verdict, direction)
    assert said(found, "a torque wrench is good to 4 % of what it shows") == (verdict == "check")
    assert found["sure"] == (verdict != "check")
    assert any("torque wrench is good to: ISO 6789" in s for s in found["sources"])
    assert all("(from memory)" in s for s in found["sources"] if "is good to" in s)


@pytest.mark.parametrize(
    ("pull", "verdict"), [("70N", "no-go"), ("75N", "check"), ("125N", "check"), ("118N", "go")]
)
def test_a_pull_scale_is_not_sure_at_the_ends_of_the_range(pull: str, verdict: str) -> None:
    found = drag(pull=[pull])
    assert found["verdict"] == verdict
    assert (found["next_reading"] or {}).get("instrument", "") == (
        "pull-scale" if verdict == "check" else ""
    )


def test_what_the_radius_is_read_to_counts_too() -> None:
    assert drag()["sure_nm"] == pytest.approx(1.0, abs=1e-3)
    assert drag(radius="200mm@tape")["sure_nm"] > drag()["sure_nm"]
    near = {"target": "18.9..25N.m", "pull": ["1000N"], "radius": "20mm@caliper"}
    assert drag(**near)["verdict"] == "go"
    assert drag(**(near | {"radius": "20mm@tape"}))["verdict"] == "check"


def test_a_range_that_no_scale_reads_so_closely_is_said() -> None:
    found = drag(target="19.5..20.5N.m")
    assert (found["verdict"], found["direction"]) == ("check", "none")
    assert said(found, "too coarse for 19.5 to 20.5 N.m: take a finer pull scale")


@pytest.mark.parametrize(
    ("position", "torque", "direction"),
    [
        ("", "10", "tighten"),
        ("", "30", "loosen"),
        ("cap", "10", "remove"),
        ("cap", "30", "add"),
        ("behind-cup", "10", "add"),
        ("behind-cup", "30", "remove"),
    ],
)
def test_too_little_drag_wants_preload(position: str, torque: str, direction: str) -> None:
    shims: dict[str, Any] = {"have": ["0.05x4,0.1x2"], "fitted": "0.15x1,0.5x1"}
    found = drag(pull=(), radius="", measured=[torque], position=position, **shims)
    assert (found["verdict"], found["direction"]) == ("no-go", direction)
    assert found["change_mm"] is None
    # One is added of those on the shelf, and taken from those in the pack.
    assert said(found, "0.05 mm") == (direction == "add")
    assert said(found, "0.15 mm") == (direction == "remove")
    named = {"add": {"thickness_mm": 0.05}, "remove": {"thickness_mm": 0.15}}
    assert found["next_shim"] == named.get(direction)


def test_a_base_drag_is_taken_off() -> None:
    found = drag(base_drag="2N.m", target="16..20N.m rise")
    assert (found["compared_nm"], found["base_drag_nm"], found["verdict"]) == (18.0, 2.0, "go")
    assert found["pull_at_target_n"] == {"low": 90.0, "high": 110.0}
    assert drag(base_drag="10N")["base_drag_nm"] == 2.0


def test_a_range_of_the_whole_torque_takes_nothing_off() -> None:
    found = drag(target="", use="crane-wheel-hub", pull=["40N"], base_drag="3N.m")
    assert (found["compared_nm"], found["verdict"]) == (8.0, "go")
    assert said(found, "the range of this use is that of the whole torque")


def test_a_use_set_by_the_rise_needs_the_base_drag() -> None:
    with pytest.raises(InputError, match="rise of the drag over the base drag"):
        drag(target="", use="planetary-hub", condition="new")


def test_the_diameter_counts_half() -> None:
    assert drag(radius="", diameter="400mm")["torque_nm"] == 20.0


def test_a_radius_that_may_be_a_diameter_is_asked_about() -> None:
    assert drag(radius="300mm")["torque_nm"] == 30.0
    assert drag(radius="12in")["torque_nm"] == pytest.approx(30.48)
    with pytest.raises(AmbiguousError) as refused:
        drag(radius="13in")
    assert refused.value.readings == (
        "--diameter 13in (its radius 6.5in)",
        "--diameter 26in (its radius 13in)",
    )
    assert drag(radius="", diameter="26in")["torque_nm"] == pytest.approx(33.02)


def test_a_torque_twice_the_range_hints_at_the_diameter() -> None:
    found = drag(pull=["200N"])
    assert found["next_reading"]["reading"] == "radius"
    assert "or a diameter?" in found["next_reading"]["reason"]
    assert found["next_reading"]["reason"] in found["reasons"]
    assert drag()["next_reading"] is None


def test_a_bare_radius_of_inches_is_asked_about() -> None:
    with pytest.raises(AmbiguousError, match=r"8\.3125mm or as 8\.3125in"):
        drag(radius="8.3125")
    with pytest.raises(InputError, match="20 mm from the middle"):
        drag(radius="19mm")
    assert drag(radius="20mm")["torque_nm"] == 2.0


def test_drag_without_a_target_gives_the_torque() -> None:
    found = drag(target="")
    assert (found["verdict"], found["torque_nm"]) == ("check", 20.0)


def test_pulls_that_differ_are_said_and_do_not_pass() -> None:
    found = drag(pull=["80N", "120N"], target="15..25N.m")
    assert (found["torque_nm"], found["verdict"], found["sure"]) == (20.0, "check", False)
    assert said(found, "they differ by 8 N.m, 40 % of it: not turned steadily")
    steady = drag(pull=["98N", "102N"])
    assert (steady["verdict"], steady["sure"]) == ("go", True)
    assert said(steady, "2 readings, 20 N.m on average; they differ by 0.8 N.m")
    assert drag(pull=["95N", "105N"])["verdict"] == "go"
    assert drag(pull=["94.9N", "105.1N"])["verdict"] == "check"
    torques = drag(pull=(), radius="", measured=["16N.m", "24N.m"])
    assert torques["verdict"] == "check"
    bases = drag(base_drag=("1N.m", "3N.m"), target="15..25N.m")
    assert bases["verdict"] == "check"
    assert said(bases, "base drag: 2 readings, 2 N.m on average; they differ by 2 N.m")


def test_a_mean_inside_of_pulls_that_are_not_decides_nothing() -> None:
    found = drag(pull=["96N", "104N"], target="19.5..20.5N.m")
    assert found["verdict"] == "check"
    assert said(found, "of 2 readings 0 lie inside 19.5 to 20.5 N.m and 2 outside")
    found = drag(pull=["98N", "104N"], target="19.5..20.5N.m")
    assert said(found, "of 2 readings 1 lie inside")
    assert drag(pull=["110N", "114N"], target="19.5..20.5N.m")["verdict"] == "no-go"


@pytest.mark.parametrize(
    ("options", "readings"),
    [
        ({"unit": "in", "pull": ["24"], "radius": "8"}, ("24N", "24lbf")),
        ({"unit": "in", "pull": (), "radius": "", "measured": ["16"]}, ("16N.m", "16lbf.ft")),
        ({"unit": "in", "target": "15..25"}, ("15..25N.m", "15..25lbf.ft")),
        ({"pull": ["24lbf"], "target": "15..25"}, ("15..25N.m", "15..25lbf.ft")),
        ({"pull": ["24lbf", "25"]}, ("25N", "25lbf")),
        ({"base_drag": "2"}, ("2N.m", "2N")),
        ({"unit": "in", "base_drag": "2"}, ("2lbf.ft", "2lbf")),
    ],
)
def test_bare_torques_and_forces_that_can_be_read_two_ways(
    options: dict[str, Any], readings: tuple[str, ...]
) -> None:
    with pytest.raises(AmbiguousError) as refused:
        drag(**options)
    assert refused.value.readings == readings


def test_bare_torques_in_a_metric_shop_are_newton_metres() -> None:
    assert drag(pull=["100"], target="15..25")["verdict"] == "go"
    assert drag(base_drag="0")["base_drag_nm"] == 0.0
    assert drag(pull=(), radius="", measured=["20"], base_drag="2")["base_drag_nm"] == 2.0


def test_the_turns_before_reading_are_those_of_the_table() -> None:
    assert "after 3 to 20 turns both ways" in drag()["measure_again"]


def test_used_bearings_get_a_third_to_a_half() -> None:
    assert said(drag(condition="used"), "5 to 12.5 N.m")
    assert not said(drag(condition="new"), "third to a half")
    assert any("a third of a turn" in c for c in drag(condition="used")["cautions"])


# --- heat -----------------------------------------------------------------------------------------


def test_what_heat_does_to_a_light_alloy_housing() -> None:
    heat = {"housing": "light-alloy", "span": "100mm", "service_temp": "80C"}
    found = play("0.075", **heat)
    assert found["end_play_growth_mm"] == pytest.approx(0.0588)
    assert found["expected_hot_mm"] == pytest.approx(0.1338)
    assert said(found, "(21.5 - 11.7) millionths x 100 mm x 60 K = 0.059 mm more end play")
    assert any("light-alloy" in caution for caution in found["cautions"])
    assert found["verdict"] == "check"
    assert said(found, "outside 0.05 to 0.1 mm end play")
    assert said(found, "no cold setting stays inside both cold and warm")
    wide = play("0.075", target="0.05..0.15mm", **heat)
    assert (wide["verdict"], wide["expected_hot_mm"]) == ("go", pytest.approx(0.1338))
    assert said(wide, "still inside 0.05 to 0.15 mm end play")
    tighter = play("0.055", position="spacer", target="0.02..0.09mm", **heat)
    assert tighter["expected_hot_mm"] == pytest.approx(-0.0038)
    assert tighter["verdict"] == "check"
    assert said(tighter, "becomes 0.004 mm preload at 80 C")
    assert said(tighter, "a cold setting of 0.079 to 0.09 mm end play stays inside")


def test_heat_moves_the_verdict_after_a_change_too() -> None:
    heat = {"housing": "aluminium", "span": "150mm", "service_temp": "80C"}
    change = {"target": "", "use": "trailer-wheel", "fitted": "0.20x3,0.10x2"}
    assert play("0.30", **change)["verdict"] == "go"
    found = play("0.30", **change, **heat)
    assert found["verdict"] == "check"
    assert found["expected_hot_mm"] == pytest.approx(0.1 + 0.1053)


def test_heat_under_a_torque_can_not_be_told_in_mm() -> None:
    heat = {"housing": "aluminium", "span": "150mm", "service_temp": "80C", "position": "cap"}
    found = drag(**heat)
    assert (found["verdict"], found["expected_hot_mm"]) == ("check", None)
    assert said(found, "ask the manual for a cold figure")
    assert drag(**(heat | {"housing": "steel"}))["verdict"] == "go"
    gap_hot = gap(have=["0.40x1"], **heat)
    assert gap_hot["expected_hot_mm"] == pytest.approx(-0.11 + 0.1053)
    assert gap_hot["verdict"] == "check"


@pytest.mark.parametrize("text", ["201C", "-41C", "500F"])
def test_a_temperature_no_hub_has_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=f"--service-temp {text}: a hub is between -40 and 200 C"):
        play("0.075", housing="aluminium", span="100mm", service_temp=text)


def test_heat_starts_at_the_shop_temperature() -> None:
    heat = {"housing": "aluminium", "span": "100mm", "service_temp": "80C", "room_temp": "80C"}
    assert play("0.075", **heat)["end_play_growth_mm"] == 0.0


def test_a_light_alloy_housing_whose_heat_was_not_asked_is_no_go_ahead() -> None:
    found = play("0.075", housing="aluminium")
    assert "end_play_growth_mm" not in found
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "span"
    assert said(found, "a light alloy moves the setting as it warms")
    assert play("0.075", housing="steel")["verdict"] == "go"


def test_a_target_past_every_end_play_is_refused() -> None:
    with pytest.raises(InputError, match="an end play over 2 mm is no setting"):
        play("0.075", target="0.05..5mm")
    assert play("0.30", target="0.05..2mm")["verdict"] == "go"


def test_a_range_gathered_over_many_machines_settles_no_torque() -> None:
    found = drag(pull=(), radius="", measured=["30N.m"], target="", use="heavy-kingpin-cap")
    assert (found["verdict"], found["sure"]) == ("check", False)
    assert found["next_reading"]["reading"] == "target"
    assert said(found, "10 to 60 N.m is too wide a range to set by")
    light = drag(pull=(), radius="", measured=["5N.m"], target="", use="heavy-kingpin-cap")
    assert light["verdict"] == "no-go"


def test_heat_needs_all_three_and_a_mounting() -> None:
    with pytest.raises(InputError, match="--housing"):
        play("0.075", span="100mm", service_temp="80C")
    with pytest.raises(InputError, match="how the pair is mounted"):
        play(
            "0.075",
            position="behind-cup",
            housing="aluminium",
            span="100mm",
            service_temp="80C",
        )
    with pytest.raises(InputError, match=r"grey-iron, .*titanium$"):
        play("0.075", housing="wood", span="100mm", service_temp="80C")


# --- uses, sources --------------------------------------------------------------------------------


def test_a_use_brings_range_place_procedure_and_source() -> None:
    found = shim(method="end-play", measured=["0.08"], position="spacer", use="trailer-wheel")
    assert found["target"] == {"low_mm": 0.025, "high_mm": 0.127, "text": "0.025 to 0.127 mm"}
    assert found["nut_procedure"]
    assert any("from memory" in source for source in found["sources"])
    assert shim(method="free-gap", measured=["0.5"], use="kingpin-cap")["position"] == "cap"


def test_a_given_target_goes_before_that_of_the_use() -> None:
    found = shim(
        method="end-play",
        measured=["0.08"],
        position="cap",
        use="trailer-wheel",
        target="0.01..0.03mm",
    )
    assert found["direction"] == "remove"
    assert said(found, "not that of the use")


def test_a_hub_is_set_by_its_shims_or_by_its_nut() -> None:
    wheel: dict[str, Any] = {"method": "end-play", "use": "trailer-wheel"}
    under_cap = shim(**wheel, measured=["0.08"], position="cap")
    assert under_cap["nut_procedure"] == []
    assert said(under_cap, "shims set it here: the nut procedure of this use")
    spacer = shim(**wheel, measured=["0.08"], position="spacer")
    assert "the shims set the end play" in spacer["nut_procedure"][0]
    nut = shim(**wheel, measured=["0.08"])
    assert (nut["verdict"], nut["direction"], nut["position"]) == ("go", "none", None)
    assert "Back the nut off" in nut["nut_procedure"][1]
    assert not any("Count the shims" in caution for caution in nut["cautions"])
    assert any("Count the shims" in caution for caution in spacer["cautions"])
    # Shims without their place are still a question.
    with pytest.raises(InputError, match="where the shims sit decides"):
        shim(**wheel, measured=["0.08"], fitted="0.1x2")
    assert not gap(use="planetary-hub", condition="new")["nut_procedure"]


@pytest.mark.parametrize(
    ("measured", "verdict", "direction"),
    [
        ("0.30", "no-go", "tighten"),
        ("0.01", "no-go", "loosen"),
        ("0.08", "go", "none"),
        ("0.13", "check", "tighten"),
        ("0.12", "check", "none"),
        ("0.08@tape", "check", "none"),
    ],
)
def test_end_play_by_the_nut(measured: str, verdict: str, direction: str) -> None:
    found = shim(method="end-play", measured=[measured], use="trailer-wheel")
    assert (found["verdict"], found["direction"]) == (verdict, direction)
    assert (found["picks"], found["pack_mm"], found["change_mm"]) == ([], None, None)


# --- refusals -------------------------------------------------------------------------------------

REFUSALS: list[tuple[dict[str, Any], type[FitcheckError], str]] = [
    ({}, InputError, "--method .not given"),
    ({"method": "wire"}, InputError, "no such method"),
    ({"method": "free-gap"}, InputError, "free-gap needs the gap"),
    ({"method": "free-gap", "measured": ["-0.2"]}, InputError, "a gap can't be negative"),
    ({"method": "free-gap", "measured": ["0"]}, InputError, "a gap of nothing"),
    ({"method": "free-gap", "measured": ["0.1"]}, InputError, "no larger than the 0.1 mm"),
    ({"method": "free-gap", "measured": ["11mm"]}, InputError, "a gap over 10 mm"),
    ({"method": "free-gap", "measured": ["20"]}, AmbiguousError, "20mm or as 20thou"),
    ({"method": "lead", "measured": ["-1"]}, InputError, "a crushed piece can't be negative"),
    ({"method": "solder", "measured": ["0.12"]}, InputError, "0.127 mm of preload"),
    ({"method": "lead", "measured": ["1"], "pull": ["5N"]}, InputError, "belongs to the method"),
    ({"method": "lead", "measured": ["x"]}, InputError, "--measured x"),
    ({"method": "lead", "measured": ["1@eye"]}, InputError, "not listed"),
    ({"method": "lead", "measured": ["1"], "condition": "old"}, InputError, "new or used"),
    (
        {"method": "free-gap", "measured": ["0.5"], "position": "behind-cup"},
        InputError,
        "a thinner pack would give play",
    ),
    (
        {"method": "solder", "measured": ["0.5"], "position": "behind-cup"},
        InputError,
        "check where the shims sit",
    ),
    (
        {"method": "free-gap", "measured": ["0.5"], "target": "0.1..0.2mm"},
        InputError,
        "takes no end play for a target",
    ),
    (
        {"method": "free-gap", "measured": ["0.5"], "use": "trailer-wheel"},
        InputError,
        "set by end play",
    ),
    ({"method": "free-gap", "measured": ["0.5"], "use": "cart"}, NotKnownError, "trailer-wheel"),
    (
        {"method": "free-gap", "measured": ["0.5"], "pack_measured": "0.8"},
        InputError,
        "held against the shims",
    ),
    (
        {"method": "free-gap", "measured": ["0.5"], "tolerance": "far"},
        InputError,
        "--tolerance",
    ),
]


@pytest.mark.parametrize(("options", "kind", "words"), REFUSALS)
def test_refusals(options: dict[str, Any], kind: type[FitcheckError], words: str) -> None:
    with pytest.raises(kind, match=words):
        shim(**options)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"position": ""}, "decides whether one is added or removed"),
        ({"position": "flange"}, "no such place"),
        ({"target": ""}, "end play is set to a range"),
        ({"target": "0.10..0.05mm"}, "upside down"),
        ({"target": "0.10..0.10mm"}, "has no width"),
        ({"target": "0.10"}, "a range from low to high"),
        ({"target": "..0.10"}, "a range from low to high"),
        ({"target": "0.001in..0.1mm"}, "different units, in and mm"),
        ({"target": "3..5N.m"}, "checked by a length, and this is a torque"),
        ({"target": "3..5C"}, "unit of temperature"),
        ({"measured": "0"}, "may be preloaded"),
        ({"measured": "-0.1"}, "an end play can't be negative"),
        ({"measured": "3mm"}, "an end play over 2 mm is no setting"),
        ({"measured": "5"}, "5mm or as 5thou"),
        ({"tolerance": "0.02"}, "its range in the target"),
        ({"fitted": "0.10xtwo"}, "a whole number"),
        ({"fitted": "4x0.10"}, "thickness first"),
        ({"fitted": "0.10x"}, "a whole number"),
        ({"fitted": "0.10x0"}, "from 1 to"),
        ({"fitted": "0,10x4"}, "semicolons"),
        ({"fitted": "11x1"}, "up to 10 mm thick"),
        ({"have": ["0.10=x1"]}, "--have 0.10=x1"),
    ],
)
def test_refusals_of_end_play(options: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        play(**options)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"pull": ()}, "--pull"),
        ({"radius": ""}, "--radius"),
        ({"diameter": "400mm"}, "not both"),
        ({"measured": ["20N.m"]}, "Give one of the two"),
        ({"pull": ["20mm"]}, "a force is wanted"),
        ({"pull": ["-20N"]}, "can't be negative"),
        ({"pull": ["0N"]}, "larger than zero"),
        ({"radius": "0mm"}, "larger than zero"),
        ({"radius": "far"}, "--radius far"),
        ({"base_drag": "30N.m"}, "larger than the whole running torque"),
        ({"base_drag": "-1N.m"}, "can't be negative"),
        ({"target": "0.1..0.2mm"}, "checked by a torque, and this is a length"),
        ({"target": "25..15N.m"}, "upside down"),
        ({"tolerance": "0.1"}, "torque finds no thickness"),
        ({"target": "", "use": "trailer-wheel"}, "set by end play"),
        ({"target": "", "use": "loader-hub"}, "new and used bearings"),
        ({"radius": "", "pull": (), "measured": ["20N.m"], "base_drag": "5N"}, "by its radius"),
    ],
)
def test_refusals_of_drag(options: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        drag(**options)


@pytest.mark.parametrize(
    "options",
    [
        {"target": "0.002..0.004in"},
        {"measured": "0.012in", "target": "0.05..0.10"},
        {"have": ["0.005inx4"]},
        {"fitted": "0.008inx4"},
    ],
)
def test_bare_lengths_beside_inches_are_asked_about(options: dict[str, Any]) -> None:
    with pytest.raises(AmbiguousError, match=r"mm or as .*in"):
        play(**options)


def test_stated_units_may_be_mixed() -> None:
    found = play("0.012in", fitted="0.20mmx4", have=["0.001inx9"])
    assert found["picked_mm"] is not None
    assert play("0.012", unit="in", fitted="0.20mmx4")["measured_mm"] == pytest.approx(0.3048)


# --- reading text ---------------------------------------------------------------------------------


def test_a_unit_at_the_end_is_that_of_both() -> None:
    found = read_target("0.001..0.007in", unit="mm", dimension="length")
    assert (round(found.low, 4), round(found.high, 4)) == (0.0254, 0.1778)
    assert read_target("3 .. 5 lbf.ft", unit="mm", dimension="torque").text == "3 to 5 lbf.ft"


def test_a_unit_at_the_low_end_only_can_be_read_two_ways() -> None:
    with pytest.raises(AmbiguousError) as refused:
        read_target("0.001in..0.007", unit="mm", dimension="length")
    assert refused.value.readings == ("0.001..0.007in", "0.001in..0.007mm")
    assert read_target("0.01mm..0.02", unit="mm", dimension="length").high == 0.02


@pytest.mark.parametrize(
    "text", ["0.10x4,0.20x2", "0.10mm x 4, 0.20mm x 2", "0,10x4;0,20x2", "0.10×4,0.20*2"]
)
def test_ways_to_write_a_pack(text: str) -> None:
    found = read_shims([text], unit="mm", place="--have")
    assert [(s.thickness_mm, s.count) for s in found.shims] == [(0.1, 4), (0.2, 2)]
    assert (found.count, round(found.total_mm, 6), found.counted) == (6, 0.8, True)


def test_inch_shims_and_lone_ones() -> None:
    found = read_shims(["0.004inx2", "5 thou x 1"], unit="mm", place="--have")
    assert [round(s.thickness_mm, 4) for s in found.shims] == [0.1016, 0.127]
    assert not read_shims(["0.80"], unit="mm", place="--fitted").counted
    assert read_shims(["0.80x1"], unit="mm", place="--fitted").counted
    assert read_shims(["0.80,0.1"], unit="mm", place="--fitted").count == 2


def test_a_radius_names_its_instrument_and_may_be_read_several_times() -> None:
    assert drag(radius="200mm@tape")["torque_nm"] == 20.0
    found = drag(radius=("199mm", "201mm"))
    assert found["torque_nm"] == pytest.approx(20.0)
    assert any(r.startswith("radius: the readings differ by 2.000 mm") for r in found["reasons"])
    assert drag(radius="", diameter=("399mm@tape", "401mm@tape"))["torque_nm"] == pytest.approx(20)
    with pytest.raises(InputError, match="not listed"):
        drag(radius="200mm@eyeball")
    with pytest.raises(AmbiguousError):
        drag(radius=("200mm", "306mm"))


def test_several_base_drags_are_averaged() -> None:
    assert drag(base_drag=("1N.m", "3N.m"))["base_drag_nm"] == 2.0
    assert drag(base_drag=("2N.m", "10N"))["base_drag_nm"] == 2.0


def test_a_pack_and_a_span_are_readings_too() -> None:
    found = play("0.075", pack_measured=("0.81@micrometer", "0.83@micrometer"))
    assert found["fitted_mm"] == 0.82
    assert any("pack-measured: 2 readings, 0.82 mm" in reason for reason in found["reasons"])
    heat = {"housing": "light-alloy", "service_temp": "80C"}
    one, two = (play("0.075", span=span, **heat) for span in ("100mm@tape", ("99.5mm", "100.5mm")))
    assert one["end_play_growth_mm"] == two["end_play_growth_mm"]


def test_a_shim_thickness_may_name_its_instrument() -> None:
    pack = read_shims(["0.10=0.102@micrometer x4"], unit="mm", place="--fitted")
    assert pack.shims[0].thickness_mm == 0.102
    with pytest.raises(InputError, match="not listed"):
        read_shims(["0.10@eyeball"], unit="mm", place="--fitted")


def test_ten_thousand_shims_are_answered() -> None:
    # How long that takes is measured by scripts/bench_packs.
    shelf = [f"{0.05 + i / 10_000:.4f}" for i in range(10_000)]
    found = play("0.30", have=[",".join(shelf)], fitted="0.20x3,0.10x2")
    near = play("0.30", have=["0.551x1", "0.0503x5000,0.1007x4999"])
    lacking = play("0.30", target="0.07..0.0701", have=["0.05x5000,0.1x5000"])
    assert (found["verdict"], found["count"]) == ("go", 1)
    assert near["verdict"] == "check"
    assert lacking["verdict"] == "check"


def test_a_warm_setting_just_outside_does_not_read_like_the_limit() -> None:
    found = gap(
        "0.52@feeler",
        have=["0.10x6,0.20x4"],
        housing="aluminium",
        span="100mm",
        service_temp="80C",
    )
    assert found["expected_hot_mm"] == -0.0498
    assert any(
        "becomes 0.0498 mm preload" in r and "outside 0.05 to" in r for r in found["reasons"]
    )


def test_end_play_just_outside_does_not_read_like_the_limit() -> None:
    found = play("0.1274mm@indicator", target="0.025..0.127mm", fitted="0.20x3")
    assert any("0.1274 mm end play measured" in reason for reason in found["reasons"])


def test_a_surer_pack_of_a_gap_is_no_end_play() -> None:
    found = shim(method="lead", measured=["1.20@micrometer"], have=["1.22,1.0,0.2"], position="cap")
    (settled,) = [reason for reason in found["reasons"] if "this reading settles it" in reason]
    assert "change to 1 x 1 mm, 1 x 0.2 mm = 1.2 mm: so near the middle" in settled
    assert "expected" not in settled


@pytest.mark.parametrize("key", ["service_temp", "room_temp"])
def test_a_bare_temperature_that_may_be_either_is_asked(key: str) -> None:
    heat = {"housing": "aluminium", "span": "100mm", "service_temp": "80C"}
    for more in ({"unit": "in"}, {"span": "4in"}):
        with pytest.raises(AmbiguousError, match=f"{key.replace('_', '-')} 70: .* 70C or as 70F"):
            play("0.075mm", **{**heat, "fitted": "0.20mmx4", **more, key: "70"})
    with pytest.raises(AmbiguousError, match="170C or as 170F"):
        play("0.075mm", **{**heat, "service_temp": "170"})


def test_what_was_taken_is_data_and_said() -> None:
    heat = {"housing": "aluminium", "span": "100mm", "service_temp": "80C"}
    assert play("0.075mm", **heat)["assumptions"] == [
        "no room temperature was given: 20 C is taken"
    ]
    assert play("0.075mm", **heat, room_temp="15C")["assumptions"] == []
    (taken,) = drag(base_drag="1N.m")["assumptions"]
    assert taken in drag(base_drag="1N.m")["reasons"]


def test_readings_that_differ_too_much_are_asked_for_again() -> None:
    assert drag(pull=["60N", "140N"])["next_reading"]["reading"] == "running torque"
    crooked = shim(method="free-gap", measured=["0.40@feeler", "0.60@feeler"], position="cap")
    assert crooked["next_reading"]["reading"] == "gap"
    assert "crooked" in crooked["next_reading"]["reason"]
    packed = gap("0.52@feeler", fitted="0.20x3", pack_measured="0.75@micrometer")
    assert packed["next_reading"]["reading"] == "pack"


# --- instruments, positions and units that do not suit --------------------------------------------


@pytest.mark.parametrize(
    ("tool", "verdict"),
    [("indicator", "go"), ("caliper", "check"), ("feeler", "check"), ("micrometer", "check")],
)
def test_end_play_is_taken_with_an_instrument_that_reads_it(tool: str, verdict: str) -> None:
    found = play(f"0.08@{tool}", target="0.025..0.127mm", fitted="0.20x2")
    assert found["verdict"] == verdict
    if verdict == "check":
        assert found["next_reading"]["instrument"] == "indicator"
        assert said(found, "take it with an indicator or depth-gauge")


def test_the_nut_s_end_play_is_taken_with_an_indicator_too() -> None:
    options = {"method": "end-play", "use": "trailer-wheel"}
    assert shim(measured=["0.07@indicator"], **options)["verdict"] == "go"
    found = shim(measured=["0.07@micrometer"], **options)
    assert (found["verdict"], found["next_reading"]["instrument"]) == ("check", "indicator")
    # What a sheet names for all its readings counts as well.
    assert shim(measured=["0.07"], instrument="caliper", **options)["verdict"] == "check"


@pytest.mark.parametrize("tool", ["caliper", "micrometer"])
def test_a_gap_is_taken_with_a_feeler(tool: str) -> None:
    found = gap(f"0.52@{tool}", have=["0.10x6"])
    assert (found["verdict"], found["next_reading"]["instrument"]) == ("check", "feeler")
    assert gap("0.52@feeler", have=["0.10x6"])["verdict"] == "go"


def test_a_setting_is_go_only_where_the_whole_uncertainty_lies_inside() -> None:
    # A depth gauge is sure to 0.04 mm, and 0.10 mm lies 0.027 mm inside.
    near = play("0.10@depth-gauge", target="0.025..0.127mm", fitted="0.20x2")
    assert near["verdict"] == "check"
    assert play("0.076@depth-gauge", target="0.025..0.127mm", fitted="0.20x2")["verdict"] == "go"
    assert said(play("0.10@depth-gauge", target="0.025..0.127mm", fitted="0.20x2"), "indicator")


def test_no_instrument_is_blamed_where_a_finer_one_was_not_used() -> None:
    found = play("0.026@depth-gauge", target="0.025..0.127mm", fitted="0.20x2")
    assert not said(found, "no instrument reads that closely")
    assert said(found, "an indicator reads more closely, but not closely enough")


def test_the_shims_of_a_use_sit_where_it_says() -> None:
    with pytest.raises(InputError, match="the shims of this use sit under a cap"):
        shim(method="drag", measured=["5N.m"], use="kingpin-cap", position="behind-cup")
    found = shim(method="drag", measured=["5N.m"], use="kingpin-cap", position="cap")
    assert found["verdict"] == "go"


def test_a_bare_gap_in_thousandths_that_leaves_no_pack_in_mm_is_asked_for() -> None:
    with pytest.raises(AmbiguousError, match=r"0\.033mm or as 0\.033in"):
        gap("0.033", have=["0.010x3"])
    with pytest.raises(InputError, match=r"no larger than the 0\.1 mm"):
        gap("0.03", have=["0.010x3"])
    assert gap("0.033", unit="in", have=["0.010x3"])["measured_mm"] == pytest.approx(0.8382)
