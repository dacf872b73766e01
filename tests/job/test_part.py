"""The one answer for all described families: sizes, seats, glands, clearances, play."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError, NotKnownError, OffTableError
from fitcheck.job.part.answer import PartRequest, answer
from fitcheck.parts.kind import kind_names


def ask(
    kind: str,
    *,
    mark: tuple[str, ...] = (),
    choices: dict[str, str] | None = None,
    **texts: str | tuple[str, ...],
) -> dict[str, Any]:
    """The answer for readings by place, with _ for -."""
    return answer(
        PartRequest(
            kind,
            readings={
                place.replace("_", "-"): (text,) if isinstance(text, str) else text
                for place, text in texts.items()
            },
            choices=choices or {},
            mark=mark,
        )
    )


def check_of(found: dict[str, Any], what: str) -> dict[str, Any]:
    (one,) = [check for check in found["checks"] if check["what"] == what]
    return one


def test_an_answer_has_what_every_answer_has() -> None:
    found = ask("ball", bore="25", od="52", width="15")
    assert found["verdict"] == "go"
    top = found["candidates"][0]
    assert (top["size"], top["bore_mm"], top["od_mm"], top["width_mm"]) == (
        "6205",
        25.0,
        52.0,
        15.0,
    )
    total = sum(c["probability"] for c in found["candidates"]) + found["unlisted"] + found["others"]
    assert total == pytest.approx(1.0, abs=1e-5)
    assert any("ISO 15" in source for source in found["sources"])
    assert any("technician" in caution for caution in found["cautions"])


@pytest.mark.parametrize("kind", kind_names())
def test_nothing_known_is_no_answer(kind: str) -> None:
    with pytest.raises(InputError, match="at least one place"):
        ask(kind)


def test_refusals() -> None:
    with pytest.raises(NotKnownError, match="sprocket"):
        ask("sprocket", bore="25")
    with pytest.raises(InputError, match="not measured there"):
        ask("ball", pocket="25")
    with pytest.raises(InputError, match="radial or face"):
        ask("oring", id="45", choices={"seal": "sideways"})
    with pytest.raises(InputError, match="no such option"):
        ask("collar", shaft="30", choices={"turning": "hub"})
    with pytest.raises(OffTableError, match="listed"):
        ask("ball", bore="2500")


# --- O-rings ------------------------------------------------------------------------------------


def test_a_ring_in_its_groove_is_checked_and_every_ring_that_goes_in_is_named() -> None:
    found = ask("oring", groove_bottom="46.1", groove_depth="2.4", groove_width="4.1")
    assert {c["what"]: c["verdict"] for c in found["checks"]} == {
        "stretch": "go",
        "squeeze": "go",
        "fill": "go",
    }
    assert found["also"][0] == {"size": "45 x 3", "reason": "goes into this groove, 2.4 % stretch"}
    assert "JIS G45" in [one["size"] for one in found["also"]]
    assert found["next_reading"]["reading"] != "groove-outside"


def test_a_groove_too_shallow_is_no_go_with_the_usual_one() -> None:
    found = ask("oring", id="45.0", section="3.0", groove_bottom="45.9", groove_depth="1.7")
    squeeze = check_of(found, "squeeze")
    assert squeeze["verdict"] == "no-go"
    assert "usual groove for this section: radial: 2.0" in squeeze["advice"]
    assert found["verdict"] == "check"
    assert found["also"] == []


def test_without_a_groove_nothing_is_said_of_one() -> None:
    found = ask("oring", id="45.3", section="2.95")
    assert found["checks"] == []
    assert found["also"] == []
    assert any("liquid gasket" in caution for caution in found["cautions"])


def test_a_dash_number_settles_it_with_a_reading() -> None:
    found = ask("oring", mark=("AS568-214",), section="3.5", id="25.1")
    assert found["candidates"][0]["size"] == "AS568-214"
    assert found["verdict"] == "go"


# --- bushings -----------------------------------------------------------------------------------


def test_a_bushing_with_good_seats() -> None:
    found = ask("bushing", shaft="19.97@micrometer", housing="26.012@bore-gauge", length="20")
    assert found["verdict"] == "go"
    assert found["candidates"][0]["size"] == "20 x 26 x 20 solid"
    # s6 of 26 mm is +35 to +48 um.
    press = check_of(found, "press")
    assert press["press_um"] == {"least": 23, "greatest": 36}
    assert "0.030 to 0.063 mm" in check_of(found, "clearance")["reason"]


def test_a_worn_shaft_keeps_its_bushing_and_is_named() -> None:
    found = ask(
        "bushing",
        shaft="19.77@micrometer",
        housing="26.012@bore-gauge",
        length="20",
        old_bore="20.3",
    )
    assert found["candidates"][0]["size"] == "20 x 26 x 20 solid"
    assert check_of(found, "shaft")["verdict"] == "no-go"
    assert found["verdict"] == "no-go"
    clearance = check_of(found, "clearance")
    assert clearance["verdict"] == "no-go"
    assert "worn out" in clearance["reason"]
    assert "worn-shaft" in {finding["finding"] for finding in found["findings"]}
    assert found["next_reading"]["reading"] == "shaft"


def test_a_worn_housing_holds_no_bushing() -> None:
    found = ask("bushing", shaft="19.97@micrometer", housing="26.08@bore-gauge", length="20")
    assert check_of(found, "press")["verdict"] == "no-go"
    assert check_of(found, "housing")["verdict"] == "no-go"
    assert found["verdict"] == "no-go"
    # Its length puts nothing in doubt that the housing says.
    no_length = ask("bushing", shaft="19.97@micrometer", housing="26.08@bore-gauge")
    assert no_length["verdict"] == "no-go"


def test_a_shaft_running_steadily_wants_less_clearance() -> None:
    texts = {"shaft": "19.9@micrometer", "housing": "26.012@bore-gauge", "length": "20"}
    slow = check_of(ask("bushing", **texts), "clearance")
    fast = check_of(ask("bushing", choices={"use": "turning, oiled"}, **texts), "clearance")
    assert (slow["verdict"], fast["verdict"]) == ("check", "no-go")


# --- bearings -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("turning", "journal", "verdict"),
    [
        ("shaft", "25.008@micrometer", "go"),
        ("shaft", "24.97@micrometer", "no-go"),
        ("hub", "24.986@micrometer", "go"),
    ],
)
def test_the_turning_member_decides_the_seat(turning: str, journal: str, verdict: str) -> None:
    readings = {"bore": "25", "od": "52", "width": "15", "journal": (journal,) * 3}
    found = ask("ball", choices={"turning": turning}, **readings)
    assert check_of(found, "journal")["verdict"] == verdict
    assert found["verdict"] == verdict


def test_suffixes_of_a_mark_do_not_count() -> None:
    for mark in ("6205", "6205 2RS", "6205-2RS C3", "6205ZZ"):
        found = ask("ball", mark=(mark,))
        assert found["candidates"][0]["size"] == "6205", mark
        assert found["verdict"] == "go", mark


def test_two_that_no_caliper_splits_are_left_open() -> None:
    found = ask("needle", raceway="25.01@micrometer", od="32.0", width="16.0")
    labels = {c["size"] for c in found["candidates"] if c["probability"] > 0.1}
    assert labels == {"HK 2516", "BK 2516", "K 25x32x16"}
    assert found["verdict"] == "check"
    # Nobody can read which it is; it is seen.
    assert found["next_reading"]["reading"] == "form"
    known = ask(
        "needle",
        raceway="25.01@micrometer",
        od="31.99",
        width="15.95",
        choices={"form": "closed-cup"},
    )
    assert (known["candidates"][0]["size"], known["verdict"]) == ("BK 2516", "go")


# --- the others ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("play", "verdict"), [("0.03", "go"), ("0.1", "check"), ("0.25", "no-go")])
def test_the_play_of_a_cross(play: str, verdict: str) -> None:
    found = ask("ujoint", cap="30.18", length="92", play=play)
    assert check_of(found, "play")["verdict"] == verdict
    # The old cross is worn out, and the new one is known all the same.
    assert found["verdict"] == "go"
    assert any("play across a cap" in reason for reason in found["reasons"]) == (verdict != "go")


def test_a_groove_a_ring_has_hammered_out() -> None:
    found = ask("circlip", shaft="34.95", groove_width="2.05")
    assert found["candidates"][0]["size"] == "DIN 471 - 35 x 1.5"
    assert found["findings"][0]["finding"] == "worn-groove"
    assert "hammered out" in found["findings"][0]["reason"]


def test_a_ring_left_on_is_looked_for_before_anything_else() -> None:
    found = ask("unitised", shaft="88@micrometer", bore="110.01@bore-gauge")
    assert found["candidates"][0]["size"] == "75 x 110 x 22 two-part"
    assert found["verdict"] == "check"
    assert "take it off" in found["next_reading"]["reason"]
    assert [check["what"] for check in found["checks"]] == ["bore"]
