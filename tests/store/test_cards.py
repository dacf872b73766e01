"""Job cards kept and found again."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError, NotKnownError
from fitcheck.store.cards import FoundPosition, find_cards, keep_card, kept_card
from fitcheck.store.shop import Store


def card(
    *, title: str = "Drive hub, leaking", machine: str = "mooring winch 2", date: str = "2026-03-09"
) -> dict[str, Any]:
    """An invented card as `fitcheck hub --json` gives it."""
    return {
        "verdict": "check",
        "job": {
            "title": title,
            "machine": machine,
            "place": "Saltmere Quay workshop (invented)",
            "date": date,
            "note": "Öl an der Trommel, 100 % nass",
            "invented": True,
            "turning": "hub",
        },
        "positions": [
            {
                "name": "drum-side seal",
                "kind": "seal",
                "verdict": "go",
                "pick": "90 x 120 x 12",
                "reasons": ["it fits"],
            },
            {"name": "motor-side seal", "kind": "seal", "verdict": "check", "pick": None},
            {"name": "inner bearing", "kind": "bearing", "verdict": "go", "pick": "30206"},
            {
                "name": "outer bearing",
                "kind": "bearing",
                "verdict": "go",
                "pick": "LM11949/LM11910",
            },
            {
                "name": "inch seal",
                "kind": "seal",
                "verdict": "go",
                "pick": "1.375 x 2.125 x 0.313 in",
            },
        ],
        "parts": [
            {"what": "lip seal", "size": "90 x 120 x 12", "quantity": 1, "for": ["drum-side seal"]},
            {
                "what": "thin sleeve",
                "size": "sleeve 90 x 90.5 x 17",
                "quantity": 1,
                "for": ["drum-side seal"],
            },
        ],
        "settings": [],
        "read_again": [],
        "cautions": [],
        "sources": [],
    }


def keep(store: Store, one: dict[str, Any]) -> tuple[int, bool]:
    """Keep a card."""
    with store.writing() as connection:
        return keep_card(connection, one)


def found(store: Store, text: str = "", **asked: Any) -> list[int]:
    """The numbers of the cards that are found."""
    with store.reading() as connection:
        return [one.id for one in find_cards(connection, text, **asked)]


def test_a_card_comes_back_as_it_was(store: Store) -> None:
    assert keep(store, card()) == (1, True)
    with store.reading() as connection:
        kept = kept_card(connection, 1)
    assert kept == card()
    assert list(kept) == list(card())


def test_the_same_card_is_kept_once(store: Store) -> None:
    assert keep(store, card()) == (1, True)
    assert keep(store, dict(reversed(card().items()))) == (1, False)
    assert keep(store, card(title="Drive hub, again")) == (2, True)


def test_cards_are_found_the_latest_first(store: Store) -> None:
    keep(store, card(date="2026-03-09"))
    keep(store, card(date="2026-05-01"))
    keep(store, card(date="2025-12-24"))
    assert found(store) == [2, 1, 3]
    assert found(store, limit=1) == [2]


@pytest.mark.parametrize(
    ("text", "hits"),
    [
        ("LEAKING winch", 1),
        ("winch trailer", 0),
        ("öl", 1),
        ("ÖL AN", 1),
        ("100 %", 1),
        ("1_0", 0),
        ("l%g", 0),
        ("'", 0),
        ("thin sleeve", 1),
        ("LM11949", 1),
        ("\\", 0),
        ("", 1),
    ],
)
def test_words_are_looked_for_everywhere_and_as_they_are(
    store: Store, text: str, hits: int
) -> None:
    keep(store, card())
    assert len(found(store, text)) == hits


def test_cards_are_found_by_machine(store: Store) -> None:
    keep(store, card())
    keep(store, card(machine="Conveyor drum 7, 50 % load"))
    assert found(store, machine="WINCH") == [1]
    assert found(store, machine="drum  7") == [2]
    assert found(store, machine="50 %") == [2]
    assert found(store, machine="%") == [2]


@pytest.mark.parametrize(
    ("size", "hits"),
    [
        ("90 x 120 x 12", 1),
        ("90x120x12", 1),
        ("90 x 120", 1),
        ("90 x 120 x 10", 0),
        ("90,01x120", 1),
        ("90.2x120", 0),
        ("30206", 1),
        ("30 x 62 x 17.25", 1),
        ("lm11949 / lm11910", 1),
        ("1.375 x 2.125 x 0.313 in", 1),
        ("1-3/8in x 2-1/8in x 5/16in", 1),
        ("34.925 x 53.975 x 7.95", 1),
        ("34.925 x 53.975", 1),
        ("90 x 90.5 x 17", 1),
        ("32018", 0),
        ("32018 X", 0),
    ],
)
def test_cards_are_found_by_what_was_fitted(store: Store, size: str, hits: int) -> None:
    keep(store, card())
    assert len(found(store, size=size)) == hits


def test_a_size_in_inches_without_a_unit(store: Store) -> None:
    keep(store, card())
    assert found(store, size="1.375 x 2.125", unit="in") == [1]


def test_a_size_that_can_be_read_two_ways_is_refused(store: Store) -> None:
    keep(store, card())
    with pytest.raises(InputError):
        found(store, size="1,250 x 62 x 17")


def test_a_size_is_looked_for_at_its_position(store: Store) -> None:
    keep(store, card())
    assert found(store, position="drum", size="90 x 120") == [1]
    assert found(store, position="drum", size="30206") == []
    with store.reading() as connection:
        (one,) = find_cards(connection, position="BEARING")
        assert one.machine == "mooring winch 2"
        assert [p.pick for p in one.positions] == ["30206", "LM11949/LM11910"]
        (one,) = find_cards(connection, size="30206")
        assert one.positions == (FoundPosition("inner bearing", "bearing", "go", "30206"),)
        (one,) = find_cards(connection, position="motor")
        assert one.positions[0].pick == ""


@pytest.mark.parametrize("wrong", [{}, {"job": {}}, {**card(), "parts": [1]}, {**card(), "job": 1}])
def test_what_is_no_card_is_refused(store: Store, wrong: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="a job card has job, verdict, positions and parts"):
        keep(store, wrong)


def test_a_card_without_a_date_was_done_when_it_was_kept(store: Store) -> None:
    keep(store, card(date=""))
    with store.reading() as connection:
        (one,) = find_cards(connection)
    assert len(one.day) == 10


def test_a_number_that_is_not_there(store: Store) -> None:
    keep(store, card())
    with store.reading() as connection, pytest.raises(NotKnownError, match="no card was kept"):
        kept_card(connection, 2)
