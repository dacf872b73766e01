"""Bare torques, forces, volumes, pressures and temperatures: a number may mean two things.

Who works in inches may mean pounds, quarts, psi and Fahrenheit by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.quantities import Quantity, parse, plain, pressure_bar, temperature_c
from fitcheck.units import FORCE, LENGTH, PRESSURE, TEMPERATURE, TORQUE, VOLUME

# What a number without a unit is taken for, and what a shop that works in inches may mean by it.
_WAYS = {
    TORQUE: ("N.m", "lbf.ft"),
    FORCE: ("N", "lbf"),
    VOLUME: ("l", "US qt"),
    PRESSURE: ("bar", "psi"),
    TEMPERATURE: ("C", "F"),
}
# The units of lengths of a shop that works in inches.
INCH_UNITS = ("in", "thou")
_INCHES = ("in", '"', "inch", "inches", "thou")


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


def refuse_bare(
    *numbers: float, place: str, text: str, ways: Sequence[str], nothing: bool = True
) -> None:
    """Refuse what has no unit where it can be read in more than one.

    Parameters
    ----------
    *numbers : float
        The number, or both ends of a range.
    place : str
        The option.
    text : str
        What was written.
    ways : sequence of str
        The units it may be in.
    nothing : bool
        Whether nothing of one unit is nothing of the others, so that 0 needs no question.

    Raises
    ------
    AmbiguousError
        There is more than one.
    """
    if len(ways) > 1 and (any(numbers) or not nothing):
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


def writes_inches(*texts: str) -> bool:
    """Whether one of some lengths is written in inches.

    >>> writes_inches("89.9", "3-1/2in @ caliper"), writes_inches("89.9mm")
    (True, False)
    """
    return any(text.partition("@")[0].strip().lower().endswith(_INCHES) for text in texts)


def read_temperature(text: str, *, place: str, inches: bool) -> float:
    """A temperature [C]; a bare number is C where nobody could mean F.

    Parameters
    ----------
    text : str
        What was written.
    place : str
        The option.
    inches : bool
        Whether inches are used beside it.

    Raises
    ------
    AmbiguousError
        A bare number stands beside inches, or is more than oil bears in C.
    InputError
        The text is no temperature, or colder than anything.

    Examples
    --------
    >>> read_temperature("80", place="--to-temp", inches=False)
    80.0
    >>> round(read_temperature("180F", place="--to-temp", inches=True), 1)
    82.2
    """
    # Most questions have no temperature, and start the sooner without the tables of the oil.
    from fitcheck.setup.oil import oil_row

    try:
        found, written = temperature_c(text), parse(text, TEMPERATURE)
    except InputError as error:
        raise error.at(place) from None
    if not written.stated and (inches or found > oil_row("temperature_c").number("high")):
        refuse_bare(written.amount, place=place, text=text, ways=_WAYS[TEMPERATURE], nothing=False)
    return found


def read_pressure(text: str, *, place: str, inches: bool) -> float:
    """A gauge pressure [bar]; a bare number is bar where no inches are used beside it.

    Parameters
    ----------
    text : str
        What was written.
    place : str
        The option.
    inches : bool
        Whether inches are used beside it.

    Raises
    ------
    AmbiguousError
        A bare number stands beside inches.
    InputError
        The text is no pressure, or below a vacuum.
    """
    try:
        found, written = pressure_bar(text), parse(text, PRESSURE)
    except InputError as error:
        raise error.at(place) from None
    if not written.stated:
        refuse_bare(written.amount, place=place, text=text, ways=bare_ways(PRESSURE, inches=inches))
    return found


def refuse_mixed(given: Iterable[tuple[str, Sequence[Quantity]]], *, unit: str) -> None:
    """Refuse bare lengths beside others that are written in inches; nothing is nothing in both.

    Parameters
    ----------
    given : iterable of (str, sequence of Quantity)
        The lengths of each option.
    unit : str
        The unit that bare lengths were read in; inches are the user's own word, and no question.

    Raises
    ------
    AmbiguousError
        Some lengths are written in inches and another has no unit.
    """
    lengths = [(place, q) for place, found in given for q in found if q.dimension == LENGTH]
    in_inches = [q for _, q in lengths if q.stated and q.unit in INCH_UNITS]
    bare = [
        (place, q) for place, q in lengths if q.value and not q.stated and q.unit not in INCH_UNITS
    ]
    if unit == "mm" and in_inches and bare:
        place, quantity = bare[0]
        number = plain(quantity.amount)
        raise AmbiguousError(
            value=f"{place} {number}, beside {in_inches[0].text()}",
            readings=(f"{number}mm", f"{number}in"),
        )
