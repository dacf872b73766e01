"""Wanted lines: from a sheet, from pasted text, from a supplier's list."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.lines import FIELD_NAMES, Block
from fitcheck.lists.wanted import Understood, Want, wanted_lines, wants_of_blocks
from fitcheck.lists.wanted_file import wanted_of_file

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
        ("35mm x 52mm x7", None),
    ],
)
def test_a_quantity_behind_the_text(text: str, quantity: int | None) -> None:
    want = one(text)
    assert want.quantity == quantity
    assert want.readings == ((SEAL, Execution()),)
    assert want.text == text


def test_an_x_behind_a_word_is_a_quantity_and_behind_a_unit_a_dimension() -> None:
    three = one("35x52x7 FKM x3")
    assert (three.quantity, three.readings[0][1].material) == (3, "FKM")
    inches = one("seal 1.375 in x 2.125 in x1")
    assert (inches.quantity, inches.readings[0][0].width_um) == (None, 25400)


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("35 x Ø52 x 7", None),
        ("35 x Ø 52 x 7", None),
        ("35 x D52 x 7", None),
        ("35 x OD52 x 7", None),
        ("ID35 x OD52 x 7", None),
        ("35x OD 52 x W 7", None),
        ("35 x bore 52 x 7", None),
        ("3 x Ø35x52x7", 3),
        ("4 x D35 x D52 x 7", 4),
        ("2 x seal d35 D52 b7", 2),
        ("3 x OD seal 35x52x7", 3),
    ],
)
def test_times_before_a_dimension_is_a_dimension(text: str, quantity: int | None) -> None:
    want = one(text)
    assert (want.quantity, want.questions) == (quantity, ())
    assert [size for size, _ in want.readings] == [SEAL]


@pytest.mark.parametrize("text", ["10 x H715345/H715311", "4 x 30206", "2 x BORE 52 SHAFT 35"])
def test_times_before_a_part_are_pieces(text: str) -> None:
    want = one(text)
    assert want.quantity == int(text.split(maxsplit=1)[0])
    assert want.readings


def test_a_quantity_out_of_range_is_refused() -> None:
    refused = one("35x52x7 0 pcs").refused
    assert refused is not None
    assert (refused.column, refused.value) == ("quantity", "0")


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


@pytest.mark.parametrize("text", ["1.375x2.125x.313 double", "1.375 x 2.125 x .313 ribbed"])
def test_words_beside_a_size_that_no_word_names_a_seal_hide_no_size(text: str) -> None:
    want = one(text)
    assert [size for size, _ in want.readings] == [SizeKey("seal", 34925, 53975, 7950, "inch")]
    assert any("only in inches" in question for question in want.questions)
    assert any("taken for a seal" in question for question in want.questions)
    assert one("o-ring 1.375x2.125x.313").readings == ()


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
    ("heading", "row", "column", "value", "reason"),
    [
        ("text,lip", "35x52x7,triple", "lip", "triple", "holds single, double, axial"),
        ("text,qty", "35x52x7,2.5", "quantity", "2.5", "whole number from 1"),
        ("text,unit", "35x52x7,cm", "unit", "cm", "holds mm, in"),
        ("shaft,bore", "35,abc", "shaft", "35", ""),
        ("shaft,bore", "35,0", "bore", "0", "larger than zero"),
        ("shaft,bore", "-35,52", "shaft", "-35", "can't be negative"),
        ("shaft,bore,pocket", "35,52,0", "pocket", "0", "larger than zero"),
        ("shaft_in,bore_in,unit", "1,2,mm", "unit", "mm", "the heading of shaft says in"),
        ("shaft,bore,pocket", "35,52,1,250mm", "beyond the last", "250mm", "more cells than"),
        ("text,quantity", "OIL SEAL, 35x52x7, NBR,2", "beyond the last", "NBR 2", "quotes"),
    ],
)
def test_a_row_that_cant_be_read_is_refused_and_the_rest_go_on(
    heading: str, row: str, column: str, value: str, reason: str
) -> None:
    bad, good = wanted_lines([heading, row, "35x52x7"])
    assert bad.refused is not None
    if reason:
        assert (bad.refused.column, bad.refused.value) == (column, value)
    assert reason in bad.refused.reason
    assert (bad.line, good.line) == (2, 3)


@pytest.mark.parametrize(
    "heading", ["shaft_in,bore_in,width_in", "Shaft (in),Bore [inch],Width in"]
)
def test_a_heading_may_name_the_unit(heading: str) -> None:
    want = one(heading, "1-3/8,2-1/8,5/16")
    assert want.readings[0][0] == SizeKey("seal", 34925, 53975, 7938, "inch")


@pytest.mark.parametrize(
    ("text", "shaft", "bore", "width", "lip"),
    [
        ("oil seal for 35 shaft 52 bore double lip", 35000, 52000, None, "double"),
        ("seal 35mm shaft, 52mm bore, 7 wide, 2 lip", 35000, 52000, 7000, "double"),
        ("35 shaft bore 52 width 7 single lip", 35000, 52000, 7000, "single"),
        ('seal 1-3/8" shaft 2 1/8" bore 5/16" wide', 34925, 53975, 7938, None),
        ("35 id 52 od 7 thick", 35000, 52000, 7000, None),
        ("52 bore 35 shaft 7 wide", 35000, 52000, 7000, None),
        ("0621 shaft 35 bore 52", 35000, 52000, None, None),
        ("SHAFT 35 BORE 52 W 7", 35000, 52000, 7000, None),
    ],
)
def test_sizes_as_people_say_them(
    text: str, shaft: int, bore: int, width: int | None, lip: str | None
) -> None:
    ((size, made),) = one(text).readings
    assert (size.shaft_um, size.bore_um, size.width_um, made.lip) == (shaft, bore, width, lip)


def test_what_is_said_without_a_word_for_it_is_asked_for() -> None:
    assert "7: no word says what it measures" in one("35 shaft 52 bore 7").questions[0]
    assert one("seal, 35 shaft").questions == (
        "only the shaft is said: a size needs shaft and bore",
    )
    assert one("35 shaft 52 bore and 40 shaft 62 bore").readings == ()


def test_a_mark_among_words_keeps_what_the_words_say() -> None:
    want = one("OIL SEAL 35x5?x7 double lip")
    assert (want.mark, want.made) == ("35 5? 7", Execution(lip="double"))
    assert one("LM119?9/LM11910 taper bearing").mark == "LM119?9/LM11910"
    assert one("mark,lip", "35 5? 7,single").made == Execution(lip="single")


def test_a_question_is_no_lost_character() -> None:
    want = one("35x52x7?")
    assert (want.readings[0][0], want.mark) == (SEAL, "")
    assert "taken for a question" in want.questions[0]
    assert one("3220?").mark == "3220?"
    assert one("35x52x1?").mark == "35 52 1?"


def test_what_stands_beside_a_designation_is_asked_for() -> None:
    for text, rest in (("32206 J2/Q", "J2/Q"), ("30206 2rs", "2rs")):
        want = one(text)
        assert want.readings[0][0].designation == text.split()[0]
        assert want.questions == (
            f"{rest}: not read beside {text.split()[0]}; ask what it stands for",
        )
    assert one("TAPER ROLLER BRG 30206").questions == ()


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


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("2 pcs 35x52x7 double lip", 2),
        ("10 Stück WDR 35x52x7 NBR", 10),
        ("35x52x7 - 3 Stk.", 3),
        ("seal 35x52x7, 4 stck", 4),
        ("1 Paar 35x52x7", 2),
        ("5ea 35x52x7", 5),
        ("35 mm shaft 52 bore 7 wide", None),
        ("35x52x7 NBR", None),
        ("seal 35x52x7, 0 Stk", 0),
    ],
)
def test_pieces_named_first_or_last(text: str, quantity: int | None) -> None:
    (want,) = wanted_lines([text])
    if quantity == 0:
        assert want.refused is not None
        assert want.refused.column == "quantity"
        return
    assert want.quantity == quantity
    ((size, _),) = want.readings
    assert (size.shaft_um, size.bore_um, size.width_um) == (35000, 52000, 7000)
    assert ("1 Paar: taken as 2 pieces" in want.questions) == ("Paar" in text)


def test_quantities_of_a_page_in_another_language(tmp_path: Path) -> None:
    path = tmp_path / "page.csv"
    cells = ("2", ">3", "ja", "2,5", "-1", "3 Paar", "")
    rows = "".join(f"{cell};Wellendichtring;35x52x7\n" for cell in cells)
    path.write_text(f"Menge;Bezeichnung;Größe\n{rows}", encoding="utf-8")
    wants = list(wanted_of_file(str(path)))
    assert [want.quantity for want in wants] == [2, 3, None, None, None, 6, None]
    assert [bool(want.questions) for want in wants] == [False, *[True] * 5, False]
    # What a supplier has is not what is wanted.
    path.write_text(f"Bestand;Bezeichnung;Größe\n{rows}", encoding="utf-8")
    assert {want.quantity for want in wanted_of_file(str(path))} == {None}


def test_a_heading_below_a_title(tmp_path: Path) -> None:
    path = tmp_path / "page.csv"
    path.write_text("Request of the yard\n\nqty,shaft,bore,width,pocket\n2,35,52,7,9\n", "utf-8")
    title, want = wanted_of_file(str(path))
    assert title.refused is not None
    assert title.refused.reason == "above the heading"
    assert (want.line, want.quantity, want.pocket_um) == (4, 2, 9000)


@pytest.mark.parametrize(
    ("text", "kinds", "designations"),
    [
        ("30x62x17.25", {"seal", "bearing"}, {None, "30206"}),
        ("25x52x16", {"seal", "bearing"}, {None, "30205"}),
        ("25x62x18.3 bearing", {"bearing"}, {None, "30305", "31305"}),
        ("35x52x7", {"seal"}, {None}),
        ("oil seal 30x62x17.25", {"seal"}, {None}),
    ],
)
def test_a_size_that_is_a_listed_bearings_is_asked_for(
    text: str, kinds: set[str], designations: set[str | None]
) -> None:
    want = one(text)
    assert {size.kind for size, _ in want.readings} == kinds
    assert {size.designation for size, _ in want.readings} == designations
    assert bool(want.questions) == (len(designations) > 1)


def test_a_designation_without_its_x_is_asked_for() -> None:
    for text in ("32010", "bearing 32010"):
        want = one(text)
        assert want.readings[0][0].designation == "32010 X"
        assert "read as 32010 X" in want.questions[0]
    assert one("32010 X").questions == ()


def test_words_that_tell_nothing_alone_are_named() -> None:
    want = one("seal 35x52x7 grease double lip")
    assert want.readings[0][1] == Execution(lip="double")
    assert want.questions == ("GREASE: not read; it tells nothing by itself",)
    assert one("seal 35x52x7 left hand thread spindle").readings[0][1] == Execution()


@pytest.mark.parametrize("text", ["35x52x7 2x", "35x52x7, 2 x", "seal 35x52x7 2X"])
def test_times_behind_a_size_are_pieces(text: str) -> None:
    want = one(text)
    assert want.quantity == 2
    assert [size for size, _ in want.readings] == [SEAL]
    assert one("35 x 52 x 7x").quantity is None


def test_a_wide_size_that_no_table_has_may_be_a_bearings() -> None:
    want = one("75x130x31")
    assert {size.kind for size, _ in want.readings} == {"seal", "bearing"}
    assert "both are looked for" in want.questions[0]
    assert {size.kind for size, _ in one("36x52x7").readings} == {"seal"}


@pytest.mark.parametrize("heading", ["text,shaft,bore,width", "text,bore,od,width"])
def test_a_bearing_in_the_text_is_that_of_the_columns(heading: str) -> None:
    own = SizeKey("bearing", 30000, 62000, 17250, "metric", "30206")
    want = one(heading, "30206,30,62,17.25")
    assert ([size for size, _ in want.readings], want.questions) == ([own], ())
    bare = one(heading, "taper bearing,30,62,21.25")
    assert bare.readings[0][0] == SizeKey("bearing", 30000, 62000, 21250, "metric")
    assert bare.questions == ()
    both = one(heading, "30206,30,62,21.25")
    assert [size.designation for size, _ in both.readings] == ["30206", None]
    assert "30206 is listed as 30 x 62 x 17.25 mm; ask which is meant" in both.questions[0]


def test_a_size_in_columns_is_not_missed_in_the_text() -> None:
    want = one("text,shaft,bore,width", "oil seal,35,52,7")
    assert (want.readings[0][0], want.questions) == (SEAL, ())


@pytest.mark.parametrize(
    ("text", "direction"),
    [
        ("35x52x7 giro izquierdo", "left"),
        ("35x52x7 rotation à droite", "right"),
        ("WDR 35x52x7 linkslaufend", "left"),
        ("retén 35x52x7 giro derecho", "right"),
    ],
)
def test_directions_as_other_languages_say_them(text: str, direction: str) -> None:
    assert one(text).readings[0][1].direction == direction
    assert one("retén 35x52x7 labio doble").readings[0][1].lip == "double"
