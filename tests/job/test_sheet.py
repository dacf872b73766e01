"""The bench sheet: what is read, and what is refused in words."""

from __future__ import annotations

import json
import math
import re
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from fitcheck.errors import InputError
from fitcheck.job.blank import BLANK_SHEET
from fitcheck.job.card import job_card
from fitcheck.job.sheet import (
    MAX_BYTES,
    MAX_ENTRIES,
    BearingEntry,
    ClosingEntry,
    Job,
    OilEntry,
    PivotEntry,
    PressEntry,
    SealEntry,
    Sheet,
    Shelf,
    ShimsEntry,
    parse_sheet,
)

SEAL = '[[seal]]\nname = "inner"\n'
MODELS = {
    "job": Job,
    "seal": SealEntry,
    "bearing": BearingEntry,
    "press": PressEntry,
    "shims": ShimsEntry,
    "pivot": PivotEntry,
    "oil": OilEntry,
    "closing": ClosingEntry,
    "shelf": Shelf,
}


def refusal(text: str) -> str:
    """The message a sheet is refused with."""
    with pytest.raises(InputError) as refused:
        parse_sheet(text, name="bench.toml")
    message = str(refused.value)
    assert message.startswith("bench.toml")
    assert "\n" not in message
    assert message.isprintable()
    return message


def test_texts_numbers_and_lists_are_readings() -> None:
    sheet = parse_sheet(
        SEAL + 'shaft = [34.92, "34.93@micrometer", 35]\nbore = " 52.02 "\nold_width = 7\n'
    )
    assert sheet.seal[0].shaft == ("34.92", "34.93@micrometer", "35")
    assert sheet.seal[0].bore == ("52.02",)
    assert sheet.seal[0].old_width == ("7",)


def test_blank_readings_are_places_left_out() -> None:
    sheet = parse_sheet(SEAL + 'shaft = ["", "  "]\nbore = ""\nmark = []\n')
    assert sheet.seal[0].shaft == sheet.seal[0].bore == sheet.seal[0].mark == ()


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("2026-03-09", "2026-03-09"),
        ('"9 March"', "9 March"),
        ("07:32:00", "07:32:00"),
        ("2026-03-09T07:32:00", "2026-03-09 07:32:00"),
        ('""', ""),
    ],
)
def test_a_date_is_written_in_any_way(written: str, shown: str) -> None:
    assert parse_sheet(f"[job]\ndate = {written}\n{SEAL}").job.date == shown


def test_positions_stand_in_the_order_of_the_card() -> None:
    sheet = parse_sheet('[[bearing]]\nname = "b"\n[[seal]]\nname = "a"\n[oil]\n')
    assert [position.name for position in sheet.positions()] == ["a", "b", "oil"]


def test_the_blank_sheet_is_read_as_it_is() -> None:
    sheet = parse_sheet(BLANK_SHEET)
    assert [position.name for position in sheet.positions()] == ["inner seal", "inner bearing"]
    assert sheet.job.unit == "mm"


