"""What is kept of the shop's lists never outlives them."""

from __future__ import annotations

import random
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import pytest

from fitcheck.cli import offers
from fitcheck.lists.items import PLAIN_EXECUTION, SizeKey
from fitcheck.web.api import kept_lists
from fitcheck.web.api.kept_lists import KeptLists

ASKED = {"shaft": "34.92", "bore": "52.02", "old_width": "7.05"}


def candidates(browser, **asked):
    found = browser.post("/api/seal", json={**ASKED, **asked}).json()["candidates"]
    return [one.get("offers") for one in found]


def kept_of(names):
    return {name: kept_lists._Known() for name in names}


SIZES = [SizeKey("seal", bore, bore + 20_000) for bore in range(10_000, 40_000, 1_000)]


class Listed:
    """A list with one line of each size, at the place of the size among them."""

    def best(self, sizes, *, sort, top):
        for size in sizes:
            yield size, PLAIN_EXECUTION, [((sort, top), "quay", 1, SIZES.index(size))]

    def shown(self, name, places):
        return {place: (name, place) for lines in places.values() for place in lines}


@pytest.fixture
def little(monkeypatch):
    """A list that is kept where there is room for little."""
    monkeypatch.setattr(kept_lists, "_MOST", 3)
    return kept_lists.KeptSource("quay", kept_lists._Known(), lambda: {"quay": Listed()})


def is_whole(source, asked):
    """Whether what a source gives of some sizes is what the list has of them."""
    places = {size: [SIZES.index(size)] for size in asked}
    first = list(source.best(asked, sort="price", top=3))
    return (
        first == list(Listed().best(asked, sort="price", top=3))
        and source.shown("quay", places) == Listed().shown("quay", places)
        and set(source.shown("quay", places)) == {place for (place,) in places.values()}
    )


def test_what_was_known_before_comes_back_when_the_memory_is_full(little):
    assert is_whole(little, SIZES[:4])
    assert is_whole(little, SIZES[:5])
    assert is_whole(little, SIZES[4:] + SIZES[:1])
    assert len(little._known.best) == len(SIZES[4:] + SIZES[:1])


def test_threads_that_read_at_once_each_get_all_lines(little):
    def ask(seed):
        chance = random.Random(seed)
        return all(is_whole(little, chance.sample(SIZES, 4)) for _ in range(300))

    switching = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(6) as threads:
            assert all(threads.map(ask, range(6)))
    finally:
        sys.setswitchinterval(switching)


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


def test_lists_that_are_gone_when_they_are_read_anew_give_no_offers(demo, monkeypatch):
    @contextmanager
    def gone():
        yield {}

    memory = KeptLists()
    memory._memory = kept_lists._Memory((1, 2, 3), kept_of(["quay"]))
    stamps = iter([(1, 2, 3), (4, 5, 6)])
    monkeypatch.setattr(kept_lists, "store_stamp", lambda: next(stamps))
    monkeypatch.setattr(demo.app.state.kept, "get", lambda key: None)
    monkeypatch.setattr(offers, "stored_lists", gone)
    offers.read_lists_by(memory.open)
    try:
        found = demo.post("/api/seal", json=ASKED).json()["candidates"]
    finally:
        offers.read_lists_by(KeptLists().open)
    assert found
    assert not any("offers" in one for one in found)
    assert next(stamps, None) is None
