"""O-rings in their grooves: stretch, squeeze and fill of a static gland, and what they allow.

A ``radial`` gland is a groove round a spigot closed by a bore (or in a bore, closed by a spigot);
a ``face`` gland is a groove in a flat face, closed by another.
"""

from __future__ import annotations

import math
from itertools import pairwise

from fitcheck.errors import InputError, OffTableError
from fitcheck.records import dataclass
from fitcheck.tables import Row, table
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO, NO_GO

SEALS = ("radial", "face")


def stretch_share(*, groove_mm: float, ring_mm: float) -> float:
    """How far a fitted ring is stretched, as a share of its free diameter.

    Parameters
    ----------
    groove_mm : float
        Diameter the groove gives the ring: its bottom, or the outer wall of a face groove [mm].
    ring_mm : float
        The ring's own diameter there: inside, or outside in a face groove [mm].

    Returns
    -------
    float
        Stretch; negative where the ring is squeezed together [-].

    Raises
    ------
    InputError
        A diameter is not larger than zero.

    Examples
    --------
    >>> round(stretch_share(groove_mm=46.35, ring_mm=45.0), 3)
    0.03
    """
    _positive(groove_mm, "groove")
    _positive(ring_mm, "ring")
    return groove_mm / ring_mm - 1.0


def stretched_section_mm(*, section_mm: float, stretch: float) -> float:
    """The section of a stretched ring: rubber keeps its volume.

    Parameters
    ----------
    section_mm : float
        Section of the free ring [mm].
    stretch : float
        Stretch of its length [-].

    Returns
    -------
    float
        The section [mm].

    Raises
    ------
    InputError
        The section is not larger than zero, or the stretch leaves no ring.

    Notes
    -----
    s / sqrt(1 + stretch), from equal volume; the section stays round.

    Examples
    --------
    >>> round(stretched_section_mm(section_mm=3.53, stretch=0.05), 3)
    3.445
    """
    _positive(section_mm, "section")
    if stretch <= -1.0:
        raise InputError(
            value=f"{stretch:g}",
            rule="a ring can't be squeezed to nothing",
            todo="Check groove and ring",
        )
    return section_mm / math.sqrt(1.0 + stretch)


def squeeze_share(*, section_mm: float, depth_mm: float) -> float:
    """How far a gland squeezes the section of a ring, as a share of the section.

    Parameters
    ----------
    section_mm : float
        Section of the fitted ring [mm].
    depth_mm : float
        Depth of the gland, groove and gap together [mm].

    Returns
    -------
    float
        Squeeze; negative where the ring does not touch [-].

    Raises
    ------
    InputError
        A length is not larger than zero.

    Examples
    --------
    A 0.139 in section in a gland of 0.113 in, within the usual 14 to 23 per cent:

    >>> round(squeeze_share(section_mm=3.5306, depth_mm=2.8702), 3)
    0.187
    """
    _positive(section_mm, "section")
    _positive(depth_mm, "gland depth")
    return (section_mm - depth_mm) / section_mm


def fill_share(*, section_mm: float, depth_mm: float, width_mm: float) -> float:
    """How much of the gland the ring fills.

    Parameters
    ----------
    section_mm : float
        Section of the fitted ring [mm].
    depth_mm, width_mm : float
        Depth and width of the gland [mm].

    Returns
    -------
    float
        Area of the section over the area of the gland [-].

    Raises
    ------
    InputError
        A length is not larger than zero.

    Examples
    --------
    >>> round(fill_share(section_mm=3.53, depth_mm=2.87, width_mm=4.7), 3)
    0.726
    """
    _positive(section_mm, "section")
    _positive(depth_mm, "gland depth")
    _positive(width_mm, "gland width")
    return math.pi / 4.0 * section_mm**2 / (depth_mm * width_mm)


def _positive(value: float, what: str) -> None:
    if not 0.0 < value < math.inf:
        raise InputError(
            value=f"{what} {value:g} mm",
            rule="a length is larger than zero",
            todo="Measure it again",
        )


@dataclass(frozen=True, slots=True)
class GlandCheck:
    """One quantity of a gland against what it may be, in per cent."""

    quantity: str
    percent: float
    verdict: str
    reason: str
    source: str


