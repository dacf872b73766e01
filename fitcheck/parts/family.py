"""What the identification engine knows of a part family: its sizes and its dimension model.

A family lists sizes, each with one nominal value per dimension, and places where a reading can be
taken. A place says which dimension it shows and in which bands around the nominal the reading may
lie, each band with its explanation (state) and prior. A new family is a table, a descriptor and
one of these: the engine does not change.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cache
from typing import Any

from fitcheck.accounts import prior
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder, table

CLEAN = "clean"
# What every part may show by ordinary use, and where wear makes a place larger.
USED = frozenset({CLEAN, "set-lip"})
OPENED = frozenset({"bore", "old-lip"})
NO_WORDS: Mapping[str, str] = {}
# A zero-width band would have no density; 1 um is finer than anything read here.
LEAST_BAND_MM = 0.001

# Tolerance limits around a nominal, both as offsets [mm]: (nominal_mm, system) -> (lower, upper).
Limits = Callable[[float, str], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Size:
    """One listed size: its label, one nominal per dimension, and where it comes from.

    ``nominals`` follow the family's dimensions; each is (nominal in mm, system), or None where
    the table does not give the dimension. ``weight`` is how often the size is met, beside others.
    """

    label: str
    system: str
    nominals: tuple[tuple[float, str] | None, ...]
    series: tuple[str, ...]
    source: str
    details: Mapping[str, str] = field(default_factory=dict)
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch where a reading may lie: uniform density ``height`` from low to high [1/mm]."""

    low_mm: float
    high_mm: float
    height: float
    state: str


@dataclass(frozen=True, slots=True)
class BandRule:
    """How a band follows from the tolerance limits; a row of the table ``priors/bands``."""

    state: str
    prior: float
    low_scale: float
    low_mm: float
    high_scale: float
    high_mm: float
    from_mm: float = 0.0

    def band(self, *, nominal_mm: float, lower_mm: float, upper_mm: float) -> Band:
        """The band around a nominal.

        Parameters
        ----------
        nominal_mm : float
            Nominal size [mm].
        lower_mm : float
            Lower tolerance limit, as an offset from the nominal [mm].
        upper_mm : float
            Upper tolerance limit, likewise [mm].
        """
        low = nominal_mm + self.low_scale * lower_mm + self.low_mm
        high = nominal_mm + self.high_scale * upper_mm + self.high_mm
        high = max(high, low + LEAST_BAND_MM)
        return Band(low, high, self.prior / (high - low), self.state)


def band_rules(
    family: str, place: str, *, share: float = 1.0, without: tuple[str, ...] = ()
) -> tuple[BandRule, ...]:
    """The rules of one place from ``priors/bands``.

    Parameters
    ----------
    family, place : str
        As the table names them.
    share : float
        What the priors of the place are scaled to add up to [-].
    without : tuple of str
        Explanations that somebody has ruled out by looking.
    """
    rows = [
        row
        for row in table("priors/bands").rows
        if row.text("family") == family
        and row.text("place") == place
        and row.text("state") not in without
    ]
    total = sum(row.number("prior") for row in rows)
    return tuple(
        BandRule(
            state=row.text("state"),
            prior=share * row.number("prior") / total,
            low_scale=row.number("low_scale"),
            low_mm=row.number("low_mm"),
            high_scale=row.number("high_scale"),
            high_mm=row.number("high_mm"),
            from_mm=row.maybe("from_mm") or 0.0,
        )
        for row in rows
    )


def size_weight(family: str, system: str) -> float:
    """How often sizes of a system are met, from ``priors/sizes``; 1 where not listed."""
    return _size_weights(shop_folder()).get((family, system), 1.0)


@cache
def _size_weights(_shop: str) -> dict[tuple[str, str], float]:
    found: dict[tuple[str, str], float] = {}
    for row in table("priors/sizes").rows:
        found.setdefault((row.text("family"), row.text("system")), row.number("weight"))
    return found


