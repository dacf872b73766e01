"""Oil in a hub: how much for a level, and what the head-space does when it gets warm."""

from __future__ import annotations

import math

from fitcheck.errors import InputError
from fitcheck.tables import Row, named_row, step_row, table

_ZERO_C_IN_K = 273.15
_MM3_PER_L = 1_000_000.0


def segment_fraction(*, level_mm: float, diameter_mm: float) -> float:
    """Share of a horizontal cylinder that is filled up to a level.

    Parameters
    ----------
    level_mm : float
        Height of the oil over the lowest point of the bore [mm].
    diameter_mm : float
        Diameter of the cavity [mm].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    InputError
        The diameter is not positive, or the level lies below the bottom or above the top.

    Notes
    -----
    A circular segment: with c = 1 - 2 * level / diameter the share is
    (arccos(c) - c * sqrt(1 - c^2)) / pi.

    Examples
    --------
    >>> segment_fraction(level_mm=100, diameter_mm=200)
    0.5
    >>> round(segment_fraction(level_mm=50, diameter_mm=200), 4)
    0.1955

    Source: geometry of the circle.
    """
    _positive(diameter_mm, "mm", "diameter")
    if level_mm < 0:
        raise InputError(
            value=f"level {level_mm:g} mm",
            rule="a level is measured up from the lowest point of the cavity",
            todo="Measure from the bottom of the bore to the oil",
        )
    if level_mm > diameter_mm:
        raise InputError(
            value=f"level {level_mm:g} mm",
            rule=f"it lies above the top of a cavity of {diameter_mm:g} mm",
            todo="Check the two values and their units; the level is measured up from the bottom",
        )
    cosine = 1.0 - 2.0 * level_mm / diameter_mm
    return (math.acos(cosine) - cosine * math.sqrt(1.0 - cosine * cosine)) / math.pi


def segment_level_mm(*, fill_fraction: float, diameter_mm: float) -> float:
    """Level in a horizontal cylinder that is filled to a share.

    Parameters
    ----------
    fill_fraction : float
        Share of the cavity, 0 to 1.
    diameter_mm : float
        Diameter of the cavity [mm].

    Returns
    -------
    float
        Height of the oil over the lowest point [mm].

    Raises
    ------
    InputError
        The share lies outside 0 to 1, or the diameter is not positive.

    Notes
    -----
    The segment is bisected to a millionth of the diameter: it has no closed inverse.

    Examples
    --------
    >>> round(segment_level_mm(fill_fraction=0.5, diameter_mm=200), 3)
    100.0
    """
    _share(fill_fraction)
    low, high = 0.0, diameter_mm
    while high - low > diameter_mm * 1e-7:
        middle = (low + high) / 2.0
        if segment_fraction(level_mm=middle, diameter_mm=diameter_mm) < fill_fraction:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def cylinder_volume_l(*, diameter_mm: float, length_mm: float) -> float:
    """Volume of a cylindrical cavity.

    Parameters
    ----------
    diameter_mm, length_mm : float
        Diameter and length of the cavity [mm].

    Returns
    -------
    float
        Volume [l].

    Raises
    ------
    InputError
        The diameter or the length is not positive.

    Examples
    --------
    >>> round(cylinder_volume_l(diameter_mm=200, length_mm=100), 3)
    3.142
    """
    _positive(diameter_mm, "mm", "diameter")
    _positive(length_mm, "mm", "length")
    return math.pi / 4.0 * diameter_mm**2 * length_mm / _MM3_PER_L


def head_space_pressure_bar(
    *,
    fill_fraction: float,
    from_c: float,
    to_c: float,
    expansion: float,
    atmosphere_bar: float,
) -> float:
    """Gauge pressure in a sealed hub that was closed cold and has warmed up.

    Parameters
    ----------
    fill_fraction : float
        Share of the cavity filled when it was closed, 0 to 1.
    from_c, to_c : float
        Temperature when it was closed, and now [C].
    expansion : float
        Growth of the oil's volume [1/K].
    atmosphere_bar : float
        Pressure of the air outside, absolute [bar].

    Returns
    -------
    float
        Gauge pressure [bar]; negative for a vacuum, infinite where the oil fills the cavity.

    Raises
    ------
    InputError
        The share lies outside 0 to 1, or a temperature lies below absolute zero.

    Notes
    -----
    P = Pa * ((T2 / T1) * (1 - f) / (1 - f * (1 + b * dT)) - 1), temperatures absolute. The cavity
    is taken as rigid, the air as ideal, and no oil dissolves air or gets past a lip.

    Examples
    --------
    Half, 70 % and 90 % full from 20 to 80 C give 0.26, 0.34 and 0.95 bar. Matches.

    >>> [round(head_space_pressure_bar(fill_fraction=f, from_c=20, to_c=80,
    ...                                expansion=0.0007, atmosphere_bar=1.01325), 2)
    ...  for f in (0.5, 0.7, 0.9)]
    [0.26, 0.34, 0.95]

    Source: own calculation.
    """
    _share(fill_fraction)
    absolute = [celsius + _ZERO_C_IN_K for celsius in (from_c, to_c)]
    if min(absolute) <= 0:
        raise InputError(
            value=f"{min(from_c, to_c):g} C",
            rule="nothing is colder than -273.15 C",
            todo="Check the sign and the unit",
        )
    air = 1.0 - warm_fraction(
        fill_fraction=fill_fraction, warmer_k=to_c - from_c, expansion=expansion
    )
    if air <= 0.0:
        return math.inf
    squeezed = absolute[1] / absolute[0] * (1.0 - fill_fraction) / air
    return atmosphere_bar * (squeezed - 1.0)


