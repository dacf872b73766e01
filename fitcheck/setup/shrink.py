"""Heating and cooling for a shrink fit, and what takes interference away again.

Clearances, interferences and losses are diametral.
"""

from __future__ import annotations

import math

_KG_M3_TO_T_MM3 = 1e-12


def heat_outer_by_k(
    *, interference_mm: float, clearance_mm: float, interface_mm: float, outer_alpha: float
) -> float:
    """How much hotter than room temperature the outer ring must be to slip on.

    Parameters
    ----------
    interference_mm : float
        Diametral interference [mm].
    clearance_mm : float
        Diametral clearance wanted when hot [mm].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_alpha : float
        Linear expansion of the outer ring [1/K].

    Returns
    -------
    float
        Rise of temperature [K].

    Notes
    -----
    The bore of a ring grows as if it were filled: by its own diameter, not the outside's.

    Examples
    --------
    Radial interference 0.072 and clearance 0.025 mm on 50 mm; matches the printed 331.62.

    >>> round(heat_outer_by_k(interference_mm=0.144, clearance_mm=0.05, interface_mm=50,
    ...                       outer_alpha=11.7e-6), 2)
    331.62

    Source: Advanced Mechanics of Materials, 6th ed., Example 11.3.
    """
    return (interference_mm + clearance_mm) / (outer_alpha * interface_mm)


def cool_inner_by_k(
    *, interference_mm: float, clearance_mm: float, interface_mm: float, inner_alpha_cold: float
) -> float:
    """How much colder than room temperature the inner part must be to slip in.

    Parameters
    ----------
    interference_mm : float
        Diametral interference [mm].
    clearance_mm : float
        Diametral clearance wanted when cold [mm].
    interface_mm : float
        Diameter of the fitted faces [mm].
    inner_alpha_cold : float
        Mean linear contraction of the inner part in the cold [1/K].

    Returns
    -------
    float
        Fall of temperature [K].

    Notes
    -----
    Metals contract less for each kelvin the colder they are; the mean down to liquid nitrogen is
    about three quarters of the handbook value.

    Examples
    --------
    >>> round(cool_inner_by_k(interference_mm=0.03, clearance_mm=0.03, interface_mm=62,
    ...                       inner_alpha_cold=8.5e-6), 1)
    113.9

    Source: DIN 7190-1 (from memory).
    """
    return (interference_mm + clearance_mm) / (inner_alpha_cold * interface_mm)


def roughness_loss_mm(*, outer_rz_um: float, inner_rz_um: float, loss_share: float) -> float:
    """Interference lost because the peaks of both faces are flattened.

    Parameters
    ----------
    outer_rz_um : float
        Mean peak-to-valley height of the outer ring's bore [um].
    inner_rz_um : float
        Mean peak-to-valley height of the inner part [um].
    loss_share : float
        Diametral loss over the sum of both heights.

    Returns
    -------
    float
        Loss of diametral interference [mm].

    Examples
    --------
    >>> round(roughness_loss_mm(outer_rz_um=6.3, inner_rz_um=6.3, loss_share=0.8), 5)
    0.01008

    Source: DIN 7190-1 (share of 0.8; from memory).
    """
    return loss_share * (outer_rz_um + inner_rz_um) / 1000.0


def temperature_loss_mm(
    *,
    interface_mm: float,
    service_c: float,
    room_c: float,
    outer_alpha: float,
    inner_alpha: float,
) -> float:
    """Interference lost when both parts are at another temperature; negative when it grows.

    Parameters
    ----------
    interface_mm : float
        Diameter of the fitted faces [mm].
    service_c : float
        Temperature of both parts in service [C].
    room_c : float
        Temperature at which the interference holds [C].
    outer_alpha : float
        Linear expansion of the outer ring [1/K].
    inner_alpha : float
        Linear expansion of the inner part [1/K].

    Returns
    -------
    float
        Loss of diametral interference [mm].

    Examples
    --------
    A steel cup of 62 mm in an aluminium hub at 80 C.

    >>> round(temperature_loss_mm(interface_mm=62, service_c=80, room_c=20, outer_alpha=23.4e-6,
    ...                           inner_alpha=12e-6), 4)
    0.0424

    Source: linear expansion (from memory).
    """
    return interface_mm * (service_c - room_c) * (outer_alpha - inner_alpha)


