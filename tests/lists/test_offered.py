"""Offers joined to answers and to the parts of a card."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.seal import SealRequest
from fitcheck.job.seal import answer as seal_answer
from fitcheck.job.sheet import parse_sheet
from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.offered import Position, add_card_offers, add_offers, without_offers
from fitcheck.lists.source import LineSource, rows_source

SEAL = SizeKey("seal", 35000, 52000, 7000, "metric")
BEARING = SizeKey("bearing", designation="30206")
SHEET = """\
[[seal]]
name = "inner seal"
mark = "35x52x7"
shaft = "34.95@micrometer"
bore = "52.02@bore-gauge"
pocket = "9"

[[seal]]
name = "outer seal"
mark = "35x52x7"
shaft = "34.95@micrometer"
bore = "52.02@bore-gauge"
pocket = "9"

[[bearing]]
name = "bearing"
mark = "30206"
"""


def row(line: int, key: SizeKey, **more: Any) -> dict[str, Any]:
    return {"line": line, **key._asdict(), **more}


def shop(**lists: list[dict[str, Any]]) -> dict[str, LineSource]:
    return {name: rows_source({name: rows}) for name, rows in lists.items()}


def offered_card(sheet: str, **lists: list[dict[str, Any]]) -> dict[str, Any]:
    card = job_card(parse_sheet(sheet))
    add_card_offers(card, {}, shop(**lists))
    return card


def test_each_candidate_gets_its_offers() -> None:
    found = seal_answer(SealRequest(readings={"shaft": ["34.95"], "bore": ["52.02"]}))
    add_offers([Position(found, Execution())], shop(north=[row(2, SEAL, price="3")]))
    by_size = {c["size"]: c["offers"] for c in found["candidates"]}
    (offer,) = by_size["35 x 52 x 7"]
    assert (offer["list"], offer["price"], offer["grade"]) == ("north", "3", "same-ask")
    assert [offer["grade"] for offer in by_size["35 x 52 x 8"]] == ["condition"]


def test_a_list_that_has_everything_is_named_with_the_total() -> None:
    card = offered_card(
        SHEET,
        north=[
            row(2, SEAL, price="3.10", currency="EUR", on_hand=2),
            row(3, BEARING, price="9", currency="EUR", on_hand=1),
        ],
        south=[row(2, SEAL, price="1", currency="EUR")],
    )
    assert card["one_order"] == {
        "parts": 2,
        "lists": [{"list": "north", "total": "15.20", "currency": "EUR", "all_on_hand": True}],
    }
    seals, bearing = card["parts"]
    assert [(o["list"], o["for_size"]) for o in seals["offers"]] == [
        ("south", "35 x 52 x 7"),
        ("north", "35 x 52 x 7"),
    ]
    assert [o["grade"] for o in bearing["offers"]] == ["same"]


def test_a_least_order_is_paid_whole() -> None:
    card = offered_card(
        SHEET,
        north=[
            row(2, SEAL, price="1", currency="EUR", minimum=50),
            row(3, SEAL, price="3", currency="EUR"),
            row(4, BEARING, price="9", currency="EUR", minimum=2),
        ],
    )
    assert [o["line"] for o in card["parts"][0]["offers"]] == [3, 2]
    assert card["one_order"]["lists"][0]["total"] == "24"


@pytest.mark.parametrize(
    ("more", "total"),
    [({}, None), ({"price": "9", "currency": "USD"}, None), ({"price": "9"}, None)],
)
def test_no_total_without_one_currency(more: dict[str, str], total: str | None) -> None:
    rows = [row(2, SEAL, price="3", currency="EUR", on_hand=1), row(3, BEARING, **more)]
    (order,) = offered_card(SHEET, north=rows)["one_order"]["lists"]
    assert (order["total"], order["currency"], order["all_on_hand"]) == (total, None, None)


def test_what_is_made_otherwise_is_no_whole_order() -> None:
    rows = [row(2, SEAL._replace(width_um=8000)), row(3, BEARING)]
    card = offered_card(SHEET, north=rows)
    assert card["parts"][0]["offers"][0]["grade"] == "condition"
    assert card["one_order"]["lists"] == []


def test_what_is_on_the_shelf_needs_no_order() -> None:
    shelf = '[shelf]\nseals = ["35 x 52 x 7 x 2"]\n'
    assert offered_card(SHEET + shelf, north=[row(3, BEARING)])["one_order"]["parts"] == 1
    # One on the shelf, and two are needed.
    one = shelf.replace(" x 2", "")
    assert offered_card(SHEET + one, north=[row(3, BEARING)])["one_order"]["parts"] == 2


def test_a_line_for_two_positions_has_the_worse_grade_of_both() -> None:
    card = job_card(parse_sheet(SHEET))
    made = {"inner seal": Execution(lubricant="oil"), "outer seal": Execution(lubricant="grease")}
    add_card_offers(card, made, shop(north=[row(2, SEAL, lubricant="oil")]))
    inner, outer, _ = card["positions"]
    assert inner["answer"]["candidates"][0]["offers"][0]["grade"] == "same-ask"
    assert outer["answer"]["candidates"][0]["offers"][0]["grade"] == "other-execution"
    (offer,) = card["parts"][0]["offers"]
    assert (offer["grade"], offer["differs"]) == ("other-execution", ["lubricant oil for grease"])


def test_sizes_to_be_settled_have_offers_each() -> None:
    sheet = '[[seal]]\nname = "s"\nshaft = "35"\nbore = "52.02"\nbare_shaft = true\n'
    card = offered_card(sheet, north=[row(2, SEAL), row(3, SEAL._replace(width_um=8000))])
    same = {o["for_size"] for o in card["parts"][0]["offers"] if o["grade"] == "same-ask"}
    assert same == {"35 x 52 x 7", "35 x 52 x 8"}
    assert card["one_order"]["parts"] == 0


def test_a_position_that_was_not_answered_is_passed_over() -> None:
    card = offered_card('[[seal]]\nname = "s"\n' + SHEET, north=[row(2, SEAL)])
    assert card["positions"][0]["answer"] is None
    inner = next(part for part in card["parts"] if "inner seal" in part["for"])
    assert inner["offers"]
    assert not any("offers" in part for part in card["parts"] if part["for"] == ["s"])


def test_a_card_without_offers_is_the_card_as_it_was() -> None:
    assert without_offers(offered_card(SHEET, north=[row(2, SEAL)])) == job_card(parse_sheet(SHEET))


def test_thin_sleeves_are_asked_of_the_lists() -> None:
    worn = """\
[[seal]]
name = "drum-side seal"
mark = "90x120x12"
shaft = "89.98@micrometer"
track = "89.60@micrometer"
bore = "120.02@bore-gauge"
groove_width = "1.6"
lip_at = "22"
room = "1"
"""
    rows = [
        row(2, SizeKey("sleeve", 90000, None, 20000, "metric"), price="12.50"),
        row(3, SizeKey("sleeve", 90000, 90500, 20000, "metric"), price="11.00"),
        # A thick sleeve is another part.
        row(4, SizeKey("sleeve", 90000, 95000, 20000, "metric"), price="9.00"),
        row(5, SizeKey("sleeve", 80000, None, 20000, "metric"), price="9.00"),
    ]
    card = offered_card(worn, north=rows)
    (part,) = [part for part in card["parts"] if part["what"] == "thin sleeve"]
    assert part["size"] == "90.00 x 20"
    assert [(o["line"], o["grade"]) for o in part["offers"]] == [(3, "same-ask"), (2, "same-ask")]
    assert any("shafts it grips" in question for question in part["offers"][0]["questions"])
    assert without_offers(card) == job_card(parse_sheet(worn))
