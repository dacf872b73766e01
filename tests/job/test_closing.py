"""Closing the hub: the pin by its hole, single-use parts, the cover, what to look at."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.errors import FitcheckError, InputError, OffTableError
from fitcheck.job.closing import ClosingRequest, answer, fitting_steps, prompts
from fitcheck.job.cotter import Pin, pin_for
from fitcheck.job.lengths import measured
from fitcheck.tables import table

SIZES = [row.number("size_mm") for row in table("closing/cotter_pins").rows]


def cotter_pin(hole: str, *, unit: str = "mm") -> Pin:
    """The pin for a hole as written."""
    found = measured(hole, place="cotter hole", unit=unit)
    assert found is not None
    return pin_for(found)


@pytest.mark.parametrize("size", SIZES)
def test_a_hole_of_nominal_size_takes_its_own_pin(size: float) -> None:
    # ISO 1234: the nominal size of a split pin is the diameter of its hole (from memory).
    pin = cotter_pin(f"{size}mm@micrometer")
    assert (pin.what, pin.size_mm, pin.sure) == ("cotter pin ISO 1234", size, True)


@pytest.mark.parametrize("size", SIZES)
def test_the_shank_goes_through_its_hole(size: float) -> None:
    row = next(r for r in table("closing/cotter_pins").rows if r.number("size_mm") == size)
    assert row.number("shank_min_mm") < row.number("shank_max_mm") < size
    assert row.number("eye_max_mm") > size


def test_a_hole_well_over_nominal_is_looked_at() -> None:
    pin = cotter_pin("5.9")
    assert (pin.size, pin.sure) == ("5", False)
    assert "loose in it: it was drilled for a 1/4 in pin, or it is worn" in pin.reason
    worn = cotter_pin("18.2")
    assert (worn.size, worn.sure) == ("16", False)
    assert "loose in it: look whether the hole is worn" in worn.reason


# The fractions that a drill set has and the holes that ASME B18.8.1 recommends (from memory).
FRACTIONS = "1/32 3/64 1/16 5/64 3/32 7/64 1/8 9/64 5/32 3/16 7/32 1/4 5/16 3/8 7/16 1/2 5/8 3/4"


@pytest.mark.parametrize(
    "hole",
    [
        *FRACTIONS.split(),
        *(str(row.number("hole_in")) for row in table("closing/inch_cotter_pins").rows),
    ],
)
def test_an_ordinary_inch_hole_is_not_called_worn(hole: str) -> None:
    pin = cotter_pin(hole, unit="in")
    assert pin.sure
    assert "worn" not in pin.reason
    assert "loose" not in pin.reason
    thick = next(
        row.number("shank_max_mm") if pin.system == "metric" else row.number("shank_max_in") * 25.4
        for name in ("cotter_pins", "inch_cotter_pins")
        for row in table(f"closing/{name}").rows
        if pin.size in (row.text("size") if name[0] == "i" else f"{row.number('size_mm'):g}",)
    )
    whole, _, under = hole.partition("/")
    assert thick < float(whole) / float(under or 1) * 25.4


def test_a_three_sixteenths_hole_takes_the_next_metric_pin_or_its_inch_one() -> None:
    found = answer(ClosingRequest(cotter_hole="3/16", cotter_through="1.5", unit="in"))
    assert found["verdict"] == "go"
    assert found["parts"][0]["what"] == "cotter pin ISO 1234"
    # 38.1 mm and both legs of 5 mm.
    assert found["parts"][0]["size"] == "5 x 50"
    assert found["reasons"][0] == (
        "a hole of 4.763 mm takes a cotter pin of size 5 (ISO 1234), its shank at most 4.6 mm "
        "thick; a 3/16 in pin goes too"
    )


def test_an_inch_hole_that_no_metric_pin_fills_takes_an_inch_pin() -> None:
    found = answer(ClosingRequest(cotter_hole="0.375in", cotter_through="1.5in"))
    # 1.5 in and both legs of 3/8 in.
    (pin,) = found["parts"]
    assert (pin["what"], pin["size"], pin["quantity"]) == ("cotter pin, inch", "3/8 x 2-1/4 in", 1)
    assert "ASME B18.8.1" in found["sources"][0]
    open_ = answer(ClosingRequest(cotter_hole="0.375in"))
    assert open_["parts"][0]["size"] == "3/8 in, length as the old one"


def test_inch_pins_go_through_the_holes_recommended_for_them() -> None:
    rows = table("closing/inch_cotter_pins").rows
    for row in rows:
        over, under = row.text("size").split("/")
        assert row.number("size_in") == int(over) / int(under)
        assert row.number("shank_min_in") < row.number("shank_max_in") < row.number("hole_in")
        # The recommended holes are printed in thousandths.
        assert row.number("hole_in") >= row.number("size_in") - 0.0006
    for before, after in pairwise(rows):
        assert before.number("shank_max_in") < after.number("shank_max_in")
        assert before.number("hole_in") < after.number("hole_in")


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
    (pin,) = found["parts"]
    assert (pin["what"], pin["size"], pin["quantity"]) == ("cotter pin ISO 1234", "5 x 45", 1)
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
