"""Shaft collars held by a set screw (DIN 705)."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.listed import listed
from fitcheck.quantities import plain
from fitcheck.tables import Row

LIMITS: dict[str, Limits] = {}


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


sizes = listed("collar/sizes", _size)


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a collar is marked: its shaft, or nothing at all."""
    yield size.label.partition("- ")[2].partition(" ")[0]
