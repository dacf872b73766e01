"""Pressed and shrunk joints by thick-ring theory: pressure and stresses.

An outer ring sits with interference on a solid or hollow inner part of the same or another
material. All diameters and the interference are diametral. The theory is that of Lamé for rings
in plane stress, elastic throughout, with no change along the length.
"""

from __future__ import annotations

import math


def _ring_factor(*, large_mm: float, small_mm: float) -> float:
    """(D2 + d2) / (D2 - d2), by which a ring turns pressure at its fitted face into hoop stress."""
    return (large_mm**2 + small_mm**2) / (large_mm**2 - small_mm**2)


def joint_compliance_mm_per_mpa(
    *,
    interface_mm: float,
    outer_mm: float,
    inner_mm: float,
    outer_e_mpa: float,
    outer_poisson: float,
    inner_e_mpa: float,
    inner_poisson: float,
) -> float:
    """Diametral interference that a unit of interface pressure takes up.

    Parameters
    ----------
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter of the outer ring, over ``interface_mm`` [mm].
    inner_mm : float
        Bore of the inner part, 0 when solid [mm].
    outer_e_mpa : float
        Modulus of elasticity of the outer ring [MPa].
    outer_poisson : float
        Poisson's ratio of the outer ring.
    inner_e_mpa : float
        Modulus of elasticity of the inner part [MPa].
    inner_poisson : float
        Poisson's ratio of the inner part.

    Returns
    -------
    float
        Interference over pressure [mm/MPa].

    Notes
    -----
    d/Eo [(Do^2 + d^2) / (Do^2 - d^2) + nuo] + d/Ei [(d^2 + Di^2) / (d^2 - Di^2) - nui].

    Source: Lamé's equations; Advanced Strength and Applied Elasticity, 2nd ed.,
    section 8.5 (from memory).
    """
    outer = _ring_factor(large_mm=outer_mm, small_mm=interface_mm) + outer_poisson
    inner = _ring_factor(large_mm=interface_mm, small_mm=inner_mm) - inner_poisson
    return interface_mm * (outer / outer_e_mpa + inner / inner_e_mpa)


def interface_pressure_mpa(
    *,
    interference_mm: float,
    interface_mm: float,
    outer_mm: float,
    inner_mm: float,
    outer_e_mpa: float,
    outer_poisson: float,
    inner_e_mpa: float,
    inner_poisson: float,
) -> float:
    """Pressure between the fitted faces, from the interference.

    Parameters
    ----------
    interference_mm : float
        Diametral interference; zero or less is no pressure [mm].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter of the outer ring, over ``interface_mm`` [mm].
    inner_mm : float
        Bore of the inner part, 0 when solid [mm].
    outer_e_mpa : float
        Modulus of elasticity of the outer ring [MPa].
    outer_poisson : float
        Poisson's ratio of the outer ring.
    inner_e_mpa : float
        Modulus of elasticity of the inner part [MPa].
    inner_poisson : float
        Poisson's ratio of the inner part.

    Returns
    -------
    float
        Pressure [MPa].

    Notes
    -----
    Linear in the interference as long as both parts stay elastic.

    Examples
    --------
    Radii 150, 200 and 250 mm, radial interference 0.1 mm, steel; matches the printed 12.3 MPa.

    >>> pressure = interface_pressure_mpa(
    ...     interference_mm=0.2, interface_mm=400, outer_mm=500, inner_mm=300,
    ...     outer_e_mpa=200e3, outer_poisson=0.3, inner_e_mpa=200e3, inner_poisson=0.3)
    >>> round(pressure, 1)
    12.3

    Source: Advanced Strength and Applied Elasticity, 2nd ed., Example 8.3.
    """
    compliance = joint_compliance_mm_per_mpa(
        interface_mm=interface_mm,
        outer_mm=outer_mm,
        inner_mm=inner_mm,
        outer_e_mpa=outer_e_mpa,
        outer_poisson=outer_poisson,
        inner_e_mpa=inner_e_mpa,
        inner_poisson=inner_poisson,
    )
    return max(0.0, interference_mm) / compliance


