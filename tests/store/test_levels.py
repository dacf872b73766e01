"""Stock levels and demand as they stand in the store."""

from __future__ import annotations

from sqlalchemy import insert

from fitcheck.store.levels import Demand, Level, demands, levels
from fitcheck.store.schema import demand, stock_level
from fitcheck.store.shop import Store

QUAY, YARD = "north quay", "Yard"


def test_levels_are_read_by_place_and_part(store: Store) -> None:
    given = [
        Level(YARD, "30206", 2, "2026-01-01"),
        Level(QUAY, "35 x 52 x 7", 0, "2026-02-01"),
        Level(QUAY, "30206", 1, "2026-01-01"),
    ]
    with store.writing() as connection:
        for one in given:
            row = {"place": one.place, "item": one.item, "on_hand": one.on_hand}
            connection.execute(insert(stock_level).values(**row, counted_at=one.counted_at))
    with store.reading() as connection:
        found = levels(connection)
        assert levels(connection, place=YARD) == [given[0]]
    assert sorted(found, key=lambda one: one.place) == [given[0], given[2], given[1]]


def test_demand_is_read_by_part_place_and_day(store: Store) -> None:
    given = [
        Demand(QUAY, "30206", "2026-03-09", 2, "winch"),
        Demand(YARD, "30206", "2026-01-05", 1),
        Demand(QUAY, "35 x 52 x 7", "2026-02-01", 4),
    ]
    with store.writing() as connection:
        for one in given:
            row = {"place": one.place, "item": one.item, "day": one.day, "note": one.note}
            connection.execute(insert(demand).values(**row, quantity=one.quantity))
    with store.reading() as connection:
        assert demands(connection) == [given[1], given[2], given[0]]
        assert demands(connection, item="30206") == [given[1], given[0]]
        assert demands(connection, place=QUAY, since="2026-02-02") == [given[0]]
