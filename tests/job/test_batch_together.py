"""Rows answered together are answered as they are one by one."""

from __future__ import annotations

import builtins
import random
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import FitcheckError
from fitcheck.identify import FINDING_FLOOR, identify
from fitcheck.job import bearing, seal
from fitcheck.job.batch import answer as batch
from fitcheck.job.batch import together
from fitcheck.job.batch.plainly import PlainReader
from fitcheck.job.batch.posterior import Weigher
from fitcheck.job.batch.restated import Columns
from fitcheck.job.batch.row import BatchRequest, Line, RowAnswerer
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.quantities import plain
from fitcheck.readings import Reading, read

PLACES = {
    "seal": ("shaft", "track", "bore", "pocket", "old-od", "old-lip", "old-width"),
    "bearing": ("bore", "od", "width", "cone-width", "cup-width", "thickness"),
}
USUAL = {"seal": ("shaft", "bore", "old-width"), "bearing": ("bore", "od", "width")}
TOOLS = ("caliper", "micrometer", "tape")


def family_of(part: str) -> Family:
    return seal_family() if part == "seal" else bearing_family()


def number_of(family: Family, place: str, chance: random.Random) -> float:
    """A reading of a place of some size: as made, worn, of another size, or of none."""
    view = chance.choice(family.places[place].views)
    nominal = None
    while nominal is None:
        nominal = chance.choice(family.sizes).nominals[view.dimension]
    off = chance.choice((0.0, 0.0, chance.gauss(0.0, 0.03), chance.uniform(-1.2, 1.2), 5.0))
    return max(0.3, nominal[0] + off)


def drawn(part: str, chance: random.Random, places: Iterable[str]) -> dict[str, float]:
    """Readings of one size, wherever it has them, save that now and then one is of another."""
    family = family_of(part)
    size = chance.choice(family.sizes)
    found = {}
    for place in places:
        nominal = size.nominals[family.places[place].views[0].dimension]
        if nominal is None or chance.random() < 0.1:
            found[place] = number_of(family, place, chance)
            continue
        lower, upper = family.places[place].views[0].limits(*nominal)
        worn = chance.choice((0.0, 0.0, 0.0, chance.uniform(-0.3, 0.3), chance.uniform(0, 9.0)))
        off = chance.uniform(lower, upper) + chance.gauss(0.0, 0.02) + worn
        found[place] = max(0.3, nominal[0] + off)
    return found


def texts_of(numbers: dict[str, float], chance: random.Random) -> tuple[dict[str, str], str]:
    """The readings as somebody writes them, and the unit of the row."""
    unit = chance.choice(("mm", "mm", "in"))
    digits = chance.choice((0, 2, 2, 2)) if unit == "mm" else chance.choice((3, 4))
    scale = 1.0 if unit == "mm" else 25.4
    texts = {
        place: plain(max(round(mm / scale, digits), 10.0**-digits)) for place, mm in numbers.items()
    }
    if chance.random() < 0.1:
        order = list(texts.values())
        chance.shuffle(order)
        texts = dict(zip(texts, order, strict=True))
    for place in texts:
        if chance.random() < 0.06:
            texts[place] += chance.choice(("mm", "in", "@micrometer", "@tape", "; 35", "x"))
    return texts, unit


NAMES = (
    *("part", "shaft", "track", "bore", "pocket", "old_od", "old_lip", "old_width"),
    *("od", "width", "cone_width", "cup_width", "thickness", "mark", "instrument", "unit"),
)


def some_rows(seed: int, count: int) -> list[tuple[str, ...]]:
    """Rows of both parts, most of them read at the usual places."""
    chance = random.Random(seed)
    found = []
    for _ in range(count):
        part = chance.choice(("seal", "bearing"))
        places: Iterable[str] = USUAL[part]
        if chance.random() < 0.4:
            every = PLACES[part]
            places = chance.sample(every, chance.randint(1, 3))
        texts, unit = texts_of(drawn(part, chance, places), chance)
        cells = {place.replace("-", "_"): text for place, text in texts.items()}
        cells |= {"part": part, "unit": unit, "instrument": chance.choice(("", *TOOLS))}
        if chance.random() < 0.03:
            cells["mark"] = "30206"
        found.append(tuple(cells.get(name, "") for name in NAMES))
    return found


def one_by_one(answerer: RowAnswerer, cells: tuple[str, ...]) -> tuple[Line, ...] | None:
    try:
        return answerer.answer(cells)
    except FitcheckError:
        return None


@pytest.mark.parametrize(
    "request_",
    [
        pytest.param(BatchRequest(), id="as-usual"),
        pytest.param(BatchRequest(advise=False, top=2), id="no-advice"),
        pytest.param(BatchRequest(certainty=0.6, unit="in"), id="less-certain"),
    ],
)
@settings(deadline=None, max_examples=2)
@given(seed=st.integers(0, 2**32))
def test_rows_answered_together_are_answered_as_one_by_one(
    request_: BatchRequest, seed: int
) -> None:
    rows = some_rows(seed, 70)
    answerer = RowAnswerer(request_, NAMES)
    many = together.Together(answerer)
    few, together.FEW = together.FEW, 1
    try:
        found = many.answers(rows)
    finally:
        together.FEW = few
    for cells, lines in zip(rows, found, strict=True):
        if lines is not None:
            assert lines == one_by_one(answerer, cells), cells
    # What is left to be answered one by one is the exception.
    assert sum(lines is not None for lines in found) > len(rows) / 2


