"""`fitcheck stock plan`, `explain`, `frontier`, `cover` and `replay` on the demo records."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from openpyxl import load_workbook

DEMO = str(Path(__file__).parents[2] / "data" / "demo" / "stock")


def answer(run, *words):
    status, out, err = run("stock", *words, "--folder", DEMO, "--json")
    assert status == 0, err
    return json.loads(out)


@pytest.mark.parametrize("name", ["plan.csv", "plan.xlsx"])
def test_a_saved_plan_is_read_back_as_it_was(run, tmp_path, name):
    file = tmp_path / name
    status, _, err = run("stock", "plan", "--budget", "5000", "--folder", DEMO, "-o", str(file))
    assert status == 0, err
    first = answer(run, "plan", "--budget", "5000")
    again = answer(run, "plan", "--from", str(file))
    kept = {(line["branch"], line["part"]): line["level"] for line in first["lines"]}
    read = {(line["branch"], line["part"]): line["level"] for line in again["lines"]}
    assert {k: v for k, v in kept.items() if v} == {k: v for k, v in read.items() if v}
    assert again["figures"] == first["figures"]


def test_a_workbook_has_filters_and_numbers(run, tmp_path):
    file = tmp_path / "plan.xlsx"
    assert run("stock", "plan", "--budget", "5000", "--folder", DEMO, "-o", str(file))[0] == 0
    sheet = load_workbook(file).active
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref
    heads = [cell.value for cell in sheet[1]]
    assert "price (EUR)" in heads
    assert sheet.cell(2, heads.index("price (EUR)") + 1).number_format == "#,##0.00"
    assert sheet.cell(2, heads.index("met (of asks)") + 1).number_format == "0.0%"
    level = heads.index("level (pieces)")
    assert all(isinstance(row[level], int) for row in sheet.iter_rows(min_row=2, values_only=True))


def test_the_plan_is_within_its_money_and_no_worse_than_line_by_line(run):
    found = answer(run, "plan", "--budget", "3000")
    assert found["figures"]["money"] <= 3000
    assert (
        found["figures"]["jobs_complete_a_year"] >= found["per_line"]["jobs_complete_a_year"] - 1e-9
    )


def test_more_money_never_completes_fewer_jobs(run):
    shares = [
        answer(run, "plan", "--budget", str(money))["figures"]["jobs_complete_share"]
        for money in (1000, 2000, 4000)
    ]
    assert shares == sorted(shares)


def test_a_share_of_the_jobs_is_reached(run):
    assert answer(run, "plan", "--jobs", "0.8")["figures"]["jobs_complete_share"] >= 0.8


def test_an_edited_level_is_judged_as_it_stands(run, tmp_path):
    file = tmp_path / "plan.csv"
    run("stock", "plan", "--budget", "3000", "--folder", DEMO, "-o", str(file))
    with file.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    rows[0]["level"] = "0"
    with file.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    whole, less = (
        answer(run, "plan", *words)["figures"]
        for words in (("--budget", "3000"), ("--from", str(file)))
    )
    assert less["jobs_complete_a_year"] < whole["jobs_complete_a_year"]
    assert less["money"] < whole["money"]


def test_the_held_back_year_is_the_same_for_every_list_and_each_run(run):
    first, again = answer(run, "replay"), answer(run, "replay")
    assert first == again


@pytest.mark.parametrize(
    "words",
    [
        ("plan",),
        ("plan", "--budget", "100", "--jobs", "0.5"),
        ("plan", "--budget", "-5"),
        ("plan", "--budget", "nan"),
        ("plan", "--jobs", "95"),
        ("plan", "--from", "no-such-file.csv"),
        ("explain", "--budget", "5000", "--part", "999 x 999 x 99"),
    ],
)
def test_an_impossible_question_gets_a_reason(run, words):
    status, out, err = run("stock", *words, "--folder", DEMO)
    assert status in (1, 2)
    assert out == ""
    assert err.startswith(("fitcheck:", "Usage:", "Error"))


def test_an_edited_sheet_may_set_what_is_always_kept_to_nothing(run, tmp_path):
    file = tmp_path / "plan.csv"
    run("stock", "plan", "--budget", "3000", "--folder", DEMO, "-o", str(file))
    with file.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    for row in rows:
        row["level"] = "0" if row["always"] else row["level"]
    with file.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    found = answer(run, "plan", "--from", str(file))
    assert "none of what is always kept" in " ".join(found["assumptions"])
    assert found["best"]["money"] <= found["figures"]["money"]
    for row in rows:
        row["level"] = "0"
    rows[0]["level"] = "1"
    with file.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    assert answer(run, "plan", "--from", str(file))["figures"]["money"] > 0


def test_help_prints_no_marks_of_the_program(run):
    status, out, _ = run("stock", "history", "--help")
    assert status == 0
    assert "\\b" not in out
    assert "A history has a line" in out


def test_a_plan_for_the_months_ahead_says_so(run):
    told = []
    for day in ("2025-10-01", "2025-08-01"):
        words = ("plan", "--budget", "3000", "--on", day, "--ahead", "30", "--json")
        status, out, err = run("stock", *words, "--folder", DEMO)
        assert status == 0, err
        told.append(json.loads(out))
    assert told[0]["days"] == {"first": "2025-10-01", "last": "2025-10-30"}
    # October is the demo's busiest month and August its quietest.
    assert told[0]["figures"]["jobs_a_year"] > 1.5 * told[1]["figures"]["jobs_a_year"]
    _, out, _ = run("stock", "plan", "--budget", "3000", "--on", "2025-10-01", "--folder", DEMO)
    assert out.startswith("At the pace of 2025-10-01 to 2025-12-29: ")
    status, _, err = run("stock", "levels", "--on", "next week", "--folder", DEMO)
    assert status == 2
    assert "this is no day" in err


def test_substitutes_on_a_condition_may_be_left_out(run):
    words = ("stock", "explain", "--budget", "3000", "--json", "--folder", DEMO)
    counted, left = (json.loads(run(*words, *more)[1]) for more in ((), ("--sure-only",)))
    stands = [
        [line["why"] for line in answer["lines"] if "stands in for it, width" in line["why"]]
        for answer in (counted, left)
    ]
    assert len(stands[0]) > 0
    assert stands[1] == []
    assert left["figures"]["jobs_complete_a_year"] <= counted["figures"]["jobs_complete_a_year"]


def test_an_impossible_goal_is_refused_before_anything_is_read(run, tmp_path):
    for words in (("--budget", "-5"), ("--jobs", "95"), ()):
        status, _, err = run("stock", "plan", *words, "--folder", str(tmp_path / "missing"))
        assert status == 2
        assert "missing" not in err


@pytest.mark.parametrize(
    ("budget", "words"),
    [
        ("1.000", "may be 1 or 1000"),
        ("1,500", "may be 1.5 or 1500"),
        ("1,500,000", "may be 1500000"),
        ("800 EUR", "digits alone, here 800"),
    ],
)
def test_a_budget_with_two_readings_names_them(run, budget, words):
    status, _, err = run("stock", "plan", "--budget", budget, "--folder", DEMO)
    assert status != 0
    assert words in " ".join(err.split())


@pytest.mark.parametrize(
    "words", [("plan", "--budget", "900"), ("demand",), ("levels", "--fill", "0.9")]
)
def test_no_table_is_written_into_a_json_file(run, tmp_path, words):
    file = tmp_path / "list.json"
    status, _, err = run("stock", *words, "--folder", DEMO, "-o", str(file))
    assert status != 0
    assert "no JSON" in err
    assert not file.exists()


def test_a_price_that_was_edited_is_told(run, tmp_path):
    file = tmp_path / "plan.csv"
    run("stock", "plan", "--budget", "900", "--folder", DEMO, "-o", str(file))
    with file.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    row = next(row for row in rows if row["price_assumed"] != "yes")
    row["price"] = "0.5"
    with file.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    told = answer(run, "plan", "--from", str(file))["assumptions"]
    assert any("1 price is another in" in words for words in told)


def test_one_sleeve_covers_one_shaft(run, tmp_path):
    file = tmp_path / "shafts.txt"
    file.write_text("34.98\n", encoding="utf-8")
    status, out, _ = run("stock", "cover", str(file))
    assert status == 0
    assert out.startswith("1 sleeve covers 1 shaft\n")
