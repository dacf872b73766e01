"""Text for a terminal: 80 columns, one line a line, nothing that moves the cursor."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import printable
from fitcheck.report.text import (
    WIDTH,
    bullets,
    cautions_text,
    checks_text,
    heading,
    identification_text,
    paragraph,
    sources_text,
    with_tool,
)

CANDIDATE = {
    "size": "35 x 52 x 7",
    "series": ["DIN 3760"],
    "probability": 0.98,
    "verdict": "go",
    "reasons": ["bore 52 mm: within 52.000 to 52.046 mm"],
    "source": "DIN 3760, Table 1",
}
ANSWER: dict[str, Any] = {
    "verdict": "go",
    "reasons": ["35 x 52 x 7 stands at 98.0 % and every reading holds"],
    "candidates": [CANDIDATE],
    "unlisted": 0.02,
    "others": 0.0,
    "findings": [],
    "next_reading": None,
}


def shown(**changes: Any) -> str:
    """An answer about a seal as text."""
    return identification_text({**ANSWER, **changes}, what="seal", label="size")


def visible(text: str) -> bool:
    """Whether every character of a text but the line ends can be seen."""
    return all(character.isprintable() or character == "\n" for character in text)


@given(st.text())
def test_no_text_reaches_the_terminal_with_what_cannot_be_seen(text: str) -> None:
    assert printable(text).isprintable()
    assert visible(paragraph(text, indent="  "))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("hub\x1b[31m", "hub\\x1b[31m"),
        ("one\ntwo\tthree", "one two three"),
        ("\x07bell", "\\x07bell"),
        ("right\u202eleft", "right\\u202eleft"),
        ("\x9b31m", "\\x9b31m"),
        ("Größe 35 x 52", "Größe 35 x 52"),
    ],
)
def test_what_cannot_be_seen_is_shown_by_its_code(text: str, wanted: str) -> None:
    assert printable(text) == wanted


@given(st.text(max_size=400), st.sampled_from(["", "  - ", " " * 13]))
def test_every_line_fits(text: str, indent: str) -> None:
    for line in paragraph(text, indent=indent, hanging=" " * len(indent)).split("\n"):
        assert len(line) <= WIDTH


@given(st.integers(min_value=0, max_value=70))
def test_sizes_and_numbers_with_their_unit_are_never_broken(before: int) -> None:
    lead = "n" * before
    for whole in ("1.375 x 2.125 x 0.313 in", "35 x 52 x 7", "34.92 mm", "98.0 %", "0.3 bar"):
        assert whole in paragraph(f"{lead} {whole} and more")


def test_bullets_hang_under_their_mark() -> None:
    lines = bullets(["word " * 30], mark="*")[0].split("\n")
    assert lines[0].startswith("  * word")
    assert all(line.startswith("    word") for line in lines[1:])


def test_a_heading_keeps_its_own_indent_and_is_wrapped() -> None:
    assert heading("  1. thin sleeve: GO") == "\n  1. thin sleeve: GO"
    assert all(len(line) <= WIDTH for line in heading("long " * 40).split("\n"))


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        ("", ""),
        ("eye", ", by eye"),
        ("caliper", ", with a caliper"),
        ("indicator", ", with an indicator"),
        ("micrometer", ", with a micrometer"),
    ],
)
def test_an_instrument_has_its_article(tool: str, words: str) -> None:
    assert with_tool({"instrument": tool}) == words


def test_an_answer_reads_from_the_top() -> None:
    lines = shown().split("\n")
    assert lines[0] == "Seal: GO"
    assert lines[1] == "  - 35 x 52 x 7 stands at 98.0 % and every reading holds"
    assert "     98.0 %  35 x 52 x 7 (GO) DIN 3760" in lines
    assert "             - source: DIN 3760, Table 1" in lines
    assert "      2.0 %  no listed size" in lines


def test_an_answer_without_candidates_still_says_what_the_share_is_of() -> None:
    text = shown(verdict="no-go", candidates=[], unlisted=1.0)
    assert "Sizes that could be it\n   > 99.9 %  no listed size" in text


def test_the_rest_of_the_sizes_is_one_line() -> None:
    assert "     12.0 %  other listed sizes" in shown(others=0.12)
    assert "other listed sizes" not in shown(others=0.0001)


def test_findings_and_the_next_reading_are_named() -> None:
    text = shown(
        verdict="check",
        findings=[{"finding": "earlier-sleeve", "probability": 0.9, "reason": "shaft 35.5 mm"}],
        next_reading={"reading": "shaft", "instrument": "micrometer", "reason": "read the land"},
    )
    assert "What else may explain the readings\n  - earlier-sleeve (90.0 %): shaft 35.5 mm" in text
    assert "Next: shaft, with a micrometer\n  read the land" in text


def test_small_candidates_are_one_line_each() -> None:
    small = {**CANDIDATE, "size": "36 x 52 x 7", "probability": 0.01, "verdict": "no-go"}
    text = shown(candidates=[CANDIDATE, small])
    assert text.count("source:") == 1
    assert "      1.0 %  36 x 52 x 7 (NO-GO) DIN 3760" in text


def test_look_alikes_are_shown() -> None:
    alike = {"other": "32206", "differs": "width", "how_to_tell": "measure it", "source": "x"}
    text = shown(candidates=[{**CANDIDATE, "differs_from": [alike]}])
    assert "- beside 32206: width; measure it" in text


def test_checks_show_what_would_settle_them() -> None:
    check = {
        "what": "seal bore",
        "verdict": "check",
        "reason": "too coarse",
        "advice": "bore it out",
        "read_again": "bore: take it with a bore gauge",
        "source": "ISO 6194-1",
    }
    text = checks_text([check], title="Seats", name="what")
    assert "  CHECK: seal bore\n    too coarse\n    work: bore it out\n" in text
    assert "    read again: bore: take it with a bore gauge\n    source: ISO 6194-1" in text
    good = checks_text([{**check, "verdict": "go"}], title="Seats", name="what")
    assert "work:" not in good
    assert "read again:" not in good


@pytest.mark.parametrize("empty", [cautions_text([]), sources_text([])])
def test_empty_sections_are_left_out(empty: str) -> None:
    assert empty == ""


def test_no_checks_is_no_section() -> None:
    assert checks_text([], title="Seats", name="what") == ""


def test_sections_have_their_marks() -> None:
    assert cautions_text(["Stand clear."]) == "\nCautions\n  ! Stand clear."
    assert sources_text(["ISO 286-2"]).endswith("\n  - ISO 286-2")
