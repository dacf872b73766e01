"""`fitcheck tables`: what the program knows, and where it has it from."""

from __future__ import annotations

import csv
import os
import sys
from collections.abc import Iterable
from typing import Any, TextIO

import click

from fitcheck import table_check
from fitcheck import tables as store
from fitcheck.cli.common import (
    Command,
    Group,
    aligned,
    json_option,
    print_json,
    terminal_width,
    wrap,
)
from fitcheck.cli.tables_text import check_text
from fitcheck.errors import InputError
from fitcheck.job.cross_checks import shop_doubts

EVIDENCE = ("seen", "memory", "invented", store.SHOP_EVIDENCE)
PROVENANCE = ("source", "evidence")

LIST_EXAMPLES = """\b
Examples:
  fitcheck tables
  fitcheck tables --json
  fitcheck tables sources
  fitcheck tables show seals/din3760

"seen" rows were read in a published text, "memory" rows were not checked
against one, "invented" rows are rules or examples of our own, "shop" rows come
from the folder that FITCHECK_TABLES names.
"""

SHOW_EXAMPLES = """\b
Examples:
  fitcheck tables show seals/din3760
  fitcheck tables show seals/din3760 --csv > din3760.csv
  fitcheck tables show seals/din3760 --json
"""

CHECK_EXAMPLES = """\b
Examples:
  fitcheck tables check
  fitcheck tables check --json

Edits belong in CSV files of the same name in a folder of your own, which
FITCHECK_TABLES names: an update puts the shipped tables back as they were and
never touches that folder. --note writes down there what its rows replace now,
so that a later check says which shipped rows have changed since.
"""

SOURCES_EXAMPLES = """\b
Examples:
  fitcheck tables sources
  fitcheck tables sources --json
"""


@click.group(cls=Group, invoke_without_command=True, epilog=LIST_EXAMPLES)
@json_option
@click.pass_context
def tables(ctx: click.Context, as_json: bool) -> None:
    """List every table with its rows, its evidence and its sources."""
    if ctx.invoked_subcommand is not None:
        if as_json:
            raise click.UsageError("--json goes after the sub-command.", ctx=ctx)
        return
    found = all_tables()
    if as_json:
        print_json({"tables": found})
        return
    for entry in found:
        click.echo(wrap(f"{entry['name']}: {entry['title']}", width=terminal_width(), hanging="  "))
        counts = ", ".join(f"{entry[kind]} {kind}" for kind in EVIDENCE if entry[kind])
        click.echo(f"  {_rows(entry['rows'])}" + (f": {counts}" if counts else ""))
        for source in entry["sources"]:
            line = f"- {_source_text(source)}"
            click.echo(wrap(line, width=terminal_width(), indent="  ", hanging="    "))
    seen = sum(entry["seen"] for entry in found)
    click.echo(
        f"\n{len(found)} tables, {_rows(sum(entry['rows'] for entry in found))}, {seen} of them "
        "seen in a published text."
    )


@tables.command(cls=Command, epilog=SHOW_EXAMPLES)
@click.argument("name")
@click.option("--csv", "as_csv", is_flag=True, help="Print the table as CSV.")
@json_option
def show(name: str, as_csv: bool, as_json: bool) -> None:
    """Print one table, each row with its source and evidence."""
    if as_csv and as_json:
        raise click.UsageError("--csv and --json exclude each other: give one of them.")
    table = store.table(name)
    if as_csv:
        write_csv(table, sys.stdout)
    elif as_json:
        print_json(whole_table(table))
    else:
        click.echo(_text(table))


@tables.command(cls=Command, epilog=SOURCES_EXAMPLES)
@json_option
def sources(as_json: bool) -> None:
    """List every source and the tables that rest on it."""
    ordered = all_sources()
    if as_json:
        print_json({"sources": ordered})
        return
    for entry in ordered:
        click.echo(wrap(_title(entry), width=terminal_width(), hanging="  "))
        for name, rows in entry["tables"].items():
            click.echo(f"    {name}: {_rows(rows)}")


@tables.command(cls=Command, epilog=CHECK_EXAMPLES)
@click.option("--note", is_flag=True, help="Write down what the shop's rows replace now.")
@json_option
def check(*, note: bool, as_json: bool) -> None:
    """Say which shipped tables were edited and what the shop's own rows do."""
    answer = checked()
    if note:
        from fitcheck.cli.saving import text_file

        if not answer["shop"]["folder"]:
            raise InputError(
                value="--note",
                rule="there is no folder of the shop's own tables to write into",
                todo="Name it in FITCHECK_TABLES",
            )
        with text_file(os.path.join(answer["shop"]["folder"], table_check.NOTED)) as target:
            target.write(table_check.replaced_rows(answer["shop"]))
    if as_json:
        print_json(answer)
    else:
        click.echo(check_text(answer, width=terminal_width()))


def checked() -> dict[str, Any]:
    """The shipped tables against what was shipped, and the shop's own against them."""
    shipped, shop = table_check.shipped_state(), table_check.shop_state()
    doubts = [table[kind] for table in shop["tables"] for kind in ("unmatched", "faults")]
    # Rows that can't be read can't be held against their own rules either.
    shop["doubts"] = [] if any(table["faults"] for table in shop["tables"]) else shop_doubts()
    sound = not any([shipped["edited"], shipped["missing"], shipped["added"], *doubts])
    sound = sound and not shop["strays"] and not shop["doubts"]
    return {"sound": sound, "shipped": shipped, "shop": shop}


