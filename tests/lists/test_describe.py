"""Free texts understood, and what is said about them."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.lists.attributes import ATTRIBUTES, read_attribute
from fitcheck.lists.describe import Described, Describer
from fitcheck.lists.sizes import seal_shape


def read(text: str, *, unit: str = "mm", known: bool = False) -> Described:
    return Describer(unit=unit, known=known).read(text)


def size(found: Described) -> tuple[int | None, int | None, int | None, str | None]:
    return found.size.shaft_um, found.size.bore_um, found.size.width_um, found.size.system


METRIC = (35000, 52000, 7000, "metric")
THOUSANDTHS = (34925, 53975, 7950, "inch")
SIXTEENTHS = (34925, 53975, 7938, "inch")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("OIL SEAL 35x52x7 NBR DBL LIP", METRIC),
        ("SEAL,35x52x7", METRIC),
        ("SEAL35X52X7", METRIC),
        ("seal Ø35 × Ø52 × 7 mm", METRIC),
        ("35mm x 52mm x 7mm seal", METRIC),
        ("35*52*7", METRIC),
        ("35-52-7", METRIC),
        ("35/52/7", METRIC),
        ("35 52 7", METRIC),
        ("35;52;7", METRIC),
        ("SEAL 35 by 52 by 7", METRIC),
        ("D35 D52 B7", METRIC),
        ("d1=35 d2=52 b=7", METRIC),
        ("shaft 35 bore 52 w 7", METRIC),
        ("WDR 035x052x07", METRIC),
        ("seal 25/32/7", (25000, 32000, 7000, "metric")),
        ("WDR 35,5x52x7,5", (35500, 52000, 7500, "metric")),
        ("25.4 44.45 6.35", (25400, 44450, 6350, "metric")),
        ("seal,1-3/8 X 2 1/8 x .313", THOUSANDTHS),
        ("1.375/2.125/.313", THOUSANDTHS),
        ('1.375" x 2.125" x .313"', THOUSANDTHS),
        ("1.375 x 2.125 x .313 in", THOUSANDTHS),
        ("1,375x2,125x,313 seal", THOUSANDTHS),
        ("SEAL ID 1.375 OD 2.125 W .313", THOUSANDTHS),
        ("1⅜x2⅛x5/16", SIXTEENTHS),
        ("1-3/8-2-1/8-5/16", SIXTEENTHS),
        ("1 3/8 2 1/8 5/16", SIXTEENTHS),
        ("1.375in x 52mm x 8mm seal", (34925, 52000, 8000, "mixed")),
        ("hub seal 35x52", (35000, 52000, None, "metric")),
        ("seal 35 x 35x52x7", (None, None, None, None)),
    ],
)
def test_sizes(text: str, wanted: tuple[int | None, int | None, int | None, str | None]) -> None:
    found = read(text)
    assert size(found) == wanted
    assert found.kind == "seal"


@pytest.mark.parametrize(
    ("text", "outcome", "value", "reason"),
    [
        ("35x8x58", "repaired", "35X8X58", "the only order that makes a seal is 35 x 58 x 8 mm"),
        ("35*52*7/8", "repaired", "35*52*7/8", "two widths, 7 and 8"),
        ("seal 35x52", "noted", "35X52", "no width is given"),
        ("25.4 44.45 6.35", "noted", "25.4 44.45 6.35", "exactly 1 x 1.75 x 0.25 in"),
        ("34.9x54x8", "noted", "34.9X54X8", "nearly the size 1.375 x 2.125 x 0.313 in"),
        ("1.378x2.047x.276", "noted", "1.378X2.047X.276", "nearly the size 35 x 52 x 7 mm"),
        ("PLATE 100x50x10", "noted", "100X50X10", "taken for no size of a seal"),
        ("grommet 33x50x9", "noted", "33X50X9", "no word tells the kind"),
        ("seal NBR 12-05-2023", "noted", "12-05-2023", "taken for no size"),
        ("OIL SEAL", "noted", "OIL SEAL", "a seal without a size"),
        ("seal 35x52x7 NBR/FKM", "repaired", "NBR, FKM", "the words say NBR and FKM; left out"),
        ("bearing LM11949/10", "repaired", "LM11949/10", "the short form of LM11949/LM11910"),
        ("bearing 2475/2420", "repaired", "2475/2420", "its leading zeros are lost"),
        ("bearing LM11949/LM67010", "noted", "LM11949/LM67010", "not listed as a pair"),
        ("30206J2 bearing", "noted", "30206J2", "taken as 30206, look what it says"),
        ("30206X bearing", "noted", "30206X BEARING", "without a listed designation"),
        ("bearing 32010", "noted", "32010", "32010 X is listed: the X may be left out"),
        ("bearing for hub", "noted", "BEARING FOR HUB", "without a listed designation"),
        ("30206 brg 30x62x16", "noted", "30X62X16", "30206 is listed as 30 x 62 x 17.25 mm"),
    ],
)
def test_what_is_noticed_is_told(text: str, outcome: str, value: str, reason: str) -> None:
    notes = read(text).notes
    assert any(
        (note.outcome, note.value) == (outcome, value) and reason in note.reason for note in notes
    ), notes


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("25x7x10", "7 x 25 x 10 mm or as 10 x 25 x 7 mm"),
        ("seal 35x52x7x9", "more than three numbers"),
        ("35x52x7 seal + 40x62x8 seal", "more than one size"),
        ("seal 35x52/7", "more than one size, or more than three numbers"),
        ("seal 35x52x7,2 pcs", "ends at the comma"),
        ("seal A1,35x52x7", "no seal is 1,35 x 52 x 7"),
        ("seal 35x52x7 in", "no seal is 35 x 52 x 7"),
        ("seal 0x52x7", "zero"),
        ("seal 1x5/0x7", "in doubt"),
        ("Oil seal 3 5x52x7", "5 or, without the space, 35"),
        ("seal 35x52x0.276", "35 x 52 x 7.01 mm, its width in inches"),
        ("oil seal for shaft 35 replaces 38x52x7", "stands behind REPLACES"),
    ],
)
def test_what_is_in_doubt_is_refused(text: str, reason: str) -> None:
    found = read(text)
    assert reason in found.refused
    assert found.size.shaft_um is None


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("30206", "30206"),
        ("taper brg 32006X", "32006 X"),
        ("LM11949/LM11910", "LM11949/LM11910"),
        ("bearing LM11949/10", "LM11949/LM11910"),
        ("CONE LM11949 CUP LM11910", "LM11949/LM11910"),
        ("cone LM11949", "LM11949"),
        ("302/22 bearing", "302/22"),
        ("30222 bearing", "30222"),
        ("bearing 99999", None),
        ("bearing", None),
    ],
)
def test_designations(text: str, designation: str | None) -> None:
    found = read(text)
    assert (found.kind, found.designation) == ("bearing", designation)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("instead of 30206 use bearing 32206", "several designations"),
        ("bearing (not 30206) 32206", "several designations"),
        ("bearing 30206/32206", "several designations"),
        ("30206 32206", "several designations"),
        ("bearing 30206 or 32206", "several designations"),
        ("bearing set 30206 with 32207", "several designations"),
        ("bearing 30206 cone LM11949", "several designations"),
        ("cone only for 30206 bearing", "only the cone"),
        ("cup of 30206", "only the cup"),
        ("bearing, not 30206", "stands behind NOT"),
        ("Lager statt 30206", "stands behind STATT"),
        ("bearing replaces 30206", "stands behind REPLACES"),
        ("adapter for bearing 30206", "stands behind FOR"),
        ("Deckel für Kegelrollenlager 30206", "stands behind FÜR"),
        ("spacer for bearing 30206", "SPACER names something for a part"),
        ("puller for 30206 taper bearing", "PULLER names something for a part"),
        ("30206 entretoise", "ENTRETOISE names something for a part"),
    ],
)
def test_what_is_not_the_bearing_has_no_designation(text: str, reason: str) -> None:
    found = read(text)
    assert found.designation is None
    assert any(note.outcome == "repaired" and reason in note.reason for note in found.notes)


@pytest.mark.parametrize(
    "text",
    [
        "NO 30206 bearing",
        "bearing no. 30206",
        "2 of 30206",
        "30206 cone and cup",
        "bearing 30206 with spacer",
        "taper bearing 30206 for hub",
    ],
)
def test_the_bearing_itself_keeps_its_designation(text: str) -> None:
    found = read(text)
    assert (found.kind, found.designation) == ("bearing", "30206")


@pytest.mark.parametrize(
    "text",
    [
        "driver for oil seal 35x52x7",
        "seal installation tool 35x52x7",
        "grease for oil seal 35x52x7",
        "spare spring for oil seal 35x52x7",
        "repair kit with seal 35x52x7",
        "oil seal kit 35x52x7",
        "wiper 35x52x7",
        "dust seal wiper 35x52x7",
        "V-seal 35x52x7",
        "needle bearing HK2516 puller",
    ],
)
def test_an_accessory_is_no_part_of_that_size(text: str) -> None:
    found = read(text)
    assert (found.kind, found.size.shaft_um, found.designation) == ("other", None, None)


@pytest.mark.parametrize(
    ("words", "field", "value"),
    [
        ("no double lip for grease", "lip", None),
        ("never the double lip", "lip", None),
        ("anything but double lip", "lip", None),
        ("single/double lip", "lip", None),
        ("dust lip missing", "lip", None),
        ("replaces double lip type for grease", "lip", None),
        ("replaces double lip type for grease", "lubricant", "grease"),
        ("without spring or dust lip", "lip", None),
        ("for grease or oil", "lubricant", None),
        ("for grease/oil", "lubricant", None),
        ("FKM (not NBR) metal od rubber lip", "case", "metal"),
        ("left/right hand", "direction", None),
        ("NO 12 double lip", "lip", "double"),
        ("keine Staublippe, für Fett", "lubricant", "grease"),
        ("with wiper lip", "lip", "double"),
        ("nitrile rubber OD", "case", "rubber"),
        ("silicone rubber OD", "material", "VMQ"),
    ],
)
def test_what_is_denied_or_left_open_is_left_out(words: str, field: str, value: str | None) -> None:
    found = read(f"oil seal 35x52x7 {words}")
    assert found.fields()[field] == value
    assert value or any(note.outcome == "repaired" for note in found.notes)


def test_a_seal_has_no_designation() -> None:
    assert read("OIL SEAL 30206 35x52x7").designation is None


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("seal 35x52x7 dbl-lip", "lip", "double"),
        ("WDR 35x52x7 ohne Staublippe", "lip", "single"),
        ("seal w/o dust lip", "lip", "single"),
        ("seal with dust lip", "lip", "double"),
        ("seal 12 lip", "lip", None),
        ("seal double lid", "lip", None),
        ("seal sinlge lip", "lip", None),
        ("seal rubber covered", "case", "rubber"),
        ("seal metal O.D.", "case", "metal"),
        ("WDR FORM BS 35x52x7", "lip", "double"),
        ("seal 35x52x7NBR70", "material", "NBR"),
        ("seal FPM", "material", "FKM"),
        ("seal no spring", "spring", "no"),
        ("seal with spring", "spring", "yes"),
        ("OIL SEAL", "lubricant", None),
        ("GREASE SEAL", "lubricant", "grease"),
        ("seal RH helix", "direction", "right"),
        ("seal ref RH200", "direction", None),
        ("seal bi-directional", "direction", "both"),
    ],
)
def test_attributes_come_from_listed_words(text: str, field: str, value: str | None) -> None:
    assert read(text).fields()[field] == value


def test_single_letters_tell_in_a_column_of_their_own_only() -> None:
    assert read_attribute("lip", "DL") == "double"
    assert read("seal DL 35x52x7").fields()["lip"] is None
    assert read_attribute("material", "wool") is None


@pytest.mark.parametrize("text", ["BOLT M8x25", "O-RING 35x3", "GASKET 35x52x7", "3E5", "", "  "])
def test_other_goods_have_no_size(text: str) -> None:
    found = read(text)
    assert (found.kind or "other", found.refused) == ("other", "")
    assert size(found) == (None, None, None, None)


def test_the_unit_of_the_list_and_sizes_in_the_other() -> None:
    assert read("35x52x7", unit="in", known=False).notes == ()
    (note,) = read("35x52x7", unit="in", known=True).notes
    assert note.outcome == "repaired"
    assert "only in mm" in note.reason


def test_the_same_text_is_read_once() -> None:
    describer = Describer()
    assert describer.read("SEAL 35x52x7") is describer.read("SEAL 35x52x7")
    assert describer.read("SEAL 35x52x7") is describer.read("seal  35x52x7")


def test_a_long_text_takes_no_long_time() -> None:
    start = time.process_time()
    for text in ("1 " * 5000, "1/" * 5000, "9" * 10000, "1x" * 5000, "shaft " * 2000, "1,1" * 3000):
        read(text)
    assert time.process_time() - start < 5.0


@given(st.text(max_size=60))
def test_any_text_is_understood_or_refused(text: str) -> None:
    found = read(text)
    shaft, bore, width, system = size(found)
    if found.refused:
        assert shaft is None
    if shaft is not None:
        assert bore is not None
        assert shaft < bore
        assert system in ("metric", "inch", "mixed")
    if width is not None:
        assert shaft is not None
    assert len(found.words.values) == len(ATTRIBUTES)


@given(
    st.integers(6, 200),
    st.integers(6, 60),
    st.integers(4, 16),
    st.sampled_from(["x", " X ", "*", "-", "/", " ", "×"]),
    st.tuples(
        st.sampled_from(["", "seal ", "OIL SEAL NBR ", "WDR,"]),
        st.sampled_from(["", " FKM", " mm", " dbl lip"]),
    ),
)
def test_a_size_is_read_wherever_it_stands(
    shaft: int, more: int, width: int, sign: str, around: tuple[str, str]
) -> None:
    bore, (before, after) = shaft + more, around
    if not seal_shape(shaft * 1000, bore * 1000, width * 1000):
        return
    text = f"{before}{shaft}{sign}{bore}{sign}{width}{after}"
    found = read(text)
    if not found.refused and found.size.shaft_um is not None:
        expected = (shaft * 1000, bore * 1000, width * 1000)
        # 25/32/7 is three numbers, 1/16/7 could be read otherwise, but never as another size.
        assert size(found)[:3] == expected, text


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("REPAIR SLEEVE 90 x 20", (90000, None, 20000)),
        ("Wear sleeve 20x90", (90000, None, 20000)),
        ('Thin sleeve 3-1/2" x 25/32"', (88900, None, 19844)),
        ("REPAIR SLEEVE 90 x 95", (90000, 95000, None)),
        ("REPAIR SLEEVE 90 x 90.5 x 20", (90000, 90500, 20000)),
        ("Sleeve 89.92-90.07 x 20", (None, None, None)),
        ("Sleeve 89.92 to 90.07 x 20", (None, None, None)),
    ],
)
def test_two_numbers_of_a_sleeve_are_its_shaft_and_its_width(
    text: str, size: tuple[int | None, ...]
) -> None:
    found = Describer().read(text)
    fields = found.fields()
    assert tuple(fields[name] for name in ("shaft_um", "bore_um", "width_um")) == size
    if size[0] is None:
        assert [note.outcome for note in found.notes] == ["repaired"]


@pytest.mark.parametrize("fourth", ["9", "10", "125", "7.5"])
def test_four_numbers_are_no_size(fourth: str) -> None:
    found = Describer().read(f"OIL SEAL 35x52x7x{fourth} NBR")
    assert found.size.shaft_um is None
    assert "more than three numbers" in found.refused


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("SEAL 35x52x7 not for oil", "lubricant"),
        ("WDR 35x52x7 nicht für Öl", "lubricant"),
        ("SEAL 35x52x7 not NBR", "material"),
    ],
)
def test_what_is_denied_is_not_taken(text: str, field: str) -> None:
    found = Describer().read(text)
    assert found.fields()[field] is None
    assert any("not read" in note.reason for note in found.notes)
    assert Describer().read("SEAL 35x52x7 without spring").fields()["spring"] == "no"
