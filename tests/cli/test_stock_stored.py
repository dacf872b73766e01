"""The buyer's commands on what the store keeps, as table, JSON, CSV and XLSX."""

from __future__ import annotations

import csv
import json

import pytest
from openpyxl import load_workbook

from fitcheck.cli import stock_plan

HISTORY = "date,branch,job,part,quantity,short\n" + "".join(
    f"2025-{month:02d}-{day:02d},quay,J{month}{day},{part},{quantity},\n"
    for month in range(1, 13)
    for day, part, quantity in (
        (3, "45x62x8", 1),
        (3, "30207", 2),
        (17, "1.7717 x 2.4409 x 0.315 in", 1),
    )
)
TERMS = "part,price,currency,lead_days,minimum\n45x62x8,4.20,EUR,9,\n30207,14.50,EUR,12,2\n"


@pytest.fixture
def kept(run, tmp_path):
    """A store with a history and terms."""
    for kind, text in (("history", HISTORY), ("terms", TERMS)):
        file = tmp_path / f"{kind}.csv"
        file.write_text(text)
        status, _, err = run("stock", kind, "add", str(file))
        assert status == 0, err
    return tmp_path


def test_the_stored_records_answer_as_json_csv_and_xlsx(run, kept):
    status, out, err = run("stock", "plan", "--budget", "150", "--json")
    assert status == 0, err
    lines = {line["part"]: line["level"] for line in json.loads(out)["lines"]}
    assert set(lines) == {"45 x 62 x 8", "30207"}
    for name in ("plan.csv", "plan.xlsx"):
        assert run("stock", "plan", "--budget", "150", "-o", str(kept / name))[0] == 0
    with (kept / "plan.csv").open(newline="") as handle:
        rows = list(csv.DictReader(handle))
    assert {row["part"]: int(row["level"]) for row in rows} == lines
    assert {row["currency"] for row in rows} == {"EUR"}
    heads, *cells = load_workbook(kept / "plan.xlsx").active.iter_rows(values_only=True)
    part, level = heads.index("part"), heads.index("level (pieces)")
    assert {row[part]: row[level] for row in cells} == lines
    for name in ("plan.csv", "plan.xlsx"):
        status, out, err = run("stock", "plan", "--from", str(kept / name), "--json")
        assert status == 0, err
        assert {line["part"]: line["level"] for line in json.loads(out)["lines"]} == lines


def test_a_file_with_a_return_is_refused_whole_with_its_line(run, kept):
    file = kept / "returns.csv"
    file.write_text("date,part,quantity\n2026-01-05,30207,1\n2026-01-06,30207,-1\n")
    status, out, err = run("stock", "history", "add", str(file), "--json")
    assert status == 1
    answer = json.loads(out)
    assert answer["kept"] is False
    assert [(one["line"], one["column"], one["value"]) for one in answer["refused"]] == [
        (3, "quantity", "-1")
    ]
    assert "nothing was kept" in err


def test_what_is_done_is_said_only_where_somebody_can_see_it(run, kept, monkeypatch):
    assert run("stock", "plan", "--budget", "150")[2] == ""
    said = []
    monkeypatch.setattr(stock_plan.click, "echo", lambda words="", **_: said.append(words))
    monkeypatch.setattr("sys.stderr", type("Terminal", (), {"isatty": lambda _: True})())
    stock_plan.stage("planning")
    stock_plan.stage("")
    assert said == ["\r\x1b[Kplanning ...", "\r\x1b[K"]


def test_one_size_is_not_sizes(run, kept):
    out = run("stock", "plan", "--budget", "9", "--top", "1")[1]
    assert "quay: 1 size\n" in out


def test_kept_cards_alone_are_demand(run):
    for sheet in ("winch", "drum"):
        assert run("jobs", "keep", f"data/demo/{sheet}.toml")[0] == 0
    status, out, err = run("stock", "demand", "--json")
    assert status == 0, err
    answer = json.loads(out)
    rates = {row["part"]: row["pieces_a_year"] for row in answer["rows"]}
    assert {"90 x 120 x 12", "32212", "shim 0.2 mm"} <= set(rates)
    assert any("parts of cards" in words for words in answer["assumptions"])
    assert any("planned for: after so little" in words for words in answer["assumptions"])
    status, out, err = run("stock", "plan", "--budget", "500", "--assume-price", "9", "--json")
    assert status == 0, err
    for line in json.loads(out)["lines"]:
        # A size is in no more jobs than it is asked for.
        assert line["jobs_a_year"] <= rates[line["part"]] + 1e-9
    assert run("stock", "plan", "--budget", "500")[0] == 2
    status, _, err = run("stock", "replay", "--budget", "500", "--assume-price", "9")
    assert status == 1
    assert "Hold back less with --days" in err


def test_returns_alone_are_no_history(run, tmp_path):
    file = tmp_path / "history.csv"
    file.write_text("date,part,quantity\n2026-01-05,30207,-1\n2026-01-06,30207,-2\n")
    status, _, err = run("stock", "plan", "--budget", "50", "--folder", str(tmp_path))
    assert status == 2
    assert "a negative quantity: 1 is the least; 2 lines are refused in all" in err
    assert run("stock", "history", "add", str(file))[0] == 1
    status, _, err = run("stock", "demand")
    assert status == 1
    assert "there is no store there yet" in err
