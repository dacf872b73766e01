"""What the shop's lists offer beside an answer, and a list's own sizes to choose from."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text

from fitcheck.cli import offers
from fitcheck.parts.kind import kind, kind_names
from fitcheck.store import open_store
from fitcheck.store.schema import VERSION_TABLE

Run = Callable[..., tuple[int, str, str]]
DEMO = Path(__file__).parents[2] / "data" / "demo"
NORTH = (
    "no;text;price;currency;stock\n"
    "0012;OIL SEAL 35x52x7 NBR double lip;4,20;EUR;3\n"
    "3E5;grease seal 35 x 52 x 7;2,50;EUR;0\n"
    "0013;oil seal 40x62;1,50;EUR;1\n"
    "\x1b[31m;=cmd|' /C calc'!A0 OIL SEAL 35x52x8;1,00;EUR;1\n"
    "0014;Tapered roller bearing 30206;9,60;EUR;4\n"
)
SEAL = ("seal", "--shaft", "34.95@micrometer", "--bore", "52.02@bore-gauge", "--old-width", "7.05")
BEARING = ("bearing", "--mark", "30206")
LEFT_OUT = "fitcheck: what the shop's lists offer is left out: "


@pytest.fixture
def stocked(run: Run, shop: str, tmp_path: Path) -> Run:
    """The command, with a list in the store, on each database."""
    path = tmp_path / "north.csv"
    path.write_text(NORTH, encoding="utf-8")
    assert run("lists", "add", "north", str(path))[0] == 0
    return run


def answered(run: Run, *words: str) -> dict[str, Any]:
    """A command's answer as data."""
    status, out, err = run(*words, "--json")
    assert (status, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


# --- offers ---------------------------------------------------------------------------------------


def test_a_seal_shows_what_the_lists_offer(stocked: Run) -> None:
    found = answered(stocked, *SEAL, "--oil", "gear oil")
    lead = found["candidates"][0]
    assert lead["size"] == "35 x 52 x 7"
    assert [(o["part_number"], o["grade"]) for o in lead["offers"]] == [
        ("0012", "same-ask"),
        ("3E5", "other-execution"),
        ("\x1b[31m", "condition"),
    ]
    first = lead["offers"][0]
    assert {k: first[k] for k in ("list", "price", "currency", "on_hand", "lip")} == {
        "list": "north",
        "price": "4.20",
        "currency": "EUR",
        "on_hand": 3,
        "lip": "double",
    }
    status, out, err = stocked(*SEAL, "--oil", "gear oil")
    assert (status, err) == (0, "")
    whole = " ".join(out.split())
    assert "> north 0012 (OIL SEAL 35x52x7 NBR double lip): 4.20 EUR, 3 on hand;" in whole
    assert "made otherwise: lubricant grease for oil" in whole
    assert "\x1b" not in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_pocket_decides_what_else_goes_in(stocked: Run) -> None:
    found = answered(stocked, *SEAL, "--pocket", "7.4@depth-gauge")
    assert "\x1b[31m" not in [o["part_number"] for o in found["candidates"][0]["offers"]]


def test_a_bearing_shows_what_the_lists_offer(stocked: Run) -> None:
    (offer,) = answered(stocked, *BEARING)["candidates"][0]["offers"]
    assert (offer["part_number"], offer["grade"], offer["price"]) == ("0014", "same", "9.60")
    assert (
        "> north 0014 (Tapered roller bearing 30206): 9.60 EUR, 4 on hand;" in stocked(*BEARING)[1]
    )


def test_the_answer_but_for_the_offers_is_the_same(stocked: Run) -> None:
    with_offers = answered(stocked, *SEAL)
    for candidate in with_offers["candidates"]:
        del candidate["offers"]
    assert with_offers == answered(stocked, *SEAL, "--no-offers")


@pytest.mark.parametrize("name", ["winch", "trailer", "drum"])
def test_a_card_shows_offers_with_its_parts(stocked: Run, name: str, tmp_path: Path) -> None:
    path = tmp_path / "harbour.csv"
    path.write_bytes((DEMO / "lists" / "harbour_road_invented.csv").read_bytes())
    assert stocked("lists", "add", "harbour", str(path))[0] == 0
    sheet = str(DEMO / f"{name}.toml")
    card = answered(stocked, "hub", sheet)
    kinds = {"lip seal", "tapered bearing", *(kind(family).title for family in kind_names())}
    # What a cover takes is no size yet.
    asked = [p for p in card["parts"] if p["what"] in kinds and p["for"] != ["closing"]]
    sleeves = [p for p in card["parts"] if p["what"] == "thin sleeve"]
    assert [p for p in card["parts"] if "offers" in p] == [
        p for p in card["parts"] if p in asked or p in sleeves
    ]
    assert all(p["offers"] for p in asked if p["what"] in ("lip seal", "tapered bearing"))
    for position in card["positions"]:
        if position["kind"] in ("seal", "bearing"):
            assert all("offers" in c for c in position["answer"]["candidates"])
    # The trailer's cap has its O-ring, too.
    assert card["one_order"]["parts"] == (3 if name == "trailer" else 2)
    out = stocked("hub", sheet)[1]
    assert max(map(len, out.splitlines())) <= 80
    if name == "trailer":
        assert card["one_order"]["lists"] == []
        assert "No single list has every seal and bearing" in out
    else:
        assert [one["list"] for one in card["one_order"]["lists"]] == ["harbour"]
        assert "One order: harbour has every seal and bearing" in out
    assert "harbour" not in stocked("hub", sheet, "--no-offers")[1]


def test_a_card_is_kept_without_what_was_offered_that_day(stocked: Run) -> None:
    sheet = str(DEMO / "drum.toml")
    first = answered(stocked, "jobs", "keep", sheet)
    card = stocked("hub", sheet, "--json")[1]
    status, out, _ = stocked("jobs", "keep", "-", "--json", stdin=card)
    assert (status, json.loads(out)) == (0, {**first, "new": False})


# --- shops without lists, and stores that fail ------------------------------------------------


def test_without_a_store_nothing_is_said_and_nothing_made(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = run(*SEAL)
    assert (plain[0], plain[2]) == (0, "")
    assert "offers" not in run(*SEAL, "--json")[1]
    place = tmp_path / "nowhere" / "shop.sqlite"
    monkeypatch.setenv("FITCHECK_DATABASE", str(place))
    assert run(*SEAL) == plain
    assert not place.parent.exists()
    assert not (tmp_path / "share").exists()


def test_a_store_without_lists_offers_nothing(run: Run, shop: str) -> None:
    plain = run(*SEAL, "--no-offers")
    # On PostgreSQL the database is there before anything is kept in it.
    assert run(*SEAL) == plain
    assert run("jobs", "keep", str(DEMO / "drum.toml"))[0] == 0
    assert run(*SEAL) == plain


def told(run: Run) -> str:
    """What is said on stderr beside an answer that is whole but for the offers."""
    plain = run(*SEAL, "--no-offers")
    status, out, err = run(*SEAL)
    assert (status, out) == (0, plain[1])
    assert err.startswith(LEFT_OUT)
    assert err.count("\n") == 1
    return err


def test_a_store_of_another_version_stops_nobody(stocked: Run) -> None:
    with open_store().database.writing() as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = 'r9999'"))
    assert "r9999" in told(stocked)


def test_a_file_that_is_no_store_stops_nobody(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    place = tmp_path / "shop.sqlite"
    place.write_text("no database at all, but long enough to be looked at" * 20, encoding="utf-8")
    monkeypatch.setenv("FITCHECK_DATABASE", str(place))
    assert "this is no store, or it is damaged" in told(run)


@contextmanager
def held(shop: str) -> Iterator[None]:
    """The store while another holds it so that nobody can read."""
    if "://" not in shop:
        raw = sqlite3.connect(shop, isolation_level=None)
        # WAL readers wait for nobody but one who took the whole file.
        raw.execute("PRAGMA locking_mode = EXCLUSIVE")
        raw.execute("BEGIN EXCLUSIVE")
        try:
            yield
        finally:
            raw.close()
        return
    with open_store().database.writing() as connection:
        connection.execute(text("LOCK TABLE supplier_list IN ACCESS EXCLUSIVE MODE"))
        yield


def test_a_store_that_another_holds_stops_nobody(
    stocked: Run, shop: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(offers, "_WAIT_S", 0.05)
    with held(shop):
        assert "another is writing to the store" in told(stocked)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("mysql://shop", "a store is a SQLite file or a PostgreSQL database"),
        ("postgresql://shop@/shop?host=/nowhere", "the database server does not answer"),
    ],
)
def test_a_place_that_is_wrong_stops_nobody(
    run: Run, monkeypatch: pytest.MonkeyPatch, place: str, words: str
) -> None:
    monkeypatch.setenv("FITCHECK_DATABASE", place)
    assert words in told(run)


def test_a_fault_in_the_lists_stops_nobody(stocked: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_store().database.writing() as connection:
        connection.execute(text("UPDATE list_line SET price = 'four'"))
    assert "`fitcheck store info` says more" in told(stocked)
    monkeypatch.setenv("FITCHECK_DEBUG", "1")
    with pytest.raises(Exception, match="could not be read"):
        stocked(*SEAL)


# --- a list's own sizes -----------------------------------------------------------------------


def test_a_seal_is_chosen_from_a_list(stocked: Run) -> None:
    found = answered(stocked, *SEAL, "--list", "NORTH")
    assert found["list"] == {
        "name": "north",
        "sizes": 2,
        "lines": 3,
        "no_size": 1,
        "off_table": 0,
        "other_parts": 1,
    }
    assert [c["size"] for c in found["candidates"]] == ["35 x 52 x 7"]
    assert found["candidates"][0]["source"] == "list north"
    assert found["candidates"][0]["offers"]
    shares = sum(c["probability"] for c in found["candidates"])
    assert shares + found["unlisted"] + found["others"] == pytest.approx(1.0, abs=1e-5)
    out = stocked(*SEAL, "--list", "north", "--no-offers")[1]
    assert out.startswith("Matched against list north: 2 sizes on 3 lines; left out: 1 line")


def test_a_list_that_is_named_is_the_one_that_offers(stocked: Run, tmp_path: Path) -> None:
    path = tmp_path / "south.csv"
    rows = "".join(f"S{n};OIL SEAL 35x52x7 NBR double lip;1,{n};EUR;3\n" for n in range(10, 20))
    path.write_text(f"no;text;price;currency;stock\n{rows}", encoding="utf-8")
    assert stocked("lists", "add", "south", str(path))[0] == 0
    for name in ("north", "south"):
        found = answered(stocked, *SEAL, "--list", name)
        assert {offer["list"] for offer in found["candidates"][0]["offers"]} == {name}
    assert {offer["list"] for offer in answered(stocked, *SEAL)["candidates"][0]["offers"]} == {
        "south"
    }


def test_a_bearing_is_chosen_from_a_list(stocked: Run) -> None:
    words = ("bearing", "--bore", "30", "--od", "62", "--list", "north")
    found = answered(stocked, *words)
    assert [c["designation"] for c in found["candidates"]] == ["30206"]
    assert found["list"]["other_parts"] == 4
    assert found["candidates"][0]["offers"][0]["part_number"] == "0014"


def test_a_list_that_has_nothing_that_fits_says_so(stocked: Run) -> None:
    words = ("--old-width", "7.1", "--list", "north")
    found = answered(stocked, "seal", "--shaft", "38.02", "--bore", "56", *words)
    assert found["verdict"] == "no-go"
    assert any("list north has nothing that fits" in reason for reason in found["reasons"])
    status, out, err = stocked("seal", "--shaft", "500", "--bore", "550", "--list", "north")
    assert (status, out) == (1, "")
    assert err.startswith("fitcheck: list north, bore 550 mm")
    assert "Without --list the standard tables are searched" in err


def test_a_list_that_is_not_there_is_refused_with_those_there_are(stocked: Run) -> None:
    status, out, err = stocked(*SEAL, "--list", "nort\x1bh")
    assert (status, out) == (1, "")
    assert "there is no list of that name. There are: north;" in err
    assert "\x1b" not in err


def test_a_list_without_a_store_is_refused(run: Run) -> None:
    status, out, err = run(*SEAL, "--list", "north")
    assert (status, out) == (1, "")
    assert "there is no store there yet" in err


SHEET = """\
[job]
list = "NORTH"

[[seal]]
name = "inner seal"
shaft = "34.95@micrometer"
bore = "52.02@bore-gauge"

[[bearing]]
name = "inner bearing"
mark = "30206"

[[seal]]
name = "outer seal"
shaft = "2000"
bore = "2100"
"""


def test_a_sheet_is_matched_against_the_list_it_names(stocked: Run, tmp_path: Path) -> None:
    path = tmp_path / "sheet.toml"
    path.write_text(SHEET, encoding="utf-8")
    status, out, err = stocked("hub", str(path), "--json")
    assert (status, err) == (0, "")
    inner, outer, bearing = json.loads(out)["positions"]
    # The list has 35 x 52 x 7 and x 8, and of the standard sizes no other is asked.
    sizes = {candidate["size"] for candidate in inner["answer"]["candidates"]}
    assert sizes == {"35 x 52 x 7", "35 x 52 x 8"}
    assert inner["answer"]["list"]["name"] == bearing["answer"]["list"]["name"] == "north"
    assert "matched against list north: 2 sizes" in inner["reasons"]
    assert bearing["pick"] == "30206"
    assert "list north" in outer["reasons"][0]
    assert "Without list the standard tables" in outer["read_again"][0]["reason"]
    assert stocked("jobs", "keep", str(path))[0] == 0
    path.write_text(SHEET.replace("NORTH", "south"), encoding="utf-8")
    status, out, err = stocked("hub", str(path))
    assert (status, out) == (1, "")
    assert "there is no list of that name. There are: north" in err


def test_a_card_made_without_the_lists_says_so() -> None:
    from fitcheck.job.card import job_card
    from fitcheck.job.sheet import parse_sheet

    card = job_card(parse_sheet(SHEET))
    assert all(position["answer"] is None for position in card["positions"])
    assert "the lists of the shop are not asked here" in card["positions"][0]["reasons"][0]


def test_a_list_of_seals_leaves_the_bearings_to_the_tables(stocked: Run, tmp_path: Path) -> None:
    seals = tmp_path / "seals.csv"
    seals.write_text("no;text\n1;oil seal 35x52x7\n2;oil seal 40x62x7\n", encoding="utf-8")
    assert stocked("lists", "add", "south", str(seals))[0] == 0
    path = tmp_path / "sheet.toml"
    path.write_text(SHEET.replace("NORTH", "south"), encoding="utf-8")
    status, out, err = stocked("hub", str(path), "--json")
    assert (status, err) == (0, "")
    bearing = json.loads(out)["positions"][-1]
    assert bearing["pick"] == "30206"
    assert "list south: it has no tapered bearing" in bearing["reasons"][-1]
    assert bearing["reasons"][-1].endswith("The standard tables are searched for it")


def test_sleeves_are_asked_of_the_lists_where_one_is_the_way(stocked: Run, tmp_path: Path) -> None:
    sleeves = tmp_path / "sleeves.csv"
    sleeves.write_text(
        "no;text;price\nS1;repair sleeve 35x13;12,50\nS2;sleeve 35x41x13;9,00\n", encoding="utf-8"
    )
    assert stocked("lists", "add", "south", str(sleeves))[0] == 0
    worn = ("--shaft", "34.97@micrometer", "--track", "34.71@micrometer")
    for words, at in ((("sleeve",), ()), (("seal", "--bore", "52.02"), ("counterface",))):
        found = answered(stocked, *words, *worn)
        for key in at:
            found = found[key]
        parts = [part for way in found["ways"] for part in way["parts"]]
        sleeve = next(part for part in parts if part["what"] == "thin sleeve")
        assert [offer["part_number"] for offer in sleeve["offers"]] == ["S1"]
        out = stocked(*words, *worn)[1]
        assert "south S1 (repair sleeve 35x13): 12.50; the same size" in " ".join(out.split())
        assert "south S1" not in stocked(*words, *worn, "--no-offers")[1]


def test_a_sheet_that_names_a_list_shows_offers_of_that_list_alone(
    stocked: Run, tmp_path: Path
) -> None:
    other = tmp_path / "west.csv"
    other.write_text(NORTH.replace("4,20", "0,20"), encoding="utf-8")
    assert stocked("lists", "add", "west", str(other))[0] == 0
    path = tmp_path / "sheet.toml"
    # The outer seal stands in no list.
    text = SHEET[: SHEET.rindex("[[seal]]")]
    for sheet, lists in ((text, {"north"}), (text.replace("NORTH", ""), {"north", "west"})):
        path.write_text(sheet, encoding="utf-8")
        card = answered(stocked, "hub", str(path))
        offering = {
            offer["list"]
            for part in (
                *card["parts"],
                *(c for p in card["positions"] for c in p["answer"]["candidates"]),
            )
            for offer in part.get("offers", ())
        }
        assert offering == lists
        assert {one["list"] for one in card["one_order"]["lists"]} <= lists
