"""The posterior of many rows at once: every size and "no listed size", under every account.

The same sums as ``identify`` makes for one row, over lists of pairs (row, size) in the place of
dictionaries. A pair is there only where a reading is in reach, so the work grows with what is in
reach and not with the sizes.
"""

from __future__ import annotations

import numpy as np

from fitcheck.accounts import AS_GIVEN, ORDER_SWAPPED, ROUNDED, UNIT_MIXED, prior
from fitcheck.findings import UNLISTED_SIZE
from fitcheck.identify import FAINT
from fitcheck.job.batch.bands_table import Dimension, Flags, Floats, Ints, PlaceTable
from fitcheck.job.batch.densities import PlaceDensities, Values, distinct
from fitcheck.job.batch.nearby import Nearby
from fitcheck.job.batch.restated import OWN, Columns, Restated
from fitcheck.parts.family import Family
from fitcheck.records import dataclass
from fitcheck.unlisted import ANY_PROPORTION, NEAR_HIGH, NEAR_LOW


@dataclass(frozen=True, slots=True)
class Candidates:
    """The sizes of all rows that are not faint, row by row and by falling probability.

    ``first`` has for each row where its sizes begin, and one entry more. ``top`` and ``share`` are
    for each place the likeliest explanation (-1 where there is none) and its probability.
    """

    first: Ints
    row: Ints
    size: Ints
    probability: Floats
    clean: Floats
    top: Ints
    share: Floats


