"""What the rest of a sheet says of the hub holds for every bearing in it."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.bearing import BearingRequest, answer
from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet

READ = '["{mm}@bore-gauge", "{mm}@bore-gauge", "{mm}@bore-gauge"]'
JOB = '[job]\nturning = "hub"\ntemperature = "80C"\n'
BEARING = '[[bearing]]\nname = "b"\nmark = "30216"\nhousing = ' + READ.format(mm="139.970") + "\n"
SHIMS = (
    '[[shims]]\nname = "cap"\nmethod = "end-play"\nmeasured = "0.06@indicator"\nposition = "cap"\n'
    'use = "trailer-wheel"\nfitted = "0.20x3"\nspan = "60"\nhousing = "{}"\n'
)
CUP = (
    '[[press]]\nname = "cup"\nuse = "cup"\ninterface = "140"\nouter = "190"\ninner = "125"\n'
    'length = "24"\nfit = "N7/h6"\nouter_material = "{}"\n'
)
OTHER = '[[bearing]]\nname = "a"\nmark = "30208"\nhousing_material = "{}"\n'


def bearing(text: str, name: str = "b") -> dict[str, Any]:
    """The bearing of a sheet."""
    found = job_card(parse_sheet(JOB + text))
    return next(p for p in found["positions"] if p["name"] == name)


def said(position: dict[str, Any], words: str) -> bool:
    """Whether one of the reasons says so."""
    return any(words in reason for reason in position["reasons"])


@pytest.mark.parametrize(
    ("more", "place"),
    [
        (SHIMS.format("light-alloy"), "[[shims]] cap"),
        (CUP.format("cast-aluminium"), "[[press]] cup"),
        (OTHER.format("light-alloy"), "[[bearing]] a"),
    ],
    ids=["shims", "press", "bearing"],
)
def test_steel_is_never_taken_against_the_sheet(more: str, place: str) -> None:
    found = bearing(BEARING + more)
    assert found["verdict"] == "no-go"
    assert said(found, f"was not given: light-alloy is taken, as {place} says")
    own = bearing(BEARING + 'housing_material = "light-alloy"\n' + more)
    assert own["verdict"] == found["verdict"]


def test_without_a_word_steel_is_taken_and_said() -> None:
    found = bearing(BEARING)
    assert (found["verdict"], said(found, "steel is taken")) == ("go", True)
    iron = bearing(BEARING + SHIMS.format("cast-iron"))
    assert said(iron, "iron is taken, as [[shims]] cap says")


def test_two_words_for_one_hub_are_asked_about() -> None:
    tight = BEARING.replace("139.970", "139.930")
    found = bearing(tight + SHIMS.format("light-alloy") + CUP.format("steel"))
    assert found["verdict"] == "check"
    assert said(found, "[[press]] cup says steel: say which it is")
    own = bearing(BEARING + 'housing_material = "steel"\n' + SHIMS.format("light-alloy"))
    assert (own["verdict"], said(own, "of light-alloy in [[shims]] cap")) == ("check", True)


def test_a_pivot_goes_by_its_own_housing() -> None:
    text = (
        '[[pivot]]\nname = "p"\nmethod = "end-play"\nmeasured = "0.06@indicator"\n'
        'position = "cap"\nuse = "trailer-wheel"\nfitted = "0.20x3"\n{}'
        '[pivot.upper]\nmark = "30216"\nhousing = ' + READ.format(mm="139.970") + "\n"
    )
    plain = bearing(text.format("") + SHIMS.format("light-alloy"), "p")
    assert said(plain, "upper: the material of the housing was not given: steel is taken")
    light = bearing(text.format('housing = "light-alloy"\nspan = "60"\n'), "p")
    assert said(light, "upper: the material of the housing was not given: light-alloy is taken")


def test_a_light_alloy_hub_alone_says_what_heat_takes() -> None:
    def asked(**more: Any) -> dict[str, Any]:
        read = ["139.930@bore-gauge"] * 3
        return answer(
            BearingRequest(
                readings={"housing": read},
                mark=["30216"],
                turning="hub",
                housing_material="light-alloy",
                **more,
            )
        )

    found = asked()
    assert found["verdict"] == "check"
    assert any("which is taken as nobody gave it" in reason for reason in found["reasons"])
    cold = asked(temperature="25C")
    assert (cold["verdict"], any("tight are left" in r for r in cold["reasons"])) == ("go", True)


def test_a_housing_that_is_out_either_way_is_judged_without_the_member_that_turns() -> None:
    def asked(mm: str, turning: str = "") -> dict[str, Any]:
        readings = {"housing": [f"{mm}@bore-gauge"] * 3, "journal": ["79.98@micrometer"] * 3}
        return answer(BearingRequest(readings=readings, mark=["30216"], turning=turning))

    loose = asked("140.2")
    assert loose["verdict"] == "no-go"
    assert sum("out whichever member turns" in reason for reason in loose["reasons"]) == 2
    assert loose["unjudged"] == ["journal"]
    # What holds for one of the two stays open.
    assert (asked("139.970")["verdict"], asked("139.970")["unjudged"]) == (
        "check",
        ["housing", "journal"],
    )
