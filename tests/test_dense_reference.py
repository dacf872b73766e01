"""The engine's short cuts change no answer: beside it stands every size, band and account, plainly.

The reference looks at every listed size under every account and sums over every band; it keeps
nothing from one reading to the next, leaves no account out and looks no size up.
"""

from __future__ import annotations

import math
import random

import pytest

from fitcheck.accounts import Account, Value, accounts, prior
from fitcheck.advice import next_reading
from fitcheck.errors import OffTableError
from fitcheck.identify import identify
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family, Size, view_bands
from fitcheck.parts.seal import seal_family
from fitcheck.readings import Reading, read
from fitcheck.unlisted import unlisted_density

FAMILIES = {"seal": seal_family(), "bearing": bearing_family()}


def normal(x: float) -> float:
    """The normal distribution function."""
    return 0.5 * (1.0 + math.erf(x / math.sqrt(2.0)))


def summed(x: float, sigma: float) -> float:
    """The same with a deviation, integrated up to x."""
    z = x / sigma
    if abs(z) > 8.0:
        return max(0.0, x)
    return x * normal(z) + sigma * math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)


def in_band(low: float, high: float, value: Value, sigma: float) -> float:
    """The share of a band, times its width, that reads as this value."""
    x, half = value.value_mm, value.half_step_mm
    if not half:
        return normal((x - low) / sigma) - normal((x - high) / sigma)
    return max(
        0.0,
        (summed(x + half - low, sigma) - summed(x + half - high, sigma))
        - (summed(x - half - low, sigma) - summed(x - half - high, sigma)),
    )


def place_density(family: Family, size: Size, value: Value) -> float:
    """The density of one reading for one size, over every view and band of its place."""
    slip = prior("slip")
    total = 0.0
    for view in family.places[value.place].views:
        key = size.nominals[view.dimension]
        if key is None:
            continue
        for band in view_bands(view, *key):
            total += (
                view.share
                * band.height
                * (
                    (1.0 - slip) * in_band(band.low_mm, band.high_mm, value, value.error_mm)
                    + slip * in_band(band.low_mm, band.high_mm, value, 4.0 * value.error_mm)
                )
            )
    return value.factor * total


def fresh(family: Family) -> Family:
    """The same family with nothing kept from earlier readings."""
    return Family(
        name=family.name,
        dimensions=family.dimensions,
        sizes=family.sizes,
        places=tuple(family.places.values()),
        order_group=family.order_group,
    )


def dense(family: Family, readings: dict[str, Reading]) -> tuple[list[float], float]:
    """The probability of every size, and of none."""
    no_size = prior("unlisted-size")
    each = (1.0 - no_size) / sum(size.weight for size in family.sizes)
    weights = [0.0] * len(family.sizes)
    unlisted = 0.0
    for account in accounts(readings, family.order_group):
        for position, size in enumerate(family.sizes):
            weights[position] += each * size.weight * account.prior * product(family, size, account)
        unlisted += no_size * account.prior * unlisted_density(fresh(family), account)
    total = math.fsum(weights) + unlisted
    if not total:
        return weights, 1.0
    return [weight / total for weight in weights], unlisted / total


def product(family: Family, size: Size, account: Account) -> float:
    """The densities of all readings of an account for one size, multiplied."""
    found = 1.0
    for value in account.values:
        found *= place_density(family, size, value)
        if not found:
            break
    return found


def bench(name: str, chance: random.Random) -> dict[str, str]:
    """Readings of some places of a listed size, now and then of another size or in inches."""
    family = FAMILIES[name]
    size = chance.choice(family.sizes)
    places = [p for p in family.places if p not in ("track", "thickness")]
    found = {}
    for place in chance.sample(places, chance.randint(1, 4)):
        of = chance.choice(family.sizes) if chance.random() < 0.05 else size
        key = of.nominals[family.places[place].views[0].dimension]
        value = (key[0] if key else 20.0) + chance.gauss(0.0, chance.choice((0.02, 0.2, 2.0)))
        rounded = round(value) if chance.random() < 0.15 else round(value, 2)
        in_inches = chance.random() < 0.1
        found[place] = f"{value / 25.4:.3f}in" if in_inches else f"{max(rounded, 1)}"
    return found


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.parametrize("name", ["seal", "bearing"])
def test_the_posterior_is_that_of_the_plain_sum(name: str, seed: int) -> None:
    family = FAMILIES[name]
    texts = bench(name, random.Random(f"{name} {seed}"))
    readings = {p: read(place=p, texts=(text,)) for p, text in texts.items()}
    sizes, none = dense(family, readings)
    try:
        found = identify(family, readings)
    except OffTableError:
        assert max(sizes) == 0.0
        return
    assert found.unlisted == pytest.approx(none, abs=1e-9)
    listed = {c.position: c.probability for c in found.candidates}
    for position, share in enumerate(sizes):
        # Sizes under a hundred-thousandth are left off the list.
        if position in listed or share > 1.001e-5:
            assert listed.get(position, 0.0) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize("name", ["seal", "bearing"])
def test_what_is_kept_from_other_readings_changes_nothing(name: str) -> None:
    chance = random.Random(name)
    for _ in range(60):
        texts = bench(name, chance)
        readings = {p: read(place=p, texts=(text,)) for p, text in texts.items()}
        answers: list[object] = []
        for family in (FAMILIES[name], fresh(FAMILIES[name])):
            try:
                found = identify(family, readings)
            except OffTableError:
                answers.append(None)
                continue
            answers.append((found, next_reading(family, found, readings)))
        assert answers[0] == answers[1]
