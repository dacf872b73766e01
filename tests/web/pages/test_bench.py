"""The bench in the browser: typing, reload, no connection, no JavaScript, the keyboard alone."""

from __future__ import annotations

import json
import re
import shutil
from contextlib import suppress

import pytest

from fitcheck.quantities import percent

pytestmark = pytest.mark.browser

HOSTILE = '<img src=x onerror="document.title=1">'


def answered(page, words):
    page.wait_for_selector(f"#answer:not([aria-busy]) .headline:has-text('{words}')")


def test_the_answer_follows_while_it_is_typed(opened, capsys):
    browser = opened("desktop")
    page = browser.go("/bench/seal")
    page.fill("#f-shaft", "34.92")
    page.fill("#f-bore", "52.02")
    answered(page, "CHECK")
    assert "Next: old width" in page.inner_text("#answer")
    assert page.locator("#answer .candidates svg.bar").count() >= 4
    times = []
    for text in ("7.05", "7.1", "7.02", "7", "7.0", "8.02", "7.03"):
        with page.expect_response("**/bench/seal/answer") as waiting:
            page.fill("#f-old_width", text)
        waiting.value.finished()
        times.append(waiting.value.request.timing["responseEnd"])
    answered(page, "35")
    with capsys.disabled():
        print(
            f"\nbench answer over loopback, with two lists: {sorted(times)[len(times) // 2]:.0f} ms"
        )
    assert page.locator("#answer .drawing svg[role=img]").count() == 1
    # Told once when the typing rests, not at every letter.
    page.wait_for_selector("#said:has-text('go; 35 x 52 x 7')", state="attached")
    assert browser.is_quiet()


def test_everything_typed_survives_a_reload(opened):
    browser = opened("phone")
    page = browser.go("/bench/seal")
    page.fill("#name", HOSTILE)
    page.fill("#f-shaft", "1-3/8")
    page.click(".tap:has(#unit-in)")
    page.click("#bench [data-key=bore] .tap:has-text('bore gauge')")
    page.fill("#f-bore", "2.125")
    page.click("#bench [data-key=bore] .more")
    page.keyboard.type("2.126")
    page.click("summary:has-text('More readings')")
    page.check("#f-bare_shaft")
    page.fill("#f-rpm", "300rpm")
    page.fill("#job-machine", HOSTILE)
    answered(page, "CHECK")
    page.click("#bench button[value=put]")
    page.wait_for_selector("#job-list li")
    page.fill("#f-shaft", "40")
    page.reload()
    assert page.input_value("#f-shaft") == "40"
    assert page.is_checked("#unit-in")
    assert page.input_value("#job-machine") == HOSTILE
    assert HOSTILE in page.inner_text("#job-list")
    page.click("#job-list button:has-text('Change')")
    assert page.input_value("#name") == HOSTILE
    assert page.input_value("#f-shaft") == "1-3/8"
    assert [one.input_value() for one in page.locator("[name=bore]").all()] == ["2.125", "2.126"]
    assert page.is_checked("#f-bare_shaft")
    assert page.is_checked("#bench [data-key=bore] input[value=bore-gauge]")
    # What was typed meanwhile went into the job, not away.
    assert "seal 1" in page.inner_text("#job-list")
    page.click("#to-card")
    page.wait_for_selector("h1:has-text('Job card')")
    assert HOSTILE in page.inner_text("body")
    assert page.locator("body img").count() == 0
    assert page.title() != "1"
    assert browser.is_quiet()


def test_without_a_connection_no_old_answer_passes_for_a_new_one(opened):
    browser = opened("phone")
    page = browser.go("/bench/seal")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    page.fill("#f-shaft", "34.92")
    page.fill("#f-bore", "52.02")
    page.fill("#f-old_width", "7.05")
    answered(page, "GO")
    page.context.set_offline(True)
    page.reload()
    assert page.input_value("#f-old_width") == "7.05"
    page.wait_for_selector("#answer .stamp:has-text('No connection: last answer of ')")
    clock = re.search(r"last answer of (\d\d:\d\d)", page.inner_text("#net"))
    assert clock
    assert "to what is typed here" in page.inner_text("#answer .stamp")
    assert "35" in page.inner_text("#answer .headline")
    assert page.is_hidden("#strip")

    page.fill("#f-old_width", "8.05")
    page.wait_for_selector("#answer > .stamp:has-text('is answered when the connection is back')")
    assert page.is_hidden("#answer .headline")
    assert f"Last answer of {clock[1]}, to other readings" in page.inner_text("#answer")
    page.click("#answer summary:has-text('Last answer of')")
    assert "It is no answer to what is typed now" in page.inner_text("#answer")
    # Another part of the bench is there too, and the job takes what was typed.
    page.click("#bench button[value=put]")
    page.wait_for_selector("#job-list li:has-text('seal 1')")
    page.goto(f"{browser.address}/bench/bearing")
    assert "seal 1" in page.inner_text("#job-list")
    page.fill("#f-bore", "25")
    page.wait_for_selector("#answer .stamp")
    page.context.set_offline(False)
    page.wait_for_selector("#answer:not(.old) [data-verdict]")
    assert page.inner_text("#net") == ""
    assert browser.elsewhere == []


