"""`fitcheck part KIND`: the options come from the tables, the answer from the one way through."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from fitcheck.cli.part import part, part_command
from fitcheck.parts.asked import options
from fitcheck.parts.kind import kind, kind_names
from fitcheck.tables import table

Run = Callable[..., tuple[int, str, str]]
COMMON = {"mark", "list", "no-offers", "top", "certainty", "unit", "json"}


@pytest.mark.parametrize("name", kind_names())
def test_every_family_answers_its_own_example(run: Run, name: str) -> None:
    words = kind(name).example.split()
    status, out, err = run("part", name, *words, "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert found["kind"] == name
    assert found["candidates"]
    status, out, err = run("part", name, *words)
    assert (status, err) == (0, "")
    assert out.startswith(f"{found['title'][:1].upper()}{found['title'][1:]}: ")
    assert max(len(line) for line in out.splitlines()) <= 80


@pytest.mark.parametrize("name", kind_names())
def test_the_options_are_the_places_and_what_else_is_asked(name: str) -> None:
    found = {option.opts[0].removeprefix("--") for option in part_command(name).params}
    places = {row.text("place") for row in table(f"{name}/places").rows}
    asked = {option.name for option in options(name)}
    assert found == places | asked | COMMON


def test_the_group_lists_every_family(run: Run) -> None:
    status, out, _ = run("part", "--help")
    assert status == 0
    assert [name for name in kind_names() if f"  {name} " not in out] == []
    assert set(part.commands) == set(kind_names())


def test_the_word_part_may_be_left_out(run: Run) -> None:
    words = ("--bore", "25", "--od", "52", "--width", "15", "--json")
    assert run("ball", *words) == run("part", "ball", *words)


def test_commands_come_before_families(run: Run) -> None:
    status, out, _ = run("seal", "--help")
    assert status == 0
    assert "Usage: fitcheck seal" in out


def test_a_mistyped_family_is_answered_with_the_nearest(run: Run) -> None:
    status, _, err = run("part", "bushng", "--shaft", "20")
    assert status == 2
    assert "Did you mean 'bushing'?" in err


def test_inches_are_shown_in_inches(run: Run) -> None:
    status, out, _ = run(
        "oring", "--id", "0.984", "--section", "0.139", "--mark", "214", "--unit", "in"
    )
    assert status == 0
    assert "AS568-214" in out
    assert "within 0.974 to 0.994 in (24.740 to 25.248 mm)" in " ".join(out.split())
