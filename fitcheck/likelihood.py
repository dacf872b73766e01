"""How probable a reading is: the density of a value given the bands it may lie in."""

from __future__ import annotations

import math

from fitcheck.accounts import Account, Value, prior
from fitcheck.parts.family import Band, Family, ViewIndex

# A slipped reading is off by this many times what the instrument explains.
SLIP_TIMES = 4.0
# Beyond this many standard errors a normal curve is nothing.
REACH = 6.0
_ROOT_TWO = math.sqrt(2.0)
_DENSITY = 1.0 / math.sqrt(2.0 * math.pi)


def band_density(bands: tuple[Band, ...], value: Value, *, slip: float | None = None) -> float:
    """Density of a reading, per mm as written, over bands with normal reading error.

    Parameters
    ----------
    bands : tuple of Band
        Where the reading may lie.
    value : Value
        The reading as one account takes it.
    slip : float, optional
        The share of slipped readings, where it is known already [-].

    Notes
    -----
    One reading in fifty (``slip`` in ``priors/mistakes``) is taken to be off by four times what
    the instrument explains, so that one bad value can't rule everything out.
    """
    slip = prior("slip") if slip is None else slip
    if value.half_step_mm:
        error = value.error_mm
        sure = (1.0 - slip) * _rounded_density(bands, value, error)
        return value.factor * (sure + slip * _rounded_density(bands, value, error * SLIP_TIMES))
    return value.factor * _read_density(bands, value.value_mm, value.error_mm, slip)


def _read_density(bands: tuple[Band, ...], x: float, error: float, slip: float) -> float:
    reach = error * SLIP_TIMES * REACH
    fine = 1.0 / (error * _ROOT_TWO)
    coarse = fine / SLIP_TIMES
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
    reach = sigma * REACH
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
    return value.half_step_mm + value.error_mm * SLIP_TIMES * REACH


def value_key(value: Value) -> tuple[float, float, float, float]:
    """What a reading's density depends on, apart from the place."""
    return value.value_mm, value.error_mm, value.factor, value.half_step_mm


def view_likelihoods(index: ViewIndex, value: Value) -> dict[tuple[float, str], float]:
    """The density of a reading for each nominal of a view that could give it.

    Most accounts of a set of readings share most of their values, so what was worked out for a
    value is kept with the index.
    """
    key = value_key(value)
    found: dict[tuple[float, str], float] | None = index.memo.get(key)
    if found is None:
        found = {}
        for position in index.window(value.value_mm, margin_mm(value)):
            density = band_density(index.bands(position), value, slip=index.slip)
            if density > 0.0:
                found[index.keys[position]] = density * index.share
        index.remember(key, found)
    return found


# For each dimension that a place shows, the density of its reading by nominal.
Views = list[tuple[int, dict[tuple[float, str], float]]]


def place_likelihoods(family: Family, value: Value) -> tuple[int, Views]:
    """What a reading says of each dimension of its place, and of how many sizes, kept."""
    indexes = family.indexes(value.place)
    key = ("place", *value_key(value))
    found: tuple[int, Views] | None = indexes[0].memo.get(key)
    if found is None:
        views = [
            (view.dimension, view_likelihoods(index, value))
            for view, index in zip(family.places[value.place].views, indexes, strict=True)
        ]
        members = sum(len(family.by_key[number][k]) for number, known in views for k in known)
        found = members, views
        indexes[0].remember(key, found)
    return found


def account_likelihoods(family: Family, account: Account) -> dict[int, float]:
    """The density of all readings of an account, for each size (by position) that could give it."""
    maps = []
    for value in account.values:
        found = place_likelihoods(family, value)
        if not found[0]:
            return {}
        maps.append(found)
    maps.sort(key=lambda item: item[0])
    # The two readings that fewest sizes could give are met pair by pair of their nominals: that
    # costs a few look-ups however many sizes there are.
    result = (
        _of_one(family, *maps[0]) if len(maps) == 1 else _of_two(family, maps[0][1], maps[1][1])
    )
    for _, views in maps[2:]:
        if not result:
            break
        result = _narrowed(family, result, views)
    return result


def _of_one(family: Family, _members: int, views: Views) -> dict[int, float]:
    result: dict[int, float] = {}
    for dimension, found in views:
        for key, density in found.items():
            for position in family.by_key[dimension][key]:
                result[position] = result.get(position, 0.0) + density
    return result


def _of_two(family: Family, one: Views, other: Views) -> dict[int, float]:
    result: dict[int, float] = {}
    for first, firsts in one:
        for second, seconds in other:
            pairs = family.by_pair(first, second)
            for key, density in firsts.items():
                for also, more in seconds.items():
                    for position in pairs.get((key, also), ()):
                        result[position] = result.get(position, 0.0) + density * more
    return result


def _narrowed(family: Family, result: dict[int, float], views: Views) -> dict[int, float]:
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
