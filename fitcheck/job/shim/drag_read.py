"""The method drag as it was read: pulls at a radius or torques, and the base drag, from text."""

from __future__ import annotations

import math

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import bare_ways, in_pounds, refuse_bare
from fitcheck.job.lengths import Measured, measured, shown, texts_of
from fitcheck.job.shim.text import ShimRequest
from fitcheck.quantities import Quantity, parse, plain
from fitcheck.records import dataclass
from fitcheck.setup.drag import drag_increase_nm, drag_torque_nm
from fitcheck.setup.settings import setting_limit
from fitcheck.units import FORCE, TORQUE


@dataclass(frozen=True, slots=True)
class DragRead:
    """What was read: torques and base drags [N.m], the radius of a pull, the unit to show.

    ``pulled_at`` is the radius or the diameter as measured where the torque came from a pull.
    """

    torques_nm: tuple[float, ...]
    bases_nm: tuple[float, ...]
    unit: str
    radius_mm: float | None
    at: Measured | None
    pulled_at: Measured | None
    torque_nm: float
    base_nm: float | None
    rise_nm: float


def read_drag(request: ShimRequest, *, pounds: bool) -> DragRead:
    """The running torque and the base drag of a request.

    Parameters
    ----------
    request : ShimRequest
        The options as text.
    pounds : bool
        Whether the range that is wanted is in pounds.

    Raises
    ------
    AmbiguousError
        A number has no unit and more than one it may be in, or a radius may be a diameter.
    InputError
        Pull, radius or torque are missing, doubled or can't be.
    """
    at = _wound(request)
    radius_mm = None if at is None else at.mm / (2.0 if texts_of(request.diameter) else 1.0)
    torques, unit = _torques(request, radius_mm, pounds=pounds)
    bases = _bases_nm(request, radius_mm, pounds=pounds)
    torque = math.fsum(torques) / len(torques)
    base = math.fsum(bases) / len(bases) if bases else None
    return DragRead(
        torques_nm=tuple(torques),
        bases_nm=tuple(bases),
        unit=unit,
        radius_mm=radius_mm,
        at=at,
        pulled_at=at if request.pull else None,
        torque_nm=torque,
        base_nm=base,
        rise_nm=torque if base is None else drag_increase_nm(torque_nm=torque, base_nm=base),
    )


def _quantity(
    text: str, *dimensions: str, place: str, request: ShimRequest, pounds: bool
) -> Quantity:
    try:
        found = parse(text, *dimensions)
    except InputError as error:
        raise error.at(place) from None
    if not found.stated:
        inches = (
            pounds
            or request.unit == "in"
            or in_pounds(
                *request.measured, *request.pull, *texts_of(request.base_drag), request.target
            )
        )
        # Beside a pull a base drag may be a pull too; with a torque it is a torque.
        open_to = dimensions if request.pull else dimensions[:1]
        refuse_bare(found.amount, place=place, text=text, ways=bare_ways(*open_to, inches=inches))
    if found.value < 0:
        raise InputError(
            value=f"{place} {text}", rule="this can't be negative", todo="Give it without the sign"
        )
    return found


def _wound(request: ShimRequest) -> Measured | None:
    """The radius or the diameter the pull acts at, as measured.

    A radius so large that it looks like the diameter is asked about.
    """
    if texts_of(request.radius) and texts_of(request.diameter):
        raise InputError(
            value=f"--radius {shown(request.radius)} --diameter {shown(request.diameter)}",
            rule="the pull acts at one radius",
            todo="Give the radius or the diameter, not both",
        )
    name = "diameter" if texts_of(request.diameter) else "radius"
    found = measured(
        getattr(request, name), place=f"--{name}", unit=request.unit, tool=request.instrument
    )
    if found is not None and name == "radius":
        for radius in found.quantities:
            _check_radius(radius)
    return found


def _check_radius(radius: Quantity) -> None:
    range_mm = setting_limit("radius_mm")
    number = plain(radius.amount)
    written = radius.text() if radius.stated else number
    if radius.value < range_mm.low:
        if not radius.stated and radius.unit == "mm":
            raise AmbiguousError(
                value=f"--radius {written}", readings=(f"{number}mm", f"{number}in")
            )
        raise InputError(
            value=f"--radius {written}",
            rule=f"a pull is taken at {range_mm.low:g} mm from the middle or farther",
            todo="Check the unit, or read the torque with a wrench and give it with --measured",
        )
    if radius.value > range_mm.high:
        half, twice = plain(radius.amount / 2.0), plain(radius.amount * 2.0)
        raise AmbiguousError(
            value=f"--radius {written}",
            readings=(
                f"--diameter {radius.text()} (its radius {half}{radius.unit})",
                f"--diameter {twice}{radius.unit} (its radius {radius.text()})",
            ),
        )


def _positive(value: float, place: str, text: str) -> float:
    if not value > 0:
        raise InputError(
            value=f"{place} {text}", rule="this is larger than zero", todo="Measure it again"
        )
    return value


def _torques(
    request: ShimRequest, radius_mm: float | None, *, pounds: bool
) -> tuple[list[float], str]:
    """The running torque of each reading [N.m], and the unit to show it in besides."""
    if request.measured and request.pull:
        raise InputError(
            value="--measured with --pull",
            rule="the torque is read with a wrench or worked out from a pull",
            todo="Give one of the two",
        )
    if request.measured:
        found = [
            _quantity(text, TORQUE, place="--measured", request=request, pounds=pounds)
            for text in request.measured
        ]
        for quantity, text in zip(found, request.measured, strict=True):
            _positive(quantity.value, "--measured", text)
        return [quantity.value for quantity in found], found[0].unit
    if not request.pull or radius_mm is None:
        missing = "--pull" if not request.pull else "--radius"
        raise InputError(
            value=f"{missing} (not given)",
            rule="drag needs the pull and the radius it acts at, or the torque itself",
            todo="Give --pull 24lbf --radius 8-5/16in, or --measured 16lbf.ft",
        )
    pulls = [
        _quantity(text, FORCE, place="--pull", request=request, pounds=pounds)
        for text in request.pull
    ]
    for pull, text in zip(pulls, request.pull, strict=True):
        _positive(pull.value, "--pull", text)
    unit = "lbf.ft" if pulls[0].unit == "lbf" else "N.m"
    return [drag_torque_nm(pull_n=pull.value, radius_mm=radius_mm) for pull in pulls], unit


def _bases_nm(request: ShimRequest, radius_mm: float | None, *, pounds: bool) -> list[float]:
    """The base drag of each reading [N.m], given as torques or as pulls at the same radius."""
    found = [
        _quantity(text, TORQUE, FORCE, place="--base-drag", request=request, pounds=pounds)
        for text in texts_of(request.base_drag)
    ]
    if any(base.dimension == FORCE for base in found) and radius_mm is None:
        raise InputError(
            value=f"--base-drag {shown(request.base_drag)}",
            rule="a pull becomes a torque by its radius",
            todo="Give --radius too, or the base drag as a torque",
        )
    return [
        base.value if base.dimension == TORQUE else base.value * (radius_mm or 0.0) / 1000.0
        for base in found
    ]
