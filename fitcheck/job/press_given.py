"""What was asked about a press fit: the options as text, read and checked."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck import limits as iso
from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.material_text import material_of, number_of
from fitcheck.quantities import Quantity, length, plain, speed, temperature_c
from fitcheck.readings import read
from fitcheck.setup.joint import Joint, check_interference, check_shape, limit
from fitcheck.setup.materials import Material
from fitcheck.tables import Row, table
from fitcheck.units import ROTATION

_MM_PER_INCH = 25.4
_HOTTEST_ROOM_C = 60.0
_COLDEST_ROOM_C = -40.0


@dataclass(frozen=True, slots=True)
class PressRequest:
    """What was asked about one press fit: the options of the command, as text.

    ``interface``, ``outer``, ``length`` and one of ``interference`` and ``fit`` are needed.
    """

    interface: str = ""
    outer: str = ""
    inner: str = ""
    length: str = ""
    interference: str = ""
    fit: str = ""
    outer_material: str = ""
    inner_material: str = ""
    friction: str = ""
    condition: str = ""
    clearance: str = ""
    room_temp: str = ""
    use: str = ""
    heat_cap: str = ""
    service_temp: str = ""
    rpm: str = ""
    outer_rz: str = ""
    inner_rz: str = ""
    pin: str = ""
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class Given:
    """The request as understood; ``loose_mm`` is None when one interference was given."""

    joint: Joint
    use: Row | None
    tight_mm: float
    loose_mm: float | None
    fit: iso.Fit | None
    friction: tuple[float, float, float]
    friction_source: str
    clearance_mm: float | None
    room_c: float
    heat_cap_c: float | None
    service_c: float | None
    rpm: float | None
    outer_rz_um: float
    inner_rz_um: float
    pin_mm: float | None
    notes: tuple[str, ...]


def use_names() -> tuple[str, ...]:
    """The uses that have words and defaults of their own."""
    return tuple(row.text("use") for row in table("press/uses").rows)


def conditions() -> tuple[str, ...]:
    """The conditions of the faces that friction is tabled for."""
    return tuple(row.text("condition") for row in table("press/friction").rows)


def given(request: PressRequest) -> Given:
    """Read and check a request.

    Raises
    ------
    InputError
        A text can't be read, a material is not listed, something needed is missing, or the
        values can't belong together.
    AmbiguousError
        A bare number is plausible only in the other unit.
    """
    use = _use(request.use)
    outer, inner, notes = _materials(request, use)
    joint = _joint(request, outer, inner, use)
    tight, loose, fit = _interferences(request, joint)
    friction, source = _friction(request)
    clearance = _clearance(request, joint)
    rpm = _rpm(request.rpm, joint)
    room_c = _room(request.room_temp)
    return Given(
        joint=joint,
        use=use,
        tight_mm=tight,
        loose_mm=loose,
        fit=fit,
        friction=friction,
        friction_source=source,
        clearance_mm=clearance,
        room_c=room_c,
        heat_cap_c=_heat_cap(request.heat_cap, room_c),
        service_c=_temperature("service-temp", request.service_temp),
        rpm=rpm,
        outer_rz_um=_rz("outer-rz", request.outer_rz),
        inner_rz_um=_rz("inner-rz", request.inner_rz),
        pin_mm=_pin(request, joint),
        notes=notes,
    )


def _use(name: str) -> Row | None:
    if not name:
        return None
    for row in table("press/uses").rows:
        if row.text("use") == name:
            return row
    raise InputError(
        value=name,
        rule="this use has no words of its own",
        todo=f"Use one of {', '.join(use_names())}, or leave it out",
    )


def _needed(name: str, text: str, example: str) -> str:
    if not text.strip():
        raise InputError(
            value=f"{name} (not given)",
            rule="a press fit can't be worked out without it",
            todo=f"Give --{name}, for example {example}",
        )
    return text


def _length(name: str, text: str, unit: str) -> Quantity:
    """A length that may name its instrument; the instrument does not matter here."""
    body, mark, _ = text.partition("@")
    try:
        found = length(body, unit=unit)
    except InputError as error:
        raise error.at(name) from None
    if mark:
        read(place=name, texts=(text,), unit=unit)
    return found


def _joint(request: PressRequest, outer: Material, inner: Material, use: Row | None) -> Joint:
    _needed("interface", request.interface, "60mm")
    _needed("outer", request.outer, "90mm")
    _needed("length", request.length, "30mm")
    sizes = {
        name: _length(name, getattr(request, name) or "0", request.unit)
        for name in ("interface", "outer", "inner", "length")
    }
    _ask_unit(sizes["interface"], sizes["outer"])
    joint = Joint(
        # Converted inches end in binary dust; a size step must not be missed by it.
        interface_mm=round(sizes["interface"].value, 9),
        outer_mm=sizes["outer"].value,
        inner_mm=sizes["inner"].value,
        length_mm=sizes["length"].value,
        outer=outer,
        inner=inner,
        outer_name=use.text("outer_name") if use else "outer ring",
        inner_name=use.text("inner_name") if use else "inner part",
    )
    check_shape(joint)
    _check_units(joint)
    return joint


def _ask_unit(interface: Quantity, outer: Quantity) -> None:
    """Ask which unit a bare number has when it is plausible only in the other."""
    most = limit("outer_ratio_limit")
    if not (interface.value > 0.0 and outer.value > 0.0):
        return
    if 1.0 < outer.value / interface.value <= most:
        return
    for quantity in (interface, outer):
        if quantity.stated:
            continue
        other_unit = "in" if quantity.unit == "mm" else "mm"
        other = quantity.amount * (_MM_PER_INCH if other_unit == "in" else 1.0)
        ratio = outer.value / other if quantity is interface else other / interface.value
        if 1.0 < ratio <= most:
            number = plain(quantity.amount)
            raise AmbiguousError(
                value=f"{number} with interface {interface.text()} and outer {outer.text()}",
                readings=(f"{number}{other_unit}", f"{number}{quantity.unit}"),
            )


def _check_units(joint: Joint) -> None:
    most = limit("outer_ratio_limit")
    if joint.outer_mm > most * joint.interface_mm:
        raise InputError(
            value=f"outer {joint.outer_mm:g} mm with interface {joint.interface_mm:g} mm",
            rule=f"an outer ring is at most {most:g} times as large as the interface here",
            todo="Check the units; past that size more ring changes nothing, so give a smaller one",
        )


def _interferences(
    request: PressRequest, joint: Joint
) -> tuple[float, float | None, iso.Fit | None]:
    if request.fit and request.interference:
        raise InputError(
            value=f"--fit {request.fit} with --interference {request.interference}",
            rule="an interference comes from a fit or is given, not both",
            todo="Leave one out: --interference for measured parts, --fit for a drawing",
        )
    if not request.fit:
        _needed("interference", request.interference, "0.05mm, or --fit H7/s6")
        tight = length(request.interference, unit=request.unit, signed=True).value
        check_interference(interference_mm=tight, interface_mm=joint.interface_mm)
        return tight, None, None
    hole, shaft = iso.parse_fit(request.fit)
    fit = iso.fit(nominal_mm=joint.interface_mm, hole_class=hole.text, shaft_class=shaft.text)
    tight, loose = -fit.min_clearance_um / 1000.0, -fit.max_clearance_um / 1000.0
    if tight <= 0.0:
        raise InputError(
            value=f"--fit {request.fit} at {joint.interface_mm:g} mm",
            rule="this is a clearance fit: nothing is pressed",
            todo="Take a fit with interference, such as H7/p6 or H7/s6",
        )
    check_interference(interference_mm=tight, interface_mm=joint.interface_mm)
    return tight, loose, fit


def _materials(
    request: PressRequest, use: Row | None
) -> tuple[Material, Material, tuple[str, ...]]:
    found, notes = [], []
    for side, text in (("outer", request.outer_material), ("inner", request.inner_material)):
        name = text.strip()
        if not name:
            name = use.text(f"{side}_material") if use else "steel"
            notes.append(f"{side} material not given: {name} is taken")
        try:
            found.append(material_of(name))
        except InputError as error:
            raise error.at(f"{side}-material") from None
    return found[0], found[1], tuple(notes)


def _friction(request: PressRequest) -> tuple[tuple[float, float, float], str]:
    """Friction as (low, value, high) with its source."""
    if request.friction:
        if request.condition:
            raise InputError(
                value=f"--friction {request.friction} with --condition {request.condition}",
                rule="a friction is given or comes from the condition, not both",
                todo="Leave one out",
            )
        value = number_of(request.friction, f"friction {request.friction}")
        if not 0.0 < value < 1.0:
            raise InputError(
                value=f"friction {request.friction}",
                rule="a coefficient of friction lies between 0 and 1",
                todo="Give for example 0.11 for oiled steel",
            )
        return (value, value, value), "friction as given"
    condition = request.condition or "oiled"
    for row in table("press/friction").rows:
        if row.text("condition") == condition:
            friction = (row.number("low"), row.number("value"), row.number("high"))
            return friction, f"friction, {condition}: {row.cite()}"
    raise InputError(
        value=condition,
        rule="friction is not tabled for this condition",
        todo=f"Use one of {', '.join(conditions())}, or give --friction",
    )


def _clearance(request: PressRequest, joint: Joint) -> float | None:
    if not request.clearance:
        return None
    value = _length("clearance", request.clearance, request.unit).value
    if value > limit("interference_share_limit") * joint.interface_mm:
        raise InputError(
            value=f"clearance {value:g} mm on {joint.interface_mm:g} mm",
            rule="this is more than a hundredth of the diameter",
            todo="Check the unit; a thousandth of the diameter is usual",
        )
    return value


def _temperature(name: str, text: str) -> float | None:
    if not text:
        return None
    try:
        return temperature_c(text)
    except InputError as error:
        raise error.at(name) from None


def _room(text: str) -> float:
    found = _temperature("room-temp", text)
    if found is None:
        return 20.0
    if not _COLDEST_ROOM_C <= found <= _HOTTEST_ROOM_C:
        raise InputError(
            value=f"room-temp {text}",
            rule=f"a room is between {_COLDEST_ROOM_C:g} and {_HOTTEST_ROOM_C:g} C",
            todo="Check the unit: 68F is 20C; the heating cap is --heat-cap",
        )
    return found


def _heat_cap(text: str, room_c: float) -> float | None:
    found = _temperature("heat-cap", text)
    if found is not None and found <= room_c:
        raise InputError(
            value=f"heat-cap {text}",
            rule=f"a heating cap is hotter than the room, {room_c:g} C",
            todo="Give the temperature of the manual, for example 135C",
        )
    return found


def _rpm(text: str, joint: Joint) -> float | None:
    if not text:
        return None
    found = speed(text)
    for part in (joint.outer, joint.inner):
        if part.density_kg_m3 <= 0.0:
            raise InputError(
                value=f"rpm {text} with a material of {part.name}",
                rule="what a part loses at speed depends on its density, and that is not given",
                todo="Add it to the material, like rho=7850",
            )
    if found.dimension == ROTATION:
        return found.value
    return found.value * 60_000.0 / (math.pi * joint.interface_mm)


def _rz(name: str, text: str) -> float:
    if not text:
        return 0.0
    value = _length(name, text, "um").value * 1000.0
    if value > 200.0:
        raise InputError(
            value=f"{name} {text}",
            rule="a fitted face is smoother than Rz 200 um",
            todo="Give Rz in um, for example 6.3um for a ground or fine turned face",
        )
    return value


def _pin(request: PressRequest, joint: Joint) -> float | None:
    if not request.pin:
        return None
    value = _length("pin", request.pin, request.unit).value
    if joint.inner_mm <= 0.0:
        raise InputError(
            value=f"pin {request.pin}",
            rule="a pin runs in the bore of the inner part, and that is given as solid",
            todo="Give --inner, the bore before pressing",
        )
    if not 0.9 * joint.inner_mm <= value <= 1.05 * joint.inner_mm:
        raise InputError(
            value=f"pin {value:g} mm in a bore of {joint.inner_mm:g} mm",
            rule="a pin that runs in a bushing has nearly the size of its bore",
            todo="Check both and their units",
        )
    return value
