"""What every command shares: an option of one value is said once, a measured one as often as read.

The output helpers are tested with the commands that print by them.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from importlib import import_module

import click
import pytest

from fitcheck.cli.common import Command, Group
from fitcheck.cli.main import COMMANDS

Run = Callable[..., tuple[int, str, str]]

# What is measured, by command: given several times it is several readings of one thing.
MEASURED = {
    "seal": "shaft track bore pocket old-od old-lip old-width groove-depth groove-width "
    "shaft-end bore-chamfer",
    "bearing": "bore od width cone-width cup-width thickness journal housing",
    "sleeve": "shaft track groove-depth groove-width lip-at room",
    "fit": "measured-hole measured-shaft",
    "press": "interface outer inner length interference outer-rz inner-rz pin",
    "shim": "measured pack-measured pull radius diameter base-drag span",
    "oil": "diameter length level shaft",
}


def commands() -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command with the words that lead to it, groups and what is in them included."""
    for name, (place, _) in COMMANDS.items():
        module, _, attribute = place.partition(":")
        found = getattr(import_module(module), attribute)
        yield (name,), found
        if isinstance(found, click.Group):
            yield from (((name, inner), command) for inner, command in found.commands.items())


def single_options() -> Iterator[tuple[tuple[str, ...], str]]:
    """Every option that takes one value."""
    for words, command in commands():
        for option in command.params:
            if isinstance(option, click.Option) and not (option.multiple or option.is_flag):
                yield words, option.opts[-1]


def test_every_command_is_one_of_the_house() -> None:
    assert all(isinstance(command, Command | Group) for _, command in commands())


@pytest.mark.parametrize(
    "case", list(single_options()), ids=lambda case: " ".join((*case[0], case[1]))
)
def test_an_option_of_one_value_is_refused_the_second_time(
    run: Run, case: tuple[tuple[str, ...], str]
) -> None:
    words, option = case
    status, out, err = run(*words, option, "1", option, "2")
    assert (status, out) == (2, "")
    assert f"Option '{option}' was given twice" in err


@pytest.mark.parametrize("command", MEASURED)
def test_what_is_measured_may_be_read_several_times(command: str) -> None:
    found = {name: command for (name, *rest), command in commands() if not rest}[command]
    multiple = {
        option.opts[-1].removeprefix("--")
        for option in found.params
        if isinstance(option, click.Option) and option.multiple
    }
    assert multiple >= set(MEASURED[command].split())


def test_both_spellings_of_an_option_are_that_option(run: Run) -> None:
    status, _, err = run("batch", "-", "-o", "a.csv", "--output", "b.csv")
    assert status == 2
    assert "'--output' was given twice" in err


def test_a_flag_says_the_same_twice(run: Run) -> None:
    once, twice = (run("oil", "--fill", "0.5", *flags) for flags in (["--json"], ["--json"] * 2))
    assert once == twice
    assert json.loads(once[1])["verdict"] == "go"


def test_a_value_that_looks_like_an_option_is_no_second_one(run: Run) -> None:
    status, _, err = run("fit", "30", "H7", "--measured-hole", "30.01", "--", "--unit")
    assert status == 2
    assert "twice" not in err


def test_readings_of_one_place_are_averaged(run: Run) -> None:
    words = ("press", "--outer", "90", "--length", "30", "--interference", "0.02", "--json")
    _, one, _ = run(*words, "--interface", "60.01")
    _, two, err = run(*words, "--interface", "60.02", "--interface", "60.00@caliper")
    assert err == ""
    first, second = json.loads(one), json.loads(two)
    assert first["force_n"] == pytest.approx(second["force_n"])
    depth = ("--groove-depth", "0.2", "--groove-depth", "0.3")
    _, out, _ = run("seal", "--shaft", "35", "--bore", "52", *depth, "--json")
    assert json.loads(out)["counterface"]["groove_depth_mm"] == pytest.approx(0.25)
