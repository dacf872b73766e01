"""From answers to drawings: what the commands answer is what is drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.drawn import sheet_extras
from fitcheck.job.seal import SealRequest
from fitcheck.job.seal import answer as seal_answer
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.drawing.answers import (
    bearing_drawing,
    bearing_size,
    card_drawings,
    pack_drawing,
    pivot_drawing,
    seal_drawing,
    standard_seat,
)

DEMO = Path(__file__).parents[3] / "data" / "demo"


def answered(**given: Any) -> Any:
    """The answer on a seal by its readings."""
    options = {key: given.pop(key) for key in ("groove_width", "lip_at", "room") if key in given}
    return seal_answer(
        SealRequest(readings={k.replace("_", "-"): (v,) for k, v in given.items()}, **options)
    )


def test_a_worn_land_is_drawn_with_the_sleeve_that_is_advised() -> None:
    found = answered(
        shaft="89.98@micrometer",
        track="89.60@micrometer",
        bore="120.03",
        old_width="12.1",
        groove_width=("1.6",),
        lip_at=("22",),
        room=("1.0",),
    )
    way = found["counterface"]["ways"][0]
    assert way["way"] == "thin-sleeve"
    drawing = seal_drawing(found, title="drum")
    assert drawing is not None
    assert drawing.size == "90 x 120 x 12"
    assert drawing.land_mm == pytest.approx(89.98)
    assert drawing.groove_depth_mm == pytest.approx(0.19)
    assert (drawing.groove_width_mm, drawing.lip_at_mm, drawing.room_mm) == (1.6, 22.0, 1.0)
    assert drawing.sleeve is not None
    assert drawing.sleeve.near_mm == way["dimensions_mm"]["near_edge_from_end"]
    assert drawing.sleeve.width_mm == way["dimensions_mm"]["sleeve_width"]
    assert drawing.filled


def test_a_light_groove_is_drawn_with_the_lip_moved() -> None:
    found = answered(
        shaft="34.98@micrometer",
        track="34.86@micrometer",
        bore="52.02",
        old_width="7.05",
        groove_width=("1.2",),
        lip_at=("20",),
        room=("4",),
    )
    way = found["counterface"]["ways"][0]
    assert way["way"] == "move-lip"
    drawing = seal_drawing(found)
    assert drawing is not None
    assert drawing.shift_mm == pytest.approx(way["dimensions_mm"]["shift"])
    assert drawing.sleeve is None


def test_nothing_is_drawn_where_no_size_leads() -> None:
    assert seal_drawing(answered(shaft="44.95")) is None


def test_a_plain_seat_has_what_the_standard_asks() -> None:
    drawing = seal_drawing(answered(shaft="34.98", bore="52.02", old_width="7.05"))
    assert drawing is not None
    assert drawing.standard == standard_seat(shaft_mm=35.0, width_mm=7.0)
    assert drawing.groove_depth_mm is None


def test_off_the_tables_the_standard_asks_nothing() -> None:
    assert standard_seat(shaft_mm=900.0, width_mm=7.0).shaft_end_mm is None


@pytest.mark.parametrize("name", ["winch", "trailer", "drum"])
def test_a_card_is_drawn_position_by_position(svg: Any, name: str) -> None:
    sheet = parse_sheet((DEMO / f"{name}.toml").read_text(encoding="utf-8"))
    card = job_card(sheet)
    drawn = card_drawings(card, unit=sheet.job.unit, extra=sheet_extras(sheet))
    # O-rings and the like are not drawn.
    drawable = [p for p in card["positions"] if p["kind"] in ("seal", "bearing", "shims")]
    decided = {p["name"] for p in drawable if p["pick"]}
    assert decided <= set(drawn)
    assert "bearings together" in drawn
    for text in drawn.values():
        found = svg(text)
        assert (found.outside(), found.overlapping()) == ([], [])


@pytest.mark.parametrize("name", ["trailer", "drum"])
def test_a_sheet_in_inches_is_drawn_in_inches(svg: Any, name: str) -> None:
    sheet = parse_sheet((DEMO / f"{name}.toml").read_text(encoding="utf-8"))
    card = job_card(sheet)
    for text in card_drawings(card, unit="in").values():
        shown = svg(text).texts()
        assert any(one.startswith("Dimensions in inches.") for one in shown)
        assert any(one[0].isdigit() and one.endswith(" in") for one in shown)
        assert not any(one.endswith(" mm") for one in shown)


def test_an_inch_size_is_drawn_in_inches_on_any_sheet_and_a_position_may_have_its_own_unit() -> (
    None
):
    sheet = parse_sheet((DEMO / "trailer.toml").read_text(encoding="utf-8"))
    drawn = card_drawings(job_card(sheet), unit="mm")
    assert all("Dimensions in inches." in text for text in drawn.values())
    text = (DEMO / "drum.toml").read_text(encoding="utf-8")
    sheet = parse_sheet(text)
    own = {position.name: {"unit": "in"} for position in sheet.seal[:1]}
    drawn = card_drawings(job_card(sheet), unit="mm", extra=own)
    first, second = (drawn[position.name] for position in sheet.seal[:2])
    assert "Dimensions in inches." in first
    assert "Dimensions in mm." in second
    assert sheet_extras(sheet)[sheet.bearing[0].name] == {"unit": "mm"}


def test_a_shim_answer_is_drawn_with_its_picks() -> None:
    found = {"picks": [{"thickness_mm": 0.2, "count": 2}], "position": "cap"}
    drawing = pack_drawing(found, title="cap")
    assert drawing is not None
    assert (drawing.total_mm, drawing.flange) == (0.4, "cap flange")
    assert pack_drawing({"picks": [], "position": None}) is None
    bought = {**found, "with_bought": {"picks": [{"thickness_mm": 0.25, "count": 1}]}}
    drawing = pack_drawing(bought)
    assert drawing is not None
    assert drawing.total_mm == 0.25
    assert drawing.remarks


def test_bearings_with_shims_in_two_places_are_not_drawn_as_one_pair() -> None:
    shims = (
        '[[shims]]\nname = "{name}"\nmethod = "free-gap"\nmeasured = "0.52@feeler"\n'
        'position = "{position}"\nuse = "planetary-hub"\ncondition = "new"\n'
        'have = "0.10x6,0.20x4"\n'
    )
    bearings = "".join(
        f'[[bearing]]\nname = "{mark}"\nmark = "{mark}"\n' for mark in ("30206", "32208")
    )

    def pair(*positions: str) -> str:
        sheet = bearings + "".join(
            shims.format(name=f"pack {number}", position=position)
            for number, position in enumerate(positions)
        )
        return card_drawings(job_card(parse_sheet(sheet))).get("bearings together", "")

    assert "back to back" in pair()
    # Two packs of one place stand there; what sets the bearings is said alike.
    assert "face to face" in pair("cap", "cap")
    assert "set by the nut" not in pair("cap", "cap")
    assert pair("cap", "retainer") == ""


PIVOT = """
[[pivot]]
name = "left pivot"
upper = { mark = "30206" }
lower = { mark = "32208" }
"""
PIVOT_SET = (
    PIVOT
    + """
