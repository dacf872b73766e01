"""Units: every factor against pint, and every spelling leads to one unit."""

from __future__ import annotations

import math
import sys
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck import units
from fitcheck.errors import InputError
from fitcheck.units import (
    BASE_UNIT,
    PINT_BASE,
    RARE,
    SPELLINGS,
    TWO_WAYS,
    UNITS,
    Converted,
    convert,
    is_unit,
    two_ways,
)

REGISTRY: Any = pint.UnitRegistry(cache_folder=None)

# What pint calls the shop's own units.
PINT_NAMES = {
    "mm": "millimeter",
    "in": "inch",
    "thou": "thou",
    "um": "micrometer",
    "C": "degree_Celsius",
    "F": "degree_Fahrenheit",
    "K": "kelvin",
    "bar": "bar",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "psi": "pound_force_per_square_inch",
    "rpm": "revolution / minute",
    "m/s": "meter / second",
    "km/h": "kilometer / hour",
    "N.m": "newton * meter",
    "lbf.in": "pound_force * inch",
    "lbf.ft": "pound_force * foot",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound_force",
    "l": "liter",
    "ml": "milliliter",
}
# By definition: inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s2, US gallon 231
# cubic inches, imperial gallon 4.54609 l, standard atmosphere 101325 Pa.
DEFINED = {
    "cm": 10.0,
    "m": 1000.0,
    "ft": 304.8,
    "Pa": 1e-5,
    "mbar": 1e-3,
    "atm": 1.01325,
    "kgf/cm2": 0.980665,
    "kg/cm2": 0.980665,
    "ft/min": 0.00508,
    "mph": 0.44704,
    "kgf.m": 9.80665,
    "kgf.cm": 0.0980665,
    "kgf": 9.80665,
    "kg": 9.80665,
    "ozf": 0.45359237 * 9.80665 / 16,
    "US pt": 231 * 25.4**3 / 8e6,
    "US qt": 231 * 25.4**3 / 4e6,
    "US gal": 231 * 25.4**3 / 1e6,
    "imp pt": 4.54609 / 8,
    "imp qt": 4.54609 / 4,
    "imp gal": 4.54609,
}


def converted(amount: float, spelled: str, step: float = 1.0) -> Converted:
    """An amount as the program converts it."""
    return convert(amount=amount, step=step, spelled=spelled, original=f"{amount}{spelled}")


def by_pint(amount: float, pint_name: str, dimension: str) -> float:
    """The same amount as pint converts it."""
    return float(REGISTRY.Quantity(amount, pint_name).to(PINT_BASE[dimension]).magnitude)


def test_every_unit_is_compared() -> None:
    assert set(PINT_NAMES) == set(UNITS)
    assert set(DEFINED) == set(RARE)


@pytest.mark.parametrize("name", UNITS)
@pytest.mark.parametrize("amount", [1.0, 34.92, 1234.5, 0.001])
def test_factors_agree_with_pint(name: str, amount: float) -> None:
    unit = UNITS[name]
    wanted = by_pint(amount, PINT_NAMES[name], unit.dimension)
    # Near the ice point the shift of a temperature scale leaves few digits.
    near = 1e-12 * 273.15 if unit.shift else 0.0
    assert unit.to_base(amount) == pytest.approx(wanted, rel=1e-12, abs=near)


@pytest.mark.parametrize("name", RARE)
@pytest.mark.parametrize("amount", [1.0, 34.92, -2.5])
def test_rare_units_agree_with_their_definitions(name: str, amount: float) -> None:
    found = converted(amount, name, step=0.5)
    assert found.value == pytest.approx(amount * DEFINED[name], rel=1e-12)
    assert found.step == pytest.approx(0.5 * DEFINED[name], rel=1e-12)
    assert (found.name, found.dimension) == (name, RARE[name][0])


@pytest.mark.parametrize("dimension", BASE_UNIT)
def test_the_base_unit_of_a_dimension_is_one(dimension: str) -> None:
    unit = UNITS[BASE_UNIT[dimension]]
    assert (unit.dimension, unit.to_base(34.92), unit.change_to_base(34.92)) == (
        dimension,
        34.92,
        34.92,
    )


@pytest.mark.parametrize(
    ("amount", "spelled", "value"),
    [
        (1.375, "in", 34.925),
        (12.0, "thou", 0.3048),
        (176.0, "F", 80.0),
        (32.0, "F", 0.0),
        (-40.0, "F", -40.0),
        (273.15, "K", 0.0),
        (30.0, "kPa", 0.3),
        (36.0, "km/h", 10.0),
        (500.0, "ml", 0.5),
    ],
)
def test_round_figures_stay_round(amount: float, spelled: str, value: float) -> None:
    assert converted(amount, spelled).value == value


@given(st.sampled_from(sorted(UNITS)), st.floats(-1e9, 1e9), st.floats(0, 100))
def test_a_change_converts_without_the_shift(name: str, value: float, change: float) -> None:
    unit = UNITS[name]
    moved = unit.to_base(value + change) - unit.to_base(value)
    room = 1e-14 * (abs(value) + 1000.0) * unit.multiply / unit.divide
    assert math.isclose(unit.change_to_base(change), moved, rel_tol=1e-9, abs_tol=room)


@pytest.mark.parametrize(("spelled", "name"), SPELLINGS.items())
def test_every_spelling_leads_to_its_unit(spelled: str, name: str) -> None:
    found = converted(7.0, spelled)
    assert is_unit(spelled)
    assert (found.name, found.value) == (name, UNITS[name].to_base(7.0))


@pytest.mark.parametrize(
    ("spelled", "name"),
    [
        ("N·m", "N.m"),
        ("N⋅m", "N.m"),
        ("ft·lbf", "lbf.ft"),
        ("cm³", "ml"),
        ("kgf/cm²", "kgf/cm2"),
        ("ºC", "C"),
        ("˚F", "F"),
        ("℃", "C"),
        ("℉", "F"),
        ("µm", "um"),
    ],
)
def test_other_type_for_the_same_unit_is_read(spelled: str, name: str) -> None:
    assert converted(1.0, spelled).name == name


def test_no_spelling_has_two_places() -> None:
    assert SPELLINGS.keys() & TWO_WAYS.keys() == set()
    assert SPELLINGS.keys() & RARE.keys() == set()
    assert RARE.keys() & TWO_WAYS.keys() == set()
    assert [s for s in TWO_WAYS if is_unit(s) or len(set(two_ways(s))) < 2] == []


@pytest.mark.parametrize("spelled", ["Mm", "mil", "nm", "NM", "mpa", "Mpa", "'", "pt", "qt", "gal"])
def test_a_spelling_that_two_trades_read_differently_is_no_unit(spelled: str) -> None:
    assert not is_unit(spelled)
    with pytest.raises(InputError, match="is not a unit that is read here"):
        converted(1.0, spelled)


@pytest.mark.parametrize(
    "spelled", ["mM", "M", "km", "CM", "cubit", "degree", "meter", "mm mm", "mm2", "S", "KN", "n.m"]
)
def test_case_and_prefixes_are_never_guessed(spelled: str) -> None:
    with pytest.raises(InputError, match="is not a unit") as caught:
        converted(1.0, spelled)
    assert caught.value.value == f"1.0{spelled}"
    assert "Use mm, in, thou or um" in caught.value.todo


def test_a_rare_unit_without_pint_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pint", None)
    monkeypatch.setattr(units, "_registry", units._registry.__wrapped__)
    with pytest.raises(InputError, match="cm is converted by the pint library, which is not"):
        converted(3.0, "cm")
    assert converted(3.0, "in").value == 76.2
