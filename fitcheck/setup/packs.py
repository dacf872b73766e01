"""The pack from what is on the shelf: fewest shims inside the target, then nearest its middle.

Thicknesses are counted on a grid of a tenth of a micrometre, reduced to the largest step that all
of them share. A set of reachable sums is one long integer whose bits are the sums, so that adding
a shim to every pack at once is a shift; one such integer for each number of shims finds the
fewest. Equal shims go in by doubling (1, 2, 4, ...), so thousands of them cost a few shifts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.records import dataclass

# Steps of the grid in a millimetre: finer than any shim is measured, and 0.0005 in fits it whole.
_GRID_PER_MM = 10_000
# What binary fractions may add to the end of a window, in steps of the grid.
_DUST = 1e-6
MAX_PACK_MM = 100.0


@dataclass(frozen=True, slots=True)
class Shim:
    """Equal shims: their thickness, how many, and the label where that is not the thickness.

    ``measured`` tells whether the thickness was measured or is the label's.
    """

    thickness_mm: float
    count: int
    measured: bool = False
    label_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Pack:
    """Shims that make a pack, the thickest first.

    ``inside`` tells whether the pack lies in the window that was asked for; where none does, this
    is the nearest one.
    """

    picks: tuple[Shim, ...]
    total_mm: float
    inside: bool

    @property
    def count(self) -> int:
        """How many shims the pack has."""
        return sum(shim.count for shim in self.picks)


@dataclass(frozen=True, slots=True)
class _Chunk:
    """Some equal shims that are taken together or not at all, in steps of the reduced grid."""

    step: int
    count: int

    @property
    def size(self) -> int:
        return self.step * self.count


def best_pack(*, shelf: Sequence[Shim], low_mm: float, high_mm: float) -> Pack:
    """The best pack from a shelf for a window of thickness.

    Parameters
    ----------
    shelf : sequence of Shim
        The shims there are.
    low_mm, high_mm : float
        The ends of the window, both inside it [mm].

    Returns
    -------
    Pack
        The fewest shims inside the window, and of those the pack nearest its middle, the thinner
        of two that are equally near. Where no pack lies inside: the pack nearest the window, of
        the fewest shims; ``inside`` is false then.

    Raises
    ------
    InputError
        The window is upside down, negative or wider than any pack, or a shim has no thickness.

    Notes
    -----
    Of equally thick shims the measured ones are taken first.

    Examples
    --------
    >>> shelf = (Shim(0.10, 4), Shim(0.20, 4), Shim(0.50, 1))
    >>> pack = best_pack(shelf=shelf, low_mm=0.58, high_mm=0.72)
    >>> [(shim.thickness_mm, shim.count) for shim in pack.picks], pack.total_mm
    ([(0.5, 1), (0.1, 1)], 0.6)
    """
    _check(shelf, low_mm, high_mm)
    counts: dict[int, int] = {}
    for shim in shelf:
        if shim.count:
            grid = round(shim.thickness_mm * _GRID_PER_MM)
            counts[grid] = counts.get(grid, 0) + shim.count
    unit = math.gcd(*counts) if counts else 1
    steps = {grid // unit: count for grid, count in counts.items()}
    scale = _GRID_PER_MM / unit
    low = max(0, math.ceil(low_mm * scale - _DUST))
    high = math.floor(high_mm * scale + _DUST)
    # Rounded, so that binary dust cannot part two packs that are equally near.
    middle = round((low_mm + high_mm) / 2.0 * scale, 6)
    taken, inside = _best(steps, low=low, high=high, middle=middle)
    total = sum(step * count for step, count in taken.items()) * unit / _GRID_PER_MM
    grids = {step * unit: count for step, count in taken.items()}
    return Pack(picks=_named(grids, shelf), total_mm=round(total, 4), inside=inside)


def shims_to_buy(
    *, shelf: Sequence[Shim], sizes_mm: Sequence[float], low_mm: float, high_mm: float, most: int
) -> tuple[tuple[Shim, ...], float]:
    """The fewest shims to buy so that they and a shelf make a pack for a window.

    Parameters
    ----------
    shelf : sequence of Shim
        The shims there are.
    sizes_mm : sequence of float
        Thicknesses that can be bought, as many of each as wanted [mm].
    low_mm, high_mm : float
        The ends of the window, both inside it [mm].
    most : int
        No more than this many are bought.

    Returns
    -------
    tuple
        What is bought, the thickest first, and the thickness of the pack it makes [mm]: of those
        that take as few bought shims, the one nearest the middle. Nothing and 0 where no such
        pack lies inside.

    Raises
    ------
    InputError
        As :func:`best_pack`.

    Examples
    --------
    >>> shims_to_buy(shelf=[Shim(0.20, 2)], sizes_mm=(0.05, 0.10), low_mm=0.42, high_mm=0.47,
    ...              most=4)
    ((Shim(thickness_mm=0.05, count=1, measured=False, label_mm=None),), 0.45)
    """
    bought = [Shim(size, 1) for size in sizes_mm]
    _check([*shelf, *bought], low_mm, high_mm)
    grids = [round(shim.thickness_mm * _GRID_PER_MM) for shim in (*shelf, *bought) if shim.count]
    unit = math.gcd(*grids) if grids else 1
    scale = _GRID_PER_MM / unit
    low = max(0, math.ceil(low_mm * scale - _DUST))
    high = math.floor(high_mm * scale + _DUST)
    steps: dict[int, int] = {}
    for shim in shelf:
        step = round(shim.thickness_mm * _GRID_PER_MM) // unit
        steps[step] = steps.get(step, 0) + shim.count
    sizes = {round(size * _GRID_PER_MM) // unit: size for size in sorted(sizes_mm, reverse=True)}
    mask = (1 << (high + 1)) - 1 if high >= 0 else 0
    # Sums of the shelf and none, one, two ... bought shims.
    layers = [_reachable(steps, limit=high)]
    while len(layers) <= most and layers[-1]:
        sums = 0
        for step in sizes:
            sums |= (layers[-1] << step) & mask
        window = _bits(sums, low, high)
        if window:
            middle = round((low_mm + high_mm) / 2.0 * scale, 6)
            total = low + _nearest_bit(window, middle - low)
            return _bought(layers, sizes, total), round(total * unit / _GRID_PER_MM, 4)
        layers.append(sums)
    return (), 0.0


def _bought(layers: list[int], sizes: dict[int, float], total: int) -> tuple[Shim, ...]:
    """Which sizes were bought for a sum, from the last layer back; the thickest that will do."""
    counts: dict[int, int] = {}
    for sums in reversed(layers):
        step = next(s for s in sizes if s <= total and sums >> (total - s) & 1)
        counts[step] = counts.get(step, 0) + 1
        total -= step
    return tuple(Shim(sizes[step], counts[step]) for step in sorted(counts, reverse=True))


def _check(shelf: Sequence[Shim], low_mm: float, high_mm: float) -> None:
    if not (0.0 <= high_mm <= MAX_PACK_MM and low_mm <= high_mm):
        raise InputError(
            value=f"{low_mm:g} to {high_mm:g} mm",
            rule=f"a pack has a range from low to high, from 0 to {MAX_PACK_MM:g} mm",
            todo="Check the target and the readings",
        )
    for shim in shelf:
        if round(shim.thickness_mm * _GRID_PER_MM) < 1 or shim.count < 0:
            raise InputError(
                value=f"{shim.count} shims of {shim.thickness_mm:g} mm",
                rule="a shim has a thickness, and no fewer than none are on the shelf",
                todo="Measure the shim and count again",
            )


def _best(
    steps: dict[int, int], *, low: int, high: int, middle: float
) -> tuple[dict[int, int], bool]:
    """How many of each step make the best pack, and whether it lies in the window."""
    thickest = max(steps, default=0)
    sums = _reachable(steps, limit=high + thickest)
    window = _bits(sums, low, high)
    if window:
        return _fewest(steps, low=low, high=high, middle=middle), True
    below = (sums & ((1 << (high + 1)) - 1)).bit_length() - 1
    above_bits = sums >> (high + 1)
    nearest = below
    if above_bits:
        above = high + (above_bits & -above_bits).bit_length()
        nearest = above if above - middle < middle - below else below
    return _fewest(steps, low=nearest, high=nearest, middle=nearest), False


def _bits(sums: int, low: int, high: int) -> int:
    """The sums from low to high, shifted down to start at low."""
    return (sums >> low) & ((1 << (high - low + 1)) - 1) if low <= high else 0


def _chunks(steps: dict[int, int], limit: int) -> list[_Chunk]:
    """Equal shims doubled up (1, 2, 4, ..., rest), the thickest first."""
    found = []
    for step in sorted(steps, reverse=True):
        left = min(steps[step], limit // step)
        size = 1
        while left > 0:
            found.append(_Chunk(step, min(size, left)))
            left -= size
            size *= 2
    return found


def _reachable(steps: dict[int, int], *, limit: int) -> int:
    """All sums of shims up to a limit, as bits."""
    mask = (1 << (limit + 1)) - 1
    sums = 1
    for chunk in _chunks(steps, limit):
        sums |= (sums << chunk.size) & mask
    return sums


def _fewest(steps: dict[int, int], *, low: int, high: int, middle: float) -> dict[int, int]:
    """The fewest shims whose sum lies in the window, which holds at least one reachable sum."""
    if low <= 0:
        return {}
    chunks = _chunks(steps, high)
    most = sum(chunk.count for chunk in chunks)
    least = _at_least({s: c for s, c in steps.items() if s <= high}, low)
    # No pack can be better than this: as few shims as the thickness allows, and mid-window.
    ideal = (least, _nearest_bit((1 << (high - low + 1)) - 1, middle - low) + low)
    extra = 1
    layers = min(least + extra, most)
    while True:
        snapshots = _layered(chunks, layers=layers, limit=high, ideal=ideal)
        for count, sums in enumerate(snapshots[-1][1]):
            found = _bits(sums, low, high)
            if found:
                wanted = low + _nearest_bit(found, middle - low)
                return _walk_back(chunks, snapshots, count=count, total=wanted, limit=high)
        extra *= 2
        layers = min(least + extra, most)


def _at_least(steps: dict[int, int], low: int) -> int:
    """No fewer shims than this reach the window: the thickest there are."""
    count, total = 0, 0
    for step in sorted(steps, reverse=True):
        needed = min(steps[step], -(-(low - total) // step))
        count += needed
        total += needed * step
        if total >= low:
            break
    return count


def _nearest_bit(bits: int, middle: float) -> int:
    """The set bit nearest a place, the lower of two equally near."""
    split = math.floor(middle) + 1
    lower = (bits & ((1 << split) - 1)).bit_length() - 1 if split > 0 else -1
    upper_bits = bits >> max(split, 0)
    if not upper_bits:
        return lower
    upper = max(split, 0) + (upper_bits & -upper_bits).bit_length() - 1
    if lower < 0:
        return upper
    return lower if middle - lower <= upper - middle else upper


_Layers = list[int]


def _add(layers: _Layers, chunk: _Chunk, mask: int) -> None:
    """Let every pack take the chunk too, the fullest layer first so that it is taken once."""
    for count in range(len(layers) - 1, chunk.count - 1, -1):
        before = layers[count - chunk.count]
        if before:
            layers[count] |= (before << chunk.size) & mask


def _layered(
    chunks: list[_Chunk], *, layers: int, limit: int, ideal: tuple[int, int]
) -> list[tuple[int, _Layers]]:
    """The sums by number of shims, kept after every so many chunks, and at the end.

    The end is the last chunk, or where the ideal pack is reached.
    """
    mask = (1 << (limit + 1)) - 1
    state = [1] + [0] * layers
    every = max(1, math.isqrt(len(chunks)))
    snapshots = [(0, list(state))]
    for number, chunk in enumerate(chunks, 1):
        _add(state, chunk, mask)
        if number % every == 0 or number == len(chunks):
            snapshots.append((number, list(state)))
            if state[ideal[0]] >> ideal[1] & 1:
                break
    return snapshots


def _walk_back(
    chunks: list[_Chunk],
    snapshots: list[tuple[int, _Layers]],
    *,
    count: int,
    total: int,
    limit: int,
) -> dict[int, int]:
    """Which chunks make a sum of so many shims: from the end, block by block."""
    mask = (1 << (limit + 1)) - 1
    taken: dict[int, int] = {}
    for (start, state), (end, _) in zip(snapshots[-2::-1], snapshots[:0:-1], strict=True):
        if not count:
            break
        befores = []
        running = list(state)
        for chunk in chunks[start:end]:
            befores.append(list(running))
            _add(running, chunk, mask)
        for chunk, before in zip(reversed(chunks[start:end]), reversed(befores), strict=True):
            if not before[count] >> total & 1:
                taken[chunk.step] = taken.get(chunk.step, 0) + chunk.count
                count -= chunk.count
                total -= chunk.size
    return taken


def _named(grids: dict[int, int], shelf: Sequence[Shim]) -> tuple[Shim, ...]:
    """The shims taken, by the names they have on the shelf; measured ones first."""
    picks: list[Shim] = []
    for grid in sorted(grids, reverse=True):
        left = grids[grid]
        same = [s for s in shelf if s.count and round(s.thickness_mm * _GRID_PER_MM) == grid]
        for shim in sorted(same, key=lambda s: not s.measured):
            taken = min(left, shim.count)
            if taken:
                picks.append(
                    Shim(
                        thickness_mm=shim.thickness_mm,
                        count=taken,
                        measured=shim.measured,
                        label_mm=shim.label_mm,
                    )
                )
                left -= taken
    return _merged(picks)


def _merged(picks: list[Shim]) -> tuple[Shim, ...]:
    """Equal picks as one."""
    found: dict[tuple[float, bool, float | None], int] = {}
    for shim in picks:
        key = (shim.thickness_mm, shim.measured, shim.label_mm)
        found[key] = found.get(key, 0) + shim.count
    return tuple(
        Shim(thickness_mm=t, count=n, measured=m, label_mm=label)
        for (t, m, label), n in found.items()
    )
