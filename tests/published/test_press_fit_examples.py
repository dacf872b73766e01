"""Worked examples of press and shrink fits as textbooks print them, to the printed digits.

Where an author went on from a rounded pressure, the stresses are reproduced from that pressure.
Two printed values are wrong, and shown to be.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from fitcheck.job.press.answer import PressRequest, answer
from fitcheck.setup.press import (
    hoop_inner_bore_mpa,
    hoop_inner_interface_mpa,
    hoop_outer_bore_mpa,
    hoop_outer_od_mpa,
    interface_pressure_mpa,
    joint_compliance_mm_per_mpa,
)
from fitcheck.setup.press_effects import axial_force_n, slip_torque_nm
from fitcheck.setup.shrink import heat_outer_by_k, speed_loss_mm

# Pounds and inches go through the same formulas: they only ask for one consistent set of units.


def alike(e: float, poisson: float = 0.3) -> dict[str, float]:
    """Both parts of one material."""
    return {
        "outer_e_mpa": e,
        "outer_poisson": poisson,
        "inner_e_mpa": e,
        "inner_poisson": poisson,
    }


def hoops(pressure: float, interface: float, outer: float, inner: float) -> tuple[float, ...]:
    """Outer bore, outer outside, inner interface, inner bore."""
    return (
        hoop_outer_bore_mpa(pressure_mpa=pressure, interface_mm=interface, outer_mm=outer),
        hoop_outer_od_mpa(pressure_mpa=pressure, interface_mm=interface, outer_mm=outer),
        hoop_inner_interface_mpa(pressure_mpa=pressure, interface_mm=interface, inner_mm=inner),
        hoop_inner_bore_mpa(pressure_mpa=pressure, interface_mm=interface, inner_mm=inner),
    )


class TestAdvancedMechanicsOfMaterialsElevenThree:
    """6th ed., p.398: 20/50/100 mm, radial 0.072 mm, E 200 GPa, nu 0.29, alpha 11.7e-6."""

    sizes = (50.0, 100.0, 20.0)
    printed_hoops = (314.94, 125.98, -260.95, -449.92)

    def pressure(self) -> float:
        return interface_pressure_mpa(
            interference_mm=0.144,
            interface_mm=50,
            outer_mm=100,
            inner_mm=20,
            **alike(200e3, 0.29),
        )

    def test_stresses(self) -> None:
        # Every printed stress stands 0.02 % below the exact answer, as it would if the two
        # flexibilities were rounded to five decimals of um/MPa before they were added.
        flexibilities = (0.00024460, 0.00013642)
        rounded = 0.072 / sum(flexibilities)
        exact = self.pressure()
        assert rounded == pytest.approx(exact, rel=3e-4)
        for found, printed in zip(hoops(exact, *self.sizes), self.printed_hoops, strict=True):
            assert found == pytest.approx(printed, rel=3e-4)
        for found, printed in zip(hoops(rounded, *self.sizes), self.printed_hoops, strict=True):
            assert round(found, 2) == pytest.approx(printed, abs=0.011)

    def test_the_printed_pressure_is_wrong(self) -> None:
        """Printed 189.1 MPa; the data give 189.0, and so do the four stresses printed beside it."""
        assert round(self.pressure(), 1) == 189.0
        for ratio, printed in zip(hoops(1.0, *self.sizes), self.printed_hoops, strict=True):
            implied = printed / ratio
            assert round(implied, 1) == 189.0
            assert abs(189.1 * ratio - printed) > 0.05

    def test_heat(self) -> None:
        rise = heat_outer_by_k(
            interference_mm=0.144, clearance_mm=0.05, interface_mm=50, outer_alpha=11.7e-6
        )
        assert round(rise, 2) == 331.62

    def test_the_whole_answer(self) -> None:
        steel = "e=200GPa,nu=0.29,alpha=11.7e-6,yield=1500"
        found = answer(
            PressRequest(
                interface="50",
                outer="100",
                inner="20",
                length="60",
                interference="0.144",
                outer_material=steel,
                inner_material=steel,
                clearance="0.05",
            )
        )
        assert found["pressure_mpa"] == pytest.approx(189.0, abs=0.001)
        assert found["heat_outer_by_k"] == pytest.approx(331.62, abs=0.005)
        assert found["heat_outer_to_c"] == pytest.approx(351.62, abs=0.005)


def test_strength_of_materials_radial_allowance() -> None:
    """200/250/300 mm at 30 MPa, E 200 GPa: radial shrinkage allowance 0.189 mm."""
    compliance = joint_compliance_mm_per_mpa(
        interface_mm=250, outer_mm=300, inner_mm=200, **alike(200e3)
    )
    assert round(30 * compliance / 2, 3) == 0.189


class TestStrengthOfMaterialsCompoundRing:
    """300/400/500 mm, difference of diameters 0.2 mm, E 200 GPa, alpha 12e-6."""

    def test_pressure(self) -> None:
        pressure = interface_pressure_mpa(
            interference_mm=0.2, interface_mm=400, outer_mm=500, inner_mm=300, **alike(200e3)
        )
        assert round(pressure, 1) == 12.3

    def test_the_printed_heat_is_wrong(self) -> None:
        """Printed 66.67 C: the difference of diameters was divided by the outer radius, 250.

        It stretches the interface diameter, 400: 41.67 C. The check is independent of the
        formula: at the printed rise the bore would be a third of a millimetre too wide.
        """
        rise = heat_outer_by_k(
            interference_mm=0.2, clearance_mm=0.0, interface_mm=400, outer_alpha=12e-6
        )
        assert round(rise, 2) == 41.67
        assert round(0.2 / (12e-6 * 250), 2) == 66.67
        assert pytest.approx(0.2, abs=1e-4) == 400 * 12e-6 * 41.67
        assert pytest.approx(0.32, abs=1e-4) == 400 * 12e-6 * 66.67


class TestAdvancedStrengthEightThree:
    """Advanced Strength and Applied Elasticity, 2nd ed., p.243: radii 150/200/250, radial 0.1."""

    def pressure(self) -> float:
        return interface_pressure_mpa(
            interference_mm=0.2, interface_mm=400, outer_mm=500, inner_mm=300, **alike(200e3)
        )

    def test_pressure(self) -> None:
        assert round(self.pressure(), 1) == 12.3

    def test_stresses_from_the_printed_pressure(self) -> None:
        found = [round(value, 2) for value in hoops(12.3, 400, 500, 300)]
        assert found == [56.03, 43.73, -43.93, -56.23]

    def test_stresses_at_full_precision_lie_beside(self) -> None:
        printed = (56.03, 43.73, -43.93, -56.23)
        for found, value in zip(hoops(self.pressure(), 400, 500, 300), printed, strict=True):
            assert found == pytest.approx(value, rel=5e-4)


class TestAdvancedStrengthEightFour:
    """p.246: disc of 500 on a solid shaft of 100 mm, free at 6900 rpm; rho 7800, E 200 GPa."""

    def loss(self) -> float:
        return speed_loss_mm(
            rpm=6900,
            interface_mm=100,
            outer_mm=500,
            inner_mm=0,
            outer_density_kg_m3=7800,
            inner_density_kg_m3=7800,
            **alike(200e3),
        )

    def test_radial_interference_lost_at_speed(self) -> None:
        assert round(self.loss() / 2, 4) == 0.0525

    def test_standstill_pressure_and_stress(self) -> None:
        pressure = interface_pressure_mpa(
            interference_mm=self.loss(), interface_mm=100, outer_mm=500, inner_mm=0, **alike(200e3)
        )
        assert round(pressure, 2) == 100.79
        hoop = hoop_outer_bore_mpa(pressure_mpa=pressure, interface_mm=100, outer_mm=500)
        assert round(hoop, 2) == 109.19

    def test_the_whole_answer_comes_free_at_that_speed(self) -> None:
        steel = "e=200000,nu=0.3,alpha=12e-6,rho=7800,yield=500"
        found = answer(
            PressRequest(
                interface="100",
                outer="500",
                length="50",
                interference="0.104991",
                outer_material=steel,
                inner_material=steel,
                rpm="3450rpm",
            )
        )
        # Half the speed loses a quarter.
        left = found["in_service"]
        assert left["lost_speed_mm"] == pytest.approx(self.loss() / 4, abs=1e-6)
        assert left["free_rpm"] == pytest.approx(6900, rel=1e-4)


class TestStrengthOfMaterialsPartII:
    """Radii 4/6/8 in, radial 0.005 in, E 30e6 psi (from memory): 4050 and -14580 psi."""

    def pressure(self) -> float:
        return interface_pressure_mpa(
            interference_mm=0.010, interface_mm=12, outer_mm=16, inner_mm=8, **alike(30e6)
        )

    def test_pressure_to_its_three_figures(self) -> None:
        assert self.pressure() == pytest.approx(4050.9, abs=0.05)
        assert round(self.pressure(), -1) == 4050

    def test_stresses_from_the_printed_pressure(self) -> None:
        found = hoops(4050, 12, 16, 8)
        assert round(found[3]) == -14580
        # Not printed: 4050 x 100 / 28.
        assert found[0] == pytest.approx(14464.3, abs=0.05)

    def test_the_same_in_millimetres(self) -> None:
        """The whole answer, asked in inches, gives the same pressure in MPa."""
        steel = f"e={30e6 * 4.4482216152605 / 645.16},nu=0.3,alpha=11.7e-6,yield=400"
        found = answer(
            PressRequest(
                interface="12",
                outer="16",
                inner="8",
                length="4",
                interference="10thou",
                outer_material=steel,
                inner_material=steel,
                unit="in",
            )
        )
        psi = found["pressure_mpa"] * 645.16 / 4.4482216152605
        assert psi == pytest.approx(self.pressure(), rel=1e-6)


class TestFundamentalsOfMachineElements:
    """Solid 105, hub 160, 120 mm wide, 0.130 mm, E 207 GPa, friction 0.11 (from memory)."""

    def pressure(self) -> float:
        return interface_pressure_mpa(
            interference_mm=0.130, interface_mm=105, outer_mm=160, inner_mm=0, **alike(207e3)
        )

    def test_pressure(self) -> None:
        assert round(self.pressure()) == 73

    def test_force_and_torque(self) -> None:
        joint = {"interface_mm": 105.0, "length_mm": 120.0, "friction": 0.11}
        for pressure in (73.0, self.pressure()):
            assert round(axial_force_n(pressure_mpa=pressure, **joint), -3) == 318_000
            torque = slip_torque_nm(pressure_mpa=pressure, **joint)
            assert torque == pytest.approx(318_000 * 0.0525, rel=2e-3)

    def test_the_whole_answer(self) -> None:
        found = answer(
            PressRequest(
                interface="105",
                outer="160",
                length="120",
                interference="0.130",
                outer_material="steel,e=207000",
                inner_material="steel,e=207GPa",
                friction="0.11",
            )
        )
        assert round(found["pressure_mpa"]) == 73
        assert round(found["force_n"], -3) == 318_000


IRON_ON_STEEL = {
    "outer_e_mpa": 70e3,
    "outer_poisson": 0.25,
    "inner_e_mpa": 210e3,
    "inner_poisson": 0.3,
}


class TestDesigningAPressFit:
    """Mechanical Design of Machine Components, "Designing a Press Fit" (from memory).

    Two materials: a solid steel shaft of radius 50 mm (E 210 GPa, nu 0.3) in a cast-iron disc of
    radius 125 mm and length 100 mm (E 70 GPa, nu 0.25); friction 0.15; the hoop stress in the disc
    is to be 30 MPa. Printed: pressure 21.72 MPa, radial interference 0.0289 mm, axial force
    102.4 kN and torque 5.12 kN.m.

    By hand: p = 30 x (125^2 - 50^2) / (125^2 + 50^2) = 30 x 13125 / 18125 = 21.724;
    disc 50 x 21.724 / 70000 x (18125/13125 + 0.25) = 0.025308,
    shaft 50 x 21.724 / 210000 x 0.7 = 0.003621, together 0.028929 mm.
    """

    def test_pressure_from_the_stress(self) -> None:
        hoop = hoop_outer_bore_mpa(pressure_mpa=1.0, interface_mm=100, outer_mm=250)
        assert round(30 / hoop, 2) == 21.72

    def test_interference(self) -> None:
        compliance = joint_compliance_mm_per_mpa(
            interface_mm=100, outer_mm=250, inner_mm=0, **IRON_ON_STEEL
        )
        by_hand = 50 * 21.72 / 70e3 * (18125 / 13125 + 0.25) + 50 * 21.72 / 210e3 * 0.7
        assert 21.72 * compliance / 2 == pytest.approx(by_hand, rel=1e-12)
        assert round(21.72 * compliance / 2, 4) == 0.0289

    def test_force_and_torque(self) -> None:
        joint = {"interface_mm": 100.0, "length_mm": 100.0, "friction": 0.15}
        force = axial_force_n(pressure_mpa=21.72, **joint)
        assert round(force / 1000, 1) == 102.4
        assert force == pytest.approx(2 * math.pi * 50 * 21.72 * 0.15 * 100)
        assert round(slip_torque_nm(pressure_mpa=21.72, **joint) / 1000, 2) == 5.12

    def test_the_whole_answer(self) -> None:
        found = answer(
            PressRequest(
                interface="100",
                outer="250",
                length="100",
                interference="57.86um",
                outer_material="grey iron,e=70000,nu=0.25",
                inner_material="steel,e=210000",
                friction="0.15",
            )
        )
        assert round(found["hoop_outer_bore_mpa"]) == 30
        assert found["torque_nm"] == pytest.approx(5120, rel=2e-3)


COLLARS: list[tuple[str, float, float, Any]] = [
    # 80 mm steel collar on a 40 mm shaft, E 207 GPa: p = E d / (D) (Do2 - D2) / (2 Do2), by hand
    # from the ISO limits 40H7 (0/+25) and s6 (+59/+43). From memory: 115 and 34.9 MPa.
    ("H7/s6", 0.059, 0.018, (114.5, 34.9)),
]


@pytest.mark.parametrize(("fit", "tight", "loose", "pressures"), COLLARS)
def test_a_collar_at_both_limits_of_a_fit(
    fit: str, tight: float, loose: float, pressures: tuple[float, float]
) -> None:
    found = answer(
        PressRequest(
            interface="40",
            outer="80",
            length="20",
            fit=fit,
            outer_material="steel,e=207000",
            inner_material="steel,e=207000",
        )
    )
    assert found["tight"]["interference_mm"] == pytest.approx(tight)
    assert found["loose"]["interference_mm"] == pytest.approx(loose)
    by_hand = [207e3 * delta / 40 * (80**2 - 40**2) / (2 * 80**2) for delta in (tight, loose)]
    assert [found[k]["pressure_mpa"] for k in ("tight", "loose")] == pytest.approx(by_hand)
    assert [round(value, 1) for value in by_hand] == list(pressures)
