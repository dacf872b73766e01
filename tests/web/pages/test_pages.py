"""Every page: good HTML, nothing an accessibility check objects to, no sideways scrolling."""

from __future__ import annotations

import re
from pathlib import Path

import html5lib
import pytest

pytestmark = pytest.mark.browser

PAGES = (
    "/bench/seal?shaft=34.92&bore=52.02&bore=52.04&old_width=7.05",
    "/bench/seal?shaft=89.98&track=89.6&bore=120.03&rpm=300rpm&oil=gear+oil&pocket=14",
    "/bench/seal?shaft=1+3/8+35",
    "/bench/bearing?bore=25&od=62&width=18.3",
    "/bench/sleeve?shaft=89.98&track=89.60&seal=90+x+120+x+12",
    "/bench/press?use=collar&interface=60&outer=90&length=30&fit=H7/s6",
    "/bench/shims?method=free-gap&measured=0.52&position=cap&use=kingpin-cap&have=0.10x6,0.20x4",
    "/bench/oil?diameter=180&length=120&to_temp=80C&shaft=90",
    "/bench/oring?id=45.3&section=2.95&groove_bottom=46.1&groove_depth=2.4",
    "/bench/circlip?shaft=34.95",
    "/bench/pivot?upper-mark=30206&lower-bore=30&lower-od=62&lower-width=17.3",
    "/counter?q=35x52x7",
    "/buyer?budget=5000",
    "/buyer/frontier?budget=5000",
    "/buyer/why?part=32215&budget=5000",
    "/buyer/demand",
    "/buyer/replay",
    "/buyer/records",
    "/lists",
    "/lists/show?name=quay",
    "/jobs?machine=winch",
    "/jobs/1",
    "/enter",
    "/enter?failed=wrong",
    "/help",
    "/nothing-here",
    "/bench/nothing",
)


# What is pressed, tapped or opened, and is no small part of a larger one.
TARGETS = "button, .button, nav a, .kinds a, .tap, input, select, summary"
SMALL = """targets => [...document.querySelectorAll(targets)].filter(one => {
  const tall = one.getBoundingClientRect().height;
  return tall > 0 && tall < 44 && !one.closest('.tap, .yes, .unseen, .texts');
}).map(one => one.outerHTML.slice(0, 80))"""


def test_every_page_is_good_html_and_anybody_can_use_it(opened):
    from axe_playwright_python.sync_playwright import Axe

    axe = Axe()
    browser = opened("phone")
    page, faults = browser.page, []
    for path in PAGES:
        page.set_viewport_size({"width": 360, "height": 740})
        answer = page.goto(f"{browser.address}{path}")
        html = answer.text()
        html5lib.HTMLParser(strict=True).parse(html)
        if "style=" in html:
            faults.append((path, "a style written into the page"))
        if page.locator("h1").count() != 1:
            faults.append((path, "not one h1"))
        for violation in axe.run(page).response["violations"]:
            places = [node["html"][:120] for node in violation["nodes"]]
            faults.append((path, violation["id"], places[:3]))
        for width in (360, 1920):
            page.set_viewport_size({"width": width, "height": 900})
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                faults.append((path, width, "scrolls sideways"))
            faults += [
                (path, width, "a small target", one) for one in page.evaluate(SMALL, TARGETS)
            ]
    assert faults == []
    # What can't be found is a fault of the address alone.
    assert all("404" in text or "401" in text for text in browser.complaints)
    assert browser.elsewhere == []


def test_a_telephone_shows_every_figure_of_a_table(opened):
    """Rows become blocks, each figure with its head; nothing is cut at the edge of the page."""
    browser = opened("phone")
    # The first to look at the buyer's pages waits for the model.
    browser.page.set_default_timeout(60_000)
    for path in ("/buyer?budget=5000", "/counter?q=35x52x7"):
        page = browser.go(path)
        assert page.locator(".stack").count()
        cut = page.evaluate(
            """[...document.querySelectorAll('.stack tbody th, .stack td')].filter(one => {
                 const box = one.getBoundingClientRect();
                 return box.width && (box.right > innerWidth || one.scrollWidth > box.width + 1);
               }).map(one => one.textContent.trim())"""
        )
        assert cut == []
        head = page.evaluate(
            """getComputedStyle(document.querySelector('.stack tbody tr').children[1],
                                '::before').content"""
        )
        assert page.locator(".stack thead th").nth(1).text_content() in head
        # It is a table all the same for those who hear it.
        tree = page.locator("main").aria_snapshot()
        assert "- table" in tree
        assert "- columnheader" in tree
        assert "- rowheader" in tree or "- cell" in tree


