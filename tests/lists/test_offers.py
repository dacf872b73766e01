"""What the lists offer for a pick."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.bearing import BearingRequest
from fitcheck.job.bearing import answer as bearing_answer
from fitcheck.job.seal import SealRequest
from fitcheck.job.seal import answer as seal_answer
from fitcheck.lists.cross import Alternative
from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.offers import Pick, candidate_pick, execution_wanted, offers
from fitcheck.lists.source import LineSource, rows_source

SEAL = SizeKey("seal", 35000, 52000, 7000, "metric")


def row(line: int, key: SizeKey, **more: Any) -> dict[str, Any]:
    return {"line": line, "part_number": f"N{line}", **key._asdict(), **more}


def shop(**lists: list[dict[str, Any]]) -> dict[str, LineSource]:
    return {name: rows_source({name: rows}) for name, rows in lists.items()}


def lines(found: tuple[Alternative, ...]) -> list[tuple[str, int]]:
    return [(offer.line.list, offer.line.line) for offer in found]


def test_candidates_are_picks() -> None:
    seal = seal_answer(SealRequest(mark=["35x52x7"]))["candidates"][0]
    assert candidate_pick(seal, pocket_um=9000) == Pick(SEAL, pocket_um=9000)
    inch = seal_answer(SealRequest(mark=["1.375x2.125x.313"]))["candidates"][0]
    assert candidate_pick(inch).size == SizeKey("seal", 34925, 53975, 7950, "inch")
    bearing = bearing_answer(BearingRequest(mark=["30206"]))["candidates"][0]
    assert candidate_pick(bearing).size == SizeKey(
        "bearing", 30000, 62000, 17250, "metric", "30206"
    )


@pytest.mark.parametrize(
    ("oil", "wanted"),
    [
        ("grease", "grease"),
        ("SAE 80W-90", "oil"),
        ("hub oil", "oil"),
        ("water", None),
        ("goose fat", None),
        ("", None),
    ],
)
def test_what_a_seal_keeps_in_says_oil_or_grease(oil: str, wanted: str | None) -> None:
    assert execution_wanted(case="rubber", oil=oil) == Execution(case="rubber", lubricant=wanted)


def test_offers_fit_and_come_by_grade_then_price() -> None:
    lists = shop(
        north=[
            row(2, SEAL._replace(width_um=8000), price="1"),
            row(3, SEAL, price="4"),
            row(4, SEAL._replace(shaft_um=36000)),
            row(5, SEAL, price="10"),
            row(6, SEAL),
        ],
        south=[row(2, SEAL, price="3")],
    )
    other = Pick(SEAL._replace(shaft_um=36500))
    found = offers([Pick(SEAL), other, Pick(SEAL)], lists)
    assert lines(found[Pick(SEAL)]) == [
        ("south", 2),
        ("north", 3),
        ("north", 5),
        ("north", 6),
        ("north", 2),
    ]
    assert found[other] == ()


def test_currencies_stand_apart() -> None:
    lists = shop(
        north=[row(2, SEAL, price="3", currency="USD"), row(3, SEAL, price="9", currency="EUR")]
    )
    assert lines(offers([Pick(SEAL)], lists)[Pick(SEAL)]) == [("north", 3), ("north", 2)]


def test_a_large_list_crowds_out_no_other() -> None:
    many = [row(n, SEAL, price="1") for n in range(2, 400)]
    lists = shop(north=many, south=[row(2, SEAL, price="2")])
    assert ("south", 2) in lines(offers([Pick(SEAL)], lists, top=3)[Pick(SEAL)])


def test_lip_lubricant_and_direction_are_asked_for_never_guessed() -> None:
    text = "double lip for oil, right"
    lists = shop(north=[row(2, SEAL, description=text), row(3, SEAL, lubricant="grease")])
    pick = Pick(SEAL, Execution(lubricant="oil"))
    ask, otherwise = offers([pick], lists)[pick]
    assert (ask.line.line, ask.grade) == (2, "same-ask")
    assert "lubricant: oil is wanted, the list does not say" in ask.questions
    assert (otherwise.line.line, otherwise.grade) == (3, "other-execution")
    assert otherwise.differs == ("lubricant grease for oil",)


def test_a_seal_that_runs_on_a_face_is_no_offer() -> None:
    lists = shop(north=[row(2, SEAL, lip="axial"), row(3, SEAL, lip="single")])
    assert lines(offers([Pick(SEAL)], lists)[Pick(SEAL)]) == [("north", 3)]


def test_a_pocket_too_shallow_rules_the_wider_seal_out() -> None:
    lists = shop(north=[row(2, SEAL._replace(width_um=8000))])
    shallow, deep = Pick(SEAL, pocket_um=7500), Pick(SEAL, pocket_um=9000)
    found = offers([shallow, deep], lists)
    assert found[shallow] == ()
    assert [offer.grade for offer in found[deep]] == ["condition"]
