"""`fitcheck hub --html/--pdf/--xlsx`: files that are whole or not there."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import html5lib
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

ROOT = Path(__file__).parents[2]
WINCH = str(ROOT / "data" / "demo" / "winch.toml")


def test_the_page_has_the_drawings_and_fetches_nothing(run, tmp_path):
    page = tmp_path / "card.html"
    status, out, _ = run("hub", WINCH, "--html", str(page))
    assert status == 0
    assert "JOB CARD" in out
    html = page.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(html)
    assert html.count("<figure") == 4
    assert "bearings together" in html
    assert "src=" not in html
    assert [p.name for p in tmp_path.iterdir() if p.suffix != ""] == ["card.html"]


@pytest.mark.pdf
@pytest.mark.parametrize("sheet", ["winch", "trailer", "drum"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_card_with_its_drawings_fits_three_pages(run, tmp_path, sheet, paper):
    file = tmp_path / "card.pdf"
    status, _, _ = run(
        "hub", str(ROOT / f"data/demo/{sheet}.toml"), "--pdf", str(file), "--paper", paper
    )
    assert status == 0
    pages = PdfReader(file).pages
    assert 1 <= len(pages) <= 3
    # Sources and assumptions close the card.
    assert "Sources and assumptions" in pages[-1].extract_text()


def test_the_workbook_holds_the_parts_as_text_and_numbers(run, tmp_path):
    file = tmp_path / "card.xlsx"
    assert run("hub", WINCH, "--xlsx", str(file))[0] == 0
    sheet = load_workbook(file)["Parts"]
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == f"A1:G{sheet.max_row}"
    heading = [cell.value for cell in sheet[1]]
    assert heading == ["quantity, pieces", "part", "size", "material", "for", "where", "got"]
    first = [cell.value for cell in sheet[2]]
    assert first[:3] == [1, "lip seal", "90 x 120 x 12"]
    assert first[3] == "of NBR, HNBR, ACM, FKM or PTFE"
    assert all(cell.data_type in ("n", "s") for row in sheet.iter_rows() for cell in row)


def test_a_name_that_begins_like_a_formula_stays_text(run, tmp_path):
    text = Path(WINCH).read_text(encoding="utf-8").replace("drum-side seal", "=HYPERLINK(1)")
    hostile = tmp_path / "sheet.toml"
    hostile.write_text(text, encoding="utf-8")
    book, page = tmp_path / "card.xlsx", tmp_path / "card.html"
    assert run("hub", str(hostile), "--xlsx", str(book), "--html", str(page))[0] == 0
    cells = [c for s in load_workbook(book) for row in s.iter_rows() for c in row]
    assert any(cell.value == "=HYPERLINK(1)" for cell in cells)
    assert not any(cell.data_type == "f" for cell in cells)


@pytest.mark.pdf
def test_the_blank_sheet_prints_with_where_to_measure(run, tmp_path):
    page, file = tmp_path / "blank.html", tmp_path / "blank.pdf"
    # Letter is the shorter of the two papers.
    words = ("--html", str(page), "--pdf", str(file), "--paper", "letter")
    status, out, _ = run("hub", "--blank", *words)
    assert (status, out) == (0, "")
    html = page.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(html)
    assert html.count("<svg") == 4
    assert len(PdfReader(file).pages) <= 6
    # A letter in a drawing is the letter at its key, and stands there once.
    drawn = set(re.findall(r'<text [^>]*font-size="4.6"[^>]*>([A-Z])</text>', html))
    keyed = re.findall(r'<span class="letter">([A-Z])</span>', html)
    assert sorted(keyed) == sorted(drawn)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--html", "{sheet}"), "replace what is read"),
        (("--html", "{out}", "--pdf", "{out}"), "would replace the other"),
        (("--html", "-"), "goes into a file"),
        (("--html", "{out}/no/such/folder.html"), "no file can be written there"),
        (("--pdf", "{out}", "--paper", "a3"), "a3"),
    ],
)
def test_an_answer_never_takes_the_place_of_another(run, tmp_path, words, said):
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(Path(WINCH).read_text(encoding="utf-8"), encoding="utf-8")
    before = sheet.read_bytes()
    given = [word.format(sheet=sheet, out=tmp_path / "out") for word in words]
    status, _, err = run("hub", str(sheet), *given)
    assert status == 2
    assert said in " ".join(err.split())
    assert sheet.read_bytes() == before
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("option", "package"), [("--pdf", "weasyprint"), ("--html", "jinja2")])
def test_a_missing_package_is_named_and_nothing_is_written(
    run, tmp_path, monkeypatch, option, package
):
    from fitcheck.report.html import page

    page._environment.cache_clear()
    found = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == package else found(name)
    )
    out = tmp_path / "card.out"
    status, _, err = run("hub", WINCH, option, str(out))
    assert status == 1
    assert "pip install 'fitcheck[print]'" in err
    assert not out.exists()
    page._environment.cache_clear()
