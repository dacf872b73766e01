"""Parallel keys (DIN 6885-1): by the keyway or the old key; a range of shafts takes one key."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table


def sizes() -> tuple[Size, ...]:
    """Every listed key."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    return tuple(_size(row) for row in table("key/sizes").rows)


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


def _range(nominal_mm: float, system: str) -> tuple[float, float]:
    half = float(system.partition("@")[2] or 0.1 * nominal_mm)
    return -half, half


def _depth(_nominal_mm: float, _system: str) -> tuple[float, float]:
    return 0.0, 0.2


LIMITS: dict[str, Limits] = {"range": _range, "depth": _depth}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a key's bag is marked: its width and height run together."""
    yield "".join(c for c in size.label if c.isdigit())
