"""What whole jobs take: the kits that history shows and the fleet foretells, and how often.

Jobs that took the same pieces at the same branch are one kit. A kit seen n times comes a little
less often than n times, for part of the jobs to come will take a kit that nobody has seen: that
part is what absolute discounting leaves, and it goes to single sizes in the measure of their own
rates.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.asks import Asks
from fitcheck.stock.borrow import lent_kits
from fitcheck.stock.fleet import FleetKit
from fitcheck.stock.rates import Rates

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# How sure a kit of other branches is, in jobs seen: a choice of ours.
LENT_SHAPE = 1.0
# Rates under one in a million years are no demand.
_NOTHING = 1e-6
_MIX = (0x9E3779B97F4A7C15, 0xBF58476D1CE4E5B9, 0x94D049BB133111EB)


@dataclass(frozen=True, slots=True, eq=False)
class JobKits:
    """Kits as arrays: see `Model` for `branch`, `shape`, `scale`, `start`, `item`, `quantity`.

    ``jobs`` is how often each kit was seen, ``fleet`` the renewals a year that the fleet file says.
    """

    branch: Ints
    shape: Floats
    scale: Floats
    start: Ints
    item: Ints
    quantity: Ints
    jobs: Floats
    fleet: Floats
    new_job_share: float


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    start: Ints
    item: Ints
    quantity: Ints
    jobs: Floats


def job_kits(
    asks: Asks,
    *,
    rates: Rates,
    watched: Floats,
    fleet: Sequence[FleetKit] = (),
    number: Mapping[tuple[str, str], int] | None = None,
) -> JobKits:
    """The kits of all branches and their rates.

    Parameters
    ----------
    asks : Asks
        What was asked for, by job.
    rates : Rates
        The rates of the single items.
    watched : array of float
        Years that each branch was watched.
    fleet : sequence of FleetKit
        What the fleet foretells.
    number : mapping of (part key, branch) to int, optional
        The items of the fleet's parts.

    Notes
    -----
    Of n jobs, n1 took a kit seen once and n2 one seen twice: the discount is n1 / (n1 + 2 n2) of a
    job for each kit, the share of jobs with a kit never seen is discount x kits / n.

    Source: absolute discounting and its leave-one-out discount, from memory.
    """
    import numpy as np

    places = len(watched)
    seen = _with_fleet(_seen(asks), fleet, number or {})
    seen, borrowed = _with_lent(seen, rates, watched)
    branch = seen.item[seen.start[:-1]] % places if len(seen.start) > 1 else _none()
    foretold = _foretold(seen, fleet, number or {})
    own = np.maximum(watched[branch], 1e-9)
    once, twice = float((seen.jobs == 1).sum()), float((seen.jobs == 2).sum())
    discount = min(once / (once + 2.0 * twice), 0.9) if once else 0.0
    total = float(seen.jobs.sum())
    kinds = float((seen.jobs > 0).sum())
    share = discount * kinds / total if total else 0.0
    by_fleet = foretold > 0
    fleet_shape = _fleet_shape(rates)
    shape = np.where(by_fleet, fleet_shape + seen.jobs, np.maximum(seen.jobs - discount, 0.1))
    expected = np.where(by_fleet, foretold * rates.fleet_factor, 1.0)
    rate = np.where(by_fleet, fleet_shape / np.maximum(expected, 1e-12) + own, own)
    # A kit of the other branches is as sure as one job that was seen.
    by_others = (borrowed > 0) & ~by_fleet
    shape = np.where(by_others, LENT_SHAPE + seen.jobs, shape)
    rate = np.where(by_others, LENT_SHAPE / np.maximum(borrowed, 1e-12) + own, rate)
    found = JobKits(
        branch, shape, 1.0 / rate, seen.start, seen.item, seen.quantity, seen.jobs, foretold, share
    )
    return _with_singles(found, asks, rates, places)


def _none() -> Ints:
    import numpy as np

    return np.zeros(0, dtype=np.int64)


def _fleet_shape(rates: Rates) -> float:
    import numpy as np

    here = np.flatnonzero(rates.fleet > 0)
    return float(rates.prior_shape[here[0]]) if len(here) else 1.0


def _mixed(values: Ints, seed: int) -> NDArray[np.uint64]:
    """Numbers spread over 64 bits, so that sums of them tell sets apart."""
    import numpy as np

    with np.errstate(over="ignore"):
        z = values.astype(np.uint64) + np.uint64(_MIX[0]) * np.uint64(seed)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(_MIX[1])
        z = (z ^ (z >> np.uint64(27))) * np.uint64(_MIX[2])
        return z ^ (z >> np.uint64(31))


def _seen(asks: Asks) -> _Seen:
    """The distinct kits of the jobs, in the order of their items, and how often each came."""
    import numpy as np

    if not len(asks):
        return _Seen(np.zeros(1, dtype=np.int64), _none(), _none(), np.zeros(0))
    order = np.lexsort((asks.item, asks.job))
    job, item = asks.job[order], asks.item[order]
    quantity = asks.pieces[order].astype(np.int64)
    first = np.flatnonzero(np.concatenate([[True], job[1:] != job[:-1]]))
    lengths = np.diff(np.concatenate([first, [len(job)]]))
    code = item * (1 << 21) + quantity
    with np.errstate(over="ignore"):
        prints = np.column_stack([np.add.reduceat(_mixed(code, seed), first) for seed in (1, 2)])
    _, example, jobs = np.unique(prints, axis=0, return_index=True, return_counts=True)
    # Kits come in the order of the first job that took them.
    again = np.argsort(example, kind="stable")
    example, jobs = example[again], jobs[again]
    sizes = lengths[example]
    start = np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64)
    place = np.repeat(first[example] - start[:-1], sizes) + np.arange(start[-1])
    return _Seen(start, item[place], quantity[place], jobs.astype(np.float64))


def _needs(kit: FleetKit, number: Mapping[tuple[str, str], int]) -> tuple[tuple[int, int], ...]:
    return tuple(sorted((number[key, kit.branch], quantity) for key, quantity in kit.needs.items()))


def _with_fleet(
    seen: _Seen, fleet: Sequence[FleetKit], number: Mapping[tuple[str, str], int]
) -> _Seen:
    """The kits with those of the fleet that no job took yet."""
    return _with_needs(seen, dict.fromkeys(_needs(kit, number) for kit in fleet))


def _with_lent(seen: _Seen, rates: Rates, watched: Floats) -> tuple[_Seen, Floats]:
    """The kits with those that short branches take from the others, and their jobs a year."""
    import numpy as np

    if not rates.lent:
        return seen, np.zeros(len(seen.jobs))
    kits = zip(_as_needs(seen), seen.jobs.tolist(), strict=True)
    fleet = np.flatnonzero(rates.fleet > 0).tolist()
    lent = lent_kits(kits, rates.lent, watched=watched, fleet=fleet)
    found = _with_needs(seen, lent)
    return found, np.array([lent.get(needs, 0.0) for needs in _as_needs(found)])


def _with_needs(seen: _Seen, needed: Iterable[tuple[tuple[int, int], ...]]) -> _Seen:
    """The kits with some more, those that are there already left as they are."""
    import numpy as np

    known = set(_as_needs(seen))
    new = [needs for needs in needed if needs not in known]
    if not new:
        return seen
    sizes = np.array([len(needs) for needs in new], dtype=np.int64)
    flat = np.array([pair for needs in new for pair in needs], dtype=np.int64).reshape(-1, 2)
    return _Seen(
        np.concatenate([seen.start, seen.start[-1] + np.cumsum(sizes)]),
        np.concatenate([seen.item, flat[:, 0]]),
        np.concatenate([seen.quantity, flat[:, 1]]),
        np.concatenate([seen.jobs, np.zeros(len(new))]),
    )


def _as_needs(seen: _Seen) -> list[tuple[tuple[int, int], ...]]:
    pairs = list(zip(seen.item.tolist(), seen.quantity.tolist(), strict=True))
    bounds = seen.start.tolist()
    return [tuple(pairs[a:b]) for a, b in pairwise(bounds)]


def _foretold(
    seen: _Seen, fleet: Sequence[FleetKit], number: Mapping[tuple[str, str], int]
) -> Floats:
    """Renewals a year that the fleet file says, for each kit."""
    import numpy as np

    found = np.zeros(len(seen.jobs))
    if not fleet:
        return found
    place = {needs: at for at, needs in enumerate(_as_needs(seen))}
    for kit in fleet:
        found[place[_needs(kit, number)]] += kit.jobs
    return found


def _with_singles(kits: JobKits, asks: Asks, rates: Rates, places: int) -> JobKits:
    """What the rates of the items hold beyond all kits, as jobs of a single size."""
    import numpy as np

    count = len(rates.shape)
    lengths = np.diff(kits.start)
    each = np.repeat(kits.shape * kits.scale, lengths) * kits.quantity
    taken = np.bincount(kits.item, each, minlength=count)
    if (taken > rates.mean).any():
        # Kits take no more of a size than is asked for: few jobs say less than all sizes together.
        share = np.minimum(1.0, rates.mean / np.maximum(taken, 1e-300))[kits.item]
        least = np.minimum.reduceat(share, kits.start[:-1])
        kits = replace(kits, scale=kits.scale * least)
        taken = np.bincount(kits.item, each * np.repeat(least, lengths), minlength=count)
    left = rates.mean - taken
    item = np.flatnonzero(left > np.maximum(_NOTHING, 1e-9 * rates.mean))
    number = np.bincount(asks.item, minlength=count)[item]
    pieces = np.bincount(asks.item, asks.pieces, minlength=count)[item]
    quantity = np.maximum(1, np.rint(pieces / np.maximum(number, 1))).astype(np.int64)
    jobs = left[item] / quantity
    shape = rates.shape[item]
    return JobKits(
        branch=np.concatenate([kits.branch, item % places]),
        shape=np.concatenate([kits.shape, shape]),
        scale=np.concatenate([kits.scale, jobs / shape]),
        start=np.concatenate([kits.start, kits.start[-1] + 1 + np.arange(len(item))]),
        item=np.concatenate([kits.item, item]),
        quantity=np.concatenate([kits.quantity, quantity]),
        jobs=np.concatenate([kits.jobs, np.zeros(len(item))]),
        fleet=np.concatenate([kits.fleet, np.zeros(len(item))]),
        new_job_share=kits.new_job_share,
    )
