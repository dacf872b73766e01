"""The family of tapered bearings: sizes, limits, and what looks alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.parts.bearing import (
    BORE,
    CUP_WIDTH,
    OD,
    WIDTH,
    bearing_family,
    bearing_sizes,
    dimension_limits,
    look_alikes,
    tolerance_rows,
)
from fitcheck.tables import table

BY_LABEL = {size.label: size for size in bearing_sizes()}


def nominal(label: str, dimension: int) -> float:
    """One nominal of a bearing [mm]."""
    found = BY_LABEL[label].nominals[dimension]
    assert found is not None
    return found[0]


def test_every_bearing_is_listed_once() -> None:
    assert len(BY_LABEL) == len(bearing_sizes())
    assert all(s.source and s.series for s in bearing_sizes())


def test_metric_and_inch_bearings() -> None:
    assert [nominal("30206", d) for d in (BORE, OD, WIDTH)] == [30.0, 62.0, 17.25]
    assert nominal("LM11949/LM11910", BORE) == pytest.approx(0.75 * 25.4)
    assert BY_LABEL["LM11949/LM11910"].details["cone"] == "LM11949"
    assert BY_LABEL["LM11949/LM11910"].details["cup"] == "LM11910"
    assert nominal("30305", CUP_WIDTH) > nominal("31305", CUP_WIDTH)


def test_metric_is_minus_and_inch_is_plus_toleranced() -> None:
    for dimension, value in (("bore", 30.0), ("od", 62.0)):
        lower, upper = dimension_limits(dimension, value, "metric")
        assert lower < 0.0
        assert upper == 0.0
        lower, upper = dimension_limits(dimension, value, "inch")
        assert lower == 0.0
        assert upper > 0.0
    assert dimension_limits("bore", 30.0, "metric") == pytest.approx((-0.012, 0.0))
    assert dimension_limits("bore", 38.1, "inch") == pytest.approx((0.0, 0.0127))


def test_width_limits_go_by_the_bore() -> None:
    width = BY_LABEL["30206"].nominals[WIDTH]
    assert width is not None
    assert width[1].startswith("metric@")
    assert dimension_limits("width", *width) == dimension_limits("width", 99.0, width[1])
    # Without a bore the middle of the trade stands in, and past the table its last step.
    assert dimension_limits("width", 20.0, "metric") == dimension_limits("width", 20.0, "metric@45")
    assert dimension_limits("od", 9000.0, "metric")[0] < 0.0


def test_a_width_may_be_another_ring() -> None:
    places = bearing_family().places
    assert [v.state for v in places["width"].views] == ["", "cup-width-given", "cone-width-given"]
    assert [v.state for v in places["cup-width"].views] == ["", "width-given", "cone-width-given"]
    assert [v.state for v in places["cone-width"].views] == ["", "width-given", "cup-width-given"]
    assert all(v.state == "" for v in places["thickness"].views)
    assert bearing_family().order_group == ("bore", "od", "width")


def test_look_alikes_say_what_differs() -> None:
    (steep,) = [a for a in look_alikes("32206") if a["other"] == "32206 B"]
    assert steep["differs"] == "angle"
    assert "number" in steep["how_to_tell"]
    assert steep["source"]
    back = [a["other"] for a in look_alikes("32206 B")]
    assert "32206" in back
    assert look_alikes("LM11949/LM11910") == []


@pytest.mark.parametrize("dimension", ["bore", "od", "width", "cone_width", "cup_width"])
def test_every_inch_edge_belongs_to_the_step_that_ends_there(dimension: str) -> None:
    rows = tolerance_rows(dimension, "inch")
    assert rows
    for row in rows:
        edge = row.number("incl_in") * 25.4
        for by in (edge, round(edge, 5)):
            system = "inch" if dimension in ("bore", "od") else f"inch@{by}"
            found = dimension_limits(dimension, by, system)
            expected = row.number("lower_in") * 25.4, row.number("upper_in") * 25.4
            assert found == pytest.approx(expected), edge


def test_limits_go_with_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = dimension_limits("bore", 30.0, "metric")
    shipped = table("bearing_tolerances/metric")
    columns = [c for c in shipped.columns if c not in ("source", "evidence", "note")]
    lines = [
        ",".join((row.cells() | {"lower_um": "-99"})[c] for c in columns) for row in shipped.rows
    ]
    folder = tmp_path / "bearing_tolerances"
    folder.mkdir()
    text = "\n".join([",".join(columns), *lines]) + "\n"
    (folder / "metric.csv").write_text(text, encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert dimension_limits("bore", 30.0, "metric")[0] == pytest.approx(-0.099)
    monkeypatch.delenv("FITCHECK_TABLES")
    assert dimension_limits("bore", 30.0, "metric") == before
