"""The join of wanted sizes and lines, measured beside a general engine, on invented lists.

Each wanted size with the ten cheapest lines whose shaft and bore lie within 0.5 mm and whose width
lies within 0.3 mm; both engines must give the same lines.
"""

from __future__ import annotations

import gc
import random
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from heapq import merge
from typing import Any

from bench_duckdb import REACH_UM, TOP, WIDTH_UM, Duck, Triple

from fitcheck.lists.items import INCH, METRIC, SizeKey
from fitcheck.lists.join import SizeIndex
from fitcheck.lists.lines import BLOCK_LINES, FIELD_NAMES, UM_PER_MM, Block
from fitcheck.lists.pool import Classes, joined_classes
from fitcheck.lists.source import BlockSource
from fitcheck.parts.seal import seal_sizes


@dataclass(frozen=True)
class Lists:
    """Invented lines as columns, and wanted sizes."""

    shaft: list[int]
    bore: list[int]
    width: list[int]
    price: list[str]
    made: list[tuple[str | None, ...]]
    wanted: list[Triple]


def invented(*, lines: int, wanted: int, noise_um: int = 0, seed: int = 1) -> Lists:
    """A list over the standard sizes and their neighbours, and sizes wanted from it.

    Parameters
    ----------
    lines, wanted : int
        How many.
    noise_um : int
        How far wanted shafts and bores are off, at most [um].
    seed : int
        Of the random numbers.
    """
    rng = random.Random(seed)
    standard = [
        (round(a[0] * UM_PER_MM), round(b[0] * UM_PER_MM), round(c[0] * UM_PER_MM))
        for a, b, c in (size.nominals[:3] for size in seal_sizes())
        if a is not None and b is not None and c is not None
    ]
    sizes = list(standard)
    for shaft, bore, width in standard:
        sizes += [(shaft, bore, width + step) for step in (1000, 2000, 3000)]
    drawn = [rng.choice(sizes) for _ in range(lines)]

    def off() -> int:
        return rng.randint(-noise_um, noise_um)

    asked = [rng.choice(standard) for _ in range(wanted)]
    return Lists(
        shaft=[size[0] for size in drawn],
        bore=[size[1] for size in drawn],
        width=[size[2] for size in drawn],
        price=[f"{rng.randrange(100, 9999) / 100:.2f}" for _ in drawn],
        made=[
            (
                rng.choice((None, "single", "double")),
                rng.choice((None, "metal", "rubber")),
                rng.choice((None, "NBR", "FKM")),
            )
            for _ in drawn
        ],
        wanted=[(a + off(), b + off(), c) for a, b, c in asked],
    )


def blocks(lists: Lists) -> list[Block]:
    """The lines as the program holds them: sizes and prices, no words."""
    found = []
    for first in range(0, len(lists.shaft), BLOCK_LINES):
        at = slice(first, first + BLOCK_LINES)
        shaft = lists.shaft[at]
        count = len(shaft)
        columns: dict[str, list[Any]] = {name: [None] * count for name in FIELD_NAMES}
        columns |= {
            "line": list(range(first + 2, first + 2 + count)),
            "part_number": [f"{n:07d}" for n in range(first, first + count)],
            "kind": ["seal"] * count,
            "shaft_um": shaft,
            "bore_um": lists.bore[at],
            "width_um": lists.width[at],
            "system": [METRIC if not s % 50 else INCH for s in shaft],
            "price": lists.price[at],
            "currency": ["EUR"] * count,
        }
        found.append(Block(columns))
    return found


@dataclass
class Measured:
    """Times of one thing done by one engine [s], and what it gave."""

    what: str
    engine: str
    seconds: list[float] = field(default_factory=list)
    answer: Any = None

    mib: list[float] = field(default_factory=list)

    @property
    def median(self) -> float:
        """The middle of the times."""
        return statistics.median(self.seconds)

    def as_json(self) -> dict[str, Any]:
        """The figures without the answers."""
        return {
            "what": self.what,
            "engine": self.engine,
            "median_s": round(self.median, 4),
            "least_s": round(min(self.seconds), 4),
            "most_s": round(max(self.seconds), 4),
            "runs": len(self.seconds),
            "peak_mib": round(max(self.mib)) if self.mib else None,
        }


