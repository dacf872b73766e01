"""What is written for `fitcheck oil`: the cavity, lengths, temperatures and the fill, from text."""

from __future__ import annotations

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import (
    bare_ways,
    read_temperature,
    refuse_bare,
    refuse_mixed,
    writes_inches,
)
from fitcheck.job.lengths import Measured, Texts, measured, quantities_of, shown, texts_of
from fitcheck.quantities import number, parse, plain
from fitcheck.records import dataclass
from fitcheck.setup.oil import cylinder_volume_l, oil_row
from fitcheck.units import VOLUME

# A larger number without a unit is more likely in millilitres: own rule.
_MOST_BARE_L = 50.0


@dataclass(frozen=True, slots=True)
class OilRequest:
    """What was asked about the oil of one hub: the options of the command, as text.

    The lengths may be given as several readings.
    """

    volume: str = ""
    diameter: Texts = ""
    length: Texts = ""
    fill: str = ""
    level: Texts = ""
    from_temp: str = ""
    to_temp: str = ""
    vented: bool = False
    shaft: Texts = ""
    rpm: str = ""
    unit: str = "mm"
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Cavity:
    """The cavity as far as it was given: its volume [l], and what was measured of it."""

    volume_l: float | None = None
    diameter: Measured | None = None
    length: Measured | None = None

    def notes(self) -> list[str]:
        """What a person should know about the readings."""
        return [
            *(self.diameter.notes() if self.diameter else ()),
            *(self.length.notes(diameter=False) if self.length else ()),
        ]


def read_cavity(request: OilRequest) -> Cavity:
    """The cavity, as far as it was given.

    Raises
    ------
    AmbiguousError
        A bare length stands beside one in inches.
    InputError
        A text can't be read, or the cavity is given twice or by halves.
    """
    refuse_mixed(
        (
            (f"--{name}", quantities_of(getattr(request, name), place=name, unit=request.unit))
            for name in ("diameter", "length", "level", "shaft")
        ),
        unit=request.unit,
    )
    diameter, length = (
        read_length(request, name) if texts_of(getattr(request, name)) else None
        for name in ("diameter", "length")
    )
    if request.volume and (diameter or length):
        raise InputError(
            value=f"--volume {request.volume} with --diameter or --length",
            rule="the cavity is given by its volume or by its diameter and length",
            todo="Leave one of the two out",
        )
    if request.volume:
        return Cavity(volume_l=_volume(request))
    if diameter is None:
        if length is None:
            return Cavity()
        raise InputError(
            value="--diameter (not given)",
            rule="a cavity of a length needs its diameter too",
            todo="Give --diameter, or the volume with --volume",
        )
    if length is None:
        if texts_of(request.level):
            return Cavity(diameter=diameter)
        raise InputError(
            value="--length (not given)",
            rule="a quantity needs the length of the cavity beside its diameter",
            todo="Give --length, or a --level to learn its share alone",
        )
    volume = cylinder_volume_l(diameter_mm=diameter.mm, length_mm=length.mm)
    given = f"--diameter {shown(request.diameter)} --length {shown(request.length)}"
    _check_cavity(volume, given)
    return Cavity(volume, diameter, length)


def _check_cavity(volume_l: float, given: str) -> None:
    """Refuse a cavity that no hub has: its unit was another."""
    row = oil_row("cavity_l")
    if not row.number("low") <= volume_l <= row.number("high"):
        raise InputError(
            value=given,
            rule=f"a cavity of {volume_l:.3g} l, and hubs have {row.number('low'):g} to "
            f"{row.number('high'):g} l",
            todo="Check the units: a bare length is mm, inches are written 9.5in; a bare volume is "
            "in l, millilitres are written 850ml",
        )


def _volume(request: OilRequest) -> float:
    try:
        volume = parse(request.volume, VOLUME)
    except InputError as error:
        raise error.at("--volume") from None
    if not volume.stated:
        ways = bare_ways(VOLUME, inches=_in_inches(request))
        if volume.amount > _MOST_BARE_L:
            ways = ("l", "ml")
        refuse_bare(volume.amount, place="--volume", text=request.volume, ways=ways)
    if volume.value <= 0:
        raise InputError(
            value=f"--volume {request.volume}",
            rule="a cavity has a volume",
            todo="Give it in l or ml",
        )
    _check_cavity(volume.value, f"--volume {request.volume}")
    return volume.value


def read_length(request: OilRequest, name: str) -> Measured:
    """A measured length of the request, by the name of its option.

    Raises
    ------
    InputError
        It was not given, a text is no length above zero, or its instrument is not listed.
    """
    found = measured(
        getattr(request, name), place=f"--{name}", unit=request.unit, tool=request.instrument
    )
    if found is None:
        raise InputError(
            value=f"--{name} (not given)", rule="this length is needed", todo=f"Give --{name}"
        )
    return found


def check_shaft(shaft_mm: float, request: OilRequest, *, cavity: Cavity) -> None:
    """Refuse a shaft that no lip seal is made for, or that fills its cavity."""
    if cavity.diameter is not None and shaft_mm >= cavity.diameter.mm:
        raise InputError(
            value=f"--shaft {plain(round(shaft_mm, 3))}mm in a cavity of "
            f"{plain(round(cavity.diameter.mm, 3))} mm",
            rule="the shaft goes through the cavity, so it is thinner",
            todo="Check both, and that both are diameters",
        )
    row = oil_row("shaft_mm")
    if not row.number("low") <= shaft_mm <= row.number("high"):
        raise InputError(
            value=f"--shaft {shown(request.shaft)}",
            rule=f"lip seals are made for shafts from {row.number('low'):g} to "
            f"{row.number('high'):g} mm",
            todo="Check the unit: a bare number is mm, inches are written 3.5in",
        )


def read_oil_temperature(request: OilRequest, text: str, option: str) -> float:
    """A temperature of an option, where the growth of oil is known [C]."""
    found = read_temperature(text, place=option, inches=_in_inches(request))
    row = oil_row("temperature_c")
    if not row.number("low") <= found <= row.number("high"):
        raise InputError(
            value=f"{option} {text}",
            rule=f"the growth of oil is taken as steady from {row.number('low'):g} to "
            f"{row.number('high'):g} C only",
            todo="Check the unit: Fahrenheit is written 176F",
        )
    return found


def _in_inches(request: OilRequest) -> bool:
    """Whether the request is in inches, or one of its lengths is."""
    lengths = (request.diameter, request.length, request.level, request.shaft)
    return request.unit == "in" or writes_inches(*(t for ts in lengths for t in texts_of(ts)))


def read_fill(text: str) -> float:
    """A fill as a share of the cavity, from ``0.5`` or ``50%``."""
    try:
        fill = number(text, percent=True)
    except AmbiguousError as error:
        raise error.at("--fill") from None
    except InputError as error:
        raise InputError(
            value=f"--fill {text}",
            rule=f"a fill is a number ({error.rule})",
            todo="Write half as 0.5 or 50%",
        ) from None
    if not 0.0 < fill <= 1.0:
        meant = "%" not in text and 1.0 < fill <= 100.0
        raise InputError(
            value=f"--fill {text}",
            rule="a fill is a share of the cavity, over 0 and up to 1",
            todo=f"Did you mean {plain(fill)}%?" if meant else "Write half as 0.5 or 50%",
        )
    return fill
