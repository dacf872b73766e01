"""Shaft collars held by a set screw (DIN 705)."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table

LIMITS: dict[str, Limits] = {}


def sizes() -> tuple[Size, ...]:
    """Every listed collar."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    return tuple(_size(row) for row in table("collar/sizes").rows)


def _size(row: Row) -> Size:
    values = [row.number(f"{column}_mm") for column in ("shaft", "od", "width")]
    return Size(
        label="DIN 705 - " + " x ".join(plain(value) for value in values),
        system="metric",
        nominals=tuple((value, "metric") for value in values),
        series=("DIN 705",),
        source=row.cite(),
        details={},
    )


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a collar is marked: its shaft, or nothing at all."""
    yield size.label.partition("- ")[2].partition(" ")[0]
