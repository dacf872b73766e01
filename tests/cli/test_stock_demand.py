"""`fitcheck stock history|fleet|terms|shelf|demand|levels`."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import load_workbook

ROOT = Path(__file__).parents[2]
DEMO = str(ROOT / "data" / "demo" / "stock")
Run = Callable[..., tuple[int, str, str]]


def test_the_demo_is_what_its_script_makes() -> None:
    script = [sys.executable, str(ROOT / "scripts" / "make_stock_demo.py"), "--check"]
    assert subprocess.run(script, check=False).returncode == 0
    with open(f"{DEMO}/history.csv", encoding="utf-8") as handle:
        assert {row["note"] for row in csv.DictReader(handle)} == {"invented"}


def test_a_rate_with_its_interval_and_its_reason(run: Run) -> None:
    status, out, err = run("stock", "demand", "--folder", DEMO, "--json")
    assert (status, err) == (0, "")
    answer = json.loads(out)
    rows = {(row["branch"], row["part"]): row for row in answer["rows"]}
    one = rows["north quay", "90 x 120 x 12"]
    assert one["low"] < one["pieces_a_year"] < one["high"]
    assert "the fleet foretells" in one["reason"]
    # Three names of one size are one demand.
    assert len([part for _, part in rows if part.startswith("35 x 52 x 7")]) == 2
    assert any("no price is known" in words for words in answer["assumptions"])


def test_the_table_says_how_many_more_there_are(run: Run) -> None:
    status, out, _ = run(
        "stock", "demand", "--folder", DEMO, "--top", "2", "--branch", "north quay"
    )
    assert status == 0
    assert out.startswith("north quay: ")
    assert "container yard:" not in out
    assert "more; -o FILE writes them all" in out
    assert "Assumed\n" in out


def test_one_part_by_any_of_its_names(run: Run) -> None:
    for name in ("35x52x7", "1.378 x 2.047 x 0.276 in"):
        out = run("stock", "demand", "--folder", DEMO, "--part", name, "--json")[1]
        assert {row["part"] for row in json.loads(out)["rows"]} == {"35 x 52 x 7"}


def test_levels_in_a_file(run: Run, tmp_path: Path) -> None:
    target = str(tmp_path / "levels.csv")
    words = ("stock", "levels", "--fill", "0.9", "--folder", DEMO)
    assert run(*words, "-o", target)[0] == 0
    with open(target, encoding="utf-8") as handle:
        rows = list(csv.DictReader(handle))
    assert all(float(row["fill"]) >= 0.9 for row in rows if "shelf life" not in row["reason"])
    # Asks by twos out of a pack of ten leave one piece less than r + Q at the most.
    for row in rows:
        over = int(row["reorder"]) + int(row["quantity"]) - int(row["level"])
        assert 0 <= over < int(row["pieces_an_ask"])
    book = str(tmp_path / "levels.xlsx")
    assert run(*words, "-o", book)[0] == 0
    assert load_workbook(book).active.max_row == len(rows) + 1
    answer = json.loads(run(*words, "--json")[1])
    assert len(answer["rows"]) == len(rows)


def test_the_stores_records_answer_like_the_folders(run: Run, shop: str) -> None:
    for kind in ("history", "fleet", "terms", "shelf"):
        status, out, err = run("stock", kind, "add", f"{DEMO}/{kind}.csv")
        assert (status, err) == (0, "")
        assert f"{kind}.csv: " in out
    stored = json.loads(run("stock", "levels", "--json")[1])
    folder = json.loads(run("stock", "levels", "--folder", DEMO, "--json")[1])
    assert stored["rows"] == folder["rows"]
    shown = json.loads(run("stock", "history", "show", "--json")[1])
    assert [one["name"] for one in shown["files"]] == ["history.csv"]
    assert run("stock", "fleet", "remove", "fleet.csv")[0] == 0
    assert run("stock", "fleet", "show")[1] == "No fleet is kept.\n"


def test_every_refused_line_is_told_and_nothing_is_kept(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(
        "date,part,quantity\n2024-01-02,35x52x7,-1\n2999-01-01,30206,1\n2024-01-02,30206,1\n",
        encoding="utf-8",
    )
    status, out, err = run("stock", "history", "add", str(path))
    assert status == 1
    assert "quantity  -1" in out
    assert "date      2999-01-01" in out
    assert "2 lines were refused, and nothing was kept" in err
    status, out, _ = run("stock", "history", "add", str(path), "--json")
    refused = json.loads(out)
    assert (status, refused["kept"], len(refused["refused"])) == (1, False, 2)
    assert run("stock", "history", "show")[1] == "No history is kept.\n"


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (("demand",), 1, "there is no store there yet"),
        (("demand", "--folder", "nowhere"), 2, "no history.csv"),
        (("demand", "--folder", DEMO, "--branch", "moon"), 1, "no branch is called so"),
        (("demand", "--folder", DEMO, "--part", "21x40x7"), 1, "never asked for"),
        (("levels", "--fill", "1", "--folder", DEMO), 2, "--fill"),
        (("levels", "--list", "x.csv"), 2, "name --folder too"),
        (("history", "add", "nowhere.csv"), 2, "can't be opened"),
    ],
)
def test_what_can_not_be_answered(
    run: Run, words: tuple[str, ...], status: int, message: str
) -> None:
    found, _, err = run("stock", *words)
    assert (found, message in err) == (status, True), err
