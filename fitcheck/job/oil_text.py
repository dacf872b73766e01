"""What is written for `fitcheck oil`: the cavity, lengths, temperatures and the fill, from text."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.errors import InputError
from fitcheck.quantities import length_mm, temperature_c, volume_l
from fitcheck.setup.oil import cylinder_volume_l, oil_row


@dataclass(frozen=True, slots=True)
class OilRequest:
    """What was asked about the oil of one hub: the options of the command, as text."""

    volume: str = ""
    diameter: str = ""
    length: str = ""
    fill: str = ""
    level: str = ""
    from_temp: str = ""
    to_temp: str = ""
    vented: bool = False
    shaft: str = ""
    unit: str = "mm"


def read_cavity(request: OilRequest) -> tuple[float | None, float | None]:
    """The volume and the diameter of the cavity, as far as they were given."""
    if request.volume and (request.diameter or request.length):
        raise InputError(
            value=f"--volume {request.volume} with --diameter or --length",
            rule="the cavity is given by its volume or by its diameter and length",
            todo="Leave one of the two out",
        )
    if request.volume:
        try:
            volume = volume_l(request.volume)
        except InputError as error:
            raise error.at("--volume") from None
        if volume <= 0:
            raise InputError(
                value=f"--volume {request.volume}",
                rule="a cavity has a volume",
                todo="Give it in l or ml",
            )
        return volume, None
    if request.length and not request.diameter:
        raise InputError(
            value="--diameter (not given)",
            rule="a cavity of a length needs its diameter too",
            todo="Give --diameter, or the volume with --volume",
        )
    if not request.diameter:
        return None, None
    diameter = read_length(request.diameter, "--diameter", request.unit)
    if request.length:
        cavity_length = read_length(request.length, "--length", request.unit)
        return cylinder_volume_l(diameter_mm=diameter, length_mm=cavity_length), diameter
    if not request.level:
        raise InputError(
            value="--length (not given)",
            rule="a quantity needs the length of the cavity beside its diameter",
            todo="Give --length, or a --level to learn its share alone",
        )
    return None, diameter


def read_length(text: str, option: str, unit: str) -> float:
    """A length larger than zero, of an option [mm]."""
    try:
        found = length_mm(text, unit=unit)
    except InputError as error:
        raise error.at(option) from None
    if found <= 0:
        raise InputError(
            value=f"{option} {text}", rule="this is larger than zero", todo="Measure it again"
        )
    return found


def check_shaft(shaft_mm: float, request: OilRequest) -> None:
    """Refuse a shaft that no lip seal is made for."""
    row = oil_row("shaft_mm")
    if not row.number("low") <= shaft_mm <= row.number("high"):
        raise InputError(
            value=f"--shaft {request.shaft}",
            rule=f"lip seals are made for shafts from {row.number('low'):g} to "
            f"{row.number('high'):g} mm",
            todo="Check the unit: a bare number is mm, inches are written 3.5in",
        )


def read_temperature(text: str, option: str) -> float:
    """A temperature of an option, where the growth of oil is known [C]."""
    try:
        found = temperature_c(text)
    except InputError as error:
        raise error.at(option) from None
    row = oil_row("temperature_c")
    if not row.number("low") <= found <= row.number("high"):
        raise InputError(
            value=f"{option} {text}",
            rule=f"the growth of oil is taken as steady from {row.number('low'):g} to "
            f"{row.number('high'):g} C only",
            todo="Check the unit: a bare number is C, Fahrenheit is written 176F",
        )
    return found


def read_fill(text: str) -> float:
    """A fill as a share of the cavity, from ``0.5`` or ``50%``."""
    number, percent, rest = text.strip().partition("%")
    try:
        value = float(number.replace(",", "."))
    except ValueError:
        value = math.nan
    fill = value / 100.0 if percent else value
    if rest.strip() or not math.isfinite(value):
        raise InputError(
            value=f"--fill {text}", rule="a fill is a number", todo="Write half as 0.5 or 50%"
        )
    if not 0.0 < fill <= 1.0:
        meant = f"Did you mean {value:g}%?" if 1.0 < fill <= 100.0 and not percent else ""
        raise InputError(
            value=f"--fill {text}",
            rule="a fill is a share of the cavity, over 0 and up to 1",
            todo=meant or "Write half as 0.5 or 50%",
        )
    return fill
