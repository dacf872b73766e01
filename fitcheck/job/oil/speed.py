"""What the speed of the shaft takes from the pressure that its lip holds."""

from __future__ import annotations

import math

from fitcheck.errors import InputError
from fitcheck.quantities import plain, speed
from fitcheck.records import dataclass
from fitcheck.tables import table
from fitcheck.units import ROTATION


@dataclass(frozen=True, slots=True)
class Turning:
    """How fast a lip runs, and what it holds at that speed [bar].

    ``surface_mps`` and the limits are None where the shaft is not known. ``limit_bar`` is None
    too where the speed takes nothing away; ``range_bar`` is what the standards go up to there.
    """

    text: str
    surface_mps: float | None = None
    limit_bar: float | None = None
    range_bar: float | None = None
    source: str = ""


def turning(text: str, *, shaft_mm: float | None) -> Turning | None:
    """How fast a lip runs and what it holds there; None where no speed was given.

    Parameters
    ----------
    text : str
        The speed as written, turning or surface.
    shaft_mm : float or None
        Diameter of the counterface [mm].

    Raises
    ------
    InputError
        The text is no speed.

    Examples
    --------
    >>> [turning(t, shaft_mm=50.0).limit_bar for t in ("200rpm", "1500rpm", "3001rpm")]
    [None, 0.2, 0.0]

    Source: DIN 3760 (from memory), the table ``lip/pressure``.
    """
    if not text:
        return None
    # A question without a speed starts the sooner without the limits of the lip.
    from fitcheck.assess.lip_limits import pressure_limit_bar

    try:
        found = speed(text)
    except InputError as error:
        raise error.at("--rpm") from None
    if shaft_mm is None:
        return Turning(text)
    mps = found.value
    if found.dimension == ROTATION:
        mps = found.value * math.pi * shaft_mm / 60_000.0
    by_speed, slow = (
        pressure_limit_bar(edition="din3760", shaft_mm=shaft_mm, surface_mps=v) for v in (mps, 0.0)
    )
    less = by_speed.value < slow.value
    return Turning(
        text=text,
        surface_mps=mps,
        limit_bar=by_speed.value if less else None,
        range_bar=by_speed.value,
        source=f"pressure on the lip by its speed: {by_speed.source}",
    )


def slow_words() -> str:
    """Up to which speed nothing is taken away, in words.

    >>> slow_words()
    'up to 1000 rpm and 2.8 m/s'
    """
    row = next(row for row in table("lip/pressure").rows if row.text("rule") == "pressure-speed")
    return f"up to {plain(row.number('incl_rpm'))} rpm and {plain(row.number('incl_mps'))} m/s"


def held_words(shaft_mm: float, limit_bar: float, fast: Turning | None) -> str:
    """What a lip holds on its shaft, and at its speed where that takes something away.

    Parameters
    ----------
    shaft_mm : float
        Diameter of the counterface [mm].
    limit_bar : float
        What it holds [bar].
    fast : Turning or None
        How fast it runs, where that was given.

    Examples
    --------
    >>> held_words(80.0, 0.3, None)
    'a plain lip on a shaft of 80 mm holds 0.3 bar'
    """
    lip = f"a plain lip on a shaft of {plain(round(shaft_mm, 3))} mm"
    if fast is not None and fast.limit_bar == limit_bar:
        lip += f" at {fast.surface_mps:.3g} m/s"
    return f"{lip} holds {limit_bar:g} bar" if limit_bar else f"{lip} holds no pressure"
