"""A value that something else wrote into the store's file is told of by `store info --check`."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Column, LargeBinary, MetaData, Table, Text

from fitcheck.errors import DataError
from fitcheck.lists.lines import Block, Remark
from fitcheck.store import check, open_store
from fitcheck.store.cards import keep_card
from fitcheck.store.check import faults_found

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]
CARD = {
    "job": {"title": "slew ring", "machine": "crane", "place": "quay", "date": "2026-01-05"},
    "verdict": "go",
    "positions": [],
    "parts": [],
    "note": "caf\u00e9",
}


@pytest.fixture
def path(tmp_path: Path, blocks_of: Make, invented: Seals) -> Path:
    """The file of a store with a list of three lines and a card."""
    found = tmp_path / "shop.sqlite"
    store = open_store(str(found), create=True)
    store.replace_list("north", blocks_of(invented(3)))
    with store.writing() as connection:
        keep_card(connection, CARD)
    return found


def faults(path: Path) -> list[str]:
    """What the check says of a store."""
    with open_store(str(path)).reading() as connection:
        return faults_found(connection)


def write(path: Path, statement: str) -> None:
    """Write into a store's file past the program."""
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.execute(statement)


def test_what_was_stored_is_sound(path: Path) -> None:
    assert faults(path) == []


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "UPDATE list_line SET description = CAST(x'53c3' AS TEXT)",
            "list_line, description: 3 texts can't be read, they are no UTF-8",
        ),
        ("UPDATE list_line SET on_hand = 'two'", "list_line, on_hand: 3 values are no integer"),
        ("UPDATE list_line SET price = x'33'", "list_line, price: 3 values are no text"),
        (
            "UPDATE job_card SET card = replace(card, 'quay', 'quaz')",
            "job card 1: it is not as it was kept",
        ),
        (
            "UPDATE job_card SET card = substr(card, 1, 20)",
            "job card 1: it is not as it was kept",
        ),
        ("UPDATE job_card SET digest = 'b4'", "job card 1: it is not as it was kept"),
    ],
    ids=["no UTF-8", "no number", "no text", "another card", "half a card", "another digest"],
)
def test_a_value_that_something_else_wrote(path: Path, statement: str, told: str) -> None:
    write(path, statement)
    assert faults(path) == [told]


def test_a_column_of_another_kind_has_to_be_thought_of(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    more = MetaData()
    Table("job_card", more, Column("card", Text), Column("digest", LargeBinary))
    monkeypatch.setattr(check, "metadata", more)
    with pytest.raises(KeyError, match="bytes"):
        faults(path)


def test_a_text_that_is_none_ends_a_look_at_it_kindly(path: Path) -> None:
    write(path, "UPDATE list_line SET description = CAST(x'53c3' AS TEXT)")
    store = open_store(str(path))
    with pytest.raises(DataError, match=r"damaged.*last backup"):
        list(store.blocks("north"))


def test_a_card_of_no_text_ends_no_check(path: Path) -> None:
    write(path, "UPDATE job_card SET card = CAST(x'7b22c3' AS TEXT)")
    assert faults(path) == [
        "job_card, card: 1 texts can't be read, they are no UTF-8",
        "job card 1: it is not as it was kept",
    ]
