"""What the fault runs share: commands in processes of their own, and looks at what they left."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

DEMO = ROOT / "data" / "demo"
NOBODY = 65534
# A run that takes longer hangs [s].
HANGS = 120.0
# What a message must never be.
UNKIND = re.compile(r"Traceback|fault in the program|Errno|Error\(|sqlalchemy|psycopg\.")
# Moments and what follows from them are others in each run.
MOMENTS = re.compile(r"_at$|^made$")


@dataclass(frozen=True)
class Done:
    """How a command ended: its status (negative where a signal ended it), and what it said."""

    status: int
    out: str
    err: str

    def unkind(self) -> str:
        """What is wrong with how it ended; blank where nothing is."""
        if UNKIND.search(self.err):
            return f"says {self.err.strip()!r}"
        if self.status in (1, 2) and not re.search(r"[.)`']\s*$|\w$", self.err.strip()):
            return "failed and said nothing"
        return ""


class Child:
    """One command, in a fork of this process, so that what it is tried at is its own work."""

    def __init__(
        self,
        words: Sequence[str],
        folder: Path,
        *,
        env: Mapping[str, str] | None = None,
        user: int | None = None,
        before: Callable[[], None] | None = None,
    ) -> None:
        self._streams = [folder / f".said-{os.urandom(4).hex()}" for _ in range(2)]
        for path in self._streams:
            path.touch()
        handles = [os.open(path, os.O_WRONLY) for path in self._streams]
        sys.stdout.flush()
        sys.stderr.flush()
        self.pid = os.fork()
        if self.pid == 0:
            status = 99
            try:
                os.setsid()
                os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
                os.dup2(handles[0], 1)
                os.dup2(handles[1], 2)
                os.chdir(folder)
                os.environ.update({"COLUMNS": "200", **(env or {})})
                if before:
                    before()
                if user is not None:
                    os.setgroups([])
                    os.setgid(user)
                    os.setuid(user)
                from fitcheck.cli.main import run

                status = run(list(words))
                sys.stdout.flush()
                sys.stderr.flush()
            except BaseException as error:
                with suppress(OSError):
                    os.write(2, f"Traceback: {error!r}".encode())
            finally:
                os._exit(status)
        for handle in handles:
            os.close(handle)

    def kill(self) -> None:
        """End it at once."""
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)

    def wait(self) -> Done:
        """Wait for its end; one that hangs is ended."""
        end = time.monotonic() + HANGS
        while True:
            pid, raw = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                break
            if time.monotonic() > end:
                self.kill()
                os.waitpid(self.pid, 0)
                raw = 98 << 8
                break
            time.sleep(0.002)
        said = [path.read_text(encoding="utf-8", errors="replace") for path in self._streams]
        for path in self._streams:
            path.unlink()
        return Done(os.waitstatus_to_exitcode(raw), *said)


def ran(words: Sequence[str], folder: Path, **more: object) -> Done:
    """Run a command to its end."""
    return Child(words, folder, **more).wait()  # type: ignore[arg-type]


# --- what is there afterwards ---------------------------------------------------------------------


def stored(path: Path) -> str:
    """What a store holds, as a digest of all rows but their moments; blank where there is none."""
    if not path.is_file():
        return ""
    digest = hashlib.sha256()
    # A copy is looked at, with what is not yet in the file itself: the disk may be full.
    with (
        tempfile.TemporaryDirectory() as folder,
        closing(sqlite3.connect(copied(path, Path(folder)))) as connection,
    ):
        if connection.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            return "damaged"
        if connection.execute("PRAGMA foreign_key_check").fetchone():
            return "rows that belong to nothing"
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        for (table,) in sorted(names):
            fields = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
            kept = [f'"{field}"' for field in fields if not MOMENTS.search(field)]
            rows = connection.execute(f'SELECT {", ".join(kept)} FROM "{table}"').fetchall()
            digest.update(repr((table, kept, sorted(map(repr, rows)))).encode())
    return digest.hexdigest()


def copied(path: Path, folder: Path) -> Path:
    """A store's file and its log in another folder."""
    for ending in ("", "-wal"):
        if Path(f"{path}{ending}").is_file():
            shutil.copyfile(f"{path}{ending}", folder / f"{path.name}{ending}")
    return folder / path.name


def copy_store(source: Path, target: Path) -> None:
    """Bring a store to where a trial finds it."""
    for ending in ("", "-wal", "-shm", "-journal"):
        Path(f"{target}{ending}").unlink(missing_ok=True)
    shutil.copyfile(source, target)


