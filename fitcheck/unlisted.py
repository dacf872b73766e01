"""How probable readings are if the part is of no listed size: its nominals may be anywhere.

Such nominals are spread over familiar diameters in other combinations, whole millimetres and
sixteenths, and anything else, as the table ``priors/unlisted`` says.
"""

from __future__ import annotations

import math
from functools import cache

from fitcheck.accounts import Account, Value
from fitcheck.likelihood import band_density, margin_mm, place_likelihoods, value_key
from fitcheck.parts.family import Family, Near, ViewIndex
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder, table
from fitcheck.units import MM_PER_INCH

# Sizes are near one another when a dimension differs by no more than this factor; a size that no
# table lists has proportions like the listed ones near it, save for this share that has any.
NEAR = 1.15
ANY_PROPORTION = 0.1
# A uniform spread has this many standard deviations from end to end.
_UNIFORM = math.sqrt(12.0)
# Room beyond the listed dimensions for one that no table lists.
BEYOND_LOW, BEYOND_HIGH = 0.8, 1.25
NEAR_LOW, NEAR_HIGH = 0.9, 1.1


@dataclass(frozen=True, slots=True)
class Spread:
    """How the nominals of unlisted sizes are spread: a row of the table ``priors/unlisted``."""

    kind: str
    share: float
    step_mm: float
    system: str


def spreads() -> tuple[Spread, ...]:
    """The ways a nominal of an unlisted size is found, their shares adding up to 1."""
    return _spreads(shop_folder())


@cache
def _spreads(_shop: str) -> tuple[Spread, ...]:
    return tuple(
        Spread(
            row.text("kind"),
            row.number("share"),
            row.maybe("step_mm") or MM_PER_INCH * (row.maybe("step_in") or 0.0),
            row.text("system"),
        )
        for row in table("priors/unlisted").rows
    )


def unlisted_density(family: Family, account: Account) -> float:
    """The density of all readings of an account if the part is of no listed size.

    The first reading of a dimension tells the unknown nominal; further readings of the same
    dimension must then agree with it as they would for a listed size. Dimensions after the first
    are spread as they are among the listed sizes near it, or, rarely, anyhow.
    """
    total = 1.0
    anchored: dict[int, Value] = {}
    near: Near | None = None
    for value in _by_dimension(family, account.values):
        dimension = family.places[value.place].views[0].dimension
        anchor = anchored.get(dimension)
        if anchor is not None:
            total *= _agreeing_density(family, anchor, value)
        else:
            total *= _first_density(family, value, near)
            anchored[dimension] = value
            if near is None:
                near = family.near(dimension, value.value_mm, NEAR)
        if total == 0.0:
            break
    return total


def out_of_reach(family: Family, account: Account) -> bool:
    """Whether a reading of the account lies beyond every size, listed or not.

    Most numbers taken for inches do, and then the account need not be weighed.
    """
    # One reading tells the nominal that another is held to, so the errors of both count.
    margin = 2.0 * max((margin_mm(value) for value in account.values), default=0.0)
    for value in account.values:
        low, high = reach_mm(family, value.place)
        if not low - margin <= value.value_mm <= high + margin:
            return True
    return False


def reach_mm(family: Family, place: str) -> tuple[float, float]:
    """The least and the largest that a place can show, save for the error of reading [mm].

    Parameters
    ----------
    family : Family
        The sizes.
    place : str
        The place.
    """
    indexes = family.indexes(place)
    found: tuple[float, float] | None = indexes[0].memo.get("reach")
    if found is None:
        spans = [family.span_mm(view.dimension) for view in family.places[place].views]
        found = (
            min(low for low, _ in spans) * BEYOND_LOW * NEAR_LOW
            + 2.0 * min(index.reach_low for index in indexes),
            max(high for _, high in spans) * BEYOND_HIGH * NEAR_HIGH
            + 2.0 * max(index.reach_high for index in indexes),
        )
        indexes[0].remember("reach", found)
    return found


def _by_dimension(family: Family, values: tuple[Value, ...]) -> list[Value]:
    """By dimension; within one, the places that pin it closest come first."""
    dimensions = {family.places[value.place].views[0].dimension for value in values}
    if len(dimensions) == len(values):
        # Nothing to compare within a dimension, so no limits to look up.
        return sorted(values, key=lambda v: family.places[v.place].views[0].dimension)
    return sorted(values, key=lambda v: _rank(family, v))


def _rank(family: Family, value: Value) -> tuple[int, float, str]:
    view = family.places[value.place].views[0]
    lower, upper = view.limits(value.value_mm, "metric")
    return view.dimension, upper - lower + value.error_mm, value.place


def _first_density(family: Family, value: Value, near: Near | None) -> float:
    index = family.indexes(value.place)[0]
    key = (*value_key(value), near)
    found: float | None = index.memo.get(key)
    if found is None:
        found = _worked_out(family, value, near)
        index.remember(key, found)
    return found


def _worked_out(family: Family, value: Value, near: Near | None) -> float:
    kinds = _kept_spreads(family.indexes(value.place)[0])
    on_grid, anyhow = _anyhow(family, value, kinds)
    dimension = family.places[value.place].views[0].dimension
    if near is None or near.spans[dimension] is None:
        return anyhow
    smallest, largest = near.spans[dimension] or (0.0, 0.0)
    alike = _spread_density(
        value,
        listed=sum(
            density * _count_near(family, near, number, key)
            for number, densities in place_likelihoods(family, value)[1]
            for key, density in densities.items()
        )
        / len(near.members),
        on_grid=on_grid,
        kinds=kinds,
        span_mm=(smallest * NEAR_LOW, largest * NEAR_HIGH),
    )
    return ANY_PROPORTION * anyhow + (1.0 - ANY_PROPORTION) * alike


