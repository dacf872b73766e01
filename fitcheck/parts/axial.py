"""Axial face seals with a V-shaped lip: one ring, stretched on, serves a range of shafts.

No open standard lists them. The shipped table follows a rule of our own and is marked invented; a
shop loads its supplier's list.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import shares
from fitcheck.tables import Row, shop_folder, table

# The lip may be pressed this share of the fitted width, either way: common practice, no source.
_PRESSED = 0.13


def sizes() -> tuple[Size, ...]:
    """Every listed ring."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    return tuple(_size(row) for row in table("axial/sizes").rows)


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


def _range(nominal_mm: float, system: str) -> tuple[float, float]:
    half = float(system.partition("@")[2] or 0.05 * nominal_mm)
    return -half, half


LIMITS: dict[str, Limits] = {
    "range": _range,
    "rubber": shares(-0.05, 0.05, beside_mm=0.2),
    "fitted": shares(-_PRESSED, _PRESSED),
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a ring's bag is marked: its range of shafts."""
    yield "".join(c for c in size.label if c.isdigit())
