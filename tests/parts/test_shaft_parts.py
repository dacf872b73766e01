"""Collars, crosses, felt rings, axial and unitised seals: what their tables must hold."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.parts import axial, collar, felt, ujoint, unitised
from fitcheck.parts.kind import kind_family
from fitcheck.parts.seal import seal_sizes
from fitcheck.readings import read
from fitcheck.tables import table


def test_collars_grow_and_leave_a_wall() -> None:
    rows = table("collar/sizes").rows
    for before, after in pairwise(rows):
        assert before.number("shaft_mm") < after.number("shaft_mm")
        assert before.number("od_mm") <= after.number("od_mm")
        assert before.number("width_mm") <= after.number("width_mm")
    for row in rows:
        assert 1.3 <= row.number("od_mm") / row.number("shaft_mm") <= 2.4


def test_a_cross_has_one_length_and_is_longer_than_its_caps_are_wide() -> None:
    for row in table("ujoint/sizes").rows:
        length, inside = row.maybe("length_mm"), row.maybe("between_rings_mm")
        assert (length is None) != (inside is None)
        assert (row.text("ring") == "outside") == (length is not None)
        assert 2.0 < (length or inside or 0.0) / row.number("cap_mm") < 4.0
        assert row.evidence == "memory"


def test_felt_rings_have_the_sections_of_the_standard() -> None:
    grooves = {4: 3, 5: 4, 6.5: 5, 7.5: 6, 8.5: 7, 10: 8, 11: 9, 12: 10}
    thickness: dict[float, set[float]] = {}
    for row in table("felt/sizes").rows:
        width = row.number("width_mm")
        assert row.number("groove_width_mm") == grooves[width]
        assert row.number("groove_mm") == row.number("od_mm") + 1.0
        thickness.setdefault(width, set()).add((row.number("od_mm") - row.number("shaft_mm")) / 2.0)
    assert all(len(found) == 1 for width, found in thickness.items() if width != 12)
    flat = [max(found) for _, found in sorted(thickness.items())]
    assert flat == sorted(flat)


def test_axial_seals_serve_every_shaft_once() -> None:
    rows = table("axial/sizes").rows
    for before, after in pairwise(rows):
        assert before.number("incl_mm") == after.number("over_mm")
        assert before.number("height_mm") <= after.number("height_mm")
    assert all(row.number("free_mm") < row.number("over_mm") for row in rows)
    assert {row.evidence for row in rows} == {"invented"}


def test_the_ring_of_a_unitised_seal_lies_between_shaft_and_bore() -> None:
    for row in table("unitised/sizes").rows:
        assert row.number("shaft_mm") + 2.0 < row.number("ring_mm") < row.number("bore_mm") - 10.0
        assert row.evidence == "invented"


def test_seals_of_these_kinds_are_never_lip_seals() -> None:
    plain = {size.label for size in seal_sizes()}
    assert not plain & {size.label for size in unitised.sizes()}
    forms = {size.details["form"] for size in unitised.sizes()}
    assert forms == {"unitised", "two-part", "cassette"}
    assert all(size.label.endswith(tuple(forms)) for size in unitised.sizes())


@pytest.mark.parametrize(
    ("name", "texts", "expected"),
    [
        ("collar", {"shaft": "30.0"}, "DIN 705 - 30 x 45 x 16"),
        ("ujoint", {"cap": "30.18", "length": "92.05"}, "30.2 x 92, rings outside"),
        ("ujoint", {"yoke": "27.0", "between-rings": "61.9"}, "27 x 61.9, rings inside"),
        ("felt", {"shaft": "39.93", "groove": "53.1"}, "40 x 52 x 5"),
        ("axial", {"shaft": "40"}, "axial 37.5-42.5"),
        (
            "unitised",
            {"shaft": "99.98", "bore": "130.02", "width": "22"},
            "100 x 130 x 22 unitised",
        ),
    ],
)
def test_a_part_is_found(name: str, texts: dict[str, str], expected: str) -> None:
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(kind_family(name), readings)
    assert found.candidates[0].size.label == expected
    assert found.candidates[0].probability > 0.9


def test_a_ring_left_on_is_named() -> None:
    """The shaft reads as large as the ring of a two-part seal, the bore as its case's."""
    texts = {"shaft": "88.0@micrometer", "bore": "110.01@bore-gauge", "width": "22"}
    readings = {place: read(place=place, texts=(text,)) for place, text in texts.items()}
    found = identify(kind_family("unitised"), readings)
    assert found.candidates[0].size.label == "75 x 110 x 22 two-part"
    assert found.verdict == "check"
    assert "ring-left-on" in {finding.finding for finding in found.findings}


def test_marks() -> None:
    assert {m for s in collar.sizes() for m in collar.mark_forms(s)} >= {"30"}
    assert {m for s in ujoint.sizes() for m in ujoint.mark_forms(s)} >= {"30292", "27619"}
    assert {m for s in felt.sizes() for m in felt.mark_forms(s)} >= {"40525"}
    assert {m for s in axial.sizes() for m in axial.mark_forms(s)} >= {"375425"}
    assert {m for s in unitised.sizes() for m in unitised.mark_forms(s)} >= {"10013016"}
