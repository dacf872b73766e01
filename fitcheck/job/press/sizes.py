"""What is measured of a press fit: the request as text, its sizes and its interference."""

from __future__ import annotations

import math

from fitcheck import limits as iso
from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import INCH_UNITS, refuse_mixed
from fitcheck.job.lengths import Measured, Texts, measured, quantities_of, shown, texts_of
from fitcheck.judging import COVERAGE
from fitcheck.quantities import Quantity, plain
from fitcheck.records import dataclass
from fitcheck.setup.joint import Joint, check_interference, check_shape, limit
from fitcheck.setup.materials import Material
from fitcheck.tables import Row
from fitcheck.units import MM_PER_INCH, UNITS

# Nobody measures or asks for a smaller interference [mm].
_LEAST_MM = 0.002
# The share of the refused interference that metal carries, so that a guess is worth asking.
_USUAL = 0.25
# How much smaller than its pin a bore is left before pressing, to be reamed, and how much larger it
# may be: common practice, no source.
_PIN_SHARES = (0.9, 1.015)
_SIZES = ("interface", "outer", "inner", "length", "pin", "measured-hole", "measured-shaft")
_FACE = "interface"
# What is hollow by what it is for.
_HOLLOW = frozenset({"bushing", "cup"})
_SMALL = ("interference", "clearance")
# Nobody presses a larger part here [in]; a larger number beside thousandths is in mm: own rule.
_LARGEST_IN = 24.0
# Nor anything smaller, so that a smaller number is in inches: own rule [mm].
_SMALLEST_MM = 4.0
# A face read so closely was measured [mm].
_THOUSANDTH = 0.001 + 1e-9
# Sizes by name come in whole steps of this, however many zeros a drawing writes behind it [mm].
_NAMED_MM, _DUST_MM = 0.1, 1e-6
# Nobody presses a longer part, in diameters: own rule.
_LONGEST = 20.0


@dataclass(frozen=True, slots=True)
class PressRequest:
    """What was asked about one press fit: the options of the command, as text.

    ``interface``, ``outer``, ``length`` and one of ``interference`` and ``fit`` are needed. What
    is measured may be given as several readings.
    """

    interface: Texts = ""
    outer: Texts = ""
    inner: Texts = ""
    length: Texts = ""
    interference: Texts = ""
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
    outer_rz: Texts = ""
    inner_rz: Texts = ""
    pin: Texts = ""
    measured_hole: Texts = ""
    measured_shaft: Texts = ""
    unit: str = "mm"
    instrument: str = ""


def _needed(name: str, given: Texts, example: str) -> None:
    if not texts_of(given):
        raise InputError(
            value=f"{name} (not given)",
            rule="a press fit can't be worked out without it",
            todo=f"Give --{name}, for example {example}",
        )


def read_sizes(request: PressRequest) -> dict[str, Measured]:
    """What was measured, by option; a bore of 0 is a solid part, and no reading.

    Raises
    ------
    AmbiguousError
        A bare length stands beside one in inches.
    InputError
        Something that is needed was not given, or a text is no length above zero.
    """
    for name, example in (("interface", "60mm"), ("outer", "90mm"), ("length", "30mm")):
        _needed(name, getattr(request, name), example)
    _refuse_mixed(request)
    if request.use in _HOLLOW:
        _needed("inner", request.inner, "42mm, the bore before pressing")
    sizes = {}
    for name in _SIZES:
        given: Texts = getattr(request, name.replace("-", "_"))
        zeros = [q.value == 0.0 for q in quantities_of(given, place=name, unit=request.unit)]
        if name == "inner" and all(zeros) and not (zeros and request.use in _HOLLOW):
            continue
        if any(zeros):
            raise InputError(
                value=f"{name} 0 mm",
                rule="this dimension is larger than zero",
                todo=f"Give the {name} as measured",
            )
        found = measured(given, place=name, unit=request.unit, tool=request.instrument)
        if found is not None:
            sizes[name] = found
    return sizes


