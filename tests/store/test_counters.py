"""Counters in processes of their own, adding and crossing at once on one store."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fitcheck.lists.lines import Block, Remark
from fitcheck.store.check import faults_found
from fitcheck.store.schema import list_line
from fitcheck.store.shop import Store

ROOT = Path(__file__).parents[2]
COUNTER = Path(__file__).with_name("at_the_counter.py")
LINES, TURNS = 2000, 3
# What one may wait beyond the work itself, which others on the same processors slow down [s].
MOMENT_S, SLOWED = 10.0, 8

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]

# Changes half of a list, says so, and keeps the transaction open until it is told to end it.
HALFWAY = """
from fitcheck.store import open_store
from fitcheck.store.schema import list_line
with open_store().writing() as connection:
    half = list_line.update().where(list_line.c.position < 1500).values(price="2.00")
    connection.execute(half)
    print("halfway", flush=True)
    input()
"""


def started(*words: str) -> subprocess.Popen[str]:
    """Start Python with some words, its stdin and stdout at hand."""
    return subprocess.Popen(
        [sys.executable, *words],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def write_lists(folder: Path) -> None:
    """Two files for each list, of different prices and lengths, and what is wanted."""
    for name in ("north", "south"):
        for turn in range(2):
            rows = ["no;size;price"]
            rows += [
                f"{turn}{n:06d};{30 + n % 40}x90x7;{turn + 1}.00" for n in range(LINES + 7 * turn)
            ]
            (folder / f"{name}-{turn}.csv").write_text("\n".join(rows), encoding="utf-8")
    wanted = "\n".join(f"{30 + n}x90x7" for n in range(40))
    (folder / "wanted.txt").write_text(wanted, encoding="utf-8")


def test_counters_add_and_cross_at_once(store: Store, tmp_path: Path, run: Any) -> None:
    write_lists(tmp_path)
    alone = []
    for name in ("north", "south"):
        start = time.monotonic()
        assert run("lists", "add", name, str(tmp_path / f"{name}-1.csv"))[0] == 0
        alone.append(time.monotonic() - start)
    counters = [
        started(str(COUNTER), str(tmp_path), str(TURNS), *work.split())
        for work in ("add north", "add south", "cross")
    ]
    for counter in counters:
        assert counter.stdout is not None
        assert counter.stdout.readline() == "ready\n"
    (tmp_path / "go").touch()
    found = [json.loads(counter.communicate()[0]) for counter in counters[:2]]
    (tmp_path / "done").touch()
    found += [json.loads(counter.communicate()[0]) for counter in counters[2:]]
    assert [counter.returncode for counter in counters] == [0] * 3
    # Of each list the one or the other, never lines of both.
    seen = [dict(prices) for prices in found[2]["seen"]]
    assert [len(prices) for prices in found[2]["seen"]] == [2] * len(seen)
    assert len(seen) >= TURNS
    assert {price for prices in seen for price in prices.values()} <= {"1.00", "2.00"}
    longest = max(wait for one in found for wait in one["waits"])
    assert longest < SLOWED * max(alone) + MOMENT_S
    assert [info.stored for info in store.lists()] == [LINES + 7 * ((TURNS - 1) % 2)] * 2
    with store.reading() as connection:
        assert faults_found(connection) == []


def test_half_a_list_holds_up_no_reader_and_is_seen_by_none(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3000, price="1.00")))
    writer = started("-c", HALFWAY)
    assert writer.stdout is not None
    assert writer.stdout.readline() == "halfway\n"
    start = time.monotonic()
    assert prices(store) == {"1.00"}
    read_in = time.monotonic() - start
    # Nor does a reader hold up the writer: this one stays open while the writer ends.
    with store.moment() as moment:
        assert moment.list_info("north").stored == 3000
        start = time.monotonic()
        writer.communicate("\n")
        written_in = time.monotonic() - start
        assert {p for _, b in moment.blocks("north") for p in b.columns["price"]} == {"1.00"}
    assert writer.returncode == 0
    assert prices(store) == {"1.00", "2.00"}
    assert max(read_in, written_in) < MOMENT_S


def test_a_writer_takes_its_turn_after_another(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3000, price="1.00")))
    first = started("-c", HALFWAY)
    assert first.stdout is not None
    assert first.stdout.readline() == "halfway\n"
    second = started(
        "-c",
        "from fitcheck.store import open_store; print('here', flush=True); "
        "open_store().remove_list('north')",
    )
    assert second.stdout is not None
    assert second.stdout.readline() == "here\n"
    time.sleep(0.3)
    assert second.poll() is None
    start = time.monotonic()
    first.communicate("\n")
    second.communicate()
    assert time.monotonic() - start < MOMENT_S
    assert (first.returncode, second.returncode) == (0, 0)
    assert store.lists() == []
    with store.reading() as connection:
        assert connection.execute(list_line.select()).first() is None


def prices(store: Store) -> set[str]:
    """The prices on the list, as a reader sees them."""
    return {price for _, block in store.blocks("north") for price in block.columns["price"]}
