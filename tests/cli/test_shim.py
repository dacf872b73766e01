"""`fitcheck shim` as a person and as a program use it."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]

PLAY = (
    *("shim", "--method", "end-play", "--measured", "0.30@indicator", "--position", "cap"),
    *("--use", "trailer-wheel", "--fitted", "0.20x3,0.10x2", "--have", "0.05x4,0.10x4"),
)


def test_a_pack_as_json(run: Run) -> None:
    status, out, err = run(*PLAY, "--json")
    assert (status, err) == (0, "")
    found = json.loads(out)
    assert (found["verdict"], found["direction"]) == ("go", "remove")
    assert found["pack_mm"] == 0.576
    assert found["picks"] == [{"thickness_mm": 0.2, "count": 3}]
    assert (found["count"], found["expected_mm"]) == (3, 0.1)


def test_a_pack_as_text(run: Run) -> None:
    status, out, err = run(*PLAY)
    assert (status, err) == (0, "")
    assert out.startswith("Setting by end-play: GO\n")
    for line in (
        "  wanted    0.576 mm, the middle of what would do",
        "  change    remove 0.200 mm (0.224 mm would reach the middle)",
        "  take      3 x 0.2 mm",
        "  out       5 shims, 0.800 mm",
        "  in        3 shims, 0.600 mm",
        "  left over 2 x 0.1 mm",
        "  expect    0.100 mm end play",
        "Measure again after fitting",
        "Cautions",
        "Sources",
    ):
        assert line in out.splitlines()
    assert max(len(line) for line in out.splitlines()) <= 80


def test_a_measured_shim_shows_its_label(run: Run) -> None:
    _, out, _ = run("shim", "--method", "lead", "--measured", "0.102", "--have", "0.10=0.102x4")
    assert "  take      1 x 0.102 mm, labelled 0.1 mm" in out.splitlines()


def test_drag_as_text(run: Run) -> None:
    status, out, _ = run(
        *("shim", "--method", "drag", "--pull", "60lbf", "--radius", "8-5/16in"),
        *("--use", "loader-hub", "--condition", "new"),
    )
    assert status == 0
    assert out.startswith("Setting by drag: NO-GO\n")
    assert "  change    loosen the nut in small steps, then read again" in out.splitlines()
    assert max(len(line) for line in out.splitlines()) <= 80


def test_no_pack_is_an_answer_with_what_to_buy(run: Run) -> None:
    status, out, _ = run("shim", "--method", "lead", "--measured", "1.2", "--have", "0.5x2")
    assert status == 0
    assert out.startswith("Setting by lead: CHECK\n")
    assert "no pack from this shelf" in " ".join(out.split())
    for line in (
        "  buy       1 x 0.2 mm",
        "  take      2 x 0.5 mm",
        "  in        3 shims, 1.200 mm",
    ):
        assert line in out.splitlines()


def test_an_inch_shop_reads_inches(run: Run) -> None:
    _, out, _ = run(
        *("shim", "--unit", "in", "--method", "end-play", "--measured", "0.012"),
        *("--target", "0.001..0.007", "--position", "cap", "--fitted", "0.010x3"),
    )
    lines = out.splitlines()
    assert "  take      2 x 0.0100 in (0.254 mm)" in lines
    assert "  out       3 shims, 0.0300 in (0.762 mm)" in lines
    assert "  expect    0.0020 in (0.051 mm) end play" in lines
    # No line of the setting leads with mm.
    setting = out.partition("\nSetting\n")[2].partition("\n\n")[0]
    for line in setting.splitlines():
        assert " mm" not in line or line.index(" in (") < line.index(" mm")
    assert max(len(line) for line in lines) <= 80


def test_a_pack_too_thin_has_nothing_to_remove(run: Run) -> None:
    _, out, _ = run(
        *("shim", "--method", "end-play", "--measured", "0.5", "--target", "0.02..0.08"),
        *("--position", "cap", "--fitted", "0.20x1"),
    )
    assert out.startswith("Setting by end-play: NO-GO\n")
    assert "change" not in out.partition("\nSetting\n")[2].partition("Cautions")[0]
    assert "  out       1 shim, 0.200 mm" in out.splitlines()


def test_a_warm_setting_is_stated(run: Run) -> None:
    _, out, _ = run(
        *(*PLAY, "--service-temp", "80C", "--housing", "aluminium", "--span", "150mm"),
    )
    assert out.startswith("Setting by end-play: CHECK\n")
    assert "  warm      0.205 mm end play" in out.splitlines()
    assert "\nNut\n" not in out


def test_a_nut_is_turned_and_no_shim_is_named(run: Run) -> None:
    _, out, _ = run(
        *("shim", "--method", "end-play", "--measured", "0.30", "--use", "trailer-wheel")
    )
    assert "  change    tighten the nut in small steps, then read again" in out.splitlines()
    assert "\nNut\n  1. Tighten the nut" in out
    assert "Measure again after setting" in out.splitlines()
    _, out, _ = run(
        *("shim", "--method", "end-play", "--measured", "0.08", "--use", "trailer-wheel")
    )
    assert out.startswith("Setting by end-play: GO\n")
    assert "\nNut\n" not in out
    assert "Measure again" in out.splitlines()
    assert "once the nut is locked" in " ".join(out.split())


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (("--method", "free-gap", "--measured", "-0.2"), 2, "can't be negative"),
        (("--method", "free-gap", "--measured", "0.5", "--use", "cart"), 1, "trailer-wheel"),
        (("--method", "wire"), 2, "wire"),
        ((), 2, "the way is needed"),
    ],
)
def test_failures(run: Run, words: tuple[str, ...], status: int, message: str) -> None:
    found, out, err = run("shim", *words)
    assert (found, out) == (status, "")
    assert message in err


def test_a_bare_pull_is_asked_about_where_the_range_is_in_pounds(run: Run) -> None:
    words = ("--method", "drag", "--radius", "200mm", "--use", "loader-hub", "--condition", "new")
    status, _, err = run("shim", *words, "--pull", "24")
    assert status == 2
    assert "24N or as 24lbf" in err
    _, out, _ = run("shim", *words, "--pull", "110N")
    assert "expect 15 to 20 lbf.ft (20.34 to 27.12 N.m)" in " ".join(out.split())


def test_an_inch_shop_reads_the_radius_in_inches(run: Run) -> None:
    words = ("--pull", "24lbf", "--radius", "8-5/16in", "--use", "loader-hub", "--condition", "new")
    _, out, _ = run("shim", "--method", "drag", "--unit", "in", *words)
    assert "at 8.3125 in (211.137 mm)" in " ".join(out.split())
