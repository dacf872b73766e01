"""Retaining rings: rings and grooves belong together."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.limits import class_limits
from fitcheck.parts.circlip import groove_class, mark_forms, sizes
from fitcheck.parts.kind import kind_family
from fitcheck.readings import read
from fitcheck.tables import Row, table

STANDARDS = ("DIN 471", "DIN 472")


def rows_of(standard: str) -> list[Row]:
    return [row for row in table("circlip/sizes").rows if row.text("standard") == standard]


@pytest.mark.parametrize("standard", STANDARDS)
def test_everything_grows_with_the_nominal(standard: str) -> None:
    for before, after in pairwise(rows_of(standard)):
        for column in ("nominal_mm", "groove_mm", "free_mm"):
            assert before.number(column) < after.number(column)
        for column in ("thickness_mm", "groove_width_mm"):
            assert before.number(column) <= after.number(column)


@pytest.mark.parametrize("standard", STANDARDS)
def test_a_ring_grips_its_groove_and_goes_into_its_width(standard: str) -> None:
    sign = 1.0 if standard == "DIN 471" else -1.0
    for row in rows_of(standard):
        depth = sign * (row.number("nominal_mm") - row.number("groove_mm")) / 2.0
        assert 0.05 <= depth <= 4.0, row.cells()
        assert sign * (row.number("groove_mm") - row.number("free_mm")) > 0.0
        room = row.number("groove_width_mm") - row.number("thickness_mm")
        assert 0.09 <= room <= 0.16


def test_groove_classes() -> None:
    assert groove_class(groove="shaft", nominal_mm=9.0) == "h10"
    assert groove_class(groove="shaft", nominal_mm=10.0) == "h11"
    assert groove_class(groove="bore", nominal_mm=62.0) == "H12"
    found = class_limits(nominal_mm=33.0, tolerance_class="h12")
    assert (found.lower_um, found.upper_um) == (-250.0, 0.0)


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        ({"shaft": "34.95"}, "DIN 471 - 35 x 1.5"),
        ({"bore": "62.03"}, "DIN 472 - 62 x 2"),
        ({"shaft-groove": "33.0", "groove-width": "1.62"}, "DIN 471 - 35 x 1.5"),
        ({"free-outside": "37.7", "thickness": "1.47"}, "DIN 472 - 35 x 1.5"),
    ],
)
def test_a_ring_is_found(texts: dict[str, str], expected: str) -> None:
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(kind_family("circlip"), readings)
    assert found.candidates[0].size.label == expected


def test_marks() -> None:
    size = next(s for s in sizes() if s.label == "DIN 471 - 35 x 1.5")
    assert list(mark_forms(size)) == ["DIN47135", "35"]
