"""`fitcheck fit` as a person and as a program use it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result

from fitcheck.cli.fit import fit


def run(*args: str) -> Result:
    return CliRunner().invoke(fit, list(args), prog_name="fitcheck fit")


def answer(*args: str) -> dict[str, Any]:
    result = run(*args, "--json")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_a_fit_as_json() -> None:
    found = answer("30", "H7/g6")
    source = found.pop("source")
    assert found == {
        "nominal_mm": 30,
        "hole": {"class": "H7", "upper_um": 21, "lower_um": 0},
        "shaft": {"class": "g6", "upper_um": -7, "lower_um": -20},
        "clearance_um": {"max": 41, "min": 7},
        "kind": "clearance",
    }
    assert "ISO 286-2" in source


def test_whole_numbers_are_integers_and_halves_stay() -> None:
    text = run("30", "JS7/h6", "--json").stdout
    assert '"nominal_mm": 30,' in text
    assert '"upper_um": 10.5,' in text
    assert '"lower_um": -13' in text
    assert "21.0" not in text
    assert answer("30.5", "H7")["nominal_mm"] == 30.5


@pytest.mark.parametrize(
    ("name", "half", "other"), [("H7", "hole", "shaft"), ("g6", "shaft", "hole")]
)
def test_one_class_gives_that_half(name: str, half: str, other: str) -> None:
    found = answer("30", name)
    assert found[half]["class"] == name
    assert set(found) == {"nominal_mm", half, "source"}
    assert other not in found


@pytest.mark.parametrize(
    ("classes", "kind", "words"),
    [
        ("H7/g6", "clearance", "7 to 41 um clearance"),
        ("H7/k6", "transition", "up to 19 um clearance or up to 15 um interference"),
        ("H7/p6", "interference", "1 to 35 um interference"),
    ],
)
def test_kinds_of_fit(classes: str, kind: str, words: str) -> None:
    assert answer("30", classes)["kind"] == kind
    text = run("30", classes).stdout
    assert text.startswith(f"30 mm {classes}: {kind} fit\n")
    assert words in text


def test_text_of_a_fit() -> None:
    assert run("30", "H7/g6").stdout == (
        "30 mm H7/g6: clearance fit\n"
        "\n"
        "part   class  upper um  lower um  limits of size mm\n"
        "hole   H7          +21         0  30.000 to 30.021\n"
        "shaft  g6           -7       -20  29.980 to 29.993\n"
        "\n"
        "7 to 41 um clearance\n"
        "Source: ISO 286-2, limit deviations of common classes, as several published\n"
        "  tables agree, 2010\n"
    )


def test_what_is_from_memory_says_so() -> None:
    assert "from memory" in answer("30", "s5")["source"]
    assert "from memory" in run("30", "s5").stdout
    assert "from memory" not in answer("30", "H7/p6")["source"]


def test_every_answer_fits_80_columns() -> None:
    for args in (
        ("30", "H7/s5"),
        ("1.1811in", "ZA8/js01"),
        ("3150", "U18/u18"),
        ("52", "H8/h6", "--measured-hole", "52.2", "--measured-shaft", "51.99"),
    ):
        lines = run(*args).stdout.splitlines()
        assert max(len(line) for line in lines) <= 80, lines
    assert max(len(line) for line in run("--help").stdout.splitlines()) <= 80


@pytest.mark.parametrize("nominal", ["1.1811in", "1.1811 in", '1.1811"'])
def test_inches_are_converted_and_said(nominal: str) -> None:
    found = answer(nominal, "H7")
    assert found["nominal_mm"] == 29.99994
    assert found["hole"] == {"class": "H7", "upper_um": 21, "lower_um": 0}
    assert found["notes"] == ["1.1811 in is 29.99994 mm; ISO 286 steps are those of that size"]
    text = run(nominal, "H7").stdout
    assert "limits of size in" in text
    assert "1.18110 to 1.18193" in text


def test_unit_of_bare_numbers() -> None:
    assert answer("1.1811", "H7", "--unit", "in")["nominal_mm"] == 29.99994
    assert answer("30mm", "H7", "--unit", "in")["nominal_mm"] == 30


def test_a_size_on_an_edge_keeps_its_step_in_any_unit() -> None:
    assert answer("3000um", "H7")["hole"]["upper_um"] == 10
    assert answer("0.3cm", "H7")["hole"]["upper_um"] == 10


def test_measured_parts_as_json() -> None:
    found = answer(
        "30", "H7/g6", "--measured-hole", "30.012@bore-gauge", "--measured-shaft", "29.9mm@caliper"
    )
    assert found["verdict"] == "no-go"
    assert found["measured"] == {
        "hole": {
            "measured_mm": 30.012,
            "deviation_um": 12,
            "uncertainty_um": 10,
            "instrument": "bore-gauge",
            "verdict": "go",
        },
        "shaft": {
            "measured_mm": 29.9,
            "deviation_um": -100,
            "uncertainty_um": 50,
            "instrument": "caliper",
            "verdict": "no-go",
        },
        "clearance_um": 112,
        "clearance_uncertainty_um": 50.99,
    }
    assert len(found["reasons"]) == 3
    assert found["clearance_um"] == {"max": 41, "min": 7}


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("34.92mm@micrometer", "go"),
        ("34.92mm", "go"),
        ("34.97mm", "check"),
        ("35.03", "check"),
        ("35.1", "no-go"),
        ("1.375in", "go"),
    ],
)
def test_verdict_of_a_worn_shaft(reading: str, verdict: str) -> None:
    result = run("35", "h11", "--measured-shaft", reading)
    assert result.exit_code == 0
    assert f"\nVerdict: {verdict}\n" in result.stdout


def test_several_readings_are_averaged() -> None:
    args = [a for mm in ("34.90", "34.91", "34.92") for a in ("--measured-shaft", mm)]
    assert answer("35", "h11", *args)["measured"]["shaft"]["measured_mm"] == 34.91


REFUSALS = [
    (("20", "t6"), 1, "t6 at 20 mm: ISO 286 gives the letter t only over 24"),
    (("4000", "H7"), 1, "over 0 up to and including 3150 mm"),
    (("0", "H7"), 1, "over 0 up to and including 3150 mm"),
    (("30", "L7"), 1, "no letter L"),
    (("30", "H19"), 1, "no grade 19"),
    (("600", "H7/c11"), 1, "c11 at 600 mm"),
    (("30", "7H"), 2, "7H: a tolerance class is one or two letters and a grade"),
    (("30", ""), 2, "(empty)"),
    (("30", "Js7"), 2, "this can be read as JS7 or as js7"),
    (("30", "g6/H7"), 2, "Write H7/g6"),
    (("30", "H7/H6"), 2, "both classes are those of a hole"),
    (("thirty", "H7"), 2, "starts with a number"),
    (("1,250", "H7"), 2, "this can be read as"),
    (("25.4 Mm", "H7"), 2, "25.4 Mm"),
    (("-30", "H7"), 2, "No such option"),
    (("30", "H7", "--measured-shaft", "30"), 2, "the class H7 is that of a hole"),
    (("30", "g6", "--measured-hole", "30"), 2, "the class g6 is that of a shaft"),
    (("30", "H7", "--measured-hole", "30@ruler"), 2, "this instrument is not listed"),
    (("30", "H7", "--measured-hole", "wide"), 2, "measured hole wide"),
    (("30", "H7", "--measured-hole", "1.1811"), 2, "1.1811in or as 1.1811mm"),
    (("30",), 2, "Missing argument 'CLASS'"),
]


@pytest.mark.parametrize(("args", "status", "says"), REFUSALS)
def test_refusals(args: tuple[str, ...], status: int, says: str) -> None:
    for more in ((), ("--json",)):
        result = run(*args, *more)
        assert result.exit_code == status
        assert result.stdout == ""
        assert says in result.stderr


def test_help_has_examples() -> None:
    text = run("--help").stdout
    assert "fitcheck fit 30 H7/g6" in text
    assert "--measured-hole" in text
    assert "3150" in text
