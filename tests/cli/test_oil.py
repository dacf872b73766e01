"""`fitcheck oil` as a person and as a program use it."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]


def test_oil_as_json(run: Run) -> None:
    status, out, err = run("oil", "--volume", "4l", "--fill", "0.7", "--shaft", "80", "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert (found["verdict"], found["fill_fraction"], found["volume_l"]) == ("no-go", 0.7, 2.8)
    assert (round(found["pressure_bar"], 2), found["limit_bar"]) == (0.34, 0.3)


def test_oil_as_text(run: Run) -> None:
    status, out, err = run("oil", "--diameter", "240", "--length", "150", "--shaft", "80")
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Oil: GO"
    for line in (
        "  put in    3.39 l of 6.79 l",
        "  level     120 mm over the lowest point",
        "  pressure  0.26 bar at 80 C",
        "  limit     0.30 bar",
        "  at most   53% full; the lip holds 62% at the very most",
        "   70%  4.75 l  0.34 bar  NO-GO",
        "Cautions",
        "Sources",
    ):
        assert line in lines
    assert max(len(line) for line in lines) <= 80


def test_an_inch_shop_reads_inches_and_quarts(run: Run) -> None:
    _, out, _ = run("oil", "--unit", "in", "--diameter", "9.5", "--length", "6", "--shaft", "3.5")
    lines = out.splitlines()
    assert "  put in    3.68 US qt (3.48 l) of 7.37 US qt (6.97 l)" in lines
    assert "  level     4.75 in (120.65 mm) over the lowest point" in lines
    assert "  pressure  3.77 psi (0.26 bar) at 176 F (80 C)" in lines
    assert "  limit     4.35 psi (0.30 bar)" in lines


def test_a_cavity_in_another_unit_is_asked_about(run: Run) -> None:
    for words in (
        ("--diameter", "9.5", "--length", "6"),
        ("--volume", "4000l"),
        ("--volume", "1ml"),
    ):
        status, out, err = run("oil", *words)
        assert (status, out) == (2, "")
        assert "hubs have 0.01 to 1000 l. Check the units" in err


def test_no_level_passes_as_text(run: Run) -> None:
    _, out, _ = run("oil", "--volume", "4l", "--shaft", "80", "--to-temp", "110C")
    lines = out.splitlines()
    assert "  at most   no level passes; vent it" in lines
    assert "  which is  2.00 l of 4.00 l" in lines
    assert not any(line.startswith("  put in") for line in lines)


def test_a_full_hub_has_no_head_space(run: Run) -> None:
    _, out, _ = run("oil", "--fill", "1")
    assert "  pressure  no head-space at 80 C" in out.splitlines()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--fill", "50"), "Did you mean 50%?"),
        (("--diameter", "100", "--length", "50", "--level", "120"), "above the top"),
    ],
)
def test_wrong_usage(run: Run, words: tuple[str, ...], message: str) -> None:
    status, out, err = run("oil", *words)
    assert (status, out) == (2, "")
    assert message in err
