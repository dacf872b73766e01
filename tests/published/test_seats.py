"""Seats against fits worked out by hand, and inch seats against the fits printed beside them.

The limits are those of ISO 492 class Normal for tapered bearings, ISO 286-2 and ANSI/ABMA 19.2
class 4, all from memory; the fits follow from them by subtraction.
"""

from __future__ import annotations

import pytest

from fitcheck.assess.seat import (
    Seat,
    bearing_bore_limits_mm,
    bearing_od_limits_mm,
    housing_seat,
    journal_seat,
)
from fitcheck.errors import OffTableError
from fitcheck.tables import Row, table

IN_UM = 25400.0

# Over one step, up to and including the next: both sides of each edge.
ISO492_NORMAL_BORE = [
    (10.5, -12),
    (18, -12),
    (30, -12),
    (30.5, -12),
    (50, -12),
    (50.5, -15),
    (80, -15),
    (80.5, -20),
    (120, -20),
    (120.5, -25),
    (180, -25),
    (180.5, -30),
    (250, -30),
]
ISO492_NORMAL_OD = [
    (18.5, -12),
    (30, -12),
    (30.5, -14),
    (50, -14),
    (50.5, -16),
    (80, -16),
    (80.5, -18),
    (120, -18),
    (120.5, -20),
    (150, -20),
    (150.5, -25),
    (180, -25),
    (180.5, -30),
    (250, -30),
    (250.5, -35),
]
# (nominal, class, tightest interference, loosest clearance), in um.
ISO492_CONE_HUB_TURNS = [
    (18, "g6", 6, 17),
    (18.5, "g6", 5, 20),
    (30, "g6", 5, 20),
    (30.5, "g6", 3, 25),
    (50, "g6", 3, 25),
    (50.5, "g6", 5, 29),
    (80, "g6", 5, 29),
    (80.5, "g6", 8, 34),
    (120, "g6", 8, 34),
    (120.5, "g6", 11, 39),
    (180, "g6", 11, 39),
    (180.5, "g6", 15, 44),
    (250, "g6", 15, 44),
]
ISO492_CONE_SHAFT_TURNS = [
    (18, "k6", 24, -1),
    (30, "k6", 27, -2),
    (30.5, "k6", 30, -2),
    (40, "k6", 30, -2),
    (40.5, "m6", 37, -9),
    (50, "m6", 37, -9),
    (50.5, "m6", 45, -11),
    (80, "m6", 45, -11),
    (80.5, "m6", 55, -13),
    (120, "m6", 55, -13),
    (120.5, "m6", 65, -15),
    (140, "m6", 65, -15),
    (140.5, "n6", 77, -27),
    (200, "n6", 90, -31),
    (200.5, "p6", 109, -50),
]
ISO492_CUP_HUB_TURNS = [
    (30, "N7", 28, 5),
    (30.5, "N7", 33, 6),
    (50, "N7", 33, 6),
    (50.5, "N7", 39, 7),
    (80, "N7", 39, 7),
    (80.5, "N7", 45, 8),
    (120, "N7", 45, 8),
    (120.5, "N7", 52, 8),
    (150, "N7", 52, 8),
    (150.5, "N7", 52, 13),
    (180, "N7", 52, 13),
    (180.5, "N7", 60, 16),
    (250, "N7", 60, 16),
    (250.5, "N7", 66, 21),
]
ISO492_CUP_SHAFT_TURNS = [
    (30, "H7", 0, 33),
    (50, "H7", 0, 39),
    (50.5, "H7", 0, 46),
    (80, "H7", 0, 46),
    (80.5, "H7", 0, 53),
    (120, "H7", 0, 53),
    (120.5, "H7", 0, 60),
    (150, "H7", 0, 60),
    (150.5, "H7", 0, 65),
    (180.5, "H7", 0, 76),
]


@pytest.mark.parametrize(("bore_mm", "lower_um"), ISO492_NORMAL_BORE)
def test_metric_bores_are_made_to_nominal_or_under(bore_mm: float, lower_um: float) -> None:
    found = bearing_bore_limits_mm(bore_mm=bore_mm, system="metric")
    assert (found.upper_um, found.lower_um) == (0, lower_um)
    assert found.lower_mm == pytest.approx(bore_mm + lower_um / 1000)
    assert "ISO 492" in found.source


@pytest.mark.parametrize(("od_mm", "lower_um"), ISO492_NORMAL_OD)
def test_metric_outsides_are_made_to_nominal_or_under(od_mm: float, lower_um: float) -> None:
    found = bearing_od_limits_mm(od_mm=od_mm, system="metric")
    assert (found.upper_um, found.lower_um) == (0, lower_um)


@pytest.mark.parametrize(
    ("size_in", "bore_in", "od_in"),
    [
        (1.0, 0.0005, 0.001),
        (3.0, 0.0005, 0.001),
        (3.0005, 0.001, 0.001),
        (12.0, 0.001, 0.001),
        (12.001, 0.002, 0.002),
        (24.0, 0.002, 0.002),
        (24.5, 0.003, 0.003),
    ],
)
def test_inch_rings_are_made_to_nominal_or_over(
    size_in: float, bore_in: float, od_in: float
) -> None:
    bore = bearing_bore_limits_mm(bore_mm=size_in * 25.4, system="inch")
    od = bearing_od_limits_mm(od_mm=size_in * 25.4, system="inch")
    assert (bore.lower_um, od.lower_um) == (0, 0)
    assert bore.upper_um == pytest.approx(bore_in * IN_UM)
    assert od.upper_um == pytest.approx(od_in * IN_UM)


