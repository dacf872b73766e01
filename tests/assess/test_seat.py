"""Bearing seats: which ring is tight, verdicts under uncertainty, and words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.assess.seat import (
    Seat,
    bearing_bore_limits_mm,
    bearing_od_limits_mm,
    housing_seat,
    journal_seat,
    ring_load,
)
from fitcheck.assess.seat_practice import wanted_limits
from fitcheck.errors import InputError, OffTableError
from fitcheck.judging import judge
from fitcheck.parts.bearing import dimension_limits, tolerance_rows
from fitcheck.readings import Reading, read, reading_of
from fitcheck.tables import Row, table

RANK = {"go": 0, "check": 1, "no-go": 2}
TURNING = ("hub", "shaft")
INSTRUMENTS = ("tape", "caliper", "micrometer", "bore-gauge")


def taken(*texts: str, tool: str = "micrometer") -> Reading:
    return read(place="journal", texts=texts, tool=tool)


def journal(*texts: str, tool: str = "micrometer", turning: str = "hub") -> Seat:
    return journal_seat(
        bore_mm=50, system="metric", turning=turning, measured=taken(*texts, tool=tool)
    )


def housing(*texts: str, turning: str = "hub", tool: str = "bore-gauge") -> Seat:
    return housing_seat(
        od_mm=62, system="metric", turning=turning, measured=taken(*texts, tool=tool)
    )


@pytest.mark.parametrize(
    ("ring", "turning", "load"),
    [
        ("cup", "hub", "rotating"),
        ("cone", "hub", "stationary"),
        ("cup", "shaft", "stationary"),
        ("cone", "shaft", "rotating"),
    ],
)
def test_the_ring_on_the_turning_member_is_held_tight(ring: str, turning: str, load: str) -> None:
    assert ring_load(ring=ring, turning=turning) == load


def test_answer_has_the_promised_keys() -> None:
    answer = journal("49.985").as_json()
    assert list(answer) == [
        "seat",
        "class",
        "fit_um",
        "measured_um",
        "verdict",
        "reason",
        "source",
    ]
    assert answer["seat"] == "journal"
    assert answer["measured_um"] == -15
    assert answer["fit_um"] == {"tight": 3, "loose": 25}
    assert answer["verdict"] == "go"
    assert "ISO 286" in str(answer["source"])
    assert "ISO 492" in str(answer["source"])
    assert "from memory" in str(answer["source"])


def test_actual_fit_is_measured_seat_against_the_bearings_tolerance() -> None:
    seat = journal("49.985")
    assert seat.actual_tight_um == pytest.approx(-3)
    assert seat.actual_loose_um == pytest.approx(15)
    assert "3 to 15 um loose" in seat.reason
    cup = housing("61.970")
    assert cup.actual_tight_um == pytest.approx(30)
    assert cup.actual_loose_um == pytest.approx(-14)
    assert "14 to 30 um tight" in cup.reason
    tight = journal("50.017", turning="shaft")
    assert tight.verdict == "go"
    assert "17 to 29 um tight" in tight.reason


def test_a_caliper_is_too_coarse_and_says_what_to_take() -> None:
    seat = journal("49.98", tool="caliper")
    assert seat.verdict == "check"
    assert "too coarse" in seat.reason
    assert seat.holds_as_read
    assert not journal("50.01", tool="caliper").holds_as_read
    assert seat.read_again == "journal: take it with a micrometer, top and bottom"
    cup = housing("61.97", tool="caliper")
    assert cup.verdict == "check"
    assert "bore gauge" in cup.read_again


def test_a_caliper_is_enough_where_the_seat_is_far_out() -> None:
    assert journal("49.90", tool="caliper").verdict == "no-go"


def test_a_fine_reading_at_the_edge_is_taken_again() -> None:
    seat = journal("49.990")
    assert seat.verdict == "check"
    assert "at the edge" in seat.reason
    assert "three readings or more with the micrometer" in seat.read_again
    outside = journal("49.970")
    assert outside.verdict == "check"
    assert "5 um outside g6 (-25 to -9 um)" in outside.reason
    assert "too loose" in outside.reason
    assert not outside.advice


def test_not_measured_is_a_check_with_the_reading_to_take() -> None:
    seat = housing_seat(od_mm=62, system="metric", turning="hub")
    assert (seat.verdict, seat.measured_um, seat.actual_tight_um) == ("check", None, None)
    assert "not measured" in seat.reason
    assert "N7 (-39 to -9 um)" in seat.reason
    assert seat.read_again
    assert seat.as_json()["measured_um"] is None


@pytest.mark.parametrize(
    ("seat", "words"),
    [
        (journal("49.95"), "too loose: it tilts and creeps, and hurts the seal"),
        (journal("50.02"), "too tight to slide, so the nut can't set"),
        (journal("49.97", turning="shaft"), "can creep on the turning shaft"),
        (journal("50.06", turning="shaft"), "ring can crack"),
        (housing("62.05"), "the cup can turn in its bore: the hub is worn"),
        (housing("62.005"), "the cup is held too lightly and may turn: the hub is worn"),
        (housing("61.90"), "the hub can crack"),
        (housing("62.06", turning="shaft"), "too loose and creeps: the housing is worn"),
        (housing("61.97", turning="shaft"), "too tight to slide for adjustment"),
        (housing("63.00"), "too far off for wear"),
        (journal("49.00"), "too far off for wear"),
    ],
)
def test_no_go_says_what_it_means_and_what_to_do(seat: Seat, words: str) -> None:
    assert seat.verdict == "no-go"
    assert words in seat.reason
    assert seat.advice
    assert not seat.read_again


def test_a_cup_that_need_not_slide_is_only_tighter_than_wanted() -> None:
    seat = housing_seat(
        od_mm=62,
        system="metric",
        turning="shaft",
        application="fixed",
        measured=taken("61.90", tool="bore-gauge"),
    )
    assert "sits tighter than this use wants" in seat.reason
    cone = journal_seat(
        bore_mm=50,
        system="metric",
        turning="hub",
        application="idler",
        measured=taken("50.03"),
    )
    assert cone.tolerance_class == "h6"
    assert cone.verdict == "no-go"


def test_nothing_is_said_to_lie_nothing_outside_or_less_than_nothing() -> None:
    # A tenth of a um over its class is outside, and no fit is -0 um loose.
    assert "less than 1 um outside" in journal("49.9912@micrometer").reason
    assert "the fit is 0 to 12 um loose" in journal("49.9877@micrometer").reason


def test_out_of_round_is_never_go() -> None:
    seat = housing("61.960", "61.995")
    assert seat.verdict == "check"
    assert "the readings differ by 0.035 mm: out of round or worn" in seat.reason
    assert seat.read_again


def test_two_worn_places_are_not_hidden_by_the_mean() -> None:
    seat = journal("49.985", "49.984", "49.86", "49.85")
    assert seat.verdict == "no-go"
    assert "125 um outside g6 (-25 to -9 um) at its worst" in seat.reason
    assert "too loose" in seat.reason
    raised = journal("49.985", "49.984", "50.10", "50.11")
    assert raised.verdict == "no-go"
    assert "too tight to slide" in raised.reason
    # One stray reading alone does not condemn the part.
    assert journal("49.985", "49.86").verdict == "check"


def test_light_alloy_asks_for_more_grip() -> None:
    hub = housing_seat(od_mm=62, system="metric", turning="hub", housing_material="light-alloy")
    assert hub.tolerance_class == "R7"
    fixed = housing_seat(od_mm=62, system="metric", turning="shaft", housing_material="light-alloy")
    assert fixed.tolerance_class == "P7"
    inch = housing_seat(od_mm=59.131, system="inch", turning="hub", housing_material="light-alloy")
    assert inch.tolerance_class == "inch practice, turning hub"
    assert "light-alloy hub grows away" in inch.reason
    inch = housing_seat(
        od_mm=59.131, system="inch", turning="shaft", housing_material="light-alloy"
    )
    assert inch.tolerance_class == "inch practice, turning shaft, fixed"


def test_iso_classes_never_go_with_inch_bearings() -> None:
    for turning in TURNING:
        seat = journal_seat(bore_mm=31.75, system="inch", turning=turning)
        assert "ISO" not in seat.source
        assert seat.tolerance_class == f"inch practice, turning {turning}"


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"system": "whitworth"}, "whitworth: no such system of sizes. Use metric or inch"),
        ({"turning": "both"}, "both: no such turning member. Use hub or shaft"),
        ({"application": "gearbox"}, "Use wheel-hub or wheel-hub-thin or idler"),
        ({"housing_material": "wood"}, "wood: no such housing material"),
        ({"od_mm": 0.0}, "0 mm: the outside diameter must be a number larger than zero"),
        ({"od_mm": float("nan")}, "larger than zero"),
    ],
)
def test_wrong_words_are_refused_and_the_right_ones_named(
    wrong: dict[str, object], words: str
) -> None:
    request: dict[str, object] = {"od_mm": 62.0, "system": "metric", "turning": "hub"} | wrong
    with pytest.raises(InputError, match=words):
        housing_seat(**request)  # type: ignore[arg-type]


@given(
    lower=st.floats(-200, 100),
    band=st.floats(5, 300),
    standard_error=st.floats(0.5, 500),
    near=st.floats(0, 400),
    farther=st.floats(0, 400),
    side=st.sampled_from((-1.0, 1.0)),
)
def test_farther_from_the_middle_is_never_better(
    *, lower: float, band: float, standard_error: float, near: float, farther: float, side: float
) -> None:
    middle = lower + band / 2

    def verdict(distance: float) -> str:
        return judge(
            deviation_um=middle + side * distance,
            lower_um=lower,
            upper_um=lower + band,
            standard_error_um=standard_error,
        ).verdict

    assert RANK[verdict(near + farther)] >= RANK[verdict(near)]
    if near > band / 2:
        assert verdict(near) != "go"


@given(
    off=st.floats(-0.3, 0.3),
    more=st.floats(0, 0.3),
    tool=st.sampled_from(INSTRUMENTS),
    turning=st.sampled_from(TURNING),
    system=st.sampled_from(("metric", "inch")),
)
def test_a_seat_measured_farther_out_never_gets_a_better_verdict(
    off: float, more: float, tool: str, turning: str, system: str
) -> None:
    def seat(deviation: float) -> Seat:
        reading = reading_of(place="x", value_mm=50.8 + deviation, instrument_name=tool)
        return journal_seat(bore_mm=50.8, system=system, turning=turning, measured=reading)

    first = seat(off)
    middle = (first.lower_um + first.upper_um) / 2000
    second = seat(off + more if off > middle else off - more)
    assert RANK[second.verdict] >= RANK[first.verdict]


@given(
    size=st.floats(20, 240),
    system=st.sampled_from(("metric", "inch")),
    turning=st.sampled_from(TURNING),
    off=st.floats(-0.1, 0.1),
)
def test_tightest_is_never_looser_than_loosest(
    size: float, system: str, turning: str, off: float
) -> None:
    reading = reading_of(place="x", value_mm=size + off)
    seats = (
        journal_seat(bore_mm=size, system=system, turning=turning, measured=reading),
        housing_seat(od_mm=size, system=system, turning=turning, measured=reading),
    )
    for seat in seats:
        assert seat.tight_um >= -seat.loose_um
        assert seat.actual_tight_um is not None
        assert seat.actual_loose_um is not None
        assert seat.actual_tight_um >= -seat.actual_loose_um
        # Inside the class, the actual fit lies inside the wanted one.
        assert seat.measured_um is not None
        if seat.lower_um <= seat.measured_um <= seat.upper_um:
            assert seat.actual_tight_um <= seat.tight_um + 1e-6
            assert seat.actual_loose_um <= seat.loose_um + 1e-6
    if turning == "hub":
        assert seats[0].loose_um > 0, "the cone may slide on the spindle"
        assert seats[1].tight_um > 0, "the cup is held in the hub"
    else:
        assert seats[0].loose_um < 0, "the cone is tight on the shaft"


def bearings() -> list[tuple[str, float, float, str]]:
    """Every listed bearing: name, bore and outside in mm, and how it is toleranced."""

    def size(row: Row, name: str) -> float:
        inches = row.maybe(f"{name}_in")
        return row.number(f"{name}_mm") if inches is None else inches * 25.4

    found = [
        (row.text("designation"), row.number("bore_mm"), row.number("od_mm"), "metric")
        for row in table("tapered/metric").rows
    ]
    return found + [
        (
            f"{row.text('cone')}/{row.text('cup')}",
            size(row, "bore"),
            size(row, "od"),
            "inch" if row.text("native_unit") == "in" else "metric",
        )
        for row in table("tapered/inch").rows
    ]


@pytest.mark.parametrize("turning", TURNING)
def test_every_listed_bearing_has_its_seats(turning: str) -> None:
    for name, bore_mm, od_mm, system in bearings():
        try:
            journal_ = journal_seat(bore_mm=bore_mm, system=system, turning=turning)
            housing_ = housing_seat(od_mm=od_mm, system=system, turning=turning)
        except OffTableError as error:
            pytest.fail(f"{name}: {error}")
        for seat in (journal_, housing_):
            assert seat.source, name
            assert -200 < -seat.loose_um <= seat.tight_um < 250, name


@pytest.mark.parametrize("dimension", ["bore", "od"])
def test_every_inch_edge_is_the_same_to_the_seat_and_to_the_search(dimension: str) -> None:
    limits_of = {"bore": bearing_bore_limits_mm, "od": bearing_od_limits_mm}[dimension]
    for row in tolerance_rows(dimension, "inch"):
        size_mm = round(row.number("incl_in") * 25.4, 5)
        found = limits_of(**{f"{dimension}_mm": size_mm}, system="inch")
        assert found.upper_um == pytest.approx(row.number("upper_in") * 25400)
        assert found.lower_um == pytest.approx(row.number("lower_in") * 25400)
        searched = dimension_limits(dimension, size_mm, "inch")
        assert (found.lower_um, found.upper_um) == pytest.approx([v * 1000 for v in searched])


def test_inch_practice_at_every_edge_is_that_of_its_step() -> None:
    for row in table("fit_practice/inch").rows:
        incl = row.maybe("incl_in")
        if incl is None or not row.flag("default"):
            continue
        ring, load = row.text("ring"), row.text("load")
        turning = next(t for t in ("hub", "shaft") if ring_load(ring=ring, turning=t) == load)
        found = wanted_limits(
            ring=ring, turning=turning, size_mm=round(incl * 25.4, 5), system="inch"
        )
        assert found.upper_um == pytest.approx(row.number("seat_upper_in") * 25400)
        assert found.lower_um == pytest.approx(row.number("seat_lower_in") * 25400)
