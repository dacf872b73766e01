"""The lip's limits against published values: one fixture a source."""

from __future__ import annotations

import math

import pytest

from fitcheck.assess.lip_heat import friction_w, turning_speed_rpm
from fitcheck.assess.lip_limits import (
    coaxiality_limit_mm,
    plain_lip_speed_mps,
    pressure_limit_bar,
    runout_limit_mm,
    speed_ceilings_mps,
    speed_limit_mps,
)
from fitcheck.tables import table

# The Tribology Handbook, section B23, lip seals: shaft [mm], pressure [bar].
TRIBOLOGY_HANDBOOK_B23_PRESSURE = [(10, 0.6), (35, 0.6), (75, 0.6), (75.001, 0.3), (200, 0.3)]
# The Tribology Handbook, section B23: shaft [mm], turning speed [rpm].
TRIBOLOGY_HANDBOOK_B23_RPM = [(20, 8000), (35, 8000), (75, 4000)]
# The Tribology Handbook, section B23: shaft over 75 mm [mm], surface speed [m/s].
TRIBOLOGY_HANDBOOK_B23_MPS = [(75.001, 15), (150, 15), (400, 15)]
# The Tribology Handbook, section B23: temperature at the lip in oil [C].
TRIBOLOGY_HANDBOOK_B23_TEMPERATURE = {
    "NBR": (-40, 100),
    "ACM": (-20, 130),
    "FKM": (-30, 200),
    "VMQ": (-70, 200),
}
# DIN 3760:1996, pressure table (from memory): rpm, m/s, bar; both limits of speed hold.
DIN3760_PRESSURE_TABLE = [(1000, 2.8, 0.5), (2000, 3.15, 0.35), (3000, 5.6, 0.2)]
# DIN 3760:1996, speed against shaft (from memory): shaft [mm], m/s and the turning speed given
# beside it [rpm] for NBR, ACM and HNBR, FKM and VMQ.
DIN3760_SPEED_FIGURE = [
    (10, (6, 11450), (7.5, 14300), (14, 26750)),
    (20, (8, 7650), (11, 10500), (19, 18150)),
    (40, (10, 4750), (14, 6700), (25, 11950)),
    (60, (11.5, 3650), (16, 5100), (29, 9250)),
    (80, (12.5, 3000), (17.5, 4200), (31.5, 7500)),
    (100, (13, 2500), (18.5, 3550), (33.5, 6400)),
    (150, (14, 1800), (20, 2550), (37, 4700)),
]
GROUPS = (("NBR",), ("ACM", "HNBR"), ("FKM", "VMQ"))
# RMA lip-seal guide (from memory): ft/min up to and including, psi.
RMA_GUIDE_PRESSURE = [(1000, 7), (2000, 5), (9000, 3)]
# An open mechanical-design knowledge base: m/s.
KNOWLEDGE_BASE_SPEED = {"NBR": 15, "FKM": 25}
# ISO/TR 14179-1 (from memory): drag torque of a lip per mm of shaft [N.m], nitrile, fluoro rubber.
ISO_TR_14179_1_DRAG = (2.429e-3, 3.737e-3)


@pytest.mark.parametrize(("shaft_mm", "bar"), TRIBOLOGY_HANDBOOK_B23_PRESSURE)
def test_tribology_handbook_b23_pressure(shaft_mm: float, bar: float) -> None:
    found = pressure_limit_bar(edition="handbook", shaft_mm=shaft_mm)
    assert found.value == bar
    assert "Tribology Handbook" in found.source
    assert "memory" not in found.source


@pytest.mark.parametrize(("shaft_mm", "rpm"), TRIBOLOGY_HANDBOOK_B23_RPM)
def test_tribology_handbook_b23_turning_speed(shaft_mm: float, rpm: float) -> None:
    limit = plain_lip_speed_mps(shaft_mm=shaft_mm).value
    assert turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=limit) == pytest.approx(rpm)


@pytest.mark.parametrize(("shaft_mm", "mps"), TRIBOLOGY_HANDBOOK_B23_MPS)
def test_tribology_handbook_b23_surface_speed(shaft_mm: float, mps: float) -> None:
    assert plain_lip_speed_mps(shaft_mm=shaft_mm).value == mps


def test_tribology_handbook_b23_temperature_is_kept_beside_the_one_used() -> None:
    rows = {
        r.text("material"): (r.number("temp_min_c"), r.number("temp_max_c"))
        for r in table("lip/materials").rows
        if r.source.key == "handbook"
    }
    assert rows == TRIBOLOGY_HANDBOOK_B23_TEMPERATURE


