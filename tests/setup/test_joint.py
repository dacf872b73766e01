"""A joint as a whole: its shape, what it carries and how near that is to its strength."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import DataError, InputError
from fitcheck.setup.joint import (
    Joint,
    check_interference,
    check_shape,
    force_and_torque,
    largest_interference_mm,
    limit,
    loads,
    refuse_overload,
    state,
)
from fitcheck.setup.materials import material, material_names


def joint(
    *, outer: float = 90.0, inner: float = 0.0, hub: str = "steel", core: str = "steel"
) -> Joint:
    return Joint(
        interface_mm=60.0,
        outer_mm=outer,
        inner_mm=inner,
        length_mm=30.0,
        outer=material(hub),
        inner=material(core),
        outer_name="hub",
        inner_name="bushing",
    )


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("interface_mm", 0.0, "larger than zero"),
        ("outer_mm", -90.0, "larger than zero"),
        ("length_mm", 0.0, "larger than zero"),
        ("inner_mm", -1.0, "can't be negative"),
        ("outer_mm", 60.0, "the outer diameter must be larger than the interface"),
        ("outer_mm", 45.0, "If 45 mm is the outside radius, give the diameter, 90 mm"),
        ("outer_mm", 20.0, "all three are diameters"),
        ("inner_mm", 60.0, "the inner diameter must be smaller than the interface"),
        ("inner_mm", 75.0, "all three are diameters"),
    ],
)
def test_a_shape_that_cannot_be(field: str, value: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        check_shape(replace(joint(), **{field: value}))


def test_an_interface_given_as_a_radius() -> None:
    with pytest.raises(InputError, match="radius of the interface, give the diameter, 60 mm"):
        check_shape(replace(joint(inner=40.0), interface_mm=30.0))


@pytest.mark.parametrize("value", [0.0, -0.05])
def test_no_interference(value: float) -> None:
    with pytest.raises(InputError, match="larger than zero"):
        check_interference(interference_mm=value, interface_mm=60.0)


def test_an_interference_of_another_unit() -> None:
    check_interference(interference_mm=0.6, interface_mm=60.0)
    with pytest.raises(InputError, match="Check the unit, and that"):
        check_interference(interference_mm=0.762, interface_mm=60.0)
    with pytest.raises(InputError, match=r"50 um \(0.762 mm\) on 60 mm.* unit \(5um or 5mm\?\)"):
        check_interference(
            interference_mm=0.762, interface_mm=60.0, written="50 um", meant=("5um", "5mm")
        )


@pytest.mark.parametrize("hub", material_names())
@pytest.mark.parametrize("core", ["steel", "bronze", "grey-iron"])
def test_at_the_largest_interference_one_part_is_at_its_limit(hub: str, core: str) -> None:
    made = joint(hub=hub, core=core, inner=50.0)
    largest = largest_interference_mm(made)
    assert largest is not None
    found = loads(made, state(made, interference_mm=largest))
    assert max(load.share / load.limit_share for load in found) == pytest.approx(1.0)


def test_verdicts_on_strength() -> None:
    made = joint()
    largest = largest_interference_mm(made)
    assert largest is not None
    for share, verdict in ((0.5, "go"), (0.95, "check"), (1.2, "no-go")):
        hub = loads(made, state(made, interference_mm=share * largest))[0]
        assert (hub.part, hub.verdict) == ("hub", verdict)


def test_past_twice_what_a_ring_carries_nothing_is_worked_out() -> None:
    made = joint()
    largest = largest_interference_mm(made)
    assert largest is not None
    refuse_overload(made, state(made, interference_mm=1.99 * largest))
    with pytest.raises(InputError, match=f"largest these parts carry is {largest:.3f} mm"):
        refuse_overload(made, state(made, interference_mm=2.01 * largest))


def test_a_brittle_ring_is_judged_by_its_tension() -> None:
    made = joint(hub="grey-iron")
    found = state(made, interference_mm=0.02)
    hub = loads(made, found)[0]
    assert hub.stress_mpa == found.hoop_outer_bore_mpa
    squeezed = joint(core="grey-iron", inner=50.0)
    found = state(squeezed, interference_mm=0.02)
    assert loads(squeezed, found)[1].stress_mpa == pytest.approx(-found.hoop_inner_bore_mpa / 3)


def test_a_part_of_unknown_strength_is_left_out() -> None:
    made = joint()
    unknown = replace(made.outer, strength_mpa=None)
    made = replace(made, outer=unknown)
    assert [load.part for load in loads(made, state(made, interference_mm=0.03))] == ["bushing"]
    made = replace(made, inner=unknown)
    assert largest_interference_mm(made) is None
    refuse_overload(made, state(made, interference_mm=0.5))


@given(hundredths=st.integers(-1000, 1000))
def test_a_state_hangs_together(hundredths: int) -> None:
    interference = hundredths / 1e5
    made = joint(inner=40.0)
    found = state(made, interference_mm=interference)
    assert (found.pressure_mpa > 0.0) == (interference > 0.0)
    # At the bore tension stands against pressure; a free face has its hoop stress alone.
    assert found.von_mises_outer_bore_mpa >= abs(found.hoop_outer_bore_mpa)
    assert found.von_mises_inner_bore_mpa == pytest.approx(abs(found.hoop_inner_bore_mpa))
    assert found.bore_after_mm <= made.inner_mm
    assert found.outer_od_after_mm >= made.outer_mm


def test_turning_adds_to_the_hoop_stress_of_the_hub() -> None:
    made = joint()
    still = state(made, interference_mm=0.03)
    turning = state(made, interference_mm=0.03, spin_hoop_mpa=12.0)
    assert turning.hoop_outer_bore_mpa == pytest.approx(still.hoop_outer_bore_mpa + 12.0)
    assert turning.von_mises_outer_bore_mpa > still.von_mises_outer_bore_mpa


def test_force_and_torque_belong_together() -> None:
    force, torque = force_and_torque(joint(), pressure_mpa=50.0, friction=0.1)
    assert torque == pytest.approx(force * 0.030)


def test_a_limit_that_is_not_there_is_a_fault_of_the_table() -> None:
    with pytest.raises(DataError, match="nothing: the table press/limits has no such limit"):
        limit("nothing")
