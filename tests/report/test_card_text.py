"""The job card as text: 80 columns, whatever the mechanic wrote on the sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.card_text import card_text
from fitcheck.report.card_workbook import sized

DEMO = Path(__file__).parents[2] / "data" / "demo"


def card(text: str) -> dict[str, Any]:
    """The card of a sheet."""
    return job_card(parse_sheet(text))


def check_terminal(text: str) -> None:
    """A text a terminal of 80 columns can have."""
    for line in text.split("\n"):
        assert len(line) <= 80, line
        assert line.isprintable()
        assert line == line.rstrip()


@pytest.mark.parametrize("name", ["trailer", "drum", "winch"])
def test_a_demo_card_reads_well(name: str) -> None:
    found = card((DEMO / f"{name}.toml").read_text(encoding="utf-8"))
    text = card_text(found)
    check_terminal(text)
    lines = text.split("\n")
    assert lines[1].startswith("JOB CARD  ")
    assert "Invented data, for demonstration only." in lines
    assert f"Verdict: {found['verdict'].upper()}" in lines
    order = ["Verdict: ", "\nParts, to order in one go", "\nSEAL ", "\nBEARING "]
    order += ["\nReadings to take again", "\nCautions", "\nSources"]
    places = [text.index(head) for head in order]
    assert places == sorted(places)
    assert "None" not in text
    for position in found["positions"]:
        shown = {"go": "GO", "check": "CHECK", "no-go": "NO-GO"}[position["verdict"]]
        assert any(line.startswith(f"  {shown:<6} {position['name']}") for line in lines), position[
            "name"
        ]
    for source in found["sources"]:
        assert source.split()[0] in text


def test_text_and_data_agree_on_parts() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))
    text = " ".join(card_text(found).split())
    for part in found["parts"]:
        box = "[on shelf]" if part["on_shelf"] else "[ ]"
        assert f"{box} {part['quantity']} x {part['what']} {sized(part)}, for" in text
    assert "(settle before ordering)" in text


def sheet(*, name: str, title: str = "", note: str = "") -> str:
    """A sheet with texts of any kind."""
    quoted = {key: json.dumps(value) for key, value in (("n", name), ("t", title), ("o", note))}
    return (
        f"[job]\ntitle = {quoted['t']}\nmachine = {quoted['t']}\nnote = {quoted['o']}\n"
        f"[[seal]]\nname = {quoted['n']}\nnote = {quoted['o']}\nshaft = 34.95\nbore = 52.02\n"
        f'[[seal]]\nname = "two"\nshaft = "abc"\n'
    )


@pytest.mark.parametrize(
    "text",
    [
        "hub\x1b[31mred\x1b]0;title\x07",
        "one\ntwo\r\nthree",
        "x" * 300,
        "a long name of a position that goes on and on well past the end of any line there is",
        "right\u202eleft\u200b",
        "\x9b2J",
    ],
)
def test_no_text_of_the_sheet_breaks_the_card(text: str) -> None:
    found = card(sheet(name=text, title=text, note=text))
    printed = card_text(found)
    check_terminal(printed)
    assert "\x1b" not in printed


# Surrogate pairs and the delete character have no escape that is both JSON and TOML.
any_text = st.text(
    st.characters(max_codepoint=0xFFFF, blacklist_categories=["Cs"], blacklist_characters="\x7f"),
    max_size=120,
)


@given(name=any_text.filter(lambda t: t.strip() not in ("", "two")), title=any_text, note=any_text)
def test_any_text_of_the_sheet_leaves_a_card(name: str, title: str, note: str) -> None:
    check_terminal(card_text(card(sheet(name=name, title=title, note=note))))


def test_a_card_without_a_title_says_only_what_it_is() -> None:
    lines = card_text(card('[[seal]]\nname = "a"\nshaft = 35\nbore = 52\n')).split("\n")
    assert lines[1] == "JOB CARD"
    assert lines[2] == "=" * 80


def test_a_bare_card_leaves_empty_sections_out() -> None:
    text = card_text(card('[[seal]]\nname = "a"\n'))
    assert "1 x lip seal to be settled" in text
    for section in ("Settings", "Sources", "Work:"):
        assert section not in text
    assert "  CHECK  a  not decided" in text


def test_instruments_have_their_article() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))
    assert "motor-side seal, shaft, with a micrometer: " in " ".join(card_text(found).split())
