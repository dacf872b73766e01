"""The units the shop writes, how they are spelled, and their exact factors.

A unit belongs to one dimension; every dimension has one base unit used inside the program.
Factors are pairs of numbers (multiply, divide) so that decimal inches stay exact in print.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from fitcheck.errors import InputError
from fitcheck.records import dataclass

LENGTH = "length"
TEMPERATURE = "temperature"
PRESSURE = "pressure"
ROTATION = "rotation"
SPEED = "speed"
TORQUE = "torque"
FORCE = "force"
VOLUME = "volume"

BASE_UNIT = {
    LENGTH: "mm",
    TEMPERATURE: "C",
    PRESSURE: "bar",
    ROTATION: "rpm",
    SPEED: "m/s",
    TORQUE: "N.m",
    FORCE: "N",
    VOLUME: "l",
}

# The pound-force is 0.45359237 kg x 9.80665 m/s2 and the inch is 25.4 mm, both by definition
# (international yard and pound agreement, 1959; CGPM 1901).
MM_PER_INCH = 25.4
_LBF_N = 4.4482216152605


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its name, its dimension, and base = (value + shift) * multiply / divide."""

    name: str
    dimension: str
    multiply: float = 1.0
    divide: float = 1.0
    shift: float = 0.0

    def to_base(self, value: float) -> float:
        """The value in the base unit of the dimension."""
        return (value + self.shift) * self.multiply / self.divide

    def change_to_base(self, change: float) -> float:
        """A change of the value in the base unit: 9 F more is 5 C more."""
        return change * self.multiply / self.divide


UNITS = {
    unit.name: unit
    for unit in (
        Unit("mm", LENGTH),
        Unit("in", LENGTH, 254.0, 10.0),
        Unit("thou", LENGTH, 254.0, 10000.0),
        Unit("um", LENGTH, 1.0, 1000.0),
        Unit("C", TEMPERATURE),
        Unit("F", TEMPERATURE, 5.0, 9.0, -32.0),
        Unit("K", TEMPERATURE, 1.0, 1.0, -273.15),
        Unit("bar", PRESSURE),
        Unit("kPa", PRESSURE, 1.0, 100.0),
        Unit("MPa", PRESSURE, 10.0),
        Unit("psi", PRESSURE, _LBF_N * 10.0, 645.16),
        Unit("rpm", ROTATION),
        Unit("m/s", SPEED),
        Unit("km/h", SPEED, 10.0, 36.0),
        Unit("N.m", TORQUE),
        Unit("lbf.in", TORQUE, _LBF_N * 254.0, 10000.0),
        Unit("lbf.ft", TORQUE, _LBF_N * 3048.0, 10000.0),
        Unit("N", FORCE),
        Unit("kN", FORCE, 1000.0),
        Unit("lbf", FORCE, _LBF_N),
        Unit("l", VOLUME),
        Unit("ml", VOLUME, 1.0, 1000.0),
    )
}

_JOINED = (".", "-", " ", "*", "")
_POUNDS = ("lbf", "lb", "lbs")

# Other spellings of the same units. Single letters and prefixes are spelled out case by case:
# folding the case would turn a megametre into a millimetre.
SPELLINGS = {
    **{name: name for name in UNITS},
    **{f"{pound}{sep}in": "lbf.in" for pound in _POUNDS for sep in _JOINED},
    **{f"in{sep}{pound}": "lbf.in" for pound in _POUNDS for sep in _JOINED},
    **{f"{pound}{sep}ft": "lbf.ft" for pound in _POUNDS for sep in _JOINED},
    **{f"ft{sep}{pound}": "lbf.ft" for pound in _POUNDS for sep in _JOINED},
    **{f"N{sep}m": "N.m" for sep in _JOINED},
    **dict.fromkeys(("MM", "mm.", "millimetre", "millimeter", "millimetres", "millimeters"), "mm"),
    **dict.fromkeys(("IN", "In", "in.", "inch", "Inch", "INCH", '"', "''"), "in"),
    **dict.fromkeys(("inches", "Inches", "INCHES"), "in"),
    **dict.fromkeys(("µm", "micron", "microns"), "um"),
    **dict.fromkeys(("°C", "° C", "degC", "deg C", "c", "celsius", "Celsius"), "C"),
    **dict.fromkeys(("°F", "° F", "degF", "deg F", "f", "fahrenheit", "Fahrenheit"), "F"),
    **dict.fromkeys(("Bar", "BAR"), "bar"),
    **dict.fromkeys(("kpa", "KPa", "KPA"), "kPa"),
    "N/mm2": "MPa",
    "PSI": "psi",
    **dict.fromkeys(("RPM", "r/min", "rev/min", "1/min", "/min", "min-1"), "rpm"),
    "mps": "m/s",
    **dict.fromkeys(("kmh", "kph"), "km/h"),
    **dict.fromkeys(("lb", "lbs"), "lbf"),
    **dict.fromkeys(("L", "litre", "liter", "litres", "liters", "dm3"), "l"),
    **dict.fromkeys(("mL", "cc", "cm3"), "ml"),
}

