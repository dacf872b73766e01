"""The distinct sizes of the lists, indexed so that a wanted size finds its neighbours at once.

A list of a million lines holds a few thousand distinct sizes. Wanted sizes meet these by bisected
windows over sorted whole micrometres, first the shaft, then the bores of each shaft: nothing is
packed into one number, so nothing can overflow, and lines are never looked at.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator

from fitcheck.lists.compare import NEAR, search_limit_um
from fitcheck.lists.grades import Grading, designation_pieces, size_grading
from fitcheck.lists.items import BEARING, OTHER, SizeKey
from fitcheck.lists.named_parts import part_pieces

# No seat's limits reach farther from the nominal than this: h11 of the largest shaft ends at
# 0.40 mm, the inch limits at 0.25 mm.
FIT_REACH_UM = 500

Match = tuple[SizeKey, Grading]


class _Kind:
    """The sizes of one kind: by shaft, then by bore."""

    __slots__ = ("_by_shaft", "_shafts")

    def __init__(self, sizes: Iterable[SizeKey]) -> None:
        # A bore that is not given sorts before every bore and is always looked at.
        by_shaft: dict[int, list[tuple[int, SizeKey]]] = {}
        for size in sizes:
            if size.shaft_um is not None:
                bore = -1 if size.bore_um is None else size.bore_um
                by_shaft.setdefault(size.shaft_um, []).append((bore, size))
        self._shafts = sorted(by_shaft)
        self._by_shaft: dict[int, tuple[list[int], list[SizeKey]]] = {}
        for shaft, found in by_shaft.items():
            found.sort(key=lambda pair: pair[0])
            self._by_shaft[shaft] = ([bore for bore, _ in found], [size for _, size in found])

    def window(self, shaft_um: int, bore_um: int | None, reach_um: int) -> Iterator[SizeKey]:
        """The sizes whose shaft and bore lie within a reach; every bore where none is given."""
        first = bisect_left(self._shafts, shaft_um - reach_um)
        last = bisect_right(self._shafts, shaft_um + reach_um)
        for shaft in self._shafts[first:last]:
            bores, sizes = self._by_shaft[shaft]
            if bore_um is None:
                yield from sizes
                continue
            low = bisect_left(bores, bore_um - reach_um)
            yield from sizes[low : bisect_right(bores, bore_um + reach_um, low)]
            if bores[0] < 0 and low:
                yield from sizes[: min(low, bisect_left(bores, 0))]


def _pieces(size: SizeKey) -> frozenset[str]:
    """What sizes that can take each other's place share of their designations."""
    assert size.designation is not None
    if size.kind == OTHER:
        return part_pieces(size.designation)
    found = designation_pieces(size.designation)
    # A name without a kind may be that of either.
    return found if size.kind is not None else found | part_pieces(size.designation)


class SizeIndex:
    """The distinct sizes of one or more lists.

    Parameters
    ----------
    sizes : iterable of SizeKey
        Repeats do no harm.
    """

    def __init__(self, sizes: Iterable[SizeKey]) -> None:
        self.sizes = tuple(dict.fromkeys(sizes))
        by_kind: dict[str | None, list[SizeKey]] = {}
        self._by_number: dict[str, list[SizeKey]] = {}
        for size in self.sizes:
            by_kind.setdefault(size.kind, []).append(size)
            if size.designation:
                for piece in _pieces(size):
                    self._by_number.setdefault(piece, []).append(size)
        self._kinds = {kind: _Kind(found) for kind, found in by_kind.items()}

    def matches(
        self, want: SizeKey, *, pocket_um: int | None = None, near: int = 10
    ) -> tuple[Match, ...]:
        """The sizes that fit, or else the nearest that do not.

        Parameters
        ----------
        want : SizeKey
            What is wanted.
        pocket_um : int or None
            Depth of the pocket, where it is known [um].
        near : int
            Near misses to give at most, where nothing fits.

        Returns
        -------
        tuple of (SizeKey, Grading)
            Best grade first; near misses by how far off they are.
        """
        fits: list[Match] = []
        for size in self.candidates(want, FIT_REACH_UM):
            found = size_grading(want, size, pocket_um)
            if found.level < NEAR:
                fits.append((size, found))
        if fits:
            return tuple(sorted(fits, key=match_order))
        reach = search_limit_um("diameter_near")
        misses: list[Match] = []
        for size in self.candidates(want, reach):
            found = size_grading(want, size, pocket_um)
            if found.level == NEAR:
                misses.append((size, found))
        return tuple(sorted(misses, key=match_order)[:near])

    def candidates(self, want: SizeKey, reach_um: int) -> Iterable[SizeKey]:
        """The sizes of the kind wanted whose shaft and bore lie within a reach, and those that
        share a number of the designation; every size that can fit is among them.

        Parameters
        ----------
        want : SizeKey
            What is wanted.
        reach_um : int
            How far the shaft and the bore may be off [um].
        """
        found: dict[SizeKey, None] = {}
        if want.designation and want.kind in (BEARING, OTHER, None):
            for piece in _pieces(want):
                found.update(dict.fromkeys(self._by_number.get(piece, ())))
        if want.shaft_um is not None:
            for kind, sizes in self._kinds.items():
                if kind == want.kind or kind is None or want.kind is None:
                    found.update(dict.fromkeys(sizes.window(want.shaft_um, want.bore_um, reach_um)))
        return found


def match_order(match: Match) -> tuple[int, int, tuple[tuple[bool, str | int | None], ...]]:
    """Where a match stands among others: by level, near misses by how far off, then by size."""
    size, found = match
    off = found.off_um if found.level == NEAR else 0
    return found.level, off, tuple((part is not None, part) for part in size)