def _spin_mpa(*, rpm: float, density_kg_m3: float, diameter_mm: float) -> float:
    """Density times the square of the rim speed [MPa]."""
    rim = 2.0 * math.pi * rpm / 60.0 * diameter_mm / 2.0
    return density_kg_m3 * _KG_M3_TO_T_MM3 * rim**2


def spin_hoop_mpa(
    *, rpm: float, bore_mm: float, outside_mm: float, density_kg_m3: float, poisson: float
) -> float:
    """Hoop stress that turning alone puts into a ring at its bore.

    Parameters
    ----------
    rpm : float
        Speed [rpm].
    bore_mm : float
        Bore of the ring, over 0 [mm].
    outside_mm : float
        Outside diameter of the ring [mm].
    density_kg_m3 : float
        Density [kg/m3].
    poisson : float
        Poisson's ratio.

    Returns
    -------
    float
        Stress, tension [MPa].

    Notes
    -----
    rho w^2 / 4 [(3 + nu) b^2 + (1 - nu) a^2], with a and b the radii.

    Examples
    --------
    >>> round(spin_hoop_mpa(rpm=6900, bore_mm=100, outside_mm=500, density_kg_m3=7800,
    ...                     poisson=0.3), 1)
    211.8

    Source: Advanced Strength and Applied Elasticity, 2nd ed., section 8.7
    (from memory).
    """
    outside = _spin_mpa(rpm=rpm, density_kg_m3=density_kg_m3, diameter_mm=outside_mm)
    bore = _spin_mpa(rpm=rpm, density_kg_m3=density_kg_m3, diameter_mm=bore_mm)
    return ((3.0 + poisson) * outside + (1.0 - poisson) * bore) / 4.0


def speed_loss_mm(
    *,
    rpm: float,
    interface_mm: float,
    outer_mm: float,
    inner_mm: float,
    outer_density_kg_m3: float,
    outer_e_mpa: float,
    outer_poisson: float,
    inner_density_kg_m3: float,
    inner_e_mpa: float,
    inner_poisson: float,
) -> float:
    """Interference lost because the outer ring opens more at speed than the inner part grows.

    Parameters
    ----------
    rpm : float
        Speed [rpm].
    interface_mm : float
        Diameter of the fitted faces [mm].
    outer_mm : float
        Outside diameter of the outer ring [mm].
    inner_mm : float
        Bore of the inner part, 0 when solid [mm].
    outer_density_kg_m3 : float
        Density of the outer ring [kg/m3].
    outer_e_mpa : float
        Modulus of elasticity of the outer ring [MPa].
    outer_poisson : float
        Poisson's ratio of the outer ring.
    inner_density_kg_m3 : float
        Density of the inner part [kg/m3].
    inner_e_mpa : float
        Modulus of elasticity of the inner part [MPa].
    inner_poisson : float
        Poisson's ratio of the inner part.

    Returns
    -------
    float
        Loss of diametral interference [mm].

    Notes
    -----
    Both parts turn as thin discs of even thickness. At a free face the strain is hoop / E; at
    the outside of the inner part hoop = rho w^2 / 4 [(1 - nu) b^2 + (3 + nu) a^2].

    Examples
    --------
    A disc of 500 mm on a solid shaft of 100 mm at 6900 rpm; matches the printed radial 0.0525 mm.

    >>> loss = speed_loss_mm(
    ...     rpm=6900, interface_mm=100, outer_mm=500, inner_mm=0,
    ...     outer_density_kg_m3=7800, outer_e_mpa=200e3, outer_poisson=0.3,
    ...     inner_density_kg_m3=7800, inner_e_mpa=200e3, inner_poisson=0.3)
    >>> round(loss / 2, 4)
    0.0525

    Source: Advanced Strength and Applied Elasticity, 2nd ed., Example 8.4.
    """
    opening = (
        spin_hoop_mpa(
            rpm=rpm,
            bore_mm=interface_mm,
            outside_mm=outer_mm,
            density_kg_m3=outer_density_kg_m3,
            poisson=outer_poisson,
        )
        / outer_e_mpa
    )
    face = _spin_mpa(rpm=rpm, density_kg_m3=inner_density_kg_m3, diameter_mm=interface_mm)
    bore = _spin_mpa(rpm=rpm, density_kg_m3=inner_density_kg_m3, diameter_mm=inner_mm)
    growing = ((1.0 - inner_poisson) * face + (3.0 + inner_poisson) * bore) / 4.0 / inner_e_mpa
    return interface_mm * (opening - growing)
