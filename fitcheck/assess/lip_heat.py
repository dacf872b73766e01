"""The heat of a lip: how warm it runs over its sump, and the power it turns into heat."""

from __future__ import annotations

import math

from fitcheck.assess.within import checked_mm
from fitcheck.errors import InputError
from fitcheck.quantities import plain
from fitcheck.tables import named_row

_DUTY = "lip/duty"
_RISE, _DRAG, _LOSS = "lip_rise_k_per_root_mps", "lip_drag_nm_per_mm", "lip_loss_w_per_mm2_rpm"


def rise_source() -> str:
    """What the rise of the lip over the sump rests on."""
    return f"rise of the lip over the sump: {named_row(_DUTY, _RISE).cite()}"


def friction_sources() -> tuple[str, ...]:
    """What the power that a lip turns into heat rests on."""
    return tuple(named_row(_DUTY, name).cite() for name in (_DRAG, _LOSS))


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
    By the table, 5 to 12 K times the root of the speed in m/s; in oil that reaches the lip,
    unpressurised, up to about 35 m/s. Grease, pressure or a dry lip add to it.

    Examples
    --------
    >>> lip_rise_k(surface_mps=4.0)
    (10.0, 24.0)

    Source: table ``lip/duty``: common practice, no source (from memory).
    """
    row = named_row(_DUTY, _RISE)
    root = math.sqrt(checked_number(surface_mps, what="surface speed", unit="m/s", least=0))
    return row.number("low") * root, row.number("high") * root


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

    Source: table ``lip/duty``: ISO/TR 14179-1 and ISO/TR 14179-2 (both from memory).
    """
    rpm = turning_speed_rpm(shaft_mm=shaft_mm, surface_mps=surface_mps)
    omega = rpm * math.pi / 30.0
    drag, loss = named_row(_DUTY, _DRAG), named_row(_DUTY, _LOSS)
    rules = (
        *(drag.number(end) * shaft_mm * omega for end in ("low", "high")),
        *(loss.number(end) * shaft_mm**2 * rpm for end in ("low", "high")),
    )
    return min(rules), max(rules)
