"""Needle roller bearings and drawn cups, by ISO boundary dimensions."""

from __future__ import annotations

from fitcheck.parts.family import Limits
from fitcheck.parts.listed import marked_by_name
from fitcheck.parts.rolling import RING_LIMITS, bare_mark, listed_rings

LIMITS: dict[str, Limits] = RING_LIMITS
sizes = listed_rings(
    "needle/sizes", series="needle/series", dimensions=("bore", "raceway", "od", "width")
)
mark_forms = marked_by_name
read_mark = bare_mark
