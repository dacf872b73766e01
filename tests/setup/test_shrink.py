"""Heating, cooling and losses."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import OffTableError
from fitcheck.setup.assembly import slip_clearance, ways
from fitcheck.setup.joint import Joint
from fitcheck.setup.losses import lost
from fitcheck.setup.materials import material
from fitcheck.setup.shrink import (
    cool_inner_by_k,
    heat_outer_by_k,
    roughness_loss_mm,
    speed_loss_mm,
    spin_hoop_mpa,
    temperature_loss_mm,
)

STEEL = {
    "outer_density_kg_m3": 7850.0,
    "outer_e_mpa": 200e3,
    "outer_poisson": 0.3,
    "inner_density_kg_m3": 7850.0,
    "inner_e_mpa": 200e3,
    "inner_poisson": 0.3,
}


def joint(inner: float = 0.0, outer: str = "steel", core: str = "steel") -> Joint:
    return Joint(
        interface_mm=60.0,
        outer_mm=90.0,
        inner_mm=inner,
        length_mm=30.0,
        outer=material(outer),
        inner=material(core),
    )


def test_a_heated_ring_opens_by_what_was_asked() -> None:
    rise = heat_outer_by_k(
        interference_mm=0.06, clearance_mm=0.06, interface_mm=60, outer_alpha=12e-6
    )
    assert 60 * 12e-6 * rise == pytest.approx(0.12)


def test_cooling_takes_more_kelvin_than_heating() -> None:
    steel = material("steel")
    shape = {"interference_mm": 0.05, "clearance_mm": 0.05, "interface_mm": 60.0}
    assert cool_inner_by_k(inner_alpha_cold=steel.alpha_cold, **shape) > heat_outer_by_k(
        outer_alpha=steel.alpha, **shape
    )


def test_a_few_rough_micrometres() -> None:
    # By hand: 0.8 x (10 + 6.3) um.
    assert roughness_loss_mm(outer_rz_um=10, inner_rz_um=6.3, loss_share=0.8) == pytest.approx(
        0.01304
    )


@given(service=st.floats(-60.0, 200.0))
def test_one_material_loses_nothing_to_temperature(service: float) -> None:
    loss = temperature_loss_mm(
        interface_mm=60, service_c=service, room_c=20, outer_alpha=12e-6, inner_alpha=12e-6
    )
    assert loss == 0.0


def test_an_aluminium_hub_lets_go_when_warm_and_grips_when_cold() -> None:
    shape = {"interface_mm": 62.0, "room_c": 20.0, "outer_alpha": 23e-6, "inner_alpha": 12e-6}
    # By hand: 62 x 60 x 11e-6.
    assert temperature_loss_mm(service_c=80, **shape) == pytest.approx(0.04092)
    assert temperature_loss_mm(service_c=-40, **shape) == pytest.approx(-0.04092)


@given(rpm=st.floats(10.0, 10000.0), face=st.floats(10.0, 200.0), times=st.floats(1.1, 5.0))
def test_the_loss_grows_with_the_square_of_speed(rpm: float, face: float, times: float) -> None:
    shape = {"interface_mm": face, "outer_mm": face * 2, "inner_mm": 0.0, **STEEL}
    one = speed_loss_mm(rpm=rpm, **shape)
    assert one > 0.0
    assert speed_loss_mm(rpm=rpm * times, **shape) == pytest.approx(one * times**2)


def test_a_thin_ring_turning_stands_density_times_rim_speed_squared() -> None:
    found = spin_hoop_mpa(
        rpm=3000, bore_mm=200.0, outside_mm=200.001, density_kg_m3=7850, poisson=0.3
    )
    # 31.416 m/s at the rim: 7850 x 31.416^2 = 7.748 MPa.
    assert found == pytest.approx(7.748, abs=1e-3)


def test_two_thin_rings_of_one_diameter_grow_alike() -> None:
    shape = {"interface_mm": 200.0, "outer_mm": 200.001, "inner_mm": 199.999, **STEEL}
    assert speed_loss_mm(rpm=3000, **shape) == pytest.approx(0.0, abs=1e-6)


def test_losses_add_up() -> None:
    found = lost(
        joint(outer="aluminium"),
        room_c=20,
        service_c=70,
        rpm=2000,
        outer_rz_um=6.3,
        inner_rz_um=3.2,
    )
    assert found.total_mm == pytest.approx(
        found.roughness_mm + found.temperature_mm + found.speed_mm
    )
    assert min(found.roughness_mm, found.temperature_mm, found.speed_mm) > 0.0


@pytest.mark.parametrize(
    ("size", "clearance"), [(30.0, 0.015), (30.001, 0.02), (80.0, 0.03), (80.001, 0.045)]
)
def test_clearance_steps_are_over_and_up_to(size: float, clearance: float) -> None:
    assert slip_clearance(size).number("clearance_mm") == clearance


def test_a_giant_has_no_tabled_clearance() -> None:
    with pytest.raises(OffTableError, match="1600"):
        slip_clearance(1601.0)


def found_ways(interference: float, cap: float = 120.0) -> dict[str, tuple[str, float | None]]:
    found = ways(
        joint(),
        interference_mm=interference,
        clearance_mm=0.02,
        room_c=20.0,
        cap_c=cap,
        press_force_n=10e3,
    )
    return {way.way: (way.verdict, way.cool_inner_to_c) for way in found}


def test_a_light_fit_is_heated_or_cooled() -> None:
    found = found_ways(0.02)
    assert {name: verdict for name, (verdict, _) in found.items()} == {
        "press": "go",
        "heat": "go",
        "cool": "go",
    }


def test_a_heavier_fit_needs_both() -> None:
    found = found_ways(0.07)
    assert found["heat"][0] == "no-go"
    assert found["cool"][0] == "check"
    verdict, cold = found["heat-and-cool"]
    assert verdict == "go"
    assert cold is not None
    # What the two together give is what was needed.
    steel = material("steel")
    gained = 60 * (steel.alpha * 100 + steel.alpha_cold * (20 - cold))
    assert gained == pytest.approx(0.09)


def test_nothing_is_cooled_below_liquid_nitrogen() -> None:
    found = found_ways(0.3)
    assert found["cool"] == ("no-go", None)
    assert found["heat-and-cool"] == ("no-go", None)
    assert found_ways(0.3, cap=600.0)["heat"][0] == "go"


@pytest.mark.parametrize(
    ("interference", "words"),
    [
        # Contraction of 60 mm of steel per kelvin: 0.00051 mm.
        (0.0, "to -20 C: within reach of dry ice"),
        (-0.002, "to -16 C: a freezer does it"),
        (0.03, "to -79 C: liquid nitrogen only"),
    ],
)
def test_a_temperature_is_said_in_whole_degrees_that_are_enough(
    interference: float, words: str
) -> None:
    found = ways(
        joint(),
        interference_mm=interference,
        clearance_mm=0.0201,
        room_c=20.0,
        cap_c=120.0,
        press_force_n=10e3,
    )
    cool = next(way for way in found if way.way == "cool")
    assert words in cool.reason
    heat = next(way for way in found if way.way == "heat")
    assert heat.heat_outer_to_c is not None
    assert f"to {math.ceil(heat.heat_outer_to_c)} C, the" in heat.reason
