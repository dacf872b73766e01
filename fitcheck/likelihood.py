"""How probable a reading is: the density of a value given the bands it may lie in."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from fitcheck.accounts import Account, Value, prior
from fitcheck.parts.family import Band, Family, Near, ViewIndex
from fitcheck.tables import shop_folder, table
from fitcheck.units import MM_PER_INCH

# A slipped reading is off by this many times what the instrument explains.
_SLIP_TIMES = 4.0
# Beyond this many standard errors a normal curve is nothing.
_REACH = 6.0
_ROOT_TWO = math.sqrt(2.0)
_DENSITY = 1.0 / math.sqrt(2.0 * math.pi)

# Sizes are near one another when a dimension differs by no more than this factor; a size that no
# table lists has proportions like the listed ones near it, save for this share that has any.
_NEAR = 1.15
_ANY_PROPORTION = 0.1
# Room beyond the listed dimensions for one that no table lists.
_BEYOND_LOW, _BEYOND_HIGH = 0.8, 1.25
_NEAR_LOW, _NEAR_HIGH = 0.9, 1.1


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


def band_density(bands: tuple[Band, ...], value: Value) -> float:
    """Density of a reading, per mm as written, over bands with normal reading error.

    One reading in fifty (``slip`` in ``priors/mistakes``) is taken to be off by four times what
    the instrument explains, so that one bad value can't rule everything out.
    """
    slip = prior("slip")
    if value.half_step_mm:
        error = value.error_mm
        sure = (1.0 - slip) * _rounded_density(bands, value, error)
        return value.factor * (sure + slip * _rounded_density(bands, value, error * _SLIP_TIMES))
    return value.factor * _read_density(bands, value.value_mm, value.error_mm, slip)


def _read_density(bands: tuple[Band, ...], x: float, error: float, slip: float) -> float:
    reach = error * _SLIP_TIMES * _REACH
    fine = 1.0 / (error * _ROOT_TWO)
    coarse = fine / _SLIP_TIMES
    erf = math.erf
    total = 0.0
    for band in bands:
        over, under = x - band.low_mm, x - band.high_mm
        if over > -reach and under < reach:
            total += band.height * (
                (1.0 - slip) * (erf(over * fine) - erf(under * fine))
                + slip * (erf(over * coarse) - erf(under * coarse))
            )
    return 0.5 * total


def _rounded_density(bands: tuple[Band, ...], value: Value, sigma: float) -> float:
    """The probability that a reading rounds to this value."""
    low, high = value.value_mm - value.half_step_mm, value.value_mm + value.half_step_mm
    reach = sigma * _REACH
    total = 0.0
    for band in bands:
        if band.low_mm - reach < high and low < band.high_mm + reach:
            below_high = _summed(high - band.low_mm, sigma) - _summed(high - band.high_mm, sigma)
            below_low = _summed(low - band.low_mm, sigma) - _summed(low - band.high_mm, sigma)
            total += band.height * (below_high - below_low)
    return max(0.0, total)


def _summed(x: float, sigma: float) -> float:
    """The normal distribution function with this deviation, integrated up to x [mm]."""
    z = x / sigma
    if abs(z) > 8.0:
        return max(0.0, x)
    return x * 0.5 * (1.0 + math.erf(z / _ROOT_TWO)) + sigma * _DENSITY * math.exp(-0.5 * z * z)


def margin_mm(value: Value) -> float:
    """How far outside its bands a reading may still fall [mm]."""
    return value.half_step_mm + value.error_mm * _SLIP_TIMES * _REACH


def _key(value: Value) -> tuple[float, float, float, float]:
    """What a reading's density depends on, apart from the place."""
    return value.value_mm, value.error_mm, value.factor, value.half_step_mm


def view_likelihoods(index: ViewIndex, value: Value) -> dict[tuple[float, str], float]:
    """The density of a reading for each nominal of a view that could give it.

    Most accounts of a set of readings share most of their values, so what was worked out for a
    value is kept with the index.
    """
    key = _key(value)
    found: dict[tuple[float, str], float] | None = index.memo.get(key)
    if found is None:
        found = {}
        for position in index.window(value.value_mm, margin_mm(value)):
            density = band_density(index.bands(position), value)
            if density > 0.0:
                found[index.keys[position]] = density * index.share
        index.remember(key, found)
    return found


def account_likelihoods(family: Family, account: Account) -> dict[int, float]:
    """The density of all readings of an account, for each size (by position) that could give it."""
    maps = []
    for value in account.values:
        views = [
            (view.dimension, view_likelihoods(index, value))
            for view, index in zip(
                family.places[value.place].views, family.indexes(value.place), strict=True
            )
        ]
        members = sum(
            len(family.by_key[dimension][key]) for dimension, found in views for key in found
        )
        if not members:
            return {}
        maps.append((members, views))
    maps.sort(key=lambda item: item[0])
    result: dict[int, float] = {}
    for dimension, found in maps[0][1]:
        for key, density in found.items():
            for position in family.by_key[dimension][key]:
                result[position] = result.get(position, 0.0) + density
    for _, views in maps[1:]:
        result = _narrowed(family, result, views)
    return result


