"""What a branch without a year of history takes from the others: their rates and their kits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from fitcheck.records import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# From so many years on a branch speaks for itself, and for others.
ENOUGH_YEARS = 1.0
# That a branch is as busy as the others weighs as much as so many asks of its own.
BORROWED_ASKS = 5.0

Needs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Lent:
    """What short branches take from the others.

    ``branch`` are these branches, ``mean`` (parts,) what the others ask for in a year on average,
    and ``factor`` how busy each of these branches is over that, as far as it is known. ``apart``
    (N,) is, for each branch that lends, what the others that lend ask for, 0 elsewhere.
    """

    branch: Ints
    mean: Floats
    factor: Floats
    apart: Floats

    def __bool__(self) -> bool:
        """Whether anything is lent."""
        return len(self.branch) > 0

    def words(self, item: int, places: int) -> str:
        """What an item takes from the other branches; empty where it takes nothing.

        Parameters
        ----------
        item : int
            The item.
        places : int
            How many branches there are.
        """
        part, place = divmod(item, places)
        for branch, factor in zip(self.branch.tolist(), self.factor.tolist(), strict=True):
            if branch == place:
                rate = float(self.mean[part])
                shown = f"{rate:.1f}" if rate >= 1 else f"{rate:.2g}"
                return (
                    f"the other branches ask for {shown} a year on average, and this one is "
                    f"{factor:.2f} times as busy"
                )
        return ""


def lent_by_others(mean: Floats, *, asks: Floats, years: Floats, watched: Floats) -> Lent:
    """What branches with less than a year of history may take from those with more.

    Parameters
    ----------
    mean : array of float, (N,)
        The rates as each branch by itself gives them [pieces/year].
    asks, years : array of float, (N,)
        The history that counts, over its spread.
    watched : array of float, (branches,)
        Years that each branch was watched.
    """
    import numpy as np

    places = len(watched)
    lends = watched >= ENOUGH_YEARS
    none = np.zeros(0, dtype=np.int64)
    if not lends.any() or lends.all():
        nothing = np.zeros(len(mean))
        return Lent(none, nothing[::places], np.zeros(0), nothing)
    short = np.flatnonzero(~lends)
    table, lending = mean.reshape(-1, places), np.where(lends, watched, 0.0)
    total = table @ lending
    other = total / lending.sum()
    rest = lending.sum() - lending
    apart = (total[:, None] - table * lending) / np.where(rest > 0, rest, np.inf)
    apart = np.where(lends, np.maximum(apart, 0.0), 0.0)
    seen = asks.reshape(-1, places)[:, short].sum(0)
    expected = other @ years.reshape(-1, places)[:, short]
    factor = (seen + BORROWED_ASKS) / (expected + BORROWED_ASKS)
    return Lent(short, other, factor, apart.ravel())


def lent_kits(
    kits: Iterable[tuple[Needs, float]],
    lent: Lent,
    *,
    watched: Floats,
    fleet: Iterable[int],
) -> Mapping[Needs, float]:
    """Kits of the branches that lend, at those that borrow, with their jobs a year.

    Parameters
    ----------
    kits : iterable of (needs, float)
        Kits as pairs of item and pieces, and how many jobs took each.
    lent : Lent
        What is lent.
    watched : array of float, (branches,)
        Years that each branch was watched.
    fleet : iterable of int
        The items that the fleet knows; what it foretells for a branch is not borrowed as well.
    """
    places, known = len(watched), set(fleet)
    to = list(zip(lent.branch.tolist(), lent.factor.tolist(), strict=True))
    borrows = {branch for branch, _ in to}
    years = float(watched.sum() - watched[lent.branch].sum())
    found: dict[Needs, float] = {}
    for needs, jobs in kits:
        if not jobs or needs[0][0] % places in borrows:
            continue
        for branch, factor in to:
            here = tuple((item - item % places + branch, pieces) for item, pieces in needs)
            if not any(item in known for item, _ in here):
                found[here] = found.get(here, 0.0) + jobs * factor / years
    return found
