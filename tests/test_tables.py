"""Tables: reading them, and the shop's own rows laid over them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fitcheck import tables
from fitcheck.errors import DataError, NotKnownError, OffTableError

DESCRIPTOR = {
    "name": "wheels",
    "title": "Wheels",
    "sources": [
        {"key": "std", "title": "Wheel standard", "edition": "1999"},
        {"key": "mind", "title": "Common practice, no source"},
    ],
    "resources": [
        {
            "name": "sizes",
            "path": "sizes.csv",
            "title": "Wheel sizes",
            "usedBy": ["fitcheck wheel"],
            "schema": {"fields": [], "primaryKey": ["size"]},
        }
    ],
}
ROWS = """size,bore_mm,narrow,source,evidence,note
W1,20,true,std,seen,
W2,,false,mind,memory,bore not known
W3,30.5,,mind,invented,
"""


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of shipped tables with one table in it."""
    folder = tmp_path / "data" / "wheels"
    folder.mkdir(parents=True)
    (folder / "datapackage.json").write_text(json.dumps(DESCRIPTOR), encoding="utf-8")
    (folder / "sizes.csv").write_text(ROWS, encoding="utf-8")
    monkeypatch.setattr(tables, "data_folder", lambda: str(tmp_path / "data"))
    monkeypatch.delenv("FITCHECK_TABLES", raising=False)
    for cached in (tables.package, tables._table):
        # Whatever was read before stands for other folders.
        monkeypatch.setattr(tables, cached.__name__, tables.cache(cached.__wrapped__))
    return folder


@pytest.fixture
def shop(tmp_path: Path, data: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop's folder, named to the program; gives the place of its wheel sizes."""
    folder = tmp_path / "shop" / "wheels"
    folder.mkdir(parents=True)
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path / "shop"))
    return folder / "sizes.csv"


def by_size(name: str = "wheels/sizes") -> dict[str, tables.Row]:
    """The rows of a table by their size."""
    return {row.text("size"): row for row in tables.table(name).rows}


def test_a_table_knows_its_title_columns_key_and_users(data: Path) -> None:
    table = tables.table("wheels/sizes")
    assert table.title == "Wheel sizes"
    assert table.columns == ("size", "bore_mm", "narrow", "source", "evidence", "note")
    assert table.key == ("size",)
    assert table.used_by == ("fitcheck wheel",)
    assert table.evidence_counts() == {"seen": 1, "memory": 1, "invented": 1}
    assert tables.table_names() == ["wheels/sizes"]


def test_cells_are_read_by_kind(data: Path) -> None:
    rows = by_size()
    assert rows["W1"].number("bore_mm") == 20.0
    assert rows["W2"].maybe("bore_mm") is None
    assert rows["W2"].text("bore_mm") == ""
    assert [rows[size].flag("narrow") for size in ("W1", "W2", "W3")] == [True, False, False]


def test_a_row_cites_its_source_and_says_when_it_is_memory(data: Path) -> None:
    rows = by_size()
    assert rows["W1"].cite() == "Wheel standard, 1999"
    assert rows["W2"].cite() == "Common practice, no source (from memory)"
    assert rows["W3"].cite() == "Common practice, no source (invented)"


def test_a_blank_number_is_an_error_that_names_column_and_table(data: Path) -> None:
    with pytest.raises(DataError, match=r"\(blank\): column bore_mm of table wheels/sizes"):
        by_size()["W2"].number("bore_mm")


def test_a_number_that_is_none_is_named(data: Path) -> None:
    text = ROWS.replace("30.5", "thirty")
    (data / "sizes.csv").write_text(text, encoding="utf-8")
    with pytest.raises(DataError, match="thirty: column bore_mm of table wheels/sizes"):
        by_size()["W3"].number("bore_mm")


@pytest.mark.parametrize("cell", ["nan", "inf", "-inf", "1_000", "٣٠", "1e999"])
def test_what_no_table_writes_is_no_number(data: Path, cell: str) -> None:
    (data / "sizes.csv").write_text(ROWS.replace("30.5", cell), encoding="utf-8")
    with pytest.raises(DataError, match=f"{cell}: column bore_mm of table wheels/sizes must hold"):
        by_size()["W3"].maybe("bore_mm")


