"""How probable a reading is: the density of a value given the bands it may lie in."""

from __future__ import annotations

import math

from fitcheck.accounts import Account, Value, prior
from fitcheck.parts.family import Band, Family, ViewIndex, view_bands

# A slipped reading is off by this many times what the instrument explains.
_SLIP_TIMES = 4.0
# Beyond this many standard errors a normal curve is nothing.
_REACH = 6.0
_ROOT_TWO = math.sqrt(2.0)

# How the nominals of sizes that no table lists are spread: taken from the listed nominals in
# another combination, on a whole millimetre or sixteenth of an inch, or anywhere. Own estimate,
# memory: trade lists run to many times the standard tables and keep to familiar diameters.
_FROM_LISTED, _ON_GRID, _ANYWHERE = 0.45, 0.35, 0.20
_GRID = ((1.0, 0.7, "metric"), (25.4 / 16, 0.3, "inch"))


def band_density(bands: tuple[Band, ...], value: Value) -> float:
    """Density of a reading, per mm as written, over bands with normal reading error.

    One reading in fifty (``slip`` in ``priors/mistakes``) is taken to be off by four times what
    the instrument explains, so that one bad value can't rule everything out.
    """
    if value.half_step_mm:
        return _rounded_density(bands, value)
    x, error = value.value_mm, value.error_mm
    slip = prior("slip")
    total = 0.0
    for share, sigma in ((1.0 - slip, error), (slip, error * _SLIP_TIMES)):
        reach = sigma * _REACH
        scale = 1.0 / (sigma * _ROOT_TWO)
        for band in bands:
            if band.low_mm - reach < x < band.high_mm + reach:
                total += (
                    share
                    * band.height
                    * 0.5
                    * (math.erf((x - band.low_mm) * scale) - math.erf((x - band.high_mm) * scale))
                )
    return total * value.factor


def _rounded_density(bands: tuple[Band, ...], value: Value) -> float:
    low, high = value.value_mm - value.half_step_mm, value.value_mm + value.half_step_mm
    total = 0.0
    for band in bands:
        overlap = min(band.high_mm, high) - max(band.low_mm, low)
        if overlap > 0.0:
            total += band.height * overlap
    return total * value.factor


def margin_mm(value: Value) -> float:
    """How far outside its bands a reading may still fall [mm]."""
    return value.half_step_mm or value.error_mm * _SLIP_TIMES * _REACH


def view_likelihoods(index: ViewIndex, value: Value) -> dict[tuple[float, str], float]:
    """The density of a reading for each nominal of a view that could give it."""
    found = {}
    for position in index.window(value.value_mm, margin_mm(value)):
        density = band_density(index.bands(position), value)
        if density > 0.0:
            found[index.keys[position]] = density * index.share
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
    dimension must then agree with it as they would for a listed size.
    """
    total = 1.0
    anchored: dict[int, Value] = {}
    for value in sorted(account.values, key=lambda v: _width(family, v)):
        view = family.places[value.place].views[0]
        anchor = anchored.get(view.dimension)
        if anchor is None:
            anchored[view.dimension] = value
            total *= _first_density(family, value)
        else:
            total *= _agreeing_density(family, anchor, value)
        if total == 0.0:
            break
    return total


def _width(family: Family, value: Value) -> tuple[float, str]:
    """Places that pin their dimension closest come first."""
    view = family.places[value.place].views[0]
    lower, upper = view.limits(value.value_mm, "metric")
    return upper - lower + value.error_mm, value.place


def _first_density(family: Family, value: Value) -> float:
    indexes = family.indexes(value.place)
    view = family.places[value.place].views[0]
    views = family.places[value.place].views
    listed = sum(
        density * len(family.by_key[each.dimension][key]) / len(family.sizes)
        for each, index in zip(views, indexes, strict=True)
        for key, density in view_likelihoods(index, value).items()
    )
    smallest, largest = family.span_mm(view.dimension)
    x = value.value_mm
    if not smallest * 0.8 <= x <= largest * 1.25:
        return _FROM_LISTED * listed
    spread = 1.0 / (x * math.log(largest / smallest * 1.5625))
    anywhere = spread * value.factor * (2.0 * value.half_step_mm if value.half_step_mm else 1.0)
    on_grid = 0.0
    for step, share, system in _GRID:
        nominal = round(_nominal_of(family, value) / step) * step
        if nominal > 0.0:
            bands = view_bands(view, nominal, system)
            on_grid += share * step * spread * band_density(bands, value)
    return _FROM_LISTED * listed + _ON_GRID * on_grid + _ANYWHERE * anywhere


def _nominal_of(family: Family, value: Value) -> float:
    """The nominal that would put the reading in the middle of its first band."""
    view = family.places[value.place].views[0]
    first = view_bands(view, value.value_mm, "metric")[0]
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
    bands = view_bands(family.places[value.place].views[0], nominal, "metric")
    return band_density(bands, blurred)
