"""Whole processes at the shell, warm: look-ups beside bare imports and a pandas window look-up.

The package is timed as it is when installed: its modules are copied with their tables into a fresh
environment and compiled there, with the start script that an installer writes. An editable
install looks through other folders first, and an uncached import costs three to four times as much.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import venv
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from benches.timing import Measured, in_turns

ROOT = Path(__file__).resolve().parents[2]
LOOK_UPS = {
    "fit": ["fit", "30", "H7/g6"],
    "seal": ["seal", "--shaft", "34.92", "--bore", "52"],
    "bearing": ["bearing", "--bore", "30", "--od", "62"],
    "shim": [
        *("shim", "--method", "free-gap", "--measured", "0.52@feeler", "--position", "cap"),
        *("--use", "kingpin-cap", "--have", "0.10x6,0.20x4"),
    ],
    "oil": ["oil", "--diameter", "180", "--length", "120", "--to-temp", "80C", "--shaft", "90"],
    "hub": ["hub", "data/demo/winch.toml"],
}
WINDOW = """
import pandas
sizes = pandas.read_csv({path!r})
near = sizes[(sizes.shaft_mm - 34.92).abs().le(0.5) & (sizes.bore_mm - 52.0).abs().le(0.5)]
print(near[["shaft_mm", "bore_mm", "width_mm"]].to_string())
"""
START = """#!{python}
import sys
from fitcheck.cli.main import main
if __name__ == "__main__":
    sys.exit(main())
"""


def installed(folder: Path) -> Path:
    """An environment with the package copied in as an installer would; gives its programs."""
    venv.create(folder, with_pip=False)
    programs = folder / "bin"
    python = programs / "python"
    # The packages it needs are those of the environment that runs this.
    names = {"base": str(folder), "platbase": str(folder)}
    site = Path(sysconfig.get_path("purelib", scheme="venv", vars=names))
    (site / "outer.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    shutil.copytree(
        ROOT / "fitcheck", site / "fitcheck", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copytree(ROOT / "data", site / "fitcheck" / "data")
    subprocess.run([python, "-m", "compileall", "-q", site / "fitcheck"], check=True)
    start = programs / "fitcheck"
    start.write_text(START.format(python=python), encoding="utf-8")
    start.chmod(0o755)
    return programs


def _run(words: Sequence[str | Path], home: Path) -> None:
    # A shop's own tables and lists would be read too: there are none in an empty home.
    known = {k: v for k, v in os.environ.items() if not k.startswith("FITCHECK")}
    done = subprocess.run(
        words,
        check=False,
        cwd=ROOT,
        capture_output=True,
        text=True,
        env=known | {"HOME": str(home)},
    )
    if done.returncode:
        raise SystemExit(f"{' '.join(map(str, words))}: {done.stderr}")


def rows(quick: bool) -> list[Measured]:
    """Every look-up against click, pandas and the window look-up."""
    with tempfile.TemporaryDirectory() as place:
        programs = installed(Path(place) / "env")
        home = Path(place)
        jobs: dict[str, Callable[[], object]] = {
            name: partial(_run, [programs / "fitcheck", *words], home)
            for name, words in LOOK_UPS.items()
        }
        window = WINDOW.format(path=str(ROOT / "data" / "seals" / "din3760.csv"))
        others = {"import click": "import click"}
        targets = {"import click": 2.0}
        if _has_pandas():
            others |= {"import pandas": "import pandas", "window look-up in pandas": window}
            targets["import pandas"] = 0.25
        for name, text in others.items():
            jobs[name] = partial(_run, [programs / "python", "-c", text], home)
        found = in_turns(jobs, runs=5 if quick else 11)
    measured = []
    for name in LOOK_UPS:
        for other in others:
            target = targets.get(other)
            if name == "hub":
                target = 5.0 if other == "import click" else None
            measured.append(
                Measured(
                    section="shell",
                    what=f"fitcheck {name}",
                    unit="ms",
                    ours_runs=tuple(1000.0 * t for t in found[name]),
                    other_name=other,
                    other_runs=tuple(1000.0 * t for t in found[other]),
                    target=f"at most {target:g}" if target else "",
                )
            )
    return measured


def _has_pandas() -> bool:
    done = subprocess.run([sys.executable, "-c", "import pandas"], check=False, capture_output=True)
    return done.returncode == 0
