"""Several counters at once: nobody sees half a list, and nobody waits longer than a moment."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from fitcheck.errors import DataError
from fitcheck.lists.lines import Block, Remark
from fitcheck.store import open_store
from fitcheck.store.check import faults_found
from fitcheck.store.schema import supplier_list
from fitcheck.store.shop import Store

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]


def prices(store: Store) -> set[str]:
    """The prices on the list, as one reader sees them."""
    return {price for _, block in store.blocks("north") for price in block.columns["price"]}


def test_a_reader_keeps_its_moment(store: Store, blocks_of: Make, invented: Seals) -> None:
    store.replace_list("north", blocks_of(invented(3000, price="1.00")))
    with store.moment() as moment:
        before = moment.sizes("north")
        store.replace_list("north", blocks_of(invented(10, price="2.00")))
        assert prices(store) == {"2.00"}
        assert moment.sizes("north") == before
        lines = [len(block) for _, block in moment.blocks("north")]
        assert sum(lines) == 3000


def test_the_old_list_is_read_while_the_new_one_comes(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(100, price="1.00")))
    seen = []

    def slowly() -> Iterator[tuple[Block, list[Remark]]]:
        for marked in blocks_of(invented(3000, price="2.00")):
            seen.append(prices(store))
            yield marked
        # Another counter is not held up by a list that is still being read.
        other = open_store(wait_s=0.5)
        other.replace_list("south", blocks_of(invented(5)))
        seen.append(prices(store))

    store.replace_list("north", slowly())
    assert seen == [{"1.00"}] * 4
    assert prices(store) == {"2.00"}
    assert [info.name for info in store.lists()] == ["north", "south"]


def test_counters_adding_and_reading_at_once(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(2000, price="0.00")))
    done = threading.Event()
    waits = []

    def add(name: str, first: int) -> None:
        for turn in range(4):
            lines = invented(2000, price=f"{first + turn}.00")
            open_store().replace_list(name, blocks_of(lines))

    def read() -> int:
        looks = 0
        while not done.is_set():
            start = time.monotonic()
            with open_store().moment() as moment:
                rows = [block for _, block in moment.blocks("north")]
            waits.append(time.monotonic() - start)
            assert sum(map(len, rows)) == 2000
            assert len({price for block in rows for price in block.columns["price"]}) == 1
            looks += 1
        return looks

    with ThreadPoolExecutor(6) as pool:
        readers = [pool.submit(read) for _ in range(2)]
        writers = [
            pool.submit(add, name, first)
            for name, first in (("north", 10), ("north", 20), ("south", 30), ("east", 40))
        ]
        for writer in writers:
            writer.result()
        done.set()
        assert all(reader.result() > 0 for reader in readers)
    # Far below the time a writer is waited for; the machine may be busy.
    assert max(waits) < 10
    assert [info.stored for info in store.lists()] == [2000] * 3
    with store.reading() as connection:
        assert faults_found(connection) == []


def test_many_make_the_store_at_once(shop: str, blocks_of: Make, invented: Seals) -> None:
    start = threading.Barrier(5)

    def add(number: int) -> None:
        store = open_store(create=True)
        start.wait()
        store.replace_list(f"list {number}", blocks_of(invented(3)))

    with ThreadPoolExecutor(5) as pool:
        list(pool.map(add, range(5)))
    assert len(open_store().lists()) == 5


def test_a_writer_that_waits_too_long_says_that_another_is_writing(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3)))
    hasty = open_store(wait_s=0.2)
    with store.writing() as connection:
        if not store.database.is_sqlite:
            # There a writer only waits for one that changes the same list.
            connection.execute(supplier_list.update().values(source="elsewhere"))
        with pytest.raises(DataError, match="another is writing to the store"):
            hasty.replace_list("north", blocks_of(invented(5)))
        assert hasty.list_info("north").lines == 3
        connection.rollback()
    hasty.replace_list("north", blocks_of(invented(5)))
    assert store.list_info("north").lines == 5


def test_a_file_is_folded_in_after_writing(
    tmp_path: Path, blocks_of: Make, invented: Seals
) -> None:
    store = open_store(str(tmp_path / "shop.sqlite"), create=True)
    store.replace_list("north", blocks_of(invented(3)))
    assert [path.name for path in tmp_path.iterdir()] == ["shop.sqlite"]
