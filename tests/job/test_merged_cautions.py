"""Cautions of a whole job: one wording for each subject."""

from __future__ import annotations

from itertools import permutations

import pytest

from fitcheck.job.merged_cautions import merged, subject
from fitcheck.tables import table

SAME = [
    ["The machine's own manual comes first.", "The machine's own manual wins over every figure."],
    ["Block and chock; stand it on stands.", "Block and chock the machine; stands under it."],
    ["No flame near oil.", "No open flame, least of all near oil, grease or bearings."],
    ["No steel hammer on hardened parts.", "Press square and on the ring that carries the fit."],
    [
        "Torque wrench, not an impact wrench.",
        "Torque wrench and not an impact wrench for settings.",
    ],
    ["Hot oil burns and a hot hub holds pressure.", "Release pressure before opening."],
]


@pytest.mark.parametrize("cautions", SAME)
def test_one_thing_is_said_once(cautions: list[str]) -> None:
    assert len(merged(cautions)) == 1
    assert merged(cautions) == merged(cautions[:1]) == merged(reversed(cautions))


def test_the_manual_comes_first_and_what_is_unknown_last() -> None:
    given = ["Mind the step.", "Cone and cup are replaced as a set.", SAME[1][0], SAME[0][0]]
    expected = ["The machine's own", "Block and chock", "Cone and cup", "Mind the step."]
    for order in permutations(given):
        assert [c.startswith(e) for c, e in zip(merged(order), expected, strict=True)] == [True] * 4


def test_unknown_cautions_keep_their_order() -> None:
    assert merged(["b.", "a.", "b."]) == ["b.", "a."]


def test_a_merged_wording_is_about_its_own_subject() -> None:
    rows = table("cautions/subjects").rows
    for row in rows:
        assert row.text("words") == row.text("words").lower()
    # Merging what is merged changes nothing that could be merged further.
    wordings = [row.text("caution") for row in rows]
    assert merged(merged(wordings)) == merged(wordings)
    assert len({row.number("rank") for row in rows}) == len(rows)


@pytest.mark.parametrize(
    ("name", "column"),
    [
        ("cautions/cautions", "caution"),
        ("press/cautions", "text"),
        ("settings/cautions", "text"),
        ("oil/advice", "text"),
    ],
)
def test_what_the_tables_repeat_has_a_subject(name: str, column: str) -> None:
    repeated = ("own manual", "Block and chock", "flame", "steel hammer", "Torque wrench", "guard")
    for row in table(name).rows:
        text = row.text(column)
        if any(word in text for word in repeated):
            assert subject(text) is not None
