"""Prose in inches: every figure once, sizes and sources untouched."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.job.sleeve import SleeveRequest, answer
from fitcheck.report.card_text import card_text
from fitcheck.report.card_workbook import card_tables
from fitcheck.report.inch_text import in_inches, shown_card, with_inches
from fitcheck.report.sleeve_text import sleeve_text

DEMO = Path(__file__).parents[2] / "data" / "demo"
INCH_SHEET = """
[job]
unit = "in"
instrument = "micrometer"
speed = "300rpm"

[[seal]]
name = "a"
shaft = ["2.2500", "2.2502", "2.2498"]
track = "2.238"
bore = "3.000"
old_width = "0.375"
lip_at = "1.0"
groove_width = "0.12"
pocket = "0.4"

[[seal]]
name = "b"
shaft = "1.7500"
groove_depth = "0.03"
bore = "2.502"

[[bearing]]
name = "c"
bore = "0.7500"
od = "1.7810"
width = "0.610"
journal = "0.7494"
housing = "1.780"

[[press]]
name = "bush"
use = "bushing"
interface = "2"
outer = "3.5"
inner = "1.75"
length = "1"
fit = "H7/p6"
pin = "1.748"
service_temp = "100F"

[closing]
cotter_hole = "3/16"
cotter_through = "1.5"

[oil]
diameter = "6"
length = "4"
from_temp = "68F"
to_temp = "158F"
"""


@pytest.mark.parametrize(
    ("metric", "inches"),
    [
        ("the track is 3.048 mm wide", "the track is 0.12 in (3.048 mm) wide"),
        ("lip 1.5-2 mm clear", "lip 0.059-0.079 in (1.5-2 mm) clear"),
        ("57.15 +/- 0.004 mm", "2.25 +/- 0.00016 in (57.15 +/- 0.004 mm)"),
        ("limits (-25.4 to +25.4 um)", "limits (-0.001 to +0.001 in, -25.4 to +25.4 um)"),
        ("1 to 42 um tight", "0.00004 to 0.0017 in (1 to 42 um) tight"),
        ("Ra 0.2 to 0.8 um", "Ra 8 to 31 uin (0.2 to 0.8 um)"),
        ("cool the cup to -78 C: it slips", "cool the cup to -108 F (-78 C): it slips"),
        ("up to 39 kN", "up to 8770 lbf (39 kN)"),
        ("529 N.m", "390 lbf.ft (529 N.m)"),
        ("steel, 350 MPa: enough", "steel, 50800 psi (350 MPa): enough"),
        ("0.22 bar", "3.19 psi (0.22 bar)"),
        ("0.93 l of oil", "0.98 US qt (0.93 l) of oil"),
        ("at 4 m/s", "at 787 ft/min (4 m/s)"),
        ("no figure, ISO 1234, 45 HRC, 75 %", "no figure, ISO 1234, 45 HRC, 75 %"),
        ("35 x 52 x 7 mm", "35 x 52 x 7 mm"),
        ("shims 2 x 0.0100 in (0.254 mm)", "shims 2 x 0.0100 in (0.254 mm)"),
        ("50 mm/s", "50 mm/s"),
        ("0.305 mm (0.012 in) end play", "0.012 in (0.305 mm) end play"),
        ("1 to 2 mm (0.04 to 0.08 in)", "0.04 to 0.08 in (1 to 2 mm)"),
    ],
)
def test_each_figure_gets_its_inch_counterpart(metric: str, inches: str) -> None:
    assert with_inches(metric) == inches


@given(
    st.lists(
        st.sampled_from(
            ["1.5 mm", "(0.25 to 0.3 mm)", "7 to 9 um", "20 C", "1 kN,", "x", "35 x 52 x 7", "2 l"]
        )
    )
)
def test_twice_is_as_good_as_once(words: list[str]) -> None:
    once = with_inches(" ".join(words))
    assert with_inches(once) == once


def test_numbers_names_and_sources_stay() -> None:
    found = {
        "turned_mm": 53.0,
        "name": "53 mm shaft",
        "sources": ["a table of 53 mm"],
        "reasons": ["turned to 53 mm"],
        "more": [{"step": "cut 1 mm"}, None, True],
    }
    assert in_inches(found) == {
        **found,
        "reasons": ["turned to 2.087 in (53 mm)"],
        "more": [{"step": "cut 0.039 in (1 mm)"}, None, True],
    }


def test_no_figure_of_an_inch_card_stands_in_metric_units_alone() -> None:
    text = card_text(job_card(parse_sheet(INCH_SHEET)))
    assert all(len(line) <= 80 for line in text.split("\n"))
    body = " ".join(text[: text.index("\nSources")].split())
    assert "near edge stands 0.685 in (17.4 mm) and its far edge 1.315 in (33.4 mm) from" in body
    assert with_inches(body) == body


def test_a_metric_card_has_no_inches() -> None:
    text = card_text(job_card(parse_sheet((DEMO / "winch.toml").read_text(encoding="utf-8"))))
    assert " in (" not in text


def test_a_card_kept_before_it_told_its_unit_is_read_in_mm() -> None:
    card = job_card(parse_sheet(INCH_SHEET))
    del card["job"]["unit"]
    for position in card["positions"]:
        del position["unit"]
    assert "stands 17.4 mm and its far edge 33.4 mm from" in " ".join(card_text(card).split())


def test_the_ways_of_a_sleeve_are_read_in_inches() -> None:
    found = answer(
        SleeveRequest(shaft="2.25@micrometer", track="2.238@micrometer", lip_at="1", unit="in")
    )
    text = " ".join(sleeve_text(found, inches=True, every=True).split())
    body = text[: text.index("Sources")]
    assert with_inches(body) == body
    assert " in (" in body
    assert " in (" not in sleeve_text(found, every=True)


MIXED = """
[job]
unit = "{job}"

