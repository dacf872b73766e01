"""Thick-ring theory at its limits, where the answer is known without it."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitcheck.setup.press import (
    hoop_inner_bore_mpa,
    hoop_inner_interface_mpa,
    hoop_outer_bore_mpa,
    hoop_outer_od_mpa,
    interface_pressure_mpa,
    joint_compliance_mm_per_mpa,
    von_mises_mpa,
)
from fitcheck.setup.press_effects import (
    axial_force_n,
    bore_closing_mm,
    outside_growth_mm,
    slip_torque_nm,
)

faces = st.floats(5.0, 500.0)
walls = st.floats(1.05, 8.0)
bores = st.floats(0.0, 0.95)
moduli = st.floats(40e3, 220e3)
ratios = st.floats(0.2, 0.4)
pressures = st.floats(0.1, 400.0)
stresses = st.floats(-1000.0, 1000.0)


@given(pressure=pressures, face=faces, wall=st.floats(1e-5, 1e-4))
def test_a_thin_ring_stands_pressure_times_radius_over_wall(
    pressure: float, face: float, wall: float
) -> None:
    thin = pressure * (face / 2.0) / (face * wall)
    outer = face * (1.0 + 2.0 * wall)
    for hoop in (hoop_outer_bore_mpa, hoop_outer_od_mpa):
        assert hoop(pressure_mpa=pressure, interface_mm=face, outer_mm=outer) == pytest.approx(
            thin, rel=3e-4
        )
    inner = face * (1.0 - 2.0 * wall)
    for squeezed in (hoop_inner_interface_mpa, hoop_inner_bore_mpa):
        assert squeezed(pressure_mpa=pressure, interface_mm=face, inner_mm=inner) == pytest.approx(
            -thin, rel=3e-4
        )


@given(pressure=pressures, face=faces)
def test_a_solid_shaft_is_under_its_pressure_everywhere(pressure: float, face: float) -> None:
    for hoop in (hoop_inner_interface_mpa, hoop_inner_bore_mpa):
        assert hoop(pressure_mpa=pressure, interface_mm=face, inner_mm=0.0) == pytest.approx(
            -pressure
        )
    assert von_mises_mpa(hoop_mpa=-pressure, radial_mpa=-pressure) == pytest.approx(pressure)


@given(pressure=pressures, face=faces)
def test_the_smallest_hole_doubles_the_stress(pressure: float, face: float) -> None:
    found = hoop_inner_bore_mpa(pressure_mpa=pressure, interface_mm=face, inner_mm=face * 1e-6)
    assert found == pytest.approx(-2.0 * pressure)


@given(face=faces, wall=walls, bore=bores, e=moduli, nu=ratios)
def test_equal_materials_need_no_poisson_ratio(
    face: float, wall: float, bore: float, e: float, nu: float
) -> None:
    outer, inner, interference = face * wall, face * bore, face * 1e-3
    found = interface_pressure_mpa(
        interference_mm=interference,
        interface_mm=face,
        outer_mm=outer,
        inner_mm=inner,
        outer_e_mpa=e,
        outer_poisson=nu,
        inner_e_mpa=e,
        inner_poisson=nu,
    )
    equal = (
        (e * interference / face)
        * (outer**2 - face**2)
        * (face**2 - inner**2)
        / (2.0 * face**2 * (outer**2 - inner**2))
    )
    assert found == pytest.approx(equal, rel=1e-9)


def pressure(interference: float, face: float, wall: float, bore: float, e: float) -> float:
    return interface_pressure_mpa(
        interference_mm=interference,
        interface_mm=face,
        outer_mm=face * wall,
        inner_mm=face * bore,
        outer_e_mpa=e,
        outer_poisson=0.33,
        inner_e_mpa=200e3,
        inner_poisson=0.3,
    )


@given(face=faces, wall=walls, bore=bores, e=moduli, times=st.floats(0.01, 100.0))
def test_pressure_is_linear_in_the_interference(
    face: float, wall: float, bore: float, e: float, times: float
) -> None:
    one = pressure(0.01, face, wall, bore, e)
    assert pressure(0.01 * times, face, wall, bore, e) == pytest.approx(one * times)
    assert pressure(0.0, face, wall, bore, e) == 0.0
    assert pressure(-0.01, face, wall, bore, e) == 0.0


@given(face=faces, wall=walls, bore=bores, e=moduli)
def test_inches_and_psi_give_the_same_as_millimetres(
    face: float, wall: float, bore: float, e: float
) -> None:
    psi = 4.4482216152605 / 645.16
    kwargs = {"outer_poisson": 0.3, "inner_poisson": 0.3}
    metric = interface_pressure_mpa(
        interference_mm=0.001 * face,
        interface_mm=face,
        outer_mm=face * wall,
        inner_mm=face * bore,
        outer_e_mpa=e,
        inner_e_mpa=2 * e,
        **kwargs,
    )
    inch = interface_pressure_mpa(
        interference_mm=0.001 * face / 25.4,
        interface_mm=face / 25.4,
        outer_mm=face * wall / 25.4,
        inner_mm=face * bore / 25.4,
        outer_e_mpa=e / psi,
        inner_e_mpa=2 * e / psi,
        **kwargs,
    )
    assert inch * psi == pytest.approx(metric)


@given(face=faces, wall=walls, bore=bores, e=moduli, thicker=st.floats(1.01, 2.0))
def test_a_thicker_ring_and_a_smaller_hole_press_harder(
    face: float, wall: float, bore: float, e: float, thicker: float
) -> None:
    base = pressure(0.02, face, wall, bore, e)
    assert pressure(0.02, face, wall * thicker, bore, e) > base
    assert pressure(0.02, face, wall, bore / thicker, e) >= base


@given(hoop=stresses, radial=stresses)
def test_von_mises_bounds(hoop: float, radial: float) -> None:
    found = von_mises_mpa(hoop_mpa=hoop, radial_mpa=radial)
    largest = max(abs(hoop), abs(radial))
    assert found <= math.sqrt(3.0) * largest + 1e-9
    assert found >= math.sqrt(3.0) / 2.0 * largest - 1e-9
    assert found == pytest.approx(von_mises_mpa(hoop_mpa=-hoop, radial_mpa=-radial))
    if hoop * radial <= 0.0:
        # Tension against pressure is graver than the greater of the two alone.
        assert found >= largest - 1e-9


@given(face=faces, wall=walls, bore=bores, e=moduli)
def test_what_the_faces_give_way_is_the_interference(
    face: float, wall: float, bore: float, e: float
) -> None:
    """Strains at the two faces, from the stresses there by Hooke's law, close the gap."""
    p = pressure(0.05, face, wall, bore, e)
    outer = hoop_outer_bore_mpa(pressure_mpa=p, interface_mm=face, outer_mm=face * wall)
    inner = hoop_inner_interface_mpa(pressure_mpa=p, interface_mm=face, inner_mm=face * bore)
    opened = face * (outer + 0.33 * p) / e
    closed = -face * (inner + 0.3 * p) / 200e3
    assert opened + closed == pytest.approx(0.05)


