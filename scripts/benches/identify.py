"""Identification: a table of readings answered row by row, beside dense numpy over the same sizes.

Rows are drawn as parts are met: worn, misread, in mixed units, some of no listed size. Ours is
all that `fitcheck batch` does with a row: read the text, weigh every listed size and "no listed
size" under every account, explain, judge, advise the next reading. The other only multiplies the
likelihoods of every size under the same accounts, as whole arrays; it knows no unlisted size, no
explanation and no advice, and gets its numbers ready made.

Every run has rows of its own, so that nothing is answered from memory that a long table would not
answer from memory too.
"""

from __future__ import annotations

import csv
import io
import math
import time
from collections.abc import Sequence
from dataclasses import replace
from statistics import median

import numpy as np
from simulate_bench import Model
from simulate_parts import Bench, Scenario

from benches.timing import Measured
from fitcheck.errors import OffTableError
from fitcheck.identify import identify
from fitcheck.job.batch.answer import answers
from fitcheck.job.batch.posterior import Weigher
from fitcheck.job.batch.restated import Columns
from fitcheck.job.batch.row import BatchRequest
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.quantities import plain
from fitcheck.readings import Reading, read

PLACES = {"seal": ("shaft", "bore", "old-width"), "bearing": ("bore", "od", "width")}


def drawn(model: Model, part: str, count: int, seed: int) -> list[Bench]:
    """Benches as parts are met."""
    places = PLACES[part]
    scenario = Scenario(
        "as met", part, dict.fromkeys(places, "caliper"), dict.fromkeys(places, "*"), account="*"
    )
    rng = np.random.default_rng(seed)
    return [model.draw(scenario, rng) for _ in range(count)]


def table(part: str, benches: Sequence[Bench]) -> list[str]:
    """The lines of a CSV file for `fitcheck batch`."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(("part", "unit", *(place.replace("-", "_") for place in PLACES[part])))
    for bench in benches:
        numbers = (plain(round(bench.numbers[place], 4)) for place in PLACES[part])
        writer.writerow((part, bench.unit, *numbers))
    return text.getvalue().splitlines(keepends=True)


def dense(model: Model, bench: Bench) -> float:
    """The likelihoods of all sizes under all accounts, as whole arrays."""
    model.forget()
    weights = np.zeros(len(model.share))
    for prior, values in model.accounts(bench):
        found = model.share * prior
        for place, (x, sigma, cell) in values.items():
            found = found * model.place(place, x, sigma, cell)
        weights += found
    return float(weights.max())


def thinned(family: Family, step: int) -> Family:
    """A family of every so-many-th size."""
    return Family(
        name=family.name,
        dimensions=family.dimensions,
        sizes=family.sizes[::step],
        places=tuple(family.places.values()),
        order_group=family.order_group,
    )


def readings_of(benches: Sequence[Bench]) -> list[dict[str, Reading]]:
    """What stands in a table, as readings."""
    return [
        {
            place: read(place=place, texts=(plain(round(number, 4)),), unit=bench.unit)
            for place, number in bench.numbers.items()
        }
        for bench in benches
    ]


def growth(family: Family, benches: Sequence[Bench], runs: int) -> list[list[tuple[int, float]]]:
    """Sizes, and seconds for one identification among them, run by run, thinned and whole."""
    asked = readings_of(benches)
    share = max(10, len(asked) // runs)
    found = []
    for run in range(runs):
        by_size = []
        for step in (8, 4, 2, 1):
            fewer = thinned(family, step)
            times = []
            for readings in asked[run * share :][:share]:
                begun = time.perf_counter()
                try:
                    identify(fewer, readings)
                except OffTableError:
                    continue
                times.append(time.perf_counter() - begun)
            by_size.append((len(fewer.sizes), median(times)))
        found.append(by_size)
    return found


def growth_together(
    family: Family, benches: Sequence[Bench], runs: int
) -> list[list[tuple[int, float]]]:
    """Sizes, and seconds to weigh all rows at once among them, run by run, thinned and whole."""
    asked = readings_of(benches)
    columns = Columns({place: [row[place] for row in asked] for place in asked[0]})
    weighers = [Weigher(thinned(family, step)) for step in (8, 4, 2, 1)]
    found = []
    for run in range(runs + 1):
        by_size = []
        for weigher in weighers:
            begun = time.perf_counter()
            weigher.weigh(columns)
            by_size.append((len(weigher.family.sizes), time.perf_counter() - begun))
        # The first run warms up.
        if run:
            found.append(by_size)
    return found


def rows(quick: bool) -> list[Measured]:
    """Rows a second for seals and bearings, and how the time grows with the sizes."""
    runs, count = (5, 400) if quick else (7, 4000)
    measured = []
    for part, family in (("seal", seal_family()), ("bearing", bearing_family())):
        model = Model(family)
        ours, other = [], []
        for run in range(runs + 1):
            benches = drawn(model, part, count, seed=run)
            lines = table(part, benches)
            begun = time.perf_counter()
            for _ in answers(lines, BatchRequest()):
                pass
            middle = time.perf_counter()
            some = benches[: max(50, count // 10)]
            for bench in some:
                dense(model, bench)
            ended = time.perf_counter()
            # The first run warms up.
            if run:
                ours.append(count / (middle - begun))
                other.append(len(some) / (ended - middle))
        each = Measured(
            section="identify",
            what=f"batch, {part}s, {len(family.sizes)} sizes: rows",
            unit="/s",
            ours_runs=tuple(ours),
            other_name="dense numpy likelihood",
            other_runs=tuple(other),
            target="at least 10,000 /s",
            note="a row holds three readings",
        )
        places = float(len(PLACES[part]))
        measured += [
            each,
            replace(
                each,
                what=f"batch, {part}s, {len(family.sizes)} sizes: readings",
                ours_runs=tuple(places * rate for rate in ours),
                other_runs=tuple(places * rate for rate in other),
                target="at least 10,000 /s",
            ),
        ]
        benches = drawn(model, part, count // 4, seed=99)
        measured.append(_grown(f"row by row, {part}s", growth(family, benches, runs)))
        together = growth_together(family, benches, runs)
        measured.append(_grown(f"weighed together, {part}s", together))
    return measured


def _grown(what: str, found: Sequence[Sequence[tuple[int, float]]]) -> Measured:
    """The exponent of the growth, run by run, against that of the square root."""
    exponents = []
    for run in found:
        sizes = [math.log(count) for count, _ in run]
        times = [math.log(seconds) for _, seconds in run]
        exponents.append(float(np.polyfit(sizes, times, 1)[0]))
    return Measured(
        section="identify",
        what=f"growth with the sizes, {what}: exponent",
        unit="",
        ours_runs=tuple(exponents),
        other_name="square root",
        other_runs=(0.5,) * len(exponents),
        target="below 0.5",
    )
