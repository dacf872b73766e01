"""What the buyer has to know before trusting a figure: what was assumed on the way to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.stock.asks import Asks, silent_stretches
from fitcheck.stock.job_kits import JobKits
from fitcheck.stock.rates import Rates

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Where fewer of the jobs seen than this share are planned for, that is told.
_MOST_PLANNED = 0.7
# Of a history shorter than this the buyer is told [years].
SHORT_HISTORY = 0.5


def assumptions_of(
    branches: Sequence[str],
    rates: Rates,
    kits: JobKits,
    *,
    fleet: bool,
    watched: Floats,
    asks: Asks,
) -> list[str]:
    """What was assumed, each a sentence.

    Parameters
    ----------
    branches : sequence of str
        Every branch.
    rates : Rates
        The rates.
    kits : JobKits
        The kits.
    fleet : bool
        Whether a fleet is known.
    watched : array of float, (branches,)
        Years that each branch was watched.
    asks : Asks
        What was asked for.
    """
    found = [*rates.notes]
    import numpy as np

    borrows = set(rates.lent.branch.tolist())
    for place, (branch, years) in enumerate(zip(branches, watched.tolist(), strict=True)):
        foretold = "what the fleet foretells or " * fleet
        others = (
            f"{foretold}what the other branches ask for on average, kits too"
            if place in borrows
            else f"{foretold}what sizes like it do"
        )
        if years <= 0.0:
            found.append(f"{branch}: no history; a rate there is {others}")
        elif place in borrows or years < SHORT_HISTORY:
            months = max(1, round(years * 12))
            found.append(
                f"{branch}: only {months} month{'s' * (months != 1)} of history; a rate there "
                f"starts from {others}"
            )
    found += silent_stretches(asks, branches)
    left_out = float(rates.left_out.sum())
    if rates.blind_years.sum() > 0:
        found.append(
            f"shelves were empty for {rates.blind_years.sum():.1f} size-years in all: that time "
            f"and {left_out:g} pieces asked for in it are left out of the rates"
        )
    if fleet and not watched.any():
        found.append("no history yet: the fleet file's figures are taken as they stand")
    elif fleet:
        found.append(
            f"what the fleet file foretells has come true {rates.fleet_factor:.2f} times over; "
            "its figures are taken at that"
        )
    if kits.new_job_share > 0:
        found.append(
            f"about {kits.new_job_share:.0%} of the jobs to come take a kit that was never seen; "
            "they are planned for by single sizes"
        )
    jobs = np.bincount(kits.branch, kits.jobs, minlength=len(watched))
    seen = float((jobs / np.maximum(watched, 1e-9))[watched > 0].sum())
    planned = float((kits.shape * kits.scale).sum())
    number = float(kits.jobs.sum())
    if planned < _MOST_PLANNED * seen:
        found.append(
            f"history has {number:.0f} job{'s' * (number != 1)}, at a pace of {seen:.0f} a year, "
            f"and {planned:.0f} a year {'is' if round(planned) == 1 else 'are'} planned for: after "
            "so little history most of the others are expected to take sizes that nobody has asked "
            "for yet"
        )
    return found


def uncounted(items: Ints, counted: NDArray[np.bool_]) -> tuple[str, ...]:
    """How many sizes that a branch has to do with were not counted there.

    Parameters
    ----------
    items : array of int
        The items that a branch has to do with.
    counted : array of bool, (N,)
        Whether each item was counted.
    """
    missing = int((~counted[items]).sum())
    if not missing:
        return ()
    return (
        f"the shelf was not counted for {missing} of {len(items)} sizes at their branches: none is "
        "taken to lie there",
    )
