"""A database server that stops while a command is at work."""

from __future__ import annotations

import glob
import json
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from fault_kinds import Bench, Row
from fault_tools import Child, ran

URL = "postgresql+psycopg://shop@/shop?host={}"


class Server:
    """A PostgreSQL of its own, on a socket in a folder of its own."""

    def __init__(self, binaries: str) -> None:
        self.binaries = binaries
        self.folder = tempfile.mkdtemp(prefix="fitcheck-pg-")
        # The server refuses to run as root.
        self.words: list[str] = []
        if os.geteuid() == 0:
            path = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"
            self.words = [shutil.which("runuser", path=path) or "runuser", "-u", "postgres", "--"]
            shutil.chown(self.folder, "postgres")
        self._run("initdb", "-A", "trust", "-U", "shop", "-E", "UTF8", "--no-sync")

    def _run(self, program: str, *options: str) -> None:
        with Path(self.folder, "out").open("ab") as log:
            subprocess.run(
                [*self.words, f"{self.binaries}/{program}", "-D", f"{self.folder}/data", *options],
                check=True,
                stdout=log,
                stderr=log,
                cwd=self.folder,
            )

    def start(self) -> None:
        """Start it."""
        options = f"-c listen_addresses= -c unix_socket_directories={self.folder}"
        self._run("pg_ctl", "-w", "-l", f"{self.folder}/log", "-o", options, "start")

    def stop(self, how: str) -> None:
        """Stop it: `fast` ends its sessions, `immediate` is what a power cut does."""
        self._run("pg_ctl", "-w", "-m", how, "stop")

    def remove(self) -> None:
        """Clear it away."""
        shutil.rmtree(self.folder, ignore_errors=True)


def lines_of(folder: Path, env: dict[str, str]) -> tuple[int, str]:
    """How many lines the list has, and what is wrong with the store."""
    done = ran(["store", "info", "--check", "--json"], folder, env=env)
    if done.status:
        return -1, done.err
    faults = json.loads(done.out).get("faults")
    shown = ran(["lists", "show", "quay", "--json"], folder, env=env)
    if shown.status:
        return -1, shown.err
    return int(json.loads(shown.out)["list"]["lines"]), f"not sound: {faults}" if faults else ""


def stops(bench: Bench, rounds: int) -> Iterator[Row]:
    """The server stops in the middle of a command: the list is the old one or the new one."""
    places = glob.glob("/usr/lib/postgresql/*/bin")
    row = Row("server stopped", "lists add")
    if not places:
        row.look("left out: no PostgreSQL here", "")
        yield row
        return
    server = Server(max(places))
    env = {"FITCHECK_DATABASE": URL.format(server.folder)}
    try:
        server.start()
        subprocess.run(
            [f"{server.binaries}/createdb", "-h", server.folder, "-U", "shop", "shop"], check=True
        )
        lines: list[int] = []
        files, now, took = ("one.csv", "other.csv"), 0, 0.0
        for name in files[::-1]:
            start = time.monotonic()
            ran(["lists", "add", "quay", name], bench.folder, env=env)
            took = time.monotonic() - start
            lines.insert(0, lines_of(bench.folder, env)[0])
        for number in range(max(2, rounds // 2)):
            child = Child(["lists", "add", "quay", files[1 - now]], bench.folder, env=env)
            time.sleep(bench.dice.uniform(0.1, 1.0) * took)
            server.stop(("fast", "immediate")[number % 2])
            done = child.wait()
            server.start()
            found, wrong = lines_of(bench.folder, env)
            name = "new" if found == lines[1 - now] else "old"
            wrong = wrong or done.unkind()
            if found not in lines:
                wrong = wrong or f"{found} lines"
            if done.status == 0 and name == "old":
                wrong = wrong or "confirmed, and not there"
            if done.status and "server" not in done.err:
                wrong = wrong or f"says {done.err!r}"
            row.look(name, wrong)
            now = 1 - now if name == "new" else now
        yield row
    finally:
        server.stop("immediate")
        server.remove()
