"""The heat of a lip: how warm it runs over its sump, and the power it turns into heat."""

from __future__ import annotations

import math

from fitcheck.assess.within import checked_mm
from fitcheck.errors import InputError
from fitcheck.quantities import plain

RISE_SOURCE = "rise of the lip over the sump: common practice, no source (from memory)"
FRICTION_SOURCE = "ISO/TR 14179-1 and ISO/TR 14179-2, losses of radial shaft seals (from memory)"

# K per root of m/s: about 10 to 25 K at 4 m/s, 15 to 40 K at 10 m/s in oil. No source.
_RISE_LOW, _RISE_HIGH = 5.0, 12.0
# Drag torque per diameter of a nitrile and of a fluoro-rubber lip [N.m/mm].
_DRAG_LOW, _DRAG_HIGH = 2.429e-3, 3.737e-3
# Loss by the other part of the report [W / (mm2 rpm)].
_LOSS = 7.69e-6


def checked_number(value: float, *, what: str, unit: str, least: float) -> float:
    """The value, where it is a number not below the least that makes sense.

    Parameters
    ----------
    value : float
        The value, in the unit named.
    what, unit : str
        Words for the message.
    least : float
        The least value that makes sense, in the unit named.

    Raises
    ------
    InputError
        The value is not a finite number, or below the least.
    """
    if not (math.isfinite(value) and value >= least):
        raise InputError(
            value=f"{value:g} {unit}",
            rule=f"a {what} is a number of {plain(least)} {unit} or more",
            todo="Check the value and its unit",
        )
    return value


def turning_speed_rpm(*, shaft_mm: float, surface_mps: float) -> float:
    """Turning speed that gives a shaft a surface speed.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].
    surface_mps : float
        Speed of the surface [m/s].

    Returns
    -------
    float
        Turning speed [rpm].

    Examples
    --------
    >>> round(turning_speed_rpm(shaft_mm=35.0, surface_mps=2.75))
    1501
    """
    return 60_000.0 * surface_mps / (math.pi * checked_mm(shaft_mm, what="shaft diameter"))


def lip_rise_k(*, surface_mps: float) -> tuple[float, float]:
    """How much hotter than the sump the lip runs, as a band.

    Parameters
    ----------
    surface_mps : float
        Speed of the surface [m/s].

    Returns
    -------
    tuple of float
        Least and greatest rise [K].

    Notes
    -----
    5 to 12 K times the root of the speed in m/s; in oil that reaches the lip, unpressurised, up to
    about 35 m/s. Grease, pressure or a dry lip add to it.

    Examples
    --------
    >>> lip_rise_k(surface_mps=4.0)
    (10.0, 24.0)

    Source: common practice, no source (from memory).
    """
    root = math.sqrt(checked_number(surface_mps, what="surface speed", unit="m/s", least=0))
    return _RISE_LOW * root, _RISE_HIGH * root


def lip_temperature_c(*, sump_c: float, surface_mps: float) -> tuple[float, float]:
    """Temperature of the lip, as a band: the sump's plus the rise.

    Parameters
    ----------
    sump_c : float
        Lasting temperature of the oil [C].
    surface_mps : float
        Speed of the surface [m/s].

    Returns
    -------
    tuple of float
        Least and greatest temperature [C].

    Examples
    --------
    >>> lip_temperature_c(sump_c=80.0, surface_mps=4.0)
    (90.0, 104.0)

    Source: see :func:`lip_rise_k`.
    """
    low, high = lip_rise_k(surface_mps=surface_mps)
    return sump_c + low, sump_c + high


def friction_w(*, shaft_mm: float, surface_mps: float) -> tuple[float, float]:
    """Power that one lip turns into heat, as a band.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].
    surface_mps : float
        Speed of the surface [m/s].

    Returns
    -------
    tuple of float
        Least and greatest power [W].

    Notes
    -----
    The band spans two rules for a single plain lip in oil, v the surface speed, d the shaft, n the
    turning speed: P = T 2 v / d with a torque T of 2.429 N.mm (nitrile) to 3.737 N.mm
    (fluoro rubber) per mm of d, which is 4.86 v to 7.47 v; and P = 7.69e-6 d2 n, which is
    0.147 d v. For shafts of 6 to 400 mm; real lips scatter by a factor of two around it.

    Examples
    --------
    >>> low, high = friction_w(shaft_mm=50.0, surface_mps=3.927)
    >>> round(low), round(high)
    (19, 29)

    Source: ISO/TR 14179-1 and ISO/TR 14179-2 (both from memory).
    """
    rpm = turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=surface_mps)
    omega = rpm * math.pi / 30.0
    rules = (
        _DRAG_LOW * shaft_mm * omega,
        _DRAG_HIGH * shaft_mm * omega,
        _LOSS * shaft_mm**2 * rpm,
    )
    return min(rules), max(rules)
