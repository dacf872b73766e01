"""The faults: each kind tries commands under it and says what was lost."""

from __future__ import annotations

import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from fault_tools import (
    DEMO,
    ROOT,
    WRITINGS,
    Child,
    Done,
    Writing,
    copy_store,
    half_written,
    is_whole,
    ran,
    stored,
)

OLD = b"old\n"


@dataclass
class Row:
    """One line of the table: a fault, a command, how often it was tried, and what came of it."""

    fault: str
    command: str
    ends: Counter[str] = field(default_factory=Counter)
    losses: list[str] = field(default_factory=list)

    def look(self, name: str, wrong: str) -> None:
        """Count one trial."""
        self.ends[name] += 1
        if wrong:
            self.losses.append(wrong)


class Bench:
    """A folder with what the commands read, and places where they are tried."""

    def __init__(self, folder: Path, dice: random.Random) -> None:
        self.folder, self.dice = folder, dice
        self.store = folder / "shop.sqlite"
        self._after: dict[str, str] = {}

    def place(self, writing: Writing, *, at: Path | None = None) -> Path:
        """A place for one trial: a store of its own and an older file under the answer's name."""
        place = at or self.folder / "place"
        if at is None:
            shutil.rmtree(place, ignore_errors=True)
            place.mkdir()
        copy_store(self.store, place / "shop.sqlite")
        if writing.output:
            (place / writing.output).write_bytes(self.older(writing))
        return place

    def older(self, writing: Writing) -> bytes:
        """What stands under the answer's name before: only a backup may be replaced by one."""
        is_backup = writing.output.endswith(".backup")
        return (self.folder / "before.backup").read_bytes() if is_backup else OLD

    def start(self, writing: Writing, place: Path, **more: object) -> Child:
        """Start a command on a place."""
        env = {"FITCHECK_DATABASE": str(place / "shop.sqlite")}
        return Child(writing.typed(place), self.folder, env=env, **more)  # type: ignore[arg-type]

    def found(self, writing: Writing, place: Path) -> tuple[str, str]:
        """What is there: ("old" or "new", what is wrong)."""
        now, before = stored(place / "shop.sqlite"), stored(self.store)
        if writing.stores:
            if now == before:
                return "old", ""
            return "new", "" if now == self.after(writing) else f"the store is {now[:20]}"
        wrong = "" if now == before else "the store changed"
        if writing.folder:
            files = list((place / "drawings").glob("*")) if (place / "drawings").is_dir() else []
            half = [path.name for path in files if path.suffix == ".svg" and not is_whole(path)]
            return "new" if files else "old", wrong or (f"half: {half}" if half else "")
        if not writing.output:
            return "old", wrong
        path = place / writing.output
        if not path.is_file():
            return "old", "the older file is gone"
        if path.read_bytes() == self.older(writing):
            return "old", wrong
        return "new", wrong or ("" if is_whole(path) else f"{path.name} is half-written")

    def after(self, writing: Writing) -> str:
        """The store after the command ran to its end."""
        if writing.name not in self._after:
            place = self.place(writing)
            copied = place.rename(self.folder / "whole")
            done = self.start(writing, copied).wait()
            if done.status:
                sys.exit(f"{writing.name}: {done.err}")
            self._after[writing.name] = stored(copied / "shop.sqlite")
            shutil.rmtree(copied)
        return self._after[writing.name]


def judged(name: str, wrong: str, done: Done) -> str:
    """What is wrong with a trial: what was confirmed must be there, and what was not must not."""
    if wrong or done.unkind():
        return wrong or done.unkind()
    if done.status == 0 and name != "new":
        return "confirmed, and not there"
    refused = f"there, and refused: {done.err}"
    return refused if done.status in (1, 2) and name == "new" else ""


def kills(bench: Bench, rounds: int) -> Iterator[Row]:
    """SIGKILL at a random moment of each writing command."""
    for writing in WRITINGS:
        row = Row("killed", writing.name)
        if writing.stores:
            bench.after(writing)
        place = bench.place(writing)
        start = time.monotonic()
        bench.start(writing, place).wait()
        took = time.monotonic() - start
        left = 0
        for _ in range(rounds):
            place = bench.place(writing)
            child = bench.start(writing, place)
            time.sleep(bench.dice.uniform(0.0, 1.0) * took)
            child.kill()
            done = child.wait()
            left += len(half_written(place))
            name, wrong = bench.found(writing, place)
            killed = done.status == -signal.SIGKILL
            row.look(name if killed else "over", wrong if killed else judged(name, wrong, done))
        # The same again, on what the last kill left: it must go through and clear up.
        copy_store(bench.store, place / "shop.sqlite")
        done = bench.start(writing, place).wait()
        name, wrong = bench.found(writing, place)
        wrong = wrong or judged("new" if done.status == 0 else name, "", done)
        if half_written(place):
            wrong = "what was half-written is still there after the next answer"
        row.look("again", wrong)
        row.ends["half cleared"] += left
        yield row