@pytest.mark.parametrize(("part", "count"), [("seal", 40), ("bearing", 40)])
@settings(deadline=None, max_examples=3)
@given(seed=st.integers(0, 2**32))
def test_the_posterior_of_many_rows_is_that_of_each(part: str, count: int, seed: int) -> None:
    chance, family = random.Random(seed), family_of(part)
    places = chance.choice((USUAL[part], USUAL[part][:2], USUAL[part][2:]))
    rows: list[dict[str, Reading]] = []
    while len(rows) < count:
        numbers = drawn(part, chance, places)
        rows.append(
            {
                place: read(
                    place=place,
                    texts=(f"{max(mm, 0.5):.{chance.choice((0, 2))}f}@{chance.choice(TOOLS)}",),
                )
                for place, mm in numbers.items()
                if round(mm) > 0
            }
        )
        if len(rows[-1]) < len(places):
            rows.pop()
    found = Weigher(family).weigh(Columns({p: [row[p] for row in rows] for p in places}))
    sizes = found.candidates
    for number, readings in enumerate(rows):
        begin, end = sizes.first[number], sizes.first[number + 1]
        try:
            alone = identify(family, readings)
        except FitcheckError:
            assert found.total[number] == 0.0
            continue
        if found.total[number] == 0.0:
            assert not alone.candidates
            continue
        assert found.unlisted[number] == pytest.approx(alone.unlisted, abs=1e-9)
        shares = {family.sizes[p].label: 0.0 for p in sizes.size[begin:end]}
        for at in range(begin, end):
            shares[family.sizes[sizes.size[at]].label] = sizes.probability[at]
        # A share of a hundred-thousandth may fall on either side of being listed.
        for candidate in alone.candidates:
            share = shares.get(candidate.size.label, 1e-5)
            assert share == pytest.approx(candidate.probability, abs=1e-9)
        for at, candidate in zip(range(begin, end), alone.candidates, strict=False):
            if sizes.size[at] == candidate.position:
                assert sizes.clean[at] == pytest.approx(candidate.clean, abs=1e-9)
        told = {f.finding: f.probability for f in alone.findings}
        for name, share in zip(found.names, found.findings[number].tolist(), strict=True):
            if share > FINDING_FLOOR + 1e-6 and name not in family.harmless:
                assert told[name] == pytest.approx(share, abs=1e-6)
        assert len(told) == sum(
            share >= FINDING_FLOOR and name not in family.harmless
            for name, share in zip(found.names, found.findings[number].tolist(), strict=True)
        )


@given(
    whole=st.integers(0, 99999),
    places=st.text(alphabet="0123456789", max_size=7),
    unit=st.sampled_from(("mm", "in")),
    tool=st.sampled_from(("", *TOOLS)),
)
def test_a_plain_cell_is_read_as_any_other(whole: int, places: str, unit: str, tool: str) -> None:
    cell = f"{whole}.{places}" if places else str(whole)
    reader = PlainReader(read_one)
    try:
        usual: Reading | None = read_one("shaft", cell, unit, tool)
    except FitcheckError:
        usual = None
    assert reader.reading("shaft", cell, unit, tool) == usual


def read_one(place: str, cell: str, unit: str, tool: str) -> Reading:
    return read(place=place, texts=(cell,), unit=unit, tool=tool)


MISREAD = (
    ("seal", {"shaft": "19.01", "bore": "28.53", "old-width": "6.81"}, "old-width@caliper"),
    ("bearing", {"bore": "86", "od": "162", "width": "48"}, "width@caliper"),
)


@pytest.mark.parametrize(("part", "given_", "asked"), MISREAD, ids=("seal", "bearing"))
@pytest.mark.parametrize("copies", [1, 300])
def test_a_reading_that_does_not_hold_settles_nothing(
    part: str, given_: dict[str, str], asked: str, copies: int
) -> None:
    header = ",".join(["part", *(place.replace("-", "_") for place in given_)])
    text = f"{header}\n" + f"{part},{','.join(given_.values())}\n" * copies
    texts = {place: (text,) for place, text in given_.items()}
    whole: dict[str, Any] = (
        seal.answer(seal.SealRequest(readings=dict(texts)))
        if part == "seal"
        else bearing.answer(bearing.BearingRequest(readings=dict(texts)))
    )
    found = list(batch.answers(text.splitlines(keepends=True), BatchRequest()))
    assert len(found) == copies
    for lines in found:
        assert (lines[0][4], lines[0][6]) == (whole["verdict"], asked) == ("check", asked)


def test_without_numpy_the_rows_are_answered_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    text = ["part,shaft,bore\n", *(f"seal,34.{n:03},52.02\n" for n in range(100, 350))]
    found = list(batch.answers(text, BatchRequest(advise=False)))
    importing = builtins.__import__

    def without(name: str, *rest: Any, **named: Any) -> Any:
        if name == missing:
            raise ImportError(name)
        return importing(name, *rest, **named)

    missing = "numpy"
    monkeypatch.setattr(builtins, "__import__", without)
    assert list(batch.answers(text, BatchRequest(advise=False))) == found
    # What is broken here is no missing numpy.
    missing = "fitcheck.job.batch.together"
    with pytest.raises(ImportError, match="together"):
        list(batch.answers(text, BatchRequest(advise=False)))


def test_what_was_read_before_a_broken_end_is_answered() -> None:
    def broken() -> Iterable[str]:
        yield "part,shaft,bore\n"
        yield "seal,34.95,52.02\n"
        raise UnicodeDecodeError("utf-8", b"x", 0, 1, "broken")

    found = batch.answers(broken(), BatchRequest())
    assert next(found)[0][1] == "1"
    with pytest.raises(UnicodeDecodeError):
        next(found)
