"""The three verdicts and the gravest of several."""

from __future__ import annotations

import pytest

from fitcheck.verdicts import VERDICTS, worst


def test_worst_of_two() -> None:
    assert [worst(a, b) for a in VERDICTS for b in VERDICTS] == [
        "go",
        "check",
        "no-go",
        "check",
        "check",
        "no-go",
        "no-go",
        "no-go",
        "no-go",
    ]


def test_nothing_judged_is_go_and_no_other_word_passes() -> None:
    assert worst() == "go"
    with pytest.raises(ValueError, match="not in tuple"):
        worst("go", "maybe")