def _narrowed(
    family: Family,
    result: dict[int, float],
    views: list[tuple[int, dict[tuple[float, str], float]]],
) -> dict[int, float]:
    narrowed = {}
    for position, density in result.items():
        nominals = family.sizes[position].nominals
        more = 0.0
        for dimension, found in views:
            key = nominals[dimension]
            if key is not None:
                more += found.get(key, 0.0)
        if more > 0.0:
            narrowed[position] = density * more
    return narrowed


def unlisted_density(family: Family, account: Account) -> float:
    """The density of all readings of an account if the part is of no listed size.

    The first reading of a dimension tells the unknown nominal; further readings of the same
    dimension must then agree with it as they would for a listed size. Dimensions after the first
    are spread as they are among the listed sizes near it, or, rarely, anyhow.
    """
    total = 1.0
    anchored: dict[int, Value] = {}
    near: Near | None = None
    for value in sorted(account.values, key=lambda v: _rank(family, v)):
        dimension = family.places[value.place].views[0].dimension
        anchor = anchored.get(dimension)
        if anchor is not None:
            total *= _agreeing_density(family, anchor, value)
        else:
            total *= _first_density(family, value, near)
            anchored[dimension] = value
            if near is None:
                near = family.near(dimension, value.value_mm, _NEAR)
        if total == 0.0:
            break
    return total


def _rank(family: Family, value: Value) -> tuple[int, float, str]:
    """By dimension; within one, the places that pin it closest come first."""
    view = family.places[value.place].views[0]
    lower, upper = view.limits(value.value_mm, "metric")
    return view.dimension, upper - lower + value.error_mm, value.place


def _first_density(family: Family, value: Value, near: Near | None) -> float:
    index = family.indexes(value.place)[0]
    key = (*_key(value), near)
    found: float | None = index.memo.get(key)
    if found is None:
        found = _worked_out(family, value, near)
        index.remember(key, found)
    return found


def _worked_out(family: Family, value: Value, near: Near | None) -> float:
    views = family.places[value.place].views
    found = [
        (view.dimension, view_likelihoods(index, value))
        for view, index in zip(views, family.indexes(value.place), strict=True)
    ]
    dimension = views[0].dimension
    smallest, largest = family.span_mm(dimension)
    # Far outside the listed sizes there is no size to be had, and no tolerance either.
    possible = smallest * _BEYOND_LOW * _NEAR_LOW <= value.value_mm
    possible = possible and value.value_mm <= largest * _BEYOND_HIGH * _NEAR_HIGH
    on_grid = _grid_density(family, value) if possible else 0.0
    anyhow = _spread_density(
        value,
        listed=sum(
            density * len(family.by_key[number][key])
            for number, densities in found
            for key, density in densities.items()
        )
        / len(family.sizes),
        on_grid=on_grid,
        span_mm=(smallest * _BEYOND_LOW, largest * _BEYOND_HIGH),
    )
    if near is None or near.spans[dimension] is None:
        return anyhow
    members = near.members
    smallest, largest = near.spans[dimension] or (0.0, 0.0)
    alike = _spread_density(
        value,
        listed=sum(
            density * sum(1 for position in family.by_key[number][key] if position in members)
            for number, densities in found
            for key, density in densities.items()
        )
        / len(members),
        on_grid=on_grid,
        span_mm=(smallest * _NEAR_LOW, largest * _NEAR_HIGH),
    )
    return _ANY_PROPORTION * anyhow + (1.0 - _ANY_PROPORTION) * alike


def _grid_density(family: Family, value: Value) -> float:
    """The density of a reading if its nominal stands on a grid, each grid by its share."""
    index = family.indexes(value.place)[0]
    total = 0.0
    for kind in spreads():
        if kind.step_mm:
            nominal = round(_nominal_of(family, value) / kind.step_mm) * kind.step_mm
            if nominal > 0.0:
                bands = index.bands_at(nominal, kind.system)
                total += kind.share * kind.step_mm * band_density(bands, value)
    return total


def _spread_density(
    value: Value, *, listed: float, on_grid: float, span_mm: tuple[float, float]
) -> float:
    """The density of a reading whose nominal is spread as ``priors/unlisted`` says."""
    x = value.value_mm
    inside = span_mm[0] <= x <= span_mm[1]
    spread = 1.0 / (x * math.log(span_mm[1] / span_mm[0])) if inside else 0.0
    total = spread * on_grid
    for kind in spreads():
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
    nominal = _nominal_of(family, anchor)
    if nominal <= 0.0:
        return 0.0
    view = family.places[anchor.place].views[0]
    lower, upper = view.limits(nominal, "metric")
    # The anchor leaves the nominal open by its own tolerance; a uniform spread of that width
    # has this standard deviation.
    open_mm = max(upper - lower, anchor.half_step_mm * 2.0) / math.sqrt(12.0)
    blurred = Value(
        value.place,
        value.value_mm,
        math.sqrt(value.error_mm**2 + anchor.error_mm**2 + open_mm**2),
        value.factor,
        value.half_step_mm,
    )
    bands = family.indexes(value.place)[0].bands_at(nominal, "metric")
    return band_density(bands, blurred)