def test_what_is_wider_than_the_page_says_that_it_slides(opened):
    browser = opened("phone")
    page = browser.go("/bench/seal?shaft=89.98&track=89.6&bore=120.03&old_width=12")
    drawing = page.locator("#answer .drawing")
    # The script asks once more for what the address brought.
    page.wait_for_selector("#said:has-text('90 x 120 x 12')", state="attached")
    assert page.locator(".slide").count() == 0
    page.click("#answer .larger")
    assert page.get_attribute("#answer .larger", "aria-pressed") == "true"
    assert drawing.evaluate("one => one.scrollWidth > one.clientWidth")
    page.wait_for_selector("#answer .slide:has-text('There is more to the right')")
    drawing.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert drawing.evaluate("one => one.scrollLeft") > 0
    page.click("#answer .larger")
    page.wait_for_selector(".slide", state="detached")
    assert browser.is_quiet()


def test_the_letters_of_the_chart_can_be_read_on_a_telephone(opened):
    browser = opened("phone")
    page = browser.go("/buyer/frontier?budget=5000")
    page.wait_for_selector("figure img")
    drawn = page.evaluate("document.querySelector('figure img').currentSrc")
    assert "narrow=yes" in drawn
    shown = page.locator("figure img").bounding_box()["width"]
    svg = page.request.get(drawn).text()
    width = float(re.search(r'viewBox="0 0 ([0-9.]+)', svg)[1])
    smallest = min(float(size) for size in re.findall(r'font-size="([0-9.]+)', svg))
    assert smallest * shown / width >= 11.0


def test_it_is_still_where_somebody_asked_for_less_motion(opened):
    browser = opened("desktop", reduced_motion="reduce")
    page = browser.go("/bench/seal")
    page.click("#bench .do button[value=answer]")
    moving = page.evaluate(
        """[...document.querySelectorAll('*')].map(one => getComputedStyle(one)).filter(
             style => style.animationName !== 'none' || style.transitionDuration !== '0s'
           ).length"""
    )
    assert moving == 0


def test_words_are_dark_on_white(opened):
    """Contrast of at least 7 to 1, which holds in daylight; axe asks for 4.5."""
    browser = opened("desktop")
    page = browser.go("/bench/seal?shaft=34.92&bore=52.02&old_width=7.05")
    poor = page.evaluate(
        """() => {
          const light = (colour) => {
            const [r, g, b] = colour.match(/[0-9.]+/g).map(Number).map((c) => {
              const s = c / 255;
              return s <= 0.03928 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
            });
            return 0.2126 * r + 0.7152 * g + 0.0722 * b;
          };
          const ground = (one) => {
            for (; one; one = one.parentElement) {
              const colour = getComputedStyle(one).backgroundColor;
              if (colour !== 'rgba(0, 0, 0, 0)') return colour;
            }
            return 'rgb(255, 255, 255)';
          };
          const isWord = (node) => node.nodeType === 3 && node.data.trim();
          const hasWords = (one) => [...one.childNodes].some(isWord);
          const texts = [...document.querySelectorAll('body *')].filter(
            (one) => hasWords(one) && !one.closest('svg, template'),
          );
          return texts.map((one) => {
            const pair = [light(getComputedStyle(one).color), light(ground(one))];
            const [a, b] = pair.sort((x, y) => y - x);
            return [one.textContent.trim().slice(0, 30), (a + 0.05) / (b + 0.05)];
          }).filter(([, ratio]) => ratio < 7);
        }"""
    )
    assert poor == []


def test_pages_bring_their_own_files_and_no_others():
    folder = Path(__file__).parents[3] / "fitcheck" / "web"
    texts = [file.read_text(encoding="utf-8") for file in (folder / "templates").glob("*.html")]
    texts += [file.read_text(encoding="utf-8") for file in (folder / "static").iterdir()]
    for text in texts:
        assert "http://" not in text.replace("http://www.w3.org/", "")
        assert "https://" not in text
        assert " style=" not in text
        assert "onclick" not in text
