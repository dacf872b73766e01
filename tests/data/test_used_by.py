"""What a table says about who uses it is true: `usedBy` names commands, or says "for reading"."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fitcheck.parts.kind import kind_names

ROOT = Path(__file__).parents[2]
FOR_READING = ["for reading"]
# What parts/kind.py reads of every family, by its name.
OF_EVERY_FAMILY = {"places", "bands", "options", "advice"}
RESOURCES = {
    f"{package.parent.name}/{resource['name']}": resource["usedBy"]
    for package in sorted((ROOT / "data").glob("*/datapackage.json"))
    for resource in json.loads(package.read_text(encoding="utf-8"))["resources"]
}
SOURCES = sorted((ROOT / "fitcheck").rglob("*.py"))
TREES = [ast.parse(path.read_text(encoding="utf-8")) for path in SOURCES]


def texts() -> Iterator[str]:
    """Every text in the program."""
    for tree in TREES:
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value


def patterns() -> Iterator[re.Pattern[str]]:
    """Every text that is put together, as a pattern with its gaps."""
    for tree in TREES:
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [
                    re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"(\w+)"
                    for part in node.values
                ]
                if "/" in "".join(parts):
                    yield re.compile("".join(parts))


TEXTS, PATTERNS = set(texts()), list(patterns())


def is_read(name: str) -> bool:
    """Whether the program names the table, in whole or put together from words it holds."""
    folder, _, short = name.partition("/")
    if name in TEXTS or (folder in kind_names() and short in OF_EVERY_FAMILY):
        return True
    for pattern in PATTERNS:
        found = pattern.fullmatch(name)
        if found and name.startswith(pattern.pattern.partition("/")[0] + "/"):
            # Each gap is filled by a word the program holds.
            return all(word in TEXTS for word in found.groups())
    return False


@pytest.mark.parametrize("name", sorted(RESOURCES))
def test_a_table_is_used_or_for_reading(name: str) -> None:
    if RESOURCES[name] == FOR_READING:
        assert not is_read(name)
    else:
        assert is_read(name)
        assert all(user.startswith("fitcheck ") for user in RESOURCES[name])


def test_the_tables_kept_for_reading() -> None:
    assert {name for name, users in RESOURCES.items() if users == FOR_READING} >= {
        "fit_practice/principles",
        "lip/life",
        "seal_tolerances/reading_trust",
        "seal_tolerances/used_seal",
    }


def test_every_row_of_the_lips_duty_is_read() -> None:
    rows = (ROOT / "data/lip/duty.csv").read_text(encoding="utf-8").splitlines()[1:]
    names = {row.partition(",")[0] for row in rows}
    shares = {f"runout_share_{material}" for material in ("nbr", "fkm", "acm")}
    assert names - shares <= TEXTS
    assert shares <= names


@pytest.mark.parametrize("name", ["settings/limits", "oil/limits"])
def test_every_named_limit_is_read(name: str) -> None:
    rows = (ROOT / f"data/{name}.csv").read_text(encoding="utf-8").splitlines()[1:]
    names = {row.partition(",")[0] for row in rows}
    # The tolerance of a pack is asked for by its method.
    by_method = {f"{method}_tolerance_mm" for method in ("free_gap", "lead", "solder")}
    assert names - by_method <= TEXTS


@pytest.mark.parametrize("folder", ["counterface", "press"])
def test_every_named_limit_is_read_and_what_is_for_reading_is_not(folder: str) -> None:
    names = {
        name: {
            row.partition(",")[0]
            for row in (ROOT / f"data/{folder}/{name}.csv").read_text("utf-8").splitlines()[1:]
        }
        for name in ("limits", "background")
    }
    # The share of a strength is asked for by its kind, a heating cap by the use of the parts.
    built = {f"{kind}_share_{end}" for kind in ("strength", "brittle") for end in ("go", "limit")}
    uses = (ROOT / "data/press/uses.csv").read_text("utf-8")
    unread = {name for name in names["limits"] - TEXTS - built if f",{name}," not in uses}
    assert not unread
    assert not names["background"] & TEXTS
