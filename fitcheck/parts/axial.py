"""Axial face seals with a V-shaped lip: one ring, stretched on, serves a range of shafts.

No open standard lists them. The shipped table follows a rule of our own and is marked invented; a
shop loads its supplier's list.
"""

from __future__ import annotations

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import carried, shares
from fitcheck.parts.listed import listed, marked_by_digits
from fitcheck.tables import Row

# The lip may be pressed this share of the fitted width, either way: common practice, no source.
_PRESSED = 0.13


def _size(row: Row) -> Size:
    low, high = row.number("over_mm"), row.number("incl_mm")
    return Size(
        label=row.text("designation"),
        system="metric",
        nominals=(
            ((low + high) / 2.0, f"metric@{(high - low) / 2.0:g}"),
            (row.number("height_mm"), "metric"),
            (row.number("width_mm"), "metric"),
        ),
        series=("ranges of our own",),
        source=row.cite(),
        details={"free": row.text("free_mm")},
    )


sizes = listed("axial/sizes", _size)


LIMITS: dict[str, Limits] = {
    "range": carried(0.05),
    "rubber": shares(-0.05, 0.05, beside_mm=0.2),
    "fitted": shares(-_PRESSED, _PRESSED),
}
mark_forms = marked_by_digits
