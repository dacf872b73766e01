"""Settings, packs, drags and pressures as manuals print them, one test a case."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

from fitcheck.job.shim.answer import answer
from fitcheck.job.shim.text import ShimRequest
from fitcheck.setup.drag import drag_torque_nm, pull_n
from fitcheck.setup.oil import head_space_pressure_bar
from fitcheck.setup.settings import nut_steps, setting_cautions, setting_for, use_settings
from fitcheck.setup.shims import (
    free_gap_pack_mm,
    lead_pack_mm,
    mark_change_mm,
    side_packs_mm,
    solder_pack_mm,
)
from fitcheck.units import UNITS

IN = 25.4
LBF_FT = UNITS["lbf.ft"].to_base(1.0)
LBF_IN = UNITS["lbf.in"].to_base(1.0)
LBF = UNITS["lbf"].to_base(1.0)

with Path(__file__).with_name("setup_cases.csv").open(encoding="utf-8", newline="") as handle:
    CASES = {row["id"]: row["manual"] for row in csv.DictReader(handle)}


def shim(**options: Any) -> dict[str, Any]:
    return answer(ShimRequest(**options))


def test_every_case_has_its_test_and_its_manual() -> None:
    tested = {
        name.removeprefix("test_").partition("_")[0].upper()
        for name in globals()
        if name.startswith("test_s") and name[6:8].isdigit()
    }
    assert tested == set(CASES)
    assert all(CASES.values())


def test_s01_side_bearings_of_a_differential() -> None:
    """US Army TM 9-2320-289-34: 0.250 and 0.265, moved 0.010, 0.004 each: 0.244 and 0.279 in."""
    gear, other = side_packs_mm(
        gear_side_mm=0.250 * IN,
        other_side_mm=0.265 * IN,
        move_mm=0.010 * IN,
        preload_each_mm=0.004 * IN,
    )
    assert (round(gear / IN, 3), round(other / IN, 3)) == (0.244, 0.279)
    # The manual prints 7.087 mm; 0.279 in is 7.0866.
    assert (round(gear, 3), round(other, 3)) == (6.198, 7.087)


def by_steps(gap_low: float, gap_high: float, printed_in: float, printed_mm: float) -> None:
    """The middle of the row leads to its one shim of the 0.1 mm steps; its ends come near it."""
    assert round(printed_mm / IN, 3) == printed_in
    middle = (gap_low + gap_high) / 2.0
    exact = free_gap_pack_mm(gap_mm=middle * IN, preload_mm=0.10)
    assert exact == pytest.approx(printed_mm, abs=0.012)
    steps = ",".join(f"0.{tenths}mmx1" for tenths in range(1, 10))
    found = shim(method="free-gap", measured=[f"{middle:.3f}in"], have=[steps], position="cap")
    assert found["picks"] == [{"thickness_mm": printed_mm, "count": 1}]
    assert found["verdict"] == "go"
    # Rows are whole thousandths and touch at their ends, so an end is half a step away at most,
    # and half a thousandth of rounding.
    for end in (gap_low, gap_high):
        pack = free_gap_pack_mm(gap_mm=end * IN, preload_mm=0.10)
        assert pack == pytest.approx(printed_mm, abs=0.05 + 0.0005 * IN)


def test_s02_gap_of_18_to_22_thousandths() -> None:
    """US Army TM 9-2320-364-34-4: the shim is 0.016 in (0.4 mm)."""
    by_steps(0.018, 0.022, 0.016, 0.4)


def test_s04_gap_of_26_to_30_thousandths() -> None:
    """US Army TM 9-2320-364-34-4: the shim is 0.024 in (0.6 mm)."""
    by_steps(0.026, 0.030, 0.024, 0.6)


def test_s06_gap_of_33_to_37_thousandths() -> None:
    """US Army TM 9-2320-364-34-4: the shim is 0.031 in (0.8 mm)."""
    by_steps(0.033, 0.037, 0.031, 0.8)


def test_s09_free_gap_less_a_tenth() -> None:
    """US Army TM 5-3805-260-24: the mean of two gaps less 0.10 mm; then 4.5 to 6.8 N.m."""
    found = shim(
        method="free-gap", measured=["0.48", "0.56"], use="kingpin-cap", have=["0.10x9,0.02x4"]
    )
    assert found["pack_mm"] == pytest.approx(0.52 - 0.10)
    assert found["target"] == {"low_nm": 4.5, "high_nm": 6.8, "text": "4.5 to 6.8 N.m"}
    assert "too high, add shims; too low, remove them" in found["measure_again"]
    # Printed beside it as 40 to 60 lb-in.
    assert (round(4.5 / LBF_IN), round(6.8 / LBF_IN)) == (40, 60)
    assert any("5-3805-260-24" in source for source in found["sources"])


def test_s10_crushed_lead_takes_nothing_off() -> None:
    """US Army TM 10-3930-659-34: the mean of the two pieces, the thickest next to the shaft."""
    assert lead_pack_mm(pieces_mm=(0.046 * IN, 0.048 * IN)) == pytest.approx(0.047 * IN)
    found = shim(
        method="lead",
        measured=["0.046in", "0.048in"],
        use="lift-truck-shaft",
        have=["0.012inx2,0.035inx2"],
    )
    assert found["pack_mm"] == pytest.approx(0.047 * IN, abs=1e-4)
    assert found["order_mm"] == [pytest.approx(0.889), pytest.approx(0.3048)]
    assert found["target"]["text"] == "6 to 12 lbf.ft"
    assert "over the base drag" in found["measure_again"]
    assert [step for step in found["nut_procedure"] if "145 lbf.ft" in step]
    assert [step for step in found["nut_procedure"] if "670 lbf.ft" in step]
    assert (round(145 * LBF_FT), round(670 * LBF_FT, -1)) == (197, 910)


def test_s11_crushed_solder_less_five_thousandths() -> None:
    """US Army TM 5-2420-222-34: 0.047 in crushed gives a pack of 0.042 in; 55 lb-ft at most."""
    assert solder_pack_mm(crushed_mm=0.047 * IN, preload_mm=0.005 * IN) == pytest.approx(0.042 * IN)
    found = shim(method="solder", measured=["0.047in"], have=["0.042inx1"])
    assert round(found["pack_mm"] / IN, 4) == 0.042
    assert found["verdict"] == "go"
    assert any("55 lb-ft" in caution for caution in found["cautions"])
    assert round(55 * LBF_FT) == 75


def test_s16_marks_on_a_pinion() -> None:
    """US Army TM 9-2320-266-34: the pack changes by the old mark less the new one."""
    step = 0.001 * IN
    more = mark_change_mm(old_mark_mm=4 * step, new_mark_mm=-4 * step)
    less = mark_change_mm(old_mark_mm=-4 * step, new_mark_mm=4 * step)
    assert (round(more / IN, 3), round(less / IN, 3)) == (0.008, -0.008)


def test_s22_torque_is_pull_times_radius() -> None:
    """US Army TM 5-3805-257-14P: 24 lb at 8-5/16 in is 16.6 lb-ft; 15-20 new, 6-12 used."""
    radius = 8.3125 * IN
    torque = drag_torque_nm(pull_n=24 * LBF, radius_mm=radius)
    assert round(torque / LBF_FT, 1) == 16.6
    verdicts = {
        condition: shim(
            method="drag",
            pull=["24lbf"],
            radius="8-5/16in",
            use="loader-hub",
            condition=condition,
        )["verdict"]
        for condition in ("new", "used")
    }
    assert verdicts == {"new": "go", "used": "no-go"}
    # Printed as pulls of 21-28 lb new and 9-17 lb used, in whole pounds.
    for condition, pulls in (("new", (21, 28)), ("used", (9, 17))):
        setting = setting_for(use="loader-hub", method="drag", condition=condition)
        for end, pull in zip((setting.low, setting.high), pulls, strict=True):
            assert pull_n(torque_nm=end, radius_mm=radius) / LBF == pytest.approx(pull, abs=1.0)


@pytest.mark.parametrize(
    ("condition", "rise", "verdict"),
    [
        ("new", 2.5, "no-go"),
        ("new", 3.0, "check"),
        ("new", 4.0, "go"),
        ("new", 5.0, "check"),
        ("new", 5.6, "no-go"),
        ("used", 1.0, "no-go"),
        ("used", 1.5, "check"),
        ("used", 2.0, "go"),
        ("used", 2.5, "check"),
        ("used", 3.0, "no-go"),
    ],
)
def test_s23_the_rise_over_the_base_drag_counts(condition: str, rise: float, verdict: str) -> None:
    """US Army TM 10-3930-660-34: base drag plus 3-5 lb-ft new, plus 1.5-2.5 reused.

    At the ends themselves a wrench can't tell inside from outside.
    """
    found = shim(
        method="drag",
        measured=[f"{4 + rise}lbf.ft"],
        base_drag="4lbf.ft",
        use="planetary-hub",
        condition=condition,
    )
    assert found["verdict"] == verdict
    assert found["compared_nm"] == pytest.approx(rise * LBF_FT, abs=1e-3)
    assert "100 lbf.ft" in found["nut_procedure"][0]


def test_s25_running_torque_of_a_crane() -> None:
    """US Army TM 5-3810-307-24: hub 6-11 N.m (4.4-8.1 lb-ft), differential 2.7-3.9 (2.0-2.9)."""
    hub = setting_for(use="crane-wheel-hub", method="drag")
    gears = setting_for(use="crane-differential", method="drag")
    assert (hub.low, hub.high, gears.low, gears.high) == (6.0, 11.0, 2.7, 3.9)
    printed = [round(n / LBF_FT, 1) for n in (hub.low, hub.high, gears.low, gears.high)]
    assert printed == [4.4, 8.1, 2.0, 2.9]
    gap = setting_for(use="crane-axle-shaft", method="end-play")
    assert (gap.low, gap.high) == (0.3, 0.4)
    steps = [step for step, _ in nut_steps("crane-wheel-hub")]
    assert "hardly be turned by hand" in steps[0]
    assert "10 to 30 degrees" in steps[1]


def test_s26_running_torque_of_a_swing() -> None:
    """US Army TM 5-4210-230-14P: 11-20 N.m (8-15 lb-ft); shims out to raise it."""
    swing = setting_for(use="trunnion-pivot", method="drag")
    assert (round(swing.low / LBF_FT), round(swing.high / LBF_FT)) == (8, 15)
    low = shim(method="drag", measured=["9N.m"], use="trunnion-pivot")
    high = shim(method="drag", measured=["22N.m"], use="trunnion-pivot")
    assert (low["verdict"], low["direction"]) == ("no-go", "remove")
    assert (high["verdict"], high["direction"]) == ("no-go", "add")


def test_s33_nut_of_a_loader_backhoe() -> None:
    """US Army TM 5-2420-222-20: 35 lb-ft, turn, 35 lb-ft, back to a slot; a third is an alarm."""
    steps = [step for step, _ in nut_steps("loader-backhoe-front-wheel")]
    assert [step.count("35 lbf.ft") for step in steps] == [1, 1, 0, 0]
    assert "one whole slot" in steps[2]
    assert any("a third of a turn" in caution for caution in setting_cautions("used"))
    assert not any("a third of a turn" in caution for caution in setting_cautions())


def test_s34_nut_of_a_scraper() -> None:
    """US Army TM 5-3805-260-24: 70 N.m turning, loosen, 50 +/- 5 N.m, bend the lock."""
    steps = [step for step, _ in nut_steps("scraper-steer-wheel")]
    assert [("70 N.m" in steps[0]), ("Loosen" in steps[1]), ("45 to 55 N.m" in steps[2])] == [
        True,
        True,
        True,
    ]
    assert "lock" in steps[3]
    other = [step for step, _ in nut_steps("lift-truck-steer-wheel")]
    assert "135 N.m" in other[0]
    assert "50 N.m" in other[2]
    assert {s.method for s in use_settings("scraper-steer-wheel")} == {"nut"}


@pytest.mark.parametrize(
    ("fill", "printed"),
    [(0.5, 0.26), (0.6, 0.29), (0.7, 0.34), (0.75, 0.38), (0.8, 0.45), (0.9, 0.95)],
)
def test_s46_pressure_in_a_sealed_hub(fill: float, printed: float) -> None:
    """Own calculation: 20 to 80 C, oil growing by 0.0007 for each K, air at 1.01325 bar."""
    pressure = head_space_pressure_bar(
        fill_fraction=fill, from_c=20, to_c=80, expansion=0.0007, atmosphere_bar=1.01325
    )
    assert round(pressure, 2) == printed
