#!/usr/bin/env python3
"""Write down what the tested set is made of: versions, checksums, licences.

    .venv/bin/python scripts/lock.py

Run it in the environment that passed the tests, with every extra installed. Gives
`scripts/locked.txt`, which pip takes with `pip install --require-hashes -r`, and
`scripts/licences.csv`. The checksums are those of the archives for this kind of machine, as pip
reports them; nothing is installed.
"""

from __future__ import annotations

import csv
import json
import platform
import re
import subprocess
import sys
import tempfile
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]
LOCKED = ROOT / "scripts" / "locked.txt"
LICENCES = ROOT / "scripts" / "licences.csv"
COLUMNS = ("package", "version", "licence", "for")
# What has no extra of its own.
BASE = "base"
TESTED = "test"
# Classifiers that name a family of licences and not one.
UNSAID = {"", "unknown", "other/proprietary license"}


def plain(name: str) -> str:
    """A package's name as registries compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def asked_for() -> dict[str, list[str]]:
    """What the project asks for, by extra; what it always needs is `base`."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return {BASE: project["dependencies"], **project["optional-dependencies"]}


def closure(wanted: list[str]) -> dict[str, Distribution]:
    """Installed packages that some requirements need, by name, those of those included."""
    found: dict[str, Distribution] = {}
    seen: set[tuple[str, str]] = set()
    queue = [(Requirement(text), "") for text in wanted]
    while queue:
        need, extra = queue.pop()
        if need.marker and not need.marker.evaluate({"extra": extra}):
            continue
        name = plain(need.name)
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            sys.exit(f"{name} is not installed: pip install -e '.[test,bench,proof]' and run again")
        for part in {"", *need.extras} - {part for at, part in seen if at == name}:
            seen.add((name, part))
            queue += [(Requirement(text), part) for text in found[name].requires or []]
    return found


def licence(package: Distribution) -> str:
    """What a package says of its licence: its expression, its classifiers, or its first line."""
    about: Any = package.metadata
    said = about.get("License-Expression") or ""
    if not said:
        named = [line for line in about.get_all("Classifier") or [] if line.startswith("License")]
        said = "; ".join(line.rpartition(" :: ")[2] for line in named)
    if said.lower() in UNSAID:
        first = (about.get("License") or "").strip().splitlines() or [""]
        said = first[0][:80]
    return said or file_heading(package) or "not said"


def file_heading(package: Distribution) -> str:
    """The heading of a package's own licence file; blank where it has none."""
    for path in package.files or []:
        if path.name.upper().startswith(("LICENSE", "LICENCE", "COPYING")):
            lines = (line.strip() for line in path.read_text().splitlines())
            return next((line[:80] for line in lines if line), "")
    return ""


def hashes(versions: dict[str, str]) -> dict[str, str]:
    """The checksum of each package's archive, as pip reports it."""
    with tempfile.TemporaryDirectory() as folder:
        pinned, report = Path(folder, "pinned.txt"), Path(folder, "report.json")
        lines = (f"{name}=={version}" for name, version in versions.items())
        pinned.write_text("\n".join(lines), encoding="utf-8")
        words = ["install", "--quiet", "--dry-run", "--ignore-installed", "--no-deps"]
        words += ["--disable-pip-version-check", "--report", str(report), "-r", str(pinned)]
        subprocess.run([sys.executable, "-m", "pip", *words], check=True)
        installs = json.loads(report.read_text(encoding="utf-8"))["install"]
    return {
        plain(entry["metadata"]["name"]): entry["download_info"]["archive_info"]["hashes"]["sha256"]
        for entry in installs
    }


def main() -> None:
    """Write both files."""
    extras = {name: closure(wanted) for name, wanted in asked_for().items()}
    needed: dict[str, list[str]] = {}
    for extra, packages in extras.items():
        for name in packages:
            needed.setdefault(name, []).append(extra)
    with LICENCES.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(COLUMNS)
        for name in sorted(needed):
            package = extras[needed[name][0]][name]
            writer.writerow([name, package.version, licence(package), " ".join(needed[name])])
    tested = {name: p.version for name, p in sorted((extras[BASE] | extras[TESTED]).items())}
    sums = hashes(tested)
    kind = f"Python {platform.python_version()}, {platform.system()} {platform.machine()}"
    lines = [f"# What the tests passed with: {kind}. Made by scripts/lock.py."]
    lines += [f"{name}=={version} --hash=sha256:{sums[name]}" for name, version in tested.items()]
    LOCKED.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{LOCKED}: {len(tested)} packages\n{LICENCES}: {len(needed)} packages")


if __name__ == "__main__":
    main()