def hoop_outer_bore_mpa(*, pressure_mpa: float, interface_mm: float, outer_mm: float) -> float:
    """Hoop stress of the outer ring at its bore; tension is positive.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter of the outer ring [mm].

    Returns
    -------
    float
        Stress [MPa].

    Examples
    --------
    >>> round(hoop_outer_bore_mpa(pressure_mpa=12.3, interface_mm=400, outer_mm=500), 2)
    56.03

    Source: Lamé's equations; Advanced Strength and Applied Elasticity, 2nd ed.,
    Example 8.3 (matches).
    """
    return pressure_mpa * _ring_factor(large_mm=outer_mm, small_mm=interface_mm)


def hoop_outer_od_mpa(*, pressure_mpa: float, interface_mm: float, outer_mm: float) -> float:
    """Hoop stress of the outer ring at its outside; tension is positive.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter of the outer ring [mm].

    Returns
    -------
    float
        Stress [MPa].

    Examples
    --------
    >>> round(hoop_outer_od_mpa(pressure_mpa=12.3, interface_mm=400, outer_mm=500), 2)
    43.73

    Source: Lamé's equations; Advanced Strength and Applied Elasticity, 2nd ed.,
    Example 8.3 (matches).
    """
    return 2.0 * pressure_mpa * interface_mm**2 / (outer_mm**2 - interface_mm**2)


def hoop_inner_interface_mpa(*, pressure_mpa: float, interface_mm: float, inner_mm: float) -> float:
    """Hoop stress of the inner part at the interface; compression is negative.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    inner_mm : float
        Bore of the inner part, 0 when solid [mm].

    Returns
    -------
    float
        Stress [MPa].

    Examples
    --------
    >>> round(hoop_inner_interface_mpa(pressure_mpa=12.3, interface_mm=400, inner_mm=300), 2)
    -43.93

    Source: Lamé's equations; Advanced Strength and Applied Elasticity, 2nd ed.,
    Example 8.3 (matches).
    """
    return -pressure_mpa * _ring_factor(large_mm=interface_mm, small_mm=inner_mm)


def hoop_inner_bore_mpa(*, pressure_mpa: float, interface_mm: float, inner_mm: float) -> float:
    """Hoop stress of the inner part at its bore, or at its middle when solid.

    Parameters
    ----------
    pressure_mpa : float
        Pressure at the interface [MPa].
    interface_mm : float
        Diameter of the fitted faces [mm].
    inner_mm : float
        Bore of the inner part, 0 when solid [mm].

    Returns
    -------
    float
        Stress; compression is negative [MPa].

    Notes
    -----
    A solid part is under the same pressure everywhere; the smallest hole doubles the stress there.

    Examples
    --------
    >>> round(hoop_inner_bore_mpa(pressure_mpa=12.3, interface_mm=400, inner_mm=300), 2)
    -56.23
    >>> hoop_inner_bore_mpa(pressure_mpa=12.3, interface_mm=400, inner_mm=0)
    -12.3

    Source: Lamé's equations; Advanced Strength and Applied Elasticity, 2nd ed.,
    Example 8.3 (matches).
    """
    if inner_mm <= 0.0:
        return -pressure_mpa
    return -2.0 * pressure_mpa * interface_mm**2 / (interface_mm**2 - inner_mm**2)


def von_mises_mpa(*, hoop_mpa: float, radial_mpa: float) -> float:
    """Equivalent stress of a hoop and a radial stress without axial stress.

    Parameters
    ----------
    hoop_mpa : float
        Hoop stress, tension positive [MPa].
    radial_mpa : float
        Radial stress, minus the pressure at a pressed face and 0 at a free one [MPa].

    Returns
    -------
    float
        Equivalent stress [MPa].

    Examples
    --------
    >>> von_mises_mpa(hoop_mpa=-80.0, radial_mpa=-80.0)
    80.0

    Source: von Mises' criterion in plane stress (from memory).
    """
    return math.sqrt(hoop_mpa**2 - hoop_mpa * radial_mpa + radial_mpa**2)
