"""Parallel keys: the table, and that a keyway finds its key."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.parts.kind import kind_family
from fitcheck.readings import read
from fitcheck.tables import table


def test_every_shaft_has_one_key_and_keys_grow_with_it() -> None:
    rows = table("key/sizes").rows
    for before, after in pairwise(rows):
        assert before.number("incl_mm") == after.number("over_mm")
        assert before.number("width_mm") < after.number("width_mm")
        assert before.number("height_mm") <= after.number("height_mm")
        assert before.number("depth_mm") <= after.number("depth_mm")
    for row in rows:
        assert row.number("height_mm") <= row.number("width_mm")
        assert 0.5 * row.number("height_mm") < row.number("depth_mm") < row.number("height_mm")


@pytest.mark.parametrize(
    ("texts", "expected"),
    [({"keyway": "10.01", "shaft": "35"}, "10 x 8"), ({"width": "8.0", "height": "7.0"}, "8 x 7")],
)
def test_a_key_is_found(texts: dict[str, str], expected: str) -> None:
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(kind_family("key"), readings)
    assert found.candidates[0].size.label == expected
    assert found.candidates[0].probability > 0.9
