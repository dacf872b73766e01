"""ISO 286 limits against a published table and two independent libraries."""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import isofits
import pressfit
import pytest
from pressfit import tables as pressfit_tables

from fitcheck.limits import class_limits, fit

FIXTURE = Path(__file__).with_name("iso286_2_classes.csv")

# ISO 286-2:2010, as several published tables agree: 15 classes at each of 25 steps.
with FIXTURE.open(encoding="utf-8", newline="") as handle:
    PUBLISHED = [
        (r["class"], *(float(r[c]) for c in ("over_mm", "incl_mm", "upper_um", "lower_um")))
        for r in csv.DictReader(handle)
    ]

# Where isofits 1.0 departs from the standard: its limits, and why they can't be right.
ISOFITS_FAULTS = {
    ("K6", 6, 10): (2, -6, "8 wide, and IT6 is 9 at this step"),
    ("f6", 120, 140): (-43, -48, "5 wide, and IT6 is 25 at this step"),
    ("f6", 140, 160): (-43, -48, "5 wide, and IT6 is 25 at this step"),
    ("f6", 160, 180): (-43, -48, "5 wide, and IT6 is 25 at this step"),
    ("E7", 315, 355): (185, 125, "60 wide, and IT7 is 57 at this step"),
    ("E7", 355, 400): (185, 125, "60 wide, and IT7 is 57 at this step"),
}

EDGES = (
    *(0, 3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280),
    *(315, 355, 400, 450, 500),
)
STEPS = list(pairwise(EDGES))


def inside(over_mm: float, incl_mm: float) -> tuple[float, float, float]:
    """The first size, a middle size and the last size of a step."""
    return math.nextafter(over_mm, math.inf), (over_mm + incl_mm) / 2, incl_mm


def limits_um(tolerance_class: str, nominal_mm: float) -> tuple[float, float]:
    found = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    return found.upper_um, found.lower_um


def test_published_table_is_whole() -> None:
    assert len(PUBLISHED) == 375
    assert sorted({(row[1], row[2]) for row in PUBLISHED}) == STEPS


@pytest.mark.parametrize(("tolerance_class", "over_mm", "incl_mm", "upper", "lower"), PUBLISHED)
def test_published_limits(
    tolerance_class: str, over_mm: float, incl_mm: float, upper: float, lower: float
) -> None:
    for nominal_mm in inside(over_mm, incl_mm):
        found = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
        assert (found.upper_um, found.lower_um) == (upper, lower)
        assert found.evidence == "seen"
        assert "from memory" not in found.source


def isofits_rows() -> list[tuple[str, str, int, int]]:
    return [
        (body, name, int(over), int(incl))
        for body, sizes in (("hole", isofits.hole_data), ("shaft", isofits.shaft_data))
        for name in list(sizes)[2:]
        for over, incl in zip(sizes["over"], sizes["inc."], strict=True)
    ]


def test_isofits_agrees_but_for_its_faults() -> None:
    rows = isofits_rows()
    assert len(rows) == 1480
    faults = set()
    for body, name, over, incl in rows:
        for nominal_mm in inside(over, incl):
            theirs = isofits.isotol(body, nominal_mm, name, "both")
            if (name, over, incl) in ISOFITS_FAULTS:
                faults.add((name, over, incl))
                assert theirs == ISOFITS_FAULTS[name, over, incl][:2]
                assert theirs != limits_um(name, nominal_mm)
            else:
                assert theirs == limits_um(name, nominal_mm), (name, nominal_mm)
    assert faults == set(ISOFITS_FAULTS)


@pytest.mark.parametrize("letter", pressfit_tables.SHAFT_LETTERS)
def test_pressfit_agrees(letter: str) -> None:
    """Pressfit 0.1.0 has no known fault in what it covers: H holes, sizes over 0 to 500."""
    for grade in pressfit_tables.GRADES:
        for over, incl in STEPS:
            for nominal_mm in inside(over, incl):
                theirs = pressfit.fit(f"H{grade}/{letter}{grade}", nominal_mm)
                ours = fit(
                    nominal_mm=nominal_mm,
                    hole_class=f"H{grade}",
                    shaft_class=f"{letter}{grade}",
                )
                assert (theirs.hole_es_um, theirs.hole_ei_um) == (
                    ours.hole.upper_um,
                    ours.hole.lower_um,
                )
                assert (theirs.shaft_es_um, theirs.shaft_ei_um) == (
                    ours.shaft.upper_um,
                    ours.shaft.lower_um,
                )
                assert theirs.kind == ours.kind
                assert theirs.clearance_um == (ours.min_clearance_um, ours.max_clearance_um)


