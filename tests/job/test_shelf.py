"""What lies on the shelf, held against the parts of the card."""

from __future__ import annotations

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.job.shelf import plain_size
from fitcheck.report.card_text import card_text

SEAL = '[[seal]]\nname = "a"\nshaft = "34.95@micrometer"\nbore = "52.02@bore-gauge"\n'
SHIMS = (
    '[[shims]]\nname = "cap"\nmethod = "free-gap"\nmeasured = "0.52@feeler"\nposition = "cap"\n'
    'use = "planetary-hub"\ncondition = "new"\n'
)


def notes(shelf: str, sheet: str = SEAL + 'old_width = "7"\n') -> dict[str, str]:
    """The notes of a card about its shelf."""
    found = job_card(parse_sheet(f"{sheet}[shelf]\n{shelf}\n"))
    return {entry["entry"]: entry["note"] for entry in found["shelf"]}


@pytest.mark.parametrize("text", ["35x52x7", "35 x 52 x 7", "35 X 52 X 7 mm", "35*52*7"])
def test_what_is_needed_is_not_remarked_on(text: str) -> None:
    assert notes(f'seals = ["{text}"]') == {}


@pytest.mark.parametrize(
    ("shelf", "entry"),
    [
        ('seals = ["40x62x8"]', "40x62x8"),
        ('seals = ["1.375 x 2.125 x 0.313 in"]', "1.375 x 2.125 x 0.313 in"),
        ('bearings = ["30206"]', "30206"),
        ('sleeves = ["90.00 x 20"]', "90.00 x 20"),
        ('shims = ["0.10x4"]', "0.10x4"),
    ],
)
def test_what_is_not_needed_is_said(shelf: str, entry: str) -> None:
    assert notes(shelf) == {entry: "not needed here"}


@pytest.mark.parametrize(
    ("shelf", "held"),
    [
        ('"32212"', 1),
        ('"32212 x 3"', 3),
        ('"32212", "32212 x2"', 3),
        ('"32212 x 9"', 4),
        ('"32212 x 0"', 0),
    ],
)
def test_the_shelf_gives_what_it_has_and_the_rest_is_ordered(shelf: str, held: int) -> None:
    text = '[[bearing]]\nname = "a"\nquantity = 4\nmark = "32212"\n'
    found = job_card(parse_sheet(f"{text}[shelf]\nbearings = [{shelf}]\n"))
    shown = {part["on_shelf"]: part["quantity"] for part in found["parts"]}
    assert shown == {k: n for k, n in ((True, held), (False, 4 - held)) if n}
    assert found["shelf"] == []


def test_the_last_number_of_a_size_is_no_count() -> None:
    two = SEAL + 'old_width = "7"\nquantity = 3\n[shelf]\nseals = ["35x52x7 x 2"]\n'
    assert [p["quantity"] for p in job_card(parse_sheet(two))["parts"]] == [2, 1]
    assert notes('seals = ["40x62x8 x 2"]') == {"40x62x8 x 2": "not needed here"}


@pytest.mark.parametrize("kind", ["seals", "bearings", "sleeves"])
def test_what_is_not_understood_is_said(kind: str) -> None:
    (note,) = notes(f'{kind} = ["the blue one"]').values()
    assert note.startswith("not understood")


def test_a_size_that_is_still_possible_is_kept_in_mind() -> None:
    sheet = (
        '[[seal]]\nname = "b"\nbare_shaft = true\nshaft = "44.955@micrometer"\n'
        'bore = ["62.02", "62.03"]\n'
    )
    assert notes('seals = ["45x62x8"]', sheet) == {
        "45x62x8": "perhaps the one for b: settle that first"
    }


def test_shims_that_are_chosen_from_are_not_remarked_on() -> None:
    assert notes('shims = ["0.10x4, 0.20x4"]', SHIMS) == {}
    assert notes('shims = ["0.10x4"]', SHIMS + 'have = "0.05x9"\n') == {"0.10x4": "not needed here"}


def test_the_card_shows_what_is_left_on_the_shelf() -> None:
    found = job_card(parse_sheet(f'{SEAL}[shelf]\nbearings = ["30206"]\n'))
    text = card_text(found)
    assert "On the shelf, but on no line above\n  - 30206 (bearings): not needed here" in text
    # A card that was kept before cards said so.
    del found["shelf"]
    assert "On the shelf" not in card_text(found)


def test_sizes_are_compared_whatever_their_blanks() -> None:
    assert plain_size(" Sleeve 35.00 X 13") == plain_size("35.00x13")
