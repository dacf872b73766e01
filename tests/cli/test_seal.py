"""`fitcheck seal`: what is printed, and with which exit status."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]
FINE = ("--shaft", "34.95mm@micrometer", "--bore", "52.02@bore-gauge", "--old-width", "7.0")
KEYS = {"verdict", "candidates", "unlisted", "findings", "next_reading", "cautions"}


def asked(run: Run, *words: str) -> dict[str, object]:
    """The JSON answer; nothing else may be printed."""
    status, out, err = run("seal", *words, "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert isinstance(found, dict)
    return found


def test_the_answer_reads_from_the_top(run: Run) -> None:
    status, out, err = run("seal", *FINE)
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Seal: GO"
    assert lines[1].startswith("  - 35 x 52 x 7 stands at ")
    for section in ("Sizes that could be it", "Seats of the leading size", "Cautions"):
        assert section in lines
    assert "Sources of limits, instruments and shares" in lines


@pytest.mark.parametrize(
    "words",
    [
        FINE,
        ("--shaft", "34.92", "--bore", "52.02"),
        ("--shaft", "1.375", "--bore", "52", "--old-width", "7"),
        ("--shaft", "33.6", "--bore", "52.25", "--old-width", "7"),
        ("--bore", "52", "--top", "40"),
        ("--unit", "in", "--shaft", "1.375", "--bore", "2.125"),
        (*FINE, "--track", "34.61", "--rpm", "300", "--oil", "gear oil", "--oil-temp", "80C"),
        (*FINE, "--track", "41.2"),
        (*FINE, "--groove-depth", "0.12", "--groove-width", "1.5", "--pressure", "0.3bar"),
        ("--mark", "35 5? 7", "--bore", "52"),
        ("--shaft", "36.5", "--bore", "53.4", "--old-width", "8.6"),
    ],
)
def test_text_fits_eighty_columns_and_agrees_with_the_data(
    run: Run, words: tuple[str, ...]
) -> None:
    status, out, err = run("seal", *words)
    assert (status, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "None" not in out
    found = asked(run, *words)
    assert out.startswith(f"Seal: {str(found['verdict']).upper()}\n")
    flat = " ".join(out.split())
    for reason in found["reasons"]:  # type: ignore[attr-defined]
        assert reason in flat
    for finding in found["findings"]:  # type: ignore[attr-defined]
        assert finding["finding"] in flat
    for candidate in found["candidates"]:  # type: ignore[attr-defined]
        assert candidate["size"] in flat
    following = found["next_reading"]
    assert ("\nNext: " in out) == (following is not None)


def test_json_is_one_object_with_the_promised_keys(run: Run) -> None:
    found = asked(run, *FINE)
    assert set(found) >= KEYS
    candidate = found["candidates"][0]  # type: ignore[index]
    assert set(candidate) >= {
        "size",
        "shaft_mm",
        "bore_mm",
        "width_mm",
        "system",
        "series",
        "probability",
        "verdict",
        "reasons",
        "source",
    }
    assert candidate["size"] == "35 x 52 x 7"


def test_an_option_given_several_times_is_several_readings_of_one_place(run: Run) -> None:
    found = asked(run, "--shaft", "34.93", "--shaft", "34.95", "--bore", "52")
    shaft = found["readings"][1]  # type: ignore[index]
    assert (shaft["place"], shaft["count"], shaft["mean_mm"]) == ("shaft", 2, 34.94)
    assert shaft["spread_mm"] == 0.02


def test_bare_numbers_are_in_the_unit_asked_for(run: Run) -> None:
    inches = asked(run, "--unit", "in", "--shaft", "1.375", "--bore", "2.125")
    written = asked(run, "--shaft", "1.375in", "--bore", "2.125in")
    first = inches["candidates"][0], written["candidates"][0]  # type: ignore[index]
    assert first[0]["size"] == first[1]["size"]


def test_the_number_of_sizes_and_the_certainty_are_the_users(run: Run) -> None:
    assert len(asked(run, "--bore", "52", "--top", "3")["candidates"]) == 3  # type: ignore[arg-type]
    assert asked(run, *FINE)["verdict"] == "go"
    assert asked(run, *FINE, "--certainty", "1")["verdict"] == "check"


def test_land_and_track_show_the_ways(run: Run) -> None:
    out = run("seal", *FINE, "--track", "34.69@micrometer")[1]
    assert "Counterface: GO" in out
    assert "  1. thin sleeve: " in out


def test_the_duty_is_shown_where_it_was_asked_for(run: Run) -> None:
    out = run("seal", *FINE, "--rpm", "1500rpm", "--oil", "gear oil", "--oil-temp", "80C")[1]
    assert "Duty of the lip: " in out
    assert "Duty of the lip: " not in run("seal", *FINE)[1]


def test_no_go_is_an_answer(run: Run) -> None:
    status, out, err = run("seal", "--mark", "zzzzzzzz", "--shaft", "35")
    assert (status, err) == (0, "")
    assert out.startswith("Seal: NO-GO\n")


@pytest.mark.parametrize(
    ("words", "wording"),
    [
        ((), "at least one place must be measured, or a mark read. Give one or more of --shaft"),
        (("--shaft", "1,250"), "shaft 1,250: this can be read as 1.250 or as 1250"),
        (("--shaft", "25.4 Mm"), "millimetres) or as 25.4 Mm (megametres)"),
        (("--shaft", "1 3/8 35"), "two values, 1 3/8 and 35"),
        (("--shaft", "34.92@ruler"), "Use one of tape, caliper, micrometer"),
        (("--bore", "fifty"), "bore fifty: a value starts with a number"),
        (("--bore", ""), "a value is needed here"),
        (("--shaft", "-35"), "shaft -35: a length can't be negative"),
        (("--shaft", "0"), "larger than zero"),
        (("--mark", ""), "at least one place must be measured"),
        (("--mark", "???"), "at least one readable character"),
        ((*FINE, "--top", "0"), "at least one candidate"),
        ((*FINE, "--certainty", "2"), "lies from 0.5 to 1"),
        ((*FINE, "--certainty", "nan"), "lies from 0.5 to 1"),
        ((*FINE, "--rpm", "fast"), "fast: a value starts with a number"),
        ((*FINE, "--oil-temp", "80mm"), "a temperature is wanted here"),
        ((*FINE, "--pressure", "2kg"), "2kg"),
        ((*FINE, "--groove-depth", "x"), "x"),
        ((*FINE, "--track", "28"), "no lip wears a groove"),
    ],
)
def test_wrong_use_is_one_line_and_status_two(
    run: Run, words: tuple[str, ...], wording: str
) -> None:
    status, out, err = run("seal", *words)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")
    assert wording in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize(
    "words",
    [
        ("--case", "wood", *FINE),
        ("--unit", "cm", *FINE),
        ("--top", "many", *FINE),
        ("--certainty", "x", *FINE),
        ("--diameter", "35"),
        ("35",),
    ],
)
def test_an_unknown_option_or_value_is_wrong_use(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run("seal", *words)
    assert (status, out) == (2, "")
    assert "Error: " in err


def test_what_no_table_covers_is_status_one(run: Run) -> None:
    status, out, err = run("seal", "--shaft", "9000", "--bore", "9100")
    assert (status, out) == (1, "")
    assert "no seal in the tables" in err
    assert len(err.splitlines()) == 1


def test_json_prints_nothing_where_nothing_is_answered(run: Run) -> None:
    assert run("seal", "--json", "--shaft", "1,250")[:2] == (2, "")


def test_a_bare_temperature_that_may_be_either_is_asked(run: Run) -> None:
    for words in (("--oil-temp", "180"), ("--oil-temp", "140", "--unit", "in")):
        status, out, err = run("seal", "--shaft", "40mm", "--bore", "62mm", *words)
        assert (status, out) == (2, "")
        assert f"{words[1]}C or as {words[1]}F" in err
    status, _, err = run(
        *("seal", "--shaft", "40mm", "--bore", "62mm", "--pressure", "5", "--unit", "in")
    )
    assert status == 2
    assert "5bar or as 5psi" in err
    assert run("seal", "--shaft", "40mm", "--bore", "62mm", "--oil-temp", "80")[0] == 0