def is_whole(path: Path) -> bool:
    """Whether an answer file is one to its end, by what its kind ends with."""
    data = path.read_bytes()
    ending = path.suffix
    if ending in (".xlsx", ".backup"):
        try:
            with zipfile.ZipFile(path) as archive:
                return archive.testzip() is None
        except zipfile.BadZipFile:
            return False
    if ending == ".json":
        try:
            return bool(json.loads(data))
        except ValueError:
            return False
    ends = {".html": b"</html>\n", ".pdf": b"%%EOF\n", ".svg": b"</svg>\n"}
    return data.rstrip().endswith(ends.get(ending, b"").strip()) and (
        ending == ".html" or data.endswith(b"\n")
    )


def half_written(folder: Path) -> list[str]:
    """What a run left half-written, once it has grown old: the next answer clears it away."""
    parts = list(folder.rglob(".fitcheck-*.part"))
    for path in parts:
        os.utime(path, (0, 0))
    return [path.name for path in parts]


# --- the commands that write ----------------------------------------------------------------------


@dataclass(frozen=True)
class Writing:
    """A command that writes: a file, the store, or both. OUT, STORE and LIST are filled in."""

    name: str
    words: str
    output: str = ""
    stores: bool = False
    folder: bool = False

    def typed(self, place: Path) -> list[str]:
        """Its words, with the output in a folder."""
        words = self.words.replace("DEMO", str(DEMO)).split()
        return [word.replace("OUT", str(place)) for word in words]


WRITINGS = [
    Writing("hub --html", "hub DEMO/winch.toml --html OUT/card.html", "card.html"),
    Writing("hub --pdf", "hub DEMO/drum.toml --pdf OUT/card.pdf", "card.pdf"),
    Writing("hub --xlsx", "hub DEMO/winch.toml --xlsx OUT/card.xlsx", "card.xlsx"),
    Writing("batch -o", "batch readings.csv -o OUT/answers.csv", "answers.csv"),
    Writing("cross -o", "cross wanted.txt --list quay -o OUT/crossed.csv", "crossed.csv"),
    Writing("cross -o xlsx", "cross wanted.txt --list quay -o OUT/crossed.xlsx", "crossed.xlsx"),
    Writing("lists add", "lists add quay other.csv", stores=True),
    Writing("lists remove", "lists remove quay", stores=True),
    Writing("lists export", "lists export quay -o OUT/quay.csv", "quay.csv"),
    Writing("jobs keep", "jobs keep DEMO/winch.toml", stores=True),
    Writing("store backup", "store backup OUT/shop.backup", "shop.backup"),
    Writing("store restore", "store restore before.backup --replace", stores=True),
    Writing("stock history add", "stock history add DEMO/stock/history.csv", stores=True),
    Writing(
        "stock plan -o",
        "stock plan --budget 3000 --folder DEMO/stock -o OUT/plan.csv",
        "plan.csv",
    ),
    Writing("draw -o", "draw bearing 30206 -o OUT/bearing.svg", "bearing.svg"),
    Writing("draw sheet", "draw sheet DEMO/drum.toml -o OUT/drawings", folder=True),
    Writing("labels", "labels DEMO/stock/shelf.csv --html OUT/labels.html", "labels.html"),
]


def write_list(path: Path, *, lines: int, first: int) -> None:
    """An invented price list."""
    rows = (
        f"{first + n:08d};OIL SEAL {20 + n % 60}x{90 + n % 37}x{7 + n % 3} NBR;{1 + n % 900}.50"
        for n in range(lines)
    )
    path.write_text("\n".join(["number;description;price", *rows, ""]), encoding="utf-8")


def bench(folder: Path, *, lines: int) -> None:
    """What the commands read, and a store with a list, a card and a shelf in it."""
    write_list(folder / "one.csv", lines=lines, first=0)
    write_list(folder / "other.csv", lines=lines + 7, first=50_000_000)
    rows = (f"{n},seal,{20 + n % 60}.02,{90 + n % 37}.0" for n in range(lines // 4))
    text = "\n".join(["id,part,shaft,bore", *rows, ""])
    (folder / "readings.csv").write_text(text, encoding="utf-8")
    wanted = "\n".join(f"{20 + n % 60}x{90 + n % 37}x{7 + n % 3}" for n in range(lines // 4))
    (folder / "wanted.txt").write_text(wanted + "\n", encoding="utf-8")
    env = {"FITCHECK_DATABASE": str(folder / "shop.sqlite")}
    for words in (
        "lists add west one.csv",
        f"jobs keep {DEMO / 'drum.toml'}",
        "store backup before.backup",
        "lists add quay one.csv",
    ):
        done = ran(words.split(), folder, env=env)
        if done.status:
            sys.exit(f"{words}: {done.err}")
    with closing(sqlite3.connect(folder / "shop.sqlite")) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
