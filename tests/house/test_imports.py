"""Imports run one way, and the modules that judge know no file, database or page."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "fitcheck"
MODULES = sorted(PACKAGE.rglob("*.py"))

# A module may import from those before it and from its own, never from those after it.
ORDER = [
    "records",
    "errors",
    "extras",
    "archives",
    "verdicts",
    "units",
    "numerals",
    "quantities",
    "rows",
    "tables",
    "table_check",
    "readings",
    "limits_tables",
    "limits",
    "judging",
    "limits_verdict",
    "accounts",
    "marks",
    "parts",
    "findings",
    "likelihood",
    "unlisted",
    "identify",
    "advice",
    "assess",
    "setup",
    "job",
    "lists",
    "stock",
    "store",
    "report",
    "cli",
    "web",
]
JUDGES = {
    "judging",
    "limits_verdict",
    "accounts",
    "likelihood",
    "unlisted",
    "identify",
    "advice",
    "assess",
    "setup",
}
FILE_MODULES = {"os", "io", "pathlib", "csv", "json", "tomllib", "sqlite3", "shutil", "tempfile"}
FILE_CALLS = {"open", "read_text", "write_text", "read_bytes", "write_bytes"}


def part(path: Path) -> str:
    """The part of the package that a file belongs to: `limits`, `parts`, `cli` ..."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every module a file imports, inside functions too, with its line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: write imports in full"
            if node.module == "fitcheck":
                yield from ((node.lineno, f"fitcheck.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""


def ids(path: Path) -> str:
    """A file's name in a test's name."""
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_imports_run_one_way(path: Path) -> None:
    own = part(path)
    wrong = []
    for line, name in imported(ast.parse(path.read_text(encoding="utf-8"))):
        words = name.split(".")
        if words[0] != "fitcheck" or len(words) == 1 or words[1] not in ORDER:
            continue
        # A part without a place is another test's finding: here it may import nothing.
        place = ORDER.index(own) if own in ORDER else -1
        if ORDER.index(words[1]) > place:
            wrong.append(f"{ids(path)}:{line}: {own} imports {name}, which comes after it")
    assert wrong == []


def test_every_module_has_its_place_in_the_order() -> None:
    unplaced = {part(path) for path in MODULES} - {"__init__", *ORDER}
    assert unplaced == set(), "give them their place in ORDER, here and in DEVELOPERS.md"


def test_no_two_modules_import_each_other() -> None:
    graph: dict[str, set[str]] = {}
    for path in MODULES:
        words = [*path.relative_to(ROOT).with_suffix("").parts]
        own = ".".join(words).removesuffix(".__init__")
        tree = ast.parse(path.read_text(encoding="utf-8"))
        graph[own] = {name for _, name in imported(tree) if name.startswith("fitcheck.")}
    pairs = [(a, b) for a in graph for b in graph[a] if a < b and a in graph.get(b, set())]
    assert pairs == []


@pytest.mark.parametrize("path", [p for p in MODULES if part(p) in JUDGES], ids=ids)
def test_judges_open_no_file(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    wrong = [
        f"{ids(path)}:{line}: imports {name}"
        for line, name in imported(tree)
        if name.split(".")[0] in FILE_MODULES
    ]
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            name = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
            if name in FILE_CALLS:
                wrong.append(f"{ids(path)}:{node.lineno}: calls {name}")
    assert wrong == []
