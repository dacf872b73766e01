"""A material as text: a listed name, values of one's own, or a name with values replaced."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import read_temperature
from fitcheck.quantities import number, parse
from fitcheck.setup.materials import Material, material
from fitcheck.units import PRESSURE

# Lowest and highest value that a metal can have, so that a wrong unit shows.
_PLAUSIBLE = {
    "e": (5000.0, 700000.0, "MPa"),
    "nu": (0.0, 0.5, ""),
    "alpha": (0.0, 100e-6, "1/K"),
    "alpha-cold": (0.0, 100e-6, "1/K"),
    "rho": (500.0, 25000.0, "kg/m3"),
    "yield": (5.0, 4000.0, "MPa"),
    "heat-cap": (0.0, 800.0, "C"),
}
_KEYS = tuple(_PLAUSIBLE)


def material_of(text: str) -> Material:
    """A material from text: a listed name, values, or a name with some values replaced.

    Raises
    ------
    InputError
        The name is not listed, a value can't be read or no metal has it, or one is missing.

    Examples
    --------
    >>> material_of("steel,yield=500").strength_mpa
    500.0
    """
    return _custom(text) if "=" in text else material(text)


def _custom(text: str) -> Material:
    """A listed material with values replaced, or one made of values: ``steel,yield=500``."""
    first, _, rest = text.partition(",")
    values = rest if "=" not in first else text
    base = material(first) if "=" not in first else None
    pairs: dict[str, float] = {}
    for item in values.split(","):
        key, mark, value = item.partition("=")
        key = key.strip().lower().replace("_", "-")
        if not mark or key not in _KEYS:
            raise InputError(
                value=text,
                rule=f"{item.strip() or '(empty)'} is no value of a material",
                todo=f"Write KEY=VALUE parted by commas; the keys are {', '.join(_KEYS)}",
            )
        pairs[key] = _material_number(key, value.strip(), text)
    if base is None:
        lacking = [key for key in ("e", "nu", "alpha") if key not in pairs]
        if lacking:
            raise InputError(
                value=text,
                rule=f"a material of its own needs {', '.join(lacking)} too",
                todo="Write it like e=200000,nu=0.3,alpha=11.7e-6, or start with a listed name: "
                "steel,yield=500",
            )
        base = Material(
            name="own values",
            condition="as given",
            e_mpa=0.0,
            poisson=0.0,
            alpha=0.0,
            alpha_cold=pairs["alpha"],
            # Not known; what turns at speed needs it and says so.
            density_kg_m3=0.0,
            strength="yield",
            strength_mpa=None,
            heat_cap_c=None,
            source="material values as given",
        )
    return replace(
        base,
        e_mpa=pairs.get("e", base.e_mpa),
        poisson=pairs.get("nu", base.poisson),
        alpha=pairs.get("alpha", base.alpha),
        alpha_cold=pairs.get("alpha-cold", base.alpha_cold),
        density_kg_m3=pairs.get("rho", base.density_kg_m3),
        strength="yield" if "yield" in pairs else base.strength,
        strength_mpa=pairs.get("yield", base.strength_mpa),
        heat_cap_c=pairs.get("heat-cap", base.heat_cap_c),
    )


def _material_number(key: str, text: str, whole: str) -> float:
    low, high, unit = _PLAUSIBLE[key]
    if key in ("e", "yield"):
        # GPa is how the elasticity of metals is printed; no pressure of the shop is.
        giga = text.removesuffix("GPa")
        value = number_of(giga, whole, power=True) * 1000.0 if giga != text else _mpa(text, whole)
    elif key == "heat-cap":
        value = read_temperature(text, place=key, inches=False)
    else:
        value = number_of(text, whole, power=True)
    if not low < value < high and not (key == "nu" and value == low):
        raise InputError(
            value=whole,
            rule=f"{key} lies between {low:g} and {high:g} {unit}".rstrip(),
            todo="Check the number and its unit",
        )
    return value


def _mpa(text: str, whole: str) -> float:
    # A bare number is MPa; the base unit of pressures is bar.
    if text[-1:].isdigit():
        return number_of(text, whole, power=True)
    return parse(text, PRESSURE, unit="MPa").value / 10.0


def number_of(text: str, whole: str, *, power: bool = False) -> float:
    """A plain number without a unit.

    Parameters
    ----------
    text : str
        The number as written.
    whole : str
        What it stands in, for the message.
    power : bool
        Whether it may end in a power of ten, as tables print 11.7e-6.

    Raises
    ------
    InputError
        This is no number; an :class:`AmbiguousError` where it can be read two ways.
    """
    try:
        return number(text, power=power)
    except AmbiguousError as error:
        raise error.at(whole) from None
    except InputError as error:
        raise InputError(
            value=whole,
            rule=f"{text.strip() or '(empty)'} is no number ({error.rule})",
            todo="Write it like 0.12",
        ) from None
