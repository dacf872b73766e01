"""Felt rings (DIN 5419) and the grooves that hold them."""

from __future__ import annotations

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import shares
from fitcheck.parts.listed import listed, marked_by_digits
from fitcheck.quantities import plain
from fitcheck.tables import Row

_COLUMNS = ("shaft", "od", "width", "groove_width")


def _size(row: Row) -> Size:
    values = [row.number(f"{column}_mm") for column in _COLUMNS]
    return Size(
        label=" x ".join(plain(value) for value in values[:3]),
        system="metric",
        nominals=tuple((value, "metric") for value in values),
        series=("DIN 5419",),
        source=row.cite(),
        details={"groove": row.text("groove_mm")},
    )


sizes = listed("felt/sizes", _size)


def _groove(_nominal_mm: float, _system: str) -> tuple[float, float]:
    # The groove is a millimetre larger than the ring, turned roughly.
    return 0.8, 1.3


def _rough_groove(_nominal_mm: float, _system: str) -> tuple[float, float]:
    return -0.5, 2.5


LIMITS: dict[str, Limits] = {
    "groove": _groove,
    "groove_rare": _rough_groove,
    # Felt is cut from a sheet and soaks up oil.
    "felt": shares(-0.03, 0.03, beside_mm=0.5),
}
mark_forms = marked_by_digits