def test_a_flag_is_true_or_false(data: Path) -> None:
    (data / "sizes.csv").write_text(ROWS.replace("20,true", "20,yes"), encoding="utf-8")
    with pytest.raises(DataError, match=r"yes: column narrow .* must hold true or false"):
        by_size()["W1"].flag("narrow")


def test_a_column_that_is_not_there_is_named(data: Path) -> None:
    with pytest.raises(DataError, match="width_mm: the table wheels/sizes has no such column"):
        by_size()["W1"].text("width_mm")


@pytest.mark.parametrize("name", ["wheels/tyres", "tyres/sizes", "sizes", ""])
def test_a_table_that_is_not_there_is_refused(data: Path, name: str) -> None:
    with pytest.raises(NotKnownError, match="`fitcheck tables` lists them all"):
        tables.table(name)


def test_a_source_that_the_descriptor_lacks_is_named(data: Path) -> None:
    (data / "sizes.csv").write_text(ROWS.replace(",std,", ",rumour,"), encoding="utf-8")
    with pytest.raises(DataError, match="rumour: a row of table wheels/sizes names a source"):
        tables.table("wheels/sizes")


def test_a_short_line_is_named(data: Path) -> None:
    (data / "sizes.csv").write_text(ROWS + "W4,1\n", encoding="utf-8")
    with pytest.raises(DataError, match=r"line 5: the line has 2 cells and the header has 6"):
        tables.table("wheels/sizes")


def test_an_empty_table_is_refused(data: Path) -> None:
    (data / "sizes.csv").write_text("", encoding="utf-8")
    with pytest.raises(DataError, match="the table is empty"):
        tables.table("wheels/sizes")


def test_a_damaged_descriptor_is_named(data: Path) -> None:
    (data / "datapackage.json").write_text("{", encoding="utf-8")
    with pytest.raises(DataError, match="the descriptor is not readable JSON"):
        tables.table("wheels/sizes")


def test_a_shop_row_replaces_the_row_with_its_key_and_keeps_the_rest(shop: Path) -> None:
    shop.write_text("size,bore_mm\nW2,25\n", encoding="utf-8")
    rows = by_size()
    assert list(rows) == ["W1", "W2", "W3"]
    assert rows["W2"].number("bore_mm") == 25.0
    assert rows["W2"].text("note") == "bore not known"
    assert rows["W2"].evidence == "shop"
    assert rows["W2"].cite() == f"the shop's own table, {shop}"
    assert rows["W1"].evidence == "seen"


def test_a_shop_row_with_a_new_key_is_added(shop: Path) -> None:
    shop.write_text("size,bore_mm,narrow\nW9,45,true\n", encoding="utf-8")
    table = tables.table("wheels/sizes")
    assert [row.text("size") for row in table.rows] == ["W1", "W2", "W3", "W9"]
    assert table.rows[-1].number("bore_mm") == 45.0
    assert table.rows[-1].text("note") == ""
    assert table.evidence_counts() == {"seen": 1, "memory": 1, "invented": 1, "shop": 1}


@pytest.mark.parametrize("cell", ["nan", "thirty"])
def test_a_shop_cell_that_is_no_number_names_the_shop_file(shop: Path, cell: str) -> None:
    shop.write_text(f"size,bore_mm\nW2,{cell}\n", encoding="utf-8")
    with pytest.raises(DataError, match=f"{cell}: .*Correct the cell in the shop's own table"):
        by_size()["W2"].number("bore_mm")


def test_a_zero_is_a_number_and_not_a_blank(shop: Path) -> None:
    shop.write_text("size,bore_mm\nW2,0\n", encoding="utf-8")
    assert by_size()["W2"].maybe("bore_mm") == 0.0


def test_a_shop_column_that_the_table_lacks_is_refused(shop: Path) -> None:
    shop.write_text("size,colour\nW1,red\n", encoding="utf-8")
    with pytest.raises(DataError, match="not known: colour"):
        tables.table("wheels/sizes")


