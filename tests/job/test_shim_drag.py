"""The base drag: what the seal makes of a torque, and what a target is of."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError
from fitcheck.job.shim.answer import ShimRequest, answer


def drag(torque: str, base: str = "", **options: Any) -> dict[str, Any]:
    return answer(ShimRequest(method="drag", measured=[torque], base_drag=base, **options))


def last(found: dict[str, Any], words: str) -> str:
    (reason,) = [reason for reason in found["reasons"] if words in reason]
    return str(reason)


LOADER: dict[str, Any] = {"use": "loader-hub", "condition": "new", "position": "cap"}


@pytest.mark.parametrize(
    ("torque", "base", "options", "adds"),
    [
        ("17.5lbf.ft", "16lbf.ft", LOADER, "1.5 lbf.ft"),
        ("9N.m", "8N.m", {"use": "crane-wheel-hub", "position": "cap"}, "only 1 N.m"),
        # More than half of it, though the base drag alone lies below the range.
        ("17.5lbf.ft", "9lbf.ft", LOADER, "8.5 lbf.ft"),
        # Too high by the seal: loosening would take what little preload there is.
        ("22lbf.ft", "16lbf.ft", LOADER, "6 lbf.ft"),
        ("18N.m", "15N.m", {"target": "15..25N.m total"}, "only 3 N.m"),
    ],
    ids=["loader", "crane", "half", "high", "total"],
)
def test_a_torque_that_the_seal_makes_is_no_preload(
    torque: str, base: str, options: dict[str, Any], adds: str
) -> None:
    found = drag(torque, base, **options)
    assert (found["verdict"], found["direction"], found["sure"]) == ("check", "none", False)
    assert adds in last(found, "is base drag, the seal's, and the bearings add only")
    assert 'rise"' in last(found, "is base drag")
    assert not any("the setting stays" in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == "target"
    assert found["only_after"]


def test_a_small_base_drag_leaves_the_whole_torque_to_decide() -> None:
    assert drag("17.5lbf.ft", "3lbf.ft", **LOADER)["verdict"] == "go"
    # Too low stays too low: the rise is lower still.
    low = drag("9lbf.ft", "8lbf.ft", **LOADER)
    assert (low["verdict"], low["direction"]) == ("no-go", "remove")


def test_a_torque_that_holds_without_a_base_drag_says_so() -> None:
    found = drag("17.5lbf.ft", **LOADER)
    assert found["verdict"] == "go"
    assert "--base-drag" in last(found, "no base drag was given")
    assert not any("no base drag" in r for r in drag("30lbf.ft", **LOADER)["reasons"])


def test_a_target_that_may_be_of_the_rise_or_of_the_whole_torque_is_asked() -> None:
    open_ = drag("16.6lbf.ft", "12lbf.ft", target="15..20lbf.ft")
    assert (open_["verdict"], open_["direction"], open_["sure"]) == ("check", "none", False)
    asked = last(open_, "does not say")
    assert "4.6 lbf.ft (6.24 N.m), is too low" in asked
    assert "16.6 lbf.ft (22.51 N.m), lies inside" in asked
    assert '--target "15..20lbf.ft rise" or "15..20lbf.ft total"' in asked
    assert open_["next_reading"] == {"reading": "target", "instrument": "", "reason": asked}
    assert not any("tighten" in reason for reason in open_["reasons"])


def test_a_target_that_says_what_it_is_of_is_not_asked_about() -> None:
    rise = drag("16.6lbf.ft", "12lbf.ft", target="15..20lbf.ft rise")
    assert (rise["verdict"], rise["direction"], rise["assumptions"]) == ("no-go", "tighten", [])
    total = drag("17.5lbf.ft", "3lbf.ft", target="15..20lbf.ft Total ")
    assert (total["verdict"], total["compared_nm"]) == ("go", total["torque_nm"])
    with pytest.raises(InputError, match="this target is set by the rise"):
        drag("16.6lbf.ft", target="3..5lbf.ft rise")
    options: dict[str, Any] = {"method": "end-play", "measured": ["0.1"], "position": "cap"}
    with pytest.raises(InputError, match="and this is a length"):
        answer(ShimRequest(**options, target="0.05..0.1mm total"))


def test_where_both_come_to_the_same_or_only_the_rise_can_be_meant_nothing_is_asked() -> None:
    for torque, base, verdict in (("20N.m", "1N.m", "go"), ("40N.m", "2N.m", "no-go")):
        found = drag(torque, base, target="15..25N.m")
        assert (found["verdict"], len(found["assumptions"])) == (verdict, 1)
    # The base drag alone is over the target, so that no whole torque can be meant.
    rise = drag("15N.m", "12N.m", target="2..4.5N.m rise")
    taken = drag("15N.m", "12N.m", target="2..4.5N.m")
    assert (taken["verdict"], rise["verdict"]) == ("go", "go")
    assert "as the base drag alone is over the target" in taken["assumptions"][0]
    assert drag("20N.m", "0N.m", target="15..25N.m")["verdict"] == "go"


@pytest.mark.parametrize(
    ("target", "words", "indicator"),
    [
        ("-0.05..-0.02mm", "running torque, after 3 to 20 turns both ways", False),
        ("-0.05..0mm", "running torque, after 3 to 20 turns both ways", False),
        ("-0.02..0.03mm", "it tells the preload", True),
        ("0.02..0.08mm", "end play, with an indicator", True),
    ],
    ids=["preload", "none", "both", "play"],
)
def test_preload_is_felt_in_the_torque_and_read_by_no_indicator(
    target: str, words: str, indicator: bool
) -> None:
    under_cap: dict[str, Any] = {"position": "cap", "fitted": "0.20x3", "have": ["0.05x4"]}
    by_nut: dict[str, Any] = {"use": "trailer-wheel"}
    for where in (under_cap, by_nut):
        found = answer(
            ShimRequest(method="end-play", measured=["0.20@indicator"], target=target, **where)
        )
        assert words in found["measure_again"]
        assert ("with an indicator" in found["measure_again"]) == indicator