def test_a_machine_that_is_gone_is_no_connection(server, opened, demo_data, tmp_path):
    shutil.copytree(demo_data, tmp_path / "shop")
    own = type(server)(tmp_path / "shop")
    own.start()
    browser = opened("desktop")
    browser.address = own.address
    page = browser.go("/bench/oil")
    page.fill("#f-volume", "4l")
    page.fill("#f-shaft", "90")
    answered(page, "")
    own.end()
    page.fill("#f-fill", "0.6")
    page.wait_for_selector("#answer > .stamp:has-text('No connection')")
    own.start()
    page.wait_for_selector("#answer:not(.old) [data-verdict]")
    own.end()


def test_the_keyboard_alone_is_enough(opened):
    browser = opened("desktop")
    page = browser.go("/bench/seal")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    reached = []
    for _ in range(60):
        page.keyboard.press("Tab")
        here = page.evaluate(
            """() => {
              const one = document.activeElement;
              const style = getComputedStyle(one);
              const next = one.nextElementSibling;
              const beside = next ? getComputedStyle(next).outlineStyle : 'none';
              const shown = style.outlineStyle !== 'none' || beside !== 'none';
              return [one.id || one.value || one.textContent.trim(), shown];
            }"""
        )
        assert here[1], f"focus on {here[0]} can't be seen"
        reached.append(here[0])
        if here[0] == "f-shaft":
            page.keyboard.type("34.92")
        if here[0] == "f-bore":
            page.keyboard.type("52.02")
        if here[0] == "f-old_width":
            page.keyboard.type("7.05")
            page.keyboard.press("Enter")
        if here[0] == "put":
            answered(page, "GO")
            page.keyboard.press("Enter")
            break
    page.wait_for_selector("#job-list li:has-text('seal 1')")
    assert {"unit-mm", "f-mark"} <= set(reached)


def test_plain_forms_do_it_without_javascript(opened, tmp_path):
    browser = opened("phone", java_script_enabled=False)
    page = browser.go("/bench/seal")
    page.fill("#f-shaft", "34.92")
    page.click("#bench [data-key=bore] .more")
    assert page.locator("[name=bore]").count() == 1
    page.fill("#f-bore", "52.02")
    page.click("#bench [data-key=bore] .more")
    page.locator("[name=bore]").nth(1).fill("52.04")
    page.fill("#f-old_width", "7.05")
    page.click("#bench .do button[value=answer]")
    assert "35" in page.inner_text("#answer .pick")
    page.click("#bench button[value=put]")
    assert "In the job: seal 1" in page.inner_text(".said")
    page.click(".kinds button:has-text('Bearing')")
    page.fill("#f-mark", "30206")
    page.click("#bench button[value=put]")
    page.click("#to-card")
    parts = page.inner_text("section[aria-labelledby=parts]")
    assert "35" in parts
    assert "30206" in parts
    page.click("text=Keep this card")
    assert "Kept as card" in page.inner_text("body")

    file = tmp_path / "plain.csv"
    file.write_text("no;size;price\n0012;35x52x7;4,20\n", encoding="utf-8")
    page = browser.go("/lists")
    page.fill("#name", "plain")
    page.set_input_files("#file", file)
    page.click("text=Look at it")
    page.click("text=Store it as plain")
    assert "It is stored" in page.inner_text("main")
    page = browser.go("/counter")
    page.fill("#wanted", "35x52x7\n30206")
    page.click("#cross button:has-text('Cross')")
    assert "2 lines crossed" in page.inner_text("#found")
    page = browser.go("/buyer?budget=2000")
    page.fill("#budget", "4000")
    page.click("#budget-form button")
    assert "budget=4000" in page.url
    page = browser.go("/lists/show?name=plain")
    page.click("summary:has-text('Remove this list')")
    page.click("text=Remove plain")


def test_page_and_interface_say_the_same(opened):
    browser = opened("desktop")
    page = browser.go("/bench/seal?shaft=34.92&bore=52.02&bore=52.04&old_width=7.05&mark=35x5?x7")
    asked = {
        "shaft": ["34.92@caliper"],
        "bore": ["52.02@caliper", "52.04@caliper"],
        "old_width": ["7.05"],
        "mark": ["35x5?x7"],
    }
    answer = page.request.post(
        f"{browser.address}/api/seal",
        data=json.dumps(asked),
        headers={"content-type": "application/json"},
    ).json()
    leading = answer["candidates"][0]
    shown = page.inner_text("#answer").replace("\u00a0", " ")
    assert answer["verdict"].upper() in shown
    assert leading["size"] in shown
    assert percent(leading["probability"]) in shown
    for caution in answer["cautions"]:
        assert caution in shown


def test_no_answer_waits_for_the_one_before(opened):
    """Only the answer to what was typed last is shown, however late another comes."""
    from playwright.sync_api import Error

    browser = opened("desktop")
    page = browser.go("/bench/seal")

    held = []

    def late(route):
        if "34.92" in (route.request.post_data or ""):
            held.append(route)
        else:
            route.continue_()

    page.route("**/bench/seal/answer", late)
    page.fill("#f-shaft", "34.92")
    page.wait_for_timeout(300)
    page.fill("#f-shaft", "90")
    page.wait_for_selector("#answer .candidates:has-text('90')")
    assert held
    for route in held:
        with suppress(Error):
            route.continue_()
    page.wait_for_timeout(300)
    assert "35" not in page.inner_text("#answer .candidates li:first-child strong")
