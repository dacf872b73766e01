"""Docstrings are a promise: they are there, name every parameter and give its unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "fitcheck").rglob("*.py"))

# The last part of a name tells the unit, and the docstring gives it in brackets.
UNITS = {
    "mm": {"mm"},
    "um": {"um"},
    "in": {"in"},
    "n": {"N"},
    "nm": {"N.m"},
    "mpa": {"MPa"},
    "bar": {"bar"},
    "c": {"C"},
    "k": {"K"},
    "l": {"l", "L"},
    "mps": {"m/s"},
    "rpm": {"rpm", "1/min"},
}
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Found:
    """A public function and where it stands."""

    path: Path
    name: str
    node: Function

    def __str__(self) -> str:
        return f"{self.path.relative_to(ROOT / 'fitcheck')}:{self.name}"


def functions() -> Iterator[Found]:
    """Every public function and method of a public class; nested functions are nobody's."""
    for path in MODULES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in tree.body:
            if isinstance(node, Function) and not node.name.startswith("_"):
                yield Found(path, node.name, node)
            elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                for inner in node.body:
                    if isinstance(inner, Function) and not inner.name.startswith("_"):
                        yield Found(path, f"{node.name}.{inner.name}", inner)


FUNCTIONS = list(functions())


def is_command(node: Function) -> bool:
    """A command's docstring is its help: its parameters are options with help of their own."""
    return any(
        re.search(r"\b(command|group)\b", ast.unparse(decorator))
        for decorator in node.decorator_list
    )


def float_parameters(node: Function) -> list[str]:
    """The keyword-only parameters that take a float."""
    return [
        argument.arg
        for argument in node.args.kwonlyargs
        if argument.annotation is not None
        and re.search(r"\bfloat\b", ast.unparse(argument.annotation))
    ]


def described(docstring: str) -> dict[str, str]:
    """The Parameters section: each name with its type and text."""
    found = re.search(r"^Parameters\n-+\n(.*?)(?=^\w[^\n]*\n-{3,}|\Z)", docstring, re.M | re.S)
    entries: dict[str, str] = {}
    names: list[str] = []
    for line in (found[1] if found else "").splitlines():
        head = re.match(r"([\w*]+(?:, [\w*]+)*)(?: :.*)?$", line)
        if head:
            names = head[1].split(", ")
        for name in names:
            entries[name] = entries.get(name, "") + line + "\n"
    return entries


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_module_says_what_it_is_for(path: Path) -> None:
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("found", FUNCTIONS, ids=str)
def test_every_public_function_says_what_it_does(found: Found) -> None:
    assert ast.get_docstring(found.node)


MEASURED = [f for f in FUNCTIONS if float_parameters(f.node) and not is_command(f.node)]


@pytest.mark.parametrize("found", MEASURED, ids=str)
def test_functions_of_floats_describe_every_parameter_with_its_unit(found: Found) -> None:
    entries = described(ast.get_docstring(found.node) or "")
    arguments = found.node.args
    names = [a.arg for a in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)]
    missing = [name for name in names if name not in {*entries, "self", "cls"}]
    assert missing == [], "not described under Parameters"
    extra = [name for name in entries if name.lstrip("*") not in names and not name.startswith("*")]
    assert extra == [], "described, and no parameter"
    for name in float_parameters(found.node):
        units = UNITS.get(name.rpartition("_")[2]) if "_" in name else None
        if units:
            given = re.findall(r"\[([^\]]+)\]", entries[name])
            assert units & set(given), f"{name}: the text must give its unit, {units}, in brackets"