def warm_fraction(*, fill_fraction: float, warmer_k: float, expansion: float) -> float:
    """Share of the cavity that the oil takes once it has warmed up; over 1 it is pushed out.

    Parameters
    ----------
    fill_fraction : float
        Share filled cold, 0 to 1.
    warmer_k : float
        How much warmer it has become [K].
    expansion : float
        Growth of the oil's volume [1/K].

    Examples
    --------
    >>> round(warm_fraction(fill_fraction=0.5, warmer_k=60, expansion=0.0007), 3)
    0.521
    """
    return fill_fraction * (1.0 + expansion * warmer_k)


def fill_at_pressure(
    *,
    pressure_bar: float,
    from_c: float,
    to_c: float,
    expansion: float,
    atmosphere_bar: float,
) -> float:
    """Share at which a sealed hub reaches a pressure: the most that may be filled.

    Parameters
    ----------
    pressure_bar : float
        Gauge pressure, positive [bar].
    from_c, to_c : float
        Temperature when it is closed, and at work [C].
    expansion : float
        Growth of the oil's volume [1/K].
    atmosphere_bar : float
        Pressure of the air outside, absolute [bar].

    Returns
    -------
    float
        Share, 0 to 1; 0 where even an empty cavity gets above the pressure.

    Notes
    -----
    :func:`head_space_pressure_bar` solved for the share: with q = 1 + P / Pa and r = T2 / T1 it is
    (q - r) / (q * (1 + b * dT) - r).

    Examples
    --------
    >>> round(fill_at_pressure(pressure_bar=0.3, from_c=20, to_c=80, expansion=0.0007,
    ...                        atmosphere_bar=1.01325), 2)
    0.63
    """
    if to_c <= from_c:
        return 1.0
    ratio = (to_c + _ZERO_C_IN_K) / (from_c + _ZERO_C_IN_K)
    squeeze = 1.0 + pressure_bar / atmosphere_bar
    if squeeze <= ratio:
        return 0.0
    return (squeeze - ratio) / (squeeze * (1.0 + expansion * (to_c - from_c)) - ratio)


def lip_limit_rows() -> tuple[Row, ...]:
    """The steps of shaft diameter with the pressure that a plain lip holds."""
    return tuple(row for row in table("lip/pressure").rows if row.text("rule") == "plain-lip")


def lip_limit_row(*, shaft_mm: float) -> Row:
    """The row with the pressure that a plain lip holds, ``max_bar``, and its source.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the shaft [mm].

    Raises
    ------
    OffTableError
        No step holds the diameter.

    Examples
    --------
    >>> [lip_limit_row(shaft_mm=d).number("max_bar") for d in (75.0, 75.001)]
    [0.6, 0.3]

    Source: The Tribology Handbook, section B23.
    """
    return step_row(
        lip_limit_rows(),
        value=shaft_mm,
        over="over_mm",
        incl="incl_mm",
        what="the pressure that a plain lip holds",
    )


def oil_row(name: str) -> Row:
    """A named value of the table ``oil/limits``.

    Raises
    ------
    DataError
        There is no such value.
    """
    return named_row("oil/limits", name)


def _positive(value: float, unit: str, what: str) -> None:
    if not value > 0:
        raise InputError(
            value=f"{value:g} {unit}",
            rule=f"a {what} is larger than zero",
            todo="Measure it again",
        )


def _share(fill_fraction: float) -> None:
    if not 0.0 <= fill_fraction <= 1.0:
        raise InputError(
            value=f"fill {fill_fraction:g}",
            rule="a fill is a share of the cavity, from 0 to 1",
            todo="Write half as 0.5 or 50%",
        )
