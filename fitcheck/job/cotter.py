"""The cotter pin for a hole: metric by ISO 1234, or an inch pin where the hole was drilled for one.

A pin goes through a hole that is a little larger than its shank, so a hole takes the largest pin
whose shank goes through; it stands loose only where that one's own hole is much smaller.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from fitcheck.errors import OffTableError
from fitcheck.job.lengths import Measured
from fitcheck.judging import COVERAGE
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.tables import Row, table
from fitcheck.units import MM_PER_INCH

# A cotter hole is drilled a little over nominal and wears; further over, the hole is another size.
_HOLE_OVER_SHARE = 0.12
# The least play of the shank in its hole, so that it can be pushed through: own figure, no source.
_PLAY_MM = 0.05
# What is bent over on both legs beyond the nut, in pin sizes: common practice, no source.
_LEGS = 2.0
_INCH_UNITS = frozenset({"in", "thou"})


@dataclass(frozen=True, slots=True)
class Pin:
    """A cotter pin: its size as it is ordered, and as what.

    ``sure`` tells whether it fills the hole, ``reason`` why it is taken.
    """

    what: str
    size: str
    size_mm: float
    system: str
    sure: bool
    reason: str
    source: str

    def ordered(self, through: Measured | None) -> str:
        """Size and length, as it stands on the list of parts.

        Parameters
        ----------
        through : Measured or None
            How far the pin goes through nut or bolt.

        Raises
        ------
        OffTableError
            No standard pin is that long.
        """
        inches = " in" if self.system == "inch" else ""
        if through is None:
            return f"{self.size}{inches or ' mm'}, length as the old one"
        wanted = through.mm + _LEGS * self.size_mm
        if inches:
            return f"{self.size} x {_quarters(wanted)} in"
        lengths = [row.number("length_mm") for row in table("closing/pin_lengths").rows]
        for length in lengths:
            if length >= wanted:
                return f"{self.size} x {plain(length)}"
        raise OffTableError(
            value=f"cotter through {plain(round(through.mm, 3))} mm",
            rule=f"the longest standard pin is {plain(lengths[-1])} mm",
            todo="Measure again how far the pin goes through",
        )


def _quarters(length_mm: float) -> str:
    """The next whole quarter of an inch, as inch pins are sold; common practice, no source.

    >>> _quarters(41.0), _quarters(50.8)
    ('1-3/4', '2')
    """
    whole, quarters = divmod(math.ceil(round(length_mm / MM_PER_INCH * 4.0, 6)), 4)
    parts = [str(whole)] if whole else []
    return "-".join([*parts, ("", "1/4", "1/2", "3/4")[quarters]]).rstrip("-")


def pin_for(measured_hole: Measured) -> Pin:
    """The cotter pin for a hole as measured.

    A hole written in inches that no metric pin fills gets the inch pin that does.

    Parameters
    ----------
    measured_hole : Measured
        The diameter of the hole.

    Raises
    ------
    OffTableError
        The hole is smaller than the smallest or larger than the largest pin's.

    Examples
    --------
    >>> from fitcheck.job.lengths import measured
    >>> [pin_for(measured(hole, place="cotter hole")).size for hole in ("5mm", "3/16in", "3/8in")]
    ['5', '5', '3/8']
    """
    hole = measured_hole.reading
    hole_mm, slack = hole.mean_mm, COVERAGE * hole.standard_error_mm
    rows = table("closing/cotter_pins").rows
    metric = _largest(rows, hole_mm, lambda row: row.number("shank_max_mm"))
    largest = rows[-1].number("size_mm")
    if metric is None or hole_mm > largest * (1.0 + _HOLE_OVER_SHARE) + slack:
        raise OffTableError(
            value=f"cotter hole {plain(round(hole_mm, 3))} mm",
            rule=f"ISO 1234 has pins for holes of {plain(rows[0].number('size_mm'))} to "
            f"{plain(largest)} mm",
            todo="Measure the hole again",
        )
    size = metric.number("size_mm")
    inch = _largest(
        table("closing/inch_cotter_pins").rows,
        hole_mm,
        lambda row: row.number("shank_max_in") * MM_PER_INCH,
    )
    if inch is not None and not _fills(inch.number("hole_in") * MM_PER_INCH, hole_mm, slack):
        inch = None
    in_inches = all(quantity.unit in _INCH_UNITS for quantity in measured_hole.quantities)
    start = f"a hole of {plain(round(hole_mm, 3))} mm takes a"
    sure = _fills(size, hole_mm, slack)
    reason = f"{start} cotter pin of size {plain(size)} (ISO 1234)"
    if sure and in_inches:
        reason += f", its shank at most {plain(metric.number('shank_max_mm'))} mm thick"
        reason += "" if inch is None else f"; a {inch.text('size')} in pin goes too"
    elif not sure and inch is not None and in_inches:
        return Pin(
            what="cotter pin, inch",
            size=inch.text("size"),
            size_mm=inch.number("size_in") * MM_PER_INCH,
            system="inch",
            sure=True,
            reason=f"{start} {inch.text('size')} in cotter pin; no metric one fills it",
            source=inch.cite(),
        )
    elif not sure:
        reason += ", which stands loose in it: "
        reason += (
            "look whether the hole is worn"
            if inch is None
            else f"it was drilled for a {inch.text('size')} in pin, or it is worn; look which"
        )
    return Pin(
        what="cotter pin ISO 1234",
        size=plain(size),
        size_mm=size,
        system="metric",
        sure=sure,
        reason=reason,
        source=metric.cite(),
    )


def _largest(rows: tuple[Row, ...], hole_mm: float, shank_mm: Callable[[Row], float]) -> Row | None:
    """The row of the thickest pin whose shank goes through; None where none does."""
    through = [row for row in rows if shank_mm(row) + _PLAY_MM <= hole_mm]
    return max(through, key=shank_mm, default=None)


def _fills(own_hole_mm: float, hole_mm: float, slack_mm: float) -> bool:
    """Whether a hole is no larger than a pin's own hole and what that may be over."""
    return hole_mm <= own_hole_mm * (1.0 + _HOLE_OVER_SHARE) + slack_mm
