"""Half-legible markings against designations."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.job.identified import mark_evidence
from fitcheck.marks import MAX_MARK, checked, compact, mark_probability, random_probability
from fitcheck.parts.bearing import bearing_sizes

DESIGNATIONS = sorted({compact(s.details[r]) for s in bearing_sizes() for r in ("cone", "cup")})


def best(read: str, count: int = 1) -> list[str]:
    """The designations a mark agrees with best."""
    text = checked(read)
    return sorted(DESIGNATIONS, key=lambda d: (-mark_probability(text, d), d))[:count]


@pytest.mark.parametrize(
    ("read", "true"),
    [
        ("LM11949", "LM11949"),
        ("lm 11949", "LM11949"),
        ("L?11949", "LM11949"),
        ("LM?1949", "LM11949"),
        ("3020S", "30205"),
        ("3O206", "30206"),
        ("02475", "02475"),
        ("O2475", "02475"),
        ("LM48S48", "LM48548"),
        ("32206 B", "32206B"),
        ("L?670?8", "LM67048"),
    ],
)
def test_the_right_designation_leads(read: str, true: str) -> None:
    assert best(read) == [true]


def test_leading_zeros_count() -> None:
    assert mark_probability("02475", "02475") > 10 * mark_probability("2475", "02475")
    assert mark_probability("2475", "02475") > 0.0


@pytest.mark.parametrize(
    ("likelier", "than"),
    [
        (("30206", "30206"), ("3020B", "30206")),
        (("3020B", "30206"), ("30201", "30206")),
        (("3020?", "30206"), ("3020B", "30206")),
        (("3020", "30206"), ("3026", "30206")),
        (("302061", "30206"), ("301206", "30206")),
    ],
)
def test_likelier_faults_weigh_more(likelier: tuple[str, str], than: tuple[str, str]) -> None:
    assert mark_probability(*likelier) > mark_probability(*than) > 0.0


def test_an_unreadable_character_splits_nothing() -> None:
    assert mark_probability("3020?", "30205") == mark_probability("3020?", "30206")


@given(st.sampled_from(DESIGNATIONS), st.text("0123456789LMHJX?", min_size=1, max_size=12))
def test_a_probability_is_one(true: str, read: str) -> None:
    assert 0.0 <= mark_probability(read, true) <= 1.0
    assert 0.0 < random_probability(read) <= 1.0


@given(st.sampled_from(DESIGNATIONS), st.data())
def test_one_lost_character_keeps_the_designation_among_the_best(
    true: str, data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(true) - 1))
    read = true[:place] + "?" + true[place + 1 :]
    if read.strip("?"):
        reached = mark_probability(read, true)
        # Another alignment may add a little to another designation, never double it.
        assert all(mark_probability(read, d) <= 2.0 * reached for d in DESIGNATIONS)


def test_compact_and_checked() -> None:
    assert compact("lm-11949 / LM11910") == "LM11949LM11910"
    assert checked("35 5? 7") == "355?7"
    for text in ("", "???", " - "):
        with pytest.raises(InputError):
            checked(text)
    with pytest.raises(InputError, match=f"at most {MAX_MARK}"):
        checked("1" * (MAX_MARK + 1))


def test_cone_and_cup_marks_are_weighed_together() -> None:
    def forms(size: object) -> list[str]:
        details = size.details  # type: ignore[attr-defined]
        return [compact(details["cone"]), compact(details["cup"])]

    likelihood, unlisted = mark_evidence(("LM119?9", "LM1191?"), forms)
    assert likelihood is not None
    ranked = sorted(bearing_sizes(), key=likelihood, reverse=True)
    assert ranked[0].label == "LM11949/LM11910"
    assert likelihood(ranked[0]) > 100 * likelihood(ranked[1])
    assert 0.0 < unlisted < 1e-6
    assert mark_evidence((), forms) == (None, 1.0)
