"""One name for a size, whatever it was called."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.lists.named_parts import part_name
from fitcheck.lists.source import rows_source
from fitcheck.parts.kind import kind, kind_family, kind_names
from fitcheck.parts.seal import seal_sizes
from fitcheck.stock.parts import names_of

LISTED = [
    {
        "line": 2,
        "part_number": "000621",
        "kind": "seal",
        "shaft_um": 35_000,
        "bore_um": 52_000,
        "width_um": 7_000,
        "system": "metric",
    },
    {"line": 3, "part_number": "GLUE", "kind": "other"},
]
OTHER = [{**LISTED[0], "part_number": "000621", "width_um": 8_000}]
SOURCE = rows_source({"north": LISTED})


def key(text: str, what: str = "") -> str:
    """What a text is called."""
    named = names_of([(text, what)], source=SOURCE)[text, what]
    assert not named.refused, named.refused
    return named.key


@pytest.mark.parametrize(
    "text",
    ["35 x 52 x 7", "OIL SEAL 35X52X7 NBR", "1.378 x 2.047 x 0.276 in", "000621", "621"],
)
def test_units_and_part_numbers_are_crossed_first(text: str) -> None:
    assert key(text) == "35 x 52 x 7"


@pytest.mark.parametrize(
    ("text", "what", "wanted"),
    [
        ("1-3/8 x 2-1/8 x 5/16 in", "", "1.375 x 2.125 x 0.313 in"),
        ("34.925x53.975x7.938 mm", "", "1.375 x 2.125 x 0.313 in"),
        ("bearing 30206", "", "30206"),
        ("30x62x17.25", "bearing", "30206"),
        ("LM11949 / LM11910", "", "LM11949/LM11910"),
        ("90.00 x 20", "thin sleeve", "sleeve 90.00 x 20"),
        ("sleeve 90.00 x 20", "", "sleeve 90.00 x 20"),
        ("0.2 mm", "shim", "shim 0.2 mm"),
        ("O-RING 45x3 NBR70", "", "O-ring 45 x 3"),
        ("45 x 3", "O-ring", "O-ring 45 x 3"),
        ("6205-2RS", "", "deep-groove ball bearing 6205"),
        ("6205", "", "deep-groove ball bearing 6205"),
        ("6205", "bearing", "deep-groove ball bearing 6205"),
        ("6205 2RS", "bearing", "deep-groove ball bearing 6205"),
        ("6205", "deep-groove ball bearing", "deep-groove ball bearing 6205"),
        ("DIN 471 - 35 x 1.5", "retaining ring", "retaining ring DIN 471 - 35 x 1.5"),
        ("circlip 35 DIN 471", "", "retaining ring DIN 471 - 35 x 1.5"),
    ],
)
def test_names(text: str, what: str, wanted: str) -> None:
    assert key(text, what) == wanted


def test_35_mm_and_its_inch_twin_stay_two_sizes() -> None:
    assert key("35 x 53.975 x 7.938") != key("34.925 x 53.975 x 7.938")


@pytest.mark.parametrize("text", ["old thing", "35 x 52", "GLUE"])
def test_what_is_no_size_is_a_part_of_its_own_and_said_so(text: str) -> None:
    named = names_of([(text, "")], source=SOURCE)[text, ""]
    assert named.key
    assert named.note


@pytest.mark.parametrize(
    ("text", "what", "key"),
    [
        ("repair sleeve 90 x 20", "", "sleeve 90.00 x 20"),
        ("90 x 20", "sleeve", "sleeve 90.00 x 20"),
        ("sleeve 90.00 x 20", "", "sleeve 90.00 x 20"),
        ("sleeve 91 x 23", "", "sleeve 91 x 23"),
    ],
)
def test_a_sleeve_is_known_by_its_shaft_and_its_width(text: str, what: str, key: str) -> None:
    named = names_of([(text, what)])[text, what]
    assert (named.key, named.what, named.note) == (key, "sleeve", "")


def test_capitals_do_not_make_two_parts() -> None:
    found = names_of([("Old Thing", ""), ("OLD THING", "")])
    assert len({named.key for named in found.values()}) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [("seal 10 x 8 x 22", "can be read as"), ("3220?", "names no one part")],
)
def test_what_can_be_read_in_two_ways_is_refused(text: str, words: str) -> None:
    assert words in names_of([(text, "")])[text, ""].refused


def test_dimensions_of_several_bearings_are_refused_with_their_names() -> None:
    refused = names_of([("40 x 90 x 25.25", "bearing")])["40 x 90 x 25.25", "bearing"].refused
    assert refused == "these dimensions are those of 30308, 31308: write which"


def test_a_number_of_two_sizes_is_refused() -> None:
    both = rows_source({"north": LISTED, "south": OTHER})
    named = names_of([("000621", "")], source=both)["000621", ""]
    assert "names several sizes (north: 35 x 52 x 7; south: 35 x 52 x 8)" in named.refused


@settings(max_examples=40)
@given(st.sampled_from(seal_sizes()))
def test_a_listed_seal_is_called_by_its_own_name_in_either_unit(size: object) -> None:
    label = size.label
    shaft, bore, width = (value[0] for value in size.nominals[:3])
    names = names_of([(label, ""), (f"seal {shaft:.3f} x {bore:.3f} x {width:.3f} mm", "")])
    assert len({named.key for named in names.values()}) == 1


@pytest.mark.parametrize("name", kind_names())
def test_a_part_of_a_card_keeps_its_name(name: str) -> None:
    """A card names family and size apart; demand and lists count them under one name."""
    for size in kind_family(name).sizes[::40]:
        assert key(size.label, kind(name).title) == part_name(name, size.label)
