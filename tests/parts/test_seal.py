"""The family of radial shaft seals: sizes, labels and limits."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import OffTableError
from fitcheck.parts.seal import (
    bore_limits,
    case_limits,
    inch_text,
    limits_of_seat,
    lip_limits,
    seal_family,
    seal_sizes,
    shaft_limits,
    size_label,
    width_limits,
)
from fitcheck.tables import table

SYSTEMS = st.sampled_from(["metric", "inch"])


def test_every_size_is_listed_once_and_has_three_dimensions() -> None:
    sizes = seal_sizes()
    keys = [tuple(round(n[0], 4) for n in s.nominals if n is not None) for s in sizes]
    assert len(set(keys)) == len(keys)
    assert all(len(key) == 3 for key in keys)
    assert all(key[0] < key[1] for key in keys)
    assert len({s.label for s in sizes}) == len(sizes)
    assert all(s.source and s.series for s in sizes)
    assert {s.system for s in sizes} == {"metric", "inch", "mixed"}


def test_a_size_names_all_the_series_that_list_it() -> None:
    size = next(s for s in seal_sizes() if s.label == "35 x 52 x 8")
    assert {"ISO 6194-1", "DIN 3760"} <= set(size.series)
    assert size.nominals == ((35.0, "metric"), (52.0, "metric"), (8.0, "metric"))


def test_labels() -> None:
    assert size_label(shaft_mm=34.925, bore_mm=53.975, width_mm=7.9375, system="inch") == (
        "1.375 x 2.125 x 0.3125 in"
    )
    assert inch_text(0.5) == "0.500"


@pytest.mark.parametrize(
    ("limits", "nominal", "system", "expected"),
    [
        (shaft_limits, 35.0, "metric", (-0.160, 0.0)),
        (bore_limits, 52.0, "metric", (0.0, 0.046)),
        (shaft_limits, 34.925, "inch", (-0.0762, 0.0762)),
        (width_limits, 7.0, "metric", (-0.3, 0.3)),
        (width_limits, 12.0, "metric", (-0.4, 0.4)),
        (width_limits, 7.94, "inch", (-0.381, 0.381)),
        (lip_limits, 25.0, "metric", (-1.3, -0.5)),
        (lip_limits, 35.0, "metric", (-1.7, -0.8)),
        (lip_limits, 30.0, "metric", (-1.3, -0.5)),
    ],
)
def test_limits(limits: object, nominal: float, system: str, expected: tuple[float, float]) -> None:
    found = limits(nominal, system)  # type: ignore[operator]
    assert found == pytest.approx(expected, abs=1e-4)


def test_a_case_is_larger_than_its_bore() -> None:
    assert case_limits("metal", 52.0, "metric") == pytest.approx((0.09, 0.23))
    metal, rubber = case_limits("metal", 40.0, "metric"), case_limits("rubber", 40.0, "metric")
    assert metal == pytest.approx((0.08, 0.20))
    assert rubber[0] > metal[0]
    assert case_limits("metal", 53.975, "inch") == pytest.approx((0.003 * 25.4, 0.008 * 25.4))


@given(st.floats(0.001, 5000.0), SYSTEMS)
def test_limits_are_given_for_whatever_the_search_tries(nominal: float, system: str) -> None:
    for place in ("shaft", "track", "bore", "old-width", "old-lip"):
        (view,) = seal_family().places[place].views
        lower, upper = view.limits(nominal, system)
        assert lower <= upper
    for case in ("metal", "rubber"):
        lower, upper = case_limits(case, nominal, system)
        assert 0.0 < lower < upper


def test_the_case_that_is_known_leaves_one_view() -> None:
    assert len(seal_family().places["old-od"].views) == 2
    for case in ("metal", "rubber"):
        (view,) = seal_family(case=case).places["old-od"].views
        assert view.share == 1.0
        assert view.limits(52.0, "metric") == case_limits(case, 52.0, "metric")


# --- the ends and the edges of the tables -------------------------------------------------------

Offsets = Callable[[float, str], tuple[float, float]]


def engine(place: str) -> Offsets:
    """The limits that the search reckons with at a place."""
    return seal_family(case="metal").places[place].views[0].limits


@pytest.mark.parametrize(
    ("limits", "nominal", "system"),
    [
        (shaft_limits, 3.0, "metric"),
        (shaft_limits, 500.5, "metric"),
        (bore_limits, 6.0, "metric"),
        (bore_limits, 540.5, "metric"),
        (bore_limits, 60.5 * 25.4, "inch"),
    ],
)
def test_only_the_search_looks_past_the_ends(limits: Offsets, nominal: float, system: str) -> None:
    with pytest.raises(OffTableError, match="up to and including"):
        limits(nominal, system)
    lower, upper = engine("shaft" if limits is shaft_limits else "bore")(nominal, system)
    assert lower < upper


@given(st.floats(6.001, 500.0), SYSTEMS)
def test_the_search_reckons_with_the_limits_of_the_seat(nominal: float, system: str) -> None:
    for place, limits in (("shaft", shaft_limits), ("track", shaft_limits), ("bore", bore_limits)):
        assert engine(place)(nominal, system) == pytest.approx(limits(nominal, system))


def test_a_class_goes_on_past_the_seal_standard() -> None:
    # h11 is 440 um over 500 to 630 mm (ISO 286-1); the search is not held at the step before.
    assert engine("shaft")(501.0, "metric") == pytest.approx((-0.440, 0.0))
    assert engine("shaft")(2.0, "metric") == pytest.approx((-0.060, 0.0))


@pytest.mark.parametrize(
    ("place", "name", "wanted", "low", "high"),
    [
        ("shaft", "inch_seat_limits", {"seat": "shaft"}, "lower_in", "upper_in"),
        ("bore", "inch_seat_limits", {"seat": "bore"}, "lower_in", "upper_in"),
        (
            "old-od",
            "inch_case_allowance",
            {"case": "metal", "preferred": "true"},
            "allowance_min_in",
            "allowance_max_in",
        ),
        ("old-lip", "inch_lip_interference", {"lip": "main", "preferred": "true"}, "", ""),
    ],
)
def test_every_inch_edge_belongs_to_the_step_that_ends_there(
    place: str, name: str, wanted: dict[str, str], low: str, high: str
) -> None:
    edges = 0
    for row in table(f"seal_tolerances/{name}").rows:
        incl = row.maybe("incl_in")
        if incl is None or any(row.text(c) != value for c, value in wanted.items()):
            continue
        expected = (
            (row.number(low), row.number(high))
            if low
            else (-row.number("max_in"), -row.number("min_in"))
        )
        for nominal in (incl * 25.4, round(incl * 25.4, 5)):
            found = engine(place)(nominal, "inch")
            assert found == pytest.approx(tuple(v * 25.4 for v in expected)), incl
            if place in ("shaft", "bore"):
                seat = limits_of_seat(place, nominal, "inch")
                assert (seat.lower_um / 1000.0, seat.upper_um / 1000.0) == pytest.approx(found)
        edges += 1
    assert edges


def test_limits_go_with_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    size = next(s for s in seal_sizes() if s.label == "35 x 52 x 7")
    before = {p: engine(p)(52.0, "metric") for p in ("bore", "old-od", "old-lip", "old-width")}
    folder = tmp_path / "seal_tolerances"
    folder.mkdir()

    def lay_over(name: str, picked: dict[str, str], changes: dict[str, str]) -> None:
        shipped = table(f"seal_tolerances/{name}")
        rows = [
            row.cells() | changes
            for row in shipped.rows
            if all(row.text(c) == value for c, value in picked.items())
        ]
        columns = [c for c in shipped.columns if c not in ("source", "evidence", "note")]
        lines = [",".join(columns), *(",".join(cells[c] for c in columns) for cells in rows)]
        (folder / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")

    lay_over("seat_class", {"seat": "bore"}, {"tolerance_class": "H11"})
    lay_over("metric_case_allowance", {"case": "metal"}, {"allowance_max_mm": "0.9"})
    lay_over("lip_interference", {"lip": "main"}, {"max_mm": "9"})
    lay_over("width", {}, {"upper_mm": "0.7"})
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert bore_limits(52.0, "metric") == pytest.approx((0.0, 0.190))
    assert case_limits("metal", 52.0, "metric")[1] == 0.9
    assert lip_limits(52.0, "metric")[0] == -9.0
    assert width_limits(7.0, "metric")[1] == 0.7
    assert engine("bore")(52.0, "metric") == pytest.approx((0.0, 0.190))
    assert "the shop's own table" in limits_of_seat("bore", 52.0, "metric").source
    monkeypatch.delenv("FITCHECK_TABLES")
    assert {p: engine(p)(52.0, "metric") for p in before} == before
    assert size in seal_family().sizes
