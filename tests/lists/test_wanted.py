"""Wanted lines: from a sheet, from pasted text, from a supplier's list."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.lines import FIELD_NAMES, Block
from fitcheck.lists.wanted import Understood, Want, is_wanted_sheet, wanted_lines, wants_of_blocks

SEAL = SizeKey("seal", 35000, 52000, 7000, "metric")


def one(*lines: str, unit: str = "mm") -> Want:
    (want,) = wanted_lines(lines, unit=unit)
    return want


def test_pasted_text_is_one_want_a_line() -> None:
    found = list(wanted_lines(["", "35x52x7\n", "\n", "0621", "LM1194?"]))
    assert [want.line for want in found] == [2, 4, 5]
    assert found[0].readings == ((SEAL, Execution()),)
    assert found[1].part_number == "0621"
    assert found[2].mark == "LM1194?"


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("35x52x7 5 pcs", 5),
        ("35x52x7, qty 12", 12),
        ("35x52x7 Qty: 3", 3),
        ("35x52x7 - 2 off", 2),
        ("35x52x7", None),
    ],
)
def test_a_quantity_behind_the_text(text: str, quantity: int | None) -> None:
    want = one(text)
    assert want.quantity == quantity
    assert want.readings == ((SEAL, Execution()),)
    assert want.text == text


def test_a_quantity_out_of_range_is_refused() -> None:
    assert "quantity 0" in one("35x52x7 0 pcs").refused


def test_two_readings_are_both_kept() -> None:
    want = one("seal 30x12x14")
    assert [(size.shaft_um, size.bore_um) for size, _ in want.readings] == [
        (12000, 30000),
        (14000, 30000),
    ]
    assert "can be read as" in want.questions[0]


def test_a_size_that_makes_sense_only_in_the_other_unit_is_a_question() -> None:
    want = one("1.375 x 2.125 x 0.313")
    assert [size.system for size, _ in want.readings] == ["inch"]
    assert "no unit is written" in want.questions[0]
    assert one("1.375 x 2.125 x 0.313", unit="in").questions == ()
    assert one("1-3/8 x 2-1/8 x 5/16").questions == ()


def test_another_order_is_a_question() -> None:
    want = one("35x8x58")
    assert want.readings[0][0] == SizeKey("seal", 35000, 58000, 8000, "metric")
    assert "the only order" in want.questions[0]


def test_free_text_gives_the_lip_and_the_material() -> None:
    want = one("OIL SEAL 35x52x7 NBR DBL LIP")
    assert want.readings == ((SEAL, Execution(lip="double", material="NBR")),)
    assert one("taper roller bearing 30206").readings[0][0].designation == "30206"


def test_a_designation_alone_may_be_a_suppliers_number_too() -> None:
    want = one("30206")
    assert want.readings[0][0] == SizeKey("bearing", designation="30206")
    assert want.part_number == "30206"


def test_a_sheet_has_columns_of_its_own() -> None:
    want = one(
        "Shaft;Bore;Width;Lip;Material;Qty;Pocket;Unit",
        "1-3/8;2 1/8;.313;Double;fkm;4;0.5;in",
    )
    size = SizeKey("seal", 34925, 53975, 7950, "inch")
    assert want == Want(
        2,
        "1-3/8 2 1/8 .313 Double fkm 4 0.5 in",
        readings=((size, Execution(lip="double", material="FKM")),),
        quantity=4,
        pocket_um=12700,
    )


def test_a_column_of_its_own_goes_over_the_text() -> None:
    want = one("text,lip,kind", "35x52x7,single,seal")
    assert want.readings == ((SEAL, Execution(lip="single")),)
    want = one("text,shaft,bore,width", "seal 1,36,52,7")
    assert want.readings[0][0].shaft_um == 36000


def test_sizes_in_inches_and_mm_are_mixed() -> None:
    want = one("shaft,bore,width", "1.375in,62mm,8mm")
    assert want.readings[0][0] == SizeKey("seal", 34925, 62000, 8000, "mixed")


def test_a_designation_is_a_bearings() -> None:
    want = one("designation,quantity", "30206,2")
    assert want.readings == ((SizeKey("bearing", designation="30206"), Execution()),)


def test_bore_and_outside_diameter_are_a_bearings() -> None:
    want = one("bore,od,width", "30,62,17.25")
    assert want.readings[0][0] == SizeKey("bearing", 30000, 62000, 17250, "metric")
    assert one("bore,width", "30,17").part_number == ""


def test_part_numbers_stay_text() -> None:
    assert one("part number,qty", "000621,3").part_number == "000621"
    assert one("part number,qty", "3E5,3").part_number == "3E5"


@pytest.mark.parametrize(
    ("heading", "row", "reason"),
    [
        ("text,lip", "35x52x7,triple", "lip triple"),
        ("text,qty", "35x52x7,2.5", "quantity 2.5"),
        ("text,unit", "35x52x7,cm", "unit cm"),
        ("shaft,bore", "35,abc", "abc"),
        ("shaft,bore", "35,0", "larger than zero"),
        ("shaft,bore,pocket", "35,52,1,250mm", "1"),
    ],
)
def test_a_row_that_cant_be_read_is_refused_and_the_rest_go_on(
    heading: str, row: str, reason: str
) -> None:
    bad, good = wanted_lines([heading, row, "35x52x7"])
    if bad.refused:
        assert reason in bad.refused
    assert good.line == 3


def test_a_text_that_fails_to_be_understood_is_a_number() -> None:
    def describe(text: str, unit: str) -> Understood:
        return Understood((), (f"{text} in {unit}?",))

    (want,) = wanted_lines(["something"], unit="in", describe=describe)
    assert want.part_number == "something"
    assert want.questions == ("something in in?",)


def test_every_distinct_text_is_understood_once() -> None:
    seen = []

    def describe(text: str, unit: str) -> Understood:
        seen.append(text)
        return Understood()

    list(wanted_lines(["a", "b", "a", "a"], describe=describe))
    assert seen == ["a", "b"]


def test_what_is_a_wanted_sheet() -> None:
    assert is_wanted_sheet("part_number;qty")
    assert is_wanted_sheet("\ufeffShaft,Bore,Width")
    assert is_wanted_sheet("35x52x7")
    assert is_wanted_sheet("OIL SEAL, 35x52x7, NBR")
    assert not is_wanted_sheet("Artikel;Bezeichnung;Preis;Lager;Gewicht")


def test_a_suppliers_list_can_be_what_is_wanted() -> None:
    columns = {name: [None, None] for name in FIELD_NAMES}
    columns |= {
        "line": [2, 3],
        "part_number": ["0621", "0622"],
        "description": ["OIL SEAL", None],
        "kind": ["seal", None],
        "shaft_um": [35000, None],
        "bore_um": [52000, None],
        "width_um": [7000, None],
        "system": ["metric", None],
        "lip": ["double", None],
    }
    sized, bare = wants_of_blocks([Block(columns)])
    assert sized.readings == ((SEAL, Execution(lip="double")),)
    assert (sized.text, sized.part_number) == ("0621 OIL SEAL", "")
    assert (bare.readings, bare.part_number) == ((), "0622")


@given(st.lists(st.text(max_size=20)))
def test_every_line_that_is_not_blank_gives_one_want(lines: list[str]) -> None:
    lines = ["35x52x7", *(" ".join(line.split()) for line in lines)]
    found = list(wanted_lines(lines))
    assert [want.line for want in found] == [n for n, line in enumerate(lines, 1) if line]
