"""Drawings of shim packs, and of where to measure."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.job.sheet import BearingEntry, SealEntry, ShimsEntry
from fitcheck.report.drawing.answers import bodies
from fitcheck.report.drawing.places import PANELS, places_svg
from fitcheck.report.drawing.shims import PackDrawing, ShimDrawing, pack_svg

NEAR = 0.002
PACK = (ShimDrawing(0.10, 3), ShimDrawing(0.50, 1), ShimDrawing(0.198, 2, 0.20))


def test_a_pack_is_as_thick_as_its_shims_and_the_thickest_lies_next_to_the_flange(svg: Any) -> None:
    found = svg(pack_svg(PackDrawing(PACK, flange="cap")))
    assert (found.outside(), found.overlapping()) == ([], [])
    scale = found.scale("Thickness")
    heights = [max(y for _, y in shim) - min(y for _, y in shim) for shim in found.parts("shim")]
    assert heights == pytest.approx(
        [t * scale for t in (0.5, 0.198, 0.198, 0.1, 0.1, 0.1)], abs=NEAR
    )
    tops = [min(y for _, y in shim) for shim in found.parts("shim")]
    assert tops == sorted(tops)
    flange = max(y for _, y in found.part("body above"))
    assert tops[0] == pytest.approx(flange, abs=0.8)
    assert {"1 x 0.5", "2 x 0.198, labelled 0.2", "3 x 0.1", "1.196", "cap"} <= set(found.texts())
    assert "from the cap down: 1 x 0.5" in found.description


def test_a_pack_in_inches_has_inches_on_it_and_on_its_bar(svg: Any) -> None:
    found = svg(pack_svg(PackDrawing((ShimDrawing(0.254, 2),), unit="in")))
    assert {"2 x 0.01", "0.02"} <= set(found.texts())
    (bar,) = [text for text in found.texts() if text.endswith(" in") and text[0].isdigit()]
    (left, _), (right, _) = found.part("scale bar")[1:3]
    drawn_mm = (right - left) / found.scale("Thickness")
    assert float(bar.removesuffix(" in")) * 25.4 == pytest.approx(drawn_mm, abs=NEAR)
    assert not [text for text in found.texts() if text.endswith(" mm")]


@pytest.mark.parametrize(
    ("position", "said"), [("cap", True), ("retainer", True), ("", True), ("behind-cup", False)]
)
def test_the_thickest_lies_next_to_a_flange_and_only_where_there_is_one(
    svg: Any, position: str, said: bool
) -> None:
    flange, seat = bodies(position)
    found = svg(pack_svg(PackDrawing(PACK, flange=flange, seat=seat)))
    assert ("Thickest next to the flange" in " ".join(found.texts())) is said
    assert (found.outside(), found.overlapping()) == ([], [])


@settings(max_examples=50)
@given(st.lists(st.tuples(st.floats(0.0125, 5.0), st.integers(1, 60)), min_size=1, max_size=14))
def test_any_pack_fits_its_paper(svg: Any, shims: list[tuple[float, int]]) -> None:
    found = svg(pack_svg(PackDrawing(tuple(ShimDrawing(t, n) for t, n in shims))))
    assert (found.outside(), found.overlapping()) == ([], [])


@pytest.mark.parametrize(
    ("shims", "rule"),
    [
        ((), "nothing to draw"),
        ((ShimDrawing(0.0, 1),), "has a thickness"),
        ((ShimDrawing(0.1, 0),), "at least one"),
        (tuple(ShimDrawing(0.1 + n / 100, 1) for n in range(30)), "kinds apart"),
        ((ShimDrawing(5.0, 1_000_000),), "as thick as that"),
    ],
)
def test_what_is_no_pack_is_refused(shims: tuple[ShimDrawing, ...], rule: str) -> None:
    with pytest.raises(InputError, match=rule):
        pack_svg(PackDrawing(shims))


# --- where to measure -----------------------------------------------------------------------------


def test_every_place_has_its_letter_and_its_key(svg: Any) -> None:
    found = svg(places_svg())
    assert (found.outside(), found.overlapping()) == ([], [])
    texts = found.texts()
    for letter, key, _, _ in (place for panel in PANELS.values() for place in panel):
        # Once at the place, once in the list below it.
        assert texts.count(letter) == 2, letter
        assert key in texts
        assert key in found.description
    letters = [letter for panel in PANELS.values() for letter, *_ in panel]
    assert len(letters) == len(set(letters))


def test_the_keys_are_those_of_the_bench_sheet() -> None:
    entries = {
        "seat": SealEntry,
        "old-seal": SealEntry,
        "bearing": BearingEntry,
        "gap": ShimsEntry,
    }
    for name, panel in PANELS.items():
        assert {key for _, key, _, _ in panel} <= set(entries[name].__struct_fields__)


@pytest.mark.parametrize("panel", PANELS)
def test_a_panel_stands_by_itself(svg: Any, panel: str) -> None:
    found = svg(places_svg((panel,)))
    assert (found.outside(), found.overlapping()) == ([], [])
    assert found.height < 190.0


@pytest.mark.parametrize("panels", [(), ("wheel",)])
def test_what_is_no_panel_is_refused(panels: tuple[str, ...]) -> None:
    with pytest.raises(InputError, match="nothing of that name to measure"):
        places_svg(panels)
