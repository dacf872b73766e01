"""Bare torques, forces and volumes: who works in inches may mean pounds and quarts by them."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.errors import AmbiguousError
from fitcheck.quantities import plain
from fitcheck.units import FORCE, TORQUE, VOLUME

# What a number without a unit is taken for, and what a shop that works in inches may mean by it.
_WAYS = {TORQUE: ("N.m", "lbf.ft"), FORCE: ("N", "lbf"), VOLUME: ("l", "US qt")}


def bare_ways(*dimensions: str, inches: bool) -> tuple[str, ...]:
    """The units a bare number may be in, one of them where there is no doubt.

    Parameters
    ----------
    *dimensions : str
        The dimensions that it may have here.
    inches : bool
        Whether inches or pounds are used beside it.

    Examples
    --------
    >>> bare_ways("force", inches=False), bare_ways("force", inches=True)
    (('N',), ('N', 'lbf'))
    >>> bare_ways("torque", "force", inches=False), bare_ways("torque", "force", inches=True)
    (('N.m', 'N'), ('lbf.ft', 'lbf'))
    """
    if len(dimensions) > 1:
        return tuple(_WAYS[dimension][int(inches)] for dimension in dimensions)
    return _WAYS[dimensions[0]] if inches else _WAYS[dimensions[0]][:1]


def refuse_bare(*numbers: float, place: str, text: str, ways: Sequence[str]) -> None:
    """Refuse what has no unit where it can be read in more than one.

    Parameters
    ----------
    *numbers : float
        The number, or both ends of a range; nothing of a unit is nothing in any.
    place : str
        The option.
    text : str
        What was written.
    ways : sequence of str
        The units it may be in.

    Raises
    ------
    AmbiguousError
        There is more than one.
    """
    if len(ways) > 1 and any(numbers):
        written = "..".join(plain(number) for number in numbers)
        raise AmbiguousError(
            value=f"{place} {text}", readings=tuple(f"{written}{way}" for way in ways)
        )


def in_pounds(*texts: str) -> bool:
    """Whether one of some texts is written in pounds.

    >>> in_pounds("24 lb", "20N"), in_pounds("20N")
    (True, False)
    """
    return any("lb" in text.lower() for text in texts)
