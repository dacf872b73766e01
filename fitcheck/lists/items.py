"""What crossing compares: a size as a list writes it, and the execution of a part.

Both are plain tuples, so that a million lines fall into a few thousand classes and only the
classes are compared. Sizes are whole micrometres; None is "not said".
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from fitcheck.lists.lines import UM_PER_INCH, UM_PER_MM
from fitcheck.parts.seal import size_label

SEAL, BEARING, SLEEVE, OTHER = "seal", "bearing", "sleeve", "other"
METRIC, INCH, MIXED = "metric", "inch", "mixed"

# A length that lies on this grid was written in mm; inch sizes meet it only at whole inches
# and at half inches.
_METRIC_GRID_UM = 50


class SizeKey(NamedTuple):
    """One distinct size: kind, dimensions [um], how it was written, and a designation."""

    kind: str | None = None
    shaft_um: int | None = None
    bore_um: int | None = None
    width_um: int | None = None
    system: str | None = None
    designation: str | None = None


class Execution(NamedTuple):
    """How a part is made, each field None where it is not said."""

    lip: str | None = None
    case: str | None = None
    material: str | None = None
    spring: str | None = None
    lubricant: str | None = None
    direction: str | None = None


SIZE_FIELDS = SizeKey._fields
EXECUTION_FIELDS = Execution._fields
PLAIN_EXECUTION = Execution()


def size_key(fields: Mapping[str, Any]) -> SizeKey:
    """The size among the fields of a line; blank texts count as not said."""
    return SizeKey(*(fields.get(name) or None for name in SIZE_FIELDS))


def execution(fields: Mapping[str, Any]) -> Execution:
    """The execution among the fields of a line; blank texts count as not said."""
    return Execution(*(fields.get(name) or None for name in EXECUTION_FIELDS))


@lru_cache(maxsize=65536)
def dimension_system(value_um: int, system: str | None) -> str:
    """Whether one dimension is a metric or an inch one.

    Parameters
    ----------
    value_um : int
        The dimension [um].
    system : str or None
        How the whole size was written: ``metric``, ``inch``, ``mixed`` or not known.

    Examples
    --------
    >>> dimension_system(34925, "mixed"), dimension_system(62000, "mixed")
    ('inch', 'metric')
    """
    if system in (METRIC, INCH):
        # A size of inches written in mm, 34.925, is still an inch size.
        if system == METRIC and value_um % _METRIC_GRID_UM and _is_fraction(value_um):
            return INCH
        return system
    return METRIC if value_um % _METRIC_GRID_UM == 0 else INCH


def _is_fraction(value_um: int) -> bool:
    """Whether a length is a whole number of sixty-fourths of an inch, as near as it is written."""
    nearest = round(value_um * 64 / UM_PER_INCH) * UM_PER_INCH / 64
    return abs(value_um - nearest) <= 1.0


def mm_text(value_um: int) -> str:
    """A length in mm without needless zeros.

    >>> mm_text(34925), mm_text(52000)
    ('34.925', '52')
    """
    return f"{value_um / UM_PER_MM:.3f}".rstrip("0").rstrip(".")


def size_text(size: SizeKey) -> str:
    """A size in words: its designation, its dimensions, or both.

    >>> size_text(SizeKey("seal", 35000, 52000, 7000, "metric"))
    '35 x 52 x 7'
    >>> size_text(SizeKey("seal", 34925, 53975, 7938, "inch"))
    '1.375 x 2.125 x 0.3125 in'
    >>> size_text(SizeKey("seal", 35000, 52000, None, "metric"))
    '35 x 52 x ?'
    >>> size_text(SizeKey("sleeve", 35000, None, 13000, "metric"))
    'sleeve 35 x 13'
    """
    written = ""
    values = (size.shaft_um, size.bore_um, size.width_um)
    if size.kind == SLEEVE and size.shaft_um is not None and values[1] is None and values[2]:
        # A thin sleeve is told by the shaft it goes on and its width.
        return f"sleeve {mm_text(size.shaft_um)} x {mm_text(values[2])}"
    if None not in values and size.system in (INCH, MIXED) and size.kind != BEARING:
        shaft, bore, width = (value / UM_PER_MM for value in values if value is not None)
        written = size_label(shaft_mm=shaft, bore_mm=bore, width_mm=width, system=INCH)
    elif any(value is not None for value in values):
        written = " x ".join("?" if value is None else mm_text(value) for value in values)
    if size.designation and written:
        return f"{size.designation} ({written})"
    return size.designation or written or "(no size)"
