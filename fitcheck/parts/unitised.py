"""Unitised, two-part and cassette seals: they bring the ring on which their lip rides.

They are never matched as plain lip seals: their shaft carries the inner ring, not the lip. No open
standard lists them; the shipped table is marked invented, and a shop loads its supplier's list.
"""

from __future__ import annotations

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.listed import listed, marked_by_digits
from fitcheck.parts.seal import case_limits
from fitcheck.quantities import plain
from fitcheck.tables import Row

_COLUMNS = ("shaft", "bore", "width", "ring")


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


sizes = listed("unitised/sizes", _size)


def _case(nominal_mm: float, system: str) -> tuple[float, float]:
    return case_limits("metal", nominal_mm, system)


LIMITS: dict[str, Limits] = {"case": _case}
mark_forms = marked_by_digits
