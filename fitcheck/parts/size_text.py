"""Seal sizes as text: ``35 x 52 x 7`` and ``1.375 x 2.125 x 0.313 in``, read and written.

The order is shaft x bore x width everywhere, and one size is in one unit. The numbers go through
the grammar of quantities, so what can be read two ways is refused here as there.
"""

from __future__ import annotations

import re

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.quantities import Quantity, length, plain
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH

METRIC, INCH = "metric", "inch"

# A message shows this much of what was written.
_SHOWN = 60
_PARTS = ("shaft", "bore", "width")
# Compiled when the first size is read: most look-ups read none.
_BETWEEN = r"\s*[xX×*]\s*"
_UNIT = r"[^\W\d_]+\.?$|[\"″”“]$|''$"
_SYSTEM = {"mm": METRIC, "in": INCH}
# No listed seal has a shaft under 6 mm or a bore of 600 mm: a bare size beyond that is more
# likely written in the other unit, and the question is asked.
_SMALLEST_SHAFT_MM = 5.0
_LARGEST_BORE_MM = 600.0


@dataclass(frozen=True, slots=True)
class SizeText:
    """A seal size as written: the machine's shaft and bore and the seal's width."""

    shaft_mm: float
    bore_mm: float
    width_mm: float
    system: str

    @property
    def label(self) -> str:
        """The size written so that it reads back as the same size."""
        values = (self.shaft_mm, self.bore_mm, self.width_mm)
        if self.system == METRIC:
            return " x ".join(plain(round(v, 6)) for v in values)
        return " x ".join(_inches(v / MM_PER_INCH) for v in values) + " in"


def _inches(value_in: float) -> str:
    """Inches with at least three decimals, as the trade writes them."""
    whole, _, decimals = plain(round(value_in, 6)).partition(".")
    return f"{whole}.{decimals.ljust(3, '0')}"


def parse_size(text: str, *, unit: str = "mm") -> SizeText:
    """Read a seal size.

    Parameters
    ----------
    text : str
        Three lengths with ``x`` between them, and at most one unit: after the last, or each.
    unit : str
        The unit of a size that names none.

    Returns
    -------
    SizeText

    Raises
    ------
    AmbiguousError
        The size can be read two ways: a comma, or a size that makes sense only in the other unit.
    InputError
        There are not three lengths, they mix units, or the order is not shaft, bore, width.

    Examples
    --------
    >>> parse_size("35x52x7").label
    '35 x 52 x 7'
    >>> parse_size("1-3/8 x 2-1/8 x 5/16 in").label
    '1.375 x 2.125 x 0.3125 in'
    """
    shown = text.strip()[:_SHOWN] or "(empty)"
    pieces = re.split(_BETWEEN, text.strip())
    if len(pieces) != len(_PARTS) or not all(pieces):
        raise InputError(
            value=f"size {shown}",
            rule="a seal size is three lengths, shaft x bore x width"
            + (", and the width is missing" if len(pieces) == 2 and all(pieces) else ""),
            todo="Write it like 35 x 52 x 7, or 1.375 x 2.125 x 0.313 in",
        )
    written = [spelt.group() for piece in pieces if (spelt := re.search(_UNIT, piece))]
    spelled = f" {written[-1]}" if written else ""
    found = [_length(p, spelled, unit, shown) for p in pieces]
    units = {quantity.unit for quantity in found}
    if len(units) > 1 or not units <= set(_SYSTEM):
        raise InputError(
            value=f"size {shown}",
            rule="a size is written in one unit, mm or in",
            todo="Convert it to one of them: 1 in is 25.4 mm",
        )
    return _checked(found, shown, stated=bool(written))


def _length(piece: str, spelled: str, unit: str, shown: str) -> Quantity:
    try:
        found = length(piece if re.search(_UNIT, piece) else piece + spelled, unit=unit)
    except InputError as error:
        raise error.at(f"size {shown},") from None
    if found.value <= 0:
        raise InputError(
            value=f"size {shown}",
            rule=f"{piece} is no dimension of a seal: every one is larger than zero",
            todo="Check the size",
        )
    return found


def _checked(found: list[Quantity], shown: str, *, stated: bool) -> SizeText:
    unit = found[0].unit
    shaft, bore, width = (round(quantity.value, 6) for quantity in found)
    if bore <= shaft:
        first, second, third = sorted((q.amount for q in found), reverse=True)
        suffix = " in" if unit == "in" else ""
        right = f"{plain(second)} x {plain(first)} x {plain(third)}{suffix}"
        raise InputError(
            value=f"size {shown}",
            rule="the order is shaft x bore x width, and the bore is larger than the shaft",
            todo=f"If you mean {right}, write it so",
        )
    too_small = unit == "mm" and shaft < _SMALLEST_SHAFT_MM
    too_large = unit == "in" and bore > _LARGEST_BORE_MM
    if not stated and (too_small or too_large):
        body = " x ".join(plain(quantity.amount) for quantity in found)
        raise AmbiguousError(value=f"size {shown}", readings=(f"{body} in", f"{body} mm"))
    return SizeText(shaft_mm=shaft, bore_mm=bore, width_mm=width, system=_SYSTEM[unit])
