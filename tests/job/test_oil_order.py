"""Oil on the card: what is ordered and filled, and a vent against a pressure."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.oil.answer import OilRequest, answer
from fitcheck.job.sheet import parse_sheet

CAVITY = 'diameter = "200"\nlength = "140"\n'
SEAL = (
    '[[seal]]\nname = "s"\nshaft = ["79.95@micrometer", "79.95@micrometer"]\n'
    'bore = ["100.02@bore-gauge", "100.02@bore-gauge"]\nold_width = "10.02"\n'
    'old_od = "100.25"\nbare_shaft = true\n'
)


def card(text: str, *, job: str = "") -> dict[str, Any]:
    """The card of a sheet about oil."""
    return job_card(parse_sheet(f'[job]\noil = "gear oil"\nturning = "hub"\n{job}{text}'))


def oil(text: str, *, job: str = "") -> dict[str, Any]:
    """The position of the oil, its parts and its setting."""
    found = card(f"[oil]\n{text}", job=job)
    (position,) = [p for p in found["positions"] if p["kind"] == "oil"]
    parts = [part for part in found["parts"] if "oil" in part["for"]]
    return {**position, "parts": parts, "setting": found["settings"][0]["setting"], "card": found}


def said(position: dict[str, Any], words: str) -> bool:
    """Whether one of the reasons says so."""
    return any(words in reason for reason in position["reasons"])


@pytest.mark.parametrize("vented", ["true", "false"])
def test_above_half_is_only_as_the_manual_says(vented: str) -> None:
    found = oil(f'{CAVITY}fill = 0.75\nvented = {vented}\nshaft = "40"\n', job='speed = "100rpm"\n')
    assert found["verdict"] == "check"
    assert said(found, "above half only if the machine's manual")
    assert "only if the machine's manual says so, the usual is 50 %, 2.20 l" in found["setting"]
    assert [part["order"] for part in found["parts"]] == [False]
    half = oil(f"{CAVITY}vented = {vented}\n")
    assert "manual" not in half["setting"]


def test_what_was_refused_is_not_ordered() -> None:
    found = oil(f'{CAVITY}fill = 0.7\nshaft = "100"\nto_temp = "80C"\nfrom_temp = "20C"\n')
    assert found["verdict"] == "no-go"
    assert found["setting"] == (
        "fill to 50 % of the cavity, 2.20 l, cold, on level ground; not to 70 %"
    )
    assert [part["size"] for part in found["parts"]] == ["2.20 l"]
    hot = oil(f'{CAVITY}shaft = "100"\nto_temp = "130C"\n')
    assert "no level passes before the hub is vented" in hot["setting"]
    assert [part["size"] for part in hot["parts"]] == ["quantity to be settled"]


def test_a_fill_without_a_cavity_stands_on_the_order_to_be_settled() -> None:
    found = oil("fill = 0.5\n")
    assert found["verdict"] == "check"
    assert [(part["size"], part["order"]) for part in found["parts"]] == [
        ("to the level mark, quantity not known", False)
    ]
    assert found["read_again"][0]["reading"] == "volume"
    assert oil(f"{CAVITY}fill = 0.5\nvented = true\n")["verdict"] == "go"


@pytest.mark.parametrize("pressure", ["0.2bar", "0bar"])
def test_a_vented_hub_holds_no_pressure(pressure: str) -> None:
    found = card(f'{SEAL}[oil]\nvolume = "3l"\nvented = true\n', job=f'pressure = "{pressure}"\n')
    for position in found["positions"]:
        against = said(position, "gives 0.2 bar: a vented hub holds none")
        assert against == (pressure == "0.2bar"), position["name"]
    verdict = next(p["verdict"] for p in found["positions"] if p["kind"] == "oil")
    assert verdict == ("check" if pressure == "0.2bar" else "go")


def test_the_most_that_is_a_go_is_told_from_what_the_lip_holds() -> None:
    def asked(fill: float) -> dict[str, Any]:
        return answer(OilRequest(diameter="180", length="120", shaft="90", fill=str(fill)))

    found = asked(0.5)
    assert (found["fill_go"], found["fill_at_limit"]) == (0.53, 0.62)
    assert [asked(fill)["verdict"] for fill in (0.53, 0.54, 0.62, 0.63)] == [
        "go",
        "check",
        "check",
        "no-go",
    ]
