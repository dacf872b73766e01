"""Cylindrical roller bearings, by ISO boundary dimensions and by the ribs of their rings.

The table lists each size once, as NU; it is made in other forms too, which no boundary dimension
tells apart and which do not hold the shaft alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.rolling import (
    RING_LIMITS,
    bare_mark,
    listed_rings,
    marked_as_ring,
    said_by_suffixes,
)
from fitcheck.tables import Row, shop_folder, table

DIMENSIONS = ("bore", "od", "width", "raceway")
_AS_NU = listed_rings("roller/sizes", series="roller/series", dimensions=DIMENSIONS)


def sizes() -> tuple[Size, ...]:
    """Every listed size in every form."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    forms = table("roller/forms").rows
    return tuple(_made(size, form) for size in _AS_NU() for form in forms)


def _made(size: Size, form: Row) -> Size:
    name = form.text("form")
    designation = f"{name} {size.label.partition(' ')[2]}"
    *ring, raceway = size.nominals
    details: Mapping[str, str] = {
        "designation": designation,
        "form": f"{name}, {form.text('words')}",
    }
    return replace(
        size,
        label=designation,
        nominals=(*ring, raceway if form.flag("inner_raceway") else None),
        details=details,
        weight=size.weight * form.number("share"),
    )


LIMITS: dict[str, Limits] = RING_LIMITS
mark_forms = marked_as_ring
read_mark = bare_mark
said_by_mark = said_by_suffixes
