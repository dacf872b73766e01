"""The worn counterface: depth, the ladder on both sides of every step, each way, the ranking."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.assess.counterface import (
    WAYS,
    Counterface,
    Grade,
    chance_between,
    grade,
    groove_depth_error_mm,
    groove_depth_mm,
    limit,
    rungs,
    section_left,
    surely,
    surface_speed_mps,
)
from fitcheck.assess.covered import explained
from fitcheck.assess.machining import next_seal, next_seals, thick_sleeve
from fitcheck.assess.sleeving import lip_band_mm, thin_sleeve
from fitcheck.assess.ways import Way, move_lip, overall, polish, ranked, readings_wanted
from fitcheck.assess.ways import replace as replace_part
from fitcheck.errors import DataError
from fitcheck.limits import class_limits
from fitcheck.parts.size_text import parse_size
from fitcheck.verdicts import VERDICTS

SEAL = parse_size("35 x 52 x 7")
SURE = Counterface(depth_mm=0.05, land_mm=34.98, land_error_mm=0.003, seal=SEAL)
JUDGES = {
    "polish": polish,
    "move-lip": move_lip,
    "thin-sleeve": thin_sleeve,
    "thick-sleeve": thick_sleeve,
    "next-seal": next_seal,
    "replace": replace_part,
}


def graded(way: str, c: Counterface) -> Grade:
    """The grade of a way that the ladder lists."""
    found = grade(way, c)
    assert found is not None
    return found


def judged(way: str, **changes: object) -> Way:
    """A way judged on a sure counterface with some changes."""
    c = replace(SURE, **changes)  # type: ignore[arg-type]
    return JUDGES[way](graded(way, c), c)


def every_way(**changes: object) -> list[Way]:
    """All ways, ranked."""
    c = replace(SURE, **changes)  # type: ignore[arg-type]
    return ranked([JUDGES[way](g, c) for way in WAYS if (g := grade(way, c)) is not None])


# --- formulas -----------------------------------------------------------------------------------


def test_the_depth_is_half_the_difference() -> None:
    assert groove_depth_mm(land_mm=35.0, track_mm=34.8) == 0.1
    assert groove_depth_mm(land_mm=34.8, track_mm=35.0) == -0.1


def test_the_errors_of_both_diameters_count_half() -> None:
    assert groove_depth_error_mm(land_error_mm=0.006, track_error_mm=0.008) == pytest.approx(0.005)


def test_surface_speed() -> None:
    assert surface_speed_mps(diameter_mm=100.0, speed_rpm=600.0) == pytest.approx(3.14159, rel=1e-5)


def test_a_shaft_turned_to_half_keeps_an_eighth() -> None:
    assert section_left(before_mm=40.0, after_mm=20.0) == pytest.approx(0.125)


def test_chance_between_without_error_keeps_over_and_including() -> None:
    for value, wanted in ((0.1, 0.0), (0.1001, 1.0), (0.3, 1.0), (0.3001, 0.0)):
        assert chance_between(value_mm=value, error_mm=0.0, low_mm=0.1, high_mm=0.3) == wanted


def test_chances_of_all_steps_add_up() -> None:
    edges = [(-1e9, 0.02), (0.02, 0.1), (0.1, 0.3), (0.3, 0.5), (0.5, None)]
    total = sum(
        chance_between(value_mm=0.12, error_mm=0.05, low_mm=low, high_mm=high)
        for low, high in edges
    )
    assert total == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("chance", "verdict"), [(0.95, "go"), (0.94, "check"), (0.06, "check"), (0.04, "no-go")]
)
def test_sure_from_ninety_five_percent(chance: float, verdict: str) -> None:
    assert surely(chance) == verdict


def test_an_unknown_limit_is_a_fault_of_the_table() -> None:
    with pytest.raises(DataError, match="no such limit"):
        limit("nothing_mm")


# --- the ladder ---------------------------------------------------------------------------------

EDGES = sorted({row.number("over_mm") for way in WAYS for row in rungs(way)} - {0.0})
ROWS = [(way, row) for way in WAYS for row in rungs(way)]


def test_the_ladder_has_four_edges() -> None:
    assert EDGES == [0.02, 0.1, 0.3, 0.5]


@pytest.mark.parametrize(("way", "row"), ROWS, ids=lambda x: getattr(x, "table", x))
def test_a_step_starts_over_one_depth_and_includes_the_other(way: str, row: object) -> None:
    over, incl = row.number("over_mm"), row.maybe("incl_mm")  # type: ignore[attr-defined]
    text = row.text  # type: ignore[attr-defined]
    slow = Counterface(depth_mm=0.0, speed_mps=1.0)
    for depth in (over + 0.0001, incl if incl is not None else over + 5.0):
        found = graded(way, replace(slow, depth_mm=depth))
        assert (found.verdict, found.rank) == (text("verdict"), int(text("rank")))
        assert text("condition") in found.reasons


WANTED = {
    # depth: polish, move-lip, thin, thick, next, replace; None where the ladder lists nothing
    0.0: ("go", "go", "check", None, None, None),
    0.02: ("go", "go", "check", None, None, None),
    0.0201: ("no-go", "go", "go", "go", "check", "go"),
    0.10: ("no-go", "go", "go", "go", "check", "go"),
    0.1001: ("no-go", "check", "go", "go", "check", "go"),
    0.30: ("no-go", "check", "go", "go", "check", "go"),
    0.3001: ("no-go", "check", "check", "go", "check", "go"),
    0.50: ("no-go", "check", "check", "go", "check", "go"),
    0.5001: ("no-go", "no-go", "no-go", "go", "check", "go"),
}


@pytest.mark.parametrize(("depth", "verdicts"), WANTED.items())
def test_both_sides_of_every_step(depth: float, verdicts: tuple[str | None, ...]) -> None:
    c = Counterface(depth_mm=depth, speed_mps=1.0)
    found = [grade(way, c) for way in WAYS]
    assert tuple(g.verdict if g else None for g in found) == verdicts


@pytest.mark.parametrize("edge", EDGES)
def test_a_depth_that_may_lie_on_either_side_asks_for_a_micrometer(edge: float) -> None:
    c = Counterface(depth_mm=edge, depth_error_mm=0.005, speed_mps=1.0)
    straddling = [g for way in WAYS if (g := grade(way, c)) is not None and g.straddles]
    assert straddling
    for found in straddling:
        assert found.verdict == "check"
        assert [(a.reading, a.instrument) for a in found.asks] == [("track", "micrometer")]
        assert any("reaches over a step" in reason for reason in found.reasons)


def test_a_way_that_is_worth_the_same_on_both_sides_is_not_put_in_doubt() -> None:
    found = graded("thin-sleeve", Counterface(depth_mm=0.1, depth_error_mm=0.01))
    assert (found.verdict, found.straddles) == ("go", False)
    assert "fill" in found.needs


def test_pits_go_by_the_last_step_whatever_the_depth() -> None:
    found = graded("thin-sleeve", Counterface(depth_mm=0.03, damage=("pitted",)))
    assert found.verdict == "no-go"
    assert found.reasons[0].startswith("pitted")


def test_the_low_speed_step_wants_a_speed_and_refuses_a_high_one() -> None:
    low = limit("low_speed_mps").number("value")
    at = [
        graded("thin-sleeve", Counterface(depth_mm=0.4, speed_mps=speed))
        for speed in (None, low, low + 0.001)
    ]
    assert [g.verdict for g in at] == ["check", "check", "no-go"]
    assert [a.reading for a in at[0].asks] == ["rpm"]
    assert at[1].asks == ()


def test_the_shop_may_edit_the_ladder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "counterface"
    folder.mkdir()
    (folder / "groove_ladder.csv").write_text(
        "over_mm,way,verdict,condition\n0.30,thin-sleeve,no-go,not in this shop\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    found = graded("thin-sleeve", Counterface(depth_mm=0.4, speed_mps=1.0))
    assert (found.verdict, found.reasons) == ("no-go", ("not in this shop",))
    assert "shop" in found.sources[0]


depths = st.floats(min_value=0.0, max_value=1.2)


@given(first=depths, second=depths, error=st.floats(min_value=0.0, max_value=0.05))
def test_a_deeper_groove_is_never_better_for_polishing(
    first: float, second: float, error: float
) -> None:
    shallow, deep = sorted((first, second))
    order = [
        VERDICTS.index(judged("polish", depth_mm=d, depth_error_mm=error).verdict)
        for d in (shallow, deep)
    ]
    assert order[0] <= order[1]


# On the first step a thin sleeve is more than the track asks for, so it starts over that.
sleeved = st.floats(min_value=0.1, max_value=1.2)


@given(first=sleeved, second=sleeved, error=st.floats(min_value=0.0, max_value=0.03))
def test_a_deeper_groove_is_never_better_for_a_thin_sleeve(
    first: float, second: float, error: float
) -> None:
    shallow, deep = sorted((first, second))
    order = [
        VERDICTS.index(judged("thin-sleeve", depth_mm=d, depth_error_mm=error).verdict)
        for d in (shallow, deep)
    ]
    assert order[0] <= order[1]


# --- moving the lip -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("room", "verdict"), [(2.0999, "no-go"), (2.1, "go"), (2.6, "go"), (0.0, "no-go")]
)
def test_the_lip_moves_when_the_bore_has_the_room(room: float, verdict: str) -> None:
    way = judged("move-lip", groove_width_mm=1.2, room_mm=room)
    assert way.verdict == verdict
    assert way.dimensions_mm["shift_min"] == 2.1


def test_the_preferred_shift_is_taken_where_it_fits() -> None:
    assert judged("move-lip", groove_width_mm=1.2, room_mm=9.0).dimensions_mm["shift"] == 2.6
    assert judged("move-lip", groove_width_mm=1.2, room_mm=2.3).dimensions_mm["shift"] == 2.3


def test_deeper_puts_the_lip_further_from_the_shaft_end() -> None:
    way = judged("move-lip", groove_width_mm=1.2, room_mm=9.0, lip_at_mm=20.0)
    assert way.dimensions_mm["new_lip_at"] == 22.6


def test_room_too_close_to_tell_asks_for_a_depth_gauge() -> None:
    way = judged("move-lip", groove_width_mm=1.2, room_mm=2.12, room_error_mm=0.02)
    assert way.verdict == "check"
    assert [(a.reading, a.instrument) for a in way.asks] == [("room", "depth-gauge")]


def test_what_was_not_measured_is_asked() -> None:
    assert [a.reading for a in judged("move-lip").asks] == ["groove-width", "room"]
    assert [a.reading for a in judged("move-lip", groove_width_mm=1.0).asks] == ["room"]
    assert [a.reading for a in judged("move-lip", room_mm=5.0).asks] == ["groove-width"]


def test_without_room_the_lip_may_move_outward_on_sound_land() -> None:
    way = judged("move-lip", groove_width_mm=1.2, room_mm=0.5, lip_at_mm=20.0)
    assert way.verdict == "check"
    assert way.dimensions_mm["new_lip_at"] == 17.4
    assert any("chamfer of the bore" in reason for reason in way.reasons)


def test_outward_stops_at_the_chamfer_of_the_shaft() -> None:
    way = judged("move-lip", groove_width_mm=1.2, room_mm=0.5, lip_at_mm=6.0)
    assert way.verdict == "no-go"
    assert any("lead-in chamfer" in reason for reason in way.reasons)


# --- the thin sleeve ----------------------------------------------------------------------------


def test_the_sleeve_is_chosen_by_its_window() -> None:
    way = judged("thin-sleeve")
    assert way.verdict == "go"
    assert [(p.what, p.size) for p in way.parts] == [
        ("thin sleeve", "35.00 x 13"),
        ("non-hardening gasket compound", "under the sleeve"),
    ]
    assert way.dimensions_mm["counterface"] == pytest.approx(34.98 + 2 * 0.254)


def test_a_land_near_the_window_edge_asks_for_a_micrometer() -> None:
    way = judged("thin-sleeve", land_mm=35.02, land_error_mm=0.02)
    assert way.verdict == "check"
    assert ("shaft", "micrometer") in [(a.reading, a.instrument) for a in way.asks]
    assert way.waiting


def test_no_listed_sleeve_names_the_nearest_windows() -> None:
    way = judged("thin-sleeve", land_mm=34.75)
    assert way.verdict == "no-go"
    assert any("no listed sleeve grips 34.75 mm" in reason for reason in way.reasons)
    assert any("sleeve 34.92" in reason or "sleeve 34.93" in reason for reason in way.reasons)
    assert way.parts == ()


def test_off_the_table_names_its_range() -> None:
    way = judged("thin-sleeve", land_mm=260.0, seal=None)
    assert way.verdict == "no-go"
    assert any("the table covers 11.93 to 203.26 mm" in reason for reason in way.reasons)


def test_without_a_land_the_sleeve_is_only_a_suggestion() -> None:
    way = judged("thin-sleeve", land_mm=None)
    assert way.verdict == "check"
    assert [a.reading for a in way.asks] == ["shaft"]
    assert judged("thin-sleeve", land_mm=None, seal=None).parts == ()


def test_the_lip_is_stretched_by_the_growth() -> None:
    way = judged("thin-sleeve")
    low, high, _ = lip_band_mm(shaft_mm=35.0, system="metric") or (0.0, 0.0, "")
    growth = way.dimensions_mm["over_seal_shaft"]
    assert growth == pytest.approx(0.488)
    assert way.dimensions_mm["lip_interference_min"] == pytest.approx(low + growth)
    assert way.dimensions_mm["lip_interference_max"] == pytest.approx(high + growth)


def test_inch_seals_have_their_own_lip_band() -> None:
    assert lip_band_mm(shaft_mm=25.4, system="inch") != lip_band_mm(shaft_mm=25.4, system="metric")
    assert lip_band_mm(shaft_mm=900.0, system="metric") is None


@pytest.mark.parametrize(
    ("seal", "land", "verdict"), [("24 x 37 x 7", 23.98, "check"), ("25 x 40 x 7", 24.98, "go")]
)
def test_extra_stretch_matters_below_25_mm(seal: str, land: float, verdict: str) -> None:
    way = judged("thin-sleeve", seal=parse_size(seal), land_mm=land)
    assert way.verdict == verdict
    assert ("new-lip" in [a.reading for a in way.asks]) == (verdict == "check")


@pytest.mark.parametrize(("width", "verdict"), [(11.0, "go"), (11.001, "no-go")])
def test_the_sleeve_covers_the_track_with_a_margin(width: float, verdict: str) -> None:
    assert judged("thin-sleeve", groove_width_mm=width).verdict == verdict


@pytest.mark.parametrize(("lip_at", "verdict"), [(2.5, "go"), (2.499, "no-go")])
def test_the_sleeve_never_ends_flush_with_the_shaft(lip_at: float, verdict: str) -> None:
    way = judged("thin-sleeve", groove_width_mm=1.0, lip_at_mm=lip_at)
    assert way.verdict == verdict
    if verdict == "go":
        assert way.dimensions_mm["near_edge_from_end"] == 1.0


def test_the_track_lies_in_the_middle_of_the_sleeve_where_it_can() -> None:
    way = judged("thin-sleeve", groove_width_mm=1.0, lip_at_mm=20.0)
    assert way.dimensions_mm["near_edge_from_end"] == 13.5
    assert way.dimensions_mm["far_edge_from_end"] == 26.5


@pytest.mark.parametrize(
    ("depth", "width", "filled"),
    [(0.05, 5.0, False), (0.13, 1.0, False), (0.131, 1.0, True), (0.11, 2.0, False),
     (0.11, 2.1, True), (0.11, None, False)],
)  # fmt: skip
def test_the_groove_is_filled_when_deep_or_wide(
    depth: float, width: float | None, filled: bool
) -> None:
    way = judged("thin-sleeve", depth_mm=depth, groove_width_mm=width)
    assert ("metal-filled epoxy" in [p.what for p in way.parts]) == filled
    texts = [step.step for step in way.work]
    assert any(text.startswith("Groove too deep") for text in texts) == filled
    assert any(text.startswith("Light groove") for text in texts) == (not filled)


def test_in_doubt_the_groove_is_filled() -> None:
    assert len(judged("thin-sleeve", depth_mm=0.12, depth_error_mm=0.01).parts) == 2


def test_every_step_of_work_has_its_source() -> None:
    for way in every_way(groove_width_mm=1.0, lip_at_mm=20.0, room_mm=4.0):
        assert all(step.source for step in way.work)


def test_a_doubtful_roundness_holds_the_sleeve_back() -> None:
    way = judged("thin-sleeve", doubt="the readings of the land differ")
    assert way.verdict == "check"
    assert way.waiting


# --- the ways that cut --------------------------------------------------------------------------


def test_the_ring_and_the_turned_shaft() -> None:
    way = judged("thick-sleeve", groove_width_mm=3.0)
    assert way.verdict == "go"
    sizes = way.dimensions_mm
    assert (sizes["turned"], sizes["wall"], sizes["ring_length_min"]) == (31.0, 2.0, 5.0)
    for name, wanted in (("ring_bore", "H7"), ("turned_light", "p6"), ("turned_heavy", "s6")):
        limits = class_limits(nominal_mm=31.0, tolerance_class=wanted)
        assert sizes[f"{name}_min"] == pytest.approx(limits.lower_mm)
        assert sizes[f"{name}_max"] == pytest.approx(limits.upper_mm)
    h11 = class_limits(nominal_mm=35.0, tolerance_class="h11")
    assert (sizes["finish_min"], sizes["finish_max"]) == (h11.lower_mm, h11.upper_mm)


def test_an_inch_seal_is_finished_to_the_inch_limits() -> None:
    way = judged("thick-sleeve", seal=parse_size("1.375 x 2.125 x 0.313 in"), land_mm=34.92)
    assert way.dimensions_mm["finish_min"] == pytest.approx(34.925 - 0.003 * 25.4, abs=1e-4)
    assert way.dimensions_mm["finish_max"] == pytest.approx(34.925 + 0.003 * 25.4, abs=1e-4)


@pytest.mark.parametrize(
    ("seal", "land", "limits_in"),
    [("4 x 5 x 0.5 in", 101.58, 0.003), ("4.5 x 5.5 x 0.5 in", 114.28, 0.004)],
)
def test_the_finish_goes_by_the_step_of_its_size(seal: str, land: float, limits_in: float) -> None:
    found = parse_size(seal)
    way = judged("thick-sleeve", seal=found, land_mm=land)
    upper = found.shaft_mm + limits_in * 25.4
    assert way.dimensions_mm["finish_max"] == pytest.approx(upper, abs=1e-4)
    assert any("RMA OS-4" in source for source in way.sources)


def test_the_metric_finish_cites_class_and_standard() -> None:
    sources = judged("thick-sleeve").sources
    assert any("seat classes for shaft and bore" in source for source in sources)
    assert any("ISO 286" in source for source in sources)


def test_past_the_seal_standard_nothing_is_made_up() -> None:
    large = parse_size("520 x 560 x 20")
    ring = judged("thick-sleeve", seal=large, land_mm=519.9)
    assert ring.verdict == "check"
    assert "finish_min" not in ring.dimensions_mm
    assert "over 3 up to and including 500 mm" in "; ".join(ring.reasons)
    thin = judged("thin-sleeve", seal=large, land_mm=None)
    assert thin.verdict == "check"
    assert "over 3 up to and including 500 mm" in "; ".join(thin.reasons)


def test_a_deeper_groove_takes_a_thicker_wall() -> None:
    # 2.3 mm would leave 30.4 mm; the shaft is turned to 30.
    assert judged("thick-sleeve", depth_mm=2.25).dimensions_mm["wall"] == 2.5
    deep = judged("thick-sleeve", depth_mm=3.2)
    assert deep.verdict == "check"


@pytest.mark.parametrize(
    ("land", "inches", "turned"),
    [(57.099, False, 53.0), (57.0, False, 53.0), (57.4, False, 53.0), (57.6, False, 53.5)],
)
def test_a_shaft_is_turned_to_a_size_that_can_be_set(
    land: float, inches: bool, turned: float
) -> None:
    way = judged("thick-sleeve", seal=None, land_mm=land, inches=inches)
    assert way.dimensions_mm["turned"] == turned
    assert 2.0 <= way.dimensions_mm["wall"] <= 3.0
    assert any(f"bore {turned:g} mm H7" in part.size for part in way.parts)


@given(land=st.floats(20.0, 200.0), inches=st.booleans())
def test_the_ring_keeps_the_usual_wall_when_the_seat_is_rounded(land: float, inches: bool) -> None:
    way = judged("thick-sleeve", seal=None, land_mm=land, inches=inches)
    step = 25.4 / 32.0 if inches else 0.5
    steps = way.dimensions_mm["turned"] / step
    assert steps == pytest.approx(round(steps), abs=1e-3)
    assert 2.0 - 1e-4 <= way.dimensions_mm["wall"] <= 3.0


def test_a_seat_of_an_inch_shaft_is_a_thirty_second() -> None:
    way = judged("thick-sleeve", seal=parse_size("2.25 x 3 x 0.375 in"), land_mm=57.15)
    # 57.15 less twice 2 mm is 2.0925 in: 2-1/16.
    assert way.dimensions_mm["turned"] == pytest.approx(2.0625 * 25.4, abs=1e-4)


def test_a_ring_is_cut_before_it_is_fitted_and_ground_last() -> None:
    steps = [step.step for step in judged("thick-sleeve").work]
    assert [step.split()[0] for step in steps] == ["Turn", "Bore", "Heat", "Or", "Grind"]
    p6 = class_limits(nominal_mm=31.0, tolerance_class="p6")
    assert f"Turn the shaft to {p6.lower_mm:g} to {p6.upper_mm:g} mm for the light fit" in steps[0]
    assert "Bore the ring to 31 to 31.025 mm" in steps[1]
    assert "Grind it in place to 34.84 to 35 mm, without lead" in steps[-1]
    unturned = [step.step for step in judged("next-seal").work]
    assert [step.split()[0] for step in unturned] == ["Bore", "Heat", "Or", "Grind"]
    huge = [step.step for step in judged("thick-sleeve", seal=None, land_mm=3400.0).work]
    assert "Turn the shaft to the limits of its drawing" in huge[0]


def test_a_thin_shaft_is_not_turned_down_lightly() -> None:
    weak = judged("thick-sleeve", seal=parse_size("15 x 26 x 7"), land_mm=14.98)
    assert weak.verdict == "check"
    gone = judged("thick-sleeve", seal=None, land_mm=3.9)
    assert gone.verdict == "no-go"


def test_the_ring_needs_a_size() -> None:
    way = judged("thick-sleeve", seal=None, land_mm=None)
    assert [a.reading for a in way.asks] == ["shaft"]


def test_the_next_seal_has_the_same_bore_and_a_larger_shaft() -> None:
    found = next_seals(SURE)
    assert found
    for entry in found:
        assert entry.shaft_mm > 35.0
        assert parse_size(entry.label).bore_mm == pytest.approx(52.0, abs=0.002)
        assert entry.wall_over_land_mm <= 3.0
        assert (entry.turned_mm is None) == (entry.wall_over_land_mm >= 1.5)
    assert found[0].label == "38 x 52 x 7"


def test_the_next_seal_on_an_unturned_shaft_gets_a_ring_that_grips_it() -> None:
    way = judged("next-seal")
    assert [p.what for p in way.parts] == ["lip seal", "thick sleeve ring"]
    assert "turned" not in way.dimensions_mm
    assert way.dimensions_mm["ring_bore_heavy_max"] < way.dimensions_mm["ring_bore_light_max"]
    assert way.dimensions_mm["ring_bore_light_max"] < 34.98


def test_a_next_seal_too_close_has_the_shaft_turned() -> None:
    # A 62 mm bore lists 45 after 42: a wall of 1.5 mm, and less over a land above nominal.
    c = replace(SURE, seal=parse_size("42 x 62 x 8"), land_mm=42.2)
    close = [entry for entry in next_seals(c) if entry.shaft_mm == 45.0]
    assert close
    assert all(entry.turned_mm == 41.0 for entry in close)


def test_no_next_seal_is_said() -> None:
    way = judged("next-seal", seal=parse_size("35 x 36.5 x 7"))
    assert way.verdict == "no-go"
    assert [a.reading for a in judged("next-seal", seal=None).asks] == ["seal"]


# --- ranking ------------------------------------------------------------------------------------


def test_the_ladders_first_way_leads_where_it_stands() -> None:
    ways = every_way(groove_width_mm=1.0, room_mm=4.0)
    assert [w.way for w in ways[:3]] == ["move-lip", "thin-sleeve", "thick-sleeve"]
    assert overall(ways) == "go"


def test_go_ways_pass_a_way_that_waits_for_a_reading() -> None:
    ways = every_way()
    assert [w.way for w in ways[:2]] == ["thin-sleeve", "move-lip"]
    assert overall(ways) == "go"
    assert [a.reading for a in readings_wanted(ways)] == ["groove-width", "room"]


def test_cutting_the_shaft_does_not_pass_a_sleeve_that_waits_for_a_reading() -> None:
    ways = every_way(depth_mm=0.2, land_mm=34.96, land_error_mm=0.025)
    assert ways[0].way == "thin-sleeve"
    assert overall(ways) == "check"
    assert "thick-sleeve" in [w.way for w in ways if w.verdict == "go"]


def test_where_the_ladder_prefers_cutting_it_leads() -> None:
    ways = every_way(depth_mm=0.4)
    assert (ways[0].way, overall(ways)) == ("thick-sleeve", "go")


def test_only_replacing_left_is_no_go() -> None:
    ways = every_way(depth_mm=0.8, seal=None, land_mm=3.9)
    left = [w.way for w in ways if w.verdict != "no-go" and w.way != "next-seal"]
    assert left == ["replace"]
    assert overall([w for w in ways if w.way != "next-seal"]) == "no-go"


@given(
    depth=st.floats(min_value=0.0, max_value=2.0),
    error=st.floats(min_value=0.0, max_value=0.05),
    width=st.none() | st.floats(min_value=0.2, max_value=15.0),
    room=st.none() | st.floats(min_value=0.0, max_value=20.0),
    at=st.none() | st.floats(min_value=0.5, max_value=60.0),
)
def test_no_go_ways_come_last_and_replacing_after_what_stands(
    depth: float, error: float, width: float | None, room: float | None, at: float | None
) -> None:
    ways = every_way(
        depth_mm=depth, depth_error_mm=error, groove_width_mm=width, room_mm=room, lip_at_mm=at
    )
    verdicts = [w.verdict for w in ways]
    if "no-go" in verdicts:
        assert set(verdicts[verdicts.index("no-go") :]) == {"no-go"}
    names = [w.way for w in ways if w.verdict != "no-go"]
    assert "replace" not in names[:-1]
    assert all(w.reasons and w.sources for w in ways)
    assert all(not w.parts for w in ways if w.verdict == "no-go")


# --- what stands on the shaft already -----------------------------------------------------------


@pytest.mark.parametrize(
    ("over", "state"),
    [(0.5, "earlier-sleeve"), (0.53, "earlier-sleeve"), (0.56, "earlier-sleeve"),
     (3.0, "ring-left-on"), (12.0, "ring-left-on"), (-0.2, "worn-track-read")],
)  # fmt: skip
def test_what_covers_a_track(over: float, state: str) -> None:
    found = explained(place="track", value_mm=35.0 + over, error_mm=0.005, nominal_mm=35.0)
    assert found is not None
    assert found.state == state
    assert found.probability > 0.5


@pytest.mark.parametrize("over", [0.2, 0.4, 0.7, 1.5, 2.9, 12.5])
def test_what_nothing_explains(over: float) -> None:
    assert explained(place="track", value_mm=35.0 + over, error_mm=0.005, nominal_mm=35.0) is None