@given(face=faces, wall=st.floats(1e-4, 1e-3))
def test_a_thin_bushing_in_a_stiff_hub_closes_in_by_the_whole_interference(
    face: float, wall: float
) -> None:
    inner, interference = face * (1.0 - 2.0 * wall), face * 1e-3
    p = interface_pressure_mpa(
        interference_mm=interference,
        interface_mm=face,
        outer_mm=face * 5,
        inner_mm=inner,
        outer_e_mpa=200e3,
        outer_poisson=0.3,
        inner_e_mpa=100e3,
        inner_poisson=0.34,
    )
    closing = bore_closing_mm(pressure_mpa=p, interface_mm=face, inner_mm=inner, inner_e_mpa=100e3)
    assert closing == pytest.approx(interference, rel=5e-3)


@given(face=faces, wall=walls)
def test_the_outside_grows_less_than_the_bore_opens(face: float, wall: float) -> None:
    p = 50.0
    grown = outside_growth_mm(
        pressure_mpa=p, interface_mm=face, outer_mm=face * wall, outer_e_mpa=200e3
    )
    bore = hoop_outer_bore_mpa(pressure_mpa=p, interface_mm=face, outer_mm=face * wall)
    assert 0.0 < grown < face * (bore + 0.3 * p) / 200e3 + 1e-12


def test_a_solid_part_has_no_bore_to_close() -> None:
    closing = bore_closing_mm(pressure_mpa=50, interface_mm=40, inner_mm=0, inner_e_mpa=200e3)
    assert closing == 0.0


@given(p=pressures, face=faces, length=st.floats(1.0, 300.0), mu=st.floats(0.05, 0.3))
def test_torque_is_force_at_the_radius(p: float, face: float, length: float, mu: float) -> None:
    joint = {"pressure_mpa": p, "interface_mm": face, "length_mm": length, "friction": mu}
    assert slip_torque_nm(**joint) == pytest.approx(axial_force_n(**joint) * face / 2000.0)
    longer = {**joint, "length_mm": length * 2}
    assert axial_force_n(**longer) == pytest.approx(2 * axial_force_n(**joint))


@given(face=faces, wall=walls, bore=bores)
def test_compliance_is_the_inverse_of_pressure(face: float, wall: float, bore: float) -> None:
    shape = {
        "interface_mm": face,
        "outer_mm": face * wall,
        "inner_mm": face * bore,
        "outer_e_mpa": 70e3,
        "outer_poisson": 0.33,
        "inner_e_mpa": 205e3,
        "inner_poisson": 0.29,
    }
    compliance = joint_compliance_mm_per_mpa(**shape)
    assume(compliance > 0)
    assert interface_pressure_mpa(interference_mm=compliance * 40, **shape) == pytest.approx(40)


def test_a_hole_of_less_than_a_millimetre_closes_too() -> None:
    """At the edge of a small hole in a thick part the hoop stress is twice the pressure."""
    closing = bore_closing_mm(pressure_mpa=50, interface_mm=40, inner_mm=0.5, inner_e_mpa=200e3)
    assert closing == pytest.approx(2 * 50 * 0.5 / 200e3, rel=1e-3)
