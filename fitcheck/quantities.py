"""Text to quantity and back, with a grammar of our own.

    quantity = [sign] number [unit]
    number   = 34.92 | 34,92 | .313 | 13/16 | 1-3/8 | 1 3/8 | 1⅜
    unit     = a spelling listed in units.py; a bare number takes the default unit

What can be read two ways is refused with both readings named; nothing is guessed. Rarer units,
and quantities handed in as pint objects, are converted by pint, which is imported only then.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.units import (
    BASE_UNIT,
    FORCE,
    LENGTH,
    PINT_BASE,
    PRESSURE,
    RARE,
    ROTATION,
    SPEED,
    SPELLINGS,
    TEMPERATURE,
    TORQUE,
    TWO_WAYS,
    UNITS,
    VOLUME,
)

MAX_TEXT = 60
MAX_LENGTH_MM = 100_000.0

_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_SAME_CHARACTER = str.maketrans(
    {"−": "-", "–": "-", "\u00a0": " ", "\u202f": " ", "″": '"', "”": '"', "“": '"', "μ": "µ"}
)
# Inch rules are divided by halving; decimal fractions are written 7/10. Anything else beside a
# stroke (1 3/835) is two numbers run together.
_DENOMINATORS = frozenset({2, 4, 8, 16, 32, 64, 128, 10, 100, 1000})

_FRACTION = re.compile(r"(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*/\s*(\d+)(?![\d.,])")
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_SIZE = re.compile(r"[xX*×]\s*\d")
_GROUPED = re.compile(r"\d{1,3}(?:([.,'])\d{3})+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity as understood.

    ``value`` is in the base unit of its dimension, ``amount`` in the unit as written. ``stated``
    tells whether the unit was written or taken from the default; ``step`` is the smallest change
    the writing could express, in the base unit: 0.01 for ``34.92``, 3.175 for ``1-3/8in``.
    """

    value: float
    amount: float
    unit: str
    dimension: str
    stated: bool
    step: float

    def text(self) -> str:
        """The quantity written so that it reads back as the same value.

        >>> parse("1-3/8in", LENGTH).text()
        '1.375in'
        """
        return f"{plain(self.amount)}{self.unit}"


