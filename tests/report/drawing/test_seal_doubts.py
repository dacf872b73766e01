"""What speaks against a drawing is said in it, and what can't be is not drawn."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError
from fitcheck.report.drawing.seal import seal_svg
from fitcheck.report.drawing.seal_doubts import seal_doubts
from fitcheck.report.drawing.seal_layout import SealDrawing, seal_layout


def seal(**given: Any) -> SealDrawing:
    """A seal 35 x 52 x 7 with what is given of its seat."""
    return SealDrawing("35 x 52 x 7", 35.0, 52.0, 7.0, **given)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"land_mm": 34.5}, "the land of Ø34.5 mm is outside 34.84 mm to 35 mm"),
        ({"pocket_mm": 6.0}, "with that pocket the seal stands 1 mm out of the bore"),
        ({"pocket_mm": 9.0, "room_mm": 4.0}, "with that pocket and that room the seal stands 2 mm"),
        ({"pocket_mm": 9.0, "shift_mm": -3.0}, "moved so far the seal stands 3 mm out of the bore"),
        ({"pocket_mm": 9.0, "shift_mm": 4.0}, "moved so far the seal would go 2 mm past"),
        (
            {"lip_at_mm": 2.0, "shaft_end_mm": 32.0, "groove_depth_mm": 0.1},
            "the track lies on the lead-in chamfer",
        ),
        ({"lip_at_mm": 2.0, "shaft_end_mm": 32.0}, "the lip runs on the lead-in chamfer"),
    ],
)
def test_a_doubt_is_said_in_the_drawing(svg: Any, given: dict[str, Any], said: str) -> None:
    drawing = seal(**given)
    doubts = seal_doubts(drawing, seal_layout(drawing))
    assert any(said in doubt for doubt in doubts)
    found = svg(seal_svg(drawing))
    text = " ".join(found.texts())
    assert all(doubt in text for doubt in doubts)
    assert (found.outside(), found.overlapping()) == ([], [])


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"land_mm": 34.98, "pocket_mm": 9.0},
        {"land_mm": 34.84},
        {"pocket_mm": 9.0, "room_mm": 2.0},
        {"pocket_mm": 12.0, "shift_mm": 2.5, "lip_at_mm": 20.0, "groove_depth_mm": 0.1},
    ],
)
def test_a_sound_seat_raises_none(given: dict[str, Any]) -> None:
    drawing = seal(**given)
    assert seal_doubts(drawing, seal_layout(drawing)) == []


@pytest.mark.parametrize(
    ("given", "rule"),
    [
        ({"land_mm": 31.0}, "a seal for a shaft of 35 mm does not run on it"),
        ({"land_mm": 39.0}, "a seal for a shaft of 35 mm does not run on it"),
        ({"shaft_end_mm": 35.0}, "no smaller than the land"),
        ({"groove_width_mm": 7.0, "groove_depth_mm": 0.1}, "the whole seal is 7 mm wide"),
        ({"bore_chamfer_mm": 8.0}, "the whole seal is 7 mm wide"),
    ],
)
def test_what_can_not_be_beside_the_size_is_refused(given: dict[str, Any], rule: str) -> None:
    with pytest.raises(InputError, match=rule):
        seal_svg(seal(**given))
