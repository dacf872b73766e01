"""`fitcheck sleeve`: what is printed, and with which exit status."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]
GOOD = ("--shaft", "34.97mm@micrometer", "--track", "34.71mm@micrometer")


def test_the_answer_reads_from_the_top(run: Run) -> None:
    status, out, err = run("sleeve", *GOOD)
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Counterface: GO"
    assert "groove 0.13 mm deep" in lines[1]
    assert "  1. thin sleeve: GO" in lines
    assert "     order: 1 x thin sleeve, 35.00 x 13" in lines
    assert "Sources" in lines
    assert "Cautions" in lines


@pytest.mark.parametrize(
    "words",
    [
        GOOD,
        (*GOOD, "--all", "--seal", "35 x 52 x 7", "--rpm", "1500rpm"),
        (*GOOD, "--groove-width", "1.2", "--lip-at", "20", "--room", "4", "--all"),
        ("--unit", "in", "--shaft", "2.248", "--track", "2.244", "--all"),
        ("--shaft", "34.97", "--track", "35.49"),
        ("--shaft", "34.97", "--track", "41.2"),
        ("--groove-depth", "0.4"),
        ("--shaft", "250", "--groove-depth", "0.2"),
        ("--shaft", "60.01", "--pitted", "--seal", "60x80x10"),
    ],
)
def test_the_text_fits_eighty_columns(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run("sleeve", *words)
    assert (status, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "None" not in out


def test_json_is_one_object_with_the_promised_keys(run: Run) -> None:
    status, out, err = run("sleeve", *GOOD, "--seal", "35x52x7", "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert found["verdict"] == "go"
    assert found["groove_depth_mm"] == 0.13
    assert found["ways"][0]["way"] == "thin-sleeve"
    assert found["ways"][0]["dimensions_mm"]["counterface"] == 35.478


@pytest.mark.parametrize(
    "words", [("--pitted", "--shaft", "35"), ("--shaft", "35", "--track", "41")]
)
def test_json_has_null_for_a_depth_that_is_not_known(run: Run, words: tuple[str, ...]) -> None:
    status, out, _ = run("sleeve", *words, "--json")
    assert status == 0
    assert json.loads(out)["groove_depth_mm"] is None


def test_inches_are_shown_when_inches_were_given(run: Run) -> None:
    out = run("sleeve", "--unit", "in", "--shaft", "2.248", "--track", "2.244")[1]
    assert "groove 0.0020 in (0.051 mm) deep" in out
    assert " in)" not in run("sleeve", *GOOD)[1]


def test_the_work_of_the_other_ways_is_shown_on_request(run: Run) -> None:
    short, full = run("sleeve", *GOOD)[1], run("sleeve", *GOOD, "--all")[1]
    assert "Heat the ring" not in short
    assert "Heat the ring" in full


def test_no_go_is_an_answer(run: Run) -> None:
    words = ("--shaft", "3.9mm@micrometer", "--groove-depth", "0.8mm")
    status, out, _ = run("sleeve", *words, "--seal", "3.9mm x 4.5mm x 2mm")
    assert status == 0
    assert out.startswith("Counterface: NO-GO\n")
    assert "replace it or have it built up" in out


@pytest.mark.parametrize(
    ("words", "wording"),
    [
        ((), "nothing was measured"),
        (("--track", "34.8"), "takes two diameters"),
        (
            ("--shaft", "35", "--groove-depth", "34.8"),
            "Give the diameter in the track with --track",
        ),
        (("--shaft", "34.92", "--track", "1.37"), "1.37in or as 1.37mm"),
        (("--shaft", "1,250", "--track", "34.8"), "1,250"),
        (("--shaft", "34.97", "--track", "35.9"), "a worn track is smaller"),
        (("--shaft", "35", "--track", "34.8", "--seal", "35x8x58"), "35 x 58 x 8"),
        (("--shaft", "35", "--track", "34.8", "--rpm", "fast"), "fast"),
    ],
)
def test_wrong_use_is_one_line_and_status_two(
    run: Run, words: tuple[str, ...], wording: str
) -> None:
    status, out, err = run("sleeve", *words)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")
    assert wording in err
    assert len(err.splitlines()) == 1


def test_an_unknown_option_is_wrong_use(run: Run) -> None:
    assert run("sleeve", "--groove", "0.1")[0] == 2
