"""What a written size means: its unit, its order, and whether a part can have that shape.

Sizes are whole micrometres, shaft x bore x width. Numbers are taken as written wherever that is
possible; another order or another unit is taken only where it is the one that is possible.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from fractions import Fraction
from functools import cache, lru_cache
from itertools import permutations
from typing import NamedTuple

from fitcheck.lists.lines import UM_PER_INCH, UM_PER_MM
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder

MM, INCH_UNIT = "mm", "in"
METRIC, INCH, MIXED = "metric", "inch", "mixed"
_SCALE = {MM: UM_PER_MM, INCH_UNIT: UM_PER_INCH}
_SYSTEM = {MM: METRIC, INCH_UNIT: INCH}
_OTHER_UNIT = {MM: INCH_UNIT, INCH_UNIT: MM}

REPAIRED, NOTED = "repaired", "noted"

# What a seal can look like at all [um]; common practice, no source. The widths that are possible
# in mm and those that are possible in inches have nothing in common, so a width tells the unit.
_SMALLEST_SHAFT, _LARGEST_BORE = 3_000, 2_000_000
_LEAST_DIFFERENCE = 3_000
_NARROWEST, _WIDEST = 2_000, 40_000
# The wall of a thick sleeve, at most [um]; common practice, no source.
_THICKEST = 10_000
# A size with no width shows its unit by being neither tiny nor huge.
_USUAL_SHAFT, _USUAL_BORE = 5_000, 600_000

# One figure, and a fraction in lowest terms behind it.
_IMPROPER = re.compile(r"^([1-9])([0-9]*[13579])/(2|4|8|16|32|64)$")
_FRACTION = re.compile(r"(?:([0-9]+)(?: +| ?- ?))?([0-9]+) ?/ ?([0-9]+)")


class Written(NamedTuple):
    """The numbers of a size as written, each with its unit where it has one."""

    numbers: tuple[str, ...]
    units: tuple[str, ...]
    second_width: str = ""

    @property
    def text(self) -> str:
        """The size in one line."""
        return " x ".join(self.numbers)


@dataclass(frozen=True, slots=True)
class SizeReading:
    """A size as understood [um], what was noticed, and why it can't be taken if it can't.

    ``ways`` are the readings a refused size may have: (shaft, bore, width, system).
    """

    shaft_um: int | None = None
    bore_um: int | None = None
    width_um: int | None = None
    system: str | None = None
    notes: tuple[tuple[str, str], ...] = ()
    refused: str = ""
    ways: tuple[tuple[int, int, int | None, str], ...] = ()


NO_SIZE = SizeReading()


def amount(text: str) -> Fraction | None:
    """A number of a size: 34.92, 34,92, .313, 5/16, 1-3/8, 1 3/8; None when it is none.

    >>> amount("1-3/8"), amount(",5"), amount("3/0")
    (Fraction(11, 8), Fraction(1, 2), None)
    """
    found = _FRACTION.fullmatch(text)
    if found:
        whole, top, bottom = int(found[1] or 0), int(found[2]), int(found[3])
        if bottom == 0 or (found[1] and top >= bottom):
            return None
        return whole + Fraction(top, bottom)
    try:
        return Fraction(text.replace(",", "."))
    except (ValueError, ZeroDivisionError):
        return None


def micrometres(value: Fraction, unit: str) -> int:
    """A length in whole micrometres, halves up.

    >>> micrometres(Fraction(5, 16), "in"), micrometres(Fraction(7), "mm")
    (7938, 7000)
    """
    return int(value * _SCALE[unit] + Fraction(1, 2))


def seal_shape(shaft: int, bore: int, width: int | None) -> bool:
    """Whether a seal can have this size [um]."""
    if shaft < _SMALLEST_SHAFT or bore > _LARGEST_BORE or bore - shaft < _LEAST_DIFFERENCE:
        return False
    if bore > 2 * shaft + 40_000:
        return False
    if width is None:
        return shaft >= _USUAL_SHAFT and bore <= _USUAL_BORE
    # Small seals are as wide as 0.45 of their bore; half is beyond all.
    return _NARROWEST <= width <= _WIDEST and 2 * width <= bore


def ring_shape(shaft: int, bore: int, width: int | None) -> bool:
    """Whether a bearing or a sleeve can have this size [um]."""
    if not 3_000 <= shaft < bore <= _LARGEST_BORE or bore > 5 * shaft:
        return False
    return width is None or 3_000 <= width <= max(bore, 2 * shaft)


_SHAPES = {"seal": seal_shape, "bearing": ring_shape, "sleeve": ring_shape}


def understand_size(written: Written, *, unit: str, known: bool, kind: str) -> SizeReading:
    """What a written size means.

    Parameters
    ----------
    written : Written
        Two or three numbers, in the order they stand.
    unit : str
        ``mm`` or ``in``: the unit of numbers without one.
    known : bool
        Whether that unit is known for the list, so that another one is worth a remark.
    kind : str
        ``seal``, ``bearing`` or ``sleeve``: the shape that is possible.

    Returns
    -------
    SizeReading

    Examples
    --------
    >>> found = understand_size(Written(("35", "8", "58"), ("", "", "")),
    ...                         unit="mm", known=True, kind="seal")
    >>> found.shaft_um, found.bore_um, found.width_um
    (35000, 58000, 8000)
    """
    return _understand_size(written, unit, known, kind, shop_folder())


@lru_cache(maxsize=65536)
def _understand_size(
    written: Written, unit: str, known: bool, kind: str, _shop: str
) -> SizeReading:
    values = [amount(number) for number in written.numbers]
    good = [value for value in values if value is not None and value > 0]
    if len(good) != len(values):
        return SizeReading(refused="one of its numbers can't be read or is zero")
    if lost := _lost_spaces(written, unit, kind, _shop):
        return lost
    stated = {u for u in written.units if u}
    notes: list[tuple[str, str]] = []
    if len(stated) == 2:
        found = _mixed(good, written, kind)
    elif stated:
        found = _in_units(good, tuple(stated), kind, written, stated=True)
    elif any("/" in number for number in written.numbers):
        found = _in_units(good, (INCH_UNIT,), kind, written, stated=True)
    else:
        found = _in_units(good, (unit, _OTHER_UNIT[unit]), kind, written, stated=False)
        if not found.refused and known and found.system != _SYSTEM[unit]:
            other = "inches" if found.system == INCH else "mm"
            notes.append(
                (REPAIRED, f"no unit is written, and only in {other} can a {kind} be so: read so")
            )
        if not found.refused and len(good) == 3 and (way := _width_in_inches(good, found, unit)):
            asks = size_words_um(*way)
            return SizeReading(
                refused=f"{written.text} may be {asks}, its width in inches", ways=(way,)
            )
    if found.refused:
        return found
    if written.second_width:
        notes.append(
            (
                REPAIRED,
                f"two widths, {written.numbers[2]} and {written.second_width}: "
                "the first taken as the width in the bore, the second as the height over all",
            )
        )
    if found.width_um is None:
        notes.append((NOTED, "no width is given"))
    notes += [(NOTED, reason) for reason in _unit_doubt(found, kind)]
    return _with_notes(found, (*found.notes, *notes))


def _lost_spaces(written: Written, unit: str, kind: str, shop: str) -> SizeReading | None:
    """13/8 x 21/8 x 5/16: fractions above one, or 1 3/8 and 2 1/8 that have lost their spaces."""
    split = tuple(_IMPROPER.sub(_apart, number) for number in written.numbers)
    if split == written.numbers:
        return None
    other = _understand_size(Written(split, written.units), unit, True, kind, shop)
    if other.refused or any(how == REPAIRED for how, _ in other.notes):
        return None
    values = [amount(number) for number in written.numbers]
    as_written = _in_units(
        [v for v in values if v is not None], (INCH_UNIT,), kind, written, stated=True
    )
    ways = tuple(
        (way.shaft_um, way.bore_um, way.width_um, INCH)
        for way in (as_written, other)
        if way.shaft_um is not None and way.bore_um is not None
    )
    spaced = " x ".join(split)
    return SizeReading(
        refused=f"{written.text} may be {spaced} with its spaces lost, or fractions above one",
        ways=ways,
    )


def _apart(match: re.Match[str]) -> str:
    whole, top, under = match.groups()
    is_above_one = int(top) < int(under) < int(whole + top)
    return f"{whole} {top}/{under}" if is_above_one else match[0]


def _width_in_inches(
    values: list[Fraction], found: SizeReading, unit: str
) -> tuple[int, int, int | None, str] | None:
    """35 x 52 x 0.276: a seal of 35 in is rarer than one whose width alone is in inches."""
    if unit != MM or found.system != INCH or (found.bore_um or 0) <= _USUAL_BORE:
        return None
    shaft, bore = (micrometres(value, MM) for value in values[:2])
    width = micrometres(values[2], INCH_UNIT)
    return (shaft, bore, width, MIXED) if seal_shape(shaft, bore, width) else None


def _with_notes(found: SizeReading, notes: tuple[tuple[str, str], ...]) -> SizeReading:
    return SizeReading(found.shaft_um, found.bore_um, found.width_um, found.system, notes)


def _in_units(
    values: list[Fraction], units: tuple[str, ...], kind: str, written: Written, *, stated: bool
) -> SizeReading:
    if kind == "sleeve" and len(values) == 2:
        found = _thin_sleeve(values, units)
        if found is not None:
            return found
    shape = _SHAPES[kind]
    # As written, in the first unit that makes a possible part.
    for unit in units:
        sizes = [micrometres(value, unit) for value in values]
        width = sizes[2] if len(sizes) == 3 else None
        if shape(sizes[0], sizes[1], width) or (
            stated and width is None and 1_000 < sizes[0] < sizes[1]
        ):
            return SizeReading(sizes[0], sizes[1], width, _SYSTEM[unit])
    # In another order, where just one order and unit is possible.
    ways = [
        (*order, _SYSTEM[unit])
        for unit in units
        for order in dict.fromkeys(permutations([micrometres(value, unit) for value in values]))
        if len(order) == 3 and shape(*order)
    ]
    if len(values) == 2:
        ways = [
            (sizes[1], sizes[0], None, _SYSTEM[unit])  # type: ignore[misc]
            for unit in units
            for sizes in [[micrometres(value, unit) for value in values]]
            if shape(sizes[1], sizes[0], None)
        ]
    if len(ways) == 1 and kind == "seal" and (point := _lost_point(values, units)):
        readings = " or as ".join(size_words_um(*way) for way in (*ways, point))
        return SizeReading(refused=f"it can be read as {readings}", ways=(*ways, point))
    if len(ways) == 1:
        shaft, bore, width, system = ways[0]
        new = size_words_um(shaft, bore, width, system)
        reason = f"the only order that makes a {kind} is {new}"
        return SizeReading(shaft, bore, width, system, ((REPAIRED, reason),))
    if ways:
        readings = " or as ".join(dict.fromkeys(size_words_um(*way) for way in ways))
        return SizeReading(refused=f"its order can be read as {readings}", ways=tuple(ways))
    return SizeReading(refused=f"no {kind} is {written.text}")


def _lost_point(
    values: list[Fraction], units: tuple[str, ...]
) -> tuple[int, int, int | None, str] | None:
    """35 x 52 x 70: a listed seal, if the width has lost its point, is no less likely."""
    if MM not in units or len(values) != 3:
        return None
    shaft, bore, width = (micrometres(value, MM) for value in (*values[:2], values[2] / 10))
    listed = (shaft, bore, width) in _listed(shop_folder())[METRIC]
    return (shaft, bore, width, METRIC) if listed else None


def _thin_sleeve(values: list[Fraction], units: tuple[str, ...]) -> SizeReading | None:
    """Two numbers of a sleeve: its shaft and its width, unless the second may be its outside."""
    for unit in units:
        first, second = (micrometres(value, unit) for value in values)
        if first < second <= first + 2 * _THICKEST:
            return None
        shaft, width = max(first, second), min(first, second)
        if shaft < _USUAL_SHAFT or not _NARROWEST <= width <= 2 * _WIDEST:
            continue
        words = size_words_um(shaft, width, None, _SYSTEM[unit])
        swapped = ((REPAIRED, f"a sleeve's shaft and width are taken as {words}"),)
        return SizeReading(shaft, None, width, _SYSTEM[unit], swapped if first < second else ())
    return None


def _mixed(values: list[Fraction], written: Written, kind: str) -> SizeReading:
    """Some numbers in mm and some in inches; a bare one has the unit of the one after it."""
    units = list(written.units)
    for i in reversed(range(len(units))):
        units[i] = units[i] or (units[i + 1] if i + 1 < len(units) else units[i - 1])
    sizes = [micrometres(value, unit) for value, unit in zip(values, units, strict=True)]
    width = sizes[2] if len(sizes) == 3 else None
    if not _SHAPES[kind](sizes[0], sizes[1], width):
        return SizeReading(refused=f"no {kind} is {written.text} in the units written")
    return SizeReading(sizes[0], sizes[1], width, MIXED)


def size_words_um(shaft: int, bore: int, width: int | None, system: str) -> str:
    """A size in words, in the unit of its system [um]."""
    unit = UM_PER_INCH if system == INCH else UM_PER_MM
    texts = [f"{value / unit:.4f}".rstrip("0").rstrip(".") for value in (shaft, bore, width or 0)]
    shown = texts if width is not None else texts[:2]
    return " x ".join(shown) + (" in" if system == INCH else " mm")


def _is_inch_step(value_um: int) -> bool:
    """Whether a length written in mm is a step of 1/64 in to the hundredth, and no whole mm."""
    step = UM_PER_INCH / 64
    return value_um % UM_PER_MM != 0 and abs(value_um - round(value_um / step) * step) <= 5.5


@cache
def _in_order(shop: str) -> dict[str, list[tuple[int, int, int]]]:
    return {system: sorted(sizes) for system, sizes in _listed(shop).items()}


@cache
def _listed(_shop: str) -> dict[str, set[tuple[int, int, int]]]:
    from fitcheck.parts.seal import seal_sizes

    found: dict[str, set[tuple[int, int, int]]] = {METRIC: set(), INCH: set(), MIXED: set()}
    for size in seal_sizes():
        a, b, c = (round(place[0] * UM_PER_MM) for place in size.nominals if place is not None)
        found[size.system].add((a, b, c))
    return found


def is_listed(size: SizeReading) -> bool:
    """Whether a seal size is in the tables of listed sizes."""
    if size.system is None or size.width_um is None:
        return False
    return (size.shaft_um, size.bore_um, size.width_um) in _listed(shop_folder())[size.system]


def _unit_doubt(found: SizeReading, kind: str) -> list[str]:
    """A size that is a listed one of the other system, rounded when it was converted."""
    if kind != "seal" or found.system not in (METRIC, INCH) or found.width_um is None:
        return []
    size = (found.shaft_um or 0, found.bore_um or 0, found.width_um)
    listed = _listed(shop_folder())
    if size in listed[found.system]:
        return []
    if found.system == METRIC and all(_is_inch_step(value) for value in size):
        return [f"exactly {size_words_um(*size, INCH)}, written in mm"]
    other = METRIC if found.system == INCH else INCH
    # mm are rounded to a tenth or to whole ones, inches to a thousandth or a hundredth.
    near_by = _in_order(shop_folder())[other]
    for near in near_by[bisect_left(near_by, (size[0] - 60, 0, 0)) :]:
        if near[0] > size[0] + 60:
            break
        if abs(near[1] - size[1]) <= 60 and abs(near[2] - size[2]) <= 110:
            unit = "mm" if other == INCH else "inches"
            return [
                f"nearly the size {size_words_um(*near, other)}, which may be written in {unit}"
            ]
    return []