def _refuse_mixed(request: PressRequest) -> None:
    """Refuse bare sizes beside others in inches.

    Thousandths of interference on a part of so many mm are common, and no question.
    """
    given = {
        name: quantities_of(
            getattr(request, name.replace("-", "_")), place=name, unit=request.unit, signed=True
        )
        for name in (*_SIZES, *_SMALL)
    }
    if all(q.amount > _LARGEST_IN for q in given["interface"] if not q.stated) and not any(
        q.stated and q.unit in INCH_UNITS for name in _SIZES for q in given[name]
    ):
        return
    refuse_mixed(given.items(), unit=request.unit)


def mean_mm(name: str, given: Texts, unit: str) -> float | None:
    """The mean of one or several lengths that may be zero [mm]; None where none was given.

    Parameters
    ----------
    name : str
        The option, for messages.
    given : str or sequence of str
        One or several texts.
    unit : str
        The unit of bare numbers.
    """
    quantities = quantities_of(given, place=name, unit=unit)
    if not any(q.value for q in quantities):
        return 0.0 if quantities else None
    found = measured(given, place=name, unit=unit)
    return None if found is None else found.mm


def joint_of(
    sizes: dict[str, Measured], *, outer: Material, inner: Material, use: Row | None
) -> Joint:
    """The joint that was measured.

    Parameters
    ----------
    sizes : dict of str to Measured
        What was measured, by option.
    outer, inner : Material
        The materials of the two parts.
    use : Row or None
        What the parts are, for their names.

    Raises
    ------
    InputError
        The sizes can't belong together.
    AmbiguousError
        A bare number is plausible only in the other unit.
    """
    _ask_size(sizes)
    for face in sizes["interface"].quantities:
        for outside in sizes["outer"].quantities:
            _ask_unit(face, outside)
    joint = Joint(
        # Converted inches end in binary dust; a size step must not be missed by it.
        interface_mm=round(sizes["interface"].mm, 9),
        outer_mm=sizes["outer"].mm,
        inner_mm=sizes["inner"].mm if "inner" in sizes else 0.0,
        length_mm=sizes["length"].mm,
        outer=outer,
        inner=inner,
        outer_name=use.text("outer_name") if use else "outer ring",
        inner_name=use.text("inner_name") if use else "inner part",
    )
    check_shape(joint)
    if joint.length_mm > _LONGEST * joint.interface_mm:
        raise InputError(
            value=f"length {joint.length_mm:g} mm with interface {joint.interface_mm:g} mm",
            rule=f"a fit is at most {_LONGEST:g} times as long as its diameter here",
            todo="Check the unit; give the length that is in touch",
        )
    _check_units(joint)
    return joint


def _ask_size(sizes: dict[str, Measured]) -> None:
    """Ask which unit a bare number has that makes no part of a hub in the unit it is read in."""
    for name, size in sizes.items():
        for quantity in size.quantities:
            large = quantity.unit == "in" and quantity.amount > _LARGEST_IN
            small = quantity.unit == "mm" and quantity.amount < _SMALLEST_MM
            # Beside a small interface a large outside is asked about with it.
            if quantity.stated or not (
                (large and name != "outer") or (small and name == "interface")
            ):
                continue
            number = plain(quantity.amount)
            other = "mm" if large else "in"
            raise AmbiguousError(
                value=f"--{name} {number}",
                readings=(f"{number}{other}", f"{number}{quantity.unit}"),
            )


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
        other = quantity.amount * (MM_PER_INCH if other_unit == "in" else 1.0)
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


@dataclass(frozen=True, slots=True)
class Interference:
    """Interference on the diameter: the limits of a fit, or as measured and how sure that is.

    ``loose_mm`` is None where it was measured, ``sure_mm`` half of its 95 % interval; ``exact``
    says that no instrument was named for it.
    """

    tight_mm: float
    loose_mm: float | None = None
    fit: iso.Fit | None = None
    sure_mm: float = 0.0
    exact: bool = False
    notes: tuple[str, ...] = ()


