"""The printed job card and the blank sheet: whole, in order, escaped, and good HTML."""

from __future__ import annotations

import copy
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.parts.kind import kind_names
from fitcheck.report.html.blank import blank_page, blank_parts
from fitcheck.report.html.card import card_page
from fitcheck.report.html.page import PAPERS
from fitcheck.report.inch_text import shown_card
from fitcheck.report.text import unparted

DEMO = Path(__file__).parents[2] / "data" / "demo"
SHEETS = ("winch", "trailer", "drum")
SECTIONS = (
    "Verdict",
    "Parts, to order in one go",
    "Seats and fits",
    "Look at before closing",
    "Work, in the order of assembly",
    "Settings",
    "Readings to take again",
    "Cautions",
    "Sources and assumptions",
)
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'; DROP TABLE seal; --",
    "{{ 7*7 }}{% raw %}",
    "</title></style><b>",
    "&amp;&lt;",
    "a\x00b\x1b[31mc",
    "مرحبا \u202eabc",
    "x" * 300,
)


def demo_card(name: str) -> dict[str, Any]:
    return job_card(parse_sheet((DEMO / f"{name}.toml").read_text(encoding="utf-8"), name=name))


class _Text(HTMLParser):
    """The text of a page, without its style."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.tags: list[str] = []
        self.headings: list[str] = []
        self._in: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in ("meta", "br"):
            self._in.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self._in and self._in.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self._in and self._in[-1] == "style":
            return
        self.texts.append(data)
        if self._in and self._in[-1] == "h2":
            self.headings.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.texts).replace("\u00a0", " ").split())


@pytest.mark.parametrize("name", SHEETS)
def test_all_sections_stand_in_the_order_of_the_work(name: str) -> None:
    card = demo_card(name)
    headings = _Text(card_page(card)).headings
    expected = [
        section
        for section in SECTIONS
        if not (section == "Settings" and not card["settings"])
        and not (section == "Readings to take again" and not card["read_again"])
        and not (section == "Look at before closing" and not card["inspect"])
    ]
    assert headings == expected


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_of_the_card_is_left_out(name: str) -> None:
    text = _Text(card_page(demo_card(name))).text
    card = shown_card(demo_card(name))
    wanted = [
        *(reason for p in card["positions"] for reason in p["reasons"]),
        *(entry["step"] for entry in card["work"]),
        *(entry["setting"] for entry in card["settings"]),
        *(entry["reason"] for entry in card["read_again"]),
        *(part["size"] for part in card["parts"]),
        *card["cautions"],
        *card["sources"],
    ]
    missing = [one for one in wanted if " ".join(one.split()) not in text]
    assert missing == []


@pytest.mark.parametrize("name", SHEETS)
def test_every_part_has_a_box_to_tick_and_every_setting_room_to_write(name: str) -> None:
    card = demo_card(name)
    html = card_page(card)
    boxes = html.count('class="box"')
    assert boxes == len(card["parts"]) + len(card["inspect"])
    rows = html.count('<td class="write"></td>')
    # What is asked of several positions and no instrument is asked once.
    asked = {
        (e["reading"], e["reason"]) if not e["instrument"] else number
        for number, e in enumerate(card["read_again"])
    }
    assert rows == 2 * len(card["settings"]) + len(asked)


def test_what_was_taken_because_it_was_not_given_stands_with_the_sources() -> None:
    card = demo_card("winch")
    assert {"for": "oil", "assumption": "no fill was given: the usual 50 % is taken"} in card[
        "assumptions"
    ]
    last = card_page(card).split('id="sources"')[1]
    assert "the material of the collar was not given: steel is taken" in last


def test_a_verdict_is_told_by_a_word_and_by_a_shape() -> None:
    card = demo_card("winch")
    shapes = {}
    for verdict in ("go", "check", "no-go"):
        one = copy.deepcopy(card)
        one["verdict"] = verdict
        overall = re.search(r'<div class="overall">(.*?)</div>', card_page(one), re.S)
        assert overall is not None
        assert verdict.upper() in overall[1]
        shapes[verdict] = re.search(r"<(circle|path|rect)", overall[1])[1]  # type: ignore[index]
    assert len(set(shapes.values())) == 3


@pytest.mark.parametrize("page", [*SHEETS, "blank"])
def test_the_page_is_good_html_by_itself(page: str) -> None:
    html = blank_page() if page == "blank" else card_page(demo_card(page))
    html5lib.HTMLParser(strict=True).parse(html)
    # One file: nothing is fetched, nothing is run.
    assert not re.search(
        r"<(script|link|img|iframe|object|form)\b|\bsrc=|@import|url\(|https?:", html
    )
    ids = re.findall(r'\bid="([^"]*)"', html)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'aria-labelledby="([^"]*)"', html)) <= set(ids)


@pytest.mark.parametrize("hostile", HOSTILE)
def test_text_of_a_sheet_stays_text(hostile: str) -> None:
    card = demo_card("drum")
    for key in ("title", "machine", "place", "note"):
        card["job"][key] = hostile
    for position in card["positions"]:
        position["name"] = hostile
        position["pick"] = hostile
        position["reasons"] = [hostile]
    for part in card["parts"]:
        part["size"] = hostile
        part["for"] = [hostile]
    plain = _Text(card_page(demo_card("drum")))
    html = card_page(card)
    html5lib.HTMLParser(strict=True).parse(html)
    assert not {"script", "img", "b"} & set(_Text(html).tags)
    assert set(_Text(html).tags) == set(plain.tags)
    assert "\x00" not in html
    assert "\x1b" not in html


@settings(max_examples=40)
@given(st.text(max_size=80))
def test_any_text_makes_a_good_page(text: str) -> None:
    card = demo_card("drum")
    card["job"]["title"] = text
    card["positions"][0]["name"] = text
    html5lib.HTMLParser(strict=True).parse(card_page(card))


def test_a_size_does_not_part_at_the_end_of_a_line() -> None:
    assert (
        unparted("seal 35 x 52 x 7 at 0.25 mm")
        == "seal 35\u00a0x\u00a052\u00a0x\u00a07 at 0.25\u00a0mm"
    )


def test_there_is_no_other_paper() -> None:
    assert set(PAPERS) == {"a4", "letter"}
    with pytest.raises(InputError, match="paper is one of a4, letter"):
        card_page(demo_card("drum"), paper="a5")


def test_the_blank_sheet_has_the_keys_of_the_bench_sheet() -> None:
    parts = {part.name: {line.key for line in part.lines} for part in blank_parts()}
    assert {"shaft", "track", "bore", "bare_shaft"} <= parts["seal"]
    assert {"journal", "housing", "mark"} <= parts["bearing"]
    assert {"method", "measured"} <= parts["shims"]
    assert {"id", "section", "groove_depth"} <= parts["oring"]
    assert set(kind_names()) <= set(parts)
    text = _Text(blank_page()).text
    assert "unworn land beside the track" in text
    assert text.count("housing bore, two directions; bore gauge") == 1


@pytest.mark.pdf
@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("name", SHEETS)
def test_a_card_prints_on_three_pages_at_most(name: str, paper: str) -> None:
    from weasyprint import HTML

    pages = HTML(string=card_page(demo_card(name), paper=paper)).render().pages
    assert len(pages) <= 3
    width_mm = pages[0].width / 96 * 25.4
    assert width_mm == pytest.approx({"a4": 210.0, "letter": 215.9}[paper], abs=0.1)
