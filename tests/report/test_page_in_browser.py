"""The printed pages in a real browser: nothing an accessibility check objects to, no sideways
scrolling on a telephone, no request to anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parents[2]
# Chromium looks for its maker's services at every start unless it is told not to.
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=list(QUIET))
        yield started
        started.close()


def hostile_sheet(folder: Path) -> Path:
    """A sheet with names that break out of a page, or out of its paper."""
    text = (ROOT / "data/demo/winch.toml").read_text(encoding="utf-8")
    for old, new in {
        "drum-side seal": "<script>document.title='run'</script>",
        "motor-side seal": "=cmd|' /C calc'!A0",
        "brake-side seal": "\u202eabc \u0645\u0631\u062d\u0628\u0627",
        "drum-side bearing": "\U0001f527 spanner",
        "motor-side bearing": "W" * 300,
        "mooring winch 2, north quay": "M" * 300,
    }.items():
        assert f'"{old}"' in text
        text = text.replace(f'"{old}"', f'"{new}"')
    file = folder / "sheet.toml"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.fixture(params=["winch", "trailer", "drum", "blank", "hostile", "labels"])
def page_file(request, run, tmp_path):
    file = tmp_path / "page.html"
    if request.param == "hostile":
        assert run("hub", str(hostile_sheet(tmp_path)), "--html", str(file))[0] == 0
        return file
    if request.param == "labels":
        listed = tmp_path / "list.csv"
        listed.write_text(f"part,bin\n35x52x7,\n{'W' * 300},{'M' * 300}\n", encoding="utf-8")
        assert run("labels", str(listed), "--html", str(file))[0] == 0
        return file
    sheet = [] if request.param == "blank" else [str(ROOT / f"data/demo/{request.param}.toml")]
    words = ["--blank"] if request.param == "blank" else sheet
    assert run("hub", *words, "--html", str(file))[0] == 0
    return file


def test_an_accessibility_check_finds_nothing(browser, page_file):
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(page_file.as_uri())
    found = Axe().run(page)
    page.close()
    violations = [(v["id"], v["help"], len(v["nodes"])) for v in found.response["violations"]]
    assert violations == []


@pytest.mark.parametrize("width", [360, 1920])
def test_it_is_read_without_scrolling_sideways_and_asks_nobody(browser, page_file, width):
    page = browser.new_page(viewport={"width": width, "height": 800})
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(page_file.as_uri())
    wide = page.evaluate("document.documentElement.scrollWidth")
    title = page.title()
    page.close()
    assert wide <= width
    assert title.startswith(("Job card", "Bench sheet", "Bin labels"))
    assert asked == [page_file.as_uri()]
