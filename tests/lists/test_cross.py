"""Crossing wanted lines with lists: readings, marks, numbers, order, rows."""

from __future__ import annotations

import csv
import io
from typing import Any

from fitcheck.lists.cross import Crossed, cross
from fitcheck.lists.rows import OUT_COLUMNS, CsvText, Tally, crossed_json, rows
from fitcheck.lists.source import rows_source
from fitcheck.lists.wanted import wanted_lines

Row = dict[str, Any]


def seal(line: int, shaft: float, bore: float, width: float, **more: Any) -> Row:
    return {
        "line": line,
        "part_number": f"N{line}",
        "kind": "seal",
        "shaft_um": round(shaft * 1000),
        "bore_um": round(bore * 1000),
        "width_um": round(width * 1000),
        "system": "metric",
        **more,
    }


NORTH = [
    seal(2, 35, 52, 7, part_number="0621", lip="double", price="3.20", currency="EUR", on_hand=0),
    seal(3, 35, 52, 7, lip="double", price="2.10", currency="EUR", lead_days=9, on_hand=4),
    seal(4, 35, 52, 8, lip="single", price="1.10", currency="EUR", lead_days=1),
    {"line": 5, "part_number": "B-5", "kind": "bearing", "designation": "30206"},
    {"line": 6, "part_number": "B-6", "kind": "bearing", "designation": "LM11949/LM11910"},
    seal(7, 40, 62, 8, part_number="=1+2", description="@SUM(A1)"),
    {"line": 8, "part_number": "ROPE", "kind": "other"},
]
SOUTH = [
    seal(2, 35, 52, 7, part_number="S1", price="2.10", currency="EUR", on_hand=9),
    seal(3, 36, 52, 7, part_number="0999"),
    seal(4, 45, 62, 8, part_number="9471"),
]
SHOP = rows_source({"north": NORTH, "south": SOUTH})


def ask(*texts: str, **options: Any) -> list[Crossed]:
    return list(cross(wanted_lines(texts), SHOP, **options))


def numbers(answer: Crossed) -> list[str | None]:
    return [found.line.part_number for found in answer.alternatives]


def test_grade_comes_before_price_and_ties_go_by_list_and_line() -> None:
    (answer,) = ask("35x52x7")
    assert numbers(answer) == ["N3", "S1", "0621", "N4"]
    assert [a.grade for a in answer.alternatives] == ["same-ask"] * 3 + ["condition"]
    assert (answer.verdict, answer.grade, answer.read_as) == ("check", "same-ask", ("35 x 52 x 7",))


def test_lead_time_or_stock_as_asked() -> None:
    assert numbers(ask("35x52x7", sort="lead")[0])[:3] == ["N3", "0621", "S1"]
    assert numbers(ask("35x52x7", sort="stock")[0])[:3] == ["S1", "N3", "0621"]


def test_no_more_than_asked_for() -> None:
    assert numbers(ask("35x52x7", top=1)[0]) == ["N3"]


def test_near_misses_stand_only_where_nothing_fits() -> None:
    (answer,) = ask("36.5x52x7")
    assert (answer.verdict, answer.grade) == ("no-go", "near-miss")
    assert numbers(answer)[0] == "0999"
    assert answer.reasons[0] == "nothing fits; the nearest are shown"
    (nothing,) = ask("90x120x12")
    assert (nothing.verdict, nothing.grade, nothing.alternatives) == ("no-go", "nothing", ())


def test_another_lists_number_is_found_with_its_size_and_lip() -> None:
    (answer,) = ask("0621")
    assert answer.read_as == ("35 x 52 x 7",)
    assert numbers(answer)[:3] == ["N3", "0621", "S1"] or "0621" in numbers(answer)
    assert "lip: neither side says" not in answer.alternatives[0].questions


def test_lost_zeros_are_a_question() -> None:
    (answer,) = ask("621")
    assert answer.verdict == "check"
    assert "only 0621 in north is listed: leading zeros may be lost" in answer.reasons[0]


