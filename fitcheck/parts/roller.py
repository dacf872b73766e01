"""Cylindrical roller bearings, by ISO boundary dimensions."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.marks import compact
from fitcheck.parts.family import Limits, Size
from fitcheck.parts.rolling import RING_LIMITS, bare_mark, ring_size, series_rows
from fitcheck.tables import shop_folder, table

_DIMENSIONS = ("bore", "od", "width", "raceway")
LIMITS: dict[str, Limits] = RING_LIMITS
read_mark = bare_mark


def sizes() -> tuple[Size, ...]:
    """Every listed bearing."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    series = series_rows("roller/series")
    return tuple(
        ring_size(row, series[row.text("series")], dimensions=_DIMENSIONS)
        for row in table("roller/sizes").rows
    )


def mark_forms(size: Size) -> Iterable[str]:
    """The ways it is marked: by its designation."""
    yield compact(size.label)
