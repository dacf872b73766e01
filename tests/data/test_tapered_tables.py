"""Every row of the tapered-bearing tables against the rules that must hold for it."""

from __future__ import annotations

import csv
import json
import math
from collections import defaultdict
from itertools import combinations, pairwise
from pathlib import Path

import pytest

DATA = Path(__file__).resolve().parents[2] / "data"
FOLDERS = ("tapered", "bearing_tolerances", "fit_practice")

Row = dict[str, str]


def read(name: str) -> list[Row]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


METRIC = read("tapered/metric")
INCH = read("tapered/inch")
LOOK_ALIKES = read("tapered/look_alikes")
METRIC_LIMITS = read("bearing_tolerances/metric")
INCH_LIMITS = read("bearing_tolerances/inch")
METRIC_FITS = read("fit_practice/metric")
INCH_FITS = read("fit_practice/inch")

SIZES = ("bore", "od", "width", "cone_width", "cup_width")
ROUNDING = 1e-9


def mm(row: Row) -> dict[str, float]:
    """The five sizes in mm, whatever unit the row is native to."""
    if row.get("bore_in"):
        return {name: float(row[f"{name}_in"]) * 25.4 for name in SIZES}
    return {name: float(row[f"{name}_mm"]) for name in SIZES}


def native(row: Row) -> tuple[float, ...]:
    unit = row["native_unit"]
    return tuple(float(row[f"{name}_{unit}"]) for name in SIZES)


def by_series() -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for row in METRIC:
        found[row["series"]].append(row)
    for rows in found.values():
        rows.sort(key=lambda row: float(row["bore_mm"]))
    return found


# Metric: designations and series

TO_110 = [20, *range(25, 115, 5)]
BIG = [*range(120, 210, 10)]
THREE = [22, 28, 32]
# The bores each series has. 313 starts at 25, 330 at 25, 331 at 40; 331 stops at 120, 332 at 105.
EXPECTED = {
    "302": [15, 17, *TO_110, *THREE, *BIG, 220],
    "303": [15, 17, *TO_110, *THREE, *BIG],
    "313": [*range(25, 115, 5), 120, 130, 140, 150],
    "320 X": [*TO_110, *THREE, *BIG, 220, 240],
    "322": [17, *TO_110, *THREE, *BIG, 220],
    "322 B": [25, 28, 30, 35],
    "323": [17, *TO_110, *BIG, 220],
    "323 B": [*range(30, 80, 5)],
    "329": [*TO_110, *THREE, *BIG, 220, 240],
    "330": [*range(25, 115, 5), 120, 130, 140, 150],
    "331": [*range(40, 115, 5), 120],
    "332": [*range(25, 110, 5), 28, 32],
}
X_SIZES_OF_313 = {100, 105, 110, 120, 130, 140, 150}


def test_every_series_has_all_its_bores() -> None:
    found = {name: [float(row["bore_mm"]) for row in rows] for name, rows in by_series().items()}
    assert sorted(found) == sorted(EXPECTED)
    for series, bores in EXPECTED.items():
        missing = sorted(set(bores) - set(found[series]))
        extra = sorted(set(found[series]) - set(bores))
        assert not missing, f"series {series} lacks the bores {missing}"
        assert not extra, f"series {series} has bores nobody expects: {extra}"
        assert len(found[series]) == len(set(found[series])), f"series {series} repeats a bore"


def bore_from_code(code: str) -> float:
    if code.startswith("/"):
        return float(code[1:])
    return {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}.get(code, 5.0 * int(code))


@pytest.mark.parametrize("row", METRIC, ids=lambda row: row["designation"])
def test_the_designation_spells_series_and_bore(row: Row) -> None:
    base, _, suffix = row["designation"].partition(" ")
    series, _, steep = row["series"].partition(" ")
    assert base[:3] == series
    assert bore_from_code(base[3:]) == float(row["bore_mm"])
    expected = steep
    if series == "313" and float(row["bore_mm"]) in X_SIZES_OF_313:
        expected = "X"
    assert suffix == expected


