"""Rules that the seal-side tables must keep, checked on the plain CSV files."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections import Counter
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "data"
FOLDERS = (
    "seals",
    "seal_tolerances",
    "sleeves",
    "counterface",
    "lip",
    "instruments",
)
MM_PER_IN = 25.4
MATERIALS = {"NBR", "HNBR", "ACM", "FKM", "VMQ", "PTFE"}

Cells = dict[str, str]


def rows(name: str) -> list[Cells]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def descriptor(folder: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(
        (DATA / folder / "datapackage.json").read_text(encoding="utf-8")
    )
    return found


def number(cell: str) -> float | None:
    return float(cell) if cell else None


RESOURCES = [
    (folder, resource) for folder in FOLDERS for resource in descriptor(folder)["resources"]
]
IDS = [f"{folder}/{resource['name']}" for folder, resource in RESOURCES]


# ---------------------------------------------------------------- descriptors


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_csv_has_a_descriptor_and_every_descriptor_a_csv(folder: str) -> None:
    described = {resource["path"] for resource in descriptor(folder)["resources"]}
    assert described == {path.name for path in (DATA / folder).glob("*.csv")}


@pytest.mark.parametrize("folder", FOLDERS)
def test_sources_are_unique_and_used(folder: str) -> None:
    package = descriptor(folder)
    keys = [source["key"] for source in package["sources"]]
    assert len(keys) == len(set(keys))
    assert all(source["title"] for source in package["sources"])
    used = {
        row["source"]
        for resource in package["resources"]
        for row in rows(f"{folder}/{resource['name']}")
    }
    assert used == set(keys)


@pytest.mark.parametrize(("folder", "resource"), RESOURCES, ids=IDS)
def test_fields_equal_the_header(folder: str, resource: dict[str, Any]) -> None:
    path = DATA / folder / resource["path"]
    raw = path.read_bytes()
    assert b"\r" not in raw
    assert raw.endswith(b"\n")
    header = raw.decode("utf-8").split("\n", 1)[0].split(",")
    assert [field["name"] for field in resource["schema"]["fields"]] == header
    assert {"source", "evidence", "note"} <= set(header)
    assert resource["usedBy"]
    assert all(field["description"] for field in resource["schema"]["fields"])


@pytest.mark.parametrize(("folder", "resource"), RESOURCES, ids=IDS)
def test_every_cell_keeps_its_field(folder: str, resource: dict[str, Any]) -> None:
    found = rows(f"{folder}/{resource['name']}")
    assert found
    for row in found:
        for field in resource["schema"]["fields"]:
            cell, limits = row[field["name"]], field.get("constraints", {})
            where = f"{folder}/{resource['name']} {field['name']} {row}"
            assert cell == cell.strip(), where
            if not cell:
                assert not limits.get("required"), where
                continue
            if field["type"] == "number":
                assert float(cell) >= limits.get("minimum", float("-inf")), where
            elif field["type"] == "integer":
                assert int(cell) >= limits.get("minimum", 0), where
            elif field["type"] == "boolean":
                assert cell in {"true", "false"}, where
            if "enum" in limits:
                assert cell in limits["enum"], where


@pytest.mark.parametrize(("folder", "resource"), RESOURCES, ids=IDS)
def test_no_two_rows_share_a_key(folder: str, resource: dict[str, Any]) -> None:
    key = resource["schema"]["primaryKey"]
    counted = Counter(tuple(row[k] for k in key) for row in rows(f"{folder}/{resource['name']}"))
    assert [k for k, n in counted.items() if n > 1] == []


# ---------------------------------------------------------------- seal sizes


METRIC = [
    (name, row) for name in ("iso6194", "din3760", "metric_other") for row in rows(f"seals/{name}")
]
METRIC_WIDTHS: dict[str, set[float]] = {
    "iso6194": {7, 8, 10, 12, 15, 20, 25},
    "din3760": {7, 8, 10, 12, 15, 20},
    "metric_other": {5.5, 6, 7, 8, 9, 10, 10.5, 11, 12, 13, 14, 15, 18, 20},
}
INCH_WIDTHS = {0.25, 0.312, 0.313, 0.375, 0.437, 0.468, 0.5, 0.562, 0.625}


@pytest.mark.parametrize(
    ("name", "row"),
    METRIC,
    ids=[
        f"{n}:{r['shaft_mm']}x{r['bore_mm']}x{r['width_mm']}:{r.get('series', '')}"
        for n, r in METRIC
    ],
)
def test_metric_size_is_sane(name: str, row: Cells) -> None:
    shaft, bore, width = (float(row[k]) for k in ("shaft_mm", "bore_mm", "width_mm"))
    section = (bore - shaft) / 2
    assert 6 <= shaft <= 500
    assert 4 <= section <= 27.5
    assert section <= 0.75 * shaft + 5
    assert width in METRIC_WIDTHS[name]
    assert 0.3 * section <= width <= 2.2 * section


@pytest.mark.parametrize("name", ["iso6194", "din3760"])
def test_metric_table_has_no_size_twice(name: str) -> None:
    sizes = Counter(
        tuple(Decimal(r[k]) for k in ("shaft_mm", "bore_mm", "width_mm"))
        for r in rows(f"seals/{name}")
    )
    assert max(sizes.values()) == 1


def test_metric_other_has_no_size_twice_in_a_series() -> None:
    sizes = Counter(
        (r["series"], *(Decimal(r[k]) for k in ("shaft_mm", "bore_mm", "width_mm")))
        for r in rows("seals/metric_other")
    )
    assert max(sizes.values()) == 1


ISO_SHAFTS = [
    *(6, 7, 8, 9, 10, 12, 15, 16, 18, 20, 22, 25, 28, 30, 32, 35, 38, 40, 42, 45, 50, 55, 60),
    *(65, 70, 75, 80, 85, 90, 95, 100, 105, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200),
    *(220, 240, 250, 260, 280, 300, 320, 340, 360, 380, 400, 450, 480),
]


def test_iso_list_of_shafts_is_complete() -> None:
    shafts = sorted({int(r["shaft_mm"]) for r in rows("seals/iso6194")})
    assert shafts == ISO_SHAFTS


def iso_width(shaft: float) -> int:
    """The seal width that ISO 6194-1 gives a shaft."""
    steps = ((30, 7), (60, 8), (80, 10), (130, 12), (250, 15), (400, 20), (480, 25))
    return next(width for incl, width in steps if shaft <= incl)


@pytest.mark.parametrize(
    "row", rows("seals/iso6194"), ids=lambda r: f"{r['shaft_mm']}x{r['bore_mm']}x{r['width_mm']}"
)
def test_iso_width_follows_the_shaft(row: Cells) -> None:
    assert float(row["width_mm"]) == iso_width(float(row["shaft_mm"]))


def din_widths(shaft: float) -> set[int]:
    """The widths that the DIN 3760 table gives a shaft: 7 beside 8 in the older designs."""
    steps = ((30, {7}), (40, {7, 8}), (60, {8}), (80, {10}), (135, {12}), (250, {15}), (500, {20}))
    return next(widths for incl, widths in steps if shaft <= incl)


def test_din_width_follows_the_shaft() -> None:
    for row in rows("seals/din3760"):
        if row["membership"] == "standard":
            assert float(row["width_mm"]) in din_widths(float(row["shaft_mm"])), row


def test_din_trade_widths_stay_near_the_table() -> None:
    for row in rows("seals/din3760"):
        usual = din_widths(float(row["shaft_mm"]))
        width = float(row["width_mm"])
        assert min(usual) - 5 <= width <= max(usual) + 5, row


def test_din_holds_every_iso_size() -> None:
    def sizes(name: str) -> set[tuple[str, ...]]:
        return {
            (r["shaft_mm"], r["bore_mm"], r["width_mm"])
            for r in rows(f"seals/{name}")
            if r["membership"] == "standard"
        }

    assert sizes("iso6194") <= sizes("din3760")


def test_widths_of_old_jis_never_fall() -> None:
    found = sorted(
        (float(r["shaft_mm"]), float(r["width_mm"]))
        for r in rows("seals/metric_other")
        if r["series"] == "JIS pre-2002"
    )
    assert all(a[1] <= b[1] for a, b in pairwise(found))


INCH = rows("seals/inch")


def inch_bore(row: Cells) -> float:
    return float(row["bore_in"]) if row["bore_in"] else float(row["bore_mm"]) / MM_PER_IN


@pytest.mark.parametrize(
    "row",
    INCH,
    ids=lambda r: f"{r['shaft_in']}x{r['bore_in'] or r['bore_mm'] + 'mm'}x{r['width_in']}",
)
def test_inch_size_is_sane(row: Cells) -> None:
    shaft, width = float(row["shaft_in"]), float(row["width_in"])
    section = (inch_bore(row) - shaft) / 2
    assert 0.25 <= shaft <= 8
    assert 0.18 <= section <= 0.9
    assert width in INCH_WIDTHS
    assert bool(row["bore_in"]) != bool(row["bore_mm"])
    if row["bore_basis"] == "bore":
        assert row["od_in"] == ""
    else:
        assert Decimal(row["bore_in"]) == Decimal(row["od_in"]) - Decimal("0.004")


def test_inch_table_has_no_size_twice() -> None:
    sizes = Counter(
        (Decimal(r["shaft_in"]), round(inch_bore(r), 4), Decimal(r["width_in"])) for r in INCH
    )
    assert max(sizes.values()) == 1


def test_inch_shaft_in_a_metric_housing_names_a_bearing_bore() -> None:
    bores = {r["bore_mm"] for r in INCH if r["bore_mm"]}
    assert bores == {"40", "47", "52", "62", "72", "80", "100"}


# ---------------------------------------------------------------- steps


def preferred(name: str) -> list[Cells]:
    return [r for r in rows(name) if r.get("preferred", "true") == "true"]


STEPPED = [
    # table, grouping columns, unit, start, end (None: open)
    ("seal_tolerances/metric_case_allowance", ("case",), "mm", 0, 540),
    ("seal_tolerances/inch_case_allowance", ("case",), "in", 0, 20),
    ("seal_tolerances/lip_interference", ("lip",), "mm", 5, 500),
    ("seal_tolerances/inch_lip_interference", ("lip",), "in", 0, 8),
    ("seal_tolerances/width", (), "mm", 0, None),
    ("seal_tolerances/inch_width", (), "in", 0, None),
    ("seal_tolerances/inch_seat_limits", ("seat",), "in", 0, ...),
    ("seal_tolerances/pocket_depth", (), "mm", 0, None),
    ("seal_tolerances/shaft_chamfer", (), "mm", 0, 500),
    ("seal_tolerances/seat_class", ("seat",), "mm", ..., ...),
    ("seal_tolerances/inch_runout", (), "rpm", 0, 3600),
    ("counterface/groove_ladder", (), "mm", 0, None),
    ("lip/general_speed", (), "mm", 0, None),
    ("lip/inch_pressure", (), "ft_min", 0, None),
]


@pytest.mark.parametrize(
    ("name", "group", "unit", "start", "end"), STEPPED, ids=[s[0] for s in STEPPED]
)
def test_preferred_steps_meet_without_gap_or_overlap(
    name: str, group: tuple[str, ...], unit: str, start: Any, end: Any
) -> None:
    for chosen in sorted({tuple(r[g] for g in group) for r in preferred(name)}):
        steps = sorted(
            {
                (float(r[f"over_{unit}"]), number(r[f"incl_{unit}"]))
                for r in preferred(name)
                if tuple(r[g] for g in group) == chosen
            },
            key=lambda s: s[0],
        )
        if start is not ...:
            assert steps[0][0] == start
        if end is not ...:
            assert steps[-1][1] == end
        for (over, incl), (next_over, _) in pairwise(steps):
            assert incl is not None
            assert over < incl == next_over


@pytest.mark.parametrize(
    ("name", "group"),
    [
        ("seal_tolerances/surface", ("name",)),
        ("seal_tolerances/width", ("over_mm",)),
        ("seal_tolerances/pocket_depth", ("over_mm",)),
        ("lip/materials", ("material",)),
        ("lip/fluids", ("material", "fluid")),
    ],
)
def test_one_row_is_preferred(name: str, group: tuple[str, ...]) -> None:
    groups = {tuple(r[g] for g in group) for r in rows(name)}
    counted = Counter(tuple(r[g] for g in group) for r in preferred(name))
    assert {g: counted[g] for g in groups} == dict.fromkeys(groups, 1)


@pytest.mark.parametrize(
    "name",
    [
        "seal_tolerances/metric_case_allowance",
        "seal_tolerances/inch_case_allowance",
        "seal_tolerances/width",
        "seal_tolerances/pocket_depth",
    ],
)
def test_a_conflicting_edition_is_kept(name: str) -> None:
    editions = {r["edition"]: r["preferred"] for r in rows(name)}
    assert {"true", "false"} <= set(editions.values())
    for row in rows(name):
        assert row["preferred"] == editions[row["edition"]], "one edition, one preference"


@pytest.mark.parametrize(("folder", "resource"), RESOURCES, ids=IDS)
def test_low_is_below_high(folder: str, resource: dict[str, Any]) -> None:
    names = [field["name"] for field in resource["schema"]["fields"]]
    pairs = [
        (a, b)
        for a, b in (
            ("low", "high"),
            ("over_mm", "incl_mm"),
            ("over_in", "incl_in"),
            ("over_rpm", "incl_rpm"),
            ("over_mps", "incl_mps"),
            ("over_ft_min", "incl_ft_min"),
            ("min_mm", "max_mm"),
            ("min_in", "max_in"),
            ("lower_mm", "upper_mm"),
            ("lower_in", "upper_in"),
            ("allowance_min_mm", "allowance_max_mm"),
            ("allowance_min_in", "allowance_max_in"),
            ("chamfer_min_mm", "chamfer_max_mm"),
            ("temp_min_c", "temp_max_c"),
            ("temp_max_c", "peak_c"),
            ("window_min_mm", "window_max_mm"),
            ("width_mm", "overall_mm"),
        )
        if a in names and b in names
    ]
    for row in rows(f"{folder}/{resource['name']}"):
        for low, high in pairs:
            a, b = number(row[low]), number(row[high])
            if a is not None and b is not None:
                assert a <= b, row


# ---------------------------------------------------------------- tolerances


def test_preferred_editions_are_the_agreed_ones() -> None:
    metric = {r["edition"] for r in preferred("seal_tolerances/metric_case_allowance")}
    inch = {r["edition"] for r in preferred("seal_tolerances/inch_case_allowance")}
    width = {r["edition"] for r in preferred("seal_tolerances/width")}
    assert metric == {"ISO 6194-1:1982", "ISO 6194-1:2007"}
    assert inch == {"RMA OS-4 later"}
    assert width == {"ISO 6194-1:1982"}


def test_iso6194_1982_metal_case_table() -> None:
    """ISO 6194-1:1982, case diameter over the nominal bore, metal case."""
    published = [
        (0, 50, 0.08, 0.20),
        (50, 80, 0.09, 0.23),
        (80, 120, 0.10, 0.25),
        (120, 180, 0.12, 0.28),
        (180, 300, 0.15, 0.35),
        (300, 440, 0.20, 0.45),
    ]
    found = [
        tuple(float(r[k]) for k in ("over_mm", "incl_mm", "allowance_min_mm", "allowance_max_mm"))
        for r in rows("seal_tolerances/metric_case_allowance")
        if r["edition"] == "ISO 6194-1:1982" and r["case"] == "metal"
    ]
    assert found == published


def test_allowances_grow_with_the_bore() -> None:
    for name, unit in (("metric", "mm"), ("inch", "in")):
        groups: dict[tuple[str, str], list[tuple[float, float]]] = {}
        for r in rows(f"seal_tolerances/{name}_case_allowance"):
            groups.setdefault((r["edition"], r["case"]), []).append(
                (float(r[f"allowance_min_{unit}"]), float(r[f"allowance_max_{unit}"]))
            )
        for found in groups.values():
            assert all(a[0] <= b[0] and a[1] <= b[1] for a, b in pairwise(found))


def test_rubber_is_pressed_harder_than_metal() -> None:
    for name, unit in (("metric", "mm"), ("inch", "in")):
        chosen = preferred(f"seal_tolerances/{name}_case_allowance")
        metal = [r for r in chosen if r["case"] == "metal"]
        rubber = [r for r in chosen if r["case"] == "rubber"]
        assert len(metal) == len(rubber)
        for m, r in zip(metal, rubber, strict=True):
            for end in ("min", "max"):
                key = f"allowance_{end}_{unit}"
                assert float(m[key]) < float(r[key])


def test_inch_allowances_are_of_the_size_of_the_metric_ones() -> None:
    for case in ("metal", "rubber"):
        for inch in rows("seal_tolerances/inch_case_allowance"):
            if inch["case"] != case:
                continue
            middle = (float(inch["over_in"]) + float(inch["incl_in"])) / 2 * MM_PER_IN
            metric = next(
                r
                for r in preferred("seal_tolerances/metric_case_allowance")
                if r["case"] == case and float(r["over_mm"]) < middle <= float(r["incl_mm"])
            )
            mean_in = (float(inch["allowance_min_in"]) + float(inch["allowance_max_in"])) / 2
            mean_mm = (float(metric["allowance_min_mm"]) + float(metric["allowance_max_mm"])) / 2
            assert 0.5 <= mean_in * MM_PER_IN / mean_mm <= 1.8


def test_main_lip_grips_and_dust_lip_grips_less() -> None:
    chosen = preferred("seal_tolerances/lip_interference")
    main = {r["over_mm"]: r for r in chosen if r["lip"] == "main"}
    dust = {r["over_mm"]: r for r in chosen if r["lip"] == "dust"}
    assert main.keys() == dust.keys()
    for over, row in main.items():
        assert float(row["min_mm"]) > float(dust[over]["min_mm"]) > 0
        assert float(row["max_mm"]) > float(dust[over]["max_mm"])
    assert all(float(a["max_mm"]) <= float(b["max_mm"]) for a, b in pairwise(main.values()))


def test_every_listed_shaft_and_bore_is_on_the_tables() -> None:
    def covered(value: float, steps: list[Cells], unit: str) -> bool:
        return any(
            float(s[f"over_{unit}"]) < value <= (number(s[f"incl_{unit}"]) or float("inf"))
            for s in steps
        )

    lip = preferred("seal_tolerances/lip_interference")
    case = preferred("seal_tolerances/metric_case_allowance")
    chamfer = preferred("seal_tolerances/shaft_chamfer")
    seats = rows("seal_tolerances/seat_class")
    for _, row in METRIC:
        shaft, bore = float(row["shaft_mm"]), float(row["bore_mm"])
        assert covered(shaft, lip, "mm")
        assert covered(shaft, chamfer, "mm")
        assert covered(bore, case, "mm")
        assert covered(shaft, [s for s in seats if s["seat"] == "shaft"], "mm")
        assert covered(bore, [s for s in seats if s["seat"] == "bore"], "mm")
    inch_lip = preferred("seal_tolerances/inch_lip_interference")
    inch_case = preferred("seal_tolerances/inch_case_allowance")
    limits = rows("seal_tolerances/inch_seat_limits")
    for row in INCH:
        assert covered(float(row["shaft_in"]), inch_lip, "in")
        assert covered(inch_bore(row), inch_case, "in")
        for seat, value in (("shaft", float(row["shaft_in"])), ("bore", inch_bore(row))):
            assert covered(value, [s for s in limits if s["seat"] == seat], "in")


def test_lip_retention_bands_lie_inside_the_search_band() -> None:
    used = {r["name"]: r for r in rows("seal_tolerances/used_seal")}
    search, typical = used["lip_retention_share"], used["lip_retention_typical_share"]
    assert float(search["low"]) < float(typical["low"])
    assert float(typical["high"]) < float(search["high"]) == 1.0


def test_din_shaft_ends_are_smaller_than_their_shafts_by_a_growing_step() -> None:
    steps = [
        float(r["shaft_mm"]) - float(r["end_max_mm"]) for r in rows("seal_tolerances/shaft_end_din")
    ]
    assert all(1 < s < 6 for s in steps)
    assert all(a <= b + 0.11 for a, b in pairwise(steps))


@pytest.mark.parametrize(
    ("name", "x", "y", "sign"),
    [
        ("seal_tolerances/runout", "speed_rpm", "runout_mm", -1),
        ("seal_tolerances/inch_runout", "over_rpm", "runout_in", -1),
        ("seal_tolerances/coaxiality", "shaft_mm", "offset_mm", 1),
        ("seal_tolerances/shaft_chamfer", "over_mm", "reduction_min_mm", 1),
    ],
)
def test_charts_run_one_way(name: str, x: str, y: str, sign: int) -> None:
    points = [(float(r[x]), float(r[y])) for r in rows(name)]
    assert all(a[0] < b[0] and sign * (b[1] - a[1]) >= 0 for a, b in pairwise(points))


# ---------------------------------------------------------------- sleeves


SLEEVES = rows("sleeves/thin")


def nominal_shafts() -> set[float]:
    metric = {float(r["shaft_mm"]) for _, r in METRIC}
    inch = {float(r["shaft_in"]) for r in INCH}
    return {mm for mm in metric if 12 <= mm <= 200} | {
        round(i * MM_PER_IN, 4) for i in inch if 0.5 <= i <= 8
    }


def test_sleeve_table_is_what_the_rule_makes() -> None:
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_sleeves.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_every_sleeve_is_marked_invented() -> None:
    assert {r["evidence"] for r in SLEEVES} == {"invented"}


@pytest.mark.parametrize("row", SLEEVES, ids=lambda r: r["designation"])
def test_sleeve_grows_the_counterface_by_half_a_millimetre(row: Cells) -> None:
    shaft, low, high, wall = (
        float(row[k]) for k in ("shaft_mm", "window_min_mm", "window_max_mm", "wall_mm")
    )
    span = high - low
    assert 0.5 <= 2 * wall <= 0.6
    assert 0.25 <= wall <= 0.28
    assert 0.10 <= round(span, 4) <= 0.20
    assert (low + high) / 2 == pytest.approx(shaft - 0.02, abs=1e-9)
    assert 8 <= float(row["width_mm"]) <= 25
    assert 2 <= float(row["overall_mm"]) - float(row["width_mm"]) <= 3


@pytest.mark.parametrize("shaft", sorted(nominal_shafts()))
def test_every_nominal_shaft_has_one_nearest_sleeve(shaft: float) -> None:
    off = sorted(
        abs(shaft - (float(r["window_min_mm"]) + float(r["window_max_mm"])) / 2)
        for r in SLEEVES
        if float(r["window_min_mm"]) <= shaft <= float(r["window_max_mm"])
    )
    assert 1 <= len(off) <= 2
    assert off[0] <= 0.05
    assert len(off) == 1 or off[1] - off[0] >= 0.01


def test_a_metric_and_a_near_inch_shaft_have_their_own_sleeves() -> None:
    shafts = {r["shaft_mm"] for r in SLEEVES}
    assert {"34.925", "35"} <= shafts
    assert any(float(r["window_min_mm"]) < 34.90 < float(r["window_max_mm"]) for r in SLEEVES)


def test_windows_overlap_by_half_at_most() -> None:
    for a, b in pairwise(SLEEVES):
        assert float(a["shaft_mm"]) < float(b["shaft_mm"])
        overlap = float(a["window_max_mm"]) - float(b["window_min_mm"])
        span = float(a["window_max_mm"]) - float(a["window_min_mm"])
        assert overlap <= span / 2 + 1e-9


def test_sleeves_never_get_narrower() -> None:
    widths = [float(r["width_mm"]) for r in SLEEVES]
    assert widths == sorted(widths)


# ---------------------------------------------------------------- counterface


LADDER = rows("counterface/groove_ladder")
LIMITS = {r["name"]: r for r in rows("counterface/limits")}
BACKGROUND = {r["name"]: r for r in rows("counterface/background")}


def test_ladder_ranks_run_from_one_at_every_depth() -> None:
    for over in {r["over_mm"] for r in LADDER}:
        ranks = sorted(int(r["rank"]) for r in LADDER if r["over_mm"] == over)
        assert ranks == list(range(1, len(ranks) + 1))


def test_ladder_ranks_no_go_last() -> None:
    for over in {r["over_mm"] for r in LADDER}:
        here = sorted((r for r in LADDER if r["over_mm"] == over), key=lambda r: int(r["rank"]))
        refused = [r["verdict"] == "no-go" for r in here]
        assert refused == sorted(refused)
        assert here[0]["verdict"] == "go"


def test_ladder_steps_are_those_of_practice() -> None:
    steps = sorted({(float(r["over_mm"]), number(r["incl_mm"])) for r in LADDER})
    assert [s[0] for s in steps] == [0, 0.02, 0.10, 0.30, 0.50]
    first = {float(r["over_mm"]): r["way"] for r in LADDER if r["rank"] == "1"}
    assert first == {
        0: "polish",
        0.02: "move-lip",
        0.10: "thin-sleeve",
        0.30: "thick-sleeve",
        0.50: "thick-sleeve",
    }


def test_thin_sleeve_verdict_only_gets_worse() -> None:
    order = ["go", "check", "no-go"]
    found = [
        order.index(r["verdict"])
        for r in sorted(LADDER, key=lambda r: float(r["over_mm"]))
        if r["way"] == "thin-sleeve" and float(r["over_mm"]) > 0
    ]
    assert found == sorted(found) == [0, 0, 1, 2]


def test_every_limit_says_something() -> None:
    for row in (*LIMITS.values(), *BACKGROUND.values()):
        assert row["value"] or row["low"] or row["high"] or row["text"], row
        value, low, high = (number(row[k]) for k in ("value", "low", "high"))
        if value is not None and low is not None and high is not None:
            assert low <= value <= high


def test_needs_of_the_ladder_have_their_limits() -> None:
    assert {w for r in LADDER for w in r["needs"].split()} == {"room", "fill", "low-speed"}
    assert {"filler_from_depth_mm", "filler_from_width_mm", "low_speed_mps"} <= LIMITS.keys()
    assert 0.10 < float(LIMITS["filler_from_depth_mm"]["value"]) < 0.30


def test_limits_agree_with_the_sleeves() -> None:
    wall = BACKGROUND["thin_sleeve_wall_mm"]
    growth = BACKGROUND["thin_sleeve_growth_mm"]
    for row in SLEEVES:
        assert float(wall["low"]) <= float(row["wall_mm"]) <= float(wall["high"])
        assert float(growth["low"]) <= 2 * float(row["wall_mm"]) <= float(growth["high"])


# ---------------------------------------------------------------- lip and instruments


@pytest.mark.parametrize("name", ["lip/names", "lip/materials", "lip/fluids", "lip/speed"])
def test_every_material_is_covered(name: str) -> None:
    assert {r["material"] for r in preferred(name)} == MATERIALS


def test_every_material_answers_for_every_fluid() -> None:
    chosen = {(r["material"], r["fluid"]) for r in preferred("lip/fluids")}
    fluids = {f for _, f in chosen} - {"chemical-fluid"}
    assert {(m, f) for m in MATERIALS for f in fluids} <= chosen


def test_a_fluid_that_is_no_good_has_no_temperature() -> None:
    for row in rows("lip/fluids"):
        assert not (row["suitability"] == "no" and row["max_sump_c"]), row


def test_sump_stays_below_the_lip_limit() -> None:
    lip = {r["material"]: float(r["temp_max_c"]) for r in preferred("lip/materials")}
    for row in rows("lip/fluids"):
        if row["max_sump_c"]:
            assert float(row["max_sump_c"]) <= lip[row["material"]], row


def test_words_for_fluids_lead_to_fluids() -> None:
    fluids = {r["fluid"] for r in rows("lip/fluids")}
    words = rows("lip/fluid_words")
    assert {r["fluid"] for r in words} == fluids
    folded = Counter((r["word"].casefold(), r["fluid"]) for r in words)
    assert max(folded.values()) == 1


def test_speed_curves_rise_with_the_shaft_and_end_near_their_ceiling() -> None:
    ceiling = {
        r["material"]: float(r["max_mps"]) for r in preferred("lip/speed") if r["kind"] == "ceiling"
    }
    for material in MATERIALS - {"PTFE"}:
        points = [
            (float(r["shaft_mm"]), float(r["max_mps"]))
            for r in rows("lip/speed")
            if r["material"] == material and r["kind"] == "curve"
        ]
        assert [p[0] for p in points] == [10, 20, 40, 60, 80, 100, 150]
        assert all(a[1] < b[1] for a, b in pairwise(points))
        assert points[-1][1] == pytest.approx(ceiling[material], rel=0.2)


def test_pressure_falls_with_shaft_and_speed() -> None:
    for rule in ("plain-lip", "pressure-speed"):
        bars = [float(r["max_bar"]) for r in rows("lip/pressure") if r["rule"] == rule]
        assert bars == sorted(bars, reverse=True)
    steps = [r for r in rows("lip/pressure") if r["rule"] == "pressure-speed"]
    for a, b in pairwise(steps):
        assert a["incl_rpm"] == b["over_rpm"]
        assert a["incl_mps"] == b["over_mps"]


def test_handbook_pressure_limits() -> None:
    """The Tribology Handbook B23: 0.6 bar to a 75 mm shaft, 0.3 bar above."""
    found = [
        (r["over_mm"], r["incl_mm"], r["max_bar"])
        for r in rows("lip/pressure")
        if r["rule"] == "plain-lip"
    ]
    assert found == [("0", "75", "0.6"), ("75", "", "0.3")]


def test_instruments_are_complete_and_coherent() -> None:
    found = rows("instruments/instruments")
    assert [r["instrument"] for r in found] == [
        "tape",
        "caliper",
        "micrometer",
        "bore-gauge",
        "depth-gauge",
        "feeler",
        "indicator",
    ]
    for row in found:
        uncertainty = float(row["uncertainty_mm"])
        assert uncertainty == pytest.approx(float(row["good_to_mm"]) / 2)
        assert 2.8 <= float(row["roundness_limit_mm"]) / uncertainty <= 4
        assert float(row["resolution_mm"]) <= float(row["good_to_mm"])


def test_what_is_from_memory_is_not_marked_as_read() -> None:
    for path in sorted(DATA.glob("*/datapackage.json")):
        package = json.loads(path.read_text(encoding="utf-8"))
        titles = {source["key"]: source["title"] for source in package["sources"]}
        for resource in package["resources"]:
            with (path.parent / resource["path"]).open(encoding="utf-8", newline="") as handle:
                for row in csv.DictReader(handle):
                    if "memory" in titles.get(row.get("source", ""), ""):
                        assert row["evidence"] == "memory", (resource["path"], row)


def test_no_uncertainty_of_an_instrument_is_marked_as_read() -> None:
    assert {r["evidence"] for r in rows("instruments/instruments")} == {"memory"}
    dins = [r for r in rows("seal_tolerances/width") if r["edition"] == "DIN 3760"]
    assert [r["evidence"] for r in dins] == ["memory", "memory"]