@pytest.mark.parametrize(
    ("text", "wording"),
    [
        ("", "the sheet has no position"),
        ('[job]\ntitle = "x"\n', "Add a [[seal]] or [[bearing]] table"),
        ("[job", "this is not readable TOML"),
        ("\x00", "this is not readable TOML"),
        ("a = " + "9" * 5000, "this is not readable TOML"),
        ("a = " + "[" * 5000, "this is not readable TOML"),
        ("date = 2026-02-31", "this is not readable TOML"),
        (SEAL + 'shfat = "35"', "[[seal]] inner shfat: there is no such key here"),
        (SEAL + 'shfat = "35"', "Did you mean shaft?"),
        (SEAL + 'old-width = "7"', "Did you mean old_width?"),
        ('[[seel]]\nname = "a"', "Did you mean seal?"),
        ('[jib]\ntitle = "a"', "Did you mean job?"),
        ('[job]\ntittle = "a"', "[job] tittle: there is no such key here. Did you mean title?"),
        (SEAL + "qqqq = 1", "`fitcheck hub --blank` lists the keys"),
        ('[[seal]]\nshaft = "35"', "[[seal]] number 1 name: this key is needed"),
        ('[[seal]]\nname = ""', "[[seal]]"),
        (SEAL + "shaft = {a = 1}", "[[seal]] inner shaft: a text or a number is wanted here"),
        (SEAL + "shaft = true", "a text or a number is wanted here"),
        (SEAL + "shaft = [[1]]", "a text or a number is wanted here"),
        (SEAL + 'case = "wood"', "case = 'wood': 'metal', 'rubber' or nothing is wanted here"),
        (SEAL + "quantity = 0", "quantity = 0: a whole number from 1 to 1000 is wanted here"),
        (SEAL + "quantity = 1.5", "quantity = 1.5: a whole number from 1 to 1000 is wanted here"),
        (SEAL + 'pitted = "perhaps"', "pitted = 'perhaps': true or false is wanted here"),
        (SEAL + 'unit = "cm"', "unit = 'cm'"),
        ('[job]\nunit = "cm"\n' + SEAL, "[job] unit = 'cm'"),
        ('[job]\nturning = "both"\n' + SEAL, "[job] turning = 'both'"),
        ("[job]\ncertainty = 2\n" + SEAL, "certainty = 2: a number from 0.5 to 1 is wanted here"),
        ("[job]\ncertainty = nan\n" + SEAL, "certainty = nan"),
        ("seal = 3", "[seal] = 3: a list of tables, [[seal]], is wanted here"),
        ('[seal]\nname = "a"', "[seal]"),
        ("seal = [1]", "[[seal]]  = 1: a table with its keys is wanted here"),
        ("shelf = 3", "[shelf] = 3: a table with its keys is wanted here"),
        ("[job]\ndate = [1]\n" + SEAL, "[job] date: a text or a number is wanted here"),
        (SEAL + SEAL, "bench.toml, inner: two positions have the same name"),
        (SEAL + '[[bearing]]\nname = "inner"', "two positions have the same name"),
        (SEAL + 'a1 = 1\nb2 = 2\nc3 = "x"', "(2 more)"),
        ('[[seal]]\nname = "a\\u001b[31m"\nx = 1', "a\\x1b[31m x"),
        ('[[seal]]\nname = "' + "n" * 500 + '"\nx = 1', "nnn..."),
        (SEAL + '"\\u001b]0;t" = 1', "\\x1b]0;t"),
    ],
)
def test_what_is_wrong_with_a_sheet_is_said_in_one_line(text: str, wording: str) -> None:
    assert wording in refusal(text)


def test_a_sheet_of_any_length_is_not_read() -> None:
    assert "at most" in refusal("#" * (MAX_BYTES + 1))
    many = "".join(f'[[seal]]\nname = "{i}"\n' for i in range(MAX_ENTRIES + 1))
    assert "201 positions" in refusal(many)


# --- whatever stands in it -----------------------------------------------------------------------


def toml(value: Any) -> str:
    """A value as TOML; a JSON text is a TOML text, and so are numbers, flags and lists."""
    if isinstance(value, dict):
        inside = ", ".join(
            f"{json.dumps(key, ensure_ascii=False)} = {toml(item)}" for key, item in value.items()
        )
        return "{" + inside + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(item) for item in value) + "]"
    if isinstance(value, float) and math.isnan(value):
        return "nan"
    return json.dumps(value, ensure_ascii=False)


words = st.text(
    st.characters(blacklist_categories=["Cs"], blacklist_characters="\x7f"), max_size=12
)
texts = st.one_of(
    words,
    st.sampled_from(
        ["35", "34.92mm@micrometer", "1-3/8in", "1,250", "52", "hub", "shaft", "gear oil", "300rpm"]
    ),
)
plain_values = st.one_of(
    texts, st.integers(-10, 400), st.floats(-10.0, 400.0), st.booleans(), st.just(float("nan"))
)
values = st.recursive(
    plain_values,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(words, inner, max_size=2)),
    max_leaves=5,
)
KEYS = [
    *("name", "quantity", "note", "unit", "shaft", "track", "bore", "od", "width", "mark"),
    *("old_od", "old_lip", "old_width", "pocket", "case", "journal", "housing", "turning"),
    *("groove_depth", "groove_width", "lip_at", "room", "rpm", "oil", "oil_temp", "pressure"),
    *("title", "machine", "date", "speed", "temperature", "certainty", "pitted", "oval"),
]
tables = st.dictionaries(st.one_of(st.sampled_from(KEYS), words), values, max_size=5)
sheets = st.fixed_dictionaries(
    {},
    optional={
        "job": st.one_of(tables, values),
        "seal": st.one_of(st.lists(tables, max_size=2), values),
        "bearing": st.one_of(st.lists(tables, max_size=2), values),
        "oil": st.one_of(tables, values),
        "shelf": st.one_of(tables, values),
        "odd": values,
    },
)


