"""Cotter pins: the table of ISO 1234, and that a hole finds its pin."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.job.part.answer import PartRequest, answer
from fitcheck.lists.named_parts import find_part
from fitcheck.tables import table


def test_pins_grow_with_their_holes_and_bolts() -> None:
    rows = table("closing/cotter_pins").rows
    assert len(rows) == 16
    for row in rows:
        assert row.number("shank_min_mm") < row.number("shank_max_mm") < row.number("size_mm")
        assert row.number("eye_max_mm") > 1.6 * row.number("size_mm")
    for before, after in pairwise(rows):
        assert before.number("size_mm") < after.number("size_mm")
        assert before.number("shank_max_mm") <= after.number("shank_min_mm")
        assert before.number("bolt_incl_mm") == after.number("bolt_over_mm")


@pytest.mark.parametrize(
    ("texts", "size", "verdict"),
    [
        ({"hole": "4.1", "bolt": "18"}, "ISO 1234 - 4", "go"),
        ({"hole": "3.3", "shank": "2.8"}, "ISO 1234 - 3.2", "go"),
        ({"hole": "5.1"}, "ISO 1234 - 5", "check"),
        # The hole of one pin through the bolt of another.
        ({"hole": "4.1", "bolt": "36"}, "", "no-go"),
    ],
    ids=["bolt", "old pin", "hole alone", "against each other"],
)
def test_a_hole_finds_its_pin(texts: dict[str, str], size: str, verdict: str) -> None:
    readings = {place: (text,) for place, text in texts.items()}
    found = answer(PartRequest("cotter", readings=readings))
    assert found["verdict"] == verdict
    assert not size or found["candidates"][0]["size"] == size
    assert size == "" or any("its length" in reason for reason in found["reasons"])


def test_a_list_line_is_read_as_a_pin() -> None:
    part = find_part("SPLIT PIN 3.2 X 40 DIN 94")
    assert part is not None
    assert part.family == "cotter"
