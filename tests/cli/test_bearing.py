"""`fitcheck bearing`: what is printed, and with which exit status."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., tuple[int, str, str]]
KNOWN = ("--bore", "30", "--od", "62", "--width", "17.3")
SEATS = ("--turning", "hub", "--journal", "29.986@micrometer", "--housing", "61.97@bore-gauge")


def asked(run: Run, *words: str) -> dict[str, Any]:
    """The JSON answer; nothing else may be printed."""
    status, out, err = run("bearing", *words, "--json")
    assert (status, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_the_answer_reads_from_the_top(run: Run) -> None:
    status, out, err = run("bearing", *KNOWN, *SEATS)
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Bearing: GO"
    assert "Seats of the leading bearing" in lines
    assert "  GO: journal" in lines
    assert "  GO: housing" in lines
    assert lines.index("Cautions") > lines.index("Sources of limits, instruments and shares")


@pytest.mark.parametrize(
    "words",
    [
        KNOWN,
        (*KNOWN, *SEATS),
        (*KNOWN, "--turning", "hub", "--journal", "29.9"),
        ("--bore", "30"),
        ("--bore", "30", "--top", "40"),
        ("--bore", "1.25in", "--od", "2.328in"),
        ("--mark", "L?670?8"),
        ("--mark", "LM11949", "--mark", "LM11710"),
        ("--mark", "320/28 X"),
        ("--bore", "30", "--od", "62", "--width", "14"),
        ("--bore", "31", "--od", "63", "--width", "18.6"),
        ("--bore", "1.25", "--od", "2.328"),
    ],
)
def test_text_fits_eighty_columns_and_agrees_with_the_data(
    run: Run, words: tuple[str, ...]
) -> None:
    status, out, err = run("bearing", *words)
    assert (status, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "None" not in out
    found = asked(run, *words)
    assert out.startswith(f"Bearing: {found['verdict'].upper()}\n")
    flat = " ".join(out.split())
    assert all(reason in flat for reason in found["reasons"])
    assert all(finding["finding"] in flat for finding in found["findings"])
    assert all(candidate["designation"] in flat for candidate in found["candidates"])
    assert ("\nNext: " in out) == (found["next_reading"] is not None)


def test_json_is_one_object_with_the_promised_keys(run: Run) -> None:
    found = asked(run, *KNOWN, *SEATS)
    assert set(found) >= {"verdict", "candidates", "unlisted", "findings", "next_reading"}
    candidate = found["candidates"][0]
    assert set(candidate) >= {
        "designation",
        "cone",
        "cup",
        "bore_mm",
        "od_mm",
        "width_mm",
        "cone_width_mm",
        "cup_width_mm",
        "system",
        "probability",
        "verdict",
        "reasons",
        "source",
        "seats",
    }
    assert candidate["designation"] == candidate["cone"] == "30206"
    journal = candidate["seats"][0]
    assert (journal["seat"], journal["class"], journal["verdict"]) == ("journal", "g6", "go")
    assert journal["measured_um"] == -14
    assert set(journal["fit_um"]) == {"tight", "loose"}


def test_seats_are_left_out_where_none_was_measured(run: Run) -> None:
    assert "seats" not in asked(run, *KNOWN)["candidates"][0]


@pytest.mark.parametrize(
    "words",
    [
        ("--mark", "LM11949/LM11710"),
        ("--mark", "LM11949", "--mark", "LM11710"),
        ("--mark", "LM11710", "--mark", "LM11949"),
    ],
)
def test_a_mixed_pair_is_no_go_with_the_right_partners(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run("bearing", *words)
    assert (status, err) == (0, "")
    assert out.startswith("Bearing: NO-GO\n")
    flat = " ".join(out.split())
    assert "cone LM11949 runs in cup LM11910" in flat
    assert "cup LM11710 takes cone LM11749" in flat
    assert asked(run, *words)["partners"]["cups"] == ["LM11910"]


def test_a_mark_keeps_its_leading_zero(run: Run) -> None:
    found = asked(run, "--mark", "02475")
    assert found["candidates"][0]["cone"] == "02475"


def test_several_readings_of_one_place_are_averaged(run: Run) -> None:
    found = asked(run, "--bore", "30.00", "--bore", "29.98", "--od", "62")
    bore = found["readings"][0]
    assert (bore["place"], bore["count"], bore["mean_mm"]) == ("bore", 2, 29.99)


def test_the_unit_the_top_and_the_certainty_are_the_users(run: Run) -> None:
    found = asked(run, "--unit", "in", "--bore", "0.75", "--od", "1.781", "--top", "1")
    assert [c["designation"] for c in found["candidates"]] == ["LM11949/LM11910"]
    assert asked(run, *KNOWN, "--certainty", "1")["verdict"] == "check"


@pytest.mark.parametrize(
    ("words", "wording"),
    [
        ((), "at least one place must be measured, or a mark read"),
        (("--mark", ""), "at least one place must be measured"),
        (("--mark", "??"), "at least one readable character"),
        (("--mark", "9" * 60), "at most 40 characters"),
        (("--turning", "hub"), "at least one place must be measured"),
        (("--journal", "30", "--turning", "hub"), "at least one place must be measured"),
        ((*KNOWN, "--journal", "1.18", "--turning", "hub"), "1.18in or as 1.18mm"),
        (("--bore", "1,250"), "1.250 or as 1250"),
        (("--bore", "30", "--od", "-62"), "a length can't be negative"),
        (("--bore", "30@stick"), "this instrument is not listed"),
        ((*KNOWN, "--top", "-1"), "at least one candidate"),
        ((*KNOWN, "--certainty", "0"), "lies from 0.5 to 1"),
    ],
)
def test_wrong_use_is_one_line_and_status_two(
    run: Run, words: tuple[str, ...], wording: str
) -> None:
    status, out, err = run("bearing", *words)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")
    assert wording in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize(
    "words",
    [
        ("--turning", "both", *KNOWN),
        ("--housing-material", "wood", *KNOWN),
        ("--unit", "cm", *KNOWN),
        ("--size", "30"),
        ("30206",),
    ],
)
def test_an_unknown_option_or_value_is_wrong_use(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run("bearing", *words)
    assert (status, out) == (2, "")
    assert "Error: " in err


def test_what_no_table_covers_is_status_one(run: Run) -> None:
    status, out, err = run("bearing", "--bore", "5000")
    assert (status, out) == (1, "")
    assert "no bearing in the tables" in err
    assert len(err.splitlines()) == 1


def test_an_inch_shop_reads_its_seats_in_inches(run: Run) -> None:
    words = ("--bore", "1.25", "--od", "2.328", "--journal", "1.2495@micrometer")
    _, out, _ = run("bearing", "--unit", "in", "--turning", "hub", *words)
    assert "bore 1.25 in (31.75 mm): within 1.25 to 1.2505 in" in out
    assert "measures 0.0005 in (12.7 um) under 1.25 in (31.75 mm)" in " ".join(out.split())
