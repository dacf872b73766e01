"""Sizes against tables of general libraries of parts for drawing programs.

O-rings (AS568 in mm), retaining rings (DIN 471 and DIN 472) and keys: ``bd_warehouse`` 0.4.0 from
the Python registry, under the Apache licence 2.0. Bearings: the same, and ``openscad-mcad`` 2019.05
from Debian, under the LGPL 2.1. Only dimensions were taken. Where they and this project differ, the
difference is named here.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from fitcheck.limits import class_limits
from fitcheck.parts.circlip import LIMITS, groove_class
from fitcheck.tables import Row, table

HERE = Path(__file__).parent


def read(name: str) -> list[dict[str, str]]:
    with (HERE / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


ORINGS = {row["dash"]: row for row in read("parts_library_orings")}
RINGS = {(r["standard"], float(r["nominal_mm"])): r for r in read("parts_library_retaining_rings")}
BEARINGS = read("parts_library_bearings")
# The library rounds inches to a hundredth of a mm, some of them from an inch that was cut before.
ROUNDED_MM = 0.0066


def test_every_dash_number_but_the_bosses_is_compared() -> None:
    ours = {row.text("dash") for row in table("oring/as568").rows}
    assert {dash for dash in ours if dash < "900"} == set(ORINGS)
    assert len(ORINGS) == 349


def test_orings() -> None:
    for row in table("oring/as568").rows:
        other = ORINGS.get(row.text("dash"))
        if other is None:
            continue
        for column in ("id", "section"):
            ours = row.number(f"{column}_in") * 25.4
            assert ours == pytest.approx(float(other[f"{column}_mm"]), abs=ROUNDED_MM), other
        slack = row.number("id_tolerance_in") * 25.4
        assert slack == pytest.approx(float(other["id_tolerance_mm"]), abs=0.01), other


# Typed from memory, and no other than the library's: (standard, nominal) -> column, ours, theirs.
# The library's rings of 48 and 82 mm would be thicker than the groove it gives them; the other two
# free diameters differ by 0.05 and 0.1 mm within a tolerance of 1.8 mm.
DIFFERENT = {
    ("DIN 471", 48.0): ("thickness_mm", 1.75, 2.0),
    ("DIN 472", 82.0): ("thickness_mm", 2.5, 3.0),
    ("DIN 472", 72.0): ("free_mm", 76.5, 76.6),
    ("DIN 472", 90.0): ("free_mm", 95.5, 95.55),
}


def circlips() -> dict[tuple[str, float], Row]:
    return {(r.text("standard"), r.number("nominal_mm")): r for r in table("circlip/sizes").rows}


def test_retaining_rings() -> None:
    assert circlips().keys() == RINGS.keys()
    found = {}
    for key, row in circlips().items():
        for column in ("thickness_mm", "free_mm", "groove_mm", "groove_width_mm"):
            ours, theirs = row.number(column), float(RINGS[key][column])
            if ours != pytest.approx(theirs, abs=1e-6):
                found[key] = (column, ours, theirs)
    assert found == DIFFERENT


# Other signs in one edition of one ring each, told from those beside them.
OTHER_THICKNESS_LIMITS = {("DIN 471", n) for n in (*range(11, 49), 100)} | {("DIN 472", 82.0)}


# The library takes the tolerance of these grooves from the step beside their diameter's.
OTHER_STEP = {("DIN 471", 10.0), ("DIN 472", 9.0), ("DIN 472", 250.0)}


def test_limits_of_retaining_rings() -> None:
    for key, other in RINGS.items():
        standard, nominal = key
        side = "shaft" if standard == "DIN 471" else "bore"
        limits = class_limits(
            nominal_mm=float(other["groove_mm"]),
            tolerance_class=groove_class(groove=side, nominal_mm=nominal),
        )
        for ours, theirs in ((limits.lower_um, "lower"), (limits.upper_um, "upper")):
            found = float(other[f"groove_{theirs}_mm"])
            off = 0.0901 if key in OTHER_STEP else 0.0101
            assert ours / 1000.0 == pytest.approx(found, abs=off), key
        free = LIMITS["free_inside" if side == "shaft" else "free_outside"]
        assert free(float(other["free_mm"]), f"metric@{nominal:g}") == pytest.approx(
            (float(other["free_lower_mm"]), float(other["free_upper_mm"]))
        ), key
        if key not in OTHER_THICKNESS_LIMITS:
            assert LIMITS["thickness"](float(other["thickness_mm"]), "metric") == pytest.approx(
                (float(other["thickness_lower_mm"]), float(other["thickness_upper_mm"]))
            ), key


# One library gives one that the other makes 9 mm wide, as this project.
OTHER_WIDTH = {("638", "bd_warehouse 0.4.0"): (9.0, 6.0)}


def test_bearings() -> None:
    ours = {
        row.text("designation"): row
        for name in ("ball/sizes", "roller/sizes")
        for row in table(name).rows
    }
    compared = 0
    for other in BEARINGS:
        row = ours.get(other["designation"])
        if row is not None:
            compared += 1
            widths = row.number("width_mm"), float(other["width_mm"])
            if widths == OTHER_WIDTH.get((other["designation"], other["library"])):
                continue
            for column in ("bore_mm", "od_mm", "width_mm"):
                assert row.number(column) == float(other[column]), other
    assert compared == 76


def test_keys() -> None:
    rows = table("key/sizes").rows
    for other in read("parts_library_keys"):
        shaft = float(other["shaft_mm"])
        # The library gives the key of 6 to 8 mm to a shaft of 6 mm, too.
        (row,) = [r for r in rows if r.number("over_mm") < max(shaft, 6.1) <= r.number("incl_mm")]
        for column in ("width_mm", "height_mm", "depth_mm"):
            assert row.number(column) == float(other[column]), other
