"""The materials table and the tables of pressing: every row is possible."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

DATA = Path(__file__).resolve().parents[2] / "data"
Row = dict[str, str]


def read(name: str) -> list[Row]:
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


MATERIALS = read("materials/materials")
LIMITS = {row["name"]: row for row in read("press/limits")}
USES = read("press/uses")
CAUTIONS = read("press/cautions")


@pytest.mark.parametrize("row", MATERIALS, ids=lambda row: str(row["name"]))
def test_a_material_is_a_metal(row: Row) -> None:
    value = {key: float(cell) for key, cell in row.items() if key in NUMBERS}
    assert 40_000 <= value["e_mpa"] <= 220_000
    assert 0.25 <= value["poisson"] <= 0.36
    assert 8e-6 <= value["alpha_per_k"] <= 27e-6
    # Metals contract less for each kelvin in the cold than they grow when heated.
    assert 0.65 * value["alpha_per_k"] <= value["alpha_cold_per_k"] < value["alpha_per_k"]
    assert 1_700 <= value["density_kg_m3"] <= 9_000
    assert 90 <= value["strength_mpa"] <= 2_000
    assert 100 <= value["heat_cap_c"] <= 300
    # Metals that are stiffer grow less: E times alpha lies in one narrow band.
    assert 0.9 <= value["e_mpa"] * value["alpha_per_k"] <= 3.3


NUMBERS = (
    "e_mpa",
    "poisson",
    "alpha_per_k",
    "alpha_cold_per_k",
    "density_kg_m3",
    "strength_mpa",
    "heat_cap_c",
)


def test_no_two_materials_share_a_spelling() -> None:
    spellings = [
        word.strip().lower().replace("-", " ")
        for row in MATERIALS
        for word in {
            w.strip().lower().replace("-", " ") for w in [row["name"], *row["aliases"].split(";")]
        }
        if word
    ]
    assert len(spellings) == len(set(spellings))


@pytest.mark.parametrize("row", LIMITS.values(), ids=lambda row: str(row["name"]))
def test_a_limit_lies_in_its_range(row: Row) -> None:
    value = float(row["value"])
    assert not row["low"] or float(row["low"]) <= value
    assert not row["high"] or value <= float(row["high"])


def test_limits_stand_in_order() -> None:
    value = {name: float(row["value"]) for name, row in LIMITS.items()}
    assert value["liquid_nitrogen_c"] < value["dry_ice_c"] < 0 < value["heat_cap_c"]
    assert value["strength_share_go"] < value["strength_share_limit"] < value["refuse_share"]
    assert value["brittle_share_go"] < value["brittle_share_limit"] < 1


def test_friction_lies_in_its_range() -> None:
    for row in read("press/friction"):
        assert 0 < float(row["low"]) <= float(row["value"]) <= float(row["high"]) < 0.4


def test_clearances_have_no_gap_and_are_about_half_a_thousandth() -> None:
    rows = read("press/clearance")
    assert float(rows[0]["over_mm"]) == 0
    for before, after in pairwise(rows):
        assert before["incl_mm"] == after["over_mm"]
        assert float(before["clearance_mm"]) < float(after["clearance_mm"])
    for row in rows:
        middle = (float(row["over_mm"]) + float(row["incl_mm"])) / 2
        assert 0.0003 <= float(row["clearance_mm"]) / middle <= 0.001


def test_uses_name_what_is_there() -> None:
    names = {row["name"] for row in MATERIALS}
    for row in USES:
        assert {row["outer_material"], row["inner_material"]} <= names
        assert row["heat_cap"] in LIMITS
    assert {row["use"] for row in CAUTIONS} - {""} == {row["use"] for row in USES}
