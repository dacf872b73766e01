"""What is kept of the shop's lists never outlives them."""

from __future__ import annotations

import pytest

from fitcheck.cli import offers
from fitcheck.web.api import kept_lists
from fitcheck.web.api.kept_lists import KeptLists

ASKED = {"shaft": "34.92", "bore": "52.02", "old_width": "7.05"}


def candidates(browser, **asked):
    found = browser.post("/api/seal", json={**ASKED, **asked}).json()["candidates"]
    return [one.get("offers") for one in found]


def kept_of(names):
    return {name: kept_lists._Known() for name in names}


def test_what_is_kept_says_what_the_store_says(demo, monkeypatch):
    monkeypatch.setattr(demo.app.state.kept, "_most", 0)
    kept = candidates(demo)
    read = []
    stored = offers.stored_lists
    monkeypatch.setattr(
        kept_lists, "stored_lists", lambda: read.append(1) or stored(), raising=True
    )
    assert candidates(demo) == kept
    assert read == []
    offers.read_lists_by(stored)
    try:
        assert candidates(demo) == kept
    finally:
        offers.read_lists_by(KeptLists().open)
    assert any(kept)


def test_another_list_is_read_anew(browser, tmp_path):
    def add(price):
        file = ("own.csv", f"no;size;price\n0012;35x52x7;{price}\n".encode(), "text/csv")
        assert browser.send("/api/lists/add", files={"file": file}, data={"name": "own"}).is_success

    add("4,20")
    assert candidates(browser)[0][0]["price"] == "4.20"
    assert candidates(browser, old_width="7.1")[0][0]["price"] == "4.20"
    add("5,30")
    assert candidates(browser, old_width="7.1")[0][0]["price"] == "5.30"


def test_lists_that_change_while_they_are_read_are_read_from_the_store(demo, monkeypatch):
    before = candidates(demo)
    memory = KeptLists()
    memory._memory = kept_lists._Memory((1, 2, 3), kept_of(["quay", "harbour_road"]))
    stamps = iter([(1, 2, 3), (4, 5, 6)])
    monkeypatch.setattr(kept_lists, "store_stamp", lambda: next(stamps))
    monkeypatch.setattr(demo.app.state.kept, "get", lambda key: None)
    offers.read_lists_by(memory.open)
    try:
        assert candidates(demo) == before
    finally:
        offers.read_lists_by(KeptLists().open)
    with pytest.raises(StopIteration):
        next(stamps)
