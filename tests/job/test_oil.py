"""What `fitcheck oil` answers: quantity, pressure against the lip, and every refusal."""

from __future__ import annotations

import math
from typing import Any

import pytest

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.oil.answer import answer
from fitcheck.job.oil.text import OilRequest


def oil(**options: Any) -> dict[str, Any]:
    return answer(OilRequest(**options))


def said(found: dict[str, Any], words: str) -> bool:
    return any(words in reason for reason in found["reasons"])


def test_half_full_holds_where_seven_tenths_does_not() -> None:
    half, more = (oil(volume="4l", fill=fill, shaft="80") for fill in ("0.5", "0.7"))
    assert (half["verdict"], more["verdict"]) == ("go", "no-go")
    assert (half["pressure_bar"], more["pressure_bar"]) == (
        pytest.approx(0.26, abs=0.005),
        pytest.approx(0.34, abs=0.005),
    )
    assert half["limit_bar"] == more["limit_bar"] == 0.3
    assert said(more, "too full, oil is pushed past the lip; fill no more than 62 %")
    assert any("Tribology Handbook" in source for source in half["sources"])


def test_the_keys_of_the_answer() -> None:
    assert set(oil()) == {
        *("verdict", "fill_fraction", "volume_l", "cavity_l", "level_mm", "pressure_bar"),
        *(
            "limit_bar",
            "fill_at_limit",
            "fill_go",
            "advised_fill",
            "usual_fill",
            "over_usual",
            "level_passes",
            "vented",
            "from_c",
            "to_c",
            "table",
            "reasons",
        ),
        *("assumptions", "cautions", "sources", "unit", "shaft_mm", "surface_speed_mps"),
    }


@pytest.mark.parametrize(
    ("shaft", "limit", "verdict"),
    [("75", 0.6, "go"), ("75.01", 0.3, "no-go"), ("3in", 0.3, "no-go"), ("2.95in", 0.6, "go")],
)
def test_the_shaft_sets_the_limit(shaft: str, limit: float, verdict: str) -> None:
    found = oil(fill="0.7", shaft=shaft)
    assert found["limit_bar"] == limit
    # More than half is never a plain go: the machine's manual has to say so.
    assert found["verdict"] == {"go": "check"}.get(verdict, verdict)
    assert said(found, "holds 0.6 bar") == (verdict == "go")


def test_just_under_the_limit_is_borderline() -> None:
    assert oil(fill="0.55", shaft="80")["verdict"] == "check"  # 0.2736 of 0.3 bar
    assert oil(fill="0.52", shaft="80")["verdict"] == "go"  # 0.2654
    assert oil(fill="0.62", shaft="80")["verdict"] == "check"
    assert oil(fill="0.63", shaft="80")["verdict"] == "no-go"
    assert oil(fill="0.5", shaft="80")["fill_at_limit"] == 0.62


def test_the_table_shows_other_fills() -> None:
    table = oil(volume="4l", shaft="80")["table"]
    assert [row["fill_fraction"] for row in table] == [0.5, 0.6, 0.7, 0.9]
    assert [round(row["pressure_bar"], 2) for row in table] == [0.26, 0.29, 0.34, 0.95]
    assert [row["verdict"] for row in table] == ["go", "check", "no-go", "no-go"]
    assert [row["volume_l"] for row in table] == pytest.approx([2.0, 2.4, 2.8, 3.6])


def test_a_cylinder_to_its_level() -> None:
    found = oil(diameter="200", length="100", level="100", shaft="60")
    assert found["fill_fraction"] == 0.5
    assert found["cavity_l"] == pytest.approx(math.pi, abs=1e-4)
    assert found["volume_l"] == pytest.approx(math.pi / 2, abs=1e-4)
    assert found["level_mm"] == pytest.approx(100.0)
    assert said(found, "a level of 100 mm in a cavity of 200 mm is 50 % of it")
    quarter = oil(diameter="200", length="100", level="50", shaft="60")
    assert quarter["fill_fraction"] == pytest.approx(0.1955, abs=1e-4)


def test_a_share_gives_the_level_to_fill_to() -> None:
    assert oil(diameter="10in", length="4in", fill="50%")["level_mm"] == pytest.approx(127.0)
    assert oil(diameter="10", length="4", unit="in")["level_mm"] == pytest.approx(127.0)


