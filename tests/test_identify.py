"""The posterior over sizes: what is named, what is refused, and what must always hold."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fitcheck.errors import FitcheckError, InputError, OffTableError
from fitcheck.identify import Identification, candidate_verdict, identify
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.readings import Reading, read
from fitcheck.verdicts import CHECK, GO, NO_GO

SEALS, BEARINGS = seal_family(), bearing_family()
FAMILIES = {"seal": SEALS, "bearing": BEARINGS}


def readings(unit: str = "mm", **texts: str | tuple[str, ...]) -> dict[str, Reading]:
    """Readings by place, with _ for -."""
    return {
        (place := name.replace("_", "-")): read(
            place=place, texts=(text,) if isinstance(text, str) else text, unit=unit
        )
        for name, text in texts.items()
    }


def findings(found: Identification) -> dict[str, float]:
    """The findings and their probabilities."""
    return {finding.finding: finding.probability for finding in found.findings}


def top(found: Identification) -> str:
    """The label of the leading size."""
    return found.candidates[0].size.label


# --- the sizes and mistakes of a bench ----------------------------------------------------------


def test_clean_readings_name_one_size() -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="52.02", old_width="8.05"))
    assert (top(found), found.verdict, found.sure) == ("35 x 52 x 8", GO, True)
    assert found.findings == ()
    assert found.candidates[0].clean > 0.9
    assert candidate_verdict(found.candidates[0]) == GO
    assert all(candidate_verdict(c) == NO_GO for c in found.candidates[1:])


def test_a_size_the_readings_speak_against_is_no_go() -> None:
    found = identify(SEALS, readings(shaft="64.93", bore="90.03", old_width="10.1"))
    assert candidate_verdict(found.candidates[-1]) == NO_GO


def test_a_ring_that_may_hide_a_smaller_shaft_is_looked_for() -> None:
    seat = readings(shaft="64.93", bore="90.03", old_width="10.1")
    found = identify(SEALS, seat)
    assert (top(found), found.verdict) == ("65 x 90 x 10", "check")
    assert found.hidden
    assert "ring" in found.reasons[0]
    looked = identify(seal_family(bare_shaft=True), seat)
    assert (top(looked), looked.verdict, looked.hidden) == ("65 x 90 x 10", GO, "")


def test_small_shafts_carry_no_ring() -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="52.02", old_width="8.05"))
    assert (found.verdict, found.hidden) == (GO, "")


def test_a_width_that_was_not_read_stays_open() -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="52.02"))
    widths = [c for c in found.candidates if c.size.label.startswith("35 x 52 x ")]
    assert found.verdict == CHECK
    assert widths[0].probability == pytest.approx(widths[1].probability)
    assert candidate_verdict(widths[0]) == CHECK
    assert "can't decide" in found.reasons[0]


def test_an_earlier_sleeve_is_named() -> None:
    found = identify(SEALS, readings(shaft="35.48", bore="52.02", old_width="7.02"))
    assert top(found) == "35 x 52 x 7"
    assert findings(found)["earlier-sleeve"] > 0.8
    assert found.verdict == CHECK
    assert any("sleeve" in reason for reason in found.reasons)


def test_a_ring_left_on_is_named() -> None:
    found = identify(SEALS, readings(shaft="43.31", bore="52.02", old_width="7.02"))
    assert findings(found)["ring-left-on"] > 0.3
    assert found.verdict == CHECK


def test_the_track_read_instead_of_the_land_is_named() -> None:
    found = identify(SEALS, readings(shaft="39.75", bore="62.02", old_width="7.02"))
    assert top(found) == "40 x 62 x 7"
    assert findings(found)["worn-track-read"] > 0.7
    assert found.verdict == CHECK


def test_an_oval_bore_is_named() -> None:
    found = identify(SEALS, readings(shaft="39.95", bore="62.2", old_width="7.02"))
    assert top(found) == "40 x 62 x 7"
    assert findings(found)["oval-bore"] > 0.7


def test_the_old_seals_case_and_lip_stand_in_for_the_seat() -> None:
    found = identify(SEALS, readings(old_od="52.14", old_lip="34.1", old_width="7.0"))
    assert (top(found), found.verdict) == ("35 x 52 x 7", GO)
    assert dict(found.candidates[0].explanations["old-lip"])["set-lip"] > 0.3
    inch = identify(SEALS, readings(old_od="54.1", old_lip="34.0", old_width="7.95"))
    assert top(inch) == "1.375 x 2.125 x 0.313 in"


@pytest.mark.parametrize(
    ("unit", "given_", "size"),
    [
        (
            "mm",
            {"shaft": "1.375", "bore": "2.125", "old_width": ".313"},
            "1.375 x 2.125 x 0.313 in",
        ),
        ("mm", {"shaft": "1.376", "bore": "53.97"}, "1.375 x 2.125 x 0.313 in"),
        ("in", {"shaft": "34.95", "bore": "52.02", "old_width": "8.05"}, "35 x 52 x 8"),
    ],
)
def test_a_size_in_the_other_unit_is_named(unit: str, given_: Mapping[str, str], size: str) -> None:
    found = identify(SEALS, readings(unit, **given_))
    assert size in [c.size.label for c in found.candidates[:3]]
    assert findings(found)["unit-mixed"] > 0.9
    assert found.verdict == CHECK
    words = next(f.reason for f in found.findings if f.finding == "unit-mixed")
    assert "was meant in" in words


def test_another_order_is_named() -> None:
    found = identify(SEALS, readings(shaft="34.95", bore="8.05", old_width="52.02"))
    assert top(found) == "35 x 52 x 8"
    assert findings(found)["order-swapped"] > 0.9
    assert found.verdict == CHECK


def test_a_cup_width_given_as_the_whole_width_is_named() -> None:
    found = identify(BEARINGS, readings(bore="29.99", od="61.99", width="13.95"))
    assert top(found) == "30206"
    assert findings(found)["cup-width-given"] > 0.5
    assert found.verdict == CHECK


def test_whole_millimetres_are_taken_as_rounded() -> None:
    found = identify(SEALS, readings(shaft="35", bore="54", old_width="8"))
    assert top(found) == "1.375 x 2.125 x 0.313 in"
    assert findings(found)["rounded"] > 0.9
    exact = identify(SEALS, readings(shaft="35.00", bore="54.00", old_width="8.00"))
    assert "rounded" not in findings(exact)


def test_a_size_no_table_lists_is_not_snapped() -> None:
    found = identify(SEALS, readings(shaft="36.9", bore="57.4", old_width="9.0"))
    assert found.unlisted > 0.9
    assert findings(found)["unlisted-size"] > 0.9
    assert found.verdict in (CHECK, NO_GO)


def test_a_bore_that_no_seal_of_this_shaft_has_leaves_it_unlisted() -> None:
    found = identify(SEALS, readings(shaft="139.99", bore="172.01"))
    assert all(found.unlisted > c.probability for c in found.candidates)


def test_what_lies_outside_every_table_is_refused() -> None:
    with pytest.raises(OffTableError, match="listed:"):
        identify(SEALS, readings(shaft="40000", bore="60000"))


def test_a_reading_out_of_round_is_no_go_ahead() -> None:
    found = identify(SEALS, readings(shaft=("34.7", "34.95"), bore="52.02", old_width="8.05"))
    assert found.verdict == CHECK
    assert any("out of round" in note for note in found.notes)


def test_a_shop_can_ask_for_more_certainty() -> None:
    given_ = readings(shaft="34.95", bore="52.02", old_width="8.05")
    sure = identify(SEALS, given_)
    assert identify(SEALS, given_, certainty=0.9999).verdict == CHECK
    assert identify(SEALS, given_, certainty=0.6).candidates == sure.candidates


@pytest.mark.parametrize(
    ("given_", "certainty"),
    [({}, 0.95), ({"od": "52"}, 0.95), ({"shaft": "35"}, 0.4), ({"shaft": "35"}, 1.1)],
)
def test_what_cannot_be_asked(given_: Mapping[str, str], certainty: float) -> None:
    with pytest.raises(InputError):
        identify(SEALS, readings(**given_), certainty=certainty)


def test_a_mark_joins_the_readings() -> None:
    given_ = readings(bore="29.99", od="61.99", width="21.2")
    plain = identify(BEARINGS, given_)
    marked = identify(BEARINGS, given_, mark=lambda size: 0.9 if size.label == "32206 B" else 0.01)
    assert plain.candidates[0].probability == pytest.approx(0.5, abs=0.01)
    assert (top(marked), marked.verdict) == ("32206 B", GO)
    only = identify(BEARINGS, {}, mark=lambda size: 1.0 if size.label == "30206" else 0.0)
    assert top(only) == "30206"


# --- what must always hold ----------------------------------------------------------------------


def sizes(family: str) -> st.SearchStrategy[tuple[float, ...]]:
    """The nominals of listed sizes that give every dimension."""
    nominals = [
        tuple(n[0] for n in size.nominals if n is not None) for size in FAMILIES[family].sizes
    ]
    return st.sampled_from([n for n in nominals if len(n) == len(FAMILIES[family].dimensions)])


@st.composite
def benches(draw: st.DrawFn, family: str) -> dict[str, float]:
    """Readings near a listed size: some places, each off by little or much."""
    nominals = draw(sizes(family))
    places = draw(
        st.lists(st.sampled_from(sorted(FAMILIES[family].places)), min_size=1, unique=True)
    )
    found = {}
    for place in places:
        dimension = FAMILIES[family].places[place].views[0].dimension
        away = draw(st.sampled_from([0.0, 0.05, 0.3, 2.0])) * draw(st.floats(-1.0, 1.0))
        found[place] = round(max(0.11, nominals[dimension] + away), 2)
    return found


either = st.sampled_from(["seal", "bearing"]).flatmap(
    lambda name: st.tuples(st.just(FAMILIES[name]), benches(name))
)


def answer(family: Family, numbers: Mapping[str, float], unit: str = "") -> Identification | None:
    """The identification of plain numbers, or None where it is refused."""
    given_ = {
        place: read(place=place, texts=(f"{number:.10g}{unit}",))
        for place, number in numbers.items()
    }
    try:
        return identify(family, given_)
    except OffTableError:
        return None


@given(either)
def test_probabilities_add_up_to_one(case: tuple[Family, dict[str, float]]) -> None:
    found = answer(*case)
    assume(found is not None)
    assert found is not None
    total = math.fsum(c.probability for c in found.candidates) + found.unlisted
    # Sizes under a hundred-thousandth are left off the list.
    assert total <= 1.0 + 1e-9
    assert total >= 1.0 - 1e-5 * len(case[0].sizes)
    falling = [c.probability for c in found.candidates]
    assert falling == sorted(falling, reverse=True)
    for candidate in found.candidates:
        assert 0.0 <= candidate.clean <= 1.0 + 1e-9
        for states in candidate.explanations.values():
            assert math.fsum(share for _, share in states) <= 1.0 + 1e-9
    assert all(0.0 < f.probability <= 1.0 for f in found.findings)


@given(either, st.randoms(use_true_random=False))
def test_the_order_of_readings_never_matters(
    case: tuple[Family, dict[str, float]], shuffler: object
) -> None:
    family, numbers = case
    names = list(numbers)
    shuffler.shuffle(names)  # type: ignore[attr-defined]
    assert answer(family, numbers) == answer(family, {name: numbers[name] for name in names})


@given(either)
def test_units_never_matter(case: tuple[Family, dict[str, float]]) -> None:
    """The same lengths in mm, um and inches: only the doubt about the unit itself may differ."""
    family, numbers = case
    # A length on a whole step may be rounded, and which steps are whole goes by the unit.
    numbers = {place: n + 0.003 for place, n in numbers.items()}
    in_mm = answer(family, numbers, "mm")
    others = (
        answer(family, {p: n * 1000.0 for p, n in numbers.items()}, "um"),
        answer(family, {p: n / 25.4 for p, n in numbers.items()}, "in"),
    )
    for other in others:
        if in_mm is None or other is None or "unit-mixed" in findings(in_mm) | findings(other):
            continue
        mine = {c.position: c.probability for c in in_mm.candidates}
        theirs = {c.position: c.probability for c in other.candidates}
        assert in_mm.unlisted == pytest.approx(other.unlisted, abs=0.05)
        for position in mine.keys() | theirs.keys():
            assert mine.get(position, 0.0) == pytest.approx(theirs.get(position, 0.0), abs=0.05)


BASES = {"seal": ("shaft", "bore", "old-width"), "bearing": ("bore", "od", "width", "cup-width")}


@st.composite
def sound(draw: st.DrawFn) -> tuple[Family, dict[str, float]]:
    """Readings within the limits of a listed size."""
    name = draw(st.sampled_from(sorted(BASES)))
    family, nominals = FAMILIES[name], draw(sizes(name))
    numbers = {}
    for place in BASES[name]:
        dimension = family.places[place].views[0].dimension
        numbers[place] = round(nominals[dimension] + draw(st.floats(-0.02, 0.02)), 2)
    return family, numbers


@given(sound(), st.data())
def test_one_more_reading_leaves_a_sure_answer_sure_or_says_why(
    case: tuple[Family, dict[str, float]], data: st.DataObject
) -> None:
    family, numbers = case
    before = answer(family, numbers)
    if before is None or not before.sure:
        return
    place = data.draw(st.sampled_from(sorted(set(family.places) - set(numbers))))
    nominal = before.candidates[0].size.nominals[family.places[place].views[0].dimension]
    assert nominal is not None
    away = data.draw(st.sampled_from([0.1, 1.0, 20.0])) * data.draw(st.floats(-1.0, 1.0))
    after = answer(family, {**numbers, place: round(max(0.11, nominal[0] + away), 2)})
    if after is not None and not after.sure:
        assert after.findings or after.notes


@given(
    st.sampled_from(["seal", "bearing"]),
    st.dictionaries(st.integers(0, 6), st.floats(1e-3, 1e5), min_size=1, max_size=7),
    st.sampled_from(["", "@tape", "@caliper", "@micrometer"]),
    st.sampled_from(["mm", "in", "um"]),
)
def test_any_positive_reading_is_answered_or_refused_in_words(
    name: str, numbers: Mapping[int, float], tool: str, unit: str
) -> None:
    family = FAMILIES[name]
    places = sorted(family.places)
    try:
        given_ = {
            places[i % len(places)]: read(
                place=places[i % len(places)], texts=(f"{n:.6f}{unit}{tool}",)
            )
            for i, n in numbers.items()
        }
        found = identify(family, given_)
    except FitcheckError as error:
        refusal = error
    else:
        assert found.verdict in (GO, CHECK, NO_GO)
        assert found.reasons
        return
    assert refusal.rule
    assert refusal.todo