def check(seat: Seat, name: str, tight: float, loose: float) -> None:
    answer = seat.as_json()
    assert answer["class"] == name
    assert answer["fit_um"] == {"tight": tight, "loose": loose}


@pytest.mark.parametrize(("bore_mm", "name", "tight", "loose"), ISO492_CONE_HUB_TURNS)
def test_cone_on_a_fixed_spindle(bore_mm: float, name: str, tight: float, loose: float) -> None:
    check(journal_seat(bore_mm=bore_mm, system="metric", turning="hub"), name, tight, loose)


@pytest.mark.parametrize(("bore_mm", "name", "tight", "loose"), ISO492_CONE_SHAFT_TURNS)
def test_cone_on_a_turning_shaft(bore_mm: float, name: str, tight: float, loose: float) -> None:
    check(journal_seat(bore_mm=bore_mm, system="metric", turning="shaft"), name, tight, loose)


@pytest.mark.parametrize(("od_mm", "name", "tight", "loose"), ISO492_CUP_HUB_TURNS)
def test_cup_in_a_turning_hub(od_mm: float, name: str, tight: float, loose: float) -> None:
    check(housing_seat(od_mm=od_mm, system="metric", turning="hub"), name, tight, loose)


@pytest.mark.parametrize(("od_mm", "name", "tight", "loose"), ISO492_CUP_SHAFT_TURNS)
def test_cup_in_a_fixed_housing(od_mm: float, name: str, tight: float, loose: float) -> None:
    check(housing_seat(od_mm=od_mm, system="metric", turning="shaft"), name, tight, loose)


@pytest.mark.parametrize(
    ("application", "name", "tight", "loose"),
    [
        ("located", "J7", 12, 34),  # J7 at 62: +18/-12
        ("fixed", "P7", 51, -5),  # P7 at 62: -21/-51
        ("adjustable", "H7", 0, 46),
    ],
)
def test_cup_in_a_fixed_housing_by_use(
    application: str, name: str, tight: float, loose: float
) -> None:
    seat = housing_seat(od_mm=62, system="metric", turning="shaft", application=application)
    check(seat, name, tight, loose)


@pytest.mark.parametrize(
    ("application", "name", "tight", "loose"),
    [
        ("idler", "M7", 30, 16),  # M7 at 62: 0/-30
        ("wheel-hub-thin", "P7", 51, -5),
        ("light-alloy-hub", "R7", 60, -14),  # R7 at 62: -30/-60
    ],
)
def test_cup_in_a_turning_hub_by_use(
    application: str, name: str, tight: float, loose: float
) -> None:
    seat = housing_seat(od_mm=62, system="metric", turning="hub", application=application)
    check(seat, name, tight, loose)


INCH_ROWS = table("fit_practice/inch").rows


@pytest.mark.parametrize(
    "row",
    INCH_ROWS,
    ids=[f"{r.text('ring')}-{r.text('application')}-{r.text('over_in')}" for r in INCH_ROWS],
)
def test_inch_fits_follow_from_seat_and_bearing_as_printed(row: Row) -> None:
    turning = {("cone", "rotating"): "shaft", ("cup", "stationary"): "shaft"}.get(
        (row.text("ring"), row.text("load")), "hub"
    )
    printed = (
        row.number("fit_tightest_in") * IN_UM,
        -row.number("fit_loosest_in") * IN_UM,
    )
    over, incl = row.number("over_in"), row.number("incl_in")
    edges = (over + 0.001, (over + incl) / 2, incl)
    for size_mm in (25.4 * edge for edge in edges):
        application = row.text("application")
        seat = (
            journal_seat(bore_mm=size_mm, system="inch", turning=turning, application=application)
            if row.text("ring") == "cone"
            else housing_seat(
                od_mm=size_mm, system="inch", turning=turning, application=application
            )
        )
        assert (seat.tight_um, seat.loose_um) == pytest.approx(printed)
        assert seat.tolerance_class.startswith("inch practice, turning ")


def test_inch_seats_in_numbers() -> None:
    # A 1.25 in spindle of a turning hub: -0.0002/-0.0007 in, bore 0/+0.0005 in.
    spindle = journal_seat(bore_mm=31.75, system="inch", turning="hub").as_json()
    assert spindle["fit_um"] == {"tight": -5.1, "loose": 30.5}
    assert spindle["class"] == "inch practice, turning hub"
    # A 2.328 in cup in a turning hub: -0.0015/-0.0025 in, outside 0/+0.001 in.
    cup = housing_seat(od_mm=59.131, system="inch", turning="hub").as_json()
    assert cup["fit_um"] == {"tight": 88.9, "loose": -38.1}


@pytest.mark.parametrize("bore_mm", [9.9, 10.0, 500.5, 700.0])
def test_metric_bores_off_the_table_are_refused(bore_mm: float) -> None:
    with pytest.raises(OffTableError, match=r"over 10 up to and including 500 mm"):
        bearing_bore_limits_mm(bore_mm=bore_mm, system="metric")


def test_practice_off_the_table_is_refused() -> None:
    with pytest.raises(OffTableError, match=r"260 mm: .* over 0 up to and including 250 mm"):
        journal_seat(bore_mm=260, system="metric", turning="hub")
    with pytest.raises(OffTableError, match=r"over 50 up to and including 500 mm"):
        journal_seat(bore_mm=50, system="metric", turning="shaft", application="shock-load")
    with pytest.raises(OffTableError, match=r"0\.0005 in of interference per inch of bore"):
        journal_seat(bore_mm=101.6, system="inch", turning="shaft", application="shock-load")
