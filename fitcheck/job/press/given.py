"""What was asked about a press fit: the options as text, read and checked."""

from __future__ import annotations

import math

from fitcheck import limits as iso
from fitcheck.errors import InputError
from fitcheck.job.bare_units import read_temperature, writes_inches
from fitcheck.job.lengths import Measured, Texts, shown, texts_of
from fitcheck.job.material_text import material_of, number_of
from fitcheck.job.press.sizes import (
    Interference,
    PressRequest,
    interference_of,
    joint_of,
    mean_mm,
    pin_of,
    read_sizes,
)
from fitcheck.judging import COVERAGE
from fitcheck.quantities import plain, speed
from fitcheck.records import dataclass
from fitcheck.setup.joint import Joint, limit
from fitcheck.setup.materials import Material
from fitcheck.setup.settings import setting_limit
from fitcheck.tables import Row, table
from fitcheck.units import ROTATION

_HOTTEST_ROOM_C = 60.0
_COLDEST_ROOM_C = -40.0
# Common practice, no source.
_HOTTEST_CAP_C = 400.0


@dataclass(frozen=True, slots=True)
class Given:
    """The request as understood; ``loose_mm`` is None when one interference was given.

    ``assumed`` names the sides, ``outer`` and ``inner``, whose material was not given,
    ``interference_sure_mm`` is half of the 95 % interval of a measured interference, and
    ``sizes`` holds what was measured, by option.
    """

    joint: Joint
    assumed: frozenset[str]
    use: Row | None
    tight_mm: float
    loose_mm: float | None
    fit: iso.Fit | None
    friction: tuple[float, float, float]
    friction_source: str
    assumptions: tuple[str, ...]
    clearance_mm: float | None
    room_c: float
    heat_cap_c: float | None
    service_c: float | None
    rpm: float | None
    outer_rz_um: float
    inner_rz_um: float
    pin_mm: float | None
    interference_sure_mm: float
    sizes: dict[str, Measured]
    notes: tuple[str, ...]

    def sure_mm(self, *names: str) -> float:
        """How sure the sum or difference of some sizes is: half of its 95 % interval [mm]."""
        errors = [self.sizes[n].reading.standard_error_mm for n in names if n in self.sizes]
        return COVERAGE * math.hypot(*errors)


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
    outer, inner, assumed = _materials(request, use)
    sizes = read_sizes(request)
    joint = joint_of(sizes, outer=outer, inner=inner, use=use)
    interference = interference_of(request, joint)
    friction, source, faces = _friction(request)
    clearance = _clearance(request, joint)
    rpm = _rpm(request.rpm, joint)
    room_c = _room(request)
    return Given(
        joint=joint,
        assumed=assumed,
        use=use,
        tight_mm=interference.tight_mm,
        loose_mm=interference.loose_mm,
        fit=interference.fit,
        friction=friction,
        friction_source=source,
        assumptions=(
            *_taken(joint, assumed),
            *_solid(request, joint),
            *_exact(interference),
            *faces,
            *(
                []
                if request.room_temp
                else [f"no room temperature was given: {room_c:g} C is taken"]
            ),
        ),
        clearance_mm=clearance,
        room_c=room_c,
        heat_cap_c=_heat_cap(request, room_c),
        service_c=_service(request),
        rpm=rpm,
        outer_rz_um=_rz("outer-rz", request.outer_rz),
        inner_rz_um=_rz("inner-rz", request.inner_rz),
        pin_mm=pin_of(sizes, joint),
        interference_sure_mm=interference.sure_mm,
        sizes=sizes,
        notes=interference.notes,
    )


def _use(name: str) -> Row | None:
    if not name:
        return None
    for row in table("press/uses").rows:
        if row.text("use") == name:
            return row
    raise InputError(
        value=name,
        rule="this is no use of a press fit that is known here",
        todo=f"Use one of {', '.join(use_names())}, or leave it out",
    )


def _materials(request: PressRequest, use: Row | None) -> tuple[Material, Material, frozenset[str]]:
    """The materials of outer and inner part, and the sides that were not given."""
    found, assumed = [], set()
    for side, text in (("outer", request.outer_material), ("inner", request.inner_material)):
        name = text.strip()
        if not name:
            name = use.text(f"{side}_material") if use else "steel"
            assumed.add(side)
        try:
            found.append(material_of(name))
        except InputError as error:
            raise error.at(f"{side}-material") from None
    return found[0], found[1], frozenset(assumed)


def _taken(joint: Joint, assumed: frozenset[str]) -> list[str]:
    """What is said about each material that was not given."""
    sides = (("outer", joint.outer_name, joint.outer), ("inner", joint.inner_name, joint.inner))
    return [
        f"the material of the {part} was not given: {material.name} is taken"
        for side, part, material in sides
        if side in assumed
    ]


