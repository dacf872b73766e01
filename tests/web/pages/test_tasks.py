"""The whole task of mechanic, counter and buyer on the demo data, on a telephone and on a desk."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SIZES = ("phone", "desktop")

MESSY = """Preisliste Hafen;;;;
Stand 03/2026;;;;
;;;;
Art.-Nr.;Bezeichnung;Netto EUR;Lager;Tage
000{n}1;Wellendichtring 35x52x7 NBR;3,20;14;2
000{n}2;Oil seal 45 x 62 x 8 FKM;7,80;3;14
000{n}3;WDR 90x120x12 dl;11,40;6;1
000{n}4;Kegelrollenlager 30206;9,90;8;1
000{n}5;Kegelrollenlager 32215;38,50;1;4
000{n}6;<img src=x onerror=alert(1)> 50x72x8;5,20;2;3
000{n}7;=cmd|' /C calc'!A0 60x80x10;6,10;9;2
000{n}8;WDR 35x52x7 oder 36x52x7;3,30;1;2
000{n}9;Profilring 45x62;7,10;1;2
"""
WANTED = [
    "35x52x7",
    "45x62x8 FKM",
    "90 x 120 x 12",
    "30206",
    "32215",
    "50x72x8",
    "60x80x10",
    "1-3/8 x 2-1/8 x 5/16 in",
    "LM11949/LM11910",
    "3220?",
    "25x47x7",
    "34x52x7",
    "70x90x10",
    "30208, 2 pcs",
    "OIL SEAL 35x52x7 double lip, 2 pcs",
    "no such thing",
    "75x95x10",
    "80x100x10",
    "32018 X",
    "<b>45x62x8</b>",
]


def until(page, script, argument=None):
    """Wait until something holds; the page's policy lets nothing be compiled in it."""
    for _ in range(200):
        if page.evaluate(script, argument):
            return
        page.wait_for_timeout(100)
    raise AssertionError(script)


def typed(page, **texts):
    for key, text in texts.items():
        page.fill(f"#f-{key}", text)


def put(page, name):
    page.fill("#name", name)
    page.wait_for_selector("#answer:not([aria-busy])")
    page.wait_for_selector("#answer [data-verdict]:not([data-verdict=''])")
    page.click("#bench button[value=put]")
    page.wait_for_selector(f"#job-list li:has-text('{name}')")


def tap(page, words):
    # What is tapped is the button over its words.
    page.locator(f"#bench .tap:has(label:text-is('{words}'))").first.click()


def assert_it_prints(page, file):
    page.emulate_media(media="print")
    assert not page.is_visible("nav.top")
    assert not page.is_visible(".bar")
    page.pdf(path=file, format="A4")
    printed = PdfReader(file)
    text = " ".join(sheet.extract_text() for sheet in printed.pages).replace("\u00a0", " ")
    assert len(printed.pages) <= 4
    assert "drum-side seal" in text
    assert "30305" in text
    page.emulate_media(media="screen")


@pytest.mark.parametrize("size", SIZES)
def test_a_mechanic_answers_a_hub_and_prints_the_card(opened, size, tmp_path):
    browser = opened(size)
    page = browser.go("/")
    assert page.url.endswith("/bench")
    typed(page, shaft="34.92", bore="52.02", old_width="7.05")
    page.wait_for_selector("#answer .pick:has-text('35')")
    # A second reading of one place, with a better instrument.
    page.click("#bench [data-key=bore] .more")
    page.keyboard.type("52.04")
    page.click("#bench [data-key=bore] .tap:has-text('bore gauge')")
    page.wait_for_selector("#answer svg[role=img]")
    put(page, "inner seal")

    typed(page, shaft="89.98", bore="120.03", old_width="12")
    page.click("#bench [data-key=shaft] .tap:has-text('micrometer')")
    page.click("summary:has-text('More readings')")
    typed(page, track="89.60", groove_width="1.6")
    page.wait_for_selector("#answer h3:has-text('Ways out of the worn track')")
    put(page, "drum-side seal")

    tap(page, "in")
    typed(page, shaft="1-3/8", bore="2.125", old_width="5/16")
    page.wait_for_selector("#answer .pick:has-text('1.375')")
    put(page, "cover seal")
    tap(page, "mm")

    page.click(".kinds a:has-text('Bearing')")
    page.wait_for_selector("#job-list li:has-text('drum-side seal')")
    typed(page, bore="25", od="62", width="18.3")
    page.wait_for_selector("#answer .next:has-text('cup width')")
    assert "30305" in page.inner_text("#answer .candidates")
    typed(page, cup_width="15")
    page.wait_for_selector("#answer .pick:has-text('30305')")
    put(page, "drum-end bearing")

    page.fill("#job-machine", f"mooring winch, {size}")
    page.click("#to-card")
    page.wait_for_selector("h1:has-text('Job card')")
    parts = page.inner_text("section[aria-labelledby=parts]")
    for part in ("35 x 52 x 7", "90 x 120 x 12", "1.375 x 2.125 x 0.313 in", "30305", "sleeve"):
        assert part.replace(" ", "\u00a0") in parts or part in parts
    assert page.locator("section[aria-labelledby=drawn] svg[role=img]").count() >= 3
    assert_it_prints(page, tmp_path / "card.pdf")
    page.click("text=Keep this card")
    page.wait_for_selector("text=Kept as card")
    page.goto(f"{browser.address}/jobs")
    page.fill("#machine", f"winch, {size}")
    page.fill("#size", "30305")
    page.click("button:has-text('Find')")
    assert "drum-end bearing" in page.inner_text("main")
    assert browser.is_quiet()