def test_a_shop_table_without_the_key_is_refused(shop: Path) -> None:
    shop.write_text("bore_mm\n20\n", encoding="utf-8")
    with pytest.raises(DataError, match="a shop table needs the key columns size"):
        tables.table("wheels/sizes")


def test_a_shop_folder_without_this_table_changes_nothing(shop: Path) -> None:
    assert tables.table("wheels/sizes").evidence_counts() == {"seen": 1, "memory": 1, "invented": 1}


# --- steps: over, up to and including -----------------------------------------------------------


def steps(*limits: tuple[str, str]) -> list[tables.Row]:
    """Rows with the limits of steps, as the cells hold them."""
    source = tables.Source(key="std", title="Wheel standard")
    return [
        tables.Row(
            table="wheels/steps",
            columns={"over_mm": 0, "incl_mm": 1},
            cells=(over, incl),
            source=source,
            evidence="seen",
        )
        for over, incl in limits
    ]


@pytest.mark.parametrize(
    ("value", "step"), [(0.1, 0), (3.0, 0), (3.0000001, 1), (6.0, 1), (6.1, 2), (1e6, 2)]
)
def test_a_step_holds_its_upper_limit_and_not_its_lower(value: float, step: int) -> None:
    rows = steps(("", "3"), ("3", "6"), ("6", ""))
    found = tables.step_row(rows, value=value, over="over_mm", incl="incl_mm", what="wear")
    assert found is rows[step]


@pytest.mark.parametrize("value", [0.0, -1.0, 3.0, 6.0001])
def test_off_the_steps_is_a_refusal_that_names_the_range(value: float) -> None:
    rows = steps(("3", "5"), ("5", "6"))
    message = f"^{value:g} mm: wear is tabled over 3 up to and including 6 mm"
    with pytest.raises(OffTableError, match=message):
        tables.step_row(rows, value=value, over="over_mm", incl="incl_mm", what="wear")


def test_no_rows_at_all_is_said_as_it_is() -> None:
    with pytest.raises(OffTableError, match="3 mm: wear has no table"):
        tables.step_row([], value=3.0, over="over_mm", incl="incl_mm", what="wear")


@pytest.mark.parametrize("inches", [*range(1, 200), 0.4, 2.3125, 1.03125])
def test_an_inch_size_that_was_in_mm_meets_the_edge_of_its_step(inches: float) -> None:
    rows = steps(("", f"{inches}"), (f"{inches}", ""))
    for value in (inches * 25.4 / 25.4, round(inches * 25.4, 5) / 25.4, inches):
        found = tables.step_row(rows, value=value, over="over_mm", incl="incl_mm", what="wear")
        assert found is rows[0]
        assert tables.in_step(rows[0], value=value, over="over_mm", incl="incl_mm")
        assert not tables.in_step(rows[1], value=value, over="over_mm", incl="incl_mm")


def test_the_least_there_is_lies_in_the_first_step() -> None:
    rows = steps(("", "3"))
    found = tables.step_row(rows, value=5e-324, over="over_mm", incl="incl_mm", what="wear")
    assert found is rows[0]


def test_a_note_says_why_the_table_ends() -> None:
    source = tables.Source(key="std", title="Wheel standard")
    row = tables.Row(
        table="wheels/steps",
        columns={"over_mm": 0, "incl_mm": 1, "note": 2},
        cells=("3", "6", "no larger wheels are made"),
        source=source,
        evidence="seen",
    )
    for value, noted in ((7.0, True), (2.0, False)):
        with pytest.raises(OffTableError) as refused:
            tables.step_row([row], value=value, over="over_mm", incl="incl_mm", what="wear")
        assert ("(no larger wheels are made)" in str(refused.value)) is noted


# --- rows by their names ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["press/limits", "settings/limits", "oil/limits", "counterface/limits"]
)
def test_a_row_by_its_name(name: str) -> None:
    first = tables.table(name).rows[0].text("name")
    assert tables.named_row(name, first).text("name") == first
    with pytest.raises(DataError, match=f"nothing: the table {name} has no such limit or value"):
        tables.named_row(name, "nothing")
