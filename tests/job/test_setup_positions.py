"""Press fits and shimmed settings on the job card: heat of the job, parts, contradictions."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.inch_text import in_inches

CUP = (
    '[[press]]\nname = "cup"\nuse = "cup"\ninterface = "110"\nouter = "150"\ninner = "96"\n'
    'length = "24"\ninterference = "0.04"\nouter_material = "cast-aluminium"\n'
)
COLLAR = (
    '[[press]]\nname = "collar"\nuse = "collar"\ninterface = "60"\nouter = "90"\nlength = "20"\n'
)
PLAY = (
    '[[shims]]\nname = "{name}"\nmethod = "end-play"\nmeasured = "0.24@indicator"\n'
    'position = "{place}"\ntarget = "0.03..0.10mm"\nfitted = "0.50x1,0.20x2,0.10x2"\n'
)
GAP = (
    '[[shims]]\nname = "end cap"\nmethod = "free-gap"\nmeasured = "0.85@feeler"\n'
    'position = "cap"\nhave = "0.75x1"\n'
)


def only(text: str, *, job: str = "") -> dict[str, Any]:
    """The card of a sheet with one position, and that position."""
    card = job_card(parse_sheet(f"[job]\n{job}\n{text}"))
    return {**card["positions"][0], "card": card}


def said(found: dict[str, Any], words: str) -> bool:
    return any(words in reason for reason in found["reasons"])


def test_the_heat_of_the_job_counts_for_a_press_fit() -> None:
    found = only(CUP, job='temperature = "80C"')
    assert found["verdict"] == "no-go"
    assert said(found, "in service nothing holds")
    assert said(found, "that of the job, 80 C, is taken")
    assert found["settings"] == []
    own = only(f'{CUP}service_temp = "30C"\n', job='temperature = "80C"')
    assert own["verdict"] == "go"
    assert not said(own, "that of the job")


def test_without_any_heat_nothing_is_said_to_hold_in_service() -> None:
    found = only(CUP)
    assert found["verdict"] == "check"
    assert not any("in service" in entry["setting"] for entry in found["settings"])
    assert any("cold, as fitted" in entry["setting"] for entry in found["settings"])
    alike = only(f'{COLLAR}interference = "0.03"\n')
    assert any("in service" in entry["setting"] for entry in alike["settings"])


def test_a_part_that_a_drawing_gives_is_ordered_and_a_measured_one_lies_there() -> None:
    (got,) = only(f'{COLLAR}fit = "H7/p6"\nquantity = 2\nheat_cap = "200C"\n')["parts"]
    assert (got["what"], got["quantity"], got["order"], got["on_shelf"]) == (
        *("collar", 2, True, False),
    )
    assert got["size"] == "bore 60 mm H7, outside 90 mm, 20 mm long"
    (there,) = only(f'{COLLAR}interference = "0.03"\n')["parts"]
    assert (there["order"], there["on_shelf"]) == (False, True)
    (waits,) = only(f'{COLLAR}fit = "H7/k6"\n')["parts"]
    assert (waits["order"], waits["on_shelf"]) == (False, False)
    assert only(CUP)["parts"] == []


def test_a_bushing_is_listed_by_its_bore_and_the_class_of_its_outside() -> None:
    bushing = (
        '[[press]]\nname = "bush"\nuse = "bushing"\ninterface = "50"\nouter = "90"\n'
        'inner = "42.05@bore-gauge"\nlength = "40"\nfit = "H7/r6"\n'
    )
    (part,) = only(bushing)["parts"]
    assert part["what"] == "bushing"
    assert part["size"] == "bore 42.05 mm, outside 50 mm r6, 40 mm long"


@pytest.mark.parametrize("inches", [False, True])
def test_work_and_setting_give_one_force(inches: bool) -> None:
    found = only(f'{COLLAR}fit = "H7/p6"\n')
    found = in_inches(found) if inches else found
    (force,) = [e["setting"] for e in found["settings"] if "press force" in e["setting"]]
    assert force.removeprefix("press force at most ") in " ".join(found["work"])


HOT = 'span = "120"\nhousing = "light-alloy"\n'


def test_the_heat_of_the_job_counts_for_a_setting_in_a_housing() -> None:
    play = PLAY.format(name="cap", place="cap")
    found = only(play + HOT, job='temperature = "80C"')
    assert found["answer"]["end_play_growth_mm"] == pytest.approx(0.0706, abs=1e-3)
    assert found["verdict"] == "check"
    assert said(found, "that of the job, 80 C, is taken")
    assert only(play, job='temperature = "80C"')["verdict"] == "go"
    open_ = only(f'{play}housing = "light-alloy"\n', job='temperature = "80C"')
    assert open_["verdict"] == "check"
    assert open_["read_again"][0]["reading"] == "span"
    assert only(f'{play}housing = "steel"\n', job='temperature = "80C"')["verdict"] == "go"


def test_end_play_and_preload_under_one_cap_contradict() -> None:
    card = job_card(parse_sheet(GAP + PLAY.format(name="hub play", place="cap")))
    gap, play = card["positions"]
    assert (gap["verdict"], play["verdict"]) == ("check", "check")
    assert said(gap, "hub play sits under a cap that holds the cup too and sets end play")
    assert said(play, "end cap sits under a cap that holds the cup too and sets preload")
    apart = job_card(parse_sheet(GAP + PLAY.format(name="hub play", place="retainer")))
    assert [position["verdict"] for position in apart["positions"]] == ["go", "go"]
    alike = PLAY.format(name="left", place="cap") + PLAY.format(name="right", place="cap")
    assert not any(said(p, "too and sets") for p in job_card(parse_sheet(alike))["positions"])
