"""What a wanted line leaves open: choices, numbers nobody read, rings that are no pair, zeros."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.lists.cross import Crossed, cross
from fitcheck.lists.source import rows_source
from fitcheck.lists.wanted import wanted_lines


def listed(line: int, **fields: Any) -> dict[str, Any]:
    return {"line": line, "part_number": f"N{line}", **fields}


def sealed(line: int, width: int, **fields: Any) -> dict[str, Any]:
    sizes = {"shaft_um": 35_000, "bore_um": 52_000, "width_um": width * 1000, "system": "metric"}
    return listed(line, kind="seal", **sizes, **fields)


SHOP = rows_source(
    {
        "north": [
            sealed(2, 7, material="NBR", lip="double", lubricant="oil", direction="both"),
            sealed(3, 10),
            sealed(4, 8, part_number="0035528"),
            listed(5, kind="bearing", designation="15123"),
            listed(6, kind="bearing", designation="14276"),
            listed(7, kind="bearing", designation="02475/02420"),
            listed(8, kind="bearing", designation="30206"),
            listed(9, kind="bearing", designation="32206"),
        ]
    }
)


def ask(text: str) -> Crossed:
    (answer,) = cross(wanted_lines([text]), SHOP)
    return answer


@pytest.mark.parametrize("text", ["15123/14276", "bearing 15123 / 14276", "cup 14276 cone 15123"])
def test_rings_that_are_no_pair_are_named_with_their_partners(text: str) -> None:
    answer = ask(text)
    assert (answer.verdict, answer.grade) == ("no-go", "nothing")
    assert "cone 15123 runs in cup 15245; cup 14276 takes cone 14125A" in answer.reasons[-1]


@pytest.mark.parametrize("text", ["1,250", "1.250", "35,000"])
def test_a_number_of_two_readings_is_refused_with_both(text: str) -> None:
    answer = ask(text)
    assert answer.verdict == "refused"
    assert "can be read as" in answer.reasons[0]
    assert " or as " in answer.reasons[0]


def test_lost_zeros_are_said() -> None:
    answer = ask("2475")
    assert answer.verdict == "check"
    assert "taken for 02475: leading zeros may be lost" in answer.reasons[0]
    assert ask("2475/2420").reasons[0].endswith("02475/02420 is listed")


@pytest.mark.parametrize(
    ("text", "number"), [("35x52x7 10", "10"), ("3 35x52x7", "3"), ("seal 35x52x7 36", "36")]
)
def test_a_number_beside_a_size_is_asked_for(text: str, number: str) -> None:
    answer = ask(text)
    assert answer.verdict == "check"
    assert f"{number}: not read beside the size; ask what it stands for" in answer.reasons


def test_numbers_that_are_explained_are_not_asked_for() -> None:
    answer = ask("oil seal DIN 3760 35x52x7 NBR 70 double lip for oil bidirectional 2 pcs")
    assert (answer.verdict, answer.want.quantity) == ("go", 2)


@pytest.mark.parametrize(
    ("text", "read_as"),
    [
        ("35x52x7 or 35x52x10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("seal 35x52x7 oder 10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("30206 or 32206", ("30206 (30 x 62 x 17.25)", "32206 (30 x 62 x 21.25)")),
    ],
)
def test_a_choice_is_answered_for_each(text: str, read_as: tuple[str, ...]) -> None:
    answer = ask(text)
    assert answer.verdict == "check"
    assert answer.read_as == read_as
    assert any("ask which is meant" in reason for reason in answer.reasons)
    assert {a.grade for a in answer.alternatives[:2]} == {"same-ask"}


def test_a_number_of_another_size_than_the_one_written_is_said() -> None:
    answer = ask("oil seal 0035528 35x52x7 double lip for oil bidirectional")
    assert answer.verdict == "check"
    assert "0035528 is 35 x 52 x 8 in a list" in answer.reasons


def test_why_nothing_was_read_is_said() -> None:
    reasons = ask("35x52x7, 35x52x10").reasons
    assert "more than one size" in reasons[0]