# Preferred fits at 20 mm as metric handbooks print them (ANSI B4.2 and ISO 286-1, from memory):
# limits of size of the hole and of the shaft.
PREFERRED_FITS_20_MM = [
    ("H11/c11", (20.130, 20.000), (19.890, 19.760), "clearance"),
    ("H9/d9", (20.052, 20.000), (19.935, 19.883), "clearance"),
    ("H8/f7", (20.033, 20.000), (19.980, 19.959), "clearance"),
    ("H7/g6", (20.021, 20.000), (19.993, 19.980), "clearance"),
    ("H7/h6", (20.021, 20.000), (20.000, 19.987), "clearance"),
    ("H7/k6", (20.021, 20.000), (20.015, 20.002), "transition"),
    ("H7/n6", (20.021, 20.000), (20.028, 20.015), "transition"),
    ("H7/p6", (20.021, 20.000), (20.035, 20.022), "interference"),
    ("H7/s6", (20.021, 20.000), (20.048, 20.035), "interference"),
    ("H7/u6", (20.021, 20.000), (20.054, 20.041), "interference"),
    ("C11/h11", (20.240, 20.110), (20.000, 19.870), "clearance"),
    ("D9/h9", (20.117, 20.065), (20.000, 19.948), "clearance"),
    ("F8/h7", (20.053, 20.020), (20.000, 19.979), "clearance"),
    ("G7/h6", (20.028, 20.007), (20.000, 19.987), "clearance"),
    ("K7/h6", (20.006, 19.985), (20.000, 19.987), "transition"),
    ("N7/h6", (19.993, 19.972), (20.000, 19.987), "transition"),
    ("P7/h6", (19.986, 19.965), (20.000, 19.987), "interference"),
    ("S7/h6", (19.973, 19.952), (20.000, 19.987), "interference"),
    ("U7/h6", (19.967, 19.946), (20.000, 19.987), "interference"),
]


@pytest.mark.parametrize(("classes", "hole_mm", "shaft_mm", "kind"), PREFERRED_FITS_20_MM)
def test_preferred_fits_at_20_mm(
    classes: str, hole_mm: tuple[float, float], shaft_mm: tuple[float, float], kind: str
) -> None:
    hole_class, shaft_class = classes.split("/")
    found = fit(nominal_mm=20, hole_class=hole_class, shaft_class=shaft_class)
    sizes = (found.hole.upper_mm, found.hole.lower_mm, found.shaft.upper_mm, found.shaft.lower_mm)
    assert sizes == pytest.approx((*hole_mm, *shaft_mm), abs=1e-9)
    assert found.kind == kind


# Single cells of ISO 286-2:2010, from memory: what the rules and the exceptions come to.
CELLS = [
    ("K6", 30, 2, -11),
    ("K8", 30, 10, -23),
    ("K3", 25, -0.5, -4.5),
    ("K9", 3, 0, -25),
    ("M6", 30, -4, -17),
    ("M8", 30, 4, -29),
    ("M6", 250, -8, -37),
    ("M6", 250.1, -9, -41),
    ("M6", 315, -9, -41),
    ("M6", 315.1, -10, -46),
    ("M9", 30, -8, -60),
    ("N6", 30, -11, -24),
    ("N8", 30, -3, -36),
    ("N9", 30, 0, -52),
    ("N9", 3, -4, -29),
    ("N8", 0.5, -4, -18),
    ("P6", 8, -12, -21),
    ("P8", 8, -15, -37),
    ("P9", 30, -22, -74),
    ("R7", 30, -20, -41),
    ("S7", 50, -34, -59),
    ("T7", 30, -33, -54),
    ("X7", 20, -46, -67),
    ("Z7", 12, -43, -61),
    ("J6", 30, 8, -5),
    ("J7", 30, 12, -9),
    ("J8", 30, 20, -13),
    ("j5", 30, 5, -4),
    ("j6", 30, 9, -4),
    ("j7", 30, 13, -8),
    ("j8", 3, 8, -6),
    ("j6", 300, 16, -16),
    ("k5", 30, 11, 2),
    ("k7", 30, 23, 2),
    ("k8", 30, 33, 0),
    ("k3", 30, 4, 0),
    ("js7", 30, 10.5, -10.5),
    ("js5", 30, 4.5, -4.5),
    ("JS8", 30, 16.5, -16.5),
    ("cd6", 5, -46, -54),
    ("EF7", 8, 33, 18),
    ("fg6", 3, -4, -10),
    ("a11", 30, -300, -430),
    ("A11", 500, 2050, 1650),
    ("B12", 120, 590, 240),
    ("zc9", 18, 193, 150),
    ("H7", 600, 70, 0),
    ("P7", 600, -78, -148),
    ("N9", 600, -44, -219),
    ("m6", 600, 70, 26),
    ("k6", 600, 44, 0),
    ("js9", 3150, 270, -270),
    ("H13", 400, 890, 0),
    ("H1", 400, 7, 0),
    ("h18", 3150, 0, -33000),
]


@pytest.mark.parametrize(("tolerance_class", "nominal_mm", "upper", "lower"), CELLS)
def test_single_cells(tolerance_class: str, nominal_mm: float, upper: float, lower: float) -> None:
    assert limits_um(tolerance_class, nominal_mm) == (upper, lower)