def test_designations_are_given_once() -> None:
    names = [row["designation"] for row in METRIC]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("row", METRIC, ids=lambda row: row["designation"])
def test_a_metric_row_is_a_possible_bearing(row: Row) -> None:
    size = mm(row)
    assert size["bore"] < size["od"]
    assert size["cup_width"] <= size["cone_width"] <= size["width"]
    section = (size["od"] - size["bore"]) / 2
    # The roller takes about half of the section; thinner or fatter rings are not made.
    assert section >= 7.5
    assert 0.5 <= size["width"] / section <= 2.0
    assert 0.55 <= size["cup_width"] / size["width"] <= 0.90
    for name in ("cone_radius_mm", "cup_radius_mm"):
        if row[name]:
            assert 0.3 <= float(row[name]) <= section / 4
    assert bool(row["cone_radius_mm"]) == bool(row["cup_radius_mm"])
    if row["cone_radius_mm"]:
        assert float(row["cup_radius_mm"]) <= float(row["cone_radius_mm"])
    if row["effective_centre_mm"]:
        assert 0.5 <= float(row["effective_centre_mm"]) / size["width"] <= 1.0


# The cup of a size may be a little narrower than that of the size before it.
NARROWER_CUPS = {"320/22 X", "33110", "33122", "33210", "33215"}


@pytest.mark.parametrize("series", EXPECTED)
def test_sizes_grow_along_a_series(series: str) -> None:
    narrower = set()
    for small, large in pairwise(by_series()[series]):
        one, other = mm(small), mm(large)
        label = f"{small['designation']} to {large['designation']}"
        assert one["od"] < other["od"], f"{label}: od falls"
        assert one["width"] <= other["width"], f"{label}: width falls"
        assert one["cone_width"] <= other["cone_width"], f"{label}: cone width falls"
        if one["cup_width"] > other["cup_width"]:
            narrower.add(large["designation"])
            assert one["cup_width"] - other["cup_width"] <= 1.0, f"{label}: cup width falls"
    assert narrower <= NARROWER_CUPS


def test_the_listed_exceptions_are_all_needed() -> None:
    narrower = set()
    for rows in by_series().values():
        for small, large in pairwise(rows):
            if mm(small)["cup_width"] > mm(large)["cup_width"]:
                narrower.add(large["designation"])
    assert narrower == NARROWER_CUPS


@pytest.mark.parametrize(
    ("family", "equal"),
    [
        (("302", "322", "332", "322 B"), ("bore", "od")),
        (("303", "313", "323", "323 B"), ("bore", "od")),
        (("320 X", "330"), ("bore", "od")),
        (("322", "322 B"), ("bore", "od", "width", "cone_width")),
        (("323", "323 B"), ("bore", "od", "width", "cone_width", "cup_width")),
    ],
)
def test_series_of_one_diameter_row_share_sizes(
    family: tuple[str, ...], equal: tuple[str, ...]
) -> None:
    seen: dict[float, tuple[str, tuple[float, ...]]] = {}
    for row in METRIC:
        if row["series"] in family:
            size = mm(row)
            values = tuple(size[name] for name in equal)
            name, earlier = seen.setdefault(size["bore"], (row["designation"], values))
            assert values == earlier, f"{row['designation']} and {name} differ in {equal}"


def test_303_and_313_differ_in_the_cup_only() -> None:
    plain = {row["bore_mm"]: mm(row) for row in by_series()["303"]}
    for row in by_series()["313"]:
        steep, other = mm(row), plain[row["bore_mm"]]
        assert steep["od"] == other["od"], row["designation"]
        assert steep["cup_width"] < other["cup_width"], row["designation"]
        if row["designation"].endswith("X"):
            assert steep["width"] > other["width"], row["designation"]
            assert steep["cone_width"] > other["cone_width"], row["designation"]
        else:
            assert steep["width"] == other["width"], row["designation"]
            assert steep["cone_width"] == other["cone_width"], row["designation"]


