"""What closes the hub, on the card: nothing is lost to one bad reading, nothing ordered twice."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet

REST = 'lock_plates = 2\nthread_locker = 8\ncover = "gasket"\n'
PIN = '[[cotter]]\nname = "c"\nhole = "{hole}"\n'
CLOSING = '[closing]\ncotter_hole = "5"\ncotter_through = "30"\n'


def card(text: str) -> dict[str, Any]:
    """The card of a sheet."""
    return job_card(parse_sheet(text))


def lines(found: dict[str, Any]) -> list[tuple[str, str, bool]]:
    """The parts: what, size and whether they can be ordered."""
    return [(part["what"], part["size"], part["order"]) for part in found["parts"]]


def closing(found: dict[str, Any]) -> dict[str, Any]:
    """The position of what closes the hub."""
    return next(p for p in found["positions"] if p["kind"] == "closing")


def test_one_bad_reading_unsettles_the_pin_alone() -> None:
    found = card(f'[closing]\ncotter_hole = "6.3"\ncotter_through = "400"\n{REST}')
    assert lines(found) == [
        ("cotter pin", "to be settled", False),
        ("lock plate", "as the old one", True),
        ("thread-locker", "for 8 bolts", True),
        ("gasket", "for the cover", True),
    ]
    assert closing(found)["verdict"] == "check"
    assert any("Thread-locker back" in entry["step"] for entry in found["work"])
    assert any("Measure again" in entry["reason"] for entry in found["read_again"])


def test_a_pin_alone_that_can_not_be_is_on_the_list_too() -> None:
    found = card('[closing]\ncotter_hole = "6.3"\ncotter_through = "400"\n')
    assert lines(found) == [("cotter pin", "to be settled", False)]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('[[seal]]\nname = "p"\nquantity = 2\n', "lip seal"),
        ('[[bearing]]\nname = "p"\nquantity = 2\n', "tapered bearing"),
        ('[[oring]]\nname = "p"\nquantity = 2\n', "O-ring"),
        ('[[press]]\nname = "p"\nquantity = 2\nuse = "collar"\n', "collar"),
        ('[oil]\nname = "p"\nquantity = 2\nvolume = "6l"\nlevel = "40"\n', "oil"),
        ('[[shims]]\nname = "p"\nquantity = 2\nmethod = "solder"\n', "shims"),
    ],
    ids=["seal", "bearing", "oring", "collar", "oil", "shims"],
)
def test_a_position_without_an_answer_keeps_its_part(text: str, what: str) -> None:
    found = card(text)
    (part,) = found["parts"]
    assert (part["what"], part["size"], part["order"]) == (what, "to be settled", False)
    assert (part["quantity"], part["for"]) == (2, ["p"])


def test_an_unread_end_of_a_pivot_keeps_its_bearing() -> None:
    found = card('[[pivot]]\nname = "p"\n[pivot.upper]\nmark = "30206"\n')
    bearings = [part for part in found["parts"] if part["what"] == "tapered bearing"]
    assert [part["size"] for part in bearings] == ["30206", "to be settled"]


def test_one_hole_takes_one_pin() -> None:
    found = card(PIN.format(hole="5") + CLOSING)
    assert lines(found) == [("cotter pin ISO 1234", "5 x 40", True)]
    assert any("is taken as this one" in reason for reason in closing(found)["reasons"])
    more = card(PIN.format(hole="5") + "quantity = 3\n" + CLOSING)
    assert [part["quantity"] for part in more["parts"]] == [3]


def test_pins_of_two_sizes_are_both_listed_and_looked_at() -> None:
    found = card(PIN.format(hole="8.0@micrometer") + 'bolt = "36"\n' + CLOSING)
    assert len([part for part in found["parts"] if "cotter" in part["what"]]) == 2
    assert closing(found)["verdict"] == "check"
    assert any("pin of another size" in reason for reason in closing(found)["reasons"])


def test_the_covers_o_ring_is_ordered_once() -> None:
    ring = '[[oring]]\nname = "ring"\nid = "45.0"\nsection = "3.0"\n'
    found = card(ring + '[closing]\ncover = "o-ring"\n')
    assert [part["for"] for part in found["parts"] if part["what"] == "O-ring"] == [["ring"]]
    alone = card('[closing]\ncover = "o-ring"\n')
    assert [part["for"] for part in alone["parts"]] == [["closing"]]
