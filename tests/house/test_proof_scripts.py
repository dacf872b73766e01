"""The scripts that prove things: what is changed in a mutant, and what an audit says."""

from __future__ import annotations

import importlib.util
import sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]


def script(name: str) -> ModuleType:
    """A script as a module."""
    loader = SourceFileLoader(f"script_{name}", str(ROOT / "scripts" / name))
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[loader.name] = module
    loader.exec_module(module)
    return module


MUTATE, AUDIT = script("mutate"), script("audit")


def changes(source: str) -> set[tuple[str, str]]:
    """Each change that is made in a module."""
    return {(m.before, m.after) for m in MUTATE.mutants(source, name="some.py")}


def lines(source: str) -> set[tuple[str, str, str]]:
    """Each change with the line that it is made in."""
    return {(m.text, m.before, m.after) for m in MUTATE.mutants(source, name="some.py")}


@pytest.mark.parametrize(
    ("source", "made"),
    [
        ("x = a < b", {("a < b", "a <= b"), ("a < b", "a >= b")}),
        ("x = a + b * c", {("a + b * c", "a - b * c"), ("b * c", "b / c")}),
        ("x = a and not b", {("a and (not b)", "a or not b"), ("not b", "b")}),
        ("x = 2", {("2", "3")}),
        ("x = max(a, b)", {("max(a, b)", "min(a, b)")}),
        ("check(a)", {("check(a)", "pass")}),
        ("if a:\n    raise E(f'{1}')", {("if a:", "if not a:"), ("raise E(f'{1}')", "pass")}),
    ],
)
def test_one_thing_is_changed_at_a_time(source: str, made: set[tuple[str, str]]) -> None:
    assert made <= changes(source)


@pytest.mark.parametrize(
    "source",
    ['"""Doc 1."""', "x: list[int]", "assert a", "x = f'{a + 1}'", "x = 'a' + b", "x = 'text'"],
)
def test_texts_and_annotations_stay(source: str) -> None:
    assert changes(source) == set()


def test_a_mutant_runs_as_what_it_says() -> None:
    (less, _) = MUTATE.mutants("x = 1 < 1", name="some.py")[:2]
    held: dict[str, Any] = {}
    exec(less.code, held)
    assert (less.after, held["x"]) == ("1 <= 1", True)


def test_every_survivor_that_is_listed_is_of_a_module_that_is_tried() -> None:
    known = MUTATE.known()
    assert {module for module, *_ in known} <= set(MUTATE.TESTS)
    assert all(known.values())
    for module in {module for module, *_ in known}:
        made = lines((ROOT / module).read_text(encoding="utf-8"))
        gone = [key for key in known if key[0] == module and key[1:] not in made]
        assert gone == [], f"{module} is no longer so: run scripts/mutate --only {module}"


def report(*vulns: list[dict[str, Any]] | None) -> dict[str, Any]:
    """What pip-audit would write of some packages; None could not be looked up."""
    return {
        "dependencies": [
            {"name": f"p{number}", "version": "1", **({} if found is None else {"vulns": found})}
            for number, found in enumerate(vulns)
        ]
    }


@pytest.mark.parametrize(
    ("found", "status", "last"),
    [
        (report([], []), 0, "2 of 2 packages looked up, 0 known"),
        (report([], None), 2, "1 could not be looked up, and nothing is known of them: p1"),
        (report(None, None), 2, "2 could not be looked up, and nothing is known of them: p0, p1"),
        (
            report([], [{"id": "X-1", "fix_versions": ["2"]}]),
            1,
            "2 of 2 packages looked up, 1 known",
        ),
    ],
    ids=["clean", "part unknown", "all unknown", "known"],
)
def test_what_was_not_looked_up_is_not_called_clean(
    found: dict[str, Any], status: int, last: str
) -> None:
    lines, ended = AUDIT.told(found, locked=2)
    assert (ended, lines[-1]) == (status, last)
    if status == 1:
        assert lines[0] == "p1 1: X-1, mended in 2"
