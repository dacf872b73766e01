"""Text to quantity and back, with a grammar of our own.

    quantity = [sign] number [unit]
    number   = 34.92 | 34,92 | .313 | 13/16 | 1-3/8 | 1 3/8 | 1⅜
    unit     = a spelling listed in units.py; a bare number takes the default unit

What can be read two ways is refused with both readings named; nothing is guessed. Rarer units,
and quantities handed in as pint objects, are converted by pint, which is imported only then.
"""

from __future__ import annotations

import re
from typing import Any

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.numerals import DECIMAL, Number, normal
from fitcheck.numerals import number as read_number
from fitcheck.records import dataclass
from fitcheck.units import (
    BASE_UNIT,
    FORCE,
    LENGTH,
    PINT_BASE,
    PRESSURE,
    ROTATION,
    SPEED,
    TEMPERATURE,
    TORQUE,
    VOLUME,
    convert,
    is_unit,
    two_ways,
)

MAX_LENGTH_MM = 100_000.0
# A perfect vacuum, as gauge pressure at the standard atmosphere.
_VACUUM_BAR = -1.01325

_GROUPED = re.compile(r"([0-9]{1,3})((?:[.,'][0-9]{3})+)(?![0-9])([.,][0-9]+)?")
# What few texts need is compiled when one does, so that the others need not wait for it.
_AFTER_POINT = r"([.,] ?)([0-9]+)(?![0-9]|[.,]? ?[0-9])(.*)"
_EXPONENT = r"[eE][+-]?[0-9]"
# Two digits after the e are more than any number here needs.
_POWER = r"[eE][+-]?[0-9]{1,2}"
_SIZE = r"[xX*×] ?[0-9]"


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
    # Adding nothing turns minus zero into zero.
    text = repr(float(number) + 0.0)
    if "e" in text:
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
    sign, number, original = _head(text)
    default = unit or BASE_UNIT[dimensions[0]]
    spelled = number.rest.strip()
    if spelled and not is_unit(spelled):
        _refuse_rest(sign, number, spelled, original)
    amount = -number.amount if sign else number.amount
    found = convert(amount=amount, step=number.step, spelled=spelled or default, original=original)
    if found.dimension not in dimensions:
        wanted = " or ".join(dimensions)
        raise InputError(
            value=original,
            rule=f"{found.name} is a unit of {found.dimension}, and a {wanted} is wanted here",
            todo=f"Give a {wanted}, for example in {BASE_UNIT[dimensions[0]]}",
        )
    if number.fraction:
        _refuse_lost_gap(sign, number, spelled, default, original)
    return Quantity(
        value=found.value,
        amount=amount,
        unit=found.name,
        dimension=found.dimension,
        stated=bool(spelled),
        step=found.step,
    )


def _head(text: str) -> tuple[str, Number, str]:
    """Sign and number at the head of a text, and the text as it may stand in a message."""
    # What can't be seen in a message is shown by its code.
    original = text.strip() if text.strip().isprintable() else repr(text)[1:-1]
    text = normal(text, original)
    sign = "-" if text.startswith("-") else ""
    body = text[1:].lstrip() if text[0] in "+-" else text
    _refuse_grouped(sign, body, original)
    return sign, read_number(body, original), original


def number(text: str, *, percent: bool = False, power: bool = False) -> float:
    """A number without a unit, from text.

    Parameters
    ----------
    text : str
        What was written.
    percent : bool
        Whether it may be written in per cent.
    power : bool
        Whether it may end in a power of ten, as tables print 11.7e-6.

    Raises
    ------
    AmbiguousError
        The text can be read two ways; the message names both.
    InputError
        The text is no number, or something stands behind it.

    Examples
    --------
    >>> number("0,5"), number("50 %", percent=True), number("11.7e-6", power=True)
    (0.5, 0.5, 1.17e-05)
    """
    sign, found, original = _head(text)
    rest = found.rest.strip()
    if found.fraction:
        _refuse_lost_gap(sign, found, rest, "", original)
    amount = -found.amount if sign else found.amount
    if not rest:
        return amount
    if percent and rest == "%":
        return amount / 100.0
    if power and not found.fraction and re.fullmatch(_POWER, found.rest):
        return float(sign + found.text.replace(",", ".") + found.rest)
    if not (is_unit(rest) or two_ways(rest)):
        _refuse_rest(sign, found, rest, original)
    raise InputError(
        value=original,
        rule=f"a number without a unit is wanted here, and {rest} stands behind it",
        todo=f"Write the number alone, like 0.12{' or 12%' if percent else ''}",
    )


def _refuse_lost_gap(sign: str, number: Number, spelled: str, default: str, original: str) -> None:
    """Fractions that can be read two ways: 13/8in with its gap lost, or 1-3/8 of which unit."""
    whole, over, under = number.fraction or ("", "", "")
    unit = spelled or ("in" if default == "mm" else default)
    readings = [
        f"{sign}{over[:i]}-{over[i:]}/{under}{unit}"
        for i in range(1, len(over))
        if not whole and over[0] != "0" and over[i] != "0" and int(over[i:]) < int(under)
        if int(over) > int(under)
    ]
    written = plain(number.amount) if readings else number.text
    readings.append(f"{sign}{written}{unit}")
    if not spelled and default == "mm":
        readings.append(f"{sign}{plain(number.amount)}mm")
    if len(readings) > 1:
        raise AmbiguousError(value=original, readings=tuple(readings))


