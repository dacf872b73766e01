"""The buyer's records by the page: sent as files, kept whole or not at all, removed."""

from __future__ import annotations

import re

import pytest

HISTORY = """date,branch,job,part,quantity,short
2025-01-10,quay,J-1,35x52x7,2,no
2025-02-11,quay,J-2,30206,1,no
"""


def sent(browser, kind, content, **fields):
    page = browser.get("/buyer/records").text
    token = re.search(r'name="csrf-token" content="([^"]+)"', page)[1]
    return browser.post(
        f"/buyer/records/{kind}?csrf_token={token}",
        data={"unit": "mm", **fields},
        files={"file": (f"{kind}.csv", content.encode(), "text/csv")},
        headers={"accept": "text/html"},
    )


def test_a_history_is_kept_shown_and_removed(browser):
    assert "Send the records" in browser.get("/buyer", headers={"accept": "text/html"}).text
    done = sent(browser, "history", HISTORY, name="asked & given")
    assert done.status_code == 303, done.text
    page = browser.get(done.headers["location"]).text
    assert 'role="status">The file is kept.<' in page
    assert "asked &amp; given</th>" in page
    assert browser.get("/api/stock/history/files").json()["files"][0]["lines"] == 2
    token = re.search(r'name="csrf-token" content="([^"]+)"', page)[1]
    told = {"kind": "history", "name": "asked & given", "csrf_token": token}
    gone = browser.post("/buyer/records/remove", data=told)
    assert gone.status_code == 303
    page = browser.get(gone.headers["location"]).text
    assert 'role="status">The file is removed.<' in page
    assert "asked &amp; given" not in page
    assert browser.get("/api/stock/history/files").json()["files"] == []


@pytest.mark.parametrize("name", ["kept", "removed", "done"])
def test_an_address_puts_no_words_on_the_page(browser, name):
    page = browser.get(f"/buyer/records?{name}=call+this+number&lines=9+or+so").text
    assert "call this number" not in page
    assert 'class="said"' not in page


def test_every_refused_line_is_told_and_nothing_is_kept(browser):
    bad = HISTORY + "2025-03-01,quay,J-3,<b>x</b>35x52x7,many,no\nyesterday,quay,J-4,30206,1,no\n"
    done = sent(browser, "history", bad)
    assert done.status_code == 422
    assert "Nothing was kept" in done.text
    assert 'data-head="Line">4</th>' in done.text
    assert 'data-head="Line">5</th>' in done.text
    assert "<b>x" not in done.text
    assert browser.get("/api/stock/history/files").json()["files"] == []


@pytest.mark.parametrize("path", ["/buyer/records/nothing", "/buyer/records/remove"])
def test_what_there_is_not_is_refused(browser, path):
    answer = browser.send(path, files={"file": ("x.csv", b"a", "text/csv")})
    assert answer.status_code in (404, 403)


def test_without_the_token_nothing_is_kept(browser):
    browser.get("/buyer/records")
    answer = browser.post(
        "/buyer/records/history",
        files={"file": ("h.csv", HISTORY.encode(), "text/csv")},
        headers={"accept": "text/html"},
    )
    assert answer.status_code == 403
    assert "<h1>Not answered</h1>" in answer.text
    assert "Load the page again" in answer.text
    assert browser.get("/api/stock/history/files").json()["files"] == []


def test_the_first_sizes_of_the_demand_are_in_sight_and_the_others_folded(demo):
    page = demo.get("/buyer/demand").text
    in_sight = re.sub(r"<details>.*?</details>", "", page, flags=re.S)
    tables = re.findall(r"<table.*?</table>", in_sight, re.S)
    assert max(table.count("<tr>") for table in tables) <= 13
    assert re.search(r"<summary>The other \d+ sizes</summary>", page)
