"""Drawings on a page: no ratio that the page makes untrue, and remarks in the page's own text."""

from __future__ import annotations

import re
from typing import Any

from fitcheck.report.drawing.on_page import Figure, figures, shares
from fitcheck.report.drawing.seal import seal_svg
from fitcheck.report.drawing.seal_layout import SealDrawing
from fitcheck.report.drawing.shims import PackDrawing, ShimDrawing, pack_svg

WORN = {"land_mm": 34.98, "groove_depth_mm": 0.02, "groove_width_mm": 2.5}
HOSTILE = '<b>&"one". Two <script>'


def worn(**given: Any) -> str:
    """A worn seat, with a detail of two scales."""
    return seal_svg(SealDrawing("35 x 52 x 7", 35.0, 52.0, 7.0, **WORN, **given))


def test_a_page_takes_the_remarks_and_leaves_the_ratios_out(svg: Any) -> None:
    drawn = svg(worn(remarks=(HOSTILE,)))
    ((shown,), shared) = figures([("inner", worn(remarks=(HOSTILE,)))])
    found = svg(shown.svg)
    assert any(re.search(r"[0-9]:[0-9]", text) for text in drawn.texts())
    assert not any(re.search(r"[0-9]:[0-9]", text) for text in found.texts())
    assert {"Half-section", "Detail Z", "Along", "Off"} <= set(found.texts())
    # The bars are as they were, and say how long they are.
    assert found.parts("scale bar") == drawn.parts("scale bar")
    assert "10 mm" in found.texts()
    # What is left ends above where the remarks began, and nothing of it is cut off.
    assert found.height < drawn.height - 10.0
    assert (found.outside(), found.overlapping()) == ([], [])
    assert shown.tall == found.height / found.width
    assert not any(text.startswith("Dimensions in") for text in found.texts())
    assert {"Dimensions in mm.", '<b>&"one".', "Two <script>"} <= set(shown.remarks)
    assert shared == []


def test_what_holds_for_several_drawings_is_said_once() -> None:
    pack = pack_svg(PackDrawing((ShimDrawing(0.2, 2),)))
    shown, shared = figures([("a", worn()), ("b", worn(title="b")), ("c", pack)])
    assert "Dimensions in mm." in shared
    assert "The inside of the seal is not to size." in shared
    assert all(not set(figure.remarks) & set(shared) for figure in shown)
    assert "Thickest next to the flange." in shown[2].remarks


def test_the_tall_of_two_drawings_is_the_narrower() -> None:
    tall, flat = shares([Figure("", "", tall=1.9), Figure("", "", tall=0.7)])
    assert tall < flat < 70.0
    assert tall + flat == 100.0
