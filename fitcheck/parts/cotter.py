"""Cotter pins (ISO 1234): by the hole, the bolt it goes through, or the old pin.

The sizes are those that closing a hub uses; a pin is called by its hole.
"""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import carried, shares
from fitcheck.parts.listed import listed
from fitcheck.quantities import plain
from fitcheck.tables import Row


def _size(row: Row) -> Size:
    hole = row.number("size_mm")
    low, high = row.maybe("bolt_over_mm") or 0.0, row.maybe("bolt_incl_mm")
    thin, thick = row.number("shank_min_mm"), row.number("shank_max_mm")
    # The largest pin has no largest bolt.
    bolt = None if high is None else ((low + high) / 2.0, f"metric@{(high - low) / 2.0:g}")
    return Size(
        label=f"ISO 1234 - {plain(hole)}",
        system="metric",
        nominals=(
            bolt,
            (hole, "metric"),
            ((thin + thick) / 2.0, f"metric@{round((thick - thin) / 2.0, 4):g}"),
        ),
        series=("ISO 1234",),
        source=row.cite(),
        details={"nominal": plain(hole)},
    )


sizes = listed("closing/cotter_pins", _size)


LIMITS: dict[str, Limits] = {
    # A drill cuts wide, the more the larger it is: common practice, no source.
    "drilled": shares(0.0, 0.02, beside_mm=0.05),
    "range": carried(0.2),
    "shank": carried(0.03),
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a bag of pins is marked: the standard and the size, or the size alone."""
    digits = size.details["nominal"].replace(".", "")
    yield f"ISO1234{digits}"
    yield digits