def all_tables() -> list[dict[str, Any]]:
    """Every table with its rows, its evidence and its sources."""
    return [_summary(store.table(name)) for name in store.table_names()]


def whole_table(table: store.Table) -> dict[str, Any]:
    """One table with all its rows as data.

    Parameters
    ----------
    table : Table
        The table.
    """
    kinds = _field_types(table.name)
    rows = [
        {c: _typed(_cell(row, c), kinds.get(c, "string")) for c in table.columns}
        for row in table.rows
    ]
    return _summary(table) | {"key": list(table.key), "data": rows}


def write_csv(table: store.Table, target: TextIO) -> None:
    """Write one table as CSV.

    Parameters
    ----------
    table : Table
        The table.
    target : text file
        Where it goes.
    """
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(table.columns)
    writer.writerows(_cells(row, table.columns) for row in table.rows)


def all_sources() -> list[dict[str, Any]]:
    """Every source with the tables that rest on it and how many of their rows do."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for name in store.table_names():
        for source in _summary(store.table(name))["sources"]:
            entry = found.setdefault(
                (source["title"], source["edition"]),
                {"title": source["title"], "edition": source["edition"], "tables": {}},
            )
            entry["tables"][name] = source["rows"]
    return [found[key] for key in sorted(found)]


def _summary(table: store.Table) -> dict[str, Any]:
    """A table's name, title, rows by evidence, and the sources its rows cite with their counts."""
    counts = table.evidence_counts()
    cited: dict[str, dict[str, Any]] = {}
    for row in table.rows:
        entry = cited.setdefault(
            row.source.key,
            {
                "key": row.source.key,
                "title": row.source.title,
                "edition": row.source.edition,
                "rows": 0,
            },
        )
        entry["rows"] += 1
    return {
        "name": table.name,
        "title": table.title,
        "rows": len(table.rows),
        **{kind: counts.get(kind, 0) for kind in EVIDENCE},
        "used_by": list(table.used_by),
        "sources": list(cited.values()),
    }


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _title(source: dict[str, Any]) -> str:
    return f"{source['title']}, {source['edition']}" if source["edition"] else source["title"]


def _source_text(source: dict[str, Any]) -> str:
    return f"{source['key']} ({_rows(source['rows'])}): {_title(source)}"


def _cell(row: store.Row, column: str) -> str:
    """A cell as it holds now: the provenance of a shop row is the shop, whatever it replaced."""
    if column == "source":
        return row.source.key
    return row.evidence if column == "evidence" else row.text(column)


def _cells(row: store.Row, columns: Iterable[str]) -> list[str]:
    return [_cell(row, column) for column in columns]


def _field_types(name: str) -> dict[str, str]:
    """The type of each column, as the descriptor gives it."""
    folder, _, short = name.partition("/")
    resource = next(r for r in store.package(folder)["resources"] if r["name"] == short)
    return {field["name"]: field["type"] for field in resource["schema"]["fields"]}


def _typed(cell: str, kind: str) -> str | float | int | bool | None:
    if not cell:
        return None
    if kind == "number":
        return float(cell)
    if kind == "integer":
        return int(cell)
    return cell == "true" if kind == "boolean" else cell


def _text(table: store.Table) -> str:
    """The table as aligned columns, with the sources written out below."""
    kinds = _field_types(table.name)
    filled = [c for c in table.columns if any(_cell(row, c) for row in table.rows)]
    blank = [c for c in table.columns if c not in filled]
    # Where every row rests on the same source and evidence, saying it once below is enough.
    single = {c for c in PROVENANCE if len({_cell(row, c) for row in table.rows}) == 1}
    shown = [c for c in filled if c not in single]
    width = terminal_width()
    summary = _summary(table)
    parts = [wrap(f"{table.name}: {table.title}", width=width, hanging="  ")]
    notes: dict[str, str] = {}
    keys: dict[str, str] = {}
    if shown:
        right = {i for i, c in enumerate(shown) if kinds.get(c) in ("number", "integer")}
        rows = [_cells(row, shown) for row in table.rows]
        # What is too wide gives up its long words first: notes, then sources, become numbers.
        if "note" in shown and _widest(aligned(shown, rows, width=sys.maxsize)) > width:
            notes = _number(rows, shown.index("note"), "({})")
        if "source" in shown and _widest(aligned(shown, rows, width=width)) > width:
            keys = _number(rows, shown.index("source"), "[{}]")
        parts.append(aligned(shown, rows, right=right, width=width))
        if notes:
            lines = (f"{mark} {note}" for note, mark in notes.items())
            parts.append("\n".join(wrap(line, width=width, hanging="    ") for line in lines))
    if blank:
        parts.append(wrap(f"Blank in every row: {', '.join(blank)}.", width=width, hanging="  "))
    counts = ", ".join(f"{summary[kind]} {kind}" for kind in EVIDENCE if summary[kind])
    cited = [f"{_rows(summary['rows'])}" + (f": {counts}" if counts else "")]
    cited += [
        wrap(f"{keys.get(source['key'], '-')} {_source_text(source)}", width=width, hanging="  ")
        for source in summary["sources"]
    ]
    parts.append("\n".join(cited))
    return "\n\n".join(parts)


def _widest(text: str) -> int:
    return max(len(line) for line in text.split("\n"))


def _number(rows: list[list[str]], column: int, mark: str) -> dict[str, str]:
    """Put marks in place of a column's texts, the same mark for the same text; gives the marks."""
    marks: dict[str, str] = {}
    for row in rows:
        if row[column]:
            row[column] = marks.setdefault(row[column], mark.format(len(marks) + 1))
    return marks
