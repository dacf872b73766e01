"""Thin sleeves: the table and the choice by the shaft window."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.parts.sleeve import Sleeve, gripping, nearest, sleeved_mm, sleeves


@pytest.mark.parametrize("sleeve", sleeves(), ids=lambda s: s.designation)
def test_every_sleeve_is_sound(sleeve: Sleeve) -> None:
    assert sleeve.window_min_mm < sleeve.shaft_mm < sleeve.window_max_mm
    assert 0.2 <= sleeve.wall_mm <= 0.3
    assert sleeve.width_mm < sleeve.overall_mm
    assert sleeve.evidence == "invented"
    assert sleeve.source


def test_sleeves_come_in_rising_order() -> None:
    assert all(a.middle_mm <= b.middle_mm for a, b in pairwise(sleeves()))


@pytest.mark.parametrize("sleeve", sleeves(), ids=lambda s: s.designation)
def test_both_edges_belong_to_the_window(sleeve: Sleeve) -> None:
    for edge in (sleeve.window_min_mm, sleeve.window_max_mm):
        assert sleeve in gripping(land_mm=edge)
    assert sleeve not in gripping(land_mm=sleeve.window_min_mm - 0.0001)
    assert sleeve not in gripping(land_mm=sleeve.window_max_mm + 0.0001)


def test_where_windows_overlap_the_nearest_middle_comes_first() -> None:
    # 34.925 and 35 mm shafts have a sleeve each, and their windows overlap.
    found = gripping(land_mm=34.94)
    assert len(found) == 2
    assert abs(found[0].middle_mm - 34.94) < abs(found[1].middle_mm - 34.94)


@given(land=st.floats(min_value=5.0, max_value=260.0))
def test_a_shaft_is_gripped_or_has_its_neighbours_named(land: float) -> None:
    found = gripping(land_mm=land)
    for sleeve in found:
        assert sleeve.window_min_mm <= round(land, 6) <= sleeve.window_max_mm
    if not found:
        near = nearest(land_mm=land)
        assert 1 <= len(near) <= 2
        assert all(s.window_max_mm < land or s.window_min_mm > land for s in near), (
            "a neighbour's window does not hold the shaft"
        )


def test_off_the_table_only_one_neighbour_is_left() -> None:
    assert [s.designation for s in nearest(land_mm=500.0)] == [
        max(sleeves(), key=lambda s: s.window_max_mm).designation
    ]


def test_the_counterface_grows_by_twice_the_wall() -> None:
    assert sleeved_mm(land_mm=35.0, wall_mm=0.254) == pytest.approx(35.508)


def test_the_shops_own_sleeve_is_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "sleeves"
    folder.mkdir()
    (folder / "thin.csv").write_text(
        "designation,shaft_mm,window_min_mm,window_max_mm,wall_mm,width_mm,overall_mm\n"
        "our 34.80,34.80,34.78,34.84,0.26,14,17\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert [s.designation for s in gripping(land_mm=34.8)] == ["our 34.80"]
    assert "shop" in gripping(land_mm=34.8)[0].source
