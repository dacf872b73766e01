"""Which lip of a job sets the pressure that its hub may reach."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet

JOB = '[job]\noil = "EP gear oil"\ntemperature = "80C"\nspeed = "{speed}"\n'
SMALL = (
    '[[seal]]\nname = "motor side"\nbare_shaft = true\nshaft = "54.96@micrometer"\n'
    'bore = "80.02@bore-gauge"\nold_width = "8.0"\n'
)
OIL = '[oil]\nvolume = "4l"\nfill = 0.7\n'


def oil_of(*seals: str, speed: str = "60rpm", oil: str = OIL) -> dict[str, Any]:
    """The oil's position of a job."""
    card = job_card(parse_sheet(JOB.format(speed=speed) + "".join(seals) + oil))
    return next(p for p in card["positions"] if p["name"] == "oil")


def seal(**readings: str) -> str:
    keys = "".join(f'{key} = "{text}"\n' for key, text in readings.items())
    return f'[[seal]]\nname = "drum side"\nbare_shaft = true\n{keys}'


def test_a_seal_whose_width_is_not_decided_counts_by_its_shaft() -> None:
    found = oil_of(seal(shaft="94.96@micrometer", bore="120.02@bore-gauge"), SMALL)
    assert found["verdict"] == "no-go"
    assert found["answer"]["shaft_mm"] == 95.0


def test_a_seal_of_no_listed_size_counts_as_its_shaft_reads() -> None:
    odd = seal(shaft="99.96@micrometer", bore="127.4@bore-gauge", old_width="12.1")
    found = oil_of(odd, SMALL)
    assert found["verdict"] == "no-go"
    assert found["answer"]["shaft_mm"] == pytest.approx(99.97)


def test_the_sleeve_that_the_card_orders_counts() -> None:
    worn = seal(
        shaft="74.96@micrometer", track="74.6@micrometer", bore="100.02@bore-gauge", old_width="10"
    )
    found = oil_of(worn)
    assert (found["verdict"], found["answer"]["limit_bar"]) == ("no-go", 0.3)
    assert any("75.468 mm, that of drum side, with its sleeve" in r for r in found["reasons"])


def test_a_sleeve_that_is_on_the_shaft_already_is_no_go_for_sure_only_once_settled() -> None:
    on = '[[seal]]\nname = "inboard"\nshaft = "75.50@micrometer"\nbore = "100.02@bore-gauge"\n'
    found = oil_of(f'{on}old_width = "10"\n')
    assert (found["verdict"], found["answer"]["limit_bar"]) == ("check", 0.3)
    assert any("inboard runs on is not settled" in reason for reason in found["reasons"])


@pytest.mark.parametrize(("speed", "verdict"), [("60rpm", "check"), ("3000rpm", "no-go")])
def test_the_speed_of_the_job_takes_from_what_the_lip_holds(speed: str, verdict: str) -> None:
    assert oil_of(SMALL, speed=speed)["verdict"] == verdict


def test_the_speed_of_a_seal_goes_before_that_of_the_job() -> None:
    assert oil_of(f'{SMALL}rpm = "3000rpm"\n')["verdict"] == "no-go"


def test_the_shaft_given_for_the_oil_does_not_hide_a_larger_seal() -> None:
    large = seal(shaft="94.96@micrometer", bore="120.02@bore-gauge", old_width="12")
    found = oil_of(large, oil=f'{OIL}shaft = "50"\n')
    assert found["verdict"] == "no-go"
    assert any("shaft given for the oil does not hold least" in r for r in found["reasons"])
    alone = oil_of(SMALL, oil=f'{OIL}shaft = "55"\n')
    # Over half full; the lip itself holds it.
    assert alone["verdict"] == "check"
    assert any("55 mm holds 0.6 bar" in reason for reason in alone["reasons"])
    assert not any("shaft" in text for text in alone["assumptions"])


def test_a_seal_that_is_not_read_yet_leaves_the_oil_open() -> None:
    unread = '[[seal]]\nname = "far side"\n'
    found = oil_of(unread, SMALL)
    assert found["verdict"] == "check"
    assert any("the shaft of far side is not known yet" in r for r in found["reasons"])
