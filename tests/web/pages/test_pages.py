"""Every page: good HTML, nothing an accessibility check objects to, no sideways scrolling."""

from __future__ import annotations

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
    "/counter?q=35x52x7",
    "/buyer?budget=5000",
    "/buyer/frontier?budget=5000",
    "/buyer/why?part=32215&budget=5000",
    "/buyer/demand",
    "/buyer/replay",
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
