"""What to measure next: the reading expected to tell the remaining sizes apart best.

For every place not yet read, the reading is imagined for each size still in question, and the
posterior that would follow is worked out. The place with the largest expected gain of
information is named, with the certainty it is expected to bring; where no reading helps, that is
said.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log2
from operator import mul

from fitcheck.accounts import Value
from fitcheck.identify import Candidate, Identification
from fitcheck.likelihood import band_density, margin_mm
from fitcheck.parts.family import Family, Place
from fitcheck.quantities import percent
from fitcheck.readings import Reading, instrument
from fitcheck.records import dataclass

# Sizes weighed against each other; the rest hold too little probability to matter.
_FIELD = 12
# Where inside its bands an imagined reading falls, as shares of the probability.
_QUANTILES = (0.1, 0.3, 0.5, 0.7, 0.9)
# Less gain than this (bits) is no help.
_USEFUL_BITS = 0.05
# A reading that raises the leading share by less than this leaves look-alikes where they were.
_NOTICEABLE = 0.05
# Where one size holds this much, other sizes are no longer what is in doubt.
_SETTLED = 0.95
# A better instrument must bring this much more to be asked for.
_BETTER = 1.15


@dataclass(frozen=True, slots=True)
class NextReading:
    """The reading to take next, with what, why, and the certainty expected after it."""

    reading: str
    instrument: str
    reason: str
    expected_certainty: float


def next_reading(
    family: Family, found: Identification, readings: Mapping[str, Reading], *, parts: str = "all"
) -> NextReading | None:
    """The reading that would best decide between the sizes left, or None where none is needed.

    Parameters
    ----------
    family : Family
        The family the readings belong to.
    found : Identification
        The posterior so far.
    readings : mapping of str to Reading
        The readings so far.
    parts : str
        ``all``, or ``seat`` when the old part is not at hand.
    """
    field = [c for c in found.candidates[:_FIELD] if c.probability > 0.001]
    if found.sure or not field:
        return None
    doubted = _doubted_reading(family, field[0], readings)
    if doubted is not None:
        return doubted
    if found.hidden and field[0].probability + found.unlisted >= _SETTLED:
        return NextReading(
            reading="shaft",
            instrument="eye",
            reason="look that the shaft is bare, without the ring of an earlier two-part seal, and "
            f"say so (bare shaft); with a ring on it, it could be {found.hidden}",
            expected_certainty=field[0].probability,
        )
    if len(field) < 2:
        return _second_opinion(family, field[0], readings)
    now = max(c.probability for c in field) / (sum(c.probability for c in field) + found.unlisted)
    best: tuple[float, Place, str, float] | None = None
    for place in family.places.values():
        if place.name in readings or (parts == "seat" and place.part != "seat"):
            continue
        if not place.not_with.isdisjoint(readings):
            continue
        for tool in place.instruments:
            gain, certainty = _expected(family, place, tool, field)
            if best is None or gain > best[0] * (_BETTER if place is best[1] else 1.001):
                best = (gain, place, tool, certainty)
    if best is None or best[0] < _USEFUL_BITS:
        return _no_reading_splits(field, now)
    _, place, tool, certainty = best
    share = max(now, certainty * (1.0 - found.unlisted))
    twins = _twins(field)
    if len(twins) > 1 and share < now + _NOTICEABLE:
        return _no_reading_splits(twins, now)
    reason = f"read {place.words}: it tells {_names(field, twins)} apart; "
    if len(twins) > 1:
        alike = " and ".join(c.size.label for c in twins)
        reason += f"no reading can split {alike}, read their numbers; "
    return NextReading(
        reading=place.name,
        instrument=tool,
        reason=f"{reason}expected certainty {percent(share)}",
        expected_certainty=share,
    )


def _twins(field: list[Candidate]) -> list[Candidate]:
    """The leading size and those that share every dimension with it."""
    return [c for c in field if c.size.nominals == field[0].size.nominals]


def _names(field: list[Candidate], twins: list[Candidate]) -> str:
    """The first of the sizes that a reading can tell apart, look-alikes named once."""
    told = [c for c in field if c not in twins[1:]]
    return ", ".join(c.size.label for c in (told if len(told) > 1 else field)[:3])


def _doubted_reading(
    family: Family, top: Candidate, readings: Mapping[str, Reading]
) -> NextReading | None:
    """The reading that the leading size explains by a mistake: take that one again first."""
    for place, explanations in top.explanations.items():
        if not explanations or place not in readings:
            continue
        state, share = explanations[0]
        if state in family.harmless:
            continue
        own = family.words.get(state)
        words = f"read {family.places[place].words} again: {own}" if own else _AGAIN.get(state)
        if words and share * top.probability >= 0.5:
            return NextReading(
                reading="shaft" if state == "worn-track-read" else place,
                instrument=family.places[place].instruments[-1],
                reason=words.format(size=top.size.label),
                expected_certainty=top.probability,
            )
    return None


_AGAIN = {
    "worn-track-read": "read the unworn land beside the track: the track reads small",
    "earlier-sleeve": "look for the edge of a thin sleeve on the shaft, then read the bare land "
    "beside it, which should suit {size}",
    "ring-left-on": "look for the ring of an earlier two-part seal on the shaft, take it off, and "
    "read the land again",
    "oval-bore": "read the bore in two directions, away from the worn spot",
    "worn-bore": "read the cone's bore in two directions",
    "worn-od": "read the cup's outside in two directions",
    "cup-width-given": "read the assembled width with the cone seated in the cup",
    "cone-width-given": "read the assembled width with the cone seated in the cup",
    "width-given": "read the width of the single ring again",
}


def _second_opinion(
    family: Family, top: Candidate, readings: Mapping[str, Reading]
) -> NextReading | None:
    """One size is left, but a reading or a rival explanation keeps it from being sure."""
    for place in family.places.values():
        if place.name in readings or place.name == "track" or not place.instruments:
            continue
        has = top.size.nominals[place.views[0].dimension] is not None
        if has and place.not_with.isdisjoint(readings):
            return NextReading(
                reading=place.name,
                instrument=place.instruments[-1],
                reason=f"read {place.words}; it is a second witness for {top.size.label}",
                expected_certainty=top.probability,
            )
    return None


def _no_reading_splits(field: list[Candidate], now: float) -> NextReading:
    names = " and ".join(c.size.label for c in field[:3])
    return NextReading(
        reading="mark",
        instrument="eye",
        reason=f"no reading can split {names}: read the number on the old part, or lay it beside "
        "the new one and compare rollers, angle and corners",
        expected_certainty=now,
    )


# What a size shows at a place: its nominal for each view of it.
_Keys = tuple[tuple[float, str] | None, ...]


def _expected(
    family: Family, place: Place, tool: str, field: list[Candidate]
) -> tuple[float, float]:
    """Expected gain [bits] and expected top share, from reading one place.

    Sizes that share what the place shows are told apart by no reading of it: they stand together
    as one group, whose inner shares stay as they are.
    """
    total = sum(c.probability for c in field)
    groups: dict[_Keys, list[float]] = {}
    for candidate in field:
        keys = tuple(candidate.size.nominals[view.dimension] for view in place.views)
        groups.setdefault(keys, []).append(candidate.probability / total)
    prior = [sum(members) for members in groups.values()]
    inner = [
        _entropy([p / whole for p in members])
        for whole, members in zip(prior, groups.values(), strict=True)
    ]
    tops = [max(members) / whole for whole, members in zip(prior, groups.values(), strict=True)]
    before = _entropy(prior) + sum(map(mul, prior, inner))
    after = certainty = 0.0
    error = instrument(tool).uncertainty_mm
    for keys, share in zip(groups, prior, strict=True):
        columns = [_imagined_densities(family, place, error, keys, other) for other in groups]
        for densities in zip(*columns, strict=True):
            weights = list(map(mul, prior, densities))
            norm = sum(weights)
            if norm <= 0.0:
                continue
            apart = log2(norm) - sum(w * log2(w) for w in weights if w > 0.0) / norm
            within = sum(map(mul, weights, inner)) / norm
            after += share / len(columns[0]) * (apart + within)
            certainty += share / len(columns[0]) * max(map(mul, weights, tops)) / norm
    return before - after, certainty


def _imagined_densities(
    family: Family, place: Place, error_mm: float, true: _Keys, other: _Keys
) -> tuple[float, ...]:
    """The densities, for one size, of the readings that another would give at a place, kept."""
    index = family.indexes(place.name)[0]
    asked = ("imagined", error_mm, true, other)
    found: tuple[float, ...] | None = index.memo.get(asked)
    if found is None:
        found = tuple(
            _density(family, place, other, Value(place.name, value_mm, error_mm))
            for value_mm in _imagined(family, place, true)
        )
        index.remember(asked, found)
    return found


def _imagined(family: Family, place: Place, keys: _Keys) -> list[float]:
    """Readings of a place that a size would give, spread over its likeliest bands."""
    found = []
    for view, index, key in zip(place.views, family.indexes(place.name), keys, strict=True):
        if key is None or view.share < 0.2:
            continue
        # The likeliest band stands for the rest: rare explanations hardly move an expectation.
        band = max(
            index.bands(index.positions[key]), key=lambda b: b.height * (b.high_mm - b.low_mm)
        )
        found += [band.low_mm + q * (band.high_mm - band.low_mm) for q in _QUANTILES]
    return found


def _density(family: Family, place: Place, keys: _Keys, value: Value) -> float:
    total = 0.0
    for view, index, key in zip(place.views, family.indexes(place.name), keys, strict=True):
        if key is None:
            continue
        if key[0] + index.reach_low - margin_mm(value) < value.value_mm:
            bands = index.bands(index.positions[key])
            total += view.share * band_density(bands, value, slip=index.slip)
    return total


def _entropy(shares: list[float]) -> float:
    return -sum(p * log2(p) for p in shares if p > 0.0)
