"""Rules that the setting and oil tables must keep."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from fitcheck.readings import instrument
from fitcheck.setup.settings import METHODS, POSITIONS, shim_method, shim_sizes_mm
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
    steps: dict[tuple[str, str], list[int]] = {}
    for row in table("settings/nut_procedures").rows:
        key = (row.text("use"), row.text("position"))
        steps.setdefault(key, []).append(int(row.number("step")))
    assert {use for use, _ in steps} <= {row.text("use") for row in USES}
    for numbers in steps.values():
        assert numbers == list(range(1, len(numbers) + 1))
    set_by_nut = {row.text("use") for row in USES if row.text("method") == "nut"}
    assert {(use, "") for use in set_by_nut} <= set(steps)


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


def test_a_shim_to_buy_is_metric_or_in_inches() -> None:
    for row in table("settings/shim_sizes").rows:
        given = [row.maybe("thickness_mm"), row.maybe("thickness_in")]
        assert given.count(None) == 1
    for inches in (False, True):
        sizes, source = shim_sizes_mm(inches=inches)
        assert list(sizes) == sorted(set(sizes))
        assert source


def test_every_instrument_of_a_method_is_listed() -> None:
    for row in table("settings/shim_methods").rows:
        method = shim_method(row.text("method"))
        assert bool(method.tools) == (method.name != "drag")
        assert [instrument(name).name for name in method.tools] == list(method.tools)
        assert method.bare_tool in ("", *method.tools)