method = "lead"
measured = ["1.22@micrometer", "1.20@micrometer"]
position = "cap"
use = "kingpin-cap"
have = ["1.00x1,0.10x2"]
"""
)


def test_a_pivot_is_drawn_to_scale_with_its_shims_under_the_cap(svg: Any) -> None:
    card = job_card(parse_sheet(PIVOT_SET))
    found = svg(card_drawings(card)["left pivot"])
    assert (found.outside(), found.overlapping()) == ([], [])
    scale = found.scale("Half-section")
    axis = found.part("axis")[0][1]
    for name in ("30206", "32208"):
        bearing = bearing_drawing(bearing_size(name))
        cone, cup = found.part(f"cone {name}"), found.part(f"cup {name}")
        xs, ys = zip(*cone, *cup, strict=True)
        assert axis - max(ys) == pytest.approx(bearing.bore_mm / 2.0 * scale, abs=0.002)
        assert axis - min(ys) == pytest.approx(bearing.od_mm / 2.0 * scale, abs=0.002)
        assert max(xs) - min(xs) == pytest.approx(bearing.width_mm * scale, abs=0.002)
    upper, lower, cap = found.part("cup 30206"), found.part("cup 32208"), found.part("cap")
    shims = found.part("shims")
    # The upper bearing is next to the cap, and the shims are between its flange and the housing.
    assert max(x for x, _ in upper) < min(x for x, _ in lower)
    assert min(x for x, _ in cap) < min(x for x, _ in shims)
    assert max(x for x, _ in shims) < min(x for x, _ in upper)
    assert max(y for _, y in shims) == pytest.approx(min(y for _, y in upper), abs=0.002)
    setting = card["positions"][0]["answer"]["setting"]
    assert setting["picked_mm"] == pytest.approx(1.2)
    assert "shims 1.2" in found.texts()
    assert "shims under the cap" in found.description


def test_a_pivot_that_is_not_set_is_drawn_and_one_that_is_not_decided_is_not() -> None:
    (position,) = job_card(parse_sheet(PIVOT))["positions"]
    drawing = pivot_drawing(position["answer"], pick=position["pick"], title="left pivot")
    assert drawing is not None
    assert (drawing.outer.designation, drawing.inner.designation) == ("30206", "32208")
    assert (drawing.position, drawing.pack_mm) == ("cap", None)
    assert any("not measured yet" in remark for remark in drawing.remarks)
    alike = pivot_drawing(position["answer"], pick="30204")
    assert alike is not None
    assert alike.outer == alike.inner
    assert pivot_drawing(position["answer"], pick=None) is None
    undecided = PIVOT.replace('mark = "32208"', 'bore = "40"')
    assert card_drawings(job_card(parse_sheet(undecided))) == {}


def test_a_pivot_is_drawn_in_its_own_unit() -> None:
    sheet = parse_sheet(PIVOT + 'unit = "in"\n')
    drawn = card_drawings(job_card(sheet), extra=sheet_extras(sheet))
    assert "Dimensions in inches." in drawn["left pivot"]
