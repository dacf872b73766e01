"""Terms: the shop's own word first, then the lists, then what is assumed, and that is said."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fitcheck.errors import InputError
from fitcheck.lists.source import rows_source
from fitcheck.stock.folder import folder_records
from fitcheck.stock.gather import Records, gathered
from fitcheck.stock.history import Asking
from fitcheck.stock.parts import names_of
from fitcheck.stock.shelf import Counted
from fitcheck.stock.terms import Terms, listed_terms, parts_of


def line(number: str, width_um: int = 7_000, **fields: Any) -> dict[str, Any]:
    """A line of a list: a seal."""
    seal = {"kind": "seal", "shaft_um": 35_000, "bore_um": 52_000, "width_um": width_um}
    return {"line": 2, "part_number": number, "system": "metric", **seal, **fields}


GLUE = {"line": 9, "part_number": "GL-5", "kind": "other", "price": "7.50", "currency": "EUR"}
SOURCE = rows_source(
    {
        "north": [
            line("1", price="4.20", currency="EUR", pack=10, lead_days=3),
            line("2", price="3.10", currency="EUR", pack=1, minimum=5, lead_days=9),
            line("3", 8_000),
            GLUE,
        ],
        "south": [line("4", price="0.90", currency="NOK")],
    }
)
DAY = date(2026, 3, 9)


def test_of_several_lines_the_cheapest_of_the_first_currency_counts() -> None:
    names = names_of([("35x52x7", ""), ("35x52x8", ""), ("gl-5", "")], source=SOURCE).values()
    found = listed_terms(names, SOURCE)
    assert found["35 x 52 x 7"] == Terms(3.1, "EUR", 9.0, None, 1, 5)
    assert found["35 x 52 x 8"].price is None
    assert found["GL-5"].price == 7.5


def test_the_shops_own_word_comes_first_and_what_is_assumed_is_said() -> None:
    names = names_of([("35x52x7", ""), ("30206", "")]).values()
    own = {"35 x 52 x 7": Terms(price=5.0, currency="NOK", shelf_life_months=60.0, critical=True)}
    listed = {"35 x 52 x 7": Terms(3.1, "EUR", 9.0, None, 1, 5)}
    parts, assumed = parts_of(names, own=own, listed=listed)
    bearing, seal = parts
    assert (seal.price, seal.currency, seal.lead_days, seal.minimum) == (5.0, "NOK", 9.0, 5)
    assert (seal.shelf_life_months, seal.critical) == (60.0, True)
    assert (bearing.price, bearing.currency, bearing.lead_days) == (None, "", 7.0)
    assert assumed[0] == "30206: no price is known"
    assert assumed[1].startswith("no lead time is known for 1 of 2 sizes")


def test_nothing_is_dropped_when_records_are_gathered() -> None:
    asked = [
        Asking(2, DAY, "quay", "J1", "35x52x7", "", 2, None),
        Asking(3, DAY, "quay", "J1", "old thing", "", 1, None),
        # Taken once, and doubtful since a second list has the number.
        Asking(4, DAY, "quay", "J1", "seal 10x8x22", "", 1, None),
    ]
    records = Records(
        history=asked, counts=[Counted(2, "yard", "30206", "", 4, DAY)], notes=["a note"]
    )
    history, known = gathered(records, source=SOURCE)
    assert {history.parts[n] for n in history.part_of.tolist()} == {
        "35 x 52 x 7",
        "old thing",
        "seal 10x8x22",
    }
    assert known.on_hand == {("30206", "yard"): 4}
    words = " ".join(known.assumptions)
    for expected in (
        "a note",
        "old thing: no price",
        "old thing: no size",
        "seal 10x8x22: this can",
    ):
        assert expected in words


def test_many_notes_of_one_sort_are_counted() -> None:
    asked = [Asking(n, DAY, "quay", "", f"thing {n}", "", 1, None) for n in range(12)]
    words = gathered(Records(history=asked))[1].assumptions
    assert "7 more sizes: no price is known" in words


@pytest.mark.parametrize(
    ("files", "words"),
    [
        ({}, "no history.csv or history.xlsx"),
        (
            {"history.csv": "date,part,quantity\n2026-03-09,30206,-1\n"},
            "1 line is refused in all",
        ),
        (
            {"history.csv": "date,part,quantity\n2026-03-09,30206,1\n", "history.xlsx": ""},
            "both history.csv and history.xlsx",
        ),
        (
            {
                "history.csv": "date,part,quantity\n2026-03-09,30206,1\n",
                "terms.csv": "part,price,currency\n30206,-4,EUR\n",
            },
            "terms.csv, line 2, price '-4'",
        ),
    ],
)
def test_a_folder_that_can_not_be_taken(tmp_path: Path, files: dict[str, str], words: str) -> None:
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=words):
        folder_records(str(tmp_path), today=date(2026, 11, 25))
