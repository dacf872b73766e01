"""A pressed joint as a whole: what it carries at one interference and whether it may.

`press` and `shrink` hold the formulas; here they are put together for two parts of known shape
and material, with verdicts and reasons.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.setup.materials import Material
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
from fitcheck.tables import named_row

# A brittle material stands about three times its tensile strength in compression.
_COMPRESSION = 3.0


def limit(name: str) -> float:
    """A named limit of the table ``press/limits``."""
    return named_row("press/limits", name).number("value")


@dataclass(frozen=True, slots=True)
class Joint:
    """Two parts that are fitted together; ``inner_mm`` is 0 where the inner part is solid."""

    interface_mm: float
    outer_mm: float
    inner_mm: float
    length_mm: float
    outer: Material
    inner: Material
    outer_name: str = "outer ring"
    inner_name: str = "inner part"


@dataclass(frozen=True, slots=True)
class State:
    """What stands in a joint at one interference; compression is negative."""

    interference_mm: float
    pressure_mpa: float
    hoop_outer_bore_mpa: float
    hoop_outer_od_mpa: float
    hoop_inner_interface_mpa: float
    hoop_inner_bore_mpa: float
    von_mises_outer_bore_mpa: float
    von_mises_outer_od_mpa: float
    von_mises_inner_interface_mpa: float
    von_mises_inner_bore_mpa: float
    outer_od_after_mm: float
    bore_after_mm: float


@dataclass(frozen=True, slots=True)
class Load:
    """How near one part is to its limit: stress over strength, and what is allowed of it.

    ``side`` is ``outer`` or ``inner``, ``part`` what that part is called.
    """

    side: str
    part: str
    material: Material
    stress_mpa: float
    share: float
    go_share: float
    limit_share: float

    @property
    def verdict(self) -> str:
        """``go``, ``check`` or ``no-go``."""
        if self.share <= self.go_share:
            return "go"
        return "check" if self.share <= self.limit_share else "no-go"


def check_shape(joint: Joint) -> None:
    """Refuse a joint that cannot exist, with the likely slip named.

    Raises
    ------
    InputError
        A dimension is zero or negative, or the diameters do not lie one inside the other.
    """
    for what, value in (
        ("interface", joint.interface_mm),
        ("outer", joint.outer_mm),
        ("length", joint.length_mm),
    ):
        if not value > 0.0:
            raise InputError(
                value=f"{what} {value:g} mm",
                rule="this dimension is larger than zero",
                todo=f"Give the {what} as measured",
            )
    if joint.inner_mm < 0.0:
        raise InputError(
            value=f"inner {joint.inner_mm:g} mm",
            rule="a bore can't be negative",
            todo="Give the bore of the inner part, 0 when it is solid",
        )
    if joint.outer_mm <= joint.interface_mm:
        _refuse_radius("outer", joint.outer_mm, joint, "must be larger than", joint.outer_mm * 2)
    if joint.inner_mm >= joint.interface_mm:
        _refuse_radius("inner", joint.inner_mm, joint, "must be smaller than", joint.inner_mm / 2)


def _refuse_radius(what: str, value_mm: float, joint: Joint, relation: str, other: float) -> None:
    face = joint.interface_mm
    todo = "Check both; all three are diameters"
    if what == "outer" and other > face:
        todo = f"If {value_mm:g} mm is the outside radius, give the diameter, {other:g} mm"
    elif what == "inner" and value_mm < 2 * face < joint.outer_mm:
        todo = f"If {face:g} mm is the radius of the interface, give the diameter, {2 * face:g} mm"
    raise InputError(
        value=f"{what} {value_mm:g} mm with interface {face:g} mm",
        rule=f"the {what} diameter {relation} the interface diameter",
        todo=todo,
    )


def check_interference(
    *, interference_mm: float, interface_mm: float, written: str = "", meant: Sequence[str] = ()
) -> None:
    """Refuse an interference that no joint of metal can have.

    Parameters
    ----------
    interference_mm : float
        Diametral interference [mm].
    interface_mm : float
        Diameter of the fitted faces [mm].
    written : str
        The interference as it was written, for the message.
    meant : sequence of str
        What may have been meant instead, for the message.

    Raises
    ------
    InputError
        It is zero or negative, or more than a hundredth of the diameter.
    """
    if not interference_mm > 0.0:
        raise InputError(
            value=f"interference {interference_mm:g} mm",
            rule="an interference is larger than zero: the inner part is larger than the hole",
            todo="Measure both; with a clearance nothing is pressed: see `fitcheck fit`",
        )
    share = limit("interference_share_limit")
    if interference_mm > share * interface_mm:
        in_mm = f"{interference_mm:.4g} mm"
        shown = in_mm if written in ("", in_mm) else f"{written} ({in_mm})"
        guess = f" ({' or '.join(meant)}?)" if meant else ""
        raise InputError(
            value=f"interference {shown} on {interface_mm:g} mm",
            rule=f"this is more than {share:.0%} of the diameter, and metal yields at about a "
            "fifth of that",
            todo=f"Check the unit{guess}, and that the interface is a diameter, not a radius",
        )


def pressure_of(joint: Joint, interference_mm: float) -> float:
    """Interface pressure of a joint at an interference, both in base units."""
    return interface_pressure_mpa(interference_mm=interference_mm, **_elasticity(joint))


def _elasticity(joint: Joint) -> dict[str, float]:
    return {
        "interface_mm": joint.interface_mm,
        "outer_mm": joint.outer_mm,
        "inner_mm": joint.inner_mm,
        "outer_e_mpa": joint.outer.e_mpa,
        "outer_poisson": joint.outer.poisson,
        "inner_e_mpa": joint.inner.e_mpa,
        "inner_poisson": joint.inner.poisson,
    }


def state(joint: Joint, *, interference_mm: float, spin_hoop_mpa: float = 0.0) -> State:
    """Pressure, stresses and sizes of a joint at one interference.

    Parameters
    ----------
    joint : Joint
        The two parts.
    interference_mm : float
        Diametral interference; none is zero or less [mm].
    spin_hoop_mpa : float
        Hoop stress at the outer ring's bore that turning adds [MPa].

    Returns
    -------
    State
    """
    face, outside, bore = joint.interface_mm, joint.outer_mm, joint.inner_mm
    p = pressure_of(joint, interference_mm)
    outer_bore = spin_hoop_mpa + hoop_outer_bore_mpa(
        pressure_mpa=p, interface_mm=face, outer_mm=outside
    )
    outer_od = hoop_outer_od_mpa(pressure_mpa=p, interface_mm=face, outer_mm=outside)
    inner_face = hoop_inner_interface_mpa(pressure_mpa=p, interface_mm=face, inner_mm=bore)
    inner_bore = hoop_inner_bore_mpa(pressure_mpa=p, interface_mm=face, inner_mm=bore)
    growth = outside_growth_mm(
        pressure_mpa=p, interface_mm=face, outer_mm=outside, outer_e_mpa=joint.outer.e_mpa
    )
    closing = bore_closing_mm(
        pressure_mpa=p, interface_mm=face, inner_mm=bore, inner_e_mpa=joint.inner.e_mpa
    )
    return State(
        interference_mm=interference_mm,
        pressure_mpa=p,
        hoop_outer_bore_mpa=outer_bore,
        hoop_outer_od_mpa=outer_od,
        hoop_inner_interface_mpa=inner_face,
        hoop_inner_bore_mpa=inner_bore,
        von_mises_outer_bore_mpa=von_mises_mpa(hoop_mpa=outer_bore, radial_mpa=-p),
        von_mises_outer_od_mpa=abs(outer_od),
        von_mises_inner_interface_mpa=von_mises_mpa(hoop_mpa=inner_face, radial_mpa=-p),
        # In the middle of a solid part the radial stress is the pressure; at a bore it is none.
        von_mises_inner_bore_mpa=von_mises_mpa(
            hoop_mpa=inner_bore, radial_mpa=0.0 if bore > 0.0 else -p
        ),
        outer_od_after_mm=outside + growth,
        bore_after_mm=bore - closing,
    )


def force_and_torque(joint: Joint, *, pressure_mpa: float, friction: float) -> tuple[float, float]:
    """The axial force and the torque at which a joint slips.

    Parameters
    ----------
    joint : Joint
        The two parts.
    pressure_mpa : float
        Pressure at the interface [MPa].
    friction : float
        Coefficient of friction.

    Returns
    -------
    tuple of float
        Force [N] and torque [N.m].
    """
    force = axial_force_n(
        pressure_mpa=pressure_mpa,
        interface_mm=joint.interface_mm,
        length_mm=joint.length_mm,
        friction=friction,
    )
    torque = slip_torque_nm(
        pressure_mpa=pressure_mpa,
        interface_mm=joint.interface_mm,
        length_mm=joint.length_mm,
        friction=friction,
    )
    return force, torque


def loads(joint: Joint, found: State) -> tuple[Load, ...]:
    """How near each part is to its strength; a part of unknown strength is left out."""
    stresses = (
        (
            "outer",
            joint.outer_name,
            joint.outer,
            found.von_mises_outer_bore_mpa,
            found.hoop_outer_bore_mpa,
        ),
        (
            "inner",
            joint.inner_name,
            joint.inner,
            max(found.von_mises_inner_bore_mpa, found.von_mises_inner_interface_mpa),
            min(found.hoop_inner_bore_mpa, found.hoop_inner_interface_mpa),
        ),
    )
    weighed = []
    for side, part, material, equivalent, hoop in stresses:
        if material.strength_mpa is None:
            continue
        stress = equivalent
        if material.brittle:
            stress = hoop if hoop > 0.0 else -hoop / _COMPRESSION
        kind = "brittle" if material.brittle else "strength"
        weighed.append(
            Load(
                side=side,
                part=part,
                material=material,
                stress_mpa=stress,
                share=stress / material.strength_mpa,
                go_share=limit(f"{kind}_share_go"),
                limit_share=limit(f"{kind}_share_limit"),
            )
        )
    return tuple(weighed)


def largest_interference_mm(joint: Joint) -> float | None:
    """Diametral interference at which the weaker part reaches its limit; None where unknown."""
    unit = loads(
        joint, state(joint, interference_mm=joint_compliance_mm_per_mpa(**_elasticity(joint)))
    )
    pressures = [load.limit_share / load.share for load in unit]
    if not pressures:
        return None
    return min(pressures) * joint_compliance_mm_per_mpa(**_elasticity(joint))


def refuse_overload(joint: Joint, found: State, *, assumed: frozenset[str] = frozenset()) -> None:
    """Refuse an interference for which elastic theory says nothing any more.

    Parameters
    ----------
    joint : Joint
        The two parts.
    found : State
        What stands in them.
    assumed : frozenset of str
        The sides whose material nobody gave, for the message.

    Raises
    ------
    InputError
        By elastic theory a part would stand more than twice what it may.
    """
    for load in loads(joint, found):
        if load.share <= limit("refuse_share") * load.limit_share:
            continue
        largest = largest_interference_mm(joint) or 0.0
        raise InputError(
            value=f"interference {found.interference_mm:.6g} mm on {joint.interface_mm:g} mm",
            rule=f"the {load.part} of {load.material.name} can't carry it: by elastic theory the "
            f"stress would be {load.stress_mpa:.0f} MPa, and its {load.material.strength} "
            f"strength is {load.material.strength_mpa:g} MPa",
            todo=f"The largest these parts carry is {largest:.3f} mm; check that interference and "
            "diameters are diameters in the right unit"
            + (
                f", or give the {load.part}'s material with --{load.side}-material: "
                f"{load.material.name} is only taken"
                if load.side in assumed
                else ""
            ),
        )
