"""Parallel keys (DIN 6885-1): by the keyway or the old key; a range of shafts takes one key."""

from __future__ import annotations

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import carried
from fitcheck.parts.listed import listed, marked_by_digits
from fitcheck.quantities import plain
from fitcheck.tables import Row


def _size(row: Row) -> Size:
    low, high = row.number("over_mm"), row.number("incl_mm")
    width, height = row.number("width_mm"), row.number("height_mm")
    return Size(
        label=f"{plain(width)} x {plain(height)}",
        system="metric",
        nominals=(
            ((low + high) / 2.0, f"metric@{(high - low) / 2.0:g}"),
            (width, "metric"),
            (height, "metric"),
            (row.number("depth_mm"), "metric"),
        ),
        series=("DIN 6885-1",),
        source=row.cite(),
        details={},
    )


sizes = listed("key/sizes", _size)


def _depth(_nominal_mm: float, _system: str) -> tuple[float, float]:
    return 0.0, 0.2


LIMITS: dict[str, Limits] = {"range": carried(0.1), "depth": _depth}
mark_forms = marked_by_digits