# Spellings that two trades read differently. Both readings are named and neither is taken.
TWO_WAYS = {
    "Mm": ("mm (millimetres)", "Mm (megametres)"),
    "mil": ("thou (thousandths of an inch)", "mm (millimetres)"),
    "mils": ("thou (thousandths of an inch)", "mm (millimetres)"),
    "mpa": ("MPa (megapascals)", "mPa (millipascals)"),
    "Mpa": ("MPa (megapascals)", "mPa (millipascals)"),
    "nm": ("N.m (newton metres)", "nm (nanometres)"),
    "NM": ("N.m (newton metres)", "nautical miles"),
    "'": ("in (inches)", "ft (feet)"),
    "°": ("C", "F"),
    "deg": ("C", "F"),
    "pt": ("US pt", "imp pt"),
    "qt": ("US qt", "imp qt"),
    "gal": ("US gal", "imp gal"),
}

# Rarer units go through the pint library, by these names only: left to itself it takes almost
# any text for a unit.
RARE = {
    "cm": (LENGTH, "centimeter"),
    "m": (LENGTH, "meter"),
    "ft": (LENGTH, "foot"),
    "Pa": (PRESSURE, "pascal"),
    "mbar": (PRESSURE, "millibar"),
    "atm": (PRESSURE, "atmosphere"),
    "kgf/cm2": (PRESSURE, "kilogram_force / centimeter ** 2"),
    "kg/cm2": (PRESSURE, "kilogram_force / centimeter ** 2"),
    "ft/min": (SPEED, "foot / minute"),
    "mph": (SPEED, "mile / hour"),
    "kgf.m": (TORQUE, "kilogram_force * meter"),
    "kgf.cm": (TORQUE, "kilogram_force * centimeter"),
    "kgf": (FORCE, "kilogram_force"),
    "kg": (FORCE, "kilogram_force"),
    "ozf": (FORCE, "ounce_force"),
    "US pt": (VOLUME, "pint"),
    "imp pt": (VOLUME, "imperial_pint"),
    "US qt": (VOLUME, "quart"),
    "imp qt": (VOLUME, "imperial_quart"),
    "US gal": (VOLUME, "gallon"),
    "imp gal": (VOLUME, "imperial_gallon"),
}

PINT_BASE = {
    LENGTH: "millimeter",
    TEMPERATURE: "degree_Celsius",
    PRESSURE: "bar",
    ROTATION: "revolution / minute",
    SPEED: "meter / second",
    TORQUE: "newton * meter",
    FORCE: "newton",
    VOLUME: "liter",
}

# The same unit in other type: a raised dot or figure, the ready-made degree signs.
_SAME_UNIT = str.maketrans(
    {"·": ".", "⋅": ".", "∙": ".", "²": "2", "³": "3", "º": "°", "˚": "°", "℃": "°C", "℉": "°F"}
)


@dataclass(frozen=True, slots=True)
class Converted:
    """An amount in the base unit: the value, what a step is worth, and the unit's own name."""

    value: float
    step: float
    name: str
    dimension: str


def is_unit(spelled: str) -> bool:
    """Whether a spelling names one unit and no other."""
    same = spelled.translate(_SAME_UNIT)
    return same in SPELLINGS or same in RARE


def two_ways(spelled: str) -> tuple[str, ...]:
    """The units that a spelling can stand for, where two trades read it differently."""
    return TWO_WAYS.get(spelled.translate(_SAME_UNIT), ())


def convert(*, amount: float, step: float, spelled: str, original: str) -> Converted:
    """An amount in a spelled unit, in the base unit of its dimension.

    Parameters
    ----------
    amount : float
        The number, in the spelled unit.
    step : float
        The smallest change the writing can express, in the spelled unit.
    spelled : str
        The unit as written.
    original : str
        The whole text, for messages.

    Raises
    ------
    InputError
        The spelling is no unit that is read here.
    """
    same = spelled.translate(_SAME_UNIT)
    name = SPELLINGS.get(same)
    if name is not None:
        unit = UNITS[name]
        return Converted(unit.to_base(amount), unit.change_to_base(step), name, unit.dimension)
    if same in RARE:
        factor = _rare_factor(same, original)
        return Converted(amount * factor, step * factor, same, RARE[same][0])
    raise InputError(
        value=original,
        rule=f"{spelled!r} is not a unit that is read here",
        todo="Use mm, in, thou or um for lengths; C or F; bar, kPa or psi; N.m or lbf.ft; "
        "N or lbf; rpm or m/s; l or ml",
    )


def _rare_factor(name: str, original: str) -> float:
    dimension, pint_name = RARE[name]
    try:
        registry = _registry()
    except ImportError:
        raise InputError(
            value=original,
            rule=f"{name} is converted by the pint library, which is not installed",
            todo=f"Give it in {BASE_UNIT[dimension]}, or install pint",
        ) from None
    return float(registry.Quantity(1.0, pint_name).to(PINT_BASE[dimension]).magnitude)


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(cache_folder=None)