def test_a_number_of_two_parts_is_a_question() -> None:
    lists = rows_source({"a": [seal(2, 35, 52, 7)], "b": [seal(2, 40, 62, 8)]})
    (answer,) = cross(wanted_lines(["N2"]), lists)
    assert answer.verdict == "check"
    assert answer.read_as == ("35 x 52 x 7", "40 x 62 x 8")
    assert all("several parts" in a.questions[0] for a in answer.alternatives)


def test_designations() -> None:
    whole, half, close = ask("30206", "LM11949", "32206")
    assert (whole.verdict, whole.grade, numbers(whole)) == ("go", "same", ["B-5"])
    assert half.verdict == "check"
    assert numbers(half) == ["B-6"]
    assert (close.verdict, numbers(close)) == ("no-go", [])


def test_marks_are_read_among_the_lists_own_sizes_and_stay_a_question() -> None:
    for text, number in (("35 5? 7", "N3"), ("3?206", "B-5"), ("LM119?9/LM11910", "B-6")):
        (answer,) = ask(text)
        assert answer.verdict == "check"
        assert answer.alternatives[0].verdict == "check"
        assert number in numbers(answer), text
        assert answer.reasons[0].startswith("the mark reads as")


def test_a_mark_of_a_part_number() -> None:
    (answer,) = ask("94?1")
    assert numbers(answer)[0] == "9471"
    assert "part number 9471 of south" in answer.reasons[0]


def test_a_mark_written_as_a_size_is_no_part_number() -> None:
    lists = rows_source({"a": [seal(2, 35, 52, 7), seal(3, 90, 120, 12, part_number="3352-7")]})
    for text in ("3?x52x7", "3? 52 7"):
        (answer,) = cross(wanted_lines([text]), lists)
        assert numbers(answer) == ["N2"]
    (answer,) = cross(wanted_lines(["3352-?"]), lists)
    assert numbers(answer) == ["3352-7"]


def test_a_lost_figure_may_be_any_of_ten() -> None:
    rows: list[Row] = []
    for number in range(3, 9):
        size = {"kind": "bearing", "designation": f"3020{number}"}
        rows.append({"line": number, "part_number": f"K{number}", **size})
    bores = {"shaft_um": 30000, "bore_um": 62000, "width_um": 17250, "system": "metric"}
    rows.append({**rows[3], "line": 16, "part_number": "K6 with its size", **bores})
    (answer,) = cross(wanted_lines(["3020?"]), rows_source({"a": rows}), top=12)
    assert len(answer.read_as) == 6
    assert len(answer.alternatives) == 7
    many: list[Row] = [
        {"line": n, "part_number": f"N{n}", "kind": "bearing", "designation": f"302{n:02}"}
        for n in range(2, 22)
    ]
    (answer,) = cross(wanted_lines(["302??"]), rows_source({"a": many}), top=12)
    assert any("more sizes agree with the mark" in reason for reason in answer.reasons)


def test_an_accessory_or_half_of_a_bearing_is_not_the_bearing() -> None:
    for text in ("30206 spacer", "cup of 30206", "30206 cone", "instead of 30206 use 32206"):
        (answer,) = ask(text)
        assert (answer.verdict, answer.grade, numbers(answer)) == ("check", "nothing", [])
        assert len(answer.reasons) == 2


def test_a_mark_with_nothing_to_read_finds_nothing() -> None:
    for text in ("????", "?", "Q?Q?Q"):
        (answer,) = ask(text)
        assert (answer.verdict, answer.grade) == ("check", "nothing")


def test_a_text_that_can_be_read_in_two_ways_stays_open() -> None:
    (answer,) = ask("seal 30x12x14")
    assert answer.verdict == "check"
    assert answer.read_as == ("12 x 30 x 14", "14 x 30 x 12")


def test_what_was_put_right_stays_a_question() -> None:
    (answer,) = ask("52x35x7 oil seal double lip")
    assert (answer.verdict, answer.alternatives[0].grade) == ("check", "same-ask")
    assert "the only order" in answer.alternatives[0].questions[0]


def test_a_designation_that_is_another_parts_number_in_a_list_is_a_question() -> None:
    lists = rows_source({"a": [seal(2, 35, 52, 7, part_number="30206")], "b": NORTH[3:4]})
    (answer,) = cross(wanted_lines(["30206"]), lists)
    assert answer.verdict == "check"
    assert "30206 is 35 x 52 x 7 in a list" in answer.reasons
    assert {a.line.list for a in answer.alternatives} == {"a", "b"}


