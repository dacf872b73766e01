"""Rules that the setting and oil tables must keep."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from fitcheck.setup.settings import METHODS, POSITIONS
from fitcheck.tables import table
from fitcheck.units import LENGTH, TORQUE, UNITS

DATA = Path(__file__).resolve().parents[2] / "data"
FILES = sorted((DATA / "settings").glob("*.csv")) + sorted((DATA / "oil").glob("*.csv"))
USES = table("settings/uses").rows


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_what_has_no_text_behind_it_is_not_called_seen(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            if row["source"] in ("practice", "own", "own-calculation", "atmosphere"):
                assert row["evidence"] == "memory", row
            else:
                assert row["evidence"] == "seen", row


@pytest.mark.parametrize("row", USES, ids=lambda r: f"{r.text('use')} {r.text('condition')}")
def test_a_use_is_stated_in_the_unit_of_its_method(row: object) -> None:
    from fitcheck.tables import Row

    assert isinstance(row, Row)
    dimension = UNITS[row.text("unit")].dimension
    assert dimension == (LENGTH if row.text("method") == "end-play" else TORQUE)
    assert (row.text("reckoned") != "") == (row.text("method") == "drag")
    low, high = row.number("low"), row.number("high")
    assert low < high if row.text("method") != "nut" else low <= high


def test_used_bearings_are_set_lighter_than_new_ones() -> None:
    new = {r.text("use"): r for r in USES if r.text("condition") == "new"}
    used = {r.text("use"): r for r in USES if r.text("condition") == "used"}
    assert set(new) == set(used)
    for use, row in new.items():
        assert used[use].number("low") < row.number("low")
        # A third to a half of new, and no more than the six tenths of one manual.
        assert used[use].number("high") <= 0.6 * row.number("high")


def test_nut_steps_run_on_and_belong_to_a_use() -> None:
    steps: dict[str, list[int]] = {}
    for row in table("settings/nut_procedures").rows:
        steps.setdefault(row.text("use"), []).append(int(row.number("step")))
    assert set(steps) <= {row.text("use") for row in USES}
    for numbers in steps.values():
        assert numbers == list(range(1, len(numbers) + 1))
    set_by_nut = {row.text("use") for row in USES if row.text("method") == "nut"}
    assert set_by_nut <= set(steps)


def test_methods_and_places_are_those_of_the_program() -> None:
    rows = table("settings/shim_methods").rows
    assert tuple(row.text("method") for row in rows) == METHODS
    for row in rows:
        assert set(row.text("positions").split(";")) <= set(POSITIONS)
    assert tuple(r.text("position") for r in table("settings/positions").rows) == POSITIONS


def test_a_light_crush_or_gap_is_never_for_shims_behind_a_cup() -> None:
    for row in table("settings/shim_methods").rows:
        if row.maybe("subtract_mm") or row.maybe("subtract_in"):
            assert "behind-cup" not in row.text("positions").split(";")


def test_fills_rise() -> None:
    fills = [row.number("fill_fraction") for row in table("oil/fills").rows]
    assert all(0 < fill < 1 for fill in fills)
    assert all(before < after for before, after in pairwise(fills))
