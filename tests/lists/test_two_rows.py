"""Headers over two rows are one header, and every line below is read by both."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.lists.understand import read_list

GROUPED = """\
Spring list;;;;;;
Artikel-;Bezeichnung;Abmessungen;;;Preis;Lager
nummer;;d;D;b;EUR/100;Stk.
0001;WDR NBR;35;52;7;210,00;10
0002;WDR FPM;40;62;10;310,00;3
Artikel-;Bezeichnung;Abmessungen;;;Preis;Lager
nummer;;d;D;b;EUR/100;Stk.
0003;WDR NBR;25,4;44,45;6,35;110,00;1
"""
CUT = """\
Part,Description,Shaft,Bore,Width,Unit,Lead,Qty
number,,(mm),(mm),(mm),price,time,on hand
0001,OIL SEAL NBR,35,52,7,2.10,2 weeks,10
0002,OIL SEAL FKM,40,62,10,3.10,3 days,3
0003,OIL SEAL NBR,25.4,44.45,6.35,1.10,,1
"""


@pytest.mark.parametrize(("text", "prices"), [(GROUPED, 2.1), (CUT, 2.1)], ids=["group", "cut"])
def test_a_header_over_two_rows(tmp_path: Path, text: str, prices: float) -> None:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    reading = read_list(str(path))
    ((block, remarks),) = list(reading.blocks())
    columns = block.columns
    assert columns["part_number"] == ["0001", "0002", "0003"]
    assert columns["shaft_um"] == [35_000, 40_000, 25_400]
    assert columns["width_um"] == [7000, 10_000, 6350]
    assert columns["on_hand"] == [10, 3, 1]
    assert float(columns["price"][0]) == prices
    assert (reading.tally.lines, reading.tally.accepted) == (3, 3)
    skipped = [remark.reason for remark in remarks if remark.outcome == "skipped"]
    assert "the first of the header's two rows" in skipped
    assert skipped.count("the header again") == (2 if text is GROUPED else 0)


def test_a_list_whose_first_line_follows_its_header_keeps_it(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Part No;Text;Note\nBEARINGS;;\nA;Oil seal 35x52x7;x\n", encoding="utf-8")
    reading = read_list(str(path))
    list(reading.blocks())
    assert (reading.plan.header_line, reading.tally.lines) == (1, 2)