def test_wider_series_are_wider() -> None:
    series = {name: {row["bore_mm"]: mm(row) for row in rows} for name, rows in by_series().items()}
    for narrow, wide in (("302", "322"), ("322", "332"), ("303", "323"), ("320 X", "330")):
        for bore in series[narrow].keys() & series[wide].keys():
            assert series[narrow][bore]["width"] < series[wide][bore]["width"], (narrow, wide, bore)


# Metric: the ISO 355 code

DIAMETER_LETTERS = {
    "B": (3.4, 3.8),
    "C": (3.8, 4.4),
    "D": (4.4, 4.7),
    "E": (4.7, 5.0),
    "F": (5.0, 5.6),
    "G": (5.6, 7.0),
}
WIDTH_LETTERS = {
    "B": (0.50, 0.68),
    "C": (0.68, 0.80),
    "D": (0.80, 0.88),
    "E": (0.88, 1.00),
}
# Contact angle in degrees, over and up to.
ANGLE_DIGITS = {
    "2": (10.0, 13 + 52 / 60),
    "3": (13 + 52 / 60, 15 + 59 / 60),
    "4": (15 + 59 / 60, 18 + 55 / 60),
    "5": (18 + 55 / 60, 23.0),
    "6": (23.0, 27.0),
    "7": (27.0, 30.0),
}
CODED = [row for row in METRIC if row["iso355_series"]]


@pytest.mark.parametrize("row", CODED, ids=lambda row: row["designation"])
def test_the_letters_of_the_code_follow_from_the_sizes(row: Row) -> None:
    size, code = mm(row), row["iso355_series"]
    diameter = size["od"] / size["bore"] ** 0.77
    low, high = DIAMETER_LETTERS[code[1]]
    assert low < diameter <= high, f"{code}: D / d^0.77 is {diameter:.3f}, not {low} to {high}"
    width = size["width"] / (size["od"] - size["bore"]) ** 0.95
    low, high = WIDTH_LETTERS[code[2]]
    assert low < width <= high, f"{code}: T / (D-d)^0.95 is {width:.3f}, not {low} to {high}"


@pytest.mark.parametrize("row", CODED, ids=lambda row: row["designation"])
def test_the_angle_digit_follows_from_the_e_factor(row: Row) -> None:
    if not row["e_factor"]:
        return
    # e is 1.5 tan(angle), printed with two decimals.
    e, (low, high) = float(row["e_factor"]), ANGLE_DIGITS[row["iso355_series"][0]]
    least = math.degrees(math.atan((e - 0.005) / 1.5))
    most = math.degrees(math.atan((e + 0.005) / 1.5))
    assert most > low, f"e {e} is too small for angle digit {row['iso355_series'][0]}"
    assert least <= high, f"e {e} is too large for angle digit {row['iso355_series'][0]}"


def test_few_sizes_lack_a_code() -> None:
    without = {row["designation"] for row in METRIC if not row["iso355_series"]}
    assert without == {
        *("302/22", "303/22", "303/28", "303/32", "322/22", "322/28", "322/32"),
        *("30244", "30336", "30338", "30340", "32240"),
        *("32332", "32334", "32336", "32338", "32340", "32344"),
    }


def test_steep_series_have_steep_angles() -> None:
    for row in CODED:
        steep = row["series"] == "313" or row["series"].endswith("B")
        assert (row["iso355_series"][0] >= "5") == steep, row["designation"]


# Inch


def test_there_are_enough_inch_pairs() -> None:
    assert sum(row["native_unit"] == "in" for row in INCH) >= 200


def test_inch_pairs_are_given_once() -> None:
    pairs = [(row["cone"], row["cup"]) for row in INCH]
    assert len(pairs) == len(set(pairs))


