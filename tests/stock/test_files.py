"""The shop's own tables: taken whole, or every refused row told."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook

from fitcheck.errors import InputError
from fitcheck.stock.fleet import fleet_kits, read_fleet
from fitcheck.stock.history import demand_lines, history_of, read_history
from fitcheck.stock.shelf import read_shelf
from fitcheck.stock.terms import read_terms

TODAY = date(2026, 11, 25)


def written(folder: Path, text: str) -> str:
    """A file with some text."""
    path = folder / "given.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_a_history(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "Date;Branch;Job;Size;Qty;Short;Note\n"
        "2026-03-09;quay;J1;35x52x7;2;no;wet\n\n"
        "2026-03-09;quay;J1;30206;1;;\n"
        "2026-03-10;quay;;1.378 x 2.047 x 0.276 in;1;yes;\n",
    )
    file = read_history(path, today=TODAY)
    assert file.refused == ()
    lines = demand_lines(file.lines, file.names)
    assert [(one.line, one.part_key, one.quantity, one.short) for one in lines] == [
        (2, "35 x 52 x 7", 2, False),
        (4, "30206", 1, None),
        (5, "35 x 52 x 7", 1, True),
    ]
    history = history_of(lines)
    assert history.parts == ("30206", "35 x 52 x 7")
    assert history.job_of.tolist() == [0, 0, -1]
    assert len(history.between(date(2026, 3, 10), date(2026, 3, 10))) == 1


def test_a_workbook_is_read_like_a_text(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["date", "part", "quantity"])
    book.active.append([date(2026, 3, 9), "35x52x7", 2])
    book.active.append(["2026-03-10", 30206, 1.0])
    path = str(tmp_path / "history.xlsx")
    book.save(path)
    file = read_history(path, today=TODAY)
    assert file.refused == ()
    assert [(one.day.day, one.text, one.quantity) for one in file.lines] == [
        (9, "35x52x7", 2),
        (10, "30206", 1),
    ]


def test_every_refused_cell_of_a_history_is_told(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "date,part,quantity,short\n"
        "2026-03-09,35x52x7,-2,\n"
        "2026-11-26,30206,1,\n"
        "9.3.2026,30206,1,\n"
        "2026-03-09,,1.5,maybe\n"
        "2026-03-09,seal 10x8x22,1,\n"
        "2026-03-09,30206,0,\n"
        "2026-03-09,30206,1,no,more\n"
        ",30206,,\n",
    )
    refused = read_history(path, today=TODAY).refused
    assert [(one.line, one.column, one.value) for one in refused] == [
        (2, "quantity", "-2"),
        (3, "date", "2026-11-26"),
        (4, "date", "9.3.2026"),
        (5, "part", ""),
        (5, "quantity", "1.5"),
        (5, "short", "maybe"),
        (6, "part", "seal 10x8x22"),
        (7, "quantity", "0"),
        (8, "", "more"),
        (9, "date", ""),
        (9, "quantity", ""),
    ]
    reasons = [one.reason for one in refused]
    assert reasons[0] == "a negative quantity: 1 is the least"
    assert reasons[1] == "this day is yet to come (today is 2026-11-25)"


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("date,part", "its heading lacks quantity"),
        ("date,part,quantity,colour", "colour, which is no column of a history"),
        ("date,part,size,quantity", "part twice"),
    ],
)
def test_a_heading_that_is_no_historys(tmp_path: Path, heading: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_history(written(tmp_path, f"{heading}\n1,2,3,4\n"), today=TODAY)


def test_a_fleet_makes_kits(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "machine,machines,hub,hubs,part,quantity,hours,life\n"
        "winch,3,drive,2,35x52x7,2,2000,8000\n"
        "winch,3,drive,2,30206,1,2000,8000\n"
        "winch,3,brake,1,30206,1,2000,4000\n",
    )
    file = read_fleet(path)
    assert file.refused == ()
    kits = fleet_kits(file.positions, file.names)
    assert [(kit.name, dict(kit.needs), kit.jobs) for kit in kits] == [
        ("winch, drive", {"35 x 52 x 7": 2, "30206": 1}, 1.5),
        ("winch, brake", {"30206": 1}, 1.5),
    ]


def test_a_fleet_that_contradicts_itself_is_refused(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "machine,part,renewals,hours,life\n"
        "winch,35x52x7,0.5,,\n"
        "winch,30206,0.6,,\n"
        "crane,30206,,,\n"
        "crane,30206,,100,0\n"
        "pump,30206,2,1000,1000\n"
        "tug,30206,-1,,\n",
    )
    refused = read_fleet(path).refused
    assert [(one.line, one.column) for one in refused] == [
        (3, "hub"),
        (4, "renewals"),
        (5, "life"),
        (6, "renewals"),
        (7, "renewals"),
    ]


def test_a_shelf(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "part,branch,on_hand,date,empty_from,empty_to\n"
        "35x52x7,quay,0,2026-03-01,,\n"
        "30206,quay,,,2026-01-05,2026-02-05\n"
        "30207,quay,0,2026-03-01,2026-02-20,\n",
    )
    file = read_shelf(path, today=TODAY)
    assert file.refused == ()
    assert [(one.text, one.pieces) for one in file.counts] == [("35x52x7", 0), ("30207", 0)]
    assert [(one.text, one.end) for one in file.stretches] == [
        ("30206", date(2026, 2, 5)),
        ("30207", TODAY),
    ]


def test_a_shelf_that_can_not_be_is_refused(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "part,on_hand,empty_from,empty_to\n"
        "35x52x7,-1,,\n"
        "30206,,,\n"
        "30206,,2026-02-05,2026-01-05\n"
        "30207,1,,\n"
        "bearing 30207,2,,\n",
    )
    refused = read_shelf(path, today=TODAY).refused
    assert [(one.line, one.column) for one in refused] == [
        (2, "on_hand"),
        (3, "on_hand"),
        (4, "empty_to"),
        (6, "part"),
    ]


def test_terms(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "part,price,currency,lead_days,pack,shelf_life_months,critical\n"
        '35x52x7,"4,20",eur,5,10,60,yes\n'
        "30206,9.60,,,,,\n"
        '32018 X,"1,250",EUR,,,,\n'
        "OIL SEAL 35X52X7,1,EUR,,,,\n",
    )
    file = read_terms(path)
    (line, asked, terms), *rest = file.lines
    assert (line, asked, rest) == (2, ("35x52x7", ""), [])
    assert (terms.price, terms.currency, terms.pack, terms.critical) == (4.2, "EUR", 10, True)
    assert [(one.line, one.column) for one in file.refused] == [
        (3, "currency"),
        (4, "price"),
        (5, "part"),
    ]