def _count_near(family: Family, near: Near, dimension: int, key: tuple[float, str]) -> int:
    """How many of the sizes near a value have this nominal."""
    found = near.counts.get((dimension, key))
    if found is None:
        found = sum(1 for position in family.by_key[dimension][key] if position in near.members)
        near.counts[dimension, key] = found
    return found


def _kept_spreads(index: ViewIndex) -> tuple[Spread, ...]:
    found: tuple[Spread, ...] | None = index.memo.get("spreads")
    if found is None:
        found = spreads()
        index.remember("spreads", found)
    return found


def _anyhow(family: Family, value: Value, kinds: tuple[Spread, ...]) -> tuple[float, float]:
    """The density of a reading on the grids, and with its nominal spread over all sizes, kept."""
    index = family.indexes(value.place)[0]
    key = ("anyhow", *value_key(value))
    found: tuple[float, float] | None = index.memo.get(key)
    if found is not None:
        return found
    dimension = family.places[value.place].views[0].dimension
    smallest, largest = family.span_mm(dimension)
    # Far outside the listed sizes there is no size to be had, and no tolerance either.
    possible = smallest * BEYOND_LOW * NEAR_LOW <= value.value_mm
    possible = possible and value.value_mm <= largest * BEYOND_HIGH * NEAR_HIGH
    on_grid = _grid_density(family, value, kinds) if possible else 0.0
    anyhow = _spread_density(
        value,
        listed=sum(
            density * len(family.by_key[number][key])
            for number, densities in place_likelihoods(family, value)[1]
            for key, density in densities.items()
        )
        / len(family.sizes),
        on_grid=on_grid,
        kinds=kinds,
        span_mm=(smallest * BEYOND_LOW, largest * BEYOND_HIGH),
    )
    index.remember(key, (on_grid, anyhow))
    return on_grid, anyhow


def _grid_density(family: Family, value: Value, kinds: tuple[Spread, ...]) -> float:
    """The density of a reading if its nominal stands on a grid, each grid by its share."""
    index = family.indexes(value.place)[0]
    total = 0.0
    middle = _nominal_of(family, value)
    for kind in kinds:
        if kind.step_mm:
            nominal = round(middle / kind.step_mm) * kind.step_mm
            if nominal > 0.0:
                bands = index.bands_at(nominal, kind.system)
                total += kind.share * kind.step_mm * band_density(bands, value, slip=index.slip)
    return total


def _spread_density(
    value: Value,
    *,
    listed: float,
    on_grid: float,
    kinds: tuple[Spread, ...],
    span_mm: tuple[float, float],
) -> float:
    """The density of a reading whose nominal is spread as ``priors/unlisted`` says."""
    x = value.value_mm
    inside = span_mm[0] <= x <= span_mm[1]
    spread = 1.0 / (x * math.log(span_mm[1] / span_mm[0])) if inside else 0.0
    total = spread * on_grid
    for kind in kinds:
        if kind.kind == "listed":
            total += kind.share * listed
        elif not kind.step_mm:
            total += kind.share * spread * value.factor * (2.0 * value.half_step_mm or 1.0)
    return total


def _nominal_of(family: Family, value: Value) -> float:
    """The nominal that would put the reading in the middle of its first band."""
    first = family.indexes(value.place)[0].bands_at(value.value_mm, "metric")[0]
    return 2.0 * value.value_mm - (first.low_mm + first.high_mm) / 2.0


def _agreeing_density(family: Family, anchor: Value, value: Value) -> float:
    """The density of a reading, given another of the same dimension, of a size no table lists."""
    total = 0.0
    for share, nominal, open_mm in _told_by(family, anchor):
        if nominal <= 0.0:
            continue
        blurred = Value(
            value.place,
            value.value_mm,
            math.sqrt(value.error_mm**2 + anchor.error_mm**2 + open_mm**2),
            value.factor,
            value.half_step_mm,
        )
        for part, index in _same_dimension(family, value.place):
            bands = index.bands_at(nominal, "metric")
            total += share * part * band_density(bands, blurred)
    return total


def _told_by(family: Family, anchor: Value) -> list[tuple[float, float, float]]:
    """What a reading tells of its nominal: share, nominal [mm], and what it leaves open [mm].

    The anchor leaves the nominal open by its own tolerance; a uniform spread of that width has
    this standard deviation. Where several explanations have limits of their own, each tells a
    nominal.
    """
    same = _same_dimension(family, anchor.place)
    rounded = anchor.half_step_mm * 2.0
    if len(same) == 1:
        nominal = _nominal_of(family, anchor)
        lower, upper = family.places[anchor.place].views[0].limits(nominal, "metric")
        return [(1.0, nominal, max(upper - lower, rounded) / _UNIFORM)]
    found = []
    for share, index in same:
        for band in index.bands_at(anchor.value_mm, "metric"):
            width = band.high_mm - band.low_mm
            nominal = 2.0 * anchor.value_mm - (band.low_mm + band.high_mm) / 2.0
            # A band's height is its prior over its width.
            found.append((share * band.height * width, nominal, max(width, rounded) / _UNIFORM))
    return found


def _same_dimension(family: Family, place: str) -> list[tuple[float, ViewIndex]]:
    """The views of a place that show the dimension it is asked for, with their shares of it."""
    views, indexes = family.places[place].views, family.indexes(place)
    same = [
        (view.share, index)
        for view, index in zip(views, indexes, strict=True)
        if view.dimension == views[0].dimension
    ]
    whole = sum(share for share, _ in same)
    return [(share / whole, index) for share, index in same]
