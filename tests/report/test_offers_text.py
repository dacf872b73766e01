"""Offers as text."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from fitcheck.report.offers_text import (
    candidate_offers,
    list_text,
    offer_text,
    one_order_text,
    part_offers,
)


def offer(**more: Any) -> dict[str, Any]:
    plain: dict[str, Any] = {
        "list": "north",
        "line": 2,
        "part_number": "0012",
        "description": "OIL SEAL 35x52x7",
        "size": "35 x 52 x 7",
        "for_size": "35 x 52 x 7",
        "price": "4.20",
        "currency": "EUR",
        "pack": 1,
        "minimum": 1,
        "lead_days": 1,
        "on_hand": 0,
        "grade": "same",
        "differs": [],
        "questions": [],
    }
    return {**plain, **more}


def part(*offers: dict[str, Any], **more: Any) -> list[str]:
    entry = {"size": "35 x 52 x 7", "quantity": 2, "on_shelf": False, "offers": list(offers)}
    return part_offers({**entry, **more}, indent="")


def test_an_offer_says_what_is_known_and_no_more() -> None:
    assert (
        offer_text(offer())
        == "north 0012 (OIL SEAL 35x52x7): 4.20 EUR, none on hand, 1 day; the same"
    )
    bare = offer(part_number=None, description=None, price=None, lead_days=None, on_hand=None)
    assert offer_text(bare) == "north line 2: no price; the same"
    packs = offer(description="0012", pack=10, minimum=20, currency=None)
    assert offer_text(packs) == (
        "north 0012: 4.20, none on hand, 1 day, packs of 10, at least 20; the same"
    )


def test_a_grade_says_what_differs_and_what_to_ask() -> None:
    found = offer_text(
        offer(
            grade="other-execution",
            differs=["lip single for double"],
            questions=["lubricant: oil is wanted, the list does not say", "ask which is right"],
        )
    )
    assert found.endswith(
        "the same size, made otherwise: lip single for double; ask: lubricant, ask which is right"
    )


def test_a_candidate_shows_the_first_offers() -> None:
    found = candidate_offers({"offers": [offer(part_number=str(n)) for n in range(5)]}, "  ")
    assert [line[:11] for line in found if line.startswith("  > n")] == [
        "  > north 0",
        "  > north 1",
        "  > north 2",
    ]
    assert found[-1] == "  > 2 more with --json"
    assert candidate_offers({"offers": []}, "") == ["> no list has it"]
    assert candidate_offers({}, "") == []


def test_a_part_shows_the_cheapest_and_what_is_on_hand() -> None:
    cheap, held = offer(part_number="1"), offer(part_number="2", on_hand=2, price="9")
    texts = part(cheap, offer(part_number="3", on_hand=1), held)
    assert [text.split()[1] for text in texts] == ["1", "2"]
    assert [text.split()[1] for text in part(held, cheap)] == ["2"]
    other = offer(part_number="4", currency="USD", on_hand=2)
    assert [text.split()[1] for text in part(cheap, other, held)] == ["1", "4"]


def test_a_part_that_no_list_has() -> None:
    assert part() == ["no list has it"]
    assert part(offer(), on_shelf=True) == []
    (text,) = part(offer(grade="condition", differs=["width 8 for 7"]))
    assert text.startswith("no list has the same; the nearest that fits is north 0012")
    texts = part(offer(), size="35 x 52 x 7 or 35 x 52 x 8")
    assert texts[0].startswith("35 x 52 x 7: north 0012")
    assert texts[-1] == "35 x 52 x 8: no list has it"


def test_one_order_is_named() -> None:
    order = {"list": "north", "total": "9.10", "currency": "EUR", "all_on_hand": False}
    card = {"one_order": {"parts": 2, "lists": [order]}}
    (text,) = one_order_text(card, indent="")
    assert "north has every seal and bearing" in text
    assert text.endswith("(2 lines):\n  9.10 EUR, not all on hand")
    (none,) = one_order_text({"one_order": {"parts": 2, "lists": []}}, indent="")
    assert none.startswith("No single list has every seal and bearing")
    assert one_order_text({"one_order": {"parts": 1, "lists": [order]}}, indent="") == []
    assert one_order_text({}, indent="") == []


def test_a_list_says_what_is_left_out() -> None:
    told = {"name": "north", "sizes": 1, "lines": 1, "no_size": 2, "off_table": 0, "other_parts": 1}
    assert " ".join(list_text({"list": told}).split()) == (
        "Matched against list north: 1 size on 1 line; left out: 2 lines without a readable size, "
        "1 line of other parts"
    )
    assert list_text({}) == ""


@given(st.text(max_size=200), st.text(min_size=1, max_size=80), st.text(max_size=80))
def test_whatever_a_list_says_a_terminal_can_have_it(words: str, number: str, name: str) -> None:
    found = candidate_offers(
        {"offers": [offer(description=words, part_number=number, list=name)]}, " " * 13
    )
    for line in "\n".join(found).split("\n"):
        assert len(line) <= 80
        assert line.isprintable()