def timed(what: str, engine: str, work: Callable[[], Any], runs: int) -> Measured:
    """Run something several times."""
    found = Measured(what, engine)
    for _ in range(runs):
        gc.collect()
        start = time.perf_counter()
        found.answer = work()
        found.seconds.append(time.perf_counter() - start)
    return found


# --- the join -------------------------------------------------------------------------------------


def own_join(
    index: SizeIndex, best: Callable[[SizeKey], Sequence[Any]], wanted: Sequence[Triple]
) -> list[tuple[int, ...]]:
    """The lines for each wanted size: sizes meet sizes, equal wants are answered once."""
    known: dict[Triple, tuple[int, ...]] = {}
    found = []
    for triple in wanted:
        lines = known.get(triple)
        if lines is None:
            shaft, bore, width = triple
            near = [
                best(size)
                for size in index.candidates(SizeKey("seal", shaft, bore, width), REACH_UM)
                if size.width_um is not None and abs(size.width_um - width) <= WIDTH_UM
            ]
            first = []
            for kept in merge(*near):
                first.append(kept[2])
                if len(first) == TOP:
                    break
            lines = known[triple] = tuple(first)
        found.append(lines)
    return found


def own_classes(held: list[Block]) -> tuple[SizeIndex, dict[SizeKey, Classes]]:
    """The distinct sizes and the best lines of each: what stands ready before a question."""
    source = BlockSource({"list": lambda: held})
    index = SizeIndex(source.sizes())
    best = source.best(index.sizes, sort="price", top=TOP)
    return index, joined_classes(best, TOP)


def same_lines(own: list[tuple[int, ...]], other: dict[str, Any]) -> bool:
    """Whether two engines gave the same lines for every wanted size."""
    mine = {(number, line) for number, lines in enumerate(own) for line in lines}
    theirs = set(zip(other["id"].tolist(), other["line"].tolist(), strict=True))
    return mine == theirs


class Joined:
    """The classes of a list by both engines, ready for wanted sizes.

    Parameters
    ----------
    lists : Lists
        The list and the wanted sizes.
    runs : int
        How often getting ready is measured.
    """

    def __init__(self, lists: Lists, runs: int) -> None:
        self._lists = lists
        held = blocks(lists)
        what = f"classes of {len(lists.shaft):,} lines, in memory"
        self.built = timed(what, "fitcheck", lambda: own_classes(held), runs)
        self._index, self._classes = self.built.answer

    def _best(self, size: SizeKey) -> Sequence[Any]:
        kept: list[Any] = next(iter(self._classes.get(size, {}).values()), [])
        return kept

    def own(self, count: int) -> list[tuple[int, ...]]:
        """The lines for each of so many wanted sizes."""
        return own_join(self._index, self._best, self._lists.wanted[:count])

    def measure(self, count: int, runs: int, other_runs: int, form: str) -> Iterator[Measured]:
        """The join of so many wanted sizes by both; the answers must be equal."""
        lists = self._lists
        wanted = lists.wanted[:count]
        what = f"join {count:,} x {len(lists.shaft):,}"
        own = timed(what, "fitcheck", lambda: own_join(self._index, self._best, wanted), runs)
        yield own
        duck = Duck((lists.shaft, lists.bore, lists.width, lists.price), wanted)
        other = timed(what, f"duckdb, {form}", partial(duck.join, form), other_runs)
        if not same_lines(own.answer, other.answer):
            raise SystemExit(f"{what}, {form}: the engines do not agree")
        other.answer = own.answer = None
        yield other
