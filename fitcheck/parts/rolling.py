"""Radial rolling bearings: what ball, cylindrical and needle bearings share.

Bore and outside diameter are toleranced by their own size, widths by the bore, which their system
carries: ``metric@30``. A bore written after a stroke, 60/22, is no bore code: where marks are
compared the stroke is an S, so that 60/22 is not 6022.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import cache

from fitcheck.errors import DataError
from fitcheck.marks import checked, compact
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
_STROKE = re.compile(r"(?<=[0-9?])\s*/\s*(?=[0-9?])")


def bare_mark(text: str) -> str:
    """A marking without the suffixes for seals, cage and clearance, in the form compared.

    Parameters
    ----------
    text : str
        What can be read on the ring.

    Examples
    --------
    >>> bare_mark("6205-2RS C3"), bare_mark("60/22 ZZ"), bare_mark("6?05ZZ")
    ('6205', '60S22', '6?05')
    """
    return _parted(text)[0]


def said_by_suffixes(text: str) -> tuple[str, ...]:
    """What the suffixes of a marking say that are left out to find the size.

    Parameters
    ----------
    text : str
        What can be read on the ring.

    Examples
    --------
    >>> said_by_suffixes("6205-2RS C3")
    ('2RS (rubber seals on both sides)', 'C3 (clearance over normal)')
    """
    known = _suffixes(shop_folder())
    return tuple(f"{suffix} ({known[suffix]})" for suffix in _parted(text)[1])


def _parted(text: str) -> tuple[str, list[str]]:
    """A marking in the form compared, and its suffixes."""
    known = _suffixes(shop_folder())
    words = [word for word in _PARTS.split(_STROKE.sub("S", text.upper().strip())) if word]
    said: list[str] = []
    while len(words) > 1 and words[-1] in known:
        said.insert(0, words.pop())
    read = checked("".join(words))
    # Run together with its designation a suffix starts with a letter or a 2 before one.
    for suffix in sorted(known, key=len, reverse=True):
        rest = read.removesuffix(suffix)
        if rest != read and len(rest) >= _SHORTEST and rest[-1] in "0123456789?":
            return rest, [suffix, *said]
    return read, said


def marked_as_ring(size: Size) -> Iterable[str]:
    """The way a ring is marked: its designation.

    Parameters
    ----------
    size : Size
        The bearing.
    """
    yield compact(_STROKE.sub("S", size.label))


@cache
def _suffixes(_shop: str) -> dict[str, str]:
    return {row.text("suffix"): row.text("words") for row in table("rolling/suffixes").rows}


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
        lambda row: _ring(row, _series_of(row, series), dimensions),
    )


def _series_of(row: Row, name: str) -> Row:
    known = _series(name, shop_folder())
    try:
        return known[row.text("series")]
    except KeyError:
        raise DataError(
            value=f"{row.text('designation')}, series {row.text('series')}",
            rule=f"the table {name} has no such series (the row comes from {row.source.title})",
            todo=f"Write one of {', '.join(known)}, or add it there",
        ) from None


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
        details={"designation": row.text("designation"), "form": row.cells().get("form", "")},
        weight=series.number("weight"),
    )
