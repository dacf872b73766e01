"""Deep-groove ball bearings, by ISO boundary dimensions."""

from __future__ import annotations

from fitcheck.parts.family import Limits
from fitcheck.parts.rolling import (
    RING_LIMITS,
    bare_mark,
    listed_rings,
    marked_as_ring,
    said_by_suffixes,
)

LIMITS: dict[str, Limits] = RING_LIMITS
sizes = listed_rings("ball/sizes", series="ball/series", dimensions=("bore", "od", "width"))
mark_forms = marked_as_ring
read_mark = bare_mark
said_by_mark = said_by_suffixes