@pytest.mark.parametrize("row", INCH, ids=lambda row: f"{row['cone']}-{row['cup']}")
def test_one_unit_is_filled_and_the_other_blank(row: Row) -> None:
    unit = row["native_unit"]
    other = "mm" if unit == "in" else "in"
    assert all(row[f"{name}_{unit}"] for name in SIZES)
    assert not any(row[f"{name}_{other}"] for name in SIZES)
    # J marks the cones and cups designed in millimetres.
    assert row["cone"].startswith("J") == row["cup"].startswith("J") == (unit == "mm")
    if unit == "in":
        for name in SIZES:
            assert len(row[f"{name}_in"].partition(".")[2]) == 4, "inches carry four decimals"


@pytest.mark.parametrize("row", INCH, ids=lambda row: f"{row['cone']}-{row['cup']}")
def test_an_inch_row_is_a_possible_bearing(row: Row) -> None:
    size = mm(row)
    assert 12.0 < size["bore"] < size["od"] < 310.0
    assert size["cup_width"] < size["width"]
    assert size["cup_width"] < size["cone_width"]
    assert 0.85 <= size["cone_width"] / size["width"] <= 1.10
    assert 0.55 <= size["cup_width"] / size["width"] <= 0.87
    section = (size["od"] - size["bore"]) / 2
    assert 0.65 <= size["width"] / section <= 1.8
    assert 3.2 <= size["od"] / size["bore"] ** 0.77 <= 7.5


@pytest.mark.parametrize(
    ("ring", "sizes"), [("cone", ("bore", "cone_width")), ("cup", ("od", "cup_width"))]
)
def test_a_shared_ring_has_the_same_sizes_in_every_row(ring: str, sizes: tuple[str, str]) -> None:
    known: dict[str, tuple[str, ...]] = {}
    for row in INCH:
        unit = row["native_unit"]
        values = tuple(row[f"{name}_{unit}"] for name in sizes)
        earlier = known.setdefault(row[ring], values)
        assert values == earlier, f"{ring} {row[ring]} has {sizes} {earlier} and {values}"


def test_cones_of_one_width_stand_equally_high_in_a_shared_cup() -> None:
    """T of a pair belongs to the raceways: same cup and same cone width, same T."""
    known: dict[tuple[str, str], str] = {}
    for row in INCH:
        unit = row["native_unit"]
        width = row[f"width_{unit}"]
        earlier = known.setdefault((row["cup"], row[f"cone_width_{unit}"]), width)
        assert width == earlier, f"cup {row['cup']} has the widths {earlier} and {width}"


def test_leading_zeros_are_kept() -> None:
    numbers = {row["cone"] for row in INCH} | {row["cup"] for row in INCH}
    for text in ("02475", "02420", "07100", "07196", "09067", "09195"):
        assert text in numbers
        assert text.lstrip("0") not in numbers


# Look-alikes

CALIPER_MM = 0.15


def parts(kind: str) -> dict[str, dict[str, float]]:
    """Sizes of the parts of one kind by the name they go by in the table of look-alikes."""
    found: dict[str, dict[str, float]] = {}
    if kind == "bearing":
        found = {row["designation"]: mm(row) for row in METRIC}
        found |= {f"{row['cone']}/{row['cup']}": mm(row) for row in INCH}
        return found
    names = ("bore", "cone_width") if kind == "cone" else ("od", "cup_width")
    return {row[kind]: {name: mm(row)[name] for name in names} for row in INCH}


LISTED = {frozenset((row["one"], row["other"])) for row in LOOK_ALIKES}


@pytest.mark.parametrize("row", LOOK_ALIKES, ids=lambda row: f"{row['one']}-{row['other']}")
def test_look_alikes_look_alike_but_for_what_is_said(row: Row) -> None:
    known = parts(row["part"])
    assert row["one"] in known, f"{row['one']} is in neither table"
    assert row["other"] in known, f"{row['other']} is in neither table"
    one, other = known[row["one"]], known[row["other"]]
    different = {name for name in one if abs(one[name] - other[name]) > CALIPER_MM}
    widths = {"width", "cone_width", "cup_width"}
    if row["differs"] == "width":
        assert different
        assert different <= widths
    elif row["differs"] == "cup width":
        assert different == {"cup_width"}
    elif row["differs"] == "angle":
        assert different <= {"cup_width"}
    elif row["differs"] == "outside diameter":
        assert not different
        assert one["od"] != other["od"]
    else:
        assert not different