def plain(number: float) -> str:
    """A number in full digits, without an exponent and without trailing zeros.

    >>> plain(34.920), plain(7.0), plain(0.00001)
    ('34.92', '7', '0.00001')
    """
    text = repr(float(number))
    if "e" in text or "E" in text:
        from decimal import Decimal

        text = format(Decimal(text), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def parse(text: str, *dimensions: str, unit: str = "") -> Quantity:
    """Read one quantity.

    Parameters
    ----------
    text : str
        What was written.
    *dimensions : str
        The dimensions that are acceptable here, such as ``LENGTH``.
    unit : str
        The unit of a bare number; the base unit of the first dimension when not given.

    Returns
    -------
    Quantity

    Raises
    ------
    AmbiguousError
        The text can be read two ways; the message names both.
    InputError
        The text is no quantity, or has a unit of another dimension.
    """
    original = text
    text = _normal(text)
    default = unit or BASE_UNIT[dimensions[0]]
    sign, body = (-1.0, text[1:].lstrip()) if text.startswith("-") else (1.0, text)
    amount, step, rest, is_fraction = _number(body, original)
    spelled = rest.strip()
    if spelled and (spelled[0].isdigit() or (spelled[0] in ".,/-+" and len(spelled) > 1)):
        _refuse_two_values(body, spelled, original)
    if not spelled and is_fraction and default == "mm":
        number = body.strip()
        raise AmbiguousError(value=original, readings=(f"{number}in", f"{plain(amount)}mm"))
    found = _convert(sign * amount, spelled or default, original)
    value, name, dimension = found
    if dimension not in dimensions:
        wanted = " or ".join(dimensions)
        raise InputError(
            value=original,
            rule=f"{name} is a unit of {dimension}, and a {wanted} is wanted here",
            todo=f"Give a {wanted}, for example in {BASE_UNIT[dimensions[0]]}",
        )
    step_base = abs(
        _convert(amount + step, name, original)[0] - _convert(amount, name, original)[0]
    )
    return Quantity(
        value=value,
        amount=sign * amount,
        unit=name,
        dimension=dimension,
        stated=bool(spelled),
        step=step_base,
    )


def _normal(text: str) -> str:
    original = text
    text = text.translate(_SAME_CHARACTER).strip()
    for character, fraction in _VULGAR.items():
        if character in text:
            text = text.replace(character, f" {fraction}").strip()
    if not text:
        raise InputError(
            value="(empty)",
            rule="a value is needed here",
            todo="Give a number with its unit, for example 34.92mm",
        )
    if len(text) > MAX_TEXT:
        raise InputError(
            value=original[:MAX_TEXT] + "...",
            rule=f"a value is at most {MAX_TEXT} characters long",
            todo="Give one number with its unit, for example 34.92mm",
        )
    return text[1:].lstrip() if text.startswith("+") else text


def _number(body: str, original: str) -> tuple[float, float, str, bool]:
    """The number at the head of the text: amount, step, what follows, and whether a fraction."""
    grouped = _GROUPED.match(body)
    if grouped:
        _refuse_grouped(grouped.group(), grouped.group(1), body[grouped.end() :], original)
    fraction = _FRACTION.match(body)
    if fraction:
        whole, over, under = fraction.groups()
        return (
            _fraction(whole, over, under, original),
            1.0 / int(under),
            body[fraction.end() :],
            True,
        )
    decimal = _DECIMAL.match(body)
    if decimal is None:
        raise InputError(
            value=original,
            rule="a value starts with a number",
            todo="Write it like 34.92mm, 1-3/8in or 250um",
        )
    digits = decimal.group().replace(",", ".")
    places = len(digits.partition(".")[2])
    if not digits.isascii():
        raise InputError(
            value=original, rule="only the digits 0 to 9 are read", todo="Write it like 34.92mm"
        )
    return float(digits), 10.0**-places, body[decimal.end() :], False


def _fraction(whole: str | None, over: str, under: str, original: str) -> float:
    top, bottom = int(over), int(under)
    if bottom not in _DENOMINATORS:
        raise InputError(
            value=original,
            rule=f"a fraction has 2, 4, 8, 16, 32, 64 or 128 below the stroke, not {under}",
            todo="Check the digits, or write the value as a decimal",
        )
    if whole is None and len(over) > 1 and top > bottom and int(over[1:]) < bottom:
        # 13/8 is thirteen eighths or one and three eighths with the gap lost.
        raise AmbiguousError(
            value=original, readings=(f"{over[0]}-{over[1:]}/{under}in", f"{plain(top / bottom)}in")
        )
    if whole is not None and top >= bottom:
        raise InputError(
            value=original,
            rule="the fraction after a whole number must be smaller than one",
            todo="Check the digits, or write the value as a decimal",
        )
    return int(whole or 0) + top / bottom


def _refuse_grouped(number: str, mark: str, rest: str, original: str) -> None:
    """A comma before three digits: a decimal comma or a thousands comma."""
    head, _, tail = number.partition(mark)
    simple = tail.isdigit() and len(tail) == 3
    if simple and (mark == "." or head == "0"):
        return
    if simple and mark == ",":
        unit = rest.strip()
        raise AmbiguousError(
            value=original, readings=(f"{head}.{tail}{unit}", f"{head}{tail}{unit}")
        )
    raise InputError(
        value=original,
        rule="digits are not grouped in thousands here",
        todo="Leave the grouping out: write 1250.5, not 1,250.5",
    )


def _refuse_two_values(body: str, spelled: str, original: str) -> None:
    first = body[: len(body) - len(spelled)].strip().rstrip("x,;/ ")
    joined = "".join(body.split())
    if spelled[0].isdigit():
        together = f"{first}{spelled}" if "/" in first else joined
        raise AmbiguousError(
            value=original,
            readings=(f"two values, {first} and {spelled}", f"one value, {together}"),
        )
    raise InputError(
        value=original,
        rule=f"{spelled} after the number is no unit",
        todo="Give one value a time, like 34.92mm",
    )


def _convert(amount: float, spelled: str, original: str) -> tuple[float, str, str]:
    """Value in the base unit, the unit's own name, and its dimension."""
    name = SPELLINGS.get(spelled)
    if name is not None:
        known = UNITS[name]
        return known.to_base(amount), name, known.dimension
    if spelled in TWO_WAYS:
        raise AmbiguousError(
            value=original, readings=tuple(f"{plain(amount)} {way}" for way in TWO_WAYS[spelled])
        )
    if spelled in RARE:
        dimension, pint_name = RARE[spelled]
        value = float(_registry().Quantity(amount, pint_name).to(PINT_BASE[dimension]).magnitude)
        return value, spelled, dimension
    if _SIZE.match(spelled):
        raise InputError(
            value=original,
            rule="this looks like a whole size, and one dimension is wanted here",
            todo="Give each dimension to its own option: --shaft, --bore, --old-width",
        )
    raise InputError(
        value=original,
        rule=f"{spelled!r} is not a unit that is read here",
        todo="Use mm, in, thou or um for lengths; C or F; bar, kPa or psi; N.m or lbf.ft; "
        "N or lbf; rpm or m/s",
    )


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(cache_folder=None)


def from_pint(quantity: Any, dimension: str) -> float:
    """A pint quantity as a plain float in the base unit of a dimension.

    Raises
    ------
    InputError
        The object is no pint quantity, or is of another dimension.
    """
    try:
        return float(quantity.to(PINT_BASE[dimension]).magnitude)
    except Exception as error:
        # pint raises its own family of errors, and objects without .to raise AttributeError.
        raise InputError(
            value=str(quantity),
            rule=f"a {dimension} is wanted here ({error})",
            todo=f"Give it in {BASE_UNIT[dimension]}",
        ) from None


def length_mm(text: str, *, unit: str = "mm", signed: bool = False) -> float:
    """A length in mm, from text.

    >>> length_mm('1-3/8in'), length_mm("34,92"), length_mm("250um")
    (34.925, 34.92, 0.25)
    """
    return length(text, unit=unit, signed=signed).value


def length(text: str, *, unit: str = "mm", signed: bool = False) -> Quantity:
    """A length as a :class:`Quantity`; negative only where ``signed``.

    Raises
    ------
    InputError
        As :func:`parse`; also when the length is negative or beyond 100 m.
    """
    found = parse(text, LENGTH, unit=unit)
    if found.value < 0 and not signed:
        raise InputError(
            value=text, rule="a length can't be negative", todo="Check the sign and measure again"
        )
    if abs(found.value) > MAX_LENGTH_MM:
        raise InputError(
            value=text, rule="a length here is at most 100 m", todo="Check the digits and the unit"
        )
    return found


def temperature_c(text: str) -> float:
    """A temperature in degrees Celsius, from text; bare numbers are Celsius.

    >>> temperature_c("176F")
    80.0
    """
    found = parse(text, TEMPERATURE)
    if found.value < -273.15:
        raise InputError(
            value=text,
            rule="nothing is colder than -273.15 C",
            todo="Check the sign and the unit",
        )
    return found.value


def pressure_bar(text: str) -> float:
    """A gauge pressure in bar, from text; bare numbers are bar."""
    return parse(text, PRESSURE).value


def torque_nm(text: str) -> float:
    """A torque in newton metres, from text; bare numbers are N.m."""
    return parse(text, TORQUE).value


def force_n(text: str) -> float:
    """A force in newtons, from text; bare numbers are N."""
    return parse(text, FORCE).value


def volume_l(text: str) -> float:
    """A volume in litres, from text; bare numbers are litres."""
    return parse(text, VOLUME).value


def speed(text: str) -> Quantity:
    """A shaft speed: rpm (bare numbers too) or a surface speed in m/s; see ``dimension``."""
    found = parse(text, ROTATION, SPEED)
    if found.value < 0:
        raise InputError(
            value=text, rule="a speed can't be negative", todo="Give it without the sign"
        )
    return found
