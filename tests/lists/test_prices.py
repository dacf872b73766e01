"""Prices, stocks and lead times as suppliers write them; what is no part number."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fitcheck.lists.lines import Remark
from fitcheck.lists.numbers import read_count, read_lead
from fitcheck.lists.prices import read_price
from fitcheck.lists.understand import read_list


@pytest.mark.parametrize(
    ("text", "price", "currency"),
    [
        ("4.10/ea", "4.10", None),
        ("4,10 / Stk.", "4.10", None),
        ("3,20 €/Stk", "3.20", "EUR"),
        ("3,20 netto", "3.20", None),
        ("netto 3,20 €", "3.20", "EUR"),
        ("3.20 per piece", "3.20", None),
        ("320/100 Stk", "3.2", None),
    ],
)
def test_a_price_of_one_piece_is_read(text: str, price: str, currency: str | None) -> None:
    found = read_price(text, "")
    assert (found.text, found.currency, found.problem) == (price, currency, "")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("ab 3,20", "says AB: a price from so much on, not of one piece"),
        ("from 3.20 EUR", "says FROM: a price from so much on, not of one piece"),
        ("à partir de 3,20", "says À PARTIR DE: a price from so much on, not of one piece"),
        ("3,20 brutto", "says BRUTTO: with tax or before a discount, no net price"),
        ("(3.20)", "stands in brackets, which may mean below zero"),
        ("320/100", "may be a price for 100 pieces, or two prices"),
        ("320/0 Stk", "is a price for no piece"),
        ("6.40/pair", "is a price for pair, not of one piece"),
        ("3.20/", "is no number"),
        ("about 3.20", "is no number"),
        ("-3.20", "is below zero"),
    ],
)
def test_what_may_be_another_price_is_left_out_with_its_reason(text: str, reason: str) -> None:
    found = read_price(text, "")
    assert (found.text, found.problem) == (None, reason)


def test_a_price_of_so_many_pieces_is_told() -> None:
    assert read_price("320/100 Stk", "").choice == "for 100 pieces: taken as 3.2 for one"


@pytest.mark.parametrize("text", ["épuisé", "Agotado", "AUSVERKAUFT", "sold out"])
def test_nothing_left_is_a_stock_of_none(text: str) -> None:
    found = read_count(text, "")
    assert (found.text, found.choice) == ("0", "says that there is none: taken as 0")


@pytest.mark.parametrize(
    ("text", "days"), [("1 semana", "7"), ("inmediato", "0"), ("1 día", "1"), ("1 settimana", "7")]
)
def test_a_lead_time_of_one_and_at_once(text: str, days: str) -> None:
    assert read_lead(text).text == days


def noted(path: Path, text: str) -> tuple[list[dict[str, Any]], list[Remark]]:
    path.write_text(text, encoding="utf-8")
    lines, said = [], []
    for block, remarks in read_list(str(path)).blocks():
        said += remarks
        for values in zip(*block.columns.values(), strict=True):
            lines.append(dict(zip(block.columns, values, strict=True)))
    return lines, said


def test_a_price_left_out_is_remarked_in_its_line(tmp_path: Path) -> None:
    text = "no;size;price\n01;35x52x7;3,20 netto\n02;35x52x8;ab 3,20\n"
    lines, said = noted(tmp_path / "n.csv", text)
    assert [line["price"] for line in lines] == ["3.20", None]
    assert [(one.line, one.column, one.value) for one in said] == [(3, "price", "ab 3,20")]
    assert said[0].reason.endswith("no price")


def test_a_price_for_so_many_by_its_heading_is_not_divided_twice(tmp_path: Path) -> None:
    lines, said = noted(tmp_path / "n.csv", "no;size;price per 100\n01;35x52x7;320/100 Stk\n")
    assert lines[0]["price"] is None
    assert [one.column for one in said] == ["price per 100"]


def test_yes_or_no_for_a_part_number_is_remarked(tmp_path: Path) -> None:
    lines, said = noted(tmp_path / "n.csv", "no;size\nTRUE;35x52x7\n0012;35x52x8\n")
    assert [line["part_number"] for line in lines] == ["TRUE", "0012"]
    assert [(one.line, one.value) for one in said] == [(2, "TRUE")]