def read(text: str) -> tuple[Sheet | None, str]:
    """A sheet, or the message it is refused with; whatever else is raised is a fault."""
    try:
        return parse_sheet(text), ""
    except InputError as refused:
        return None, str(refused)


@given(sheets)
def test_any_sheet_gives_a_card_or_a_refusal_in_words(raw: dict[str, Any]) -> None:
    text = "\n".join(f"{key} = {toml(value)}" for key, value in raw.items())
    sheet, message = read(text)
    assert message.isprintable()
    if sheet is not None:
        assert job_card(sheet)["verdict"] in {"go", "check", "no-go"}


good = st.fixed_dictionaries(
    {"name": st.uuids().map(str)},
    optional={
        key: st.one_of(texts, st.lists(texts, max_size=3), st.integers(1, 400))
        for key in ("shaft", "track", "bore", "pocket", "old_od", "old_lip", "old_width", "mark")
    },
)


@given(seals=st.lists(good, min_size=1, max_size=2), unit=st.sampled_from(["mm", "in"]))
def test_any_readings_of_a_sheet_leave_a_card(seals: list[dict[str, Any]], unit: str) -> None:
    text = f"job = {toml({'unit': unit})}\nseal = {toml(list(seals))}"
    card = job_card(parse_sheet(text))
    assert [p["name"] for p in card["positions"]] == [seal["name"] for seal in seals]


@given(st.text(max_size=60))
def test_any_text_is_a_sheet_or_a_refusal_in_words(text: str) -> None:
    assert read(text)[1].isprintable()


def uncommented(text: str) -> str:
    """The blank sheet with the # taken away before every key and table."""
    return re.sub(r"^# (?=[a-z_]+ = |\[)", "", text, flags=re.MULTILINE)


@pytest.mark.parametrize(("table", "model"), MODELS.items())
def test_every_key_stands_in_the_blank_sheet(table: str, model: type[Struct]) -> None:
    raw = tomllib.loads(uncommented(BLANK_SHEET))[table]
    entry = raw[0] if isinstance(raw, list) else raw
    assert list(set(model.__struct_fields__) - set(entry)) == []


def test_every_table_of_a_sheet_is_looked_at() -> None:
    assert set(MODELS) == set(Sheet.__struct_fields__)


def test_the_blank_sheet_is_read_with_every_key_in_use() -> None:
    sheet = parse_sheet(uncommented(BLANK_SHEET))
    assert {type(p).__name__ for p in sheet.positions()} == {
        "SealEntry",
        "BearingEntry",
        "PressEntry",
        "ShimsEntry",
        "PivotEntry",
        "OilEntry",
        "ClosingEntry",
    }


@pytest.mark.parametrize(
    ("head", "keys"),
    [
        ("[[seal]]", "groove_depth groove_width lip_at room"),
        ("[[press]]", "interface outer inner length interference outer_rz inner_rz pin"),
        ("[[shims]]", "measured pack_measured pull radius diameter base_drag span"),
        ("[oil]", "diameter length level shaft"),
        ("[closing]", "cotter_hole cotter_through"),
    ],
)
def test_what_is_measured_takes_one_reading_or_several(head: str, keys: str) -> None:
    lines = [f'{key} = ["1.0", 2, "3@tape"]' for key in keys.split()]
    sheet = parse_sheet("\n".join([head, 'name = "it"', *lines]))
    (position,) = sheet.positions()
    for key in keys.split():
        assert getattr(position, key) == ("1.0", "2", "3@tape")


def test_what_is_not_measured_takes_one_value() -> None:
    assert "text or a number is wanted" in refusal('[[press]]\nname = "it"\nfit = ["H7/s6"]\n')
    assert "text or a number is wanted" in refusal('[oil]\nfill = [0.5, "0.6"]\n')