def _refuse_grouped(sign: str, body: str, original: str) -> None:
    """Digits in groups of three: 1,250 with a decimal comma or a thousands comma."""
    found = _GROUPED.match(body)
    if not found:
        return
    head, groups, decimals = found.groups()
    rest = body[found.end() :].strip()
    if len(groups) == 4 and not decimals and groups[0] != "'":
        if groups[0] == "," and not head.startswith("0") and (not rest or is_unit(rest)):
            tail = groups[1:]
            raise AmbiguousError(
                value=original, readings=(f"{sign}{head}.{tail}{rest}", f"{sign}{head}{tail}{rest}")
            )
        return
    raise InputError(
        value=original,
        rule="digits are not grouped in thousands here",
        todo="Leave the grouping out: write 1250.5, not 1,250.5",
    )


def _refuse_rest(sign: str, number: Number, spelled: str, original: str) -> None:
    """What follows a number and is no unit: another number, a size, a unit of two meanings."""
    ways = two_ways(spelled)
    if ways:
        amount = sign + plain(number.amount)
        raise AmbiguousError(value=original, readings=tuple(f"{amount} {way}" for way in ways))
    first = sign + number.text
    one = _as_one_value(number, spelled)
    if one:
        second = re.sub("^[.,] ", "", spelled)
        raise AmbiguousError(
            value=original,
            readings=(f"two values, {first} and {second}", f"one value, {sign}{one}"),
        )
    if spelled in (".", ",") or (spelled[0] in ".," and not any(c.isdigit() for c in spelled)):
        rule = f"no digits stand after the {'point' if spelled[0] == '.' else 'comma'}"
        todo = f"Write {first}{spelled[1:].strip()}, or the digits that are missing"
    elif re.match(_EXPONENT, spelled):
        rule, todo = "powers of ten are not read", "Write the number in full digits"
    elif re.match(_SIZE, spelled):
        rule = "this looks like a whole size, and one dimension is wanted here"
        todo = "Give each dimension to its own option: --shaft, --bore, --old-width"
    elif spelled[0] in "0123456789.,/-+;":
        rule = f"{spelled} after the number {first} is no unit"
        todo = "Give one value a time, like 34.92mm"
    else:
        return
    raise InputError(value=original, rule=rule, todo=todo)


def _as_one_value(number: Number, spelled: str) -> str:
    """The one value that two numbers give when the gap is taken as slipped in, if they give one."""
    if number.fraction:
        # 1 3/8 35 read without the last gap is 1 3/835.
        return number.text + spelled if re.match(r"[0-9]+(?![0-9.,/ -])", spelled) else ""
    text = number.text.replace(",", ".")
    point = re.match(_AFTER_POINT, spelled)
    if point:
        return f"{text}.{point[2]}{point[3].strip()}" if text.isdigit() else ""
    second = DECIMAL.match(spelled)
    if second is None or spelled[second.end() :].lstrip()[:1] in tuple("0123456789.,/-+"):
        return ""
    joined = text + second.group().replace(",", ".")
    tail = spelled[second.end() :].strip()
    return joined + tail if joined.count(".") < 2 else ""


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
    found = parse(text, PRESSURE)
    if found.value < _VACUUM_BAR:
        raise InputError(
            value=text,
            rule="no gauge pressure is below a vacuum, -1.01325 bar",
            todo="Check the sign and the unit",
        )
    return found.value


def torque_nm(text: str) -> float:
    """A torque in newton metres, from text; bare numbers are N.m."""
    return _not_negative(text, parse(text, TORQUE))


def force_n(text: str) -> float:
    """A force in newtons, from text; bare numbers are N."""
    return _not_negative(text, parse(text, FORCE))


def volume_l(text: str) -> float:
    """A volume in litres, from text; bare numbers are litres."""
    return _not_negative(text, parse(text, VOLUME))


def speed(text: str) -> Quantity:
    """A shaft speed: rpm (bare numbers too) or a surface speed in m/s; see ``dimension``."""
    found = parse(text, ROTATION, SPEED)
    _not_negative(text, found)
    return found


def _not_negative(text: str, found: Quantity) -> float:
    if found.value < 0:
        raise InputError(
            value=text,
            rule=f"a {found.dimension} can't be negative here",
            todo="Give it without the sign",
        )
    return found.value


def percent(share: float) -> str:
    """A probability in per cent that never rounds up to certainty or down to nothing.

    >>> percent(0.98), percent(0.99996), percent(0.0004), percent(0.0)
    ('98.0 %', '> 99.9 %', '< 0.1 %', '0.0 %')
    """
    if share > 0.999:
        return "> 99.9 %"
    if 0.0 < share < 0.001:
        return "< 0.1 %"
    return f"{100.0 * share:.1f} %"
