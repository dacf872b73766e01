"""Crossing measured beside general engines on the same two cores, on invented lists.

Two things are measured. The join: each wanted size with the ten cheapest lines whose shaft and
bore lie within 0.5 mm and whose width lies within 0.3 mm; every engine must give the same lines.
File to file: a CSV of wanted lines in, a CSV of answers out, against a list in a file; the general
engine does the join and no grades, reasons or questions, so it does less than the program.
"""

from __future__ import annotations

import csv
import gc
import random
import resource
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from heapq import merge
from pathlib import Path
from typing import Any

from bench_duckdb import REACH_UM, TOP, WIDTH_UM, Duck, DuckFiles, Triple

from fitcheck.lists.cross import Crossing
from fitcheck.lists.items import INCH, METRIC, SizeKey
from fitcheck.lists.join import SizeIndex
from fitcheck.lists.lines import BLOCK_LINES, FIELD_NAMES, Block
from fitcheck.lists.offers import picked_key
from fitcheck.lists.pool import POOL_FIELDS, Pool
from fitcheck.lists.rows import CsvText
from fitcheck.lists.source import BlockSource
from fitcheck.lists.wanted import wanted_lines
from fitcheck.parts.seal import seal_sizes
from fitcheck.store import open_store
from fitcheck.store.shop import Store
from fitcheck.store.source import StoreSource


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
    keys = [picked_key(size) for size in seal_sizes()]
    standard = [(k.shaft_um or 0, k.bore_um or 0, k.width_um or 0) for k in keys]
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


def blocks(lists: Lists, *, plain: bool) -> list[Block]:
    """The lines as the program holds them; ``plain`` leaves lip, case and material out."""
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
        if not plain:
            for number, name in enumerate(("lip", "case", "material")):
                columns[name] = [made[number] for made in lists.made[at]]
        found.append(Block(columns))
    return found


@dataclass
class Measured:
    """Times of one thing done by one engine [s], and what it gave."""

    what: str
    engine: str
    seconds: list[float] = field(default_factory=list)
    answer: Any = None

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


def own_classes(held: list[Block]) -> tuple[SizeIndex, Pool]:
    """The distinct sizes and the best lines of each: what stands ready before a question."""
    source = BlockSource({"list": lambda: held})
    index = SizeIndex(source.sizes())
    pool = Pool(index.sizes, sort="price", top=TOP)
    for name, block in source.lines_of_sizes(index.sizes, POOL_FIELDS):
        pool.add(name, block)
    # Asking once puts every class in its order.
    pool.of_size(index.sizes[0])
    return index, pool


def same_lines(own: list[tuple[int, ...]], other: dict[str, Any]) -> bool:
    """Whether two engines gave the same lines for every wanted size."""
    mine = {(number, line) for number, lines in enumerate(own) for line in lines}
    theirs = set(zip(other["id"].tolist(), other["line"].tolist(), strict=True))
    return mine == theirs


def joins(lists: Lists, runs: int, what: str, forms: Sequence[str]) -> Iterator[Measured]:
    """The join by the program and by the general engine; the answers must be equal."""
    held = blocks(lists, plain=True)
    built = timed(f"{what}: classes", "fitcheck", lambda: own_classes(held), runs)
    index, pool = built.answer

    def best(size: SizeKey) -> Sequence[Any]:
        kept: list[Any] = next(iter(pool.of_size(size).values()), [])
        return kept

    own = timed(what, "fitcheck", lambda: own_join(index, best, lists.wanted), runs)
    yield built
    yield own
    lines = (lists.shaft, lists.bore, lists.width, lists.price)
    duck = Duck(lines, lists.wanted)
    for form in forms:
        other = timed(what, f"duckdb {duck.version}, {form}", partial(duck.join, form), runs)
        if not same_lines(own.answer, other.answer):
            raise SystemExit(f"{what}, {form}: the engines do not agree")
        yield other


# --- file to file --------------------------------------------------------------------------------


def write_files(lists: Lists, folder: Path) -> tuple[Path, Path]:
    """The wanted lines and the list as CSV files."""
    wanted, listed = folder / "wanted.csv", folder / "list.csv"
    with wanted.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle)
        writer.writerow(("kind", "shaft", "bore", "width"))
        writer.writerows(
            ("seal", f"{a / 1000:g}", f"{b / 1000:g}", f"{c / 1000:g}") for a, b, c in lists.wanted
        )
    with listed.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle)
        writer.writerow(
            (
                "part_number",
                "shaft",
                "bore",
                "width",
                "lip",
                "case",
                "material",
                "price",
                "currency",
            )
        )
        writer.writerows(
            (f"{n:07d}", f"{a / 1000:g}", f"{b / 1000:g}", f"{c / 1000:g}", *made, price, "EUR")
            for n, (a, b, c, made, price) in enumerate(
                zip(lists.shaft, lists.bore, lists.width, lists.made, lists.price, strict=True)
            )
        )
    return wanted, listed


def own_files(wanted: Path, store: Store, out: Path) -> int:
    """Wanted lines to answers with grades and reasons, the list being in the store."""
    gc.disable()
    try:
        with wanted.open(encoding="utf-8") as handle:
            wants = list(wanted_lines(handle))
        text = CsvText()
        with store.moment() as moment:
            found = Crossing(wants, StoreSource(moment), top=TOP)
        with out.open("w", encoding="utf-8", newline="") as target:
            target.write(text.heading())
            target.writelines(map(text.of, found))
    finally:
        gc.enable()
    return out.stat().st_size


def files(
    lists: Lists, folder: Path, runs: int, what: str, forms: Sequence[str]
) -> Iterator[Measured]:
    """File to file by both, the list already read in."""
    wanted, listed = write_files(lists, folder)
    store = open_store(str(folder / "lists.sqlite"), create=True)
    store.replace_list("list", [(block, ()) for block in blocks(lists, plain=False)])
    own = folder / "own.csv"
    yield timed(what, "fitcheck, SQLite store", partial(own_files, wanted, store, own), runs)
    duck = DuckFiles(folder, listed)
    yield timed(f"{what}: reading the list", "duckdb", duck.load, runs)
    out = folder / "other.csv"
    for form in forms:
        yield timed(what, f"duckdb, {form}", partial(duck.cross, wanted, out, form), runs)


def peak_mib() -> float:
    """The most memory this process has held [MiB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