[[seal]]
name = "a"
unit = "{seal}"
bare_shaft = true
shaft = ["89.98mm@micrometer", "89.97mm@micrometer"]
track = ["89.60mm@micrometer", "89.62mm@micrometer"]
bore = ["120.03mm@bore-gauge", "120.05mm@bore-gauge"]
old_width = "12.1mm"
lip_at = "22mm"

[[shims]]
name = "b"
unit = "{shims}"
method = "free-gap"
measured = "0.52mm@feeler"
position = "cap"
have = "0.20mmx2"

[closing]
unit = "{seal}"
cotter_hole = "6.4mm"
cotter_through = "42mm"
"""


@pytest.mark.parametrize("job", ["mm", "in"])
@pytest.mark.parametrize(("seal", "shims"), [("mm", "in"), ("in", "mm")])
def test_a_position_is_shown_in_its_own_unit(job: str, seal: str, shims: str) -> None:
    shown = shown_card(job_card(parse_sheet(MIXED.format(job=job, seal=seal, shims=shims))))
    positions = {p["name"]: " ".join([*p["reasons"], *p["work"]]) for p in shown["positions"]}
    work = " ".join(e["step"] for e in shown["work"] if e["for"] == "a")
    settings = " ".join(e["setting"] for e in shown["settings"] if e["for"] == "b")
    for text, unit in (
        (positions["a"], seal),
        (work, seal),
        (positions["b"], shims),
        (settings, shims),
    ):
        assert " mm" in text
        assert (" in (" in text) == (unit == "in"), text


def test_every_size_of_an_inch_order_has_its_unit() -> None:
    card = job_card(parse_sheet(MIXED.format(job="in", seal="", shims="")))
    sizes = {part["what"]: part["size"] for part in shown_card(card)["parts"]}
    assert sizes["thin sleeve"] == "90.00 x 20 mm"
    assert sizes["cotter pin ISO 1234"] == "6.3 x 56 mm"
    assert sizes["shim"] == "0.0079 in (0.2 mm)"
    assert "1 x thin sleeve 90.00 x 20 mm" in card_text(card)
    (parts, *_) = card_tables(card)
    rows = {row[1]: row[2] for row in parts.rows}
    assert rows["thin sleeve"] == "90.00 x 20 mm"
    assert rows["cotter pin ISO 1234"] == "6.3 x 56 mm"
    # What is looked up by the size stays as the tables have it.
    assert "90.00 x 20" in [part["size"] for part in card["parts"]]