def test_look_alikes_are_listed_once() -> None:
    assert len(LISTED) == len(LOOK_ALIKES)


def test_metric_sizes_that_share_d_d_and_t_are_all_listed() -> None:
    known = parts("bearing")
    names = {row["designation"] for row in METRIC}
    names |= {f"{row['cone']}/{row['cup']}" for row in INCH if row["native_unit"] == "mm"}
    metric = {name: known[name] for name in names}
    for one, other in combinations(sorted(metric), 2):
        if all(metric[one][k] == metric[other][k] for k in ("bore", "od", "width")):
            assert frozenset((one, other)) in LISTED, f"{one} and {other} are not listed"


@pytest.mark.parametrize(("ring", "mate"), [("cone", "cup"), ("cup", "cone")])
def test_rings_that_share_sizes_and_a_mate_are_all_listed(ring: str, mate: str) -> None:
    mates: dict[str, set[str]] = defaultdict(set)
    for row in INCH:
        mates[row[ring]].add(row[mate])
    known = parts(ring)
    for one, other in combinations(sorted(known), 2):
        if known[one] == known[other] and mates[one] & mates[other]:
            assert frozenset((one, other)) in LISTED, f"{one} and {other} are not listed"


def test_inch_sets_of_equal_sizes_are_listed_or_share_a_ring() -> None:
    groups: dict[tuple[float, ...], list[Row]] = defaultdict(list)
    for row in INCH:
        groups[native(row)].append(row)
    mates: dict[str, set[str]] = defaultdict(set)
    for row in INCH:
        mates[row["cone"]].add(row["cup"])
    for rows in groups.values():
        for one, other in combinations(rows, 2):
            if mates[one["cone"]] & mates[other["cone"]]:
                continue
            pair = {f"{row['cone']}/{row['cup']}" for row in (one, other)}
            assert pair in LISTED, f"{pair} are not listed"


# Tolerances


@pytest.mark.parametrize(
    ("rows", "unit"), [(METRIC_LIMITS, "mm"), (INCH_LIMITS, "in")], ids=["metric", "inch"]
)
def test_tolerance_steps_follow_each_other(rows: list[Row], unit: str) -> None:
    groups: dict[tuple[str, str], list[tuple[float, float]]] = defaultdict(list)
    for row in rows:
        assert row["step_by"] == ("od" if row["dimension"] == "od" else "bore")
        step = float(row[f"over_{unit}"]), float(row[f"incl_{unit}"])
        assert step[0] < step[1], row
        groups[row["bearing_class"], row["dimension"]].append(step)
    for name, steps in groups.items():
        for one, other in pairwise(sorted(steps)):
            assert one[1] == other[0], f"{name}: {one} is not followed by {other}"


def limit(row: Row, unit: str) -> tuple[float, float]:
    return float(row[f"upper_{unit}"]), float(row[f"lower_{unit}"])


def test_every_class_limits_every_dimension() -> None:
    for rows, classes in ((METRIC_LIMITS, ("Normal", "6X")), (INCH_LIMITS, ("4", "2"))):
        for name in classes:
            assert {r["dimension"] for r in rows if r["bearing_class"] == name} == set(SIZES)


def test_metric_diameters_are_never_over_nominal() -> None:
    for row in METRIC_LIMITS:
        if row["dimension"] in ("bore", "od", "cone_width", "cup_width"):
            upper, lower = limit(row, "um")
            assert upper == 0, row
            assert lower < 0, row


def test_inch_diameters_are_never_under_nominal() -> None:
    for row in INCH_LIMITS:
        upper, lower = limit(row, "in")
        assert lower < upper, row
        if row["dimension"] in ("bore", "od"):
            assert lower == 0, row


