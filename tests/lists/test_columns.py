"""Columns by header and by content, given by the user, and remembered."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fitcheck.errors import AmbiguousError, DataError, InputError
from fitcheck.lists.columns import ROLES, ColumnPlan, plan_of
from fitcheck.lists.headers import read_header, suggested_field
from fitcheck.lists.lines import Remark
from fitcheck.lists.numbers import read_count, read_lead, read_number, style_shown
from fitcheck.lists.understand import ListReading, read_list


@pytest.fixture
def made(tmp_path: Path) -> Any:
    """Write a list and read it."""

    def read(text: str, **options: Any) -> ListReading:
        path = tmp_path / "list.csv"
        path.write_text(text, encoding="utf-8")
        return read_list(str(path), **options)

    return read


def said(reading: ListReading) -> list[Remark]:
    return [remark for _, remarks in reading.blocks() for remark in remarks]


def lines(reading: ListReading) -> list[dict[str, Any]]:
    found = []
    for block, _ in reading.blocks():
        for values in zip(*block.columns.values(), strict=True):
            found.append(dict(zip(block.columns, values, strict=True)))
    return found


@pytest.mark.parametrize(
    ("header", "field"),
    [
        ("Part No.", "part_number"),
        ("ARTIKEL-NR.", "part_number"),
        ("d", "shaft"),
        ("D", "bore"),
        ("Ø ext. (mm)", ""),
        ("Shaft Ø", "shaft"),
        ("Price EUR", "price"),
        ("Netto (€)", "price"),
        ("On hand", "on_hand"),
        ("Lead time [weeks]", "lead_days"),
        ("Preis / Price", "price"),
        ("Lager / Stock", "on_hand"),
        ("Lieferzeit Tage / Lead days", "lead_days"),
        ("VE / Pack", "pack"),
        ("d / D", ""),
        ("ID / OD", ""),
        ("a sentence about seals and prices that goes on and on and on and on", ""),
    ],
)
def test_headers(header: str, field: str) -> None:
    assert read_header(header).field == field


def test_what_headers_say_besides() -> None:
    assert read_header("Width [inch]").unit == "in"
    assert read_header("€ Netto").currency == "EUR"
    assert read_header("Price per 100 pcs").per == 100
    assert read_header("Lieferzeit (Wochen)").days == 7


def test_a_like_header_is_a_suggestion_only(made: Any) -> None:
    assert suggested_field("Desciption") == "description"
    assert suggested_field("Weight") == suggested_field("xyz") == ""
    # Pricce is like price, and holds sizes: the content decides.
    reading = made("Item;Pricce\nA1;35x52x7\nA2;40x62x8\n")
    assert reading.plan.columns == {"part_number": ("Item",), "size": ("Pricce",)}


def test_content_decides_over_the_header(made: Any) -> None:
    reading = made("Item;Price;Remarks\nA1;35x52x7;4.20\nA2;40x62x8;5.10\n")
    assert reading.plan.columns["size"] == ("Price",)
    assert "column Price does not hold what its header says (price)" in reading.plan.notes


def test_three_columns_of_dimensions_without_headers(made: Any) -> None:
    reading = made("A1;35;52;7;4,20\nA2;40;62;8;5,10\nA3;45;62;8;5,10\n")
    columns = reading.plan.columns
    assert [columns[r] for r in ("shaft", "bore", "width")] == [("#2",), ("#3",), ("#4",)]
    assert columns["price"] == ("#5",)
    assert reading.plan.header_line == 0


def test_bore_beside_outside_diameter(made: Any) -> None:
    reading = made("Designation,Bore,OD,Width\n30206,30,62,17.25\n30207,35,72,18.25\n")
    assert reading.plan.columns["shaft"] == ("Bore",)
    assert reading.plan.columns["bore"] == ("OD",)
    first = lines(reading)[0]
    assert (first["kind"], first["designation"]) == ("bearing", "30206")
    assert (first["shaft_um"], first["bore_um"], first["width_um"]) == (30000, 62000, 17250)


def test_columns_that_are_not_used_are_named(made: Any) -> None:
    reading = made("Item;Size;Weight\nA1;35x52x7;12\nA2;40x62x8;13\n")
    assert reading.plan.notes == (
        "columns that are not used: Weight (numbers); name one with --column price=Weight",
    )


def test_whole_numbers_without_a_header_are_named(made: Any) -> None:
    reading = made("A-1;35x52x7;NBR;12\nA-2;40x62x8;NBR;12\nA-3;45x62x8;FKM;12\n")
    assert "price" not in reading.plan.columns
    assert reading.plan.notes == (
        "columns that are not used: #4 (numbers); name one with --column 'price=#4'",
    )


def test_given_columns(made: Any) -> None:
    text = "Item;Gross;Netto;Dims\nA1;9,99;4,20;35x52x7\n"
    plan = plan_of({"price": "Netto", "size": "#4"})
    assert lines(made(text, plan=plan))[0]["price"] == "4.20"
    assert lines(made(text, plan=plan_of({"price": "gross"})))[0]["price"] == "9.99"
    assert lines(made(text, plan=plan_of({"price": "-"})))[0]["price"] is None


def test_given_columns_tell_where_the_header_is(made: Any) -> None:
    text = "a note;x;y\nQQ;WW;EE\nA1;35x52x7;4,20\n"
    reading = made(text, plan=plan_of({"part_number": "QQ", "size": "WW", "price": "EE"}))
    assert reading.plan.header_line == 2
    assert len(lines(reading)) == 1


def test_given_columns_that_are_not_there(made: Any) -> None:
    with pytest.raises(InputError, match="no such column for price; it has Item, Size"):
        made("Item;Size\nA1;35x52x7\n", plan=plan_of({"price": "Netto"}))
    with pytest.raises(InputError, match="no column of a list is called so"):
        plan_of({"colour": "x"})
    with pytest.raises(InputError, match="several columns have this header: #2, #3"):
        made("Item;Size;Size\nA1;35x52x7;35x52x7\n", plan=plan_of({"size": "Size"}))


def test_nothing_that_tells_a_part(made: Any) -> None:
    with pytest.raises(InputError, match="none was found to hold part numbers"):
        made("Price;Stock\n4.20;5\n5.10;7\n")


def test_a_plan_is_remembered_as_text(made: Any) -> None:
    reading = made("Item;Dims;Netto €/100\nA1;35x52x7;1.250\nA2;35x52x7;1.250,50\n")
    assert ColumnPlan.from_json(reading.plan.to_json()) == reading.plan
    assert (reading.plan.currency, reading.plan.price_per) == ("EUR", 100)
    kept = ColumnPlan.from_json(reading.remember.to_json())
    assert kept == reading.remember
    assert (kept.columns, kept.decimals["price"]) == ({}, "comma")
    # What a short list by itself doesn't show is known from the last one, and told; what a
    # header said of that one is not.
    reading = made("Item;Dims;Netto\nA1;35x52x7;1.250\n", plan=kept)
    (line,), (remark,) = lines(reading), said(reading)
    assert (line["price"], line["currency"]) == ("1250", None)
    assert (remark.outcome, remark.column) == ("repaired", "Netto")
    assert remark.reason == "read as 1250, as in the list before"
    with pytest.raises(DataError):
        ColumnPlan.from_json("[]")


def test_only_what_is_given_is_remembered(made: Any) -> None:
    first = made("Item;Dims;Gross;Netto\nA1;35x52x7;9,99;4,20\n", plan=plan_of({"price": "Netto"}))
    assert first.remember.columns == {"price": ("Netto",)}
    # The size stands in another column now, and is found there.
    second = made("Size;Item;Gross;Netto\n35x52x7;A1;9,99;4,20\n", plan=first.remember)
    assert second.plan.columns["size"] == ("Size",)
    assert second.plan.columns["price"] == ("Netto",)
    assert "other columns than in the list before: size is Size, was Dims" in second.plan.notes
    assert second.remember.columns == {"price": ("Netto",)}


def test_a_sign_that_is_given_is_remembered(made: Any) -> None:
    text = "Item;Size;Price\nA1;35x52x7;1.250\n"
    first = made(text, decimal="comma")
    again = made(text, plan=first.remember)
    assert lines(again)[0]["price"] == "1250"
    assert [(r.outcome, r.reason[:12]) for r in said(again)] == [("noted", "read as 1250")]


def test_a_new_column_for_a_role_goes_before_the_remembered_one() -> None:
    old = ColumnPlan(columns={"price": ("Gross",), "size": ("Dims",)})
    assert plan_of({"price": "Dims"}, plan=old).columns == {"price": ("Dims",)}
    assert set(old.columns) <= set(ROLES)


# --- decimal signs --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "style"),
    [
        ("4,20", "comma"),
        ("4.2", "point"),
        ("0,125", "comma"),
        (".125", "point"),
        ("1.234,50", "comma"),
        ("1,234.50", "point"),
        ("1.234.567", "comma"),
        ("1234,500", "comma"),
        ("1,250", "?"),
        ("1.250", "?"),
        ("17", ""),
        ("12,", ""),
        ("1,2,3", ""),
        ("€ 4,20", "comma"),
    ],
)
def test_what_a_number_shows(text: str, style: str) -> None:
    assert style_shown(text) == style


@pytest.mark.parametrize(
    ("text", "style", "wanted"),
    [
        ("1,250", "comma", "1.250"),
        ("1,250", "point", "1250"),
        ("1.250", "comma", "1250"),
        ("4.20", "comma", "4.20"),
        ("1'234.50", "point", "1234.50"),
        ("1 234,50 EUR", "comma", "1234.50"),
        ("12,-", "comma", "12"),
        (".5", "point", "0.5"),
        ("on request", "point", None),
        ("-4", "point", None),
        ("1e5", "point", None),
        ("9" * 30, "point", None),
    ],
)
def test_numbers(text: str, style: str, wanted: str | None) -> None:
    assert read_number(text, style).text == wanted


def test_counts_and_lead_times() -> None:
    assert [read_count(t, "point").text for t in ("5", "1,000", "25 pcs", "10.0")] == [
        "5",
        "1000",
        "25",
        "10",
    ]
    assert all(
        read_count(t, "").problem for t in ("< 10", "~ 10", "1.000", "2.5", "lots", "9" * 12)
    )
    assert [read_lead(t).text for t in ("14", "2 weeks", "1-2 Wochen", "ab Lager", "3 d")] == [
        "14",
        "14",
        "14",
        "0",
        "3",
    ]
    assert read_lead("2", unit_days=7).text == "14"
    assert read_lead("soon").problem


def test_the_whole_file_decides(made: Any) -> None:
    head = "Item;Size;Price\n"
    doubtful = "A;35x52x7;1,250\n" * 3000
    with pytest.raises(AmbiguousError) as caught:
        made(head + doubtful)
    assert caught.value.readings == ("1.250 (--decimal comma)", "1250 (--decimal point)")
    # One number far below shows the sign.
    reading = made(head + doubtful + "B;40x62x8;4,20\n")
    assert reading.plan.decimals == {"price": "comma"}
    assert made(head + doubtful + "B;40x62x8;1,234.50\n").plan.decimals == {"price": "point"}
    assert lines(made(head + doubtful, decimal="point"))[0]["price"] == "1250"


def test_two_styles_in_one_column(made: Any) -> None:
    body = "A;35x52x7;4,20\nB;35x52x7;4.20\nC;35x52x7;1.250\n"
    reading = made("Item;Size;Price\n" + body)
    found, remarks = lines(reading), [r for _, rs in reading.blocks() for r in rs]
    assert [line["price"] for line in found] == ["4.20", "4.20", None]
    (remark,) = remarks
    assert remark.reason == "can be read as 1.250 or as 1250: no price"


def test_the_unit_of_the_list(made: Any) -> None:
    head = "Item;Size\n"
    assert made(head + "A;35x52x7\n" * 3).plan.unit == "mm"
    assert made(head + "A;1.375x2.125x.313\n" * 3).plan.unit == "in"
    assert made(head + "A;35x52x7\nB;1.375x2.125x.313\n").plan.unit == ""
    # In a list of mm a size in inches is told; in a mixed one it is not.
    reading = made(head + "A;35x52x7\n" * 20 + "B;1.375x2.125x.313\n")
    remarks = [r for _, rs in reading.blocks() for r in rs]
    assert [(r.line, r.outcome) for r in remarks] == [(22, "repaired")]


def test_wrong_options(made: Any) -> None:
    with pytest.raises(InputError):
        made("Item;Size\nA;35x52x7\n", unit="cm")
    with pytest.raises(InputError):
        made("Item;Size\nA;35x52x7\n", decimal="dot")


def test_a_header_of_two_meanings_is_what_the_column_holds(made: Any) -> None:
    head = "Art.-Nr.;Bezeichnung;d;D;b;Lager\n"
    stock = made(head + "417;Dichtring;35;52;7;12\n418;Kegelrollenlager 30206;30;62;17,25;4\n")
    assert stock.plan.columns["on_hand"] == ("Lager",)
    assert "designation" not in stock.plan.columns
    assert [(line["kind"], line["designation"], line["on_hand"]) for line in lines(stock)] == [
        ("seal", None, 12),
        ("bearing", "30206", 4),
    ]
    bearings = made("Art.-Nr.;Lager;Bestand\nA-1;30206;3\nA-2;32215;2\n")
    assert bearings.plan.columns["designation"] == ("Lager",)


# --- cells that can't be read -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "pieces", "reason"),
    [
        (">10", 10, "at least 10: taken as 10"),
        ("> 10 Stk.", 10, "at least 10: taken as 10"),
        ("10+", 10, "at least 10: taken as 10"),
        ("10 pcs+", 10, "at least 10: taken as 10"),
        ("mind. 10", 10, "at least 10: taken as 10"),
        ("more than 10", 10, "at least 10: taken as 10"),
        ("5 Paar", 10, "pairs: taken as 10"),
        ("5+ pairs", 10, "at least 5 pairs: taken as 10"),
        ("25 stck", 25, ""),
        ("25 Stück", 25, ""),
        ("pz. 25", 25, ""),
        ("25 ea", 25, ""),
        ("yes", None, "says whether, not how many"),
        ("no", None, "says whether, not how many"),
        ("-3", None, "is below zero"),
        ("2.5", None, "is no whole number"),
        ("5 boxes", None, "counts no single pieces"),
        ("5 moons", None, "is no whole number"),
        ("<10", None, "is no exact number"),
    ],
)
def test_counts(text: str, pieces: int | None, reason: str) -> None:
    found = read_count(text, "point")
    assert (found.text and int(found.text), found.problem or found.choice) == (pieces, reason)


@pytest.mark.parametrize("given", [False, True])
@pytest.mark.parametrize(
    ("head", "role", "cells"),
    [
        ("Stock", "on_hand", ("5", "-3", "2.5", "yes", "some", "few")),
        ("Price", "price", ("4.20", "free", "from 4 to 6", "see page 3", "-4.20", "12.05.2024")),
        ("Pack", "pack", ("10", "loose", "2.5", "-1", "bag", "tbd.")),
        ("MOQ", "minimum", ("10", "any", "2.5", "-1", "half", "some")),
        ("Lead time", "lead_days", ("7", "soon", "call us", "-1", "next year", "maybe")),
        ("Currency", "currency", ("EUR", "12", "$", "¥", "kr", "7")),
        ("Material", "material", ("NBR", "x1", "x2", "x3", "x4", "x5")),
    ],
)
def test_cells_of_a_column_that_few_can_be_read_of(
    made: Any, given: bool, head: str, role: str, cells: tuple[str, ...]
) -> None:
    bad = cells[1:]
    price = "" if role == "price" else ";Price"
    body = "".join(
        f"A-{n};35x52x7;{cell}{';1.20' if price else ''}\n" for n, cell in enumerate(cells)
    )
    plan = plan_of({role: head}) if given else None
    reading = made(f"Item;Size;{head}{price}\n{body}", plan=plan)
    found, remarks = lines(reading), said(reading)
    assert [line[role] is not None for line in found] == [True] + [False] * len(bad)
    told = [(r.outcome, r.line, r.column, r.value) for r in remarks]
    assert told == [("repaired", n, head, cell) for n, cell in enumerate(bad, start=3)]
    assert (reading.tally.accepted, reading.tally.repaired) == (1, len(bad))


def test_dimensions_that_few_can_be_read_of(made: Any) -> None:
    rows = ("35;52;7", "see text;52;7", "many;52;7", "D-40;52;7", "??x;52;7")
    body = "".join(f"A-{n};{row};OIL SEAL 35x52x7\n" for n, row in enumerate(rows))
    reading = made(f"Item;shaft;bore;width;Description\n{body}")
    assert [line["shaft_um"] for line in lines(reading)] == [35000] * 5
    told = [(r.outcome, r.line, r.column, r.value) for r in said(reading)]
    assert told == [
        ("repaired", 3, "shaft", "see text"),
        ("repaired", 4, "shaft", "many"),
        ("repaired", 5, "shaft", "D-40"),
        ("repaired", 6, "shaft", "??x"),
    ]
    assert (reading.tally.accepted, reading.tally.repaired) == (1, 4)


def test_a_column_that_is_another_thing_is_told_once(made: Any) -> None:
    text = "Item;Size;Category;Price\n"
    body = "".join(f"A-{n};35x52x7;{letter};4.20\n" for n, letter in enumerate("pqrst"))
    reading = made(text + body)
    (remark,) = said(reading)
    assert (remark.outcome, remark.line, remark.column) == ("noted", 1, "Category")
    assert "its header says kind and its cells do not: not used" in remark.reason
    assert "column Category does not hold what its header says (kind)" in reading.plan.notes


def test_a_price_on_request_is_told(made: Any) -> None:
    reading = made("Item;Size;Price\nA1;35x52x7;on request\nA2;35x52x7;4.20\nA3;35x52x7;\n")
    (remark,) = said(reading)
    assert (remark.outcome, remark.line, remark.value) == ("noted", 2, "on request")
    assert [line["price"] for line in lines(reading)] == [None, "4.20", None]


def test_mixed_prices_are_read_one_by_one(made: Any) -> None:
    texts = ("1.234,56", "1,234.56", "on request", "1,250", "12,50", "7.25")
    body = "".join(f"A-{n};35x52x7;{text};7.5\n" for n, text in enumerate(texts))
    reading = made("Item;Size;Price;x\n" + body)
    assert [line["price"] for line in lines(reading)] == [
        *("1234.56", "1234.56", None, None, "12.50", "7.25")
    ]
    assert [(r.outcome, r.value) for r in said(reading)] == [
        ("noted", "on request"),
        ("repaired", "1,250"),
    ]
    # The user decides; what shows its own sign is read by that still.
    decided = made("Item;Size;Price;x\n" + body, decimal="comma")
    assert [line["price"] for line in lines(decided)][:4] == ["1234.56", "1234.56", None, "1.250"]


def test_a_sign_that_is_not_sure_is_told(made: Any) -> None:
    head = "Item;Size;Price\n"
    reading = made(head + "A;35x52x7;4,20\n" * 19 + "B;35x52x7;4.20\nC;35x52x7;1.250\n")
    assert lines(reading)[-1]["price"] == "1250"
    (remark,) = said(reading)
    assert remark.reason == "read as 1250, as most of its column writes"
    # The widths speak for the price, which shows nothing itself.
    head = "Item;shaft;bore;width;Price\n"
    reading = made(head + "A;35;52;7.5;1,250\n" * 2 + "B;40;62;8.5;900\n")
    assert [line["price"] for line in lines(reading)] == ["1250", "1250", "900"]
    assert [r.reason for r in said(reading)] == ["read as 1250, as the other columns write"] * 2


def test_one_number_in_doubt_does_not_stop_a_list(made: Any) -> None:
    reading = made("Item;Size;Price\n" + "A;35x52x7;4\n" * 5 + "B;35x52x7;1,250\n")
    assert [line["price"] for line in lines(reading)] == ["4"] * 5 + [None]
    (remark,) = said(reading)
    assert (remark.outcome, remark.value) == ("repaired", "1,250")


def test_the_same_part_number_with_another_size_is_told(made: Any) -> None:
    rows = ("A1;35x52x7", "A2;40x62x8", "A1;35x52x7", "A1;35x52", "A2;40x62x10")
    reading = made("Item;Size\n" + "\n".join(rows) + "\n")
    assert len(lines(reading)) == 5
    (remark,) = [r for r in said(reading) if "same part number" in r.reason]
    assert (remark.outcome, remark.line, remark.column, remark.value) == ("noted", 6, "Item", "A2")
    assert remark.reason == (
        "40 x 62 x 10 mm here; the same part number is 40 x 62 x 8 mm in line 3: ask which it is"
    )


def test_a_part_number_is_remembered_over_blocks(made: Any) -> None:
    body = "".join(f"N{n};35x52x7\n" for n in range(25_000))
    reading = made("Item;Size\n" + body + "N5;40x62x8\n")
    (remark,) = said(reading)
    assert "35 x 52 x 7 mm in line 7" in remark.reason


@pytest.mark.parametrize("head", ["código;Artículo", "Artículo;código"])
def test_an_article_is_a_number_or_a_name(made: Any, head: str) -> None:
    cells = [("A-2", "Rodamiento cónico 32208"), ("A-3", "Retén"), ("A-4", "Retén")]
    turn = 1 if head.startswith("código") else -1
    body = "".join(";".join(pair[::turn]) + "\n" for pair in cells)
    reading = made(f"{head}\n{body}")
    assert reading.plan.columns == {"part_number": ("código",), "description": ("Artículo",)}
    assert lines(reading)[0]["designation"] == "32208"
    alone = made("Artículo;medidas\n0417;35x52x7\n0418;40x62x8\n")
    assert alone.plan.columns["part_number"] == ("Artículo",)


def test_part_numbers_with_leading_zeros_may_repeat(made: Any) -> None:
    rows = ("0621,35x52x7", "0621,35x52x8", "0622,40x62x10", "0623,45x62x8")
    reading = made("".join(f"{row},4.20\n" for row in rows))
    assert reading.plan.columns["part_number"] == ("#1",)
    counts = made("".join(f"{row[2:]},4.20\n" for row in rows))
    assert "part_number" not in counts.plan.columns


def test_a_bearing_may_stand_where_seals_have_their_sizes(made: Any) -> None:
    rows = ("1;Wellendichtring;35x52x7", "2;Kegelrollenlager;30206", "3;Wellendichtring;40x62x8")
    found = lines(made("Nr;Bezeichnung;Maße\n" + "\n".join(rows) + "\n"))
    assert [(line["kind"], line["designation"]) for line in found] == [
        ("seal", None),
        ("bearing", "30206"),
        ("seal", None),
    ]


@pytest.mark.parametrize("text", ['="00621"', "'00621"])
def test_a_number_that_is_a_text_for_a_spreadsheet(made: Any, text: str) -> None:
    reading = made(f"No\tSize\n{text}\t35x52x7\n=1+1\t35x52x7\n")
    assert [line["part_number"] for line in lines(reading)] == ["00621", "=1+1"]
    (remark,) = said(reading)
    assert (remark.outcome, remark.line, remark.value) == ("repaired", 2, text)


def test_blanks_that_do_not_break_a_line_part_thousands() -> None:
    assert read_count("1\u00a0000", "comma").text == "1000"
