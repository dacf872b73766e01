"""The posterior at its edges: what is off the tables, marks alone, and the words of a doubt."""

from __future__ import annotations

import pytest

from fitcheck.errors import OffTableError
from fitcheck.findings import UNLISTED_SIZE
from fitcheck.identify import AGAINST, FINDING_FLOOR, Identification, identify
from fitcheck.likelihood import prior
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Size
from fitcheck.parts.kind import kind_family
from fitcheck.parts.seal import seal_family
from fitcheck.readings import Reading, read
from fitcheck.verdicts import CHECK, GO, NO_GO

SEALS = seal_family()


def readings(**texts: str) -> dict[str, Reading]:
    """Readings by place, with _ for -."""
    return {
        (place := name.replace("_", "-")): read(place=place, texts=(text,))
        for name, text in texts.items()
    }


def never(_: Size) -> float:
    """A mark that no size carries."""
    return 0.0


def always(_: Size) -> float:
    """A mark that says nothing."""
    return 1.0


def impossible(**texts: str) -> Identification:
    """Readings beside a mark that no part carries, so that nothing at all is probable."""
    return identify(SEALS, readings(**texts), mark=never, mark_unlisted=0.0)


# --- nothing is probable --------------------------------------------------------------------------


def test_a_mark_of_nothing_is_off_the_tables() -> None:
    with pytest.raises(OffTableError, match="the mark"):
        impossible()


@pytest.mark.parametrize("shaft", ["4.1mm", "35mm", "740mm"])
def test_a_reading_near_what_is_listed_is_of_no_listed_size(shaft: str) -> None:
    """Listed shafts run from 6 to 500 mm."""
    found = impossible(shaft=shaft)
    assert (found.candidates, found.unlisted, found.verdict) == ((), 1.0, NO_GO)


@pytest.mark.parametrize("shaft", ["3.9mm", "760mm"])
def test_a_reading_beyond_what_is_listed_is_off_the_tables(shaft: str) -> None:
    with pytest.raises(OffTableError, match="listed: 6 to 500 mm"):
        impossible(shaft=shaft)


@pytest.mark.parametrize("certainty", [0.5, 1.0])
def test_either_end_of_the_certainty_may_be_asked_for(certainty: float) -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="52.02"), certainty=certainty)
    assert found.verdict == CHECK


# --- marks alone ----------------------------------------------------------------------------------


@pytest.mark.parametrize("said", [0.5, 1.0])
def test_without_a_reading_only_the_prior_and_the_mark_speak(said: float) -> None:
    found = identify(SEALS, {}, mark=always, mark_unlisted=said)
    share = prior(UNLISTED_SIZE) * said
    assert found.unlisted == pytest.approx(share / (1.0 - prior(UNLISTED_SIZE) + share))


def test_sizes_are_as_likely_as_they_are_common() -> None:
    rollers = kind_family("roller")
    found = identify(rollers, {}, mark=always)
    weights = {c.probability / c.size.weight for c in found.candidates}
    assert max(weights) == pytest.approx(min(weights))
    assert len({size.weight for size in rollers.sizes}) > 1


def test_a_mark_that_names_one_size_is_said_to_have_done_so() -> None:
    wanted = SEALS.sizes[40].label
    found = identify(SEALS, {}, mark=lambda s: float(s.label == wanted), mark_unlisted=0.0)
    assert found.verdict == GO
    assert found.reasons == (f"{wanted} stands at > 99.9 % by its mark",)
    read_too = identify(SEALS, readings(shaft="34.95", bore="52.02", old_width="8.05"))
    assert read_too.reasons[0].endswith("and every reading holds")


def test_no_listed_size_is_no_go_though_some_are_possible() -> None:
    named = {size.label for size in SEALS.sizes[:3]}
    found = identify(SEALS, {}, certainty=0.9, mark=lambda s: float(s.label in named))
    assert {c.size.label for c in found.candidates} == named
    assert found.unlisted > 0.9
    assert found.verdict == NO_GO
    assert found.reasons == ("no listed size: the readings speak against every one of them",)


# --- words ----------------------------------------------------------------------------------------


