"""No line is the same part while it says something that nobody has read."""

from __future__ import annotations

import pytest

from fitcheck.lists.also_said import also_said
from fitcheck.lists.cross import Crossed, cross
from fitcheck.lists.describe import Describer
from fitcheck.lists.source import rows_source
from fitcheck.lists.wanted import wanted_lines

WHOLE = "oil seal 35x52x7 NBR double lip for oil bidirectional"
MORE = (
    *("with flange", ", external lip", "split", "cassette", "used", "(obsolete)", "with sleeve"),
    *("plastic case", "imperial", "(inch)", "ID 35.5", "not for rotary use", "for shaft 36"),
    *("high pressure 10 bar", "+0.5 oversize", "similar", "ca.", "lip only", "set of 4", "-10"),
)


def ask(text: str, *listed: str) -> Crossed:
    describer = Describer()
    rows = [
        {"line": line, "description": words, **describer.read(words).fields()}
        for line, words in enumerate(listed, start=2)
    ]
    (answer,) = cross(wanted_lines([text]), rows_source({"north": rows}))
    return answer


@pytest.mark.parametrize(
    "listed",
    [
        *(f"{WHOLE} {words}" for words in MORE),
        *(WHOLE.replace("oil seal", words) for words in ("dummy oil seal", "half oil seal")),
        *(WHOLE.replace("seal 3", f"seal {words}3") for words in ("housing ", "protector ", "~")),
        WHOLE.replace("x7", "x7/9"),
    ],
)
def test_what_is_not_read_of_a_line_is_asked_for(listed: str) -> None:
    answer = ask(WHOLE, listed)
    assert (answer.verdict, answer.grade) == ("check", "same-ask")
    assert "the list also says" in answer.alternatives[0].questions[0]


@pytest.mark.parametrize(
    "listed",
    [
        WHOLE,
        "Shaft seal, 35 x 52 x 7 mm, double lip, for oil, both directions, NBR 70 DIN 3760",
        "WDR 35x52x7 NBR doppellippe, für Öl, beide Drehrichtungen",
    ],
)
def test_what_is_read_whole_is_the_same(listed: str) -> None:
    answer = ask(WHOLE, listed)
    assert (answer.verdict, answer.grade, answer.reasons) == ("go", "same", ())


def test_lines_that_are_the_same_stand_before_those_that_say_more() -> None:
    answer = ask(WHOLE, f"{WHOLE} used", WHOLE)
    assert [a.line.line for a in answer.alternatives] == [3, 2]


@pytest.mark.parametrize("words", ["used", "cage", "half", "copy", "-A", "with seal"])
def test_a_bearing_that_says_more_is_asked_for(words: str) -> None:
    assert ask("30206", f"taper bearing 30206 {words}".replace(" -", "-")).verdict == "check"


@pytest.mark.parametrize(
    ("text", "words"), [(f"{WHOLE} with flange", "FLANGE"), ("bearing 30206 sealed", "SEALED")]
)
def test_what_is_not_read_of_a_wanted_line_is_asked_for(text: str, words: str) -> None:
    answer = ask(text, WHOLE, "bearing 30206")
    assert answer.verdict == "check"
    assert f"{words}: not read; ask what it means" in answer.reasons[0]


def test_the_part_number_in_the_text_is_nothing_more() -> None:
    assert also_said("A-0012 bearing 02475-02420", "02475/02420", "A-0012") == ()
