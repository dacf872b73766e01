"""Drag of a set of bearings: torque from a pull, the rise over the base drag, and its range."""

from __future__ import annotations

from fitcheck.errors import InputError


def drag_torque_nm(*, pull_n: float, radius_mm: float) -> float:
    """Torque of a pull at a radius.

    Parameters
    ----------
    pull_n : float
        Pull that keeps the hub turning [N].
    radius_mm : float
        Radius the pull acts at: half the diameter the cord is wound on [mm].

    Returns
    -------
    float
        Torque [N.m].

    Raises
    ------
    InputError
        The pull or the radius is not larger than zero.

    Notes
    -----
    torque = pull * radius, the pull at a right angle to the radius.

    Examples
    --------
    The manual's example, 24 lb at 8-5/16 in, is 16.6 lb-ft. Matches.

    >>> round(drag_torque_nm(pull_n=106.757, radius_mm=211.1375) / 1.355818, 1)
    16.6

    Source: US Army TM 5-3805-257-14P.
    """
    for value, unit, what in ((pull_n, "N", "pull"), (radius_mm, "mm", "radius")):
        if not value > 0:
            raise InputError(
                value=f"{value:g} {unit}",
                rule=f"the {what} is larger than zero",
                todo=f"Read the {what} again",
            )
    return pull_n * radius_mm / 1000.0


def pull_n(*, torque_nm: float, radius_mm: float) -> float:
    """Pull that gives a torque at a radius.

    Parameters
    ----------
    torque_nm : float
        Torque [N.m].
    radius_mm : float
        Radius the pull acts at [mm].

    Returns
    -------
    float
        Pull [N].

    Raises
    ------
    InputError
        The radius is not larger than zero.

    Examples
    --------
    >>> pull_n(torque_nm=20.0, radius_mm=200.0)
    100.0
    """
    if not radius_mm > 0:
        raise InputError(
            value=f"{radius_mm:g} mm",
            rule="the radius is larger than zero",
            todo="Measure the diameter the cord is wound on and take half of it",
        )
    return torque_nm * 1000.0 / radius_mm


def drag_increase_nm(*, torque_nm: float, base_nm: float) -> float:
    """Rise of the drag over the base drag, which seals and oil make by themselves.

    Parameters
    ----------
    torque_nm : float
        Running torque as set [N.m].
    base_nm : float
        Running torque with the bearings slack [N.m].

    Returns
    -------
    float
        Rise [N.m].

    Raises
    ------
    InputError
        The base drag is negative, or larger than the whole torque.

    Examples
    --------
    >>> drag_increase_nm(torque_nm=9.0, base_nm=3.5)
    5.5

    Source: US Army TM 10-3930-660-34.
    """
    if base_nm < 0:
        raise InputError(
            value=f"{base_nm:g} N.m", rule="a base drag can't be negative", todo="Read it again"
        )
    if base_nm > torque_nm:
        raise InputError(
            value=f"base drag {base_nm:g} N.m",
            rule=f"it is larger than the whole running torque, {torque_nm:g} N.m",
            todo="Check which is which, the units and the radius; read both while turning",
        )
    return torque_nm - base_nm