def gland_checks(
    *,
    seal: str,
    id_mm: float,
    section_mm: float,
    groove_mm: float | None = None,
    depth_mm: float | None = None,
    width_mm: float | None = None,
) -> tuple[GlandCheck, ...]:
    """What a gland does to a ring, as far as it was measured.

    Parameters
    ----------
    seal : str
        ``radial`` or ``face``.
    id_mm, section_mm : float
        Inside diameter and section of the new ring [mm].
    groove_mm : float, optional
        Bottom of a radial groove, outer wall of a face groove [mm].
    depth_mm : float, optional
        Depth of the gland, groove and gap together [mm].
    width_mm : float, optional
        Width of the groove [mm].

    Returns
    -------
    tuple of GlandCheck
        Stretch, squeeze and fill: ``go`` within the usual, ``check`` within what will do.

    Raises
    ------
    InputError
        There is no such seal, or a length is not larger than zero.

    Examples
    --------
    >>> [(c.quantity, round(c.percent, 1), c.verdict) for c in gland_checks(
    ...     seal="radial", id_mm=45.0, section_mm=3.0, groove_mm=46.0, depth_mm=2.4, width_mm=4.2)]
    [('stretch', 2.2, 'go'), ('squeeze', 19.1, 'go'), ('fill', 68.6, 'go')]
    """
    if seal not in SEALS:
        raise InputError(
            value=seal or "(empty)",
            rule="an O-ring is squeezed radially or between two faces",
            todo="Use radial or face",
        )
    found = []
    fitted = section_mm
    if groove_mm is not None:
        ring = id_mm if seal == "radial" else id_mm + 2.0 * section_mm
        stretch = stretch_share(groove_mm=groove_mm, ring_mm=ring)
        fitted = stretched_section_mm(section_mm=section_mm, stretch=stretch)
        found.append(_judged(seal, "stretch", stretch))
    if depth_mm is not None:
        squeeze = squeeze_share(section_mm=fitted, depth_mm=depth_mm)
        found.append(_judged(seal, "squeeze", squeeze))
        if width_mm is not None:
            share = fill_share(section_mm=fitted, depth_mm=depth_mm, width_mm=width_mm)
            found.append(_judged(seal, "fill", share))
    return tuple(found)


def _judged(seal: str, quantity: str, share: float) -> GlandCheck:
    row = _limits(seal, quantity)
    percent = 100.0 * share
    low, high = row.number("low_percent"), row.number("high_percent")
    usual_low, usual_high = row.number("usual_low_percent"), row.number("usual_high_percent")
    said = f"{quantity} {percent:.1f} %"
    if usual_low <= percent <= usual_high:
        verdict, reason = GO, f"{said}: within the usual {usual_low:g} to {usual_high:g} %"
    elif low <= percent <= high:
        verdict = CHECK
        reason = (
            f"{said}: outside the usual {usual_low:g} to {usual_high:g} %, "
            f"inside {low:g} to {high:g} %"
        )
    else:
        verdict, reason = NO_GO, f"{said}: outside {low:g} to {high:g} %"
    return GlandCheck(quantity, percent, verdict, reason, row.cite())


def _limits(seal: str, quantity: str) -> Row:
    return next(
        row
        for row in table("oring/gland_limits").rows
        if row.text("seal") == seal and row.text("quantity") == quantity
    )


@dataclass(frozen=True, slots=True)
class Gland:
    """The usual gland of a section [mm]."""

    depth_min_mm: float
    depth_max_mm: float
    width_min_mm: float
    width_max_mm: float
    source: str


def usual_gland(*, seal: str, section_mm: float) -> Gland:
    """The depth and width a groove is usually cut to, for a section.

    Parameters
    ----------
    seal : str
        ``radial`` or ``face``.
    section_mm : float
        Section of the ring [mm].

    Returns
    -------
    Gland

    Raises
    ------
    OffTableError
        The section lies outside the table.

    Notes
    -----
    Straight lines between the sections of the table.

    Examples
    --------
    >>> found = usual_gland(seal="radial", section_mm=3.5306)
    >>> round(found.depth_min_mm, 2), round(found.depth_max_mm, 2), round(found.width_min_mm, 2)
    (2.79, 2.95, 4.57)

    Source: ISO 3601-2 and handbooks, from memory.
    """
    rows = [row for row in table("oring/glands").rows if row.text("seal") == seal]
    section_in = round(section_mm / MM_PER_INCH, 6)
    for small, large in pairwise(rows):
        low, high = small.number("section_in"), large.number("section_in")
        if low <= section_in <= high:
            part = (section_in - low) / (high - low)
            depth_min, depth_max, width_min, width_max = (
                (small.number(c) + part * (large.number(c) - small.number(c))) * MM_PER_INCH
                for c in ("depth_min_in", "depth_max_in", "width_min_in", "width_max_in")
            )
            return Gland(depth_min, depth_max, width_min, width_max, small.cite())
    ends = [row.number("section_in") * MM_PER_INCH for row in (rows[0], rows[-1])]
    raise OffTableError(
        value=f"section {section_mm:.3g} mm",
        rule=f"glands are tabled for sections of {ends[0]:.2f} to {ends[1]:.2f} mm",
        todo="Take the groove from the drawing",
    )