def test_a_level_alone_gives_the_share_and_no_quantity() -> None:
    found = oil(diameter="200", level="100")
    assert (found["fill_fraction"], found["volume_l"], found["cavity_l"]) == (0.5, None, None)


def test_half_is_taken_where_nothing_is_said() -> None:
    found = oil(volume="3l", shaft="60")
    assert found["volume_l"] == 1.5
    assert said(found, "the usual 50 % is taken")


def test_without_a_shaft_the_strictest_and_the_widest_limit_decide() -> None:
    assert oil(fill="0.5")["verdict"] == "go"
    assert oil(fill="0.5")["limit_bar"] is None
    assert oil(fill="0.7")["verdict"] == "check"
    assert said(oil(fill="0.7"), "give --shaft")
    assert oil(fill="0.9")["verdict"] == "no-go"


def test_a_vent_takes_the_pressure_away() -> None:
    found = oil(fill="0.7", shaft="80", vented=True)
    assert (found["verdict"], found["pressure_bar"], found["fill_at_limit"]) == ("check", 0.0, None)
    assert said(found, "above half only if the machine's manual")
    assert said(found, "blocked, it would reach 0.34 bar")
    assert said(found, "fuller than the usual 50 %")
    assert any("breather" in caution for caution in found["cautions"])
    assert oil(fill="0.55", vented=True)["verdict"] == "go"
    assert oil(fill="0.56", vented=True)["verdict"] == "check"


@pytest.mark.parametrize("vented", [False, True])
def test_no_head_space_is_no_go(vented: bool) -> None:
    found = oil(fill="1", shaft="60", vented=vented)
    assert found["verdict"] == "no-go"
    assert said(found, "leaves no head-space")
    assert found["pressure_bar"] == (0.0 if vented else None)
    assert oil(fill="0.97", vented=vented)["verdict"] == "no-go"


def test_little_oil_is_checked() -> None:
    assert oil(fill="0.29", shaft="60")["verdict"] == "check"
    assert oil(fill="0.3", shaft="60")["verdict"] == "go"


def test_heat_of_the_air_alone_may_be_too_much() -> None:
    found = oil(fill="0.4", shaft="80", to_temp="130C")
    assert found["verdict"] == "no-go"
    assert found["fill_at_limit"] == 0.0
    assert said(found, "the heat of the air alone is too much")


def test_cooling_draws_a_vacuum() -> None:
    found = oil(fill="0.5", shaft="80", from_temp="60C", to_temp="5C")
    assert found["pressure_bar"] < 0
    assert found["verdict"] == "check"
    assert said(found, "a vacuum")
    assert any("draws in dirt" in caution for caution in found["cautions"])
    assert oil(fill="0.5", shaft="80", from_temp="20C", to_temp="20C")["pressure_bar"] == 0.0


