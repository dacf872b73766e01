"""A counter in a process of its own: runs commands, and says of each how long it took.

    python at_the_counter.py FOLDER TURNS WORK

WORK is ``add NAME`` (two files of the folder take turns under the name) or ``cross`` (with all
lists, until the folder's file ``done`` is there). It waits for the file ``go``, and prints one
JSON object.
"""

from __future__ import annotations

import io
import json
import sys
import time
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

from fitcheck.cli.main import cli


def command(*words: str) -> tuple[float, str]:
    """Run a command: how long it took [s], and what it printed."""
    start, out = time.monotonic(), io.StringIO()
    with redirect_stdout(out):
        cli.main(list(words), prog_name="fitcheck", standalone_mode=False)
    return time.monotonic() - start, out.getvalue()


def crossed(folder: Path) -> tuple[float, list[tuple[str, str]]]:
    """Cross what is wanted with all lists: how long it took, and each list's prices."""
    took, out = command("cross", str(folder / "wanted.txt"), "--all", "--json", "--top=200")
    offers = [one for line in json.loads(out)["lines"] for one in line["alternatives"]]
    return took, sorted({(offer["list"], offer["price"]) for offer in offers})


def main() -> None:
    """Do the work."""
    folder, turns = Path(sys.argv[1]), int(sys.argv[2])
    work, *names = sys.argv[3:]
    command("lists", "show")
    print("ready", flush=True)
    while not (folder / "go").exists():
        time.sleep(0.005)
    waits: list[float] = []
    seen: list[Any] = []
    while len(waits) < turns or (work == "cross" and not (folder / "done").exists()):
        if work == "add":
            file = folder / f"{names[0]}-{len(waits) % 2}.csv"
            took, _ = command("lists", "add", names[0], str(file), "--json")
        else:
            took, prices = crossed(folder)
            seen.append(prices)
        waits.append(took)
    print(json.dumps({"waits": waits, "seen": seen}))


if __name__ == "__main__":
    main()
