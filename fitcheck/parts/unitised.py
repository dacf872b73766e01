"""Unitised, two-part and cassette seals: they bring the ring on which their lip rides.

They are never matched as plain lip seals: their shaft carries the inner ring, not the lip. No open
standard lists them; the shipped table is marked invented, and a shop loads its supplier's list.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.seal import case_limits
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table

_COLUMNS = ("shaft", "bore", "width", "ring")


def sizes() -> tuple[Size, ...]:
    """Every listed seal that brings its own counterface."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    return tuple(_size(row) for row in table("unitised/sizes").rows)


def _size(row: Row) -> Size:
    values = [row.number(f"{column}_mm") for column in _COLUMNS]
    form = row.text("form")
    return Size(
        label=" x ".join(plain(value) for value in values[:3]) + f" {form}",
        system="metric",
        nominals=tuple((value, "metric") for value in values),
        series=(form,),
        source=row.cite(),
        details={"form": form, "ring": plain(values[3])},
    )


def _case(nominal_mm: float, system: str) -> tuple[float, float]:
    return case_limits("metal", nominal_mm, system)


LIMITS: dict[str, Limits] = {"case": _case}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways such a seal is marked: its dimensions run together."""
    yield "".join(c for c in size.label if c.isdigit())