def test_fahrenheit_and_percent() -> None:
    found = oil(fill="50 %", shaft="80", from_temp="68F", to_temp="176F")
    assert (found["from_c"], found["to_c"]) == (20.0, 80.0)
    assert found["pressure_bar"] == pytest.approx(0.2609, abs=1e-4)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"fill": "1.01"}, "over 0 and up to 1. Did you mean 1.01%"),
        ({"fill": "50"}, "Did you mean 50%"),
        ({"fill": "150%"}, "over 0 and up to 1"),
        ({"fill": "0"}, "over 0 and up to 1"),
        ({"fill": "-0.5"}, "over 0 and up to 1"),
        ({"fill": "half"}, "a fill is a number"),
        ({"fill": "nan"}, "a fill is a number"),
        ({"fill": "50%l"}, "a fill is a number"),
        ({"fill": "0.5", "level": "50", "diameter": "100"}, "by its share or by its level"),
        ({"level": "50"}, "by the diameter of the cavity"),
        ({"level": "50", "volume": "3l"}, "by the diameter of the cavity"),
        ({"level": "101", "diameter": "100", "length": "50"}, "above the top"),
        ({"level": "0", "diameter": "100", "length": "50"}, "larger than zero"),
        ({"level": "-5", "diameter": "100", "length": "50"}, "can't be negative"),
        ({"volume": "3l", "diameter": "100"}, "by its volume or by its diameter"),
        ({"volume": "0l"}, "has a volume"),
        ({"volume": "3mm"}, "a volume is wanted"),
        ({"diameter": "100"}, "needs the length"),
        ({"length": "100"}, "needs its diameter"),
        ({"diameter": "0", "length": "10"}, "larger than zero"),
        ({"shaft": "2"}, "from 3 to 1000 mm"),
        ({"shaft": "1001"}, "from 3 to 1000 mm"),
        ({"shaft": "80C"}, "a length is wanted"),
        ({"to_temp": "151C"}, "-40 to 150 C"),
        ({"from_temp": "-41C"}, "-40 to 150 C"),
        ({"to_temp": "warm"}, "--to-temp warm"),
    ],
)
def test_refusals(options: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        oil(**options)


@pytest.mark.parametrize("edge", ["-40C", "150C"])
def test_the_ends_of_the_temperatures_belong_to_them(edge: str) -> None:
    assert oil(to_temp=edge)["to_c"] == float(edge.removesuffix("C"))


def test_lengths_name_their_instrument_and_may_be_read_several_times() -> None:
    found = oil(diameter=("199@caliper", "201@caliper"), length="100@tape", shaft="60@micrometer")
    assert found["cavity_l"] == pytest.approx(math.pi, abs=1e-4)
    assert said(found, "diameter: the readings differ by 2.000 mm")
    with pytest.raises(InputError, match="--diameter 200 @eyeball: this instrument is not listed"):
        oil(diameter="200@eyeball", length="100")


def test_a_level_is_as_sure_as_it_was_read() -> None:
    # 53.2 % of the cavity is borderline at 80 mm; a tape is good to 0.8 mm.
    hub = {"diameter": "90@caliper", "length": "100", "shaft": "80"}
    assert oil(**hub, level="46.95@caliper")["verdict"] == "go"
    tape = oil(**hub, level="46.95@tape")
    assert tape["verdict"] == "check"
    assert said(tape, "the level was not read closely enough")


@pytest.mark.parametrize("fill", ["1e-1", "1_0%", "\u0660.\u0665", "0.5l", "0x1", "inf%"])
def test_a_fill_has_the_grammar_of_every_number(fill: str) -> None:
    with pytest.raises(InputError, match="a fill is a number"):
        oil(fill=fill)


def test_a_fill_may_have_a_comma_and_a_grouped_one_is_a_question() -> None:
    assert oil(fill="0,5")["fill_fraction"] == oil(fill=".5")["fill_fraction"] == 0.5
    with pytest.raises(AmbiguousError, match="--fill 1,250"):
        oil(fill="1,250")


def test_where_no_level_passes_it_is_said_with_what_else_to_do() -> None:
    found = oil(shaft="80", to_temp="110C")
    assert (found["verdict"], found["fill_at_limit"], found["level_passes"]) == ("no-go", 0, False)
    assert said(found, "no level passes: the heat of the air alone is too much")
    assert said(found, "Vent the hub with a breather")
    assert said(found, "a lip made for pressure")
    assert not said(found, "too full")
    # 7 % would pass, and oils no roller.
    little = oil(shaft="80", to_temp="105C")
    assert (little["fill_at_limit"], little["level_passes"]) == (0.07, False)
    assert said(little, "at most 7 % would, under the 30 % that the rollers need")
    assert oil(shaft="80")["level_passes"]
    assert oil(shaft="80", vented=True)["level_passes"]


@pytest.mark.parametrize("options", [{"unit": "in"}, {"shaft": "3.5in"}])
def test_a_bare_volume_beside_inches_is_a_question(options: dict[str, Any]) -> None:
    with pytest.raises(AmbiguousError) as refused:
        oil(volume="4", **options)
    assert refused.value.readings == ("4l", "4US qt")
    assert oil(volume="4US qt", **options)["cavity_l"] == pytest.approx(3.785, abs=0.001)
    assert oil(volume="4")["cavity_l"] == 4.0


def test_the_table_judges_a_fill_as_the_answer_does() -> None:
    for options in ({"vented": True}, {"shaft": "60"}, {"shaft": "80"}, {}):
        for row in oil(**options)["table"]:
            same = oil(**options, fill=str(row["fill_fraction"]))
            assert row["verdict"] == same["verdict"], row


def test_what_was_taken_is_data_and_said() -> None:
    found = oil(volume="4l", shaft="80")
    assert found["assumptions"] == [
        "no fill was given: the usual 50 % is taken",
        "the temperature when it is filled was not given: 20 C is taken",
        "the temperature at work was not given: 80 C is taken",
        "no speed was given: one up to 1000 rpm and 2.8 m/s is taken; a faster lip holds less",
    ]
    assert all(text in found["reasons"] for text in found["assumptions"])
    given = {"fill": "0.5", "from_temp": "20C", "to_temp": "80C", "rpm": "300rpm"}
    assert oil(volume="4l", shaft="80", **given)["assumptions"] == []


@pytest.mark.parametrize("key", ["from_temp", "to_temp"])
@pytest.mark.parametrize(
    ("text", "options"),
    [
        ("100", {"unit": "in", "volume": "4l"}),
        ("0", {"unit": "in", "volume": "4l"}),
        ("100", {"volume": "4l", "shaft": "3.5in"}),
        ("180", {"volume": "4l"}),
    ],
)
def test_a_bare_temperature_that_may_be_either_is_asked(
    key: str, text: str, options: dict[str, str]
) -> None:
    with pytest.raises(AmbiguousError) as asked:
        oil(**{key: text}, **options)
    assert asked.value.readings == (f"{text}C", f"{text}F")
    assert oil(**{key: f"{text}F"}, **options)["verdict"]


def test_a_pressure_over_its_limit_does_not_read_like_it() -> None:
    found = oil(volume="4l", fill="0.63", shaft="80")
    assert found["verdict"] == "no-go"
    assert said(found, "reaches 0.301 bar")
    assert said(found, "holds 0.3 bar: too full")


# --- speed, mixed units --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rpm", "verdict", "limit"),
    [
        ("200rpm", "check", 0.6),
        ("1000rpm", "check", 0.6),
        ("1001rpm", "check", 0.35),
        ("2000rpm", "no-go", 0.2),
        ("3000rpm", "no-go", 0.0),
        ("7.85m/s", "no-go", 0.0),
    ],
)
def test_a_fast_lip_holds_less(rpm: str, verdict: str, limit: float) -> None:
    found = oil(volume="4l", shaft="50", fill="0.7", rpm=rpm)
    assert (found["verdict"], found["limit_bar"]) == (verdict, limit)


