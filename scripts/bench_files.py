"""Adding a list and crossing against it from file to file, each in a process of its own.

The general engine reads the same description with a pattern, joins, and writes the lines it found;
it reports no refused line, grades nothing and asks nothing, so it does less than the program.
"""

from __future__ import annotations

import csv
import gc
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from bench_cross import Lists, Measured

from fitcheck.lists.lines import UM_PER_MM

ROOT = Path(__file__).resolve().parents[1]

_WORDS = ("OIL SEAL {}", "Seal {}", "{} oil seal", "SHAFT SEAL,{}")
_MADE = ("", " NBR", " NBR DBL LIP", " FKM double lip", " NBR single lip", " FKM")


def write_files(lists: Lists, folder: Path) -> tuple[Path, Path]:
    """The wanted sizes and the list as CSV files, the list's sizes in descriptions."""
    wanted, listed = folder / "wanted.csv", folder / "list.csv"
    with wanted.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle)
        writer.writerow(("kind", "shaft", "bore", "width"))
        writer.writerows(
            ("seal", f"{a / UM_PER_MM:g}", f"{b / UM_PER_MM:g}", f"{c / UM_PER_MM:g}")
            for a, b, c in lists.wanted
        )
    rng = random.Random(2)
    with listed.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle)
        writer.writerow(("part_number", "description", "price", "currency"))
        for number, (a, b, c, price) in enumerate(
            zip(lists.shaft, lists.bore, lists.width, lists.price, strict=True)
        ):
            size = rng.choice(("x", " x ", "X")).join(
                f"{round(um / UM_PER_MM, 3):.6g}" for um in (a, b, c)
            )
            text = rng.choice(_WORDS).format(size) + rng.choice(_MADE)
            writer.writerow((f"{number:07d}", text, price, "EUR"))
    return wanted, listed


# The most memory is what the process itself says at its end: what the system says of a child
# counts what its parent held when it was started.
_CHILD = """
import atexit, os, runpy, sys
told, name = sys.argv[1:3]
sys.argv[:] = [name, *sys.argv[3:]]
def most():
    with open("/proc/self/status") as status, open(told, "w") as file:
        file.write(next(line.split()[1] for line in status if line.startswith("VmHWM")))
atexit.register(most)
run = runpy.run_path if os.path.exists(name) else runpy.run_module
run(name, run_name="__main__")
"""


def child(words: list[str], database: Path) -> tuple[float, float]:
    """Run a process of its own: how long it took [s], and the most memory it held [MiB]."""
    python_path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH", ""))))
    place = {**os.environ, "FITCHECK_DATABASE": str(database), "PYTHONPATH": python_path}
    # As an installed program runs: with its byte-code kept from one run to the next.
    place.pop("PYTHONDONTWRITEBYTECODE", None)
    place["PYTHONPYCACHEPREFIX"] = str(database.with_name("bytecode"))
    told = database.with_name("most")
    start = time.perf_counter()
    run = [sys.executable, "-c", _CHILD, str(told), *words]
    done = subprocess.run(run, env=place, stdout=subprocess.DEVNULL, check=False)
    took = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(f"{' '.join(words[:4])} failed")
    return took, int(told.read_text(encoding="utf-8")) / 1024


def repeated(
    named: tuple[str, str],
    runs: int,
    words: list[str],
    database: Path,
    clear: Callable[[], None] = lambda: None,
) -> Measured:
    """A process run several times, each after clearing away what the last one left."""
    found = Measured(*named)
    for _ in range(runs):
        clear()
        gc.collect()
        took, mib = child(words, database)
        found.seconds.append(took)
        found.mib.append(mib)
    return found


def files(lists: Lists, folder: Path, runs: int) -> Iterator[Measured]:
    """Adding the list and crossing with it, by both."""
    wanted, listed = write_files(lists, folder)
    own_store, other_store = folder / "lists.sqlite", folder / "lists.duckdb"
    own_out, other_out = folder / "own.csv", folder / "other.csv"
    main = ["fitcheck.cli.main"]
    duck = [str(ROOT / "scripts" / "bench_duckdb.py")]

    def clear() -> None:
        for path in folder.glob("lists.*"):
            path.unlink()

    adding = f"add {len(lists.shaft):,} lines, file to store"
    words = [*main, "lists", "add", "big", str(listed)]
    yield repeated((adding, "fitcheck"), runs, words, own_store, clear)
    # A store of its own, so that clearing the one leaves the other.
    held = folder / "held.sqlite"
    own_store.rename(held)
    load = [*duck, "load", str(listed), str(other_store)]
    yield repeated((adding, "duckdb, regex"), runs, load, own_store, clear)
    crossing = f"cross {len(lists.wanted):,} x {len(lists.shaft):,}, file to file"
    words = [*main, "cross", str(wanted), "--list", "big", "--top", "10", "-o", str(own_out)]
    yield repeated((crossing, "fitcheck"), runs, words, held)
    words = [*duck, "cross", str(wanted), str(other_store), str(other_out)]
    yield repeated((crossing, "duckdb, hash join on cells"), runs, words, own_store)
