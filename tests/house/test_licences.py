"""The list of licences and the locked set are those of what the project asks for."""

from __future__ import annotations

import csv
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
LISTED = {
    row["package"]: row
    for row in csv.DictReader(
        (ROOT / "scripts" / "licences.csv").read_text(encoding="utf-8").splitlines()
    )
}
LOCKED = (ROOT / "scripts" / "locked.txt").read_text(encoding="utf-8").splitlines()
LINE = re.compile(r"(?P<name>[a-z0-9-]+)==(?P<version>[^ ]+) --hash=sha256:[0-9a-f]{64}")


def asked_for() -> dict[str, set[str]]:
    """The packages the project names itself, by extra."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {"base": project["dependencies"], **project["optional-dependencies"]}
    return {
        extra: {re.split(r"[^A-Za-z0-9_.-]", text)[0].lower().replace("_", "-") for text in texts}
        for extra, texts in wanted.items()
    }


def test_every_package_of_every_extra_has_its_licence_listed() -> None:
    for extra, names in asked_for().items():
        for name in names:
            assert name in LISTED, f"{name}: run scripts/lock.py"
            assert extra in LISTED[name]["for"].split()


def test_no_extra_is_listed_that_is_not_there() -> None:
    assert {extra for row in LISTED.values() for extra in row["for"].split()} == set(asked_for())


def test_every_licence_of_what_the_program_runs_with_is_said() -> None:
    unsaid = {name: row["for"] for name, row in LISTED.items() if row["licence"] == "not said"}
    assert all(set(extras.split()) <= {"test", "proof", "bench"} for extras in unsaid.values())
    assert all(row["licence"] for row in LISTED.values())


def test_the_locked_set_is_the_tested_one_by_version_and_checksum() -> None:
    assert LOCKED[0].startswith("#")
    found = [LINE.fullmatch(line) for line in LOCKED[1:]]
    assert all(found)
    locked = {match["name"]: match["version"] for match in found if match}
    tested = {
        name: row["version"]
        for name, row in LISTED.items()
        if {"base", "test"} & set(row["for"].split())
    }
    assert locked == tested
