"""How large a card is set, that it keeps to three pages, and what goes to its appendix."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.cli.card_files import printed
from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.drawing.answers import card_drawings
from fitcheck.report.html.card import card_page, card_values
from fitcheck.report.html.density import PAGES, balanced, card_setting
from fitcheck.report.html.page import PAPERS, page

DEMO = Path(__file__).parents[2] / "data" / "demo"
# A hub with more in it than the demonstrations have: eight parts, two settings, all the rest.
LARGE = """
[job]
title = "Idler hub of a peat cutter"
turning = "hub"
oil = "gear oil"
speed = "120rpm"
temperature = "65C"
invented = true
[[seal]]
name = "outboard seal"
bare_shaft = true
shaft = ["79.97@micrometer", "79.98@micrometer"]
track = ["79.50@micrometer"]
bore = ["110.03@bore-gauge"]
old_width = "10.05"
groove_width = "1.8"
lip_at = "18"
room = "4"
[[seal]]
name = "inboard seal"
shaft = ["60.51@micrometer"]
bore = ["85.02@bore-gauge"]
old_width = "8.05"
[[seal]]
name = "pin seal"
shaft = ["54.97@micrometer"]
bore = ["72.02@bore-gauge"]
[[bearing]]
name = "outer bearing"
mark = "32212"
bore = "60.00"
od = "110.00"
width = "29.8"
journal = ["59.985@micrometer"]
housing = ["109.965@bore-gauge"]
[[bearing]]
name = "inner bearing"
bore = "40.01"
od = "79.99"
width = "19.8"
journal = ["39.985@micrometer"]
housing = ["80.03@bore-gauge"]
[[press]]
name = "collar"
use = "collar"
interface = "60.02@micrometer"
outer = "84"
inner = "0"
length = "22"
interference = "0.045"
[[press]]
name = "cup in the hub"
use = "cup"
interface = "110"
outer = "150"
inner = "96"
length = "24"
interference = "0.05"
outer_material = "cast-aluminium"
[[press]]
name = "hub bushing"
use = "bushing"
interface = "50"
outer = "90"
inner = "42.05@bore-gauge"
length = "40"
fit = "H7/r6"
pin = "41.95@micrometer"
[[shims]]
name = "end cap"
method = "free-gap"
measured = ["0.84@feeler", "0.86@feeler"]
position = "cap"
use = "planetary-hub"
condition = "used"
[[shims]]
name = "hub play"
method = "end-play"
measured = ["0.24@indicator"]
position = "cap"
target = "0.03..0.08mm"
fitted = "0.50x1,0.20x2,0.10x2"
have = "0.05x3,0.10x3,0.20x2,0.50x1"
[oil]
diameter = "200"
length = "130"
fill = 0.5
to_temp = "80C"
[closing]
cotter_hole = "5.2"
cotter_through = "38"
thread_locker = 6
cover = "liquid"
"""


def made(text: str) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """A card and the drawings that go on paper with it."""
    card = job_card(parse_sheet(text, name="sheet"))
    return card, printed(card, card_drawings(card))


@pytest.fixture(scope="module")
def large() -> tuple[dict[str, Any], list[tuple[str, str]]]:
    return made(LARGE)


def with_offers(card: dict[str, Any]) -> dict[str, Any]:
    """The same card with 60 lines of parts that no shelf has."""
    more = copy.deepcopy(card)
    first = more["parts"][0]
    more["parts"] = [{**first, "size": f"{n} x {n + 22} x 8"} for n in range(20, 80)]
    return more


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("name", ["winch", "trailer", "drum", "tractor"])
def test_the_demonstrations_need_no_appendix(name: str, paper: str) -> None:
    card, drawings = made((DEMO / f"{name}.toml").read_text(encoding="utf-8"))
    setting = card_values(card, drawings=drawings, paper=paper)["setting"]
    assert setting.apart == 0
    assert setting.size >= 80
    assert setting.total <= PAGES


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_a_large_card_keeps_its_work_on_three_pages(
    large: tuple[dict[str, Any], list[tuple[str, str]]], paper: str
) -> None:
    card, drawings = large
    for one in (card, with_offers(card)):
        setting = card_values(one, drawings=drawings, paper=paper)["setting"]
        assert setting.pages <= PAGES
        assert setting.size >= 75


def test_what_has_no_room_is_in_the_appendix_and_nowhere_left_out(
    large: tuple[dict[str, Any], list[tuple[str, str]]],
) -> None:
    card, drawings = large
    html = card_page(with_offers(card), drawings=drawings, paper="letter")
    body, _, after = html.partition('id="appendix"')
    assert after
    assert "in the appendix" in body
    assert html.count('class="seat"') == len(card["positions"])
    assert html.count("<figure") == len(drawings)
    assert html.count('class="box"') == 60 + len(card["inspect"])
    assert after.index("Sources and assumptions") > after.index("Reasons")


def test_a_card_no_three_pages_hold_says_so(
    large: tuple[dict[str, Any], list[tuple[str, str]]],
) -> None:
    card = with_offers(large[0])
    card["parts"] = card["parts"] * 5
    assert "give each hub a sheet of its own" in card_page(card)
    assert "give each hub a sheet of its own" not in card_page(large[0])


def test_what_was_taken_is_said_once(large: tuple[dict[str, Any], list[tuple[str, str]]]) -> None:
    html = card_page(large[0]).replace("\u00a0", " ")
    taken = "the material of the collar was not given: steel is taken"
    assert html.count(taken) == 1
    assert taken in html.split('id="sources"')[1]


@pytest.mark.pdf
@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_the_pages_of_a_large_card(
    large: tuple[dict[str, Any], list[tuple[str, str]]], paper: str
) -> None:
    from io import BytesIO

    from pypdf import PdfReader
    from weasyprint import HTML

    card, drawings = large
    values = card_values(card, drawings=drawings, paper=paper)
    document = HTML(string=page("card", paper=paper, **values)).write_pdf()
    texts = [one.extract_text() for one in PdfReader(BytesIO(document)).pages]
    # Reckoned on the safe side, and not far off.
    assert len(texts) == pytest.approx(values["setting"].total + 0.5, abs=0.6)
    (cautions,) = [n for n, text in enumerate(texts) if "\nCautions" in f"\n{text}"][-1:]
    assert cautions < PAGES
    assert "Sources and assumptions" in texts[-1]
    # A section that goes on on the next page has its heading there again.
    headings = ("Seats and fits", "Work, in the order", "Settings", "Parts, to order", "Look at")
    assert sum(text.count(h) for text in texts for h in headings) > len(headings)
    others = ("Readings to take again", "Cautions", "Appendix", "Sources and assumptions")
    assert all(text.startswith((*headings, *others)) for text in texts[1:])


@given(st.lists(st.floats(0.1, 9.0), min_size=1, max_size=30), st.integers(1, 4))
def test_columns_are_filled_in_order(heights: list[float], columns: int) -> None:
    high = balanced(heights, columns)
    assert max(heights) - 0.01 <= high <= sum(heights) + 0.01
    assert high * columns >= sum(heights) - 0.01 * columns


def test_a_card_with_little_on_it_is_set_large() -> None:
    card, _ = made('[job]\nturning = "hub"\n[[seal]]\nname = "seal"\nshaft = "35"\nbore = "52"\n')
    assert card_setting(card_values(card), paper="a4").size >= 100


# One drawing, and more parts to order than stand below it where it is half a page wide.
ONE_DRAWN = """
[job]
title = "Planetary hub of a reach stacker"
turning = "hub"
oil = "gear oil"
invented = true
[[seal]]
name = "seal"
bare_shaft = true
shaft = ["89.99@micrometer", "89.98@micrometer"]
track = ["89.79@micrometer"]
bore = ["120.02@bore-gauge"]
old_width = "12.0"
groove_width = "2.5"
[[press]]
name = "ring"
use = "sleeve"
interface = "88.9"
outer = "95.25"
inner = "50.8"
length = "19"
fit = "H7/s6"
[oil]
diameter = "200"
length = "130"
level = "100"
[closing]
cotter_hole = "6.4"
cotter_through = "50"
lock_plates = 2
cover = "liquid"
universal_joints = 1
bushing = true
"""


def test_a_drawing_that_stands_alone_leaves_room_for_the_parts_below_it() -> None:
    card, drawings = made(ONE_DRAWN)
    assert len(drawings) == 1
    tight = card_values(card, drawings=drawings, paper="letter")["setting"]
    assert tight.across == 3
    few = {**card, "parts": card["parts"][:2]}
    roomy = card_values(few, drawings=drawings, paper="a4")["setting"]
    assert roomy.across == 2


@pytest.mark.pdf
@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_the_parts_stand_together_below_a_drawing_that_stands_alone(paper: str) -> None:
    card, drawings = made(ONE_DRAWN)
    texts = _pages(card, drawings, paper)
    assert len(texts) <= PAGES
    assert [text.count("Parts, to order") for text in texts] == [1] + [0] * (len(texts) - 1)


@pytest.mark.pdf
@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_two_drawings_of_one_row_stand_side_by_side(paper: str) -> None:
    pivots = "".join(
        f'[[pivot]]\nname = "{name}"\nupper.mark = "{mark}"\nlower.mark = "{mark}"\n'
        for name, mark in (("left pivot", "30204"), ("right pivot", "30206"))
    )
    card, drawings = made(f'[job]\nturning = "hub"\n{pivots}')
    assert len(drawings) == 2
    first = _written(card, drawings, paper).pages[0]
    lines = first.extract_text(extraction_mode="layout").splitlines()
    assert any(line.split() == ["left", "pivot", "right", "pivot"] for line in lines)


def _written(card: dict[str, Any], drawings: list[tuple[str, str]], paper: str) -> Any:
    from io import BytesIO

    from pypdf import PdfReader
    from weasyprint import HTML

    html = card_page(card, drawings=drawings, paper=paper)
    return PdfReader(BytesIO(HTML(string=html).write_pdf()))


def _pages(card: dict[str, Any], drawings: list[tuple[str, str]], paper: str) -> list[str]:
    return [one.extract_text() for one in _written(card, drawings, paper).pages]