def test_what_cant_be_read_says_so() -> None:
    (answer,) = ask("gasket for the pump")
    assert (answer.verdict, answer.grade) == ("check", "nothing")
    assert "no size can be read" in answer.reasons[0]
    (refused,) = list(cross(wanted_lines(["shaft,bore", "35,x"]), SHOP))
    assert (refused.verdict, refused.alternatives) == ("refused", ())


def test_answers_come_in_the_order_of_the_lines() -> None:
    texts = ["30206", "35x52x7", "30206", "nothing", "35x52x7"]
    assert [answer.want.text for answer in ask(*texts)] == texts


# --- rows -----------------------------------------------------------------------------------------


def written(answers: list[Crossed]) -> list[dict[str, str]]:
    text = CsvText()
    whole = text.heading() + "".join(text.of(answer) for answer in answers)
    return list(csv.DictReader(io.StringIO(whole, newline="")))


def test_rows_and_csv_say_the_same() -> None:
    answers = ask("35x52x7 2 pcs", "30206", "nothing, at all", "35x52x7", "36.5x52x7")
    by_rows = [
        {name: str(cell) for name, cell in zip(OUT_COLUMNS, row, strict=True)}
        for row in rows(answers)
    ]
    assert written(answers) == by_rows
    assert [row["rank"] for row in by_rows if row["line"] == "1"] == ["1", "2", "3", "4"]
    assert by_rows[0]["quantity"] == "2"
    assert by_rows[0]["wanted"] == "35x52x7 2 pcs"


def test_no_cell_is_a_formula() -> None:
    answers = ask("40x62x8", "=1+2", "+35x52x7")
    for row in written(answers):
        for name, cell in row.items():
            assert not cell.startswith(("=", "+", "-", "@")), (name, cell)
    assert written(answers)[0]["part_number"] == "'=1+2"


def test_a_line_without_an_alternative_says_why() -> None:
    (row,) = written(ask("90x120x12"))
    assert (row["verdict"], row["grade"], row["rank"]) == ("no-go", "nothing", "")
    assert row["reason"] == "no line of the lists comes near it"


def test_json_carries_what_the_rows_carry() -> None:
    (answer,) = ask("35x52x7")
    found = crossed_json(answer)
    assert found["verdict"] == "check"
    assert found["alternatives"][0] | {"questions": []} == {
        "grade": "same-ask",
        "verdict": "check",
        "list": "north",
        "line": 3,
        "size": "35 x 52 x 7",
        "kind": "seal",
        "shaft_mm": 35.0,
        "bore_mm": 52.0,
        "width_mm": 7.0,
        "system": "metric",
        "designation": None,
        "lip": "double",
        "case": None,
        "material": None,
        "spring": None,
        "lubricant": None,
        "direction": None,
        "part_number": "N3",
        "description": None,
        "price": "2.10",
        "currency": "EUR",
        "pack": None,
        "minimum": None,
        "lead_days": 9,
        "on_hand": 4,
        "differs": [],
        "questions": [],
    }


def test_a_tally_counts_what_goes_by() -> None:
    tally = Tally()
    assert len(list(tally.counted(ask("35x52x7", "30206", "90x120x12")))) == 3
    assert tally.as_json() == {
        "wanted": 3,
        "verdicts": {"check": 1, "go": 1, "no-go": 1},
        "grades": {"nothing": 1, "same": 1, "same-ask": 1},
    }


def test_a_number_listed_without_a_size_is_named() -> None:
    for text, listed in (
        ("ROPE77", "ROPE77 in east is listed, without a size: look there"),
        ("77", "only 0077 in east is listed, without a size, and leading zeros may be lost"),
    ):
        rows = [
            {"line": 2, "part_number": "ROPE77", "kind": "other"},
            {"line": 3, "part_number": "0077", "kind": "other"},
        ]
        [found] = cross(wanted_lines([text]), rows_source({"east": rows}))
        reasons = " ".join(found.reasons)
        assert listed in reasons
        assert "no list has such a number" not in reasons