@pytest.mark.parametrize("size", SIZES)
def test_the_counter_stores_a_messy_list_and_crosses_a_page(opened, size, tmp_path):
    browser = opened(size)
    number = SIZES.index(size)
    file = tmp_path / f"hafen {size}.csv"
    file.write_bytes(MESSY.replace("{n}", str(number)).encode("latin-1"))
    page = browser.go("/lists")
    page.fill("#name", f"hafen_{size}")
    page.set_input_files("#file", file)
    page.click("text=Look at it")
    page.wait_for_selector("h1:has-text('hafen')")
    shown = page.inner_text("main")
    assert "Nothing is stored yet." in shown
    assert "8 accepted" in shown
    assert "1 refused" in shown
    assert "Art.-Nr." in page.inner_text("[aria-label=Columns]")
    assert "refused" in page.inner_text("[aria-label=Remarks]")
    assert "<img src=x onerror=alert(1)>" in page.inner_text("[aria-label='First lines']")
    page.click(f"text=Store it as hafen_{size}")
    page.wait_for_selector("text=It is stored")

    page = browser.go("/counter")
    page.fill("#q", "35x52x7")
    page.wait_for_selector("#found td:has-text('hafen')")
    assert f"000{number}1" in page.inner_text("#found")

    page.fill("#wanted", "\n".join(WANTED))
    page.click("#cross .tap:has-text('soonest')")
    page.click("#cross button:has-text('Cross')")
    page.wait_for_selector("h2:has-text('20 lines crossed')")
    assert page.locator("#found article").count() == len(WANTED)
    assert "<b>45x62x8</b>" in page.inner_text("#found")
    assert page.locator("#found img, #found b").count() == 0
    with page.expect_download() as waiting:
        page.click("text=Take along as CSV")
    text = Path(waiting.value.path()).read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {row["line"] for row in rows} == {str(n) for n in range(1, 21)}
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())
    with page.expect_download() as waiting:
        page.click("text=Take along as XLSX")
    content = io.BytesIO(Path(waiting.value.path()).read_bytes())
    book = load_workbook(content, read_only=True)
    assert sum(1 for _ in book.worksheets[0].iter_rows()) == len(rows) + 1
    book.close()

    page = browser.go(f"/lists/show?name=hafen_{size}")
    page.click("summary:has-text('Remove this list')")
    page.click(f"text=Remove hafen_{size}")
    page.wait_for_selector(f"text=Removed: hafen_{size}")
    assert browser.is_quiet()


@pytest.mark.parametrize("size", SIZES)
def test_a_buyer_plans_moves_the_budget_and_takes_the_list_along(opened, size):
    browser = opened(size)
    page = browser.go("/buyer?budget=3000")

    def complete():
        return int(re.match(r"(\d+) of", page.inner_text("#figures"))[1])

    small = complete()
    # The slider is moved by the keyboard as well as by a finger.
    page.focus("#slide")
    for _ in range(30):
        page.keyboard.press("ArrowRight")
    moved = page.input_value("#budget")
    assert float(moved) > 3000
    until(
        page,
        """before => {
          const figures = document.querySelector('#plan:not([aria-busy]) #figures');
          return figures && !figures.innerText.startsWith(before);
        }""",
        f"{small} of",
    )
    assert complete() > small
    assert f"budget={moved}" in page.url
    chart = page.locator("figure.chart img")
    assert "This plan" in chart.get_attribute("alt")
    until(page, "() => document.querySelector('figure.chart img').naturalWidth > 0")
    with page.expect_download() as waiting:
        page.click("text=Take the list along as CSV")
    text = Path(waiting.value.path()).read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) > 50
    assert "level" in rows[0]
    page.locator("a:has-text('Why')").first.click()
    page.wait_for_selector("h1:has-text('Why')")
    assert "jobs a year are no longer complete" in page.inner_text("main")
    assert browser.is_quiet()


def test_a_buyer_sees_the_demand_and_the_proof(opened):
    browser = opened("desktop")
    page = browser.go("/buyer/frontier")
    chart = page.locator("main figure.chart img")
    # The picture is there, and shown at its size.
    assert chart.evaluate("image => image.complete && image.naturalWidth") > 100
    page.click(".kinds a:has-text('Demand')")
    page.wait_for_selector("h1:has-text('Demand')")
    with page.expect_download() as waiting:
        page.click("text=Take it along as CSV")
    text = Path(waiting.value.path()).read_text(encoding="utf-8")
    assert "pieces_a_year" in text.splitlines()[0]
    page.click(".kinds a:has-text('Replay')")
    page.wait_for_selector("h1:has-text('Replay')")
    assert "the plan" in page.inner_text("[aria-label='Lists in the held-back year']")
    assert browser.is_quiet()
