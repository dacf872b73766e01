"""`fitcheck press` as a person and as a program use it."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]
COLLAR = ("press", "--interface", "60", "--outer", "90", "--length", "30")


def test_json_is_one_object_and_nothing_else(run: Run) -> None:
    status, out, err = run(*COLLAR, "--fit", "H7/s6", "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    # p = E d / D x (Do2 - D2) / (2 Do2) = 200000 x 0.072 / 60 x 4500 / 16200.
    assert found["pressure_mpa"] == pytest.approx(66.666667)
    assert found["tight"]["pressure_mpa"] == found["pressure_mpa"]
    assert found["loose"]["interference_mm"] == 0.023
    assert found["verdict"] in {"go", "check", "no-go"}


def test_text_shows_both_limits_and_fits_the_page(run: Run) -> None:
    status, out, err = run(*COLLAR, "--fit", "H7/s6", "--use", "collar")
    assert (status, err) == (0, "")
    assert out.startswith("Press fit: CHECK\n")
    assert max(map(len, out.splitlines())) <= 80
    (row,) = [line for line in out.splitlines() if line.startswith("  pressure at")]
    assert row.split()[-4:] == ["66.7", "MPa", "21.3", "MPa"]
    for words in ("Ways to fit it", "Cautions", "Sources", "press cold with up to"):
        assert words in out


def test_no_way_to_fit_it_before_faces_that_disagree_are_measured_again(run: Run) -> None:
    faces = ("--measured-hole", "60.03@bore-gauge", "--measured-shaft", "60.00@micrometer")
    _, out, _ = run(*COLLAR, "--interference", "0.03", *faces)
    assert "Ways to fit it\n  only after the hole and the shaft are measured again:" in out
    _, out, _ = run(*COLLAR, "--interference", "0.03")
    assert "only after" not in out


def test_inches_are_shown_beside(run: Run) -> None:
    status, out, _ = run(
        *("press", "--interface", "2.5", "--outer", "4", "--length", "1.5"),
        *("--interference", "1.5thou", "--unit", "in", "--heat-cap", "400F", "--rpm", "1500"),
    )
    assert status == 0
    for words in ("0.00150 in", "psi", "lbf.ft", " F (", "comes free at"):
        assert words in out


def test_a_no_go_is_an_answer(run: Run) -> None:
    status, out, _ = run(*COLLAR, "--interference", "0.13", "--outer-material", "steel")
    assert status == 0
    assert out.startswith("Press fit: NO-GO\n")
    # What it can't carry is not pressed together.
    assert "press cold" not in out


def test_the_range_of_friction_is_a_range_of_force(run: Run) -> None:
    _, out, _ = run(*COLLAR, "--interference", "0.04")
    (row,) = [line for line in out.splitlines() if "by friction" in line and "kN" in line]
    assert row.split() == ["by", "friction", "0.06", "to", "0.14", "12.6-29.3", "kN"]
    _, out, _ = run(*COLLAR, "--interference", "0.04", "--unit", "mm", "--friction", "0.12")
    assert "by friction" not in out


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--fit", "H7/s6", "--interference", "0.05"), "not both"),
        ((), "Give --interference"),
        (("--interference", "0.05", "--outer-material", "cheese"), "bearing-steel"),
        (("--interference", "0.8"), "Check the unit"),
        (("--interference", "0.4"), "can't carry it"),
    ],
)
def test_wrong_usage_is_status_two(run: Run, words: tuple[str, ...], message: str) -> None:
    status, out, err = run(*COLLAR, *words)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")
    assert message in err


def test_negative_interference_reaches_the_rule(run: Run) -> None:
    status, _, err = run(*COLLAR, "--interference", "-0.05")
    assert status == 2
    assert "larger than zero" in err


def test_an_inch_shop_reads_inches_first(run: Run) -> None:
    _, out, _ = run(
        *("press", "--interface", "2.5", "--outer", "4", "--length", "1.5", "--unit", "in"),
        *("--interference", "1.5thou", "--service-temp", "180F"),
        *("--outer-material", "cast-aluminium"),
    )
    lines = out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("  pressure at"))
    assert (lines[at].split()[-1], lines[at + 1].split()[-1]) == ("psi", "MPa")
    lost = next(line for line in lines if "lost to temperature  " in line)
    assert lost.index(" in ") < lost.index(" mm")