@pytest.mark.parametrize(("rpm", "mps", "bar"), DIN3760_PRESSURE_TABLE)
def test_din3760_pressure_table(rpm: float, mps: float, bar: float) -> None:
    """Each step up to and including both limits; a hair over either is the next step."""
    both = 60_000.0 * mps / (math.pi * rpm)  # the shaft on which both limits meet
    after = {0.5: 0.35, 0.35: 0.2, 0.2: 0.0}[bar]

    def limit(shaft_mm: float, speed_mps: float) -> float:
        return pressure_limit_bar(edition="din3760", shaft_mm=shaft_mm, surface_mps=speed_mps).value

    assert limit(both, mps) == bar
    assert limit(both * 2, mps) == bar  # slow turning: the surface speed decides
    assert limit(both * 2, mps + 1e-5) == after
    assert limit(both * 0.9, mps * 0.9) == bar  # a thin shaft: the turning speed decides
    assert limit(both * 0.9, mps * 0.9 + 1e-5) == after


def test_din3760_pressure_table_ends_unpressurised() -> None:
    for mps in (5.601, 20.0):
        found = pressure_limit_bar(edition="din3760", shaft_mm=100, surface_mps=mps)
        assert found.value == 0
        assert "from memory" in found.source


@pytest.mark.parametrize(("shaft_mm", "nbr", "acm", "fkm"), DIN3760_SPEED_FIGURE)
def test_din3760_speed_figure(
    shaft_mm: float, nbr: tuple[float, int], acm: tuple[float, int], fkm: tuple[float, int]
) -> None:
    for materials, (mps, rpm) in zip(GROUPS, (nbr, acm, fkm), strict=True):
        for material in materials:
            assert speed_limit_mps(material=material, shaft_mm=shaft_mm).value == mps
        # The figure's turning speeds are rounded to 50 rpm.
        found = turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=mps)
        assert found == pytest.approx(rpm, abs=40)


@pytest.mark.parametrize(("feet", "psi"), RMA_GUIDE_PRESSURE)
def test_rma_guide_pressure(feet: float, psi: float) -> None:
    mps = feet * 0.3048 / 60
    found = pressure_limit_bar(edition="rma", shaft_mm=50, surface_mps=mps)
    assert found.value == pytest.approx(psi * 0.0689476, rel=1e-6)
    assert found.note == f"{psi} psi"


@pytest.mark.parametrize("feet", [1000, 2000])
def test_rma_guide_steps_at_both_sides(feet: float) -> None:
    at, over = (
        pressure_limit_bar(edition="rma", shaft_mm=50, surface_mps=v * 0.3048 / 60).value
        for v in (feet, feet + 0.01)
    )
    assert over < at


def test_standards_give_half_a_bar_in_their_range() -> None:
    assert pressure_limit_bar(edition="gb13871", shaft_mm=400).value == 0.5
    assert pressure_limit_bar(edition="gost8752", shaft_mm=50, surface_mps=20).value == 0.5


@pytest.mark.parametrize("material", KNOWLEDGE_BASE_SPEED)
def test_knowledge_base_speed_is_kept_and_not_used(material: str) -> None:
    used, others = speed_ceilings_mps(material=material)
    assert [o.value for o in others] == [KNOWLEDGE_BASE_SPEED[material]]
    assert used.value == {"NBR": 12, "FKM": 35}[material]


def test_iso_tr_14179_friction() -> None:
    """Torque by part 1, and 7.69e-6 d2 n by part 2: the band spans them."""
    shaft_mm, rpm = 50.0, 1500.0
    omega, mps = rpm * math.pi / 30, math.pi * shaft_mm * rpm / 60_000
    low, high = friction_w(shaft_mm=shaft_mm, surface_mps=mps)
    assert low == pytest.approx(ISO_TR_14179_1_DRAG[0] * shaft_mm * omega)
    assert high == pytest.approx(max(ISO_TR_14179_1_DRAG[1] * 50 * omega, 7.69e-6 * 2500 * 1500))
    assert (round(low, 1), round(high, 1)) == (19.1, 29.4)


def test_din3760_runout_and_coaxiality_figures() -> None:
    points = [(500, 0.35), (1000, 0.28), (2000, 0.21), (3000, 0.17), (4000, 0.13), (6000, 0.08)]
    for rpm, mm in points:
        assert runout_limit_mm(material="NBR", speed_rpm=rpm).value == mm
        assert runout_limit_mm(material="FKM", speed_rpm=rpm).value == pytest.approx(0.7 * mm)
    for shaft, mm in [(20, 0.15), (40, 0.2), (60, 0.23), (100, 0.28), (200, 0.36)]:
        assert coaxiality_limit_mm(shaft_mm=shaft).value == mm
