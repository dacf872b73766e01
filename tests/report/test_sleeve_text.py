"""The ways out of a worn counterface as text."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.sleeve import SleeveRequest, answer
from fitcheck.report.sleeve_text import sleeve_text, ways_text


def found(**options: Any) -> dict[str, Any]:
    """An answer about a counterface."""
    given: dict[str, Any] = {"shaft": "34.97@micrometer", "track": "34.71@micrometer", **options}
    return answer(SleeveRequest(**given))


@pytest.mark.parametrize("every", [False, True])
@pytest.mark.parametrize("inches", [False, True])
def test_every_line_fits_and_can_be_seen(every: bool, inches: bool) -> None:
    text = sleeve_text(found(seal="35 x 52 x 7", rpm="300rpm"), inches=inches, every=every)
    assert all(len(line) <= 80 and line.isprintable() for line in text.split("\n"))


def test_the_ways_are_numbered_in_their_order() -> None:
    data = found(seal="35 x 52 x 7")
    text = ways_text(data)
    heads = [f"  {n}. {w['way'].replace('-', ' ')}: " for n, w in enumerate(data["ways"], start=1)]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)


def test_every_source_cited_is_listed() -> None:
    data = found(seal="35 x 52 x 7")
    text = ways_text(data, every=True)
    for number in range(1, len(data["sources"]) + 1):
        assert f"  [{number}]" in text


def test_cautions_close_the_whole_text_and_are_left_out_of_the_part() -> None:
    data = found()
    assert "\nCautions\n" in sleeve_text(data)
    assert "\nCautions\n" not in ways_text(data)


def test_a_depth_not_measured_is_not_printed() -> None:
    text = sleeve_text(found(track="", pitted=True))
    assert "groove" not in text.split("\n")[1]
    assert "None" not in text


def test_what_is_to_be_heeded_is_no_step_of_the_work() -> None:
    text = ways_text(found(seal="35 x 52 x 7"))
    assert "! Do not heat the sleeve." in text
    assert "! Do not fit a sleeve over keyways" in text
    numbered = [
        line for line in text.split("\n") if line.lstrip()[:2] in {f"{n})" for n in range(9)}
    ]
    assert numbered
    assert not any("heat" in line.lower() or "keyway" in line.lower() for line in numbered)