@dataclass(frozen=True, slots=True)
class Posterior:
    """What the readings of many rows say.

    ``total`` is the evidence of each row: where it is zero nothing fits, and the rest means
    nothing. ``findings`` has for each row the probability of each name of ``names``. ``plainly``
    says of each candidate and place whether the reading, as it was given, fits at all.
    """

    places: tuple[str, ...]
    names: tuple[str, ...]
    total: Floats
    unlisted: Floats
    findings: Floats
    candidates: Candidates
    plainly: Flags


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Pairs of row and size under an account, with their weight, and which account it is."""

    row: Ints
    size: Ints
    weight: Floats
    of: Ints


class Weigher:
    """Weighs the sizes of one family against the readings of many rows."""

    def __init__(self, family: Family) -> None:
        self.family = family
        states = {
            view.state or rule.state
            for place in family.places.values()
            for view in place.views
            for rule in view.rules
        }
        names = states | {AS_GIVEN, UNIT_MIXED, ORDER_SWAPPED, ROUNDED, UNLISTED_SIZE}
        self.names = tuple(sorted(names))
        self.number = {name: number for number, name in enumerate(self.names)}
        self.dimensions = [Dimension(family, n) for n in range(len(family.dimensions))]
        self.nearby = Nearby(family, self.dimensions)
        self._tables: dict[str, PlaceTable] = {}
        self._weight: Floats = np.array([size.weight for size in family.sizes])
        self._harmless = np.array([name in family.harmless for name in self.names])

    def table(self, place: str) -> PlaceTable:
        """What is known of a place, made on first use."""
        found = self._tables.get(place)
        if found is None:
            found = PlaceTable(self.family, self.family.places[place], self.dimensions, self.number)
            self._tables[place] = found
        return found

    def weigh(self, columns: Columns) -> Posterior:
        """The posterior of every row.

        Parameters
        ----------
        columns : Columns
            The readings; no two of the places show the same dimension first.
        """
        return _Weighing(self, columns).posterior()


class _Weighing:
    """One table of readings being weighed."""

    def __init__(self, weigher: Weigher, columns: Columns) -> None:
        self._weigher = weigher
        self._columns = columns
        self._tables = {place: weigher.table(place) for place in columns.places}
        # In the order in which one dimension tells what is near in the next.
        self._by_dimension = sorted(columns.places, key=lambda place: self._tables[place].first)
        self._accounts = columns.restated(weigher.family.order_group)
        self._rows: list[Ints] = []
        self._entry: dict[tuple[str, str], Ints] = {}
        self._densities: dict[str, PlaceDensities] = {}
        self._restate()

    def _restate(self) -> None:
        """Work out which accounts are in reach, and the densities of the readings they need."""
        values: dict[tuple[str, str], Values] = {}
        for account in self._accounts:
            for asked in account.ways.items():
                if asked not in values:
                    values[asked] = self._columns.values(*asked)
        needed: dict[tuple[str, str], Flags] = {}
        for account in self._accounts:
            asked_of = list(account.ways.items())
            margin = 2.0 * np.max([values[asked].margin() for asked in asked_of], axis=0)
            inside = account.prior > 0.0
            for asked in asked_of:
                low, high = self._tables[asked[0]].reach
                x = values[asked].x
                inside &= (low - margin <= x) & (x <= high + margin)
            self._rows.append(np.flatnonzero(inside))
            for asked in asked_of:
                needed[asked] = needed.get(asked, False) | inside
        for place, table in self._tables.items():
            asked_of = [asked for asked in needed if asked[0] == place]
            chosen = [np.flatnonzero(needed[asked]) for asked in asked_of]
            parts = [values[asked].at(rows) for asked, rows in zip(asked_of, chosen, strict=True)]
            known, back = distinct(
                Values(
                    np.concatenate([part.x for part in parts]),
                    np.concatenate([part.error for part in parts]),
                    np.concatenate([part.factor for part in parts]),
                    np.concatenate([part.half for part in parts]),
                )
            )
            self._densities[place] = PlaceDensities(table, known, len(self._weigher.family.sizes))
            begin = 0
            for asked, rows in zip(asked_of, chosen, strict=True):
                entry = np.full(self._columns.count, -1)
                entry[rows] = back[begin : begin + len(rows)]
                begin += len(rows)
                self._entry[asked] = entry

    def posterior(self) -> Posterior:
        """The posterior of every row."""
        weigher, count = self._weigher, self._columns.count
        no_size = prior(UNLISTED_SIZE)
        each = (1.0 - no_size) / weigher.family.total_weight
        unlisted = np.zeros(count)
        findings = np.zeros((count, len(weigher.names)))
        found = []
        for number, account in enumerate(self._accounts):
            rows = self._rows[number]
            row, size, density = self._sizes(account, rows)
            weight = each * weigher._weight[size] * account.prior[row] * density
            found.append((row, size, weight, np.full(len(row), number)))
            none = no_size * account.prior[rows] * self._unlisted(account, rows)
            unlisted[rows] += none
            if account.name != AS_GIVEN:
                findings[rows, weigher.number[account.name]] += none
        row, size, weight, of = (np.concatenate(parts) for parts in zip(*found, strict=True))
        names = np.array([weigher.number[account.name] for account in self._accounts])
        total = np.bincount(row, weight, count) + unlisted
        safe = np.where(total > 0.0, total, 1.0)
        flat = np.bincount(row * len(weigher.names) + names[of], weight, findings.size)
        findings = (findings + flat.reshape(findings.shape)) / safe[:, None]
        findings[:, weigher.number[AS_GIVEN]] = 0.0
        share = unlisted / safe
        findings[:, weigher.number[UNLISTED_SIZE]] = share
        pairs = _Pairs(row, size, weight, of)
        candidates, plainly = self._candidates(pairs, safe, findings)
        return Posterior(
            self._columns.places,
            weigher.names,
            total,
            share,
            np.minimum(findings, 1.0),
            candidates,
            plainly,
        )

    def _sizes(self, account: Restated, rows: Ints) -> tuple[Ints, Ints, Floats]:
        """The pairs of row and size that an account gives any density, with it."""
        pairs = self._pairs(account, rows)
        row, size = pairs
        density = np.ones(len(row))
        for asked in account.ways.items():
            more = self._density(asked, row, size)
            kept = np.flatnonzero(more > 0.0)
            row, size, density = row[kept], size[kept], density[kept] * more[kept]
        return row, size, density

    def _density(self, asked: tuple[str, str], row: Ints, size: Ints) -> Floats:
        entry = self._entry[asked][row]
        total = np.zeros(len(row))
        for view in self._densities[asked[0]].views:
            position, known = view.position(entry, size)
            some = np.flatnonzero(known & (entry >= 0))
            total[some] += view.total[position[some]]
        return total

    def _pairs(self, account: Restated, rows: Ints) -> tuple[Ints, Ints]:
        """Pairs of row and size from the place of each row that fewest sizes could give."""
        asked_of = list(account.ways.items())
        counts = []
        for asked in asked_of:
            entry = self._entry[asked][rows]
            counts.append(
                np.sum(
                    [
                        view.view.dimension.starts[view.last[entry]]
                        - view.view.dimension.starts[view.first[entry]]
                        for view in self._densities[asked[0]].views
                    ],
                    axis=0,
                )
            )
        fewest = np.argmin(counts, axis=0)
        found_rows, found_sizes = [], []
        for number, asked in enumerate(asked_of):
            chosen = rows[fewest == number]
            entry = self._entry[asked][chosen]
            views = self._densities[asked[0]].views
            some_rows, some_sizes = [], []
            for view in views:
                dimension = view.view.dimension
                begin = dimension.starts[view.first[entry]]
                length = dimension.starts[view.last[entry]] - begin
                of = np.repeat(np.arange(len(chosen)), length)
                place = np.arange(len(of)) + (begin - (np.cumsum(length) - length))[of]
                some_rows.append(chosen[of])
                some_sizes.append(dimension.members[place])
            row, size = np.concatenate(some_rows), np.concatenate(some_sizes)
            if len(views) > 1:
                # A size may be met by several of its dimensions.
                sizes = len(self._weigher.family.sizes)
                row, size = np.divmod(np.unique(row * sizes + size), sizes)
            found_rows.append(row)
            found_sizes.append(size)
        return np.concatenate(found_rows), np.concatenate(found_sizes)

    def _unlisted(self, account: Restated, rows: Ints) -> Floats:
        """The density of each row's readings if the part is of no listed size."""
        total = np.ones(len(rows))
        near: Ints | None = None
        nearby = self._weigher.nearby
        for place in self._by_dimension:
            densities = self._densities[place]
            entry = self._entry[place, account.ways[place]][rows]
            anyhow = densities.anyhow[entry]
            if near is None:
                total *= anyhow
                near = nearby.windows(self._tables[place].first, densities.values.x[entry])
                continue
            first = self._tables[place].first
            low, high, members = nearby.span(near, first)
            listed = np.zeros(len(rows))
            for view in densities.views:
                of, position = view.expanded(entry)
                count = nearby.count(near[of], view.view.number, view.nominal[position])
                listed += np.bincount(of, view.total[position] * count, len(rows))
            alike = densities.spread(
                entry, listed / np.maximum(members, 1), low * NEAR_LOW, high * NEAR_HIGH
            )
            mixed = ANY_PROPORTION * anyhow + (1.0 - ANY_PROPORTION) * alike
            total *= np.where(members > 0, mixed, anyhow)
        return total

    def _candidates(
        self, pairs: _Pairs, total: Floats, findings: Floats
    ) -> tuple[Candidates, Flags]:
        """The sizes that are not faint; what explains them is added to the findings."""
        count, sizes = self._columns.count, len(self._weigher.family.sizes)
        weight = pairs.weight
        keys, back = np.unique(pairs.row * sizes + pairs.size, return_inverse=True)
        weights = np.bincount(back, weight, len(keys))
        row_of, size_of = np.divmod(keys, sizes)
        probability = weights / total[row_of]
        kept = np.flatnonzero(probability >= FAINT)
        kept = kept[np.lexsort((size_of[kept], -weights[kept], row_of[kept]))]
        number = np.full(len(keys), -1)
        number[kept] = np.arange(len(kept))
        pair = np.flatnonzero(number[back] >= 0)
        candidate = number[back[pair]]
        share = weight[pair] / weights[back[pair]]
        some = _Pairs(pairs.row[pair], pairs.size[pair], share, pairs.of[pair])
        states = self._states(candidate, len(kept), some)
        name = self._weigher.number
        certain = np.isin(
            some.of,
            [n for n, a in enumerate(self._accounts) if a.name in (AS_GIVEN, ROUNDED)],
        )
        clean = np.bincount(candidate[certain], share[certain], len(kept))
        harmless = states[:, :, self._weigher._harmless].sum(axis=2)
        clean = np.minimum(clean, harmless.min(axis=1, initial=np.inf))
        row_of, size_of, probability = row_of[kept], size_of[kept], probability[kept]
        np.add.at(findings, row_of, probability[:, None] * states.sum(axis=1))
        findings[:, name[AS_GIVEN]] = 0.0
        top = states.argmax(axis=2)
        top_share = np.take_along_axis(states, top[:, :, None], axis=2)[:, :, 0]
        plainly = np.array(
            [self._density((place, OWN), row_of, size_of) > 0.0 for place in self._columns.places]
        ).T
        found = Candidates(
            first=np.searchsorted(row_of, np.arange(count + 1)),
            row=row_of,
            size=size_of,
            probability=probability,
            clean=clean,
            top=np.where(top_share > 0.0, top, -1),
            share=top_share,
        )
        return found, plainly

    def _states(self, candidate: Ints, candidates: int, given: _Pairs) -> Floats:
        """The share of each explanation, by candidate and place; pairs carry their shares."""
        row, size, of, share = given.row, given.size, given.of, given.weight
        places, names = self._columns.places, len(self._weigher.names)
        total = np.zeros(candidates * len(places) * names)
        for number, account in enumerate(self._accounts):
            pairs = np.flatnonzero(of == number)
            if not len(pairs):
                continue
            for position, place in enumerate(places):
                entry = self._entry[place, account.ways[place]][row[pairs]]
                parts = []
                whole = np.zeros(len(pairs))
                for view in self._densities[place].views:
                    where, known = view.position(entry, size[pairs])
                    some = np.flatnonzero(known)
                    density = view.by_band[where[some]]
                    parts.append((some, density, view.view.states[view.nominal[where[some]]]))
                    whole[some] += density.sum(axis=1)
                whole = np.where(whole > 0.0, whole, 1.0)
                for some, density, state in parts:
                    slot = (candidate[pairs[some]] * len(places) + position) * names
                    added = density * (share[pairs[some]] / whole[some])[:, None]
                    total += np.bincount((slot[:, None] + state).ravel(), added.ravel(), len(total))
        found: Floats = total.reshape(candidates, len(places), names)
        return found
