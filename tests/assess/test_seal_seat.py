"""The seal's seats: bore, counterface, pocket and chamfers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.assess.seal_seat import (
    Check,
    bore_chamfer,
    counterface,
    pocket,
    seal_bore,
    seat_limits,
    shaft_chamfer,
    widths_that_fit,
)
from fitcheck.errors import InputError, OffTableError
from fitcheck.readings import Reading, read, reading_of
from fitcheck.tables import table

RANK = {"go": 0, "check": 1, "no-go": 2}
INCH = 25.4


def taken(*texts: str, tool: str = "bore-gauge") -> Reading:
    return read(place="x", texts=texts, tool=tool)


# The standards' own rows, both sides of a step: seat, nominal in mm, lower and upper in um.
ISO6194_SEATS = [
    ("bore", 30, 0, 33),
    ("bore", 30.5, 0, 39),
    ("bore", 50, 0, 39),
    ("bore", 52, 0, 46),
    ("bore", 80, 0, 46),
    ("bore", 80.5, 0, 54),
    ("bore", 180, 0, 63),
    ("bore", 500, 0, 97),
    ("shaft", 10, -90, 0),
    ("shaft", 10.5, -110, 0),
    ("shaft", 30, -130, 0),
    ("shaft", 35, -160, 0),
    ("shaft", 50.5, -190, 0),
    ("shaft", 120, -220, 0),
    ("shaft", 400.5, -400, 0),
]
RMA_OS4_SEATS = [
    ("bore", 3.0, -0.001, 0.001),
    ("bore", 3.001, -0.0015, 0.0015),
    ("bore", 6.0, -0.0015, 0.0015),
    ("bore", 10.0, -0.002, 0.002),
    ("bore", 10.5, -0.004, 0.002),
    ("bore", 40.0, -0.006, 0.002),
    ("bore", 60.0, -0.010, 0.002),
    ("shaft", 4.0, -0.003, 0.003),
    ("shaft", 4.001, -0.004, 0.004),
    ("shaft", 10.0, -0.005, 0.005),
    ("shaft", 10.5, -0.006, 0.006),
]


@pytest.mark.parametrize(("seat", "size_mm", "lower_um", "upper_um"), ISO6194_SEATS)
def test_metric_seats(seat: str, size_mm: float, lower_um: float, upper_um: float) -> None:
    found = seat_limits(seat=seat, size_mm=size_mm, system="metric")
    assert (found.lower_um, found.upper_um) == (lower_um, upper_um)
    assert found.tolerance_class == {"bore": "H8", "shaft": "h11"}[seat]
    assert "ISO 6194-1" in found.source
    assert "ISO 286" in found.source


@pytest.mark.parametrize(("seat", "size_in", "lower_in", "upper_in"), RMA_OS4_SEATS)
def test_inch_seats(seat: str, size_in: float, lower_in: float, upper_in: float) -> None:
    found = seat_limits(seat=seat, size_mm=size_in * INCH, system="inch")
    assert (found.lower_um, found.upper_um) == pytest.approx(
        (lower_in * INCH * 1000, upper_in * INCH * 1000)
    )
    assert "RMA OS-4" in found.source


@pytest.mark.parametrize(
    ("seat", "size_mm", "system", "words"),
    [
        ("bore", 6.0, "metric", "over 6 up to and including 540 mm"),
        ("bore", 541.0, "metric", "over 6 up to and including 540 mm"),
        ("shaft", 501.0, "metric", "over 3 up to and including 500 mm"),
        ("bore", 61 * INCH, "inch", "over 0 up to and including 60 in"),
    ],
)
def test_seats_off_the_table_are_refused(
    seat: str, size_mm: float, system: str, words: str
) -> None:
    with pytest.raises(OffTableError, match=words):
        seat_limits(seat=seat, size_mm=size_mm, system=system)


def test_unknown_words_are_refused() -> None:
    reading = taken("52mm")
    with pytest.raises(InputError, match="no such system of sizes"):
        seal_bore(bore_mm=52, system="imperial", measured=reading)
    with pytest.raises(InputError, match="Use metal or rubber or unknown"):
        seal_bore(bore_mm=52, system="metric", measured=reading, case="felt")
    with pytest.raises(InputError, match="no such seat"):
        seat_limits(seat="pocket", size_mm=52, system="metric")
    with pytest.raises(InputError, match="the diameter must be a number larger than zero"):
        counterface(shaft_mm=-1, system="metric", measured=reading)


def test_bore_in_class_names_the_press_of_the_case() -> None:
    # Case 52: +0.09 to +0.23 metal, +0.20 to +0.35 rubber (ISO 6194-1); bore at +0.02.
    metal = seal_bore(bore_mm=52, system="metric", measured=taken("52.02"), case="metal")
    assert metal.verdict == "go"
    assert metal.measured_um == pytest.approx(20)
    assert metal.press_um == pytest.approx((70, 210))
    assert "a new metal case sits 70 to 210 um tight" in metal.reason
    either = seal_bore(bore_mm=52, system="metric", measured=taken("52.02"))
    assert either.press_um is None
    assert "a new rubber-covered case sits 180 to 330 um tight" in either.reason


def test_bore_by_caliper_is_too_coarse_for_its_class() -> None:
    found = seal_bore(bore_mm=52, system="metric", measured=taken("52.02", tool="caliper"))
    assert found.verdict == "check"
    assert "too coarse" in found.reason
    assert found.read_again == "bore: take it with a bore gauge, in two directions"


@pytest.mark.parametrize(
    ("text", "words", "advice"),
    [
        ("52.10", "oil gets past the case", "bush"),
        ("51.95", "goes in too hard", "clean the bore"),
    ],
)
def test_bore_outside_its_class(text: str, words: str, advice: str) -> None:
    found = seal_bore(bore_mm=52, system="metric", measured=taken(text), case="metal")
    assert found.verdict == "no-go"
    assert words in found.reason
    assert advice in found.advice


def test_inch_bore_by_its_own_limits() -> None:
    # 2.125 in: +/-0.001 in; metal case +0.003 to +0.008 in, rubber +0.007 to +0.013 in.
    good = seal_bore(bore_mm=2.125 * INCH, system="inch", measured=taken("2.1252in"), case="metal")
    assert good.verdict == "go"
    assert good.press_um == pytest.approx((0.0028 * 25400, 0.0078 * 25400))
    worn = seal_bore(bore_mm=2.125 * INCH, system="inch", measured=taken("2.1275in"))
    assert worn.verdict == "no-go"


def test_bore_beyond_the_table_of_cases_is_still_judged() -> None:
    found = seal_bore(bore_mm=25 * INCH, system="inch", measured=taken("25in"))
    assert found.verdict == "go"
    assert "not listed at this size" in found.reason
    assert found.press_um is None


def test_out_of_round_bore_is_never_go() -> None:
    found = seal_bore(bore_mm=52, system="metric", measured=taken("52.005", "52.035"))
    assert found.verdict == "check"
    assert "out of round" in found.reason


@pytest.mark.parametrize(
    ("text", "case", "press", "words"),
    [
        ("52.02", "metal", (70, 210), "sits 70 to 210 um tight"),
        ("52.10", "metal", (-10, 130), "sits from 10 um loose to 130 um tight"),
        ("52.30", "metal", (-210, -70), "sits 70 to 210 um loose"),
        ("52.10", "rubber", (100, 250), "sits 100 to 250 um tight"),
        ("51.95", "metal", (140, 280), "sits 140 to 280 um tight"),
    ],
)
def test_press_of_a_new_case(text: str, case: str, press: tuple[float, float], words: str) -> None:
    found = seal_bore(bore_mm=52, system="metric", measured=taken(text), case=case)
    assert found.press_um == pytest.approx(press)
    assert words in found.reason


@pytest.mark.parametrize(
    ("text", "system", "nominal_mm", "verdict"),
    [
        ("34.92@caliper", "metric", 35, "go"),
        ("34.98@caliper", "metric", 35, "check"),
        ("34.7@caliper", "metric", 35, "no-go"),
        ("34.98@micrometer", "metric", 35, "go"),
        ("35.5@caliper", "metric", 35, "no-go"),
        ("34.92@tape", "metric", 35, "check"),
        ("1.375in@caliper", "inch", 1.375 * INCH, "go"),
        ("1.369in@micrometer", "inch", 1.375 * INCH, "no-go"),
    ],
)
def test_counterface(text: str, system: str, nominal_mm: float, verdict: str) -> None:
    found = counterface(shaft_mm=nominal_mm, system=system, measured=taken(text))
    assert found.verdict == verdict
    assert bool(found.read_again) == (verdict == "check")


def test_counterface_says_what_stands_on_it_or_is_missing() -> None:
    over = counterface(shaft_mm=35, system="metric", measured=taken("35.5", tool="caliper"))
    assert "an earlier sleeve, a ring left on" in over.reason
    under = counterface(shaft_mm=35, system="metric", measured=taken("34.6", tool="caliper"))
    assert "too little grip" in under.reason
    assert "sleeve the shaft" in under.advice


@pytest.mark.parametrize(
    ("depth", "verdict", "words"),
    [
        # Width 7: JIS asks for 8.2, ISO 7.9, DIN 7.3 mm.
        ("8.5", "go", "JIS B 2402-1 asks for 8.2 mm or more"),
        ("7.7", "check", "DIN 3760 is content with 7.3"),
        ("7.3", "check", "sure to 0.04 mm"),
        ("7.1", "no-go", "the least any standard asks for is 7.3 mm"),
        ("6.5", "no-go", "stand 0.50 mm proud"),
    ],
)
def test_pocket(depth: str, verdict: str, words: str) -> None:
    found = pocket(width_mm=7, system="metric", measured=taken(depth, tool="depth-gauge"))
    assert found.verdict == verdict
    assert words in found.reason
    assert bool(found.advice or found.read_again) == (verdict != "go")


def test_pocket_steps_at_a_width_of_10_mm() -> None:
    at = pocket(width_mm=10, system="metric", measured=taken("12", tool="depth-gauge"))
    assert "asks for 11.2 mm or more" in at.reason
    over = pocket(width_mm=10.5, system="metric", measured=taken("13", tool="depth-gauge"))
    assert "asks for 12 mm or more" in over.reason


def test_pocket_out_of_square_and_inch() -> None:
    found = pocket(width_mm=7, system="inch", measured=taken("8.5", "8.8", tool="depth-gauge"))
    assert found.verdict == "check"
    assert "the readings differ by 0.30 mm" in found.reason
    assert "no inch rule is listed" in found.reason
    assert found.read_again


def test_a_shallow_pocket_names_the_listed_widths_that_fit() -> None:
    shallow = taken("7.5", tool="depth-gauge")
    found = pocket(width_mm=10, system="metric", measured=shallow, widths_mm=(6, 7, 10))
    assert "choose a narrower seal (listed: 7, 6 mm)" in found.advice
    bare = pocket(width_mm=10, system="metric", measured=shallow, widths_mm=(10,))
    assert "choose a narrower seal, or" in bare.advice


def test_a_shallow_pocket_read_coarsely_has_no_depth_to_name_widths_by() -> None:
    found = pocket(
        width_mm=10, system="metric", measured=taken("0.5", tool="tape"), widths_mm=(7, 10)
    )
    assert (found.verdict, "listed" in found.advice) == ("no-go", False)


def test_widths_that_fit() -> None:
    assert widths_that_fit(pocket_mm=8.3, widths_mm=(7, 8, 10, 7)) == (8, 7)
    assert widths_that_fit(pocket_mm=8.29, widths_mm=(7, 8, 10)) == (7,)
    assert widths_that_fit(pocket_mm=5, widths_mm=(7, 8)) == ()
    # Wider than DIN's figure goes: then ISO's b + 1.2 is the least.
    assert widths_that_fit(pocket_mm=26.2, widths_mm=(25,)) == (25,)
    assert widths_that_fit(pocket_mm=26.1, widths_mm=(25,)) == ()
    with pytest.raises(InputError, match="pocket depth must be a number larger than zero"):
        widths_that_fit(pocket_mm=0, widths_mm=(7,))


@given(depth=st.floats(0.5, 40), more=st.floats(0, 10))
def test_a_deeper_pocket_takes_no_fewer_widths(depth: float, more: float) -> None:
    widths = (5, 6, 7, 8, 10, 12, 15, 20, 25)
    few = widths_that_fit(pocket_mm=depth, widths_mm=widths)
    many = widths_that_fit(pocket_mm=depth + more, widths_mm=widths)
    assert set(few) <= set(many)
    for width in few:
        reading = reading_of(place="pocket", value_mm=depth)
        assert pocket(width_mm=width, system="metric", measured=reading).verdict != "no-go"


@pytest.mark.parametrize(
    ("shaft_mm", "end", "verdict", "words"),
    [
        (35, "31.5", "go", "32 mm or less"),
        (35, "34", "check", "cut or turned over"),
        (35, "32", "check", "sure to 0.05 mm"),
        (20, "17.9", "go", "DIN 3760 asks for 17.7"),
        (30, "27.0", "go", "27.5 mm or less"),
        (30.5, "27.0", "go", "27.5 mm or less"),
        (480, "468", "go", "469 mm or less"),
    ],
)
def test_shaft_chamfer(shaft_mm: float, end: str, verdict: str, words: str) -> None:
    found = shaft_chamfer(shaft_mm=shaft_mm, measured_small_end=taken(end, tool="caliper"))
    assert found.verdict == verdict
    assert words in found.reason


def test_shaft_chamfer_refusals() -> None:
    with pytest.raises(InputError, match="can't be larger than the 35 mm shaft"):
        shaft_chamfer(shaft_mm=35, measured_small_end=taken("36"))
    with pytest.raises(OffTableError, match="up to and including 500 mm"):
        shaft_chamfer(shaft_mm=501, measured_small_end=taken("480"))


@pytest.mark.parametrize(
    ("width_mm", "length", "verdict", "words"),
    [
        (7, "0.85", "go", "wanted 0.7 to 1 mm"),
        (12, "1.15", "go", "wanted 1 to 1.3 mm"),
        (7, "0.3", "check", "shave"),
        (7, "1.5", "check", "less straight bore"),
        (7, "0.71", "check", "sure to 0.05 mm"),
    ],
)
def test_bore_chamfer(width_mm: float, length: str, verdict: str, words: str) -> None:
    found = bore_chamfer(width_mm=width_mm, measured_length=taken(length, tool="caliper"))
    assert found.verdict == verdict
    assert words in found.reason
    assert bool(found.advice or found.read_again) == (verdict != "go")


@given(
    off=st.floats(-0.4, 0.4),
    more=st.floats(0, 0.4),
    tool=st.sampled_from(("tape", "caliper", "micrometer", "bore-gauge")),
    system=st.sampled_from(("metric", "inch")),
    bore=st.booleans(),
)
def test_farther_out_never_gets_a_better_verdict(
    off: float, more: float, tool: str, system: str, bore: bool
) -> None:
    limits = seat_limits(seat="bore" if bore else "shaft", size_mm=52, system=system)
    middle = (limits.lower_um + limits.upper_um) / 2000

    def found(deviation: float) -> Check:
        reading = reading_of(place="x", value_mm=52 + deviation, instrument_name=tool)
        if bore:
            return seal_bore(bore_mm=52, system=system, measured=reading)
        return counterface(shaft_mm=52, system=system, measured=reading)

    farther = off + more if off > middle else off - more
    assert RANK[found(farther).verdict] >= RANK[found(off).verdict]


@given(
    grow=st.floats(0, 0.5),
    more=st.floats(0, 0.5),
    case=st.sampled_from(("metal", "rubber")),
    system=st.sampled_from(("metric", "inch")),
)
def test_a_bore_worn_further_never_holds_a_case_better(
    grow: float, more: float, case: str, system: str
) -> None:
    def found(deviation: float) -> Check:
        reading = reading_of(place="x", value_mm=52.03 + deviation, instrument_name="bore-gauge")
        return seal_bore(bore_mm=52, system=system, measured=reading, case=case)

    assert RANK[found(grow + more).verdict] >= RANK[found(grow).verdict]
    if found(grow).verdict == "go":
        press = found(grow).press_um
        assert press is not None
        assert 0 < press[0] < press[1]


@pytest.mark.parametrize("name", ["din3760", "iso6194", "metric_other"])
def test_every_listed_metric_seal_has_its_seats(name: str) -> None:
    for row in table(f"seals/{name}").rows:
        shaft, bore = row.maybe("shaft_mm"), row.maybe("bore_mm")
        if shaft is None or bore is None:
            continue
        for case in ("metal", "rubber"):
            measured = reading_of(place="bore", value_mm=bore, instrument_name="bore-gauge")
            found = seal_bore(bore_mm=bore, system="metric", measured=measured, case=case)
            assert found.press_um is not None
            assert found.press_um[0] > 0
        land = reading_of(place="shaft", value_mm=shaft - 0.05, instrument_name="micrometer")
        assert counterface(shaft_mm=shaft, system="metric", measured=land).verdict != "no-go"


def test_a_coarse_reading_is_told_from_a_borderline_part() -> None:
    coarse = seal_bore(bore_mm=52, system="metric", measured=taken("52.02", tool="caliper"))
    over = seal_bore(bore_mm=52, system="metric", measured=taken("52.06", tool="caliper"))
    oval = seal_bore(bore_mm=52, system="metric", measured=taken("52.005", "52.035"))
    assert [c.verdict for c in (coarse, over, oval)] == ["check"] * 3
    assert [c.holds_as_read for c in (coarse, over, oval)] == [True, False, False]
    deep = pocket(width_mm=7, system="metric", measured=taken("8.2", tool="caliper"))
    assert (deep.verdict, deep.holds_as_read) == ("check", True)


def test_answer_prints_the_check() -> None:
    found = seal_bore(bore_mm=52, system="metric", measured=taken("52.02"), case="metal")
    answer = found.as_json()
    assert answer["press_um"] == {"least": 70, "greatest": 210}
    assert answer["measured_um"] == 20
    assert answer["verdict"] == "go"
    assert bore_chamfer(width_mm=7, measured_length=taken("0.85")).as_json()["press_um"] is None


@pytest.mark.parametrize("seat", ["shaft", "bore"])
def test_every_inch_edge_belongs_to_the_step_that_ends_there(seat: str) -> None:
    for row in table("seal_tolerances/inch_seat_limits").rows:
        incl = row.maybe("incl_in")
        if row.text("seat") != seat or incl is None:
            continue
        for size_mm in (incl * INCH, round(incl * INCH, 5)):
            found = seat_limits(seat=seat, size_mm=size_mm, system="inch")
            assert found.lower_um == pytest.approx(row.number("lower_in") * 25400), incl
            assert found.upper_um == pytest.approx(row.number("upper_in") * 25400), incl


def test_the_press_at_every_inch_edge_is_that_of_its_step() -> None:
    for row in table("seal_tolerances/inch_case_allowance").rows:
        incl = row.number("incl_in")
        if not row.flag("preferred"):
            continue
        bore_mm = round(incl * INCH, 5)
        found = seal_bore(
            bore_mm=bore_mm,
            system="inch",
            measured=taken(f"{incl}in"),
            case=row.text("case"),
        )
        assert found.press_um is not None
        least, greatest = (row.number(f"allowance_{end}_in") * 25400 for end in ("min", "max"))
        assert found.press_um == pytest.approx((least, greatest), abs=0.02), incl


def test_a_small_end_that_is_as_it_should_be_does_not_read_as_a_fault() -> None:
    found = shaft_chamfer(shaft_mm=80, measured_small_end=taken("75.00", tool="caliper"))
    assert found.verdict == "go"
    assert found.reason.startswith("the small end is 75.00 mm, as it should be: ")
    thick = shaft_chamfer(shaft_mm=80, measured_small_end=taken("79.00", tool="caliper"))
    assert "mm; it should be" in thick.reason