@dataclass(frozen=True, slots=True)
class View:
    """What a place shows: a dimension, how likely that one is meant, its limits and its bands.

    ``state`` names the mistake when the place is not the one asked for (a cup width given as the
    assembled width), and is empty otherwise.
    """

    dimension: int
    share: float
    limits: Limits
    rules: tuple[BandRule, ...]
    state: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a reading can be taken, with what, and how to say so.

    ``not_with`` names places that are there on other parts only: where one of them was read, this
    one can't be.
    """

    name: str
    views: tuple[View, ...]
    words: str
    instruments: tuple[str, ...]
    part: str = "seat"
    not_with: frozenset[str] = frozenset()


# Limits grow with the nominal, so the widest bands stand at the ends of a table; this covers steps
# in between that are a little wider [mm].
_REACH_SLACK_MM = 0.2


# What is kept of work done before: a long table of readings to the hundredth of a millimetre
# repeats itself within so many.
_KEPT = 16384


class ViewIndex:
    """The distinct nominals of one view in rising order; bands are worked out when first met."""

    __slots__ = (
        "_bands",
        "_elsewhere",
        "_view",
        "keys",
        "memo",
        "nominals",
        "positions",
        "reach_high",
        "reach_low",
        "slip",
    )

    def __init__(self, view: View, by_key: Mapping[tuple[float, str] | None, list[int]]) -> None:
        self.keys = sorted(key for key in by_key if key is not None)
        self.nominals = [key[0] for key in self.keys]
        self.positions = {key: position for position, key in enumerate(self.keys)}
        self._view = view
        self._bands: list[tuple[Band, ...] | None] = [None] * len(self.keys)
        self._elsewhere: dict[tuple[float, str], tuple[Band, ...]] = {}
        self.memo: dict[Any, Any] = {}
        # Asked for with every density: looked up once.
        self.slip = prior("slip")
        self.reach_low = self.reach_high = 0.0
        ends: dict[str, tuple[int, int]] = {}
        for position, (_, system) in enumerate(self.keys):
            first, _last = ends.get(system, (position, position))
            ends[system] = (first, position)
        for position in {p for pair in ends.values() for p in pair}:
            nominal = self.nominals[position]
            for band in self.bands(position):
                self.reach_low = min(self.reach_low, band.low_mm - nominal - _REACH_SLACK_MM)
                self.reach_high = max(self.reach_high, band.high_mm - nominal + _REACH_SLACK_MM)

    @property
    def share(self) -> float:
        """How likely the place shows this view's dimension."""
        return self._view.share

    @property
    def state(self) -> str:
        """The mistake this view stands for, or the empty text."""
        return self._view.state

    def bands(self, position: int) -> tuple[Band, ...]:
        """The bands around the nominal at a position."""
        found = self._bands[position]
        if found is None:
            found = view_bands(self._view, *self.keys[position])
            self._bands[position] = found
        return found

    def bands_at(self, nominal_mm: float, system: str) -> tuple[Band, ...]:
        """The bands around a nominal that need not be listed."""
        key = (nominal_mm, system)
        found = self._elsewhere.get(key)
        if found is None:
            found = view_bands(self._view, nominal_mm, system)
            if len(self._elsewhere) >= _KEPT:
                self._elsewhere.clear()
            self._elsewhere[key] = found
        return found

    def remember(self, key: Any, found: Any) -> None:
        """Keep what was worked out for a reading; all of it goes when there is too much."""
        if len(self.memo) >= _KEPT:
            self.memo.clear()
        self.memo[key] = found

    def window(self, value_mm: float, margin_mm: float) -> range:
        """The positions of the nominals that could give a reading of this value."""
        first = bisect_left(self.nominals, value_mm - self.reach_high - margin_mm)
        last = bisect_right(self.nominals, value_mm - self.reach_low + margin_mm)
        return range(first, last)


def view_bands(view: View, nominal_mm: float, system: str) -> tuple[Band, ...]:
    """The bands of a view around one nominal."""
    lower, upper = view.limits(nominal_mm, system)
    return tuple(
        rule.band(nominal_mm=nominal_mm, lower_mm=lower, upper_mm=upper)
        for rule in view.rules
        if nominal_mm >= rule.from_mm
    )


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """The listed sizes near a value of one dimension, and what each dimension spans there [mm]."""

    members: frozenset[int]
    spans: tuple[tuple[float, float] | None, ...]
    # How many of the members have a nominal, by dimension and nominal, as they are asked for.
    counts: dict[tuple[int, tuple[float, str]], int] = field(default_factory=dict)


