"""How two dimensions stand to each other: equal, twins, inside one seat's limits, near, or far.

Each comparison gives a level and the words for it; the levels of a size's dimensions and of its
execution add up to its grade.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

from fitcheck.assess.seal_seat import seat_limits
from fitcheck.errors import OffTableError
from fitcheck.lists.items import INCH, METRIC, mm_text
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.parts.bearing import dimension_limits, tolerance_rows
from fitcheck.parts.seal import bore_limits, shaft_limits, width_limits
from fitcheck.tables import Row, shop_folder, table

# Levels, best first: the worst level of all that was compared decides the grade.
EQUAL, ASK, DIFFERS, CONDITION, NEAR, FAR = range(6)

_LIMITS = {"shaft": shaft_limits, "bore": bore_limits}


class Compared(NamedTuple):
    """A level, what to say about it, and how far off the dimension is [um]."""

    level: int
    words: str = ""
    off_um: int = 0


SAME = Compared(EQUAL)


def search_limit_um(name: str) -> int:
    """A limit of the search from the table ``crossing/limits`` [um]."""
    return _search_limits(shop_folder())[name]


@cache
def _search_limits(_shop: str) -> dict[str, int]:
    rows = table("crossing/limits").rows
    return {row.text("name"): round(row.number("value_mm") * UM_PER_MM) for row in rows}


def written_alike(one_um: int, other_um: int, system: str, other_system: str) -> Compared | None:
    """Whether two dimensions are one and the same, but for how they were rounded or written.

    Parameters
    ----------
    one_um, other_um : int
        The dimensions [um].
    system, other_system : str
        ``metric`` or ``inch``, of each.

    Returns
    -------
    Compared or None
        None where they are two different dimensions.
    """
    off = abs(one_um - other_um)
    if off == 0:
        return SAME
    if off <= search_limit_um("rounding"):
        return Compared(EQUAL, "", off)
    if off > search_limit_um("inch_rounding") or INCH not in (system, other_system):
        return None
    if system == other_system:
        return Compared(EQUAL, "", off)
    words = f"{mm_text(other_um)} mm is the {other_system} twin of {mm_text(one_um)} mm"
    return Compared(DIFFERS, words, off)


def seal_diameter(
    seat: str, want_um: int, want_system: str, have_um: int, have_system: str
) -> Compared:
    """How a seal's shaft or bore stands to the one wanted.

    Parameters
    ----------
    seat : str
        ``shaft`` or ``bore``.
    want_um, have_um : int
        The wanted nominal and the list's [um].
    want_system, have_system : str
        ``metric`` or ``inch``, of each.

    Notes
    -----
    Two nominals can serve one seat when either lies inside the other's limits; the condition is
    what the seat must read for both to hold: the overlap of the two limits.

    Source: the limits of seats, tables ``seal_tolerances/seat_class`` and ``inch_seat_limits``.
    """
    return _seal_diameter(seat, want_um, want_system, have_um, have_system, shop_folder())


# What is compared is cached by the shop's folder too: its rows are laid over the tables.
@lru_cache(maxsize=131072)
def _seal_diameter(
    seat: str, want_um: int, want_system: str, have_um: int, have_system: str, _shop: str
) -> Compared:
    alike = written_alike(want_um, have_um, want_system, have_system)
    if alike is not None:
        return alike
    off = have_um - want_um
    if abs(off) > search_limit_um("diameter_near"):
        return Compared(FAR, "", abs(off))
    try:
        want_low, want_high = _seat_um(seat, want_um, want_system, shop_folder())
        have_low, have_high = _seat_um(seat, have_um, have_system, shop_folder())
    except OffTableError:
        return Compared(NEAR, _off_words(seat, want_um, want_system, off), abs(off))
    if want_low <= have_um <= want_high or have_low <= want_um <= have_high:
        low, high = max(want_low, have_low), min(want_high, have_high)
        words = (
            f"{seat} {mm_text(have_um)} for {mm_text(want_um)}: only where the {seat} reads "
            f"{mm_text(low)} to {mm_text(high)} mm"
        )
        return Compared(CONDITION, words, abs(off))
    return Compared(NEAR, _off_words(seat, want_um, want_system, off), abs(off))


@lru_cache(maxsize=65536)
def _seat_um(seat: str, nominal_um: int, system: str, _shop: str) -> tuple[int, int]:
    lower, upper = _LIMITS[seat](nominal_um / UM_PER_MM, system)
    return nominal_um + round(lower * UM_PER_MM), nominal_um + round(upper * UM_PER_MM)


def _off_words(seat: str, want_um: int, system: str, off_um: int) -> str:
    side = "over" if off_um > 0 else "under"
    words = f"{seat} {mm_text(want_um + off_um)} for {mm_text(want_um)}: {mm_text(abs(off_um))} mm"
    try:
        limits = seat_limits(seat=seat, size_mm=want_um / UM_PER_MM, system=system)
    except OffTableError:
        return f"{words} {side}, and no limits are listed at this size"
    low = mm_text(want_um + round(limits.lower_um))
    high = mm_text(want_um + round(limits.upper_um))
    return (
        f"{words} {side}; the {seat} may be {low} to {high} mm "
        f"({limits.tolerance_class}; {limits.source.partition(';')[0]})"
    )


def seal_width(
    want_um: int | None,
    want_system: str,
    have_um: int | None,
    have_system: str,
    pocket_um: int | None,
) -> Compared:
    """How a seal's width stands to the one wanted, in a pocket that may be known.

    Parameters
    ----------
    want_um, have_um : int or None
        The wanted nominal and the list's, None where not given [um].
    want_system, have_system : str
        ``metric`` or ``inch``, of each.
    pocket_um : int or None
        Depth of the pocket, where it is known [um].

    Source: tables ``seal_tolerances/width``, ``inch_width`` and ``pocket_depth``.
    """
    return _seal_width(want_um, want_system, have_um, have_system, pocket_um, shop_folder())


@lru_cache(maxsize=65536)
def _seal_width(
    want_um: int | None,
    want_system: str,
    have_um: int | None,
    have_system: str,
    pocket_um: int | None,
    _shop: str,
) -> Compared:
    if have_um is None:
        return Compared(CONDITION, "the list gives no width: ask for it")
    if want_um is None:
        held = _in_pocket(have_um, pocket_um)
        return held or Compared(CONDITION, f"no width was given; this one is {mm_text(have_um)} mm")
    alike = written_alike(want_um, have_um, want_system, have_system)
    if alike is not None:
        return alike
    off = have_um - want_um
    lower, upper = width_limits(want_um / UM_PER_MM, want_system)
    words = f"width {mm_text(have_um)} for {mm_text(want_um)}"
    if round(lower * UM_PER_MM) <= off <= round(upper * UM_PER_MM):
        return Compared(DIFFERS, f"{words}: inside the width's own tolerance", abs(off))
    if off > 0 and pocket_um is not None:
        held = _in_pocket(have_um, pocket_um)
        assert held is not None
        return held._replace(words=f"{words}: {held.words}", off_um=abs(off))
    if abs(off) > search_limit_um("width_near"):
        return Compared(FAR, "", abs(off))
    if abs(off) > search_limit_um("width_condition"):
        most = mm_text(search_limit_um("width_condition"))
        row = _search_row("width_condition")
        text = f"{words}: {mm_text(abs(off))} mm off, offered up to {most} mm ({row.cite()})"
        return Compared(NEAR, text, abs(off))
    if off > 0:
        depth, source = _least_depth(have_um)
        text = f"{words}: only where the pocket is {mm_text(depth)} mm deep or more ({source})"
        return Compared(CONDITION, text, abs(off))
    text = f"{words}: narrower; set it so that the lip runs on sound shaft, clear of drain holes"
    return Compared(CONDITION, text, abs(off))


def _in_pocket(have_um: int, pocket_um: int | None) -> Compared | None:
    """Whether a seal of this width goes into a known pocket; None where the pocket is not known."""
    if pocket_um is None:
        return None
    depth, source = _least_depth(have_um)
    deep = f"the pocket is {mm_text(pocket_um)} mm deep"
    if pocket_um >= depth:
        return Compared(CONDITION, f"{deep} and takes it (least {mm_text(depth)}, {source})")
    short = mm_text(depth - pocket_um)
    return Compared(NEAR, f"{deep}, {short} mm less than {mm_text(depth)} ({source})")


def _least_depth(width_um: int) -> tuple[int, str]:
    """The least depth of pocket that any standard asks for, and which standard."""
    return _least_depths(width_um, shop_folder())


@lru_cache(maxsize=4096)
def _least_depths(width_um: int, _shop: str) -> tuple[int, str]:
    width = width_um / UM_PER_MM
    rows = [
        row
        for row in table("seal_tolerances/pocket_depth").rows
        if (row.maybe("over_mm") or 0.0) < width <= (row.maybe("incl_mm") or width)
    ]
    row = min(rows, key=lambda row: row.number("depth_add_mm"))
    return width_um + round(row.number("depth_add_mm") * UM_PER_MM), row.text("edition")


def _search_row(name: str) -> Row:
    return next(row for row in table("crossing/limits").rows if row.text("name") == name)


_BEARING_WORDS = {"bore": "bore", "od": "outside diameter", "width": "assembled width"}


def bearing_dimension(
    dimension: str, want: tuple[int, str], have: tuple[int, str], bore_um: int
) -> Compared:
    """How one dimension of a bearing stands to the one wanted: equal, or not a fit.

    Parameters
    ----------
    dimension : str
        ``bore``, ``od`` or ``width``.
    want, have : tuple of int and str
        The wanted nominal and the list's [um], each with its system.
    bore_um : int
        The wanted bore, whose step decides the width's tolerance [um].

    Source: ISO 492 class Normal, or inch class 4: tables ``bearing_tolerances``.
    """
    return _bearing_dimension(dimension, want, have, bore_um, shop_folder())


@lru_cache(maxsize=65536)
def _bearing_dimension(
    dimension: str, want: tuple[int, str], have: tuple[int, str], bore_um: int, _shop: str
) -> Compared:
    (want_um, want_system), (have_um, have_system) = want, have
    alike = written_alike(want_um, have_um, want_system, have_system)
    if alike is not None:
        return alike
    off = have_um - want_um
    reach = "bearing_width_near" if dimension == "width" else "diameter_near"
    if abs(off) > search_limit_um(reach):
        return Compared(FAR, "", abs(off))
    system = want_system
    side = "over" if off > 0 else "under"
    by = f"{system}@{bore_um / UM_PER_MM:g}" if dimension == "width" else system
    lower, upper = dimension_limits(dimension, want_um / UM_PER_MM, by)
    source = tolerance_rows(dimension, system)[0].cite()
    words = (
        f"{_BEARING_WORDS[dimension]} {mm_text(have_um)} for {mm_text(want_um)}: "
        f"{mm_text(abs(off))} mm {side}; it may be {mm_text(want_um + round(lower * UM_PER_MM))} "
        f"to {mm_text(want_um + round(upper * UM_PER_MM))} mm ({source})"
    )
    return Compared(NEAR, words, abs(off))


def plain_dimension(name: str, want_um: int, have_um: int, reach_um: int) -> Compared:
    """How a dimension without limits of its own stands to the one wanted: equal, or not a fit.

    Parameters
    ----------
    name : str
        The dimension, as it is called.
    want_um, have_um : int
        The wanted nominal and the list's [um].
    reach_um : int
        How far off is still worth showing [um].
    """
    alike = written_alike(want_um, have_um, METRIC, METRIC)
    if alike is not None:
        return alike
    off = abs(have_um - want_um)
    if off > reach_um:
        return Compared(FAR, "", off)
    words = f"{name} {mm_text(have_um)} for {mm_text(want_um)}: {mm_text(off)} mm off"
    return Compared(NEAR, words, off)
