"""Numbers in the cells of a list."""

from __future__ import annotations

import pytest

from fitcheck.lists.numbers import read_lead, read_number


@pytest.mark.parametrize(
    ("text", "days", "choice"),
    [
        ("14 days", "14", ""),
        ("10-14 days", "14", "the longer is taken: 14 days"),
        ("1-2 weeks", "14", "the longer is taken: 14 days"),
        ("2 weeks", "14", ""),
    ],
)
def test_of_a_range_of_days_the_longer_is_taken_and_told(text: str, days: str, choice: str) -> None:
    cell = read_lead(text)
    assert (cell.text, cell.choice) == (days, choice)


@pytest.mark.parametrize("text", ["5,-", "5.-", "5,--", "5.--"])
def test_a_price_without_cents(text: str) -> None:
    assert read_number(text, "").text == "5"