def test_the_three_next_sizes_are_named_and_no_fainter_ones() -> None:
    found = identify(SEALS, readings(shaft="34.95"))
    near = [c.size.label for c in found.candidates[1:4] if c.probability > AGAINST]
    assert len(near) == 3
    assert len(found.candidates) > 5
    assert found.candidates[4].probability > AGAINST
    assert found.reasons[0].endswith(f"; also possible: {', '.join(near)}")


def test_a_fainter_size_is_not_called_possible() -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="52.02", old_width="7.5"))
    near = [c.size.label for c in found.candidates[1:4] if c.probability > AGAINST]
    assert len(near) < len(found.candidates[1:4])
    told = next(r for r in found.reasons if r.startswith("these readings can't decide"))
    assert (f"; also possible: {', '.join(near)}" in told) == bool(near)
    faint = [c.size.label for c in found.candidates[1:4] if c.probability <= AGAINST]
    assert not any(label in told for label in faint)


@pytest.mark.parametrize(("said", "told"), [(1.0, True), (0.1, False)])
def test_no_listed_size_is_told_of_where_it_is_possible(said: float, told: bool) -> None:
    seat = readings(shaft="35", bore="52")
    found = identify(SEALS, seat, mark=always, mark_unlisted=said)
    assert (found.unlisted > AGAINST) == told
    assert found.verdict == CHECK
    lines = [r for r in found.reasons if r.startswith("no listed size stands at")]
    assert bool(lines) == told


def test_no_listed_size_is_told_of_once_and_is_no_mistake_of_a_reading() -> None:
    seat = readings(shaft="12.58@micrometer", old_width="8.02@caliper", pocket="7.87@micrometer")
    found = identify(SEALS, seat)
    assert found.unlisted > 0.5
    assert any(reason.startswith("worn-track-read (") for reason in found.reasons)
    assert not any(reason.startswith(UNLISTED_SIZE) for reason in found.reasons)


def test_small_doubts_that_add_up_are_told_of_together() -> None:
    seat = readings(bore="39.88@caliper", od="79.95@caliper", cone_width="23.02@micrometer")
    found = identify(bearing_family(), seat)
    assert found.verdict == CHECK
    said = "32208: several small doubts about the readings add up to 10.0 %"
    assert found.reasons == (said,)


def test_a_ring_that_may_hide_is_asked_about_once_the_rest_is_settled() -> None:
    open_width = identify(SEALS, readings(shaft="64.93", bore="90.03"))
    assert open_width.hidden
    assert "can't decide" in open_width.reasons[0]
    assert not any("look that the shaft is bare" in reason for reason in open_width.reasons)


def test_the_smaller_shaft_is_looked_for_where_it_is_the_only_other_size() -> None:
    seat = readings(shaft="64.93", bore="90.03", old_width="10.1")
    found = identify(SEALS, seat)
    named = {found.candidates[0].size.label, found.hidden}
    both = identify(SEALS, seat, mark=lambda s: float(s.label in named))
    assert [c.size.label for c in both.candidates][1:] == [found.hidden] == [both.hidden]


def test_an_account_names_the_size_that_it_fits() -> None:
    size = SEALS.sizes[1]
    found = identify(SEALS, readings(shaft="0.236", bore="0.866", old_width="0.276"))
    assert found.candidates[0].size is size
    told = next(f for f in found.findings if f.finding == "unit-mixed")
    assert told.reason.endswith(f"that fits {size.label}")


def test_an_account_that_fits_no_listed_size_says_so() -> None:
    found = identify(SEALS, readings(shaft="35", bore="52", pocket="5"))
    told = next(f for f in found.findings if f.finding == "rounded")
    assert told.reason.endswith("that fits no listed size")
    assert told.probability > FINDING_FLOOR


@pytest.mark.parametrize(
    "texts",
    [
        {"shaft": "35.48", "bore": "52.02", "old_width": "7.02"},
        {"shaft": "43.31", "bore": "52.02", "old_width": "7.02"},
        {"shaft": "34.95", "bore": "52.02", "pocket": "9.1"},
    ],
    ids=["sleeve", "ring", "pocket"],
)
def test_what_explains_a_reading_comes_by_its_share(texts: dict[str, str]) -> None:
    for candidate in identify(SEALS, readings(**texts)).candidates:
        for states in candidate.explanations.values():
            shares = [share for _, share in states]
            assert shares == sorted(shares, reverse=True)
            assert sum(shares) == pytest.approx(1.0)