def test_limits_widen_with_size() -> None:
    for rows, unit, size in ((METRIC_LIMITS, "um", "mm"), (INCH_LIMITS, "in", "in")):
        bands: dict[tuple[str, str], list[tuple[float, float]]] = defaultdict(list)
        for row in rows:
            upper, lower = limit(row, unit)
            key = row["bearing_class"], row["dimension"]
            bands[key].append((float(row[f"over_{size}"]), upper - lower))
        for key, found in bands.items():
            for one, other in pairwise(sorted(found)):
                assert one[1] <= other[1], f"{key}: the band shrinks at {other[0]}"


def test_the_cup_width_of_class_normal_has_the_limits_of_the_cone_width() -> None:
    def found(dimension: str) -> set[tuple[str, ...]]:
        return {
            (r["over_mm"], r["incl_mm"], r["upper_um"], r["lower_um"])
            for r in METRIC_LIMITS
            if (r["bearing_class"], r["dimension"]) == ("Normal", dimension)
        }

    assert found("cup_width") == found("cone_width")


def test_class_6x_changes_the_widths_only() -> None:
    def found(name: str, dimension: str) -> dict[str, tuple[float, float]]:
        return {
            r["over_mm"]: limit(r, "um")
            for r in METRIC_LIMITS
            if (r["bearing_class"], r["dimension"]) == (name, dimension)
        }

    for dimension in ("bore", "od"):
        closer, normal = found("6X", dimension), found("Normal", dimension)
        assert closer == {over: normal[over] for over in closer}
    normal_least = min(u - lo for u, lo in found("Normal", "width").values())
    assert found("6X", "width")["10"] == (100.0, 0.0)
    assert normal_least == 200.0


def test_small_tapered_bores_have_more_than_other_radial_bearings() -> None:
    """Other radial bearings have -8 um over 10 to 18 mm and -10 um over 18 to 30 mm."""
    lower = {
        r["over_mm"]: float(r["lower_um"])
        for r in METRIC_LIMITS
        if (r["bearing_class"], r["dimension"]) == ("Normal", "bore")
    }
    assert lower["10"] == lower["18"] == lower["30"] == -12.0


def step_holds(row: Row, size: float, unit: str) -> bool:
    """Whether a row's step, over and up to, holds a size; a blank end is open."""
    over, incl = row[f"over_{unit}"], row[f"incl_{unit}"]
    return (not over or float(over) < size) and (not incl or size <= float(incl))


@pytest.mark.parametrize("row", METRIC, ids=lambda row: row["designation"])
def test_every_metric_bearing_finds_its_limits(row: Row) -> None:
    size = mm(row)
    for dimension in SIZES:
        hits = [
            r
            for r in METRIC_LIMITS
            if (r["bearing_class"], r["dimension"]) == ("Normal", dimension)
            and step_holds(r, size[r["step_by"]], "mm")
        ]
        assert len(hits) == 1, f"{dimension}: {len(hits)} rows"


@pytest.mark.parametrize("row", INCH, ids=lambda row: f"{row['cone']}-{row['cup']}")
def test_every_inch_bearing_finds_its_limits(row: Row) -> None:
    size = {name: value / 25.4 for name, value in mm(row).items()}
    for dimension in SIZES:
        hits = [
            r
            for r in INCH_LIMITS
            if (r["bearing_class"], r["dimension"]) == ("4", dimension)
            and step_holds(r, size[r["step_by"]], "in")
        ]
        assert len(hits) == 1, f"{dimension}: {len(hits)} rows"


# Fit practice


@pytest.mark.parametrize("row", INCH_FITS, ids=lambda r: f"{r['ring']}-{r['application']}")
def test_the_fit_is_the_seat_combined_with_the_bearing(row: Row) -> None:
    """Interference is shaft less cone bore, and cup less housing; class 4 limits."""
    dimension = "bore" if row["ring"] == "cone" else "od"
    assert row["step_by"] == dimension
    bearing = [
        r
        for r in INCH_LIMITS
        if (r["bearing_class"], r["dimension"]) == ("4", dimension)
        and step_holds(r, float(row["incl_in"]), "in")
    ]
    assert len(bearing) == 1
    upper, lower = limit(bearing[0], "in")
    seat_upper, seat_lower = float(row["seat_upper_in"]), float(row["seat_lower_in"])
    assert seat_lower < seat_upper
    if row["ring"] == "cone":
        tightest, loosest = seat_upper - lower, seat_lower - upper
    else:
        tightest, loosest = upper - seat_lower, lower - seat_upper
    assert abs(float(row["fit_tightest_in"]) - tightest) < ROUNDING
    assert abs(float(row["fit_loosest_in"]) - loosest) < ROUNDING


