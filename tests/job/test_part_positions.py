"""Parts of described families and pivots as positions of the bench sheet."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError
from fitcheck.job.card import job_card
from fitcheck.job.positions import STAGES
from fitcheck.job.sheet import parse_sheet
from fitcheck.parts.kind import kind, kind_names


def card_of(text: str) -> dict[str, Any]:
    return job_card(parse_sheet(text))


def position(card: dict[str, Any], name: str = "it") -> dict[str, Any]:
    (one,) = [p for p in card["positions"] if p["name"] == name]
    return one


@pytest.mark.parametrize("name", kind_names())
def test_every_family_stands_on_the_sheet_by_its_options(name: str) -> None:
    words = kind(name).example.split()
    keys = "".join(
        f'{flag.removeprefix("--").replace("-", "_")} = "{value}"\n'
        for flag, value in zip(words[::2], words[1::2], strict=True)
    )
    card = card_of(f'[[{name}]]\nname = "it"\nquantity = 3\n{keys}')
    one = position(card)
    assert one["kind"] == name
    assert one["answer"]["candidates"]
    (part,) = [part for part in card["parts"] if part["for"] == ["it"]]
    assert (part["what"], part["quantity"]) == (kind(name).title, 3)
    assert kind(name).stage in STAGES
    assert any(step["for"] == "it" for step in card["work"])
    assert any(prompt["part"] == name for prompt in card["inspect"])


def test_a_ring_is_picked_and_ordered() -> None:
    card = card_of('[[circlip]]\nname = "it"\nshaft = "34.95"\nshaft_groove = "32.9"\nquantity = 2')
    assert position(card)["pick"] == "DIN 471 - 35 x 1.5"
    assert card["parts"] == [
        {
            "what": "retaining ring",
            "size": "DIN 471 - 35 x 1.5",
            "quantity": 2,
            "for": ["it"],
            "order": True,
            "on_shelf": False,
        }
    ]


def test_what_goes_into_a_measured_groove_is_named_before_what_it_was() -> None:
    card = card_of(
        '[[oring]]\nname = "it"\ngroove_bottom = "46.1"\ngroove_depth = "2.4"\n'
        'groove_width = "4.1"\nseal = "radial"'
    )
    (part,) = card["parts"]
    assert part["size"].startswith("45 x 3 or 46 x 3")
    assert part["order"] is False


def test_the_turning_member_of_the_job_judges_the_seat() -> None:
    text = '[job]\nturning = "shaft"\n[[ball]]\nname = "it"\nmark = "6205"\nbore = "25"\n'
    card = card_of(text + 'journal = ["24.97@micrometer", "24.97@micrometer"]')
    assert any("held tight" in reason for reason in position(card)["reasons"])
    assert position(card)["verdict"] == "no-go"
    assert any("grind" in step["step"] for step in card["work"])


def test_an_empty_position_costs_nothing_but_itself() -> None:
    card = card_of('[[felt]]\nname = "it"\n[[collar]]\nname = "other"\nshaft = "30"')
    assert "nothing filled in" in position(card)["reasons"][0]
    assert position(card, "other")["pick"] == "DIN 705 - 30 x 45 x 16"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[[oring]]\nname = "a"\nsecton = "3"', "Did you mean section"),
        ('[[orings]]\nname = "a"', "Did you mean oring"),
        ('[[ball]]\nbore = "25"', "this key is needed"),
        ('[[oring]]\nname = "a"\nid = true', "a text or a number"),
    ],
)
def test_refusals(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_sheet(text)


def test_a_word_that_is_no_choice_is_said_on_the_card() -> None:
    card = card_of('[[oring]]\nname = "it"\nid = "45"\nseal = "sideways"')
    assert "radial or face" in position(card)["reasons"][0]


# --- pivots -------------------------------------------------------------------------------------

PIVOT = """
[[pivot]]
name = "it"
quantity = 2
upper = { mark = "32006X", bore = "30" }
lower = { mark = "32006X", bore = "30" }
"""
SETTING = """
method = "free-gap"
measured = ["0.52@feeler", "0.54@feeler"]
position = "cap"
use = "kingpin-cap"
have = "0.10x6,0.20x4"
"""


def test_a_pivot_is_two_bearings_and_one_setting() -> None:
    card = card_of(PIVOT + SETTING)
    one = position(card)
    assert (one["kind"], one["pick"], one["verdict"]) == ("pivot", "32006 X", "go")
    bearings = [part for part in card["parts"] if part["what"] == "tapered bearing"]
    assert [(part["size"], part["quantity"]) for part in bearings] == [("32006 X", 4)]
    assert any("shims 2 x 0.2 mm" in setting["setting"] for setting in card["settings"])
    assert {setting["for"] for setting in card["settings"]} == {"it"}
    assert any(prompt["part"] == "bearing" for prompt in card["inspect"])


def test_a_pivot_whose_setting_was_not_measured_is_open() -> None:
    one = position(card_of(PIVOT))
    assert one["verdict"] == "check"
    assert "not measured yet" in one["reasons"][-1]


def test_two_different_bearings_are_two_lines() -> None:
    text = PIVOT.replace('lower = { mark = "32006X", bore = "30" }', 'lower = { mark = "32008X" }')
    card = card_of(text + SETTING)
    assert position(card)["pick"] == "32006 X and 32008 X"
    bearings = [part for part in card["parts"] if part["what"] == "tapered bearing"]
    assert [part["quantity"] for part in bearings] == [2, 2]


def test_one_bearing_not_known_leaves_the_pick_open() -> None:
    text = PIVOT.replace('lower = { mark = "32006X", bore = "30" }', "lower = {}")
    one = position(card_of(text + SETTING))
    assert one["pick"] is None
    assert one["verdict"] == "check"
    assert any(reason.startswith("lower: not answered") for reason in one["reasons"])
