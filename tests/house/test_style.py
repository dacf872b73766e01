"""House rules that no linter knows: lengths, the layout, and words that do not belong."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LONGEST_MODULE = 400
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "fitcheck", "data", "tests", "scripts"}
BUILT = {"build", "dist", "__pycache__"}
TEXT = {"", ".py", ".md", ".toml", ".json", ".csv", ".html", ".css", ".js", ".txt", ".yml", ".sql"}


def project_files() -> Iterator[Path]:
    """Every text file of the project, without what tools leave behind."""
    for top in sorted(ROOT.iterdir()):
        if top.name in TOP_LEVEL | {".ci", ".gitignore"}:
            for path in [top] if top.is_file() else sorted(top.rglob("*")):
                if path.is_file() and path.suffix in TEXT and not BUILT & set(path.parts):
                    yield path


FILES = list(project_files())
CODE = [
    path
    for path in FILES
    if path.suffix == ".py" or path.parent in (ROOT / "scripts", ROOT / ".ci")
]


def ids(path: Path) -> str:
    """A file's name in a test's name."""
    return str(path.relative_to(ROOT))


def test_the_top_level_holds_what_the_layout_names() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    left = {name for name in found - TOP_LEVEL - BUILT if not name.endswith(".egg-info")}
    assert left == set()


@pytest.mark.parametrize("path", [p for p in CODE if ROOT / "tests" not in p.parents], ids=ids)
def test_modules_are_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE


# Written in halves so that this file does not hold the words it looks for.
UNFINISHED = re.compile(
    "|".join(
        ["TO" + "DO", "FIX" + "ME", "XX" + "X", "NotImplemented" + "Error", "assert " + "True"]
    )
)
LEFT_OUT = re.compile(r"\bmark\.(skip|skipif|xfail)\b|\bpytest\.(skip|xfail)\(")
# No address outside this machine: what is installed comes by name, from where the machine says.
ADDRESS = re.compile(r"\b(?:https?|ftp)://(?!(?:localhost|127\.0\.0\.1|\[::1\])\b)[\w.-]+")
SCHEMA = re.compile(r"http:[/]{2}www\.w3\.org/")
REGISTRY = re.compile(
    r"--(extra-)?index-url|\b(pypi|pythonhosted|npmjs|debian|golang)\.(org|com)\b"
)


def lines_with(pattern: re.Pattern[str], files: list[Path]) -> list[str]:
    """The places where a pattern is found."""
    return [
        f"{ids(path)}:{number}: {line.strip()}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(SCHEMA.sub("", line))
    ]


def test_nothing_is_left_unfinished() -> None:
    assert lines_with(UNFINISHED, CODE) == []


def test_no_test_is_left_out() -> None:
    assert lines_with(LEFT_OUT, [path for path in CODE if path.suffix == ".py"]) == []


def test_no_address_of_a_registry_or_anything_else_outside() -> None:
    assert lines_with(ADDRESS, FILES) == []
    assert lines_with(REGISTRY, FILES) == []


def test_the_program_prints_through_click() -> None:
    printing = [
        f"{ids(path)}:{node.lineno}"
        for path in CODE
        if ROOT / "fitcheck" in path.parents
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "print"
    ]
    assert printing == []


def test_errors_are_the_programs_own() -> None:
    """What a user can cause is one of the few errors of `errors.py`, never a bare built-in."""
    raised = [
        f"{ids(path)}:{node.lineno}: {ast.unparse(node)}"
        for path in CODE
        if ROOT / "fitcheck" in path.parents
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call)
        if ast.unparse(node.exc.func) in {"Exception", "ValueError", "KeyError", "RuntimeError"}
    ]
    assert raised == []
