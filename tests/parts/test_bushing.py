"""Plain bushings: the series, and the clearances their standards lead to."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.parts.bushing import (
    LIMITS,
    bore_fitted_mm,
    fit_class,
    mark_forms,
    od_loose_mm,
    sizes,
    wall_limits_mm,
)
from fitcheck.parts.kind import kind_family
from fitcheck.parts.limit_rules import iso_limits
from fitcheck.readings import read
from fitcheck.tables import table

ROWS = table("bushing/sizes").rows
WRAPPED = [row for row in ROWS if row.text("form") == "wrapped"]
SOLID = [row for row in ROWS if row.text("form") == "solid"]


def test_a_wrapped_bushing_has_the_wall_of_its_shaft() -> None:
    for row in WRAPPED:
        shaft, wall = row.number("shaft_mm"), (row.number("od_mm") - row.number("shaft_mm")) / 2.0
        low, high = wall_limits_mm(shaft_mm=shaft)
        assert low <= wall <= high + 0.04, row.cells()
        assert 0.15 * shaft < row.number("length_mm") < 2.1 * shaft + 4.0


def test_a_solid_bushing_comes_in_three_walls_and_lengths() -> None:
    by_shaft: dict[float, set[tuple[float, float]]] = {}
    for row in SOLID:
        by_shaft.setdefault(row.number("shaft_mm"), set()).add(
            (row.number("od_mm"), row.number("length_mm"))
        )
    for shaft, found in by_shaft.items():
        outsides, lengths = {o for o, _ in found}, {length for _, length in found}
        assert len(outsides) == 3
        assert len(found) == len(outsides) * len(lengths)
        assert all(shaft < outside <= 2.0 * shaft for outside in outsides)
    ladder = [(shaft, min(found)[0]) for shaft, found in sorted(by_shaft.items())]
    assert all(before[1] < after[1] for before, after in pairwise(ladder))


def test_running_clearance_of_a_wrapped_bushing_is_the_published_one() -> None:
    """20 mm shaft f7 in a bushing 20 x 23 pressed into H7: 0.010 to 0.112 mm."""
    low, high = bore_fitted_mm(20.0, "wrapped")
    shaft_low, shaft_high = iso_limits("f7")(20.0, "metric")
    assert low - shaft_high == pytest.approx(0.010, abs=0.0005)
    assert high - shaft_low == pytest.approx(0.112, abs=0.0005)


@pytest.mark.parametrize("shaft", [10.0, 16.0, 30.0, 50.0, 75.0, 100.0])
def test_a_shaft_made_as_asked_never_seizes(shaft: float) -> None:
    for form in ("wrapped", "solid"):
        row = fit_class(form=form, place="shaft", nominal_mm=shaft)
        _, shaft_high = iso_limits(row.text("class"))(shaft, "metric")
        assert bore_fitted_mm(shaft, form)[0] >= shaft_high


@pytest.mark.parametrize("size", sizes()[::9], ids=lambda size: str(size.label))
def test_every_bushing_is_pressed_into_its_housing(size: object) -> None:
    outside, form = size.nominals[1]  # type: ignore[attr-defined]
    _, housing_high = LIMITS.get("H7", iso_limits("H7"))(outside, form)
    low, high = od_loose_mm(outside, form)
    assert 0.0 < low < high
    assert high > housing_high


def test_shaft_and_housing_settle_wall_and_form() -> None:
    family = kind_family("bushing")
    texts = {"shaft": "19.97@micrometer", "housing": "26.01@bore-gauge", "length": "20"}
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(family, readings)
    assert found.candidates[0].size.label == "20 x 26 x 20 solid"


def test_marks() -> None:
    size = next(s for s in sizes() if s.label == "20 x 23 x 15 wrapped")
    assert list(mark_forms(size)) == ["202315", "2015"]
