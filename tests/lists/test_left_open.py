"""What a wanted line leaves open: choices, numbers nobody read, rings that are no pair, zeros."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.lists.cross import Crossed, cross
from fitcheck.lists.source import LineSource, rows_source
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


def ask(text: str, shop: LineSource = SHOP) -> Crossed:
    (answer,) = cross(wanted_lines([text]), shop)
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


def test_a_line_of_just_that_number_is_said_though_it_tells_no_size() -> None:
    bare = listed(2, kind="bearing") | {"part_number": "2475"}
    cone = listed(3, kind="bearing", designation="02475") | {"part_number": "02475"}
    answer = ask("2475", rows_source({"n": [bare, cone]}))
    assert "2475 in n is listed too, without a size: look which is meant" in answer.reasons


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
        ("35-52-7 or 35-52-10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35/52/7 oder 35/52/10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35 52 7 or 35 52 10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35-52-7 or 10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35mm x 52mm x 7mm or 10mm", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35x52x7 and/or 35x52x10", ("35 x 52 x 7", "35 x 52 x 10")),
        ("35x52x7 (or 35x52x10)", ("35 x 52 x 7", "35 x 52 x 10")),
    ],
)
def test_a_choice_is_answered_for_each(text: str, read_as: tuple[str, ...]) -> None:
    answer = ask(text)
    assert answer.verdict == "check"
    assert answer.read_as == read_as
    assert any("ask which is meant" in reason for reason in answer.reasons)
    assert {a.grade for a in answer.alternatives[:2]} == {"same-ask"}


@pytest.mark.parametrize(
    "text",
    ["35 or 36 x 52 x 7", "30206 or 32206 or 30207 or 30208 or 30209", "35 shaft 52 bore 7 or 8"],
)
def test_a_choice_that_is_not_resolved_is_asked_for(text: str) -> None:
    answer = ask(text)
    assert answer.verdict == "check"
    assert f"{text}: more than one is named; ask which is meant" in answer.reasons


def test_or_between_words_is_no_choice_of_sizes() -> None:
    for text in ("35x52x7 or similar", "seal 35x52x7 NBR or FKM"):
        assert not any("more than one is named" in reason for reason in ask(text).reasons)


def test_a_bearing_or_a_seal_is_a_choice() -> None:
    answer = ask("30206 or 35x52x7")
    assert answer.verdict == "check"
    assert answer.read_as == ("30206 (30 x 62 x 17.25)", "35 x 52 x 7")


@pytest.mark.parametrize("text", ["35-52-7, 35-52-10", "35/52/7 35/52/10"])
def test_two_sizes_with_strokes_are_none(text: str) -> None:
    answer = ask(text)
    assert (answer.grade, answer.alternatives) == ("nothing", ())
    assert "more than one size" in answer.reasons[0]


def test_a_size_beside_another_is_asked_for() -> None:
    assert "35-52-7: another size is named; ask which is meant" in ask("35-52-7 / 35x52x10").reasons
    assert not any("another size" in reason for reason in ask("35x52x7 12-05-2024").reasons)


def test_a_number_of_another_size_than_the_one_written_is_said() -> None:
    answer = ask("oil seal 0035528 35x52x7 double lip for oil bidirectional")
    assert answer.verdict == "check"
    assert "0035528 is 35 x 52 x 8 in a list" in answer.reasons


def test_why_nothing_was_read_is_said() -> None:
    reasons = ask("35x52x7, 35x52x10").reasons
    assert "more than one size" in reasons[0]
