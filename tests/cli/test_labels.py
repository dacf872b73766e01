"""`fitcheck labels`: one label for each bin of a stocking list."""

from __future__ import annotations

import re
from pathlib import Path

import html5lib
import pytest
from openpyxl import Workbook

from fitcheck.report.html.labels import COLUMNS, ROWS, symbol

LIST = """branch,part,what,level,order_at,bin
north,35 x 52 x 7,seal,4,2,
north,1.378 x 2.047 x 0.276 in,seal,0,,
north,32212,bearing,2,1,Rack 3
yard,30206,bearing,1,0,
"""


@pytest.fixture
def stocklist(tmp_path: Path) -> str:
    file = tmp_path / "list.csv"
    file.write_text(LIST, encoding="utf-8")
    return str(file)


def labels_of(file: Path) -> list[list[str]]:
    html = file.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(html)
    found = re.findall(r'<div class="label">(.*?)\n</div>', html, re.S)
    return [
        [text.replace("\u00a0", " ") for text in re.findall(r"<p[^>]*>([^<]*)</p>", one)]
        for one in found
    ]


def test_a_label_for_each_size_that_has_a_place(run, tmp_path, stocklist):
    file = tmp_path / "labels.html"
    assert run("labels", stocklist, "--html", str(file)) == (0, "3 labels\n", "")
    assert labels_of(file) == [
        ["35 x 52 x 7", "seal", "S 035-052-07", "north, full at 4, order at 2"],
        ["32212", "bearing", "Rack 3", "north, full at 2, order at 1"],
        ["30206", "bearing", "B 30206", "yard, full at 1, order at 0"],
    ]
    assert symbol("32212") in file.read_text(encoding="utf-8")


def test_one_branch_only(run, tmp_path, stocklist):
    file = tmp_path / "labels.html"
    assert run("labels", stocklist, "--branch", "yard", "--html", str(file))[0] == 0
    assert [label[0] for label in labels_of(file)] == ["30206"]


@pytest.mark.pdf
def test_full_sheets_follow_one_another(run, tmp_path):
    from pypdf import PdfReader

    count = COLUMNS * ROWS + 1
    rows = [f"{20 + n} x {40 + n} x 7" for n in range(count)]
    listed = tmp_path / "list.csv"
    listed.write_text("part\n" + "\n".join(rows), encoding="utf-8")
    for paper in ("a4", "letter"):
        file = tmp_path / f"{paper}.pdf"
        assert run("labels", str(listed), "--pdf", str(file), "--paper", paper)[0] == 0
        pages = PdfReader(file).pages
        assert len(pages) == 2
        texts = [page.extract_text().replace("\u00a0", " ") for page in pages]
        assert rows[0] in texts[0]
        assert rows[count - 2] in texts[0]
        assert rows[count - 1] in texts[1]


def test_a_workbook_will_do_and_a_hostile_text_stays_text(run, tmp_path):
    book = Workbook()
    book.active.append(["part", "bin", "branch"])
    book.active.append(["35x52x7", "<b>&x</b>", "<script>1</script>"])
    book.save(tmp_path / "list.xlsx")
    file = tmp_path / "labels.html"
    assert run("labels", str(tmp_path / "list.xlsx"), "--html", str(file))[0] == 0
    html = file.read_text(encoding="utf-8")
    assert "&lt;b&gt;&amp;x&lt;/b&gt;" in html
    assert "<script" not in html


def test_a_text_without_room_ends_in_dots_and_its_symbol_reads_whole(run, tmp_path):
    size, long = "W" * 300, "a long name " * 20
    listed = tmp_path / "list.csv"
    listed.write_text(f"part,bin,branch\n{size},{long},{long}\n", encoding="utf-8")
    file = tmp_path / "labels.html"
    assert run("labels", str(listed), "--html", str(file))[0] == 0
    (label,) = labels_of(file)
    assert all(len(text) <= 60 for text in label)
    assert [text.endswith("...") for text in label[:3]] == [True, False, True]
    assert symbol(size) in file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("part,level\n35x52x7,-1\n", "line 2, level"),
        ("part,level\n35x52x7,0\n", "no size in it has a place"),
        ("what\nseal\n", "its heading lacks part"),
        ("", "list.csv"),
    ],
)
def test_a_list_that_makes_no_label_says_why_and_writes_nothing(run, tmp_path, text, said):
    listed = tmp_path / "list.csv"
    listed.write_text(text, encoding="utf-8")
    status, _, err = run("labels", str(listed), "--html", str(tmp_path / "labels.html"))
    assert status in (1, 2)
    assert said in " ".join(err.split())
    assert not (tmp_path / "labels.html").exists()


def test_a_file_is_asked_for(run, stocklist):
    status, _, err = run("labels", stocklist)
    assert status == 2
    assert "Name the file with --html or --pdf" in " ".join(err.split())


def test_a_shelf_count_with_days_on_which_it_was_empty(run, tmp_path):
    count, file = tmp_path / "shelf.csv", tmp_path / "labels.html"
    count.write_text(
        "part,branch,what,on_hand,date,empty_from,empty_to\n"
        "35 x 52 x 7,north,seal,3,2026-03-09,,\n"
        "35 x 52 x 7,north,seal,,,2026-01-05,2026-02-01\n"
        "30206,north,bearing,1,2026-03-09,2026-01-05,2026-02-01\n",
        encoding="utf-8",
    )
    status, _, err = run("labels", str(count), "--html", str(file))
    assert status == 0, err
    assert len(labels_of(file)) == 2
