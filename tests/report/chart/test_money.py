"""Money against complete jobs, drawn."""

from __future__ import annotations

import pytest

from fitcheck.errors import InputError
from fitcheck.report.chart.money import Spot, frontier_svg

LINE = [Spot(4000.0, 0.8), Spot(1000.0, 0.3), Spot(9000.0, 0.99)]


def test_the_line_and_its_marks_are_told_in_words_too(svg):
    marks = [Spot(3000.0, 0.7, "this plan"), Spot(3016.0, 0.43, "today's <shelf>")]
    text = frontier_svg(LINE, marks=marks, currency="EUR")
    drawn = svg(text)
    assert "this plan: 70%" in drawn.texts()
    assert "today's <shelf>: 43%" in drawn.texts()
    assert "<shelf>" not in text
    assert text.count('data-part="point"') == len(LINE)
    assert "1,000: 30%; 4,000: 80%; 9,000: 99%" in text


@pytest.mark.parametrize(
    "line", [[], [Spot(float("nan"), 0.5)], [Spot(1.0, 1.5)], [Spot(-1.0, 0.5)]]
)
def test_what_can_not_be_drawn_is_refused(line):
    with pytest.raises(InputError):
        frontier_svg(line)