def interference_of(request: PressRequest, joint: Joint) -> Interference:
    """The interference of a fit or as measured.

    Raises
    ------
    InputError
        Both or neither were given, or no joint of metal has such an interference.
    OffTableError
        The size or the class lies outside the tables.
    """
    given = texts_of(request.interference)
    if request.fit and given:
        raise InputError(
            value=f"--fit {request.fit} with --interference {shown(given)}",
            rule="an interference comes from a fit or is given, not both",
            todo="Leave one out: --interference for measured parts, --fit for a drawing",
        )
    if not request.fit:
        _needed("interference", given, "0.05mm, or --fit H7/s6")
        return _measured_interference(request, joint)
    _refuse_measured_nominal(request)
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
    return Interference(tight_mm=tight, loose_mm=loose, fit=fit)


def _refuse_measured_nominal(request: PressRequest) -> None:
    """Refuse a fit on a face as measured: its deviation is in the reading already."""
    given = texts_of(request.interface)
    faces = quantities_of(given, place="interface", unit=request.unit)
    sixty_fourths = MM_PER_INCH / 64.0
    odd = any(
        quantity.unit == "mm"
        and quantity.step <= _THOUSANDTH
        and abs(math.remainder(quantity.value, sixty_fourths)) > _THOUSANDTH
        and abs(math.remainder(quantity.value, _NAMED_MM)) > _DUST_MM
        for quantity in faces
    )
    if odd or len(faces) > 1 or any("@" in text for text in given):
        raise InputError(
            value=f"--fit {request.fit} with --interface {shown(given)}",
            rule="a fit starts from the size by name, and a face as measured has its deviation in "
            "it already",
            todo="Give the size by name, such as 74mm, or the --interference of both parts as "
            "measured",
        )


def _measured_interference(request: PressRequest, joint: Joint) -> Interference:
    """The interference as measured.

    It may be worked out from a drawing, so no caliper is taken for one that names no instrument
    where the request has none for all its readings: it is as sure as several of them agree.
    """
    given = texts_of(request.interference)
    for quantity in quantities_of(given, place="interference", unit=request.unit, signed=True):
        check_interference(
            interference_mm=quantity.value,
            interface_mm=joint.interface_mm,
            written=f"{plain(quantity.amount)} {quantity.unit}",
            meant=_meant(quantity, joint.interface_mm),
        )
    found = measured(given, place="interference", unit=request.unit, tool=request.instrument)
    assert found is not None, "it was given"
    reading = found.reading
    named = bool(request.instrument) or any("@" in text for text in given)
    return Interference(
        tight_mm=found.mm,
        sure_mm=COVERAGE * reading.standard_error_mm if named else reading.spread_mm / 2.0,
        exact=not named,
        notes=tuple(found.notes(diameter=False)),
    )


def _meant(written: Quantity, interface_mm: float) -> list[str]:
    """What an interference that is too large may have been: another unit, or a digit less."""
    most = limit("interference_share_limit") * interface_mm
    ways = [(written.amount, unit) for unit in ("mm", "um", "thou") if unit != written.unit]
    ways.append((written.amount / 10.0, written.unit))
    return [
        f"{plain(round(amount, 6))}{unit}"
        for amount, unit in ways
        if _LEAST_MM <= UNITS[unit].to_base(amount) <= most * _USUAL
    ]


def pin_of(sizes: dict[str, Measured], joint: Joint) -> float | None:
    """The diameter of the pin that runs in the fitted bore [mm]; None where none was given.

    Parameters
    ----------
    sizes : dict of str to Measured
        What was measured, by option.
    joint : Joint
        The joint the bore is in.

    Raises
    ------
    InputError
        There is no bore, or the pin has not nearly its size.
    """
    if "pin" not in sizes:
        return None
    value = sizes["pin"].mm
    if joint.inner_mm <= 0.0:
        raise InputError(
            value=f"pin {value:g} mm",
            rule="a pin runs in the bore of the inner part, and that is given as solid",
            todo="Give --inner, the bore before pressing",
        )
    low, high = (share * joint.inner_mm for share in _PIN_SHARES)
    if not low <= value <= high:
        raise InputError(
            value=f"pin {value:g} mm in a bore of {joint.inner_mm:g} mm",
            rule="a pin that runs in a bushing has nearly the size of its bore",
            todo="Read both again, and check their units: what is reamed off is a few tenths",
        )
    return value
