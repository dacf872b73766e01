"""Nothing is sent anywhere: no telemetry, no update, no look-up outside this machine."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
# Put before every Python that is started: what would talk to the outside is refused and noted.
FORBID = """
import os, sys

def watch(event, args):
    if event in ("socket.connect", "socket.sendto", "socket.bind"):
        address = args[1]
        if isinstance(address, tuple) and address[0] in ("127.0.0.1", "::1", "localhost"):
            return
    elif event == "socket.getaddrinfo":
        if args[0] in (None, "127.0.0.1", "::1", "localhost"):
            return
    elif event == "subprocess.Popen":
        # Which fonts and libraries there are is asked of this machine by these.
        local = ("fc-list", "ldconfig", "gcc", "cc", "ld", "objdump", "uname", "file")
        if os.path.basename(str(args[0])) in (os.path.basename(sys.executable), *local):
            return
    elif event not in ("socket.gethostbyname", "urllib.Request", "smtplib.connect", "os.system"):
        return
    with open(os.environ["NOTED"], "a") as noted:
        noted.write(f"{event} {args!r:.200}\\n")
    raise PermissionError(f"not allowed here: {event}")

sys.addaudithook(watch)
"""
DEMO = "data/demo"
COMMANDS = [
    "seal --shaft 34.92 --bore 52",
    "bearing --bore 25 --od 62 --width 18.3",
    "sleeve --shaft 89.98 --track 89.60",
    "fit 30 H7/g6",
    "press --interface 60 --outer 90 --length 30 --fit H7/s6",
    "shim --method free-gap --measured 0.52@feeler --position cap --use kingpin-cap",
    "oil --volume 4l --shaft 90 --to-temp 80C",
    f"hub {DEMO}/winch.toml --html OUT/w.html --pdf OUT/w.pdf --xlsx OUT/w.xlsx",
    "draw bearing 30206 -o OUT/b.svg",
    f"lists add quay {DEMO}/lists/north_quay_invented.csv",
    "lists export quay -o OUT/quay.csv",
    f"cross {DEMO}/lists/wanted_invented.txt --list quay -o OUT/crossed.csv",
    f"jobs keep {DEMO}/winch.toml",
    "jobs find --machine winch",
    f"stock demand --folder {DEMO}/stock --part 32215",
    f"labels {DEMO}/stock/shelf.csv --html OUT/labels.html",
    "store backup OUT/shop.backup",
    "store restore OUT/shop.backup --replace",
    "store info --check",
    "tables check",
    "serve --check --port 0",
]
RUN_ALL = """
import sys
from fitcheck.cli.main import run
for line in sys.stdin.read().splitlines():
    status = run(line.split())
    if status:
        sys.exit(f"{line}: exit status {status}")
"""
TALKING = {"socket", "urllib.request", "http.client", "requests", "httpx", "smtplib", "ftplib"}


def forbidding(tmp_path: Path) -> dict[str, str]:
    """An environment in which every Python refuses to talk to the outside."""
    site = tmp_path / "site"
    site.mkdir()
    (site / "sitecustomize.py").write_text(FORBID, encoding="utf-8")
    (tmp_path / "noted").touch()
    return {
        **os.environ,
        "PYTHONPATH": f"{site}{os.pathsep}{ROOT}",
        "NOTED": str(tmp_path / "noted"),
        "XDG_DATA_HOME": str(tmp_path / "share"),
        "HOME": str(tmp_path),
    }


def test_no_command_talks_to_the_outside(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    done = subprocess.run(
        [sys.executable, "-c", RUN_ALL],
        input="\n".join(COMMANDS).replace("OUT", str(tmp_path / "out")),
        env=forbidding(tmp_path),
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (tmp_path / "noted").read_text(encoding="utf-8") == ""
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / "w.pdf").read_bytes().startswith(b"%PDF")


def test_the_watch_sees_what_talks(tmp_path: Path) -> None:
    env = forbidding(tmp_path)
    for talk in (
        "import socket; socket.create_connection(('192.0.2.1', 80), timeout=1)",
        "import urllib.request; urllib.request.urlopen('http:' + '//192.0.2.1/')",
        "import subprocess, sys; subprocess.run([sys.executable, '-c', "
        "'import socket; socket.getaddrinfo(\"elsewhere.example\", 80)'])",
        "import subprocess; subprocess.run(['curl', 'elsewhere.example'])",
    ):
        (tmp_path / "noted").write_text("", encoding="utf-8")
        subprocess.run([sys.executable, "-c", talk], env=env, capture_output=True, check=False)
        assert (tmp_path / "noted").read_text(encoding="utf-8") != "", talk


def test_no_module_outside_the_page_can_talk() -> None:
    found = [
        f"{path.relative_to(ROOT)}: {name}"
        for path in sorted((ROOT / "fitcheck").rglob("*.py"))
        if ROOT / "fitcheck" / "web" not in path.parents
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
        if name in TALKING
    ]
    assert found == []
