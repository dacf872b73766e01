"""Stock levels and demand."""

from __future__ import annotations

import pytest

from fitcheck.errors import InputError
from fitcheck.store.levels import Demand, Level, add_demand, demands, levels, set_levels
from fitcheck.store.shop import Store

QUAY, YARD = "north quay", "Yard"


def test_the_last_count_stands(store: Store) -> None:
    with store.writing() as connection:
        set_levels(
            connection, [Level(YARD, "30206", 2), Level(QUAY, "35 x 52 x 7", 4, "2026-01-01")]
        )
        set_levels(
            connection, [Level(QUAY, "35 x 52 x 7", 0, "2026-02-01"), Level(QUAY, "30206", 1)]
        )
    with store.reading() as connection:
        found = levels(connection)
        assert levels(connection, place=YARD) == found[:1]
    assert [(one.place, one.item, one.on_hand) for one in found] == [
        (YARD, "30206", 2),
        (QUAY, "30206", 1),
        (QUAY, "35 x 52 x 7", 0),
    ]
    assert found[2].counted_at == "2026-02-01"
    assert found[0].counted_at.endswith("Z")


def test_demand_is_read_by_part_place_and_day(store: Store) -> None:
    given = [
        Demand(QUAY, "30206", "2026-03-09", 2, "winch"),
        Demand(YARD, "30206", "2026-01-05", 1),
        Demand(QUAY, "35 x 52 x 7", "2026-02-01", 4),
    ]
    with store.writing() as connection:
        add_demand(connection, given)
    with store.reading() as connection:
        assert demands(connection) == [given[1], given[2], given[0]]
        assert demands(connection, item="30206") == [given[1], given[0]]
        assert demands(connection, place=QUAY, since="2026-02-02") == [given[0]]


def test_less_than_nothing_is_refused(store: Store) -> None:
    with store.writing() as connection, pytest.raises(InputError, match="less than nothing"):
        set_levels(connection, [Level(QUAY, "30206", -1)])


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (Demand(QUAY, "30206", "9.3.2026", 1), "this is no day"),
        (Demand(QUAY, "30206", "2026-03-09", 0), "at least one piece"),
        (Demand(" ", "30206", "2026-03-09", 1), "the name of a place can't be blank"),
    ],
)
def test_demand_that_can_not_be_right_is_refused(store: Store, wrong: Demand, words: str) -> None:
    with store.writing() as connection, pytest.raises(InputError, match=words):
        add_demand(connection, [wrong])
