"""The shop's own records in the store, on both databases."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import select, text

from fitcheck.errors import InputError, NotKnownError
from fitcheck.stock.fleet import read_fleet
from fitcheck.stock.gather import Records, gathered
from fitcheck.stock.history import HistoryFile, read_history
from fitcheck.stock.shelf import read_shelf
from fitcheck.stock.terms import read_terms
from fitcheck.store.backup import read_backup, write_backup
from fitcheck.store.cards import keep_card
from fitcheck.store.migrate import migrate, revision_of
from fitcheck.store.schema import stock_level
from fitcheck.store.shop import Store
from fitcheck.store.stock_read import stored_records
from fitcheck.store.stock_write import (
    HISTORY,
    digest_of,
    keep_fleet,
    keep_history,
    keep_shelf,
    keep_terms,
    remove_source,
    sources,
)

TODAY = date(2026, 11, 25)
DEMO = Path(__file__).parents[2] / "data" / "demo" / "stock"


def history(folder: Path, text: str, name: str = "history.csv") -> tuple[HistoryFile, str]:
    """A history file as read, and its digest."""
    path = folder / name
    path.write_text(f"date,branch,job,part,quantity,short\n{text}", encoding="utf-8")
    return read_history(str(path), today=TODAY), digest_of(str(path))


ONE = "2026-03-09,quay,J1,35x52x7,2,yes\n2026-03-09,quay,J1,30206,1,\n"


def test_records_come_back_as_they_were_written(store: Store) -> None:
    files = {name: str(DEMO / f"{name}.csv") for name in ("history", "fleet", "terms", "shelf")}
    asked = read_history(files["history"], today=TODAY)
    fleet, terms = read_fleet(files["fleet"]), read_terms(files["terms"])
    shelf = read_shelf(files["shelf"], today=TODAY)
    with store.writing() as connection:
        assert not keep_history(connection, "history", asked, "1")
        assert not keep_fleet(connection, "fleet", fleet, "2")
        assert not keep_terms(connection, "terms", terms, "3")
        keep_shelf(connection, shelf)
    with store.reading() as connection:
        found = stored_records(connection)
    wanted = Records(
        history=asked.lines,
        fleet=fleet.positions,
        terms=tuple((one, said) for _, one, said in terms.lines),
        counts=shelf.counts,
    )
    assert list(found.history) == list(asked.lines)
    assert set(found.terms) == set(wanted.terms)
    assert found.fleet == wanted.fleet
    same, known = gathered(found), gathered(wanted)
    assert same[0].parts == known[0].parts
    assert same[1].on_hand == known[1].on_hand
    assert same[1].parts == known[1].parts


def test_a_file_takes_the_place_of_the_one_of_its_name(store: Store, tmp_path: Path) -> None:
    with store.writing() as connection:
        assert not keep_history(connection, "Book", *history(tmp_path, ONE))
        assert keep_history(connection, "book", *history(tmp_path, ONE + ONE))
    with store.reading() as connection:
        assert [(one.name, one.lines) for one in sources(connection, HISTORY)] == [("book", 4)]
        assert len(stored_records(connection).history) == 4
    with store.writing() as connection:
        remove_source(connection, HISTORY, "BOOK")
        with pytest.raises(NotKnownError, match="no history is kept under that name"):
            remove_source(connection, HISTORY, "BOOK")
    with store.reading() as connection:
        assert stored_records(connection).history == []


def test_the_same_file_under_two_names_would_count_twice(store: Store, tmp_path: Path) -> None:
    with store.writing() as connection:
        keep_history(connection, "one", *history(tmp_path, ONE))
    with store.writing() as connection, pytest.raises(InputError, match="would count twice"):
        keep_history(connection, "two", *history(tmp_path, ONE))


def test_a_file_with_a_refused_line_is_not_kept_at_all(store: Store, tmp_path: Path) -> None:
    bad = history(tmp_path, ONE + "2026-03-09,quay,J1,30206,-1,\n")
    with store.writing() as connection, pytest.raises(InputError, match="whole or not at all"):
        keep_history(connection, "bad", *bad)
    with store.writing() as connection, pytest.raises(InputError, match="no line"):
        keep_history(connection, "bad", *history(tmp_path, ""))
    with store.reading() as connection:
        assert list(sources(connection, HISTORY)) == []


def test_counts_replace_counts_and_stretches_add_up(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "shelf.csv"
    heading = "part,branch,on_hand,date,empty_from,empty_to\n"
    for line in (
        "30206,quay,3,2026-03-01,2026-01-05,2026-02-05",
        "30206,quay,5,2026-04-01,2026-01-05,2026-02-07",
    ):
        path.write_text(f"{heading}{line}\n", encoding="utf-8")
        with store.writing() as connection:
            keep_shelf(connection, read_shelf(str(path), today=TODAY))
    with store.reading() as connection:
        found = stored_records(connection)
    assert [(one.pieces, one.day) for one in found.counts] == [(5, date(2026, 4, 1))]
    assert [(one.first, one.end) for one in found.stretches] == [
        (date(2026, 1, 5), date(2026, 2, 7))
    ]


def test_kept_cards_are_demand(store: Store) -> None:
    card = {
        "job": {"title": "winch", "date": "2026-03-09", "place": "quay"},
        "verdict": "check",
        "positions": [],
        "parts": [
            {"what": "lip seal", "size": "35 x 52 x 7", "quantity": 2, "order": True},
            {"what": "lip seal", "size": "45 x 62 x 8", "quantity": 1, "order": False},
            {"what": "gear oil", "size": "1.5 l", "quantity": 1, "order": True},
            {"what": "deep-groove ball bearing", "size": "6207", "quantity": 2, "order": True},
            {"what": "O-ring", "size": "by its groove", "quantity": 1, "order": True},
        ],
    }
    with store.writing() as connection:
        keep_card(connection, card)
    with store.reading() as connection:
        found = stored_records(connection)
        assert stored_records(connection, cards=False).history == []
    assert [(one.branch, one.job, one.text, one.quantity) for one in found.history] == [
        ("quay", "card 1", "35 x 52 x 7", 2),
        ("quay", "card 1", "6207", 2),
    ]
    assert found.notes == (
        "2 parts of cards that were not decided on are not counted",
        "1 part of cards, such as oil, that is not kept by size is not counted",
    )


def test_an_older_store_keeps_its_demand_and_its_counts(store: Store) -> None:
    database = store.database
    database.make_file()
    with database.writing() as connection:
        migrate(connection, to="0001")
        connection.execute(
            text(
                "INSERT INTO demand (place, item, day, quantity, note) "
                "VALUES ('quay', '30206', '2026-03-09', 2, '')"
            )
        )
        connection.execute(
            text("INSERT INTO stock_level VALUES ('quay', '30206', 4, '2026-03-09')")
        )
    assert store.upgrade() == "0001"
    with store.reading() as connection:
        assert revision_of(connection) == "0002"
        found = stored_records(connection)
        assert [(one.text, one.quantity, one.short) for one in found.history] == [
            ("30206", 2, None)
        ]
        (level,) = connection.execute(select(stock_level)).mappings()
        assert dict(level) == {
            "place": "quay",
            "item": "30206",
            "on_hand": 4,
            "counted_at": "2026-03-09",
            "what": "",
        }


def test_a_backup_carries_the_records(store: Store, tmp_path: Path) -> None:
    with store.writing() as connection:
        keep_history(connection, "book", *history(tmp_path, ONE))
    with store.reading() as connection:
        before = stored_records(connection)
    with (tmp_path / "backup.zip").open("wb") as target:
        write_backup(store, target)
    read_backup(store, str(tmp_path / "backup.zip"), replace=True)
    with store.reading() as connection:
        assert stored_records(connection) == before
    with store.writing() as connection:
        keep_history(connection, "more", *history(tmp_path, ONE + ONE, "more.csv"))
