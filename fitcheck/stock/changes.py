"""The changes of a list that are worth a try, laid flat with the kits that each of them touches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.records import dataclass
from fitcheck.stock.problem import Problem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Work is bounded: so many entries of changes.
_MOST_ENTRIES = 400_000
# More pieces than any list has: down by so many is down to nothing.
_ALL = 1 << 20
# Kits of no more sizes have their pairs tried too.
_SMALL_KIT = 6


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """Changes of levels: pieces more, or fewer, of one item or of several.

    `start` parts `item` and `pieces` by change. Of each change and each kit that it touches, `kit`
    names the kit; the uses of those kits follow each other in `use`, with the pieces that the
    change adds to the use's item in `use_pieces`.
    """

    start: Ints
    item: Ints
    pieces: Ints
    pair_change: Ints
    kit: Ints
    slot_start: Ints
    pair_start: Ints
    use: Ints
    use_pieces: Ints

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.start) - 1


def changed(problem: Problem, item: Ints, level: Ints, pieces: Ints) -> Ints:
    """Levels after so many pieces more, kept to what is allowed.

    Parameters
    ----------
    problem : Problem
        The problem.
    item : array of int
        Items.
    level, pieces : array of int
        Their levels, and the pieces to add.
    """
    import numpy as np

    least, first = problem.least[item], problem.first[item]
    low = np.where(least > 0, np.maximum(least, first), 0)
    after = np.clip(level + pieces, low, np.maximum(problem.most[item], low))
    # Between steps there is no level either.
    step = problem.step[item]
    beyond = (after - first) % step
    if beyond.any():
        on_step = after - beyond + np.where(pieces > 0, step, 0)
        on_step = np.where(on_step > problem.most[item], on_step - step, on_step)
        after = np.where((after > first) & (beyond > 0), on_step, after)
    # Between nothing and the first pack there is no level: up goes to the pack, down to nothing.
    between = (after > 0) & (after < first)
    result: Ints = np.where(between, np.where(pieces > 0, first, low), after)
    return result


def changes_of(problem: Problem) -> Changes:
    """The changes to try: of each item, of each kit as a whole, and of pairs inside small kits.

    Parameters
    ----------
    problem : Problem
        The problem.
    """
    import numpy as np

    kits_of: list[list[int]] = [[] for _ in range(len(problem.price))]
    uses_of: list[Ints] = []
    sets: dict[tuple[tuple[int, int], ...], None] = {}
    for kit in range(len(problem.kit_rate)):
        slots = range(int(problem.kit_start[kit]), int(problem.kit_start[kit + 1]))
        first, last = problem.slot_start[slots.start], problem.slot_start[slots.stop]
        uses_of.append(np.arange(first, last))
        for item in sorted(set(problem.use_item[first:last].tolist())):
            kits_of[item].append(kit)
        own = [
            (int(problem.use_item[use]), int(problem.use_quantity[use]))
            for use in problem.slot_start[slots.start : slots.stop].tolist()
        ]
        for item, quantity in own:
            for pieces in {1, quantity, -1, -quantity, -_ALL}:
                sets[((item, pieces),)] = None
    for uses in ways(problem):
        for kit in range(len(problem.kit_rate)):
            chosen = uses[problem.kit_start[kit] : problem.kit_start[kit + 1]]
            needs = zip(
                problem.use_item[chosen].tolist(),
                problem.use_quantity[chosen].tolist(),
                strict=True,
            )
            _add_kit(sets, sorted(dict(needs).items()))
    return _laid_out(problem, list(sets), kits_of, uses_of)


def _add_kit(sets: dict[tuple[tuple[int, int], ...], None], own: list[tuple[int, int]]) -> None:
    if len(own) < 2:
        return
    sets[tuple(own)] = None
    for pieces in (1, -1, -_ALL):
        sets[tuple((item, pieces) for item, _ in own)] = None
    if len(own) > _SMALL_KIT:
        return
    for i, one in enumerate(own):
        for other in own[i + 1 :]:
            sets[one, other] = None
            sets[(one[0], -1), (other[0], -1)] = None


def ways(problem: Problem) -> list[Ints]:
    """Ways to fill every slot: by the size itself, and by the use that costs least.

    Parameters
    ----------
    problem : Problem
        The problem.
    """
    import numpy as np

    own = problem.slot_start[:-1]
    if not problem.has_substitutes:
        return [own]
    cost = problem.price[problem.use_item] * problem.use_quantity
    slot = np.repeat(np.arange(len(own)), np.diff(problem.slot_start))
    order = np.lexsort((cost, slot))
    return [own, order[problem.slot_start[:-1]]]


def _laid_out(
    problem: Problem,
    sets: list[tuple[tuple[int, int], ...]],
    kits_of: list[list[int]],
    uses_of: list[Ints],
) -> Changes:
    import numpy as np

    start, items, pieces = [0], [], []
    pair_change, kits = [], []
    entries = 0
    for one in sets:
        touched = sorted({kit for item, _ in one for kit in kits_of[item]})
        entries += sum(len(uses_of[kit]) for kit in touched)
        if entries > _MOST_ENTRIES:
            break
        for item, more in one:
            items.append(item)
            pieces.append(more)
        pair_change += [len(start) - 1] * len(touched)
        kits += touched
        start.append(len(items))
    kit = np.array(kits, dtype=np.int64)
    change = np.array(pair_change, dtype=np.int64)
    slots = problem.kit_start[kit + 1] - problem.kit_start[kit] if len(kit) else kit
    pair_start = np.concatenate([[0], np.cumsum(slots)]).astype(np.int64)
    slot = _ranges(problem.kit_start[kit], slots)
    widths = problem.slot_start[slot + 1] - problem.slot_start[slot]
    slot_start = np.concatenate([[0], np.cumsum(widths)]).astype(np.int64)
    use = _ranges(problem.slot_start[slot], widths)
    use_change = np.repeat(np.repeat(change, slots), widths)
    all_items = np.array(items, dtype=np.int64)
    all_pieces = np.array(pieces, dtype=np.int64)
    # The pieces that a change adds to the item of a use: found by the pair's number.
    many = len(problem.price)
    own = np.repeat(np.arange(len(start) - 1), np.diff(start)) * many + all_items
    order = np.argsort(own)
    wanted = use_change * many + problem.use_item[use]
    place = np.minimum(np.searchsorted(own[order], wanted), max(len(own) - 1, 0))
    found = own[order][place] == wanted
    return Changes(
        start=np.array(start, dtype=np.int64),
        item=all_items,
        pieces=all_pieces,
        pair_change=change,
        kit=kit,
        slot_start=slot_start,
        pair_start=pair_start,
        use=use,
        use_pieces=np.where(found, all_pieces[order][place], 0),
    )


def _ranges(first: Ints, count: Ints) -> Ints:
    """first[0], first[0] + 1, ... for count[0] numbers, then those of the next."""
    import numpy as np

    starts = np.concatenate([[0], np.cumsum(count)])
    result: Ints = np.arange(starts[-1]) + np.repeat(first - starts[:-1], count)
    return result
