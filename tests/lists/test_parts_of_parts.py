"""A part for a bearing or a seal, and a line that names two parts, never counts as the part."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fitcheck.lists.cross import Crossed, cross
from fitcheck.lists.describe import Describer
from fitcheck.lists.items import SizeKey
from fitcheck.lists.offers import Pick, offer_order, offers
from fitcheck.lists.source import BlockSource, rows_source
from fitcheck.lists.wanted import wanted_lines

TOLD = "double lip, for oil, bidirectional"


def source(*listed: str) -> BlockSource:
    """A list of descriptions, the first the cheapest."""
    describer = Describer()
    rows = [
        {
            "line": line,
            "description": words,
            "price": str(Decimal(line)),
            "currency": "EUR",
            **describer.read(words).fields(),
        }
        for line, words in enumerate(listed, start=2)
    ]
    return rows_source({"north": rows})


def ask(text: str, *listed: str, top: int = 5) -> Crossed:
    (answer,) = cross(wanted_lines([text]), source(*listed), top=top)
    return answer


@pytest.mark.parametrize(
    "listed",
    [
        *("Roller, taper bearing 30206", "Taper bearing seal 30206 NBR", "Shaft, bearing 30206"),
        *("Bearing 30206 shaft", "30206 rolos", "Bearing 30206 seal", "30206 rulli", "Row 30206"),
        *("Rodillos 30206", "Rouleaux 30206", "Kegelrollen 30206", "30206 rotary", "30206 part"),
    ],
)
def test_a_part_of_a_bearing_is_not_the_bearing(listed: str) -> None:
    assert ask("30206", listed).verdict != "go"


@pytest.mark.parametrize(
    "listed",
    [
        *("Single row taper roller bearing 30206", "Rolamento de rolos cónicos 30206"),
        *("Rodamiento de rodillos cónicos 30206", "Roulement à rouleaux coniques 30206"),
        *("Cuscinetto a rulli conici 30206", "Bearing, taper roller, 30206", "30206"),
        *("Taper roller bearing, part no 30206", "Roller bearing 30206", "Koniskt rullager 30206"),
    ],
)
def test_the_names_of_a_bearing_say_nothing_more(listed: str) -> None:
    assert ask("30206", listed).verdict == "go"


@pytest.mark.parametrize(
    "words",
    [
        *("Garter spring for oil seal", "Garter spring oil seal", "Garter spring, seal"),
        *("Shaft, oil seal", "Oil seal part", "Roller, seal", "Shaft; rotary seal"),
    ],
)
def test_a_part_of_a_seal_is_not_the_seal(words: str) -> None:
    assert ask(f"45x62x8 {TOLD}", f"{words} 45x62x8 {TOLD}").verdict != "go"


@pytest.mark.parametrize(
    "words",
    ["Oil seal", "Shaft oil seal", "Rotary shaft lip seal", "Radial shaft seal", "Seal, oil seal"],
)
def test_the_names_of_a_seal_say_nothing_more(words: str) -> None:
    assert ask(f"45x62x8 {TOLD}", f"{words} 45x62x8 {TOLD}").verdict == "go"


@pytest.mark.parametrize("words", ["Wheel seal LH", "Hub seal 7 RH", "Seal, axle, left hand"])
def test_a_hand_at_a_wheel_is_no_direction(words: str) -> None:
    found = Describer().read(f"{words} 40x62x8 double lip, for oil")
    assert found.fields()["direction"] is None
    assert any("side of the vehicle" in note.reason for note in found.notes)
    wanted = "40x62x8 double lip for oil left hand rotation"
    assert ask(wanted, f"{words} 40x62x8 double lip, for oil").verdict == "check"


@pytest.mark.parametrize("words", ["Wheel seal LH rotation", "Seal LH", "Wheel seal left rotation"])
def test_a_direction_that_is_told_stays_one(words: str) -> None:
    assert Describer().read(f"{words} 40x62x8").fields()["direction"] == "left"


def test_a_number_beside_the_size_of_another_part_is_asked_for() -> None:
    answer = ask("30206 and 35x52x7", "Taper bearing 30206", f"Oil seal 35x52x7 {TOLD}")
    assert answer.verdict == "check"
    assert answer.read_as == ("30206 (30 x 62 x 17.25)", "35 x 52 x 7")
    assert "30206 is listed as 30 x 62 x 17.25 mm and 35 x 52 x 7 mm" in answer.reasons[0]
    assert {a.grade for a in answer.alternatives} == {"same-ask"}
    assert ask("30206 30x62x17.25", "Taper bearing 30206").verdict == "go"


MORE = [f"Oil seal {words} 65x90x10" for words in ("housing", "retainer", "cover", "gasket")]


def test_what_a_line_also_says_is_told_at_every_grade_and_stands_last() -> None:
    answer = ask("65x90x10", *MORE, "Oil seal 65x90x10")
    assert [a.line.line for a in answer.alternatives] == [6, 2, 3, 4, 5]
    assert "the list also says HOUSING: look what it is" in answer.alternatives[1].questions
    (other,) = ask("65x90x10 double lip", "Oil seal housing single lip 65x90x10").alternatives
    assert other.grade == "other-execution"
    assert "the list also says HOUSING: look what it is" in other.questions


def test_cheap_lines_that_say_more_crowd_nobody_out() -> None:
    cheap = [*MORE, *(f"{words} type {n}" for words in MORE for n in (1, 2))]
    answer = ask("65x90x10", *cheap, "Oil seal 65x90x10", top=2)
    assert [a.line.description for a in answer.alternatives] == ["Oil seal 65x90x10", MORE[0]]
    told = [f"{words} {TOLD}" for words in MORE]
    answer = ask(f"65x90x10 {TOLD}", *told, "Oil seal 65x90x10", top=1)
    assert [a.line.description for a in answer.alternatives] == ["Oil seal 65x90x10"]


def test_an_offer_that_says_more_stands_behind_the_others() -> None:
    pick = Pick(SizeKey("bearing", 30000, 62000, 17250, "metric", "30206"))
    found = offers([pick], {"north": source("Shaft, bearing 30206", "Bearing 30206")})[pick]
    assert [(a.line.line, a.grade) for a in found] == [(3, "same"), (2, "same-ask")]
    assert sorted(found, key=offer_order) == list(found)