def _solid(request: PressRequest, joint: Joint) -> list[str]:
    """What is said where nobody gave a bore of the inner part, not even none."""
    if texts_of(request.inner):
        return []
    return [
        f"no bore of the {joint.inner_name} was given: it is taken as solid; a hollow one holds "
        "less"
    ]


def _exact(interference: Interference) -> list[str]:
    """What is said where nobody named what the interference was measured with."""
    if not interference.exact:
        return []
    value = plain(round(interference.tight_mm, 6))
    return [
        f"no instrument was named for the interference: {value} mm is taken as exact, as from a "
        f"drawing; where it was measured, name it: {value}mm@micrometer"
    ]


def _friction(
    request: PressRequest,
) -> tuple[tuple[float, float, float], str, tuple[str, ...]]:
    """Friction as (low, value, high) with its source, and what was taken for it."""
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
        return (value, value, value), "friction as given", ()
    condition = request.condition or "oiled"
    for row in table("press/friction").rows:
        if row.text("condition") == condition:
            friction = (row.number("low"), row.number("value"), row.number("high"))
            taken = () if request.condition else (_faces_taken(condition, friction),)
            return friction, f"friction, {condition}: {row.cite()}", taken
    raise InputError(
        value=condition,
        rule="friction is not tabled for this condition",
        todo=f"Use one of {', '.join(conditions())}, or give --friction",
    )


def _faces_taken(condition: str, friction: tuple[float, float, float]) -> str:
    """What is said where the condition of the faces was not given."""
    return (
        f"the condition of the faces was not given: {condition} is taken, friction "
        f"{friction[0]:g} to {friction[2]:g}"
    )


def _clearance(request: PressRequest, joint: Joint) -> float | None:
    if not request.clearance:
        return None
    value = mean_mm("clearance", request.clearance, request.unit) or 0.0
    if value > limit("interference_share_limit") * joint.interface_mm:
        raise InputError(
            value=f"clearance {value:g} mm on {joint.interface_mm:g} mm",
            rule="this is more than a hundredth of the diameter",
            todo="Check the unit; a thousandth of the diameter is usual",
        )
    return value


def _temperature(name: str, request: PressRequest) -> float | None:
    text: str = getattr(request, name.replace("-", "_"))
    if not text:
        return None
    lengths = (request.interface, request.outer, request.inner, request.length)
    inches = request.unit == "in" or writes_inches(*(t for ts in lengths for t in texts_of(ts)))
    return read_temperature(text, place=name, inches=inches)


def _room(request: PressRequest) -> float:
    text, found = request.room_temp, _temperature("room-temp", request)
    if found is None:
        return 20.0
    if not _COLDEST_ROOM_C <= found <= _HOTTEST_ROOM_C:
        raise InputError(
            value=f"room-temp {text}",
            rule=f"a room is between {_COLDEST_ROOM_C:g} and {_HOTTEST_ROOM_C:g} C",
            todo="Check the unit: 68F is 20C; the heating cap is --heat-cap",
        )
    return found


def _service(request: PressRequest) -> float | None:
    text, found = request.service_temp, _temperature("service-temp", request)
    allowed = setting_limit("temperature_c")
    if found is not None and not allowed.low <= found <= allowed.high:
        raise InputError(
            value=f"service-temp {text}",
            rule=f"a hub is between {allowed.low:g} and {allowed.high:g} C",
            todo="Check the unit: Fahrenheit is written 176F",
        )
    return found


def _heat_cap(request: PressRequest, room_c: float) -> float | None:
    text, found = request.heat_cap, _temperature("heat-cap", request)
    if found is not None and found <= room_c:
        raise InputError(
            value=f"heat-cap {text}",
            rule=f"a heating cap is hotter than the room, {room_c:g} C",
            todo="Give the temperature of the manual, for example 135C",
        )
    if found is not None and found > _HOTTEST_CAP_C:
        raise InputError(
            value=f"heat-cap {text}",
            rule=f"past {_HOTTEST_CAP_C:g} C steel loses its hardness",
            todo="Check the unit: 275F is written 275F; or press it cold",
        )
    return found


def _rpm(text: str, joint: Joint) -> float | None:
    if not text:
        return None
    try:
        found = speed(text)
    except InputError as error:
        raise error.at("rpm") from None
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


def _rz(name: str, given: Texts) -> float:
    value = 1000.0 * (mean_mm(name, given, "um") or 0.0)
    if value > 200.0:
        raise InputError(
            value=f"{name} {shown(given)}",
            rule="a fitted face is smoother than Rz 200 um",
            todo="Give Rz in um, for example 6.3um for a ground or fine turned face",
        )
    return value
