"""The accounts of a set of readings, and their priors."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.accounts import (
    AS_GIVEN,
    ORDER_SWAPPED,
    ROUNDED,
    UNIT_MIXED,
    Account,
    accounts,
    prior,
)
from fitcheck.readings import Reading, read

GROUP = ("shaft", "bore", "old-width")


def readings(unit: str = "mm", **texts: str) -> dict[str, Reading]:
    """Readings by place, with _ for -."""
    return {
        (place := name.replace("_", "-")): read(place=place, texts=(text,), unit=unit)
        for name, text in texts.items()
    }


def named(found: list[Account], name: str) -> list[Account]:
    """The accounts of a name."""
    return [account for account in found if account.name == name]


def test_the_plain_account_comes_first_and_the_priors_add_up() -> None:
    found = accounts(readings(shaft="34.92", bore="52.02", old_width="7.1"), GROUP)
    assert found[0].name == AS_GIVEN
    assert sum(account.prior for account in found) == pytest.approx(1.0)
    assert min(account.prior for account in found) > 0.0
    assert {v.place: v.value_mm for v in found[0].values} == {
        "shaft": 34.92,
        "bore": 52.02,
        "old-width": 7.1,
    }


def test_the_order_of_readings_does_not_matter() -> None:
    one = readings(shaft="34.92", bore="52.02", old_width="7.1")
    other = dict(reversed(one.items()))
    assert accounts(one, GROUP)[0] == accounts(other, GROUP)[0]
    assert accounts(one, GROUP) == accounts(other, GROUP)


def test_every_number_may_be_of_the_other_unit() -> None:
    found = named(accounts(readings(shaft="1.375", bore="2.125"), GROUP), UNIT_MIXED)
    assert len(found) == 3
    every = {v.place: (v.value_mm, v.factor) for v in found[-1].values}
    assert every["shaft"] == (pytest.approx(34.925), 25.4)
    assert every["bore"] == (pytest.approx(53.975), 25.4)
    assert found[0].prior == prior("unit-one")
    assert found[-1].prior == prior("unit-all")
    assert "meant in inches" in found[0].words


def test_inches_may_be_millimetres() -> None:
    found = named(accounts(readings("in", shaft="34.92"), GROUP), UNIT_MIXED)
    assert [round(v.value_mm, 4) for v in found[0].values] == [34.92]
    assert found[0].values[0].factor == pytest.approx(1 / 25.4)
    assert "meant in millimetres" in found[0].words


def test_a_stated_unit_is_doubted_less() -> None:
    bare = named(accounts(readings(shaft="34.92"), GROUP), UNIT_MIXED)
    stated = named(accounts(readings(shaft="34.92mm"), GROUP), UNIT_MIXED)
    assert stated[0].prior == pytest.approx(bare[0].prior * prior("unit-stated"))


def test_units_that_nobody_mixes_up_are_left_alone() -> None:
    assert named(accounts(readings(shaft="34920um"), GROUP), UNIT_MIXED) == []


def test_all_other_orders_share_one_prior() -> None:
    found = named(accounts(readings(shaft="35.1", bore="52.1", old_width="7.1"), GROUP), "as-given")
    assert len(found) == 1
    orders = named(
        accounts(readings(shaft="35.1", bore="52.1", old_width="7.1"), GROUP), ORDER_SWAPPED
    )
    assert len(orders) == 5
    assert sum(o.prior for o in orders) == pytest.approx(prior("order-swapped"))
    assert len({tuple((v.place, v.value_mm) for v in o.values) for o in orders}) == 5


def test_one_reading_has_no_order_and_places_outside_the_group_stay() -> None:
    assert named(accounts(readings(shaft="35.1", pocket="9.2"), GROUP), ORDER_SWAPPED) == []
    found = named(accounts(readings(shaft="35.1", bore="52.1", pocket="9.2"), GROUP), ORDER_SWAPPED)
    assert [{v.place: v.value_mm for v in o.values} for o in found] == [
        {"shaft": 52.1, "bore": 35.1, "pocket": 9.2}
    ]


@pytest.mark.parametrize(
    ("unit", "shaft", "bore", "rounded"),
    [
        ("mm", "35", "52", 0.5),
        ("mm", "35", "52.02", 0.0),
        ("mm", "35.0", "52.0", 0.0),
        ("in", "1-3/8", "2-1/16", 25.4 / 32),
        ("in", "1.375", "2.0625", 0.0),
        ("in", "1.376", "2.0625", 0.0),
        ("mm", "35@tape", "52@tape", 0.0),
    ],
)
def test_rounding_is_an_account_only_where_all_stand_on_the_step(
    unit: str, shaft: str, bore: str, rounded: float
) -> None:
    found = named(accounts(readings(unit, shaft=shaft, bore=bore), GROUP), ROUNDED)
    assert [v.half_step_mm for a in found for v in a.values] == pytest.approx(
        [rounded, rounded] if rounded else []
    )


def test_no_reading_leaves_the_plain_account() -> None:
    assert accounts({}, GROUP) == [Account(AS_GIVEN, 1.0, ())]


def test_a_shop_can_change_a_prior(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert prior("slip") == 0.02
    folder = tmp_path / "priors"
    folder.mkdir()
    (folder / "mistakes.csv").write_text("mistake,prior\nslip,0.05\n", encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert prior("slip") == 0.05
    assert prior("unlisted-size") == 0.05
