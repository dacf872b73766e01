"""Radial rolling bearings: what ball, cylindrical and needle bearings share.

Bore and outside diameter are toleranced by their own size, widths by the bore, which their system
carries: ``metric@30``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

from fitcheck.marks import checked
from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import between, iso_limits, tabled
from fitcheck.parts.listed import listed
from fitcheck.tables import Row, shop_folder, table

_MM = 0.001
# The shortest designation.
_SHORTEST = 3
RING_LIMITS: dict[str, Limits] = {
    "bore": tabled("rolling/tolerances", "dimension", "bore", scale=_MM, unit="um"),
    "od": tabled("rolling/tolerances", "dimension", "od", scale=_MM, unit="um"),
    "width": tabled("rolling/tolerances", "dimension", "width", scale=_MM, unit="um"),
    # Seats by practice lie between a sliding and a press fit.
    "journal": between("g6", "n6"),
    "housing": between("P7", "G7"),
    "raceway": iso_limits("h8"),
}


_PARTS = re.compile(r"[\s./-]+")


def bare_mark(text: str) -> str:
    """A marking without the suffixes for seals, cage and clearance, in the form compared.

    Parameters
    ----------
    text : str
        What can be read on the ring.

    Examples
    --------
    >>> bare_mark("6205-2RS C3"), bare_mark("60/22 ZZ"), bare_mark("6?05ZZ")
    ('6205', '6022', '6?05')
    """
    known = _suffixes(shop_folder())
    words = [word for word in _PARTS.split(text.upper().strip()) if word]
    while len(words) > 1 and words[-1] in known:
        words.pop()
    read = checked("".join(words))
    # Run together with its designation a suffix starts with a letter or a 2 before one.
    for suffix in sorted(known, key=len, reverse=True):
        rest = read.removesuffix(suffix)
        if rest != read and len(rest) >= _SHORTEST and rest[-1] in "0123456789?":
            return rest
    return read


@cache
def _suffixes(_shop: str) -> frozenset[str]:
    return frozenset(row.text("suffix") for row in table("rolling/suffixes").rows)


def listed_rings(
    sizes: str, *, series: str, dimensions: tuple[str, ...]
) -> Callable[[], tuple[Size, ...]]:
    """What gives every bearing of a family.

    Parameters
    ----------
    sizes, series : str
        Its tables of sizes and of their series.
    dimensions : tuple of str
        The family's dimensions, in order; each has a column in mm.
    """
    return listed(
        sizes,
        lambda row: _ring(row, _series(series, shop_folder())[row.text("series")], dimensions),
    )


@cache
def _series(name: str, _shop: str) -> dict[str, Row]:
    return {row.text("series"): row for row in table(name).rows}


def _ring(row: Row, series: Row, dimensions: tuple[str, ...]) -> Size:
    by = row.cells().get("bore_mm") or row.text("raceway_mm")
    values = {name: row.maybe(f"{name}_mm") for name in dimensions}
    return Size(
        label=row.text("designation"),
        system="metric",
        nominals=tuple(
            None if value is None else (value, f"metric@{by}" if name == "width" else "metric")
            for name, value in values.items()
        ),
        series=(f"{row.text('series')}, {series.text('words')}",),
        source=row.cite(),
        details={"designation": row.text("designation")},
        weight=series.number("weight"),
    )
