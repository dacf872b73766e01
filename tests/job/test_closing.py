"""Closing the hub: the pin by its hole, single-use parts, the cover, what to look at."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.errors import FitcheckError, InputError, OffTableError
from fitcheck.job.closing import ClosingRequest, answer, cotter_pin, fitting_steps, prompts
from fitcheck.tables import table

SIZES = [row.number("size_mm") for row in table("closing/cotter_pins").rows]


@pytest.mark.parametrize("size", SIZES)
def test_a_hole_of_nominal_size_takes_its_own_pin(size: float) -> None:
    # ISO 1234: the nominal size of a split pin is the diameter of its hole (from memory).
    row, sure, _ = cotter_pin(f"{size}mm@micrometer")
    assert (row.number("size_mm"), sure) == (size, True)


@pytest.mark.parametrize("size", SIZES)
def test_the_shank_goes_through_its_hole(size: float) -> None:
    row = next(r for r in table("closing/cotter_pins").rows if r.number("size_mm") == size)
    assert row.number("shank_min_mm") < row.number("shank_max_mm") < size
    assert row.number("eye_max_mm") > size


def test_a_hole_well_over_nominal_is_looked_at() -> None:
    row, sure, reason = cotter_pin("5.9")
    assert (row.number("size_mm"), sure) == (5.0, False)
    assert "loose" in reason


def test_pins_and_bolts_rise_together_without_gaps() -> None:
    rows = table("closing/cotter_pins").rows
    for before, after in pairwise(rows):
        assert before.number("size_mm") < after.number("size_mm")
        assert before.maybe("bolt_incl_mm") == after.maybe("bolt_over_mm")
        assert before.maybe("pin_incl_mm") == after.maybe("pin_over_mm")


@pytest.mark.parametrize("hole", ["0.3mm", "30mm"])
def test_a_hole_outside_the_standard_is_refused(hole: str) -> None:
    with pytest.raises(OffTableError, match="ISO 1234"):
        cotter_pin(hole)


def test_the_length_is_the_next_standard_one_with_both_legs() -> None:
    found = answer(ClosingRequest(cotter_hole="5mm", cotter_through="35mm"))
    assert found["parts"] == [{"what": "cotter pin ISO 1234", "size": "5 x 45", "quantity": 1}]
    assert found["verdict"] == "go"


def test_without_a_length_the_pin_is_not_settled() -> None:
    found = answer(ClosingRequest(cotter_hole="5mm"))
    assert found["verdict"] == "check"
    assert found["parts"][0]["size"] == "5 mm, length as the old one"


def test_a_pin_longer_than_any_is_refused() -> None:
    with pytest.raises(OffTableError, match="longest standard pin"):
        answer(ClosingRequest(cotter_hole="5mm", cotter_through="300mm"))


def test_single_use_parts_and_their_steps() -> None:
    found = answer(ClosingRequest(lock_plates=2, thread_locker=8, cover="liquid"))
    assert [(p["what"], p["quantity"]) for p in found["parts"]] == [
        ("lock plate", 2),
        ("thread-locker", 1),
        ("liquid gasket", 1),
    ]
    assert len(found["work"]) == 3


def test_an_unknown_cover_names_the_known_ones() -> None:
    with pytest.raises(InputError, match="o-ring, gasket, liquid"):
        answer(ClosingRequest(cover="tape"))


def test_a_pin_through_without_its_hole_is_refused() -> None:
    with pytest.raises(
        InputError, match="cotter_through 35mm: the size of a cotter pin comes from"
    ):
        answer(ClosingRequest(cotter_through="35mm"))
    with pytest.raises(InputError, match="cotter_pins 2: the size of a cotter pin comes from"):
        answer(ClosingRequest(cotter_pins=2, lock_plates=1))


@pytest.mark.parametrize("request_", [ClosingRequest(), ClosingRequest(cotter_hole=("", " "))])
def test_a_position_that_names_nothing_is_refused(request_: ClosingRequest) -> None:
    with pytest.raises(InputError, match="nothing filled in"):
        answer(request_)


@pytest.mark.parametrize(
    "request_",
    [
        ClosingRequest(cotter_hole="5mm", cotter_through="35mm"),
        ClosingRequest(lock_plates=1),
        ClosingRequest(thread_locker=4),
        ClosingRequest(cover="gasket"),
        ClosingRequest(bushing=True),
        ClosingRequest(universal_joints=1),
    ],
)
def test_no_verdict_without_a_reason(request_: ClosingRequest) -> None:
    found = answer(request_)
    assert found["reasons"]
    # What was only named is still to be looked at.
    assert found["verdict"] == ("go" if found["parts"] else "check")


def test_a_hole_may_be_read_several_times() -> None:
    found = answer(ClosingRequest(cotter_hole=("5.02", "5.04"), cotter_through=("34.9", "35.0")))
    assert found["parts"][0]["size"] == "5 x 45"
    assert found["verdict"] == "go"
    oval = answer(ClosingRequest(cotter_hole=("5.0", "5.4"), cotter_through="35"))
    assert oval["verdict"] == "check"
    assert any("the readings differ" in reason for reason in oval["reasons"])


def test_an_unreadable_hole_is_refused() -> None:
    with pytest.raises(FitcheckError, match="cotter hole"):
        answer(ClosingRequest(cotter_hole="wide"))


def test_prompts_follow_the_parts_and_cite_their_source() -> None:
    found = prompts(["shims", "bearing"])
    assert [p["part"] for p in found][:1] == ["shims"]
    assert {p["part"] for p in found} == {"shims", "bearing"}
    assert all(p["source"] for p in found)


@pytest.mark.parametrize(
    ("cover", "line"),
    [
        ("o-ring", "O-ring for the cover, size by its groove or the old ring"),
        ("gasket", "gasket for the cover"),
        ("liquid", "liquid gasket for the cover"),
    ],
)
def test_a_cover_seal_is_named_once(cover: str, line: str) -> None:
    (part,) = answer(ClosingRequest(cover=cover))["parts"]
    assert f"{part['what']} {part['size']}" == line


@pytest.mark.parametrize("turning", ["hub", "shaft", ""])
def test_fitting_steps_say_which_ring_is_tight_where_that_is_known(turning: str) -> None:
    steps = [step for step, _ in fitting_steps("bearing", turning=turning)]
    assert "on the ring that carries the fit" in steps[0]
    tight = [step for step in steps if "tight" in step]
    assert [f"The {turning} turns" in step for step in tight] == ([True] if turning else [])


def test_a_seal_is_greased_before_it_is_driven_square() -> None:
    steps = [step for step, _ in fitting_steps("seal")]
    assert steps[0].startswith("Grease the lip")
    assert "0.4 mm smaller" in steps[-2]
    assert "square within 0.25 mm" in steps[-1]
    assert all(source for _, source in fitting_steps("seal"))
    assert fitting_steps("press") == []
