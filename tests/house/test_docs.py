"""Nothing that is written about the commands can drift: every shown command is run."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import click
import pytest

from fitcheck.cli.main import COMMANDS

ROOT = Path(__file__).parents[2]
DOCUMENTS = [path for path in (ROOT / "README.md", ROOT / "DEVELOPERS.md") if path.exists()]
PROMPT = "$ "
ELISION = "..."
RUNNABLE = re.compile(
    r"(?:\.venv/bin/)?fitcheck\b|(?:cat|printf|echo) .*\| (?:\.venv/bin/)?fitcheck\b"
)


@dataclass(frozen=True)
class Shown:
    """A command in a document, with the output that stands below it."""

    place: str
    command: str
    output: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.place} {self.command}"


def shown_in(path: Path) -> list[Shown]:
    """The commands in a document's ```console blocks."""
    found: list[Shown] = []
    inside = False
    lines = path.read_text(encoding="utf-8").splitlines()
    number = 0
    while number < len(lines):
        line = lines[number]
        number += 1
        if line.startswith("```"):
            inside = not inside and line.strip() == "```console"
        elif inside and line.startswith(PROMPT):
            place, command = f"{path.name}:{number}", line.removeprefix(PROMPT)
            while command.endswith("\\"):
                command = command[:-1] + lines[number].strip().removeprefix("> ")
                number += 1
            output = []
            while not lines[number].startswith(("```", PROMPT)):
                output.append(lines[number])
                number += 1
            found.append(Shown(place, command, tuple(output)))
    return found


def matches(shown: tuple[str, ...], printed: list[str]) -> bool:
    """Whether printed lines are the shown ones, where a line `...` stands for any lines."""
    if not shown:
        return not printed
    if shown[0].strip() == ELISION:
        return any(matches(shown[1:], printed[i:]) for i in range(len(printed) + 1))
    return bool(printed) and shown[0] == printed[0] and matches(shown[1:], printed[1:])


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A place to run commands in: the data as in a checkout, and `fitcheck` on the path."""
    folder = tmp_path_factory.mktemp("bench")
    (folder / "data").symlink_to(ROOT / "data")
    binaries = folder / ".venv" / "bin"
    binaries.mkdir(parents=True)
    script = binaries / "fitcheck"
    python = shlex.quote(sys.executable)
    script.write_text(f'#!/bin/sh\nexec {python} -m fitcheck.cli.main "$@"\n', encoding="utf-8")
    script.chmod(0o755)
    return folder


def run(command: str, bench: Path) -> subprocess.CompletedProcess[str]:
    """Run a command line as a reader would type it."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith("FITCHECK_")}
    environment |= {
        "PATH": f"{bench / '.venv' / 'bin'}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "COLUMNS": "80",
        # The shop's store of the bench, never that of whoever runs the tests.
        "XDG_DATA_HOME": str(bench / "shop"),
    }
    return subprocess.run(
        ["bash", "-o", "pipefail", "-c", command],
        capture_output=True,
        text=True,
        check=False,
        cwd=bench,
        env=environment,
        stdin=subprocess.DEVNULL,
    )


SHOWN = [
    shown for document in DOCUMENTS for shown in shown_in(document) if RUNNABLE.match(shown.command)
]


@pytest.mark.parametrize("shown", SHOWN, ids=str)
def test_a_documented_command_does_what_is_shown(shown: Shown, bench: Path) -> None:
    done = run(shown.command, bench)
    assert (done.returncode, done.stderr) == (0, "")
    if shown.output:
        printed = done.stdout.rstrip("\n").split("\n")
        wanted = list(shown.output)
        while wanted and not wanted[-1].strip():
            wanted.pop()
        assert matches(tuple(wanted), printed), done.stdout


def test_the_readme_shows_commands() -> None:
    readme = ROOT / "README.md"
    assert readme in DOCUMENTS
    assert any(RUNNABLE.match(shown.command) for shown in shown_in(readme))


def test_every_script_that_the_documents_name_is_there() -> None:
    named = {
        name
        for document in DOCUMENTS
        for name in re.findall(
            r"(?<![\w/])scripts/\w+(?:\.\w+)?", document.read_text(encoding="utf-8")
        )
    }
    # What is called by its name alone is run by it; what has a suffix need only be there.
    right = {True: os.F_OK, False: os.X_OK}
    assert [name for name in named if not os.access(ROOT / name, right["." in name])] == []


def test_the_documents_name_every_command() -> None:
    text = "".join(document.read_text(encoding="utf-8") for document in DOCUMENTS)
    assert [name for name in COMMANDS if f"fitcheck {name}" not in text] == []


# --- help ---------------------------------------------------------------------------------------


def commands() -> list[tuple[str, ...]]:
    """The words of every command and sub-command."""
    found = []
    for name, (place, _) in COMMANDS.items():
        module, _, attribute = place.partition(":")
        try:
            command = getattr(import_module(module), attribute)
        except ModuleNotFoundError:
            # The test that loads every command reports this one.
            continue
        found.append((name,))
        if isinstance(command, click.Group):
            found += [(name, inner) for inner in command.commands]
    return found


def help_of(words: tuple[str, ...], bench: Path) -> str:
    """What a command's --help prints."""
    done = run(shlex.join(["fitcheck", *words, "--help"]), bench)
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_help_carries_examples_that_run(words: tuple[str, ...], bench: Path) -> None:
    text = help_of(words, bench).replace("\\\n", " ")
    examples = [
        " ".join(line.split()) for line in text.splitlines() if RUNNABLE.match(line.strip())
    ]
    mine = " ".join(["fitcheck", *words])
    assert any(mine in example for example in examples), text
    for example in examples:
        done = run(example, bench)
        assert (done.returncode, done.stderr) == (0, ""), example


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_help_says_what_every_option_is_and_fits_eighty_columns(
    words: tuple[str, ...], bench: Path
) -> None:
    assert max(len(line) for line in help_of(words, bench).splitlines()) <= 80
    command: click.Command = getattr(import_module(f"fitcheck.cli.{words[0]}"), words[0])
    if len(words) > 1:
        assert isinstance(command, click.Group)
        command = command.commands[words[1]]
    options = [p for p in command.params if isinstance(p, click.Option)]
    assert [option.name for option in options if not option.help] == []


def test_elision_stands_for_any_lines() -> None:
    assert matches(("a", "...", "d"), ["a", "b", "c", "d"])
    assert matches(("a", "..."), ["a"])
    assert not matches(("a", "...", "d"), ["a", "b"])
    assert not matches(("a",), ["a", "b"])