class Family:
    """A part family, ready for the engine: sizes, dimensions, places and their indexes.

    Parameters
    ----------
    name : str
        The family: ``seal``, ``bearing``.
    dimensions : tuple of str
        The names of the dimensions, in the order of every size's nominals.
    sizes : tuple of Size
    places : tuple of Place
    order_group : tuple of str
        Places whose values people mix up when they write a size in another order.
    harmless : frozenset of str
        Explanations that are ordinary wear of such a part and put no size in doubt.
    wears_larger : frozenset of str
        Places that wear opens; it takes metal away everywhere else.
    words : mapping of str to str
        How the family says its own explanations, with ``{size}`` in the place of the size.
    """

    def __init__(
        self,
        *,
        name: str,
        dimensions: tuple[str, ...],
        sizes: tuple[Size, ...],
        places: tuple[Place, ...],
        order_group: tuple[str, ...] = (),
        harmless: frozenset[str] = USED,
        wears_larger: frozenset[str] = OPENED,
        words: Mapping[str, str] = NO_WORDS,
    ) -> None:
        self.name = name
        self.dimensions = dimensions
        self.sizes = sizes
        self.places = {place.name: place for place in places}
        self.order_group = order_group
        self.harmless = harmless
        self.wears_larger = wears_larger
        self.words = words
        self.by_key: list[dict[tuple[float, str] | None, list[int]]] = []
        for number in range(len(dimensions)):
            members: dict[tuple[float, str] | None, list[int]] = {}
            for position, size in enumerate(sizes):
                members.setdefault(size.nominals[number], []).append(position)
            self.by_key.append(members)
        self.total_weight = sum(size.weight for size in sizes)
        self._indexes: dict[str, tuple[ViewIndex, ...]] = {}
        self._nominals = [
            sorted(key for key in members if key is not None) for members in self.by_key
        ]
        self._spans: dict[int, tuple[float, float]] = {}
        self._near: dict[tuple[int, int, int], Near] = {}
        self._pairs: dict[tuple[int, int], dict[Any, list[int]]] = {}

    def indexes(self, place: str) -> tuple[ViewIndex, ...]:
        """The view indexes of a place, made on first use."""
        found = self._indexes.get(place)
        if found is None:
            found = tuple(
                ViewIndex(view, self.by_key[view.dimension]) for view in self.places[place].views
            )
            self._indexes[place] = found
        return found

    def span_mm(self, dimension: int) -> tuple[float, float]:
        """The smallest and the largest nominal of a dimension [mm]."""
        found = self._spans.get(dimension)
        if found is None:
            nominals = [key[0] for key in self.by_key[dimension] if key is not None]
            found = self._spans[dimension] = min(nominals), max(nominals)
        return found

    def near(self, dimension: int, value_mm: float, factor: float) -> Near:
        """The listed sizes that differ in a dimension by no more than a factor.

        Parameters
        ----------
        dimension : int
            The dimension's position among the family's dimensions.
        value_mm : float
            The value to be near to [mm].
        factor : float
            The largest ratio, above 1.
        """
        keys = self._nominals[dimension]
        first = bisect_left(keys, (value_mm / factor, ""))
        last = bisect_right(keys, (value_mm * factor, "~"))
        found = self._near.get((dimension, first, last))
        if found is None:
            members = frozenset(p for key in keys[first:last] for p in self.by_key[dimension][key])
            spans = []
            for number in range(len(self.dimensions)):
                nominals = [
                    key[0] for p in members if (key := self.sizes[p].nominals[number]) is not None
                ]
                spans.append((min(nominals), max(nominals)) if nominals else None)
            found = self._near[dimension, first, last] = Near(members, tuple(spans))
        return found

    def by_pair(self, first: int, second: int) -> dict[Any, list[int]]:
        """The positions of the sizes by their nominals in two dimensions, made on first use."""
        found = self._pairs.get((first, second))
        if found is None:
            found = self._pairs[first, second] = {}
            for position, size in enumerate(self.sizes):
                pair = size.nominals[first], size.nominals[second]
                found.setdefault(pair, []).append(position)
        return found
