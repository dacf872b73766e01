"""Crosses of universal joints, by cap and length; where the snap rings sit tells which length."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import between
from fitcheck.parts.listed import listed
from fitcheck.quantities import plain
from fitcheck.tables import Row

# A cap is ground to about h6 and pressed into its yoke; lengths are held by rings of several
# thicknesses, so they vary: common practice, no source.
_LENGTH_SLACK_MM = 0.3


def _size(row: Row) -> Size:
    cap, ring = row.number("cap_mm"), row.text("ring")
    length, inside = row.maybe("length_mm"), row.maybe("between_rings_mm")
    across = length if length is not None else row.number("between_rings_mm")
    return Size(
        label=f"{plain(cap)} x {plain(across)}, rings {ring}",
        system="metric",
        nominals=(
            (cap, "metric"),
            None if length is None else (length, "metric"),
            None if inside is None else (inside, "metric"),
        ),
        series=("trade sizes",),
        source=row.cite(),
        details={"ring": ring, "cap": plain(cap), "length": plain(across)},
    )


sizes = listed("ujoint/sizes", _size)


def _length(_nominal_mm: float, _system: str) -> tuple[float, float]:
    return -_LENGTH_SLACK_MM, _LENGTH_SLACK_MM


LIMITS: dict[str, Limits] = {
    "cap": between("h6", "h8"),
    "yoke": between("P7", "JS7"),
    "length": _length,
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a cross is marked: cap and length run together."""
    yield "".join(size.details[c].replace(".", "") for c in ("cap", "length"))