@contextmanager
def disk(folder: Path, *, kib: int, filled: Callable[[Path], object]) -> Iterator[Path | None]:
    """A small disk of its own; None where it can't be had."""
    place = folder / "disk"
    place.mkdir()
    options = f"size={kib}k"
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)],
        capture_output=True,
        check=False,
    )
    try:
        if done.returncode == 0:
            filled(place)
        yield place if done.returncode == 0 else None
    finally:
        if done.returncode == 0:
            subprocess.run(["umount", str(place)], check=True)
        place.rmdir()


def disks(bench: Bench, _: int) -> Iterator[Row]:
    """A disk that is full, and one that may only be read."""
    store = bench.store.stat().st_size // 1024
    for fault in ("disk full", "read-only"):
        for writing in WRITINGS:
            row = Row(fault, writing.name)
            if writing.stores:
                bench.after(writing)
            # Room for the store and the older file, and 8 KiB more.
            room = (store // 4 + 2) * 4 + 8 + len(bench.older(writing)) // 1024

            def fill(place: Path, writing: Writing = writing) -> None:
                bench.place(writing, at=place)

            with disk(bench.folder, kib=room, filled=fill) as place:
                if place is None:
                    row.look("left out: no right to mount", "")
                    yield row
                    continue
                if fault == "read-only":
                    remount = ["mount", "-o", "remount,ro", str(place)]
                    subprocess.run(remount, check=True)
                done = bench.start(writing, place).wait()
                if fault == "read-only":
                    subprocess.run(["mount", "-o", "remount,rw", str(place)], check=True)
                name, wrong = bench.found(writing, place)
                if half_written(place):
                    wrong = "a half-written file is left"
                if fault == "read-only" and done.status == 0:
                    wrong = "says that it was written"
                if done.status and not re.search("room|disk|full|right|folder|written", done.err):
                    wrong = f"says nothing to do: {done.err}"
                row.look("refused" if done.status else name, judged(name, wrong, done))
            yield row


def locked(bench: Bench, _: int) -> Iterator[Row]:
    """Another holds the store for longer than anybody waits."""
    for writing in WRITINGS:
        if not writing.stores:
            continue
        row = Row("store locked", writing.name)
        bench.after(writing)
        place = bench.place(writing)
        holder = sqlite3.connect(place / "shop.sqlite", isolation_level=None)
        holder.execute("BEGIN EXCLUSIVE")

        def hurry() -> None:
            from fitcheck.store import open_store

            assert open_store.__kwdefaults__
            open_store.__kwdefaults__["wait_s"] = 0.3

        done = bench.start(writing, place, before=hurry).wait()
        holder.execute("ROLLBACK")
        holder.close()
        name, wrong = bench.found(writing, place)
        if "another is writing" not in done.err:
            wrong = wrong or f"says {done.err!r}"
        row.look("refused" if done.status else name, judged(name, wrong, done))
        done = bench.start(writing, place).wait()
        name, wrong = bench.found(writing, place)
        row.look("again", judged(name, wrong, done))
        yield row


PAIRS = (
    ("lists add", "jobs keep"),
    ("lists add", "lists add"),
    ("jobs keep", "jobs keep"),
    ("lists remove", "lists add"),
    ("stock history add", "lists add"),
    ("cross -o", "cross -o"),
    ("batch -o", "batch -o"),
)


def pairs(bench: Bench, rounds: int) -> Iterator[Row]:
    """Two write at the same time: each waits its turn and both are kept."""
    named = {writing.name: writing for writing in WRITINGS}
    for one, other in PAIRS:
        row = Row("two writers", f"{one}, {other}")
        for _ in range(max(1, rounds // 4)):
            place = bench.place(named[one])
            children = [bench.start(named[name], place) for name in (one, other)]
            ends = [child.wait() for child in children]
            wrong = next((done.unkind() for done in ends if done.unkind()), "")
            if stored(place / "shop.sqlite") in ("damaged", "rows that belong to nothing"):
                wrong = "the store is damaged"
            if any(done.status for done in ends):
                wrong = wrong or f"one was refused: {ends}"
            if named[one].output:
                wrong = wrong or bench.found(named[one], place)[1]
            if half_written(place):
                wrong = "a half-written file is left"
            row.look("both", wrong)
        yield row


LOOKS = (
    "store info --check",
    "lists show quay",
    "jobs find --machine conveyor",
    "lists add x one.csv",
)


def damages(bench: Bench, rounds: int) -> Iterator[Row]:
    """A store file that something else wrote into: it is told, or what is read is as it was."""
    whole = bench.store.read_bytes()
    dice = bench.dice

    def flipped() -> bytes:
        data = bytearray(whole)
        for _ in range(dice.choice((1, 8, 64))):
            data[dice.randrange(len(data))] ^= 1 << dice.randrange(8)
        return bytes(data)

    kinds: dict[str, Callable[[], bytes]] = {
        "bits flipped": flipped,
        "cut short": lambda: whole[: dice.randrange(1, len(whole))],
        "a page zeroed": lambda: _zeroed(whole, dice.randrange(len(whole) // 4096)),
        "a text": lambda: b"this is a letter, and no store\n" * 50,
        "nothing in it": lambda: b"",
    }
    plain = Writing("", "", stores=True)
    for kind, made in kinds.items():
        row = Row("store damaged", kind)
        for _ in range(1 if kind in ("a text", "nothing in it") else rounds):
            place = bench.place(plain)
            made_of = made()
            (place / "shop.sqlite").write_bytes(made_of)
            try:
                found = stored(place / "shop.sqlite")
            except (sqlite3.Error, UnicodeDecodeError):
                found = "damaged"
            env = {"FITCHECK_DATABASE": str(place / "shop.sqlite")}
            told, wrong = False, ""
            for words in LOOKS:
                done = ran(words.split(), bench.folder, env=env)
                told = told or done.status != 0
                told = told or ("--check" in words and "is sound" not in done.out)
                wrong = wrong or (done.unkind() and f"{words}: {done.unkind()}")
                if "damaged" in done.err and "restore" not in done.err:
                    wrong = wrong or f"{words}: does not say what to do: {done.err}"
            name = "told"
            if not told:
                same = found == stored(bench.store)
                name = "sound" if same or not made_of else "a value changed unseen"
                wrong = wrong or ("damaged, and not told" if found == "damaged" else "")
            row.look(name, wrong)
        yield row


def _zeroed(data: bytes, page: int) -> bytes:
    return data[: page * 4096] + bytes(4096) + data[(page + 1) * 4096 :]


CLOCKS = (
    "1970-01-01 00:00:10",
    "1979-12-31 23:59:59",
    "2038-01-19 03:14:09",
    "2150-06-01 12:00:00",
)


def clocks(bench: Bench, _: int) -> Iterator[Row]:
    """A clock that stands wrong: nothing depends on it."""
    names = ("hub --html", "hub --xlsx", "hub --pdf", "lists add", "jobs keep", "store backup")
    for clock in CLOCKS:
        row = Row("clock moved", clock)
        if not shutil.which("faketime"):
            row.look("left out: there is no faketime", "")
            yield row
            continue
        for writing in (w for w in WRITINGS if w.name in names):
            if writing.stores:
                bench.after(writing)
            place = bench.place(writing)
            words = ["faketime", "-f", f"@{clock}", sys.executable, "-m", "fitcheck.cli.main"]
            ended = subprocess.run(
                [*words, *writing.typed(place)],
                cwd=bench.folder,
                env={
                    "PATH": "/usr/bin:/bin",
                    "PYTHONPATH": str(ROOT),
                    "TZ": "UTC",
                    "FITCHECK_DATABASE": str(place / "shop.sqlite"),
                },
                capture_output=True,
                text=True,
                check=False,
            )
            done = Done(ended.returncode, ended.stdout, ended.stderr)
            name, wrong = bench.found(writing, place)
            if done.status:
                wrong = wrong or f"{writing.name}: {done.err}"
            row.look(name, judged(name, wrong, done))
        yield row


__all__ = [
    "DEMO",
    "WRITINGS",
    "Bench",
    "Row",
    "clocks",
    "damages",
    "disks",
    "kills",
    "locked",
    "pairs",
]
