"""The duty of the lip: verdicts, their edges, what is asked, and that worse is never better."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.assess.duty import LipDuty, lip_duty
from fitcheck.assess.lip_fluid import fluid_meant, fluid_name, suitability
from fitcheck.assess.lip_heat import friction_w, lip_rise_k, lip_temperature_c
from fitcheck.assess.lip_limits import (
    MATERIALS,
    coaxiality_limit_mm,
    plain_lip_speed_mps,
    pressure_limit_bar,
    runout_limit_mm,
    speed_limit_mps,
    speed_share,
)
from fitcheck.assess.lip_material import MaterialDuty
from fitcheck.assess.lip_pressure import pressure_duty
from fitcheck.errors import InputError, NotKnownError, OffTableError
from fitcheck.quantities import Quantity, speed
from fitcheck.tables import table

ORDER = ("go", "check", "no-go")
WORDS = [row.text("word") for row in table("lip/fluid_words").rows]


def rpm(value: float) -> Quantity:
    return Quantity(value, value, "rpm", "rotation", True, 1.0)


def mps(value: float) -> Quantity:
    return Quantity(value, value, "m/s", "speed", True, 0.1)


def of(duty: LipDuty, material: str) -> MaterialDuty:
    return next(m for m in duty.materials if m.material == material)


def verdict(material: str, **duty: object) -> str:
    wanted: dict[str, object] = {
        "shaft_mm": 40,
        "speed": mps(1.0),
        "oil": "engine oil",
        "oil_temp_c": 60.0,
        "vented": True,
    }
    return of(lip_duty(**(wanted | duty)), material).verdict  # type: ignore[arg-type]


# --- heat and friction --------------------------------------------------------------------------


def test_a_standing_shaft_makes_no_heat() -> None:
    assert lip_rise_k(surface_mps=0) == (0, 0)
    assert lip_temperature_c(sump_c=20, surface_mps=0) == (20, 20)
    assert friction_w(shaft_mm=50, surface_mps=0) == (0, 0)


@given(
    st.floats(6, 400), st.floats(6, 400), st.floats(0, 40), st.floats(0, 40), st.floats(-40, 150)
)
def test_heat_grows_with_speed_and_shaft(
    a_mm: float, b_mm: float, a: float, b: float, sump_c: float
) -> None:
    slow, fast, thin, thick = min(a, b), max(a, b), min(a_mm, b_mm), max(a_mm, b_mm)
    cool, warm = (lip_temperature_c(sump_c=sump_c, surface_mps=v) for v in (slow, fast))
    assert cool[0] <= warm[0]
    assert cool[1] <= warm[1]
    assert sump_c <= cool[0] <= cool[1]
    little = friction_w(shaft_mm=thin, surface_mps=slow)
    much = friction_w(shaft_mm=thick, surface_mps=fast)
    assert all(x <= y * (1 + 1e-12) for x, y in zip(little, much, strict=True))
    assert 0 <= little[0] <= little[1]


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_a_speed_that_is_no_speed_is_refused(value: float) -> None:
    with pytest.raises(InputError, match="a surface speed is a number of 0 m/s or more"):
        lip_rise_k(surface_mps=value)


# --- limits -------------------------------------------------------------------------------------


@pytest.mark.parametrize("shaft_mm", [9.99, 150.01])
def test_off_the_speed_chart_is_refused(shaft_mm: float) -> None:
    with pytest.raises(OffTableError, match="NBR lip is charted for 10 to 150 mm"):
        speed_limit_mps(material="NBR", shaft_mm=shaft_mm)


def test_a_material_without_a_chart_is_refused() -> None:
    with pytest.raises(OffTableError, match="PTFE lip is charted for nothing"):
        speed_limit_mps(material="PTFE", shaft_mm=40)


def test_an_unknown_material_is_refused() -> None:
    with pytest.raises(InputError, match="no such lip material"):
        speed_limit_mps(material="XYZ", shaft_mm=40)


@given(st.sampled_from(MATERIALS[:-1]), st.floats(10, 150), st.floats(10, 150))
def test_the_chart_rises_with_the_shaft(material: str, a: float, b: float) -> None:
    low, high = sorted((a, b))
    limits = [speed_limit_mps(material=material, shaft_mm=x).value for x in (low, high)]
    assert limits[0] <= limits[1] + 1e-9


def test_plain_lip_speed_at_both_sides_of_its_steps() -> None:
    assert plain_lip_speed_mps(shaft_mm=35).note == "8000 rpm"
    assert plain_lip_speed_mps(shaft_mm=35.001).note == "4000 rpm"
    assert plain_lip_speed_mps(shaft_mm=75).note == "4000 rpm"
    assert plain_lip_speed_mps(shaft_mm=75.001).value == 15


def test_shares_of_the_speed() -> None:
    def share(dust_lip: bool, grease: bool) -> tuple[float, float]:
        low, high = speed_share(dust_lip=dust_lip, grease=grease)
        return low.value, high.value

    assert share(False, False) == (1, 1)
    assert share(True, False) == (0.7, 0.8)
    assert share(False, True) == (0.5, 0.5)
    assert share(True, True) == (0.35, 0.4)


def test_pressure_editions_refuse_what_they_do_not_cover() -> None:
    with pytest.raises(InputError, match="goes by speed"):
        pressure_limit_bar(edition="din3760", shaft_mm=50)
    with pytest.raises(InputError, match="no such edition"):
        pressure_limit_bar(edition="none", shaft_mm=50)
    for shaft_mm in (6, 400.1):
        with pytest.raises(OffTableError):
            pressure_limit_bar(edition="gb13871", shaft_mm=shaft_mm)
    with pytest.raises(OffTableError):
        pressure_limit_bar(edition="gost8752", shaft_mm=50, surface_mps=20.01)


def test_runout_and_coaxiality_refuse_what_they_do_not_cover() -> None:
    for speed_rpm in (499, 6001):
        with pytest.raises(OffTableError, match="500 to 6000 rpm"):
            runout_limit_mm(material="NBR", speed_rpm=speed_rpm)
    with pytest.raises(NotKnownError, match="NBR, FKM, ACM"):
        runout_limit_mm(material="VMQ", speed_rpm=1000)
    for shaft_mm in (19.9, 200.1):
        with pytest.raises(OffTableError, match="20 to 200 mm"):
            coaxiality_limit_mm(shaft_mm=shaft_mm)


def test_runout_of_an_inch_shaft_goes_by_the_inch_steps() -> None:
    def inch(speed_rpm: float, material: str = "NBR") -> float:
        limit = runout_limit_mm(material=material, speed_rpm=speed_rpm, system="inch")
        assert "RMA" in limit.source
        return limit.value

    assert inch(0) == inch(800) == pytest.approx(0.010 * 25.4)
    assert inch(801) == pytest.approx(0.009 * 25.4)
    assert inch(3600, "VMQ") == pytest.approx(0.003 * 25.4)
    with pytest.raises(OffTableError, match="up to and including 3600 rpm"):
        inch(3601)
    with pytest.raises(NotKnownError, match="NBR, HNBR, ACM, FKM, VMQ"):
        inch(1000, "PTFE")
    metric = lip_duty(shaft_mm=38.1, speed=rpm(1000)).runout_mm
    inches = lip_duty(shaft_mm=38.1, speed=rpm(1000), system="inch").runout_mm
    assert (metric["NBR"], inches["NBR"]) == (0.28, 0.229)


def test_heat_friction_and_runout_rest_on_the_tables(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = lip_rise_k(surface_mps=4), runout_limit_mm(material="FKM", speed_rpm=1000).value
    assert before == ((10, 24), pytest.approx(0.196))
    folder = tmp_path / "lip"
    folder.mkdir()
    header = "name,low,high,unit,source,evidence,note"
    (folder / "duty.csv").write_text(
        f"{header}\n"
        "lip_rise_k_per_root_mps,6,10,K/(m/s)^0.5,no-source,memory,\n"
        "runout_share_fkm,0.5,0.5,fraction,din3760-runout,memory,\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert lip_rise_k(surface_mps=4) == (12, 20)
    assert runout_limit_mm(material="FKM", speed_rpm=1000).value == pytest.approx(0.14)


# --- fluids -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("gear oil EP 90", ("ep-gear-oil",)),
        ("EP 80W90", ("ep-gear-oil",)),
        ("EP 2 lithium grease", ("grease",)),
        ("EP", ("ep-gear-oil", "grease")),
    ],
)
def test_ep_is_gear_oil_or_grease_by_what_stands_beside(text: str, kinds: tuple[str, ...]) -> None:
    assert fluid_meant(text).kinds == kinds
    assert bool(fluid_meant(text).question) is (len(kinds) > 1)


@pytest.mark.parametrize("word", WORDS)
def test_every_word_of_the_table_is_understood_in_any_writing(word: str) -> None:
    kinds = {r.text("fluid") for r in table("lip/fluid_words").rows if r.text("word") == word}
    for text in (word, word.upper(), f"  {word.lower()} ", word.replace("-", " ")):
        assert set(fluid_meant(text).kinds) == kinds


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("15w40", ("engine-oil",)),
        ("SAE 80W-90 GL-5", ("ep-gear-oil",)),
        ("gear oil GL-5", ("ep-gear-oil",)),
        ("ISO VG 46 HLP", ("hydraulic-oil",)),
        ("CLP 220", ("ep-gear-oil",)),
        ("water-glycol hydraulic fluid", ("hfc",)),
        ("NLGI 2 grease", ("grease",)),
        ("ATF, engine oil", ("engine-oil", "atf")),
        ("gear oil", ("gear-oil", "ep-gear-oil")),
    ],
)
def test_oil_texts(text: str, kinds: tuple[str, ...]) -> None:
    assert fluid_meant(text).kinds == kinds


@pytest.mark.parametrize(
    "text", ["bio hydraulic oil", "synthetic gear oil", "no oil", "DOT 5", "?"]
)
def test_a_text_that_is_not_understood_in_full_is_a_question(text: str) -> None:
    found = fluid_meant(text)
    assert found.kinds == ()
    assert text in found.question


@pytest.mark.parametrize("text", [None, "", "  "])
def test_no_text_is_a_question(text: str | None) -> None:
    assert fluid_meant(text).question == "Which oil or grease does the lip keep in?"


def test_an_unknown_pair_of_material_and_fluid_is_refused() -> None:
    with pytest.raises(NotKnownError, match="PTFE in chemical: no table says"):
        suitability(material="PTFE", fluid="chemical-fluid")
    assert fluid_name("no-such-fluid") == "no such fluid"


@given(st.text(max_size=30))
def test_any_text_gives_kinds_or_a_question(text: str) -> None:
    found = fluid_meant(text)
    assert len(found.kinds) == 1 or found.question


# --- verdicts on materials ----------------------------------------------------------------------


def test_a_slow_warm_hub_takes_the_cheapest_lip() -> None:
    found = lip_duty(
        shaft_mm=50, speed=rpm(200), oil="engine oil", oil_temp_c=70, pressure_bar=0, vented=True
    )
    assert found.verdict == "go"
    assert found.best[0] == "NBR"
    assert found.questions == ()
    assert found.surface_speed_mps == pytest.approx(0.5236, abs=1e-4)


@pytest.mark.parametrize(("oil_temp_c", "wanted"), [(80, "go"), (80.01, "no-go")])
def test_the_sump_limit_of_a_fluid_at_both_sides(oil_temp_c: float, wanted: str) -> None:
    assert verdict("NBR", oil="GL-1", oil_temp_c=oil_temp_c) == wanted


@pytest.mark.parametrize(
    ("oil_temp_c", "wanted"), [(88, "go"), (88.01, "check"), (95, "check"), (95.01, "no-go")]
)
def test_the_lip_limit_at_both_sides(oil_temp_c: float, wanted: str) -> None:
    """At 1 m/s the lip is 5 to 12 K over the sump; NBR stands 100 C."""
    assert verdict("NBR", oil="mineral oil", oil_temp_c=oil_temp_c) == wanted


@pytest.mark.parametrize(("oil_temp_c", "wanted"), [(-40, "go"), (-40.01, "no-go")])
def test_the_cold_limit_at_both_sides(oil_temp_c: float, wanted: str) -> None:
    assert verdict("NBR", oil_temp_c=oil_temp_c) == wanted


@pytest.mark.parametrize(
    ("oil_temp_c", "wanted"), [(68, "go"), (68.01, "check"), (80, "check"), (80.01, "no-go")]
)
def test_a_fluid_that_is_limited_by_heat(oil_temp_c: float, wanted: str) -> None:
    """NBR in EP oil: keep below 80 C; sure when the lip itself is below."""
    assert verdict("NBR", oil="GL-5", oil_temp_c=oil_temp_c) == wanted


def test_a_fluid_that_is_limited_without_a_number_is_a_check() -> None:
    assert verdict("VMQ", oil="ATF") == "check"


def test_a_fluid_that_is_excluded_is_a_no_go_whatever_else_is_missing() -> None:
    found = lip_duty(shaft_mm=40, oil="GL-5")
    assert of(found, "VMQ").verdict == "no-go"
    assert "not for EP gear oil" in of(found, "VMQ").reasons[0]
    assert of(found, "NBR").verdict == "check"


@pytest.mark.parametrize(
    ("at_mps", "wanted"), [(8.37, "go"), (8.39, "check"), (10, "check"), (10.01, "no-go")]
)
def test_the_speed_limit_at_both_sides(at_mps: float, wanted: str) -> None:
    """NBR at 40 mm: 4000 rpm (8.38 m/s) by the handbook, 10 m/s by the chart."""
    assert verdict("NBR", speed=mps(at_mps), oil_temp_c=20.0) == wanted


@pytest.mark.parametrize(
    ("at_mps", "wanted"), [(5.6, "go"), (5.61, "check"), (6.4, "check"), (6.41, "no-go")]
)
def test_a_dust_lip_takes_a_fifth_to_a_third_of_the_speed(at_mps: float, wanted: str) -> None:
    """NBR at 20 mm: 8 m/s, of which 70 to 80 % are left."""
    assert verdict("NBR", shaft_mm=20, speed=mps(at_mps), oil_temp_c=20.0, dust_lip=True) == wanted


@pytest.mark.parametrize(("at_mps", "wanted"), [(4, "go"), (4.01, "no-go")])
def test_grease_halves_the_speed(at_mps: float, wanted: str) -> None:
    assert verdict("NBR", shaft_mm=20, speed=mps(at_mps), oil="grease", oil_temp_c=20.0) == wanted


def test_what_is_left_of_a_speed_limit_is_said_beside_it() -> None:
    def said(at_mps: float) -> str:
        found = lip_duty(
            shaft_mm=20, speed=mps(at_mps), oil="grease", oil_temp_c=20.0, dust_lip=True
        )
        return next(r for r in of(found, "NBR").reasons if r.startswith(f"{at_mps:.3g} m/s"))

    assert said(2.5) == "2.5 m/s is within 2.8 m/s, 35 % of its 8 m/s"
    assert said(3) == "3 m/s may be over 2.8 m/s to 3.2 m/s, 35 % to 40 % of its 8 m/s"
    assert said(3.5) == "3.5 m/s is over 3.2 m/s, 40 % of its 8 m/s at this shaft"


def test_off_the_chart_the_ceiling_and_the_handbook_judge() -> None:
    assert verdict("NBR", shaft_mm=200, speed=mps(2)) == "go"
    assert verdict("NBR", shaft_mm=200, speed=mps(12.5), oil_temp_c=20.0) == "no-go"
    assert verdict("PTFE", shaft_mm=200, speed=mps(16)) == "check"
    assert verdict("PTFE", shaft_mm=200, speed=mps(30.5)) == "no-go"


def test_a_missing_fluid_temperature_or_speed_is_asked_for_and_never_assumed() -> None:
    found = lip_duty(shaft_mm=40)
    assert found.verdict == "check"
    assert {m.verdict for m in found.materials} == {"check"}
    assert found.best == ()
    assert (found.lip_temp_c, found.friction_w, found.surface_speed_mps) == (None, None, None)
    assert [q.split("?")[0] for q in found.questions] == [
        "Which oil or grease does the lip keep in",
        "How hot does the oil get in lasting work",
        "How fast does the shaft or hub turn",
        "Is the space behind the lip vented",
    ]


@pytest.mark.parametrize("left_out", ["speed", "oil", "oil_temp_c"])
def test_each_missing_input_makes_a_check_with_its_question(left_out: str) -> None:
    complete = {
        "speed": mps(1.0),
        "oil": "engine oil",
        "oil_temp_c": 60.0,
    }
    assert lip_duty(shaft_mm=40, vented=True, **complete).verdict == "go"  # type: ignore[arg-type]
    found = lip_duty(shaft_mm=40, vented=True, **(complete | {left_out: None}))  # type: ignore[arg-type]
    assert found.verdict == "check"
    assert len(found.questions) == 1


def test_without_a_speed_a_sump_that_is_too_hot_is_still_a_no_go() -> None:
    found = lip_duty(shaft_mm=40, oil="mineral oil", oil_temp_c=101)
    assert of(found, "NBR").verdict == "no-go"
    assert of(found, "HNBR").verdict == "check"


def test_an_oil_of_two_meanings_is_judged_in_both() -> None:
    found = lip_duty(shaft_mm=40, speed=mps(1), oil="gear oil", oil_temp_c=70, vented=True)
    assert (of(found, "NBR").verdict, of(found, "VMQ").verdict) == ("check", "check")
    assert of(found, "VMQ").reasons[0] == "in gear oil: go; in EP gear oil: no-go"
    assert found.best[0] == "HNBR"
    assert found.questions == ('"gear oil" can be plain gear oil or EP gear oil: which is it?',)


def test_an_oil_of_two_meanings_is_not_asked_about_where_it_changes_nothing() -> None:
    found = lip_duty(shaft_mm=40, speed=mps(1), oil="gear oil", oil_temp_c=140, vented=True)
    assert of(found, "NBR").verdict == "no-go"
    assert of(found, "VMQ").verdict == "no-go"


def test_a_chemical_is_never_a_go() -> None:
    found = lip_duty(shaft_mm=40, speed=mps(1), oil="chemical", oil_temp_c=20, vented=True)
    assert {m.material: m.verdict for m in found.materials} == dict.fromkeys(MATERIALS, "check") | {
        "VMQ": "no-go"
    }
    assert "Which chemical" in found.questions[0]


def test_brake_fluid_leaves_few() -> None:
    found = lip_duty(shaft_mm=40, speed=mps(1), oil="DOT 4", oil_temp_c=20, vented=True)
    assert found.best == ("PTFE",)


def test_a_duty_that_no_material_stands() -> None:
    found = lip_duty(shaft_mm=40, speed=mps(1), oil="engine oil", oil_temp_c=250, vented=True)
    assert found.verdict == "no-go"
    assert found.reasons == ("no lip material stands it",)


# --- pressure -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shaft_mm", "at_mps", "bar", "wanted"),
    [
        (75, 1.0, 0.5, "go"),
        (75, 1.0, 0.51, "check"),
        (75, 1.0, 0.6, "check"),
        (75, 1.0, 0.61, "no-go"),
        (75.01, 1.0, 0.3, "go"),
        (75.01, 1.0, 0.31, "no-go"),
        (75, 2.8, 0.5, "go"),
        (75, 2.81, 0.5, "no-go"),
        (75, 2.81, 0.35, "go"),
        (75, 5.6, 0.2, "go"),
        (75, 5.6, 0.21, "no-go"),
        (75, 5.61, 0.0, "go"),
        (75, 5.61, 0.01, "no-go"),
    ],
)
def test_pressure_at_both_sides_of_its_limits(
    shaft_mm: float, at_mps: float, bar: float, wanted: str
) -> None:
    found = pressure_duty(shaft_mm=shaft_mm, surface_mps=at_mps, pressure_bar=bar)
    assert found.verdict == wanted


def test_half_full_passes_where_seventy_per_cent_fails() -> None:
    """0.26 and 0.34 bar in a sealed hub from 20 to 80 C, on a shaft over 75 mm."""
    verdicts = [
        pressure_duty(shaft_mm=80, surface_mps=1.0, pressure_bar=bar).verdict
        for bar in (0.26, 0.34, 0.95)
    ]
    assert verdicts == ["go", "no-go", "no-go"]


def test_pressure_without_a_speed() -> None:
    assert pressure_duty(shaft_mm=50, surface_mps=None, pressure_bar=0.7).verdict == "no-go"
    found = pressure_duty(shaft_mm=50, surface_mps=None, pressure_bar=0.2)
    assert (found.verdict, found.question) == ("check", "How fast does the shaft or hub turn?")
    assert pressure_duty(shaft_mm=50, surface_mps=None, pressure_bar=0).verdict == "go"


def test_pressure_that_is_not_given() -> None:
    def judged(vented: bool | None) -> tuple[str, str]:
        found = pressure_duty(shaft_mm=50, surface_mps=1.0, pressure_bar=None, vented=vented)
        return found.verdict, found.question

    assert judged(True) == ("go", "")
    assert judged(False) == ("check", "What pressure builds up?")
    assert judged(None)[0] == "check"
    assert "vented" in judged(None)[1]


def test_a_vacuum_is_not_judged() -> None:
    found = pressure_duty(shaft_mm=50, surface_mps=1.0, pressure_bar=-0.1)
    assert found.verdict == "check"
    assert "vacuum" in found.reasons[0]


def test_cautions_about_vents() -> None:
    def cautions(bar: float | None, vented: bool | None, at_mps: float = 1.0) -> str:
        found = pressure_duty(shaft_mm=50, surface_mps=at_mps, pressure_bar=bar, vented=vented)
        return " ".join(found.cautions)

    assert "breather is free" in cautions(None, True)
    assert "does not hold 0.2 bar" in cautions(0.2, True)
    assert "sealed space builds up" in cautions(0, False)
    assert "unpressurised, with a vent" in cautions(0, None, 6.0)
    assert cautions(0, None) == ""


def test_pressure_sources_that_differ_are_both_shown() -> None:
    found = pressure_duty(shaft_mm=50, surface_mps=8.0, pressure_bar=0.3)
    assert found.verdict == "no-go"
    assert any("RMA" in c and "0.345 bar, not used; used: 0 bar" in c for c in found.conflicts)
    slow = pressure_duty(shaft_mm=50, surface_mps=1.0, pressure_bar=0.55)
    assert slow.verdict == "check"
    assert any("Handbook" in c and "GB 13871" in c for c in slow.conflicts)
    assert pressure_duty(shaft_mm=50, surface_mps=1.0, pressure_bar=0.1).conflicts == ()


def test_bad_pressure_spoils_a_good_material() -> None:
    found = lip_duty(shaft_mm=80, speed=mps(1), oil="engine oil", oil_temp_c=60, pressure_bar=0.34)
    assert found.best
    assert found.verdict == "no-go"


# --- conflicts, cautions, output ----------------------------------------------------------------


def test_conflicts_between_sources_are_shown_where_they_decide() -> None:
    hot = lip_duty(shaft_mm=60, speed=mps(1), oil="mineral oil", oil_temp_c=185, vented=True)
    assert of(hot, "FKM").verdict == "no-go"
    assert any("Handbook" in c and "-30 to 200 C, not used" in c for c in hot.conflicts)
    warm = lip_duty(shaft_mm=60, speed=mps(1), oil="mineral oil", oil_temp_c=135, vented=True)
    assert any("material guide" in c and "up to 150 C" in c for c in warm.conflicts)
    fast = lip_duty(shaft_mm=60, speed=mps(14), oil="mineral oil", oil_temp_c=20, vented=True)
    assert any(c.startswith("NBR: ") and "15 m/s, not used" in c for c in fast.conflicts)
    assert any(c.startswith("FKM: the speed limits differ") for c in fast.conflicts)
    cool = lip_duty(shaft_mm=60, speed=mps(1), oil="mineral oil", oil_temp_c=20, vented=True)
    assert cool.conflicts == ()


def test_cautions_that_apply() -> None:
    found = lip_duty(
        shaft_mm=40, speed=mps(4), oil="grease", oil_temp_c=40, dust_lip=True, vented=True
    )
    text = " ".join(found.cautions)
    assert "At 4 m/s and more the counterface wants 55 HRC." in text
    assert "Dust lip" in text
    assert "Grease cools" in text
    slow = lip_duty(shaft_mm=40, speed=mps(3.99), oil="engine oil", oil_temp_c=40, vented=True)
    assert "55 HRC" not in " ".join(slow.cautions)
    assert "PTFE lip wants a counterface of 50 HRC" in " ".join(slow.cautions)


def test_the_json_is_plain_and_carries_units() -> None:
    found = lip_duty(
        shaft_mm=50, speed=speed("1000rpm"), oil="15W-40", oil_temp_c=70, pressure_bar=0.1
    )
    data = found.as_json()
    assert json.loads(json.dumps(data)) == data
    assert data["surface_speed_mps"] == 2.618
    assert data["speed_rpm"] == 1000
    assert data["lip_temp_c"] == {"low": 78.1, "high": 89.4}
    assert data["friction_w"] == {"low": 12.7, "high": 19.6}
    assert data["runout_mm"] == {"NBR": 0.28, "ACM": 0.196, "FKM": 0.196}
    assert data["coaxiality_mm"] == 0.215
    assert data["pressure"]["limit_bar"] == 0.5
    assert [m["material"] for m in data["materials"]] == list(MATERIALS)
    assert data["best"] == list(MATERIALS)
    assert all(m["sources"] and m["reasons"] for m in data["materials"])
    assert any("from memory" in s for s in data["sources"])


def test_a_surface_speed_is_as_good_as_a_turning_speed() -> None:
    a = lip_duty(shaft_mm=50, speed=speed("1000rpm"), oil="ATF", oil_temp_c=70, vented=True)
    b = lip_duty(
        shaft_mm=50, speed=mps(a.surface_speed_mps or 0), oil="ATF", oil_temp_c=70, vented=True
    )
    assert a.as_json() == b.as_json()


def test_a_standing_shaft_is_judged() -> None:
    found = lip_duty(shaft_mm=50, speed=rpm(0), oil="ATF", oil_temp_c=70, pressure_bar=0.4)
    assert found.verdict == "go"
    assert found.friction_w == (0, 0)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"shaft_mm": 0}, "shaft diameter .* number larger than zero"),
        ({"shaft_mm": math.nan}, "shaft diameter .* number larger than zero"),
        ({"shaft_mm": 40, "oil_temp_c": -300}, "a temperature is a number of -273.15 C or more"),
        ({"shaft_mm": 40, "pressure_bar": -2}, "a gauge pressure is a number of -1.01325 bar"),
        ({"shaft_mm": 40, "speed": rpm(-1)}, "a speed is a number of 0"),
    ],
)
def test_values_that_make_no_sense_are_refused(wrong: dict[str, float], says: str) -> None:
    with pytest.raises(InputError, match=says):
        lip_duty(**wrong)  # type: ignore[arg-type]


# --- worse is never better ----------------------------------------------------------------------

OILS = st.sampled_from([None, "gear oil", "oil", "GL-5", "engine oil", "grease", "water", "HFC"])


def ranks(duty: LipDuty) -> dict[str, int]:
    found = {m.material: ORDER.index(m.verdict) for m in duty.materials}
    return found | {
        "pressure": ORDER.index(duty.pressure.verdict),
        "overall": ORDER.index(duty.verdict),
    }


def never_better(light: LipDuty, heavy: LipDuty) -> None:
    a, b = ranks(light), ranks(heavy)
    assert {k: b[k] for k in a if b[k] < a[k]} == {}


@given(
    st.floats(6, 250),
    OILS,
    st.floats(-20, 220),
    st.tuples(st.floats(0, 40), st.floats(0, 40)),
    st.booleans(),
)
def test_faster_is_never_better(
    shaft_mm: float, oil: str | None, temp: float, speeds: tuple[float, float], dust_lip: bool
) -> None:
    light, heavy = (
        lip_duty(
            shaft_mm=shaft_mm,
            speed=mps(v),
            oil=oil,
            oil_temp_c=temp,
            pressure_bar=0.3,
            dust_lip=dust_lip,
        )
        for v in sorted(speeds)
    )
    never_better(light, heavy)


@given(
    st.floats(6, 250), OILS, st.none() | st.floats(0, 20), st.floats(-20, 260), st.floats(-20, 260)
)
def test_hotter_is_never_better(
    shaft_mm: float, oil: str | None, v: float | None, a: float, b: float
) -> None:
    light, heavy = (
        lip_duty(
            shaft_mm=shaft_mm,
            speed=None if v is None else mps(v),
            oil=oil,
            oil_temp_c=temp,
            vented=True,
        )
        for temp in sorted((a, b))
    )
    never_better(light, heavy)


@given(st.floats(6, 250), st.none() | st.floats(0, 20), st.floats(0, 1), st.floats(0, 1))
def test_more_pressure_is_never_better(
    shaft_mm: float, v: float | None, a: float, b: float
) -> None:
    light, heavy = (
        lip_duty(
            shaft_mm=shaft_mm,
            speed=None if v is None else mps(v),
            oil="engine oil",
            oil_temp_c=60,
            pressure_bar=bar,
        )
        for bar in sorted((a, b))
    )
    never_better(light, heavy)


@given(st.floats(6, 250), OILS, st.floats(0, 20), st.floats(-20, 150))
def test_a_dust_lip_is_never_better(
    shaft_mm: float, oil: str | None, v: float, temp: float
) -> None:
    light, heavy = (
        lip_duty(
            shaft_mm=shaft_mm,
            speed=mps(v),
            oil=oil,
            oil_temp_c=temp,
            dust_lip=dust_lip,
            vented=True,
        )
        for dust_lip in (False, True)
    )
    never_better(light, heavy)


@given(
    st.floats(6, 250),
    OILS.filter(lambda oil: oil is not None),
    st.floats(0, 20),
    st.floats(-60, 220),
    st.sampled_from(["speed", "oil", "oil_temp_c"]),
)
def test_leaving_something_out_never_turns_a_verdict_over(
    shaft_mm: float, oil: str, v: float, temp: float, left_out: str
) -> None:
    """With less known a material may only become a check: never a go, never newly a no-go."""
    told = {"speed": mps(v), "oil": oil, "oil_temp_c": temp}
    full = lip_duty(shaft_mm=shaft_mm, vented=True, **told)  # type: ignore[arg-type]
    less = lip_duty(shaft_mm=shaft_mm, vented=True, **(told | {left_out: None}))  # type: ignore[arg-type]
    for known, open_one in zip(full.materials, less.materials, strict=True):
        assert open_one.verdict in ("check", known.verdict)
        assert open_one.verdict != "go"


@pytest.mark.parametrize("sump", [None, 70.0, 90.0, 130.0])
@pytest.mark.parametrize("rpm", [None, "500rpm"])
def test_what_heat_does_in_a_fluid_is_said_once(sump: float | None, rpm: str | None) -> None:
    found = lip_duty(
        shaft_mm=40, oil="80W-90 GL-5", oil_temp_c=sump, speed=speed(rpm) if rpm else None
    )
    reasons = [r for r in of(found, "NBR").reasons if "speed is not given" not in r]
    assert len(reasons) == 1
    assert "EP gear oil" in reasons[0]
    # The limit stands once in it.
    assert reasons[0].count("80 C") == 1 + (sump == 80.0)


def test_a_lip_that_is_graver_than_its_fluid_is_still_named() -> None:
    found = lip_duty(shaft_mm=40, oil="80W-90 GL-5", oil_temp_c=104, speed=speed("500rpm"))
    assert of(found, "ACM").verdict == "go"
    hot = lip_duty(shaft_mm=40, oil="mineral oil", oil_temp_c=120, speed=speed("500rpm"))
    assert any("over 100 C" in reason for reason in of(hot, "NBR").reasons)


def test_one_material_alone_is_not_the_cheapest_of_several() -> None:
    found = lip_duty(
        shaft_mm=50, speed=speed("200rpm"), oil="EP gear oil", oil_temp_c=160, vented=True
    )
    assert found.best == ("PTFE",)
    assert found.reasons[0] == "only PTFE stands it"


@pytest.mark.parametrize("pressure_bar", [0.3, 0.31, 0.5])
def test_what_the_speed_takes_away_is_said_before_the_limit_of_the_shaft(
    pressure_bar: float,
) -> None:
    found = pressure_duty(shaft_mm=80, surface_mps=12.57, pressure_bar=pressure_bar)
    assert found.verdict == "no-go"
    assert found.reasons == (f"{pressure_bar} bar at 12.6 m/s is too much: it has to run vented",)
    slow = pressure_duty(shaft_mm=80, surface_mps=1.0, pressure_bar=0.5)
    assert slow.reasons == ("0.5 bar is over 0.3 bar, a plain lip's limit here",)
