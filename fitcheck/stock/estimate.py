"""The model of demand, from all that is known: history, fleet, shelf, empty stretches, terms.

This is the one way from the shop's records to the arrays that levels and plans are worked out from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.stock.always import always_at
from fitcheck.stock.asks import Asks, Window, asks_of, window_of
from fitcheck.stock.assumed import assumptions_of, uncounted
from fitcheck.stock.censored import Blind, blind_stretches
from fitcheck.stock.fleet import FleetKit
from fitcheck.stock.history import History
from fitcheck.stock.job_kits import JobKits, job_kits
from fitcheck.stock.model import substitute_arrays
from fitcheck.stock.months import (
    OwnMonths,
    month_notes,
    month_words,
    own_months,
    pace_of,
    watched_ratio,
)
from fitcheck.stock.rates import Rates, rates_of
from fitcheck.stock.records import DAYS_PER_YEAR, Ahead, Model, Pace, Part, Stretch
from fitcheck.stock.season import Season, clock_of, season_of
from fitcheck.stock.spread import spread_of
from fitcheck.stock.substitutes import substitutes_of
from fitcheck.stock.unasked import unasked_items, unasked_note, without

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Known:
    """What is known beside the history.

    Attributes
    ----------
    parts : sequence of Part
        Every size with its terms; those of the history must be among them.
    branches : sequence of str
        Branches without history of their own.
    fleet : sequence of FleetKit
        What the fleet foretells.
    stretches : sequence of Stretch
        Days on which a shelf is known to have been empty.
    on_hand : mapping of (part key, branch) to int
        Today's shelf.
    listed : set of str
        Keys of parts that would be on the books had nobody asked for them.
    every_ask : bool
        Whether the shop writes down every ask, also when the shelf is empty; nothing is then left
        out.
    review_days : float
        Days between looks at the shelf.
    assumptions : sequence of str
        What was assumed before.
    ahead : Ahead, optional
        The days that levels are for; the whole year where left out.
    sure_only : bool
        Whether a substitute counts only where it does without a condition.
    """

    parts: Sequence[Part]
    branches: Sequence[str] = ()
    fleet: Sequence[FleetKit] = ()
    stretches: Sequence[Stretch] = ()
    on_hand: Mapping[tuple[str, str], int] = field(default_factory=dict)
    listed: frozenset[str] = frozenset()
    every_ask: bool = False
    review_days: float = 0.0
    assumptions: Sequence[str] = ()
    ahead: Ahead | None = None
    sure_only: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Estimate:
    """The model, and all that it was made from."""

    model: Model
    rates: Rates
    season: Season
    kits: JobKits
    window: Window
    asks: Asks
    blind: Blind


def estimate(
    history: History,
    known: Known,
    *,
    since: date | None = None,
    through: date | None = None,
    substitutes: bool = True,
) -> Estimate:
    """Estimate demand.

    Parameters
    ----------
    history : History
        What was asked for.
    known : Known
        What is known beside it.
    since, through : date, optional
        First and last day that demand was written down; see `window_of`.
    substitutes : bool
        Whether it is worked out what does as well as what.

    Raises
    ------
    NotKnownError
        There is no history in those days.
    InputError
        A part of the history, the fleet or the shelf has no terms, or the days are turned round.
    """
    import numpy as np

    first, last = (None if day is None else day.toordinal() for day in (since, through))
    if since is not None and through is not None and since > through:
        raise InputError(
            value=f"{since} to {through}",
            rule="the first day comes after the last",
            todo="Turn them round",
        )
    history = history.between(since or date.min, through or date.max)
    keys = [part.key for part in known.parts]
    branches = _branches(history, known)
    _check_parts(history, known, set(keys))
    number = {key: at for at, key in enumerate(keys)}
    place = {name: at for at, name in enumerate(branches)}
    # Where a fleet is known, it foretells demand without a single line of history.
    window = window_of(history, branches, since=first, through=last, needed=not known.fleet)
    asks = asks_of(history, parts=keys, branches=branches)
    start, end = int(window.first.min()), int(window.last.max())
    season = season_of(days=asks.day, first=start, last=end)
    clock = clock_of(season=season, first=start, last=end)
    lead_days = np.repeat([part.lead_days for part in known.parts], len(branches))
    blind = _blind(asks, known, lead_days, number=number, place=place)
    spread = spread_of(asks, parts=known.parts, branches=branches, window=window, clock=clock)
    own = own_months(
        asks,
        spread=spread.asks[:: len(branches)],
        places=len(branches),
        window=window,
        season=season,
    )
    items = {
        (key, branch): at * len(branches) + place[branch]
        for at, key in enumerate(keys)
        for branch in {kit.branch for kit in known.fleet}
    }
    said = np.zeros(len(keys) * len(branches))
    for kit in known.fleet:
        for key, quantity in kit.needs.items():
            said[items[key, kit.branch]] += quantity * kit.jobs
    rates = rates_of(
        asks,
        parts=known.parts,
        branches=branches,
        window=window,
        clock=clock,
        blind=blind,
        spread=spread,
        fleet=said,
        known=np.array([key in known.listed for key in keys], dtype=np.bool_),
        own_time=watched_ratio(own, season, window, parts=len(keys)),
    )
    watched = clock.years(window.first, window.last + 1)
    held = {
        number[key] * len(branches) + place[branch]: pieces
        for (key, branch), pieces in known.on_hand.items()
    }
    unasked = unasked_items(asks, rates, places=len(branches), held=held)
    planned = without(rates, unasked)
    kits = job_kits(asks, rates=planned, watched=watched, fleet=known.fleet, number=items)
    model = _model(
        known,
        branches,
        planned,
        kits,
        season=season,
        own=own,
        watched=watched,
        substitutes=substitutes,
        asks=asks,
        unasked=unasked_note(rates, unasked),
    )
    return Estimate(model, rates, season, kits, window, asks, blind)


def _branches(history: History, known: Known) -> tuple[str, ...]:
    names = {*history.branches, *known.branches}
    names |= {kit.branch for kit in known.fleet} | {branch for _, branch in known.on_hand}
    return tuple(sorted(names))


def _check_parts(history: History, known: Known, keys: set[str]) -> None:
    wanted = {*history.parts, *(key for key, _ in known.on_hand)}
    wanted |= {key for kit in known.fleet for key in kit.needs}
    missing = sorted(wanted - keys)
    if missing:
        raise InputError(
            value=missing[0],
            rule="it was asked for, counted or is in the fleet, and no part was given for it",
            todo="Give a part for every key",
        )


def _blind(
    asks: Asks,
    known: Known,
    lead_days: Floats,
    *,
    number: Mapping[str, int],
    place: Mapping[str, int],
) -> Blind:
    """The days that do not count."""
    import numpy as np

    places = len(place)
    stretches = (
        []
        if known.every_ask
        else [
            (
                number[one.part_key] * places + place[one.branch],
                one.first.toordinal(),
                one.end.toordinal(),
            )
            for one in known.stretches
            if one.part_key in number and one.branch in place
        ]
    )
    short = np.zeros(len(asks), dtype=np.bool_) if known.every_ask else asks.short
    return blind_stretches(
        item=asks.item, day=asks.day, short=short, lead_days=lead_days, stretches=stretches
    )


def _model(
    known: Known,
    branches: tuple[str, ...],
    rates: Rates,
    kits: JobKits,
    *,
    season: Season,
    own: OwnMonths,
    watched: Floats,
    substitutes: bool,
    asks: Asks,
    unasked: tuple[str, ...],
) -> Model:
    import numpy as np

    parts, places = tuple(known.parts), len(branches)
    count = len(parts) * places
    number = {part.key: at for at, part in enumerate(parts)}
    place = {name: at for at, name in enumerate(branches)}
    on_hand, counted = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.bool_)
    for (key, branch), pieces in known.on_hand.items():
        at = number[key] * places + place[branch]
        on_hand[at], counted[at] = pieces, True
    part_of = np.repeat(np.arange(len(parts), dtype=np.int64), places)
    lead = np.array([part.lead_days for part in parts], dtype=np.float64) / DAYS_PER_YEAR
    spread = np.array([part.lead_days_sd for part in parts], dtype=np.float64) / DAYS_PER_YEAR
    taken = np.union1d(asks.item, np.flatnonzero(rates.fleet > 0)).astype(np.int64)
    always, where = always_at(parts, branches, taken=taken)
    fit = substitutes_of(parts, sure_only=known.sure_only) if substitutes else {}
    sub = substitute_arrays(parts, places, fit)
    pace, kit_pace = _paces(known, kits, season=season, own=own, part_of=part_of)
    return Model(
        parts=parts,
        branches=branches,
        part_of=part_of,
        branch_of=np.tile(np.arange(places, dtype=np.int64), len(parts)),
        rate_shape=rates.shape,
        rate_scale=rates.scale,
        dispersion=rates.dispersion,
        lead_mean_years=lead[part_of],
        lead_sd_years=spread[part_of],
        on_hand=on_hand,
        counted=counted,
        season=season.weights,
        kit_branch=kits.branch,
        kit_shape=kits.shape,
        kit_scale=kits.scale,
        kit_start=kits.start,
        kit_item=kits.item,
        kit_quantity=kits.quantity,
        sub_start=sub[0],
        sub_item=sub[1],
        sub_condition=sub[2],
        review_years=known.review_days / DAYS_PER_YEAR,
        new_job_share=kits.new_job_share,
        assumptions=tuple(known.assumptions)
        + tuple(
            assumptions_of(
                branches, rates, kits, fleet=bool(known.fleet), watched=watched, asks=asks
            )
        )
        + tuple(month_notes(season, own, [part.key for part in parts], known.ahead))
        + where
        + unasked
        + uncounted(np.union1d(taken, np.flatnonzero(counted)), counted),
        kept_here=always,
        pace=pace,
        kit_pace=kit_pace,
        own_months={
            part: month_words(weights)
            for part, weights in zip(own.part.tolist(), own.weights, strict=True)
        },
    )


def _paces(
    known: Known, kits: JobKits, *, season: Season, own: OwnMonths, part_of: Ints
) -> tuple[Pace | None, Floats | None]:
    """What the months do to items and to kits; None where all months are alike."""
    import numpy as np

    if season.kept == 0.0 and not len(own.part):
        return None, None
    row = own.row_of(len(known.parts))[part_of]
    lead = np.array([part.lead_days for part in known.parts])[part_of] + known.review_days
    pace = pace_of(own.all_weights(season), row, lead, known.ahead)
    if known.ahead is None:
        return pace, None
    # A kit goes by the months of those of its sizes that have their own.
    mine = (row > 0)[kits.item].astype(np.float64)
    starts = kits.start[:-1]
    of_own, theirs = (np.add.reduceat(some, starts) for some in (mine, mine * pace.now[kits.item]))
    shop = float(
        pace_of(season.weights[None, :], np.zeros(1, int), np.zeros(1), known.ahead).now[0]
    )
    return pace, np.where(of_own > 0, theirs / np.maximum(of_own, 1.0), shop)
