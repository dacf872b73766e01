"""Glands of O-rings: stretch, squeeze and fill, and what the table of limits says."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError, OffTableError
from fitcheck.setup.gland import (
    fill_share,
    gland_checks,
    squeeze_share,
    stretch_share,
    stretched_section_mm,
    usual_gland,
)
from fitcheck.tables import table

LENGTHS = st.floats(0.5, 300.0)


@given(section=st.floats(1.0, 10.0), stretch=st.floats(-0.05, 0.2), id_mm=LENGTHS)
def test_a_stretched_ring_keeps_its_volume(section: float, stretch: float, id_mm: float) -> None:
    fitted = stretched_section_mm(section_mm=section, stretch=stretch)
    length = math.pi * (id_mm + section)
    before = math.pi / 4 * section**2 * length
    after = math.pi / 4 * fitted**2 * length * (1.0 + stretch)
    assert after == pytest.approx(before)


def test_squeeze_and_fill_by_hand() -> None:
    assert squeeze_share(section_mm=5.0, depth_mm=4.0) == pytest.approx(0.2)
    assert squeeze_share(section_mm=3.0, depth_mm=3.3) == pytest.approx(-0.1)
    assert fill_share(section_mm=2.0, depth_mm=2.0, width_mm=math.pi) == pytest.approx(0.5)
    assert stretch_share(groove_mm=51.0, ring_mm=50.0) == pytest.approx(0.02)


@pytest.mark.parametrize("seal", ["radial", "face"])
def test_a_usual_gland_passes_its_own_check(seal: str) -> None:
    for row in table("oring/glands").rows:
        if row.text("seal") != seal:
            continue
        section = row.number("section_in") * 25.4
        gland = usual_gland(seal=seal, section_mm=section)
        for depth in (gland.depth_min_mm, gland.depth_max_mm):
            for width in (gland.width_min_mm, gland.width_max_mm):
                checks = gland_checks(
                    seal=seal, id_mm=50.0, section_mm=section, depth_mm=depth, width_mm=width
                )
                assert all(check.verdict != "no-go" for check in checks)
        middle = (gland.depth_min_mm + gland.depth_max_mm) / 2.0
        checks = gland_checks(
            seal=seal, id_mm=50.0, section_mm=section, depth_mm=middle, width_mm=gland.width_min_mm
        )
        # The thinnest sections are squeezed harder than the usual share.
        assert all(check.verdict == "go" for check in checks) or section < 2.0


def test_what_will_not_do_is_no_go() -> None:
    loose = gland_checks(seal="radial", id_mm=45.0, section_mm=3.0, depth_mm=2.95)
    assert [c.verdict for c in loose] == ["no-go"]
    far = gland_checks(seal="radial", id_mm=40.0, section_mm=3.0, groove_mm=46.0)
    assert (far[0].quantity, far[0].verdict) == ("stretch", "no-go")
    full = gland_checks(seal="face", id_mm=45.0, section_mm=3.0, depth_mm=2.3, width_mm=3.0)
    assert full[-1].quantity == "fill"
    assert full[-1].verdict == "no-go"
    assert "102.4 %" in full[-1].reason


def test_a_face_groove_is_compared_with_the_outside() -> None:
    (found,) = gland_checks(seal="face", id_mm=45.0, section_mm=3.0, groove_mm=51.0)
    assert found.percent == pytest.approx(0.0)
    assert found.verdict == "go"


def test_refusals() -> None:
    with pytest.raises(InputError, match="radial or face"):
        gland_checks(seal="sideways", id_mm=45.0, section_mm=3.0)
    with pytest.raises(InputError, match="larger than zero"):
        squeeze_share(section_mm=3.0, depth_mm=0.0)
    with pytest.raises(InputError, match="squeezed to nothing"):
        stretched_section_mm(section_mm=3.0, stretch=-1.0)
    with pytest.raises(OffTableError, match=r"1\.02 to 6\.99 mm"):
        usual_gland(seal="face", section_mm=9.0)