@pytest.mark.parametrize(
    ("rows", "unit"), [(METRIC_FITS, "mm"), (INCH_FITS, "in")], ids=["metric", "inch"]
)
def test_fit_steps_follow_each_other(rows: list[Row], unit: str) -> None:
    groups: dict[tuple[str, str, str], list[tuple[float, float]]] = defaultdict(list)
    for row in rows:
        over, incl = row[f"over_{unit}"], row[f"incl_{unit}"]
        step = float(over or 0), float(incl or math.inf)
        groups[row["ring"], row["load"], row["application"]].append(step)
    for name, steps in groups.items():
        for one, other in pairwise(sorted(steps)):
            assert one[1] == other[0], f"{name}: {one} is not followed by {other}"


@pytest.mark.parametrize("load", ["rotating", "stationary"])
@pytest.mark.parametrize("ring", ["cone", "cup"])
def test_exactly_one_fit_is_the_default(ring: str, load: str) -> None:
    by = "bore" if ring == "cone" else "od"
    for rows, bearings, unit in (
        (METRIC_FITS, METRIC, "mm"),
        (INCH_FITS, [row for row in INCH if row["native_unit"] == "in"], "in"),
    ):
        for size in {float(row[f"{by}_{unit}"]) for row in bearings}:
            hits = [
                row["application"]
                for row in rows
                if (row["ring"], row["load"], row["default"]) == (ring, load, "true")
                and step_holds(row, size, unit)
            ]
            assert len(hits) == 1, f"{ring} {load} at {size:g} {unit}: defaults {hits}"


def test_the_turning_ring_is_fitted_tighter() -> None:
    """Class letters rise with tightness; inch fits are compared by their middle."""
    for rows, unit in ((METRIC_FITS, "mm"), (INCH_FITS, "in")):
        for ring in ("cone", "cup"):
            loose, tight = (
                [
                    row
                    for row in rows
                    if (row["ring"], row["load"], row["default"]) == (ring, load, "true")
                ]
                for load in ("stationary", "rotating")
            )
            for one in loose:
                for other in tight:
                    assert tightness(one, unit) < tightness(other, unit), (one, other)


def tightness(row: Row, unit: str) -> float:
    if unit == "mm":
        return float(ord(row["iso_class"][0].lower()))
    return float(row["fit_tightest_in"]) + float(row["fit_loosest_in"])


# Descriptors


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_descriptor_names_the_columns_and_the_sources(folder: str) -> None:
    package = json.loads((DATA / folder / "datapackage.json").read_text(encoding="utf-8"))
    sources = {source["key"] for source in package["sources"]}
    paths = {resource["path"] for resource in package["resources"]}
    assert paths == {path.name for path in (DATA / folder).glob("*.csv")}
    used = set()
    for resource in package["resources"]:
        rows = read(f"{folder}/{resource['name']}")
        fields = [field["name"] for field in resource["schema"]["fields"]]
        assert list(rows[0]) == fields, resource["name"]
        key = resource["schema"]["primaryKey"]
        keys = [tuple(row[name] for name in key) for row in rows]
        assert len(keys) == len(set(keys)), f"{resource['name']}: a key stands twice"
        for row in rows:
            assert row["source"] in sources, row
            assert row["evidence"] in ("seen", "memory"), row
            used.add(row["source"])
    assert used == sources, f"sources nobody uses: {sources - used}"


def test_what_was_seen_is_not_cited_from_memory() -> None:
    for row in (*METRIC, *INCH):
        assert (row["evidence"] == "seen") == row["source"].endswith("-tables"), row
