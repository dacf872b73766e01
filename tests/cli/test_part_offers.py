"""A shop's lists beside the small parts: offers, and a list's own sizes to choose from."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., tuple[int, str, str]]
LIST = (
    "no;text;price;currency;stock\n"
    "A1;O-RING 45x3 NBR70;0,20;EUR;30\n"
    "A3;CIRCLIP 35 DIN 471;0,10;EUR;100\n"
    "A4;BALL BEARING 6205 2RS C3;4,20;EUR;5\n"
    "A6;CASSETTE SEAL 100x130x16;19,20;EUR;5\n"
    "B6;OIL SEAL 100x130x16;1,20;EUR;5\n"
)
CIRCLIP = ("circlip", "--shaft", "34.95", "--shaft-groove", "32.9")
HUB_SEAL = ("--shaft", "99.97", "--bore", "130.02", "--width", "16.1")
SHEET = """
[job]
list = "q"
[[circlip]]
name = "ring"
shaft = "34.95"
shaft_groove = "32.9"
[[ball]]
name = "carrier"
mark = "6205-2RS"
bore = "25"
[[unitised]]
name = "hub seal"
shaft = "99.97"
bore = "130.02"
width = "16.1"
[[felt]]
name = "felt"
shaft = "40"
groove = "53.1"
"""


@pytest.fixture
def stocked(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """The command, with one list in a store of its own."""
    monkeypatch.setenv("FITCHECK_DATABASE", str(tmp_path / "shop.sqlite"))
    path = tmp_path / "q.csv"
    path.write_text(LIST, encoding="utf-8")
    assert run("lists", "add", "q", str(path))[0] == 0
    return run


def answered(run: Run, *words: str) -> dict[str, Any]:
    status, out, err = run(*words, "--json")
    assert (status, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_a_part_shows_what_the_lists_offer(stocked: Run) -> None:
    lead = answered(stocked, *CIRCLIP)["candidates"][0]
    assert [offer["part_number"] for offer in lead["offers"]] == ["A3"]
    assert "> q A3 (CIRCLIP 35 DIN 471): 0.10 EUR, 100 on hand; the same" in stocked(*CIRCLIP)[1]
    assert "offers" not in answered(stocked, *CIRCLIP, "--no-offers")["candidates"][0]


def test_a_plain_seal_is_no_offer_for_a_cassette(stocked: Run) -> None:
    lead = answered(stocked, "unitised", *HUB_SEAL)["candidates"][0]
    assert lead["size"] == "100 x 130 x 16 cassette"
    assert [offer["part_number"] for offer in lead["offers"]] == ["A6"]
    seal = answered(stocked, "seal", "--shaft", "99.97", "--bore", "130.02", "--list", "q")
    assert [o["part_number"] for o in seal["candidates"][0]["offers"]] == ["B6"]


def test_a_list_s_own_sizes_are_matched(stocked: Run) -> None:
    assert answered(stocked, "unitised", *HUB_SEAL)["verdict"] == "check"
    found = answered(stocked, "unitised", *HUB_SEAL, "--list", "Q")
    assert (found["verdict"], found["list"]["name"], found["list"]["sizes"]) == ("go", "q", 1)
    status, _, err = stocked("felt", "--shaft", "40", "--list", "q")
    assert status == 1
    assert "no felt ring" in err


def test_a_card_is_matched_and_offered_in_one_order(stocked: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(SHEET, encoding="utf-8")
    card = answered(stocked, "hub", str(sheet))
    assert {p["name"]: p["verdict"] for p in card["positions"]} == {
        "ring": "go",
        "carrier": "go",
        "hub seal": "go",
        "felt": "go",
    }
    felt = next(p for p in card["positions"] if p["name"] == "felt")
    assert any("it has no felt ring" in reason for reason in felt["reasons"])
    parts = {part["for"][0]: part for part in card["parts"]}
    assert [o["part_number"] for o in parts["carrier"]["offers"]] == ["A4"]
    assert parts["carrier"]["made"] == "2RS (rubber seals on both sides)"
    assert card["one_order"]["parts"] == 4
    out = " ".join(stocked("hub", str(sheet))[1].split())
    assert "6205, 2RS (rubber seals on both sides), for carrier" in out