def test_a_lip_that_runs_unpressurised_says_so_and_a_vent_mends_it() -> None:
    fast = oil(volume="4l", shaft="50", fill="0.5", rpm="3001rpm")
    assert said(fast, "at 7.86 m/s holds no pressure")
    assert not fast["level_passes"]
    assert any("by its speed: DIN 3760" in source for source in fast["sources"])
    assert oil(volume="4l", shaft="50", rpm="3001rpm", vented=True)["verdict"] == "go"


def test_over_the_range_of_the_standards_is_a_check_at_a_slow_lip_too() -> None:
    hot = {"volume": "4l", "shaft": "50", "fill": "0.5", "to_temp": "134C"}
    found = oil(**hot, rpm="100rpm")
    assert 0.5 < found["pressure_bar"] < 0.54
    assert (found["verdict"], oil(**hot)["verdict"]) == ("check", "go")
    assert said(found, "the standards go up to 0.5 bar")


def test_no_speed_is_said_and_a_speed_without_a_shaft_asks_for_it() -> None:
    assert any("one up to 1000 rpm" in text for text in oil(shaft="50")["assumptions"])
    assert not any("speed" in text for text in oil(shaft="50", rpm="10rpm")["assumptions"])
    open_ = oil(volume="4l", rpm="2000rpm")
    assert open_["verdict"] == "check"
    assert said(open_, "goes by its shaft: give --shaft")


def test_lengths_in_mixed_units_are_asked_for() -> None:
    given = {"diameter": "9.5in", "length": "6in", "fill": "0.7"}
    with pytest.raises(AmbiguousError, match=r"3\.5mm or as 3\.5in"):
        oil(**given, shaft="3.5")
    assert oil(**given, shaft="90mm")["limit_bar"] == 0.3
    assert oil(**given, shaft="3.5", unit="in")["limit_bar"] == 0.3


def test_a_shaft_that_fills_its_cavity_is_refused() -> None:
    with pytest.raises(InputError, match="goes through the cavity, so it is thinner"):
        oil(diameter="90", length="60", shaft="160", volume="")


def test_a_bare_volume_that_no_hub_has_is_asked_about() -> None:
    with pytest.raises(AmbiguousError) as asked:
        oil(volume="850")
    assert asked.value.readings == ("850l", "850ml")
    assert oil(volume="50")["cavity_l"] == 50.0
    assert oil(volume="850l")["cavity_l"] == 850.0
