"""What a pressed joint does: the force and torque it takes or holds, and how its parts change."""

from __future__ import annotations

import math

from fitcheck.setup.press import hoop_inner_bore_mpa, hoop_outer_od_mpa


def axial_force_n(
    *, pressure_mpa: float, interface_mm: float, length_mm: float, friction: float
) -> float:
    """Force that pushes the joint along at full engagement, or that it holds.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    length_mm : float
        Length of engagement [mm].
    friction : float
        Coefficient of friction.

    Returns
    -------
    float
        Force [N].

    Examples
    --------
    >>> round(axial_force_n(pressure_mpa=73, interface_mm=105, length_mm=120, friction=0.11), -3)
    318000.0

    Source: Fundamentals of Machine Elements, press-fit hub (matches; from memory).
    """
    return friction * pressure_mpa * math.pi * interface_mm * length_mm


def slip_torque_nm(
    *, pressure_mpa: float, interface_mm: float, length_mm: float, friction: float
) -> float:
    """Torque at which the joint slips around.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    length_mm : float
        Length of engagement [mm].
    friction : float
        Coefficient of friction.

    Returns
    -------
    float
        Torque [N.m].

    Examples
    --------
    >>> round(slip_torque_nm(pressure_mpa=21.72, interface_mm=100, length_mm=100, friction=0.15))
    5118

    Source: Mechanical Design of Machine Components, Designing a Press Fit, prints 5.12 kN.m
    (matches; from memory).
    """
    force_n = axial_force_n(
        pressure_mpa=pressure_mpa,
        interface_mm=interface_mm,
        length_mm=length_mm,
        friction=friction,
    )
    return force_n * interface_mm / 2000.0


def bore_closing_mm(
    *, pressure_mpa: float, interface_mm: float, inner_mm: float, inner_e_mpa: float
) -> float:
    """How much the bore of a pressed-in ring closes in.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    inner_mm : float
        Bore before pressing, 0 when solid [mm].
    inner_e_mpa : float
        Modulus of elasticity of the ring [MPa].

    Returns
    -------
    float
        Loss of bore diameter [mm].

    Notes
    -----
    At a free bore only the hoop stress stands, so the strain there is hoop / E. A thin ring in a
    heavy hub closes in by nearly the whole interference.

    Examples
    --------
    >>> round(bore_closing_mm(pressure_mpa=20, interface_mm=60, inner_mm=50, inner_e_mpa=100e3), 4)
    0.0655

    Source: Lamé's equations (from memory).
    """
    if inner_mm <= 0.0:
        return 0.0
    hoop_mpa = hoop_inner_bore_mpa(
        pressure_mpa=pressure_mpa, interface_mm=interface_mm, inner_mm=inner_mm
    )
    return -hoop_mpa * inner_mm / inner_e_mpa


def outside_growth_mm(
    *, pressure_mpa: float, interface_mm: float, outer_mm: float, outer_e_mpa: float
) -> float:
    """How much the outside of the outer ring grows.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter before fitting [mm].
    outer_e_mpa : float
        Modulus of elasticity of the outer ring [MPa].

    Returns
    -------
    float
        Growth of the outside diameter [mm].

    Examples
    --------
    >>> round(outside_growth_mm(pressure_mpa=60, interface_mm=60, outer_mm=65,
    ...                         outer_e_mpa=200e3), 4)
    0.2246

    Source: Lamé's equations (from memory).
    """
    hoop_mpa = hoop_outer_od_mpa(
        pressure_mpa=pressure_mpa, interface_mm=interface_mm, outer_mm=outer_mm
    )
    return hoop_mpa * outer_mm / outer_e_mpa
