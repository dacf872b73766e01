"""What is shown of a list: its counts, its columns, its first lines, what was remarked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from fitcheck.cli.common import aligned, print_json, terminal_width, wrap
from fitcheck.store.records import counted

if TYPE_CHECKING:
    from fitcheck.lists.lines import Block, Remark
    from fitcheck.lists.understand import ListReading
    from fitcheck.store.records import ListInfo

_FIRST = 5
_NO_COLUMN = "-"
_FACTS = ("lip", "case", "material", "spring", "lubricant", "direction")


def summary(info: ListInfo) -> str:
    """A stored list in a sentence: where it came from, and what became of its lines."""
    text = (
        f"{info.name}: {counted(info.lines, 'line')} of {info.source or 'a list'}, "
        f"{info.added_at[:10]}: {_outcomes(info)}; "
        f"{info.stored:,} stored, {counted(info.sizes, 'distinct size')}"
    )
    return wrap(text, width=terminal_width(), hanging="  ")


def _outcomes(counts: Any) -> str:
    return f"{counts.accepted:,} accepted, {counts.repaired:,} repaired, {counts.refused:,} refused"


def columns_text(
    columns: Mapping[str, Any], unit: str, *, own: bool = False, remembered: Sequence[str] = ()
) -> str:
    """Which column was taken for what.

    Parameters
    ----------
    columns : mapping
        The headers of each role.
    unit : str
        What bare sizes are in; empty where every size names its own.
    own : bool
        Whether it is a list that this program exported.
    remembered : sequence of str
        The roles whose columns were given for a list before.
    """
    named = ", ".join(
        f"{role} = {' + '.join(refs)}"
        for role, refs in columns.items()
        if list(refs) != [_NO_COLUMN]
    )
    shown = "as exported" if own or not named else named
    sizes = f"; sizes that name no unit are in {unit}" if unit else ""
    kept = f"; remembered (else --forget): {', '.join(remembered)}" if remembered else ""
    return wrap(
        f"columns: {shown}{kept}{sizes}", width=terminal_width(), indent="  ", hanging="    "
    )


def remark_text(remark: Remark) -> str:
    """A remark on a line, as a point of a list."""
    column = f", {remark.column}" if remark.column else ""
    value = f" {remark.value!r}" if remark.value else ""
    text = f"- line {remark.line}{column}{value}: {remark.outcome}, {remark.reason}"
    return wrap(text, width=terminal_width(), indent="  ", hanging="    ")


def preview(reading: ListReading, shown: str) -> dict[str, Any]:
    """Read a whole list and tell how it is understood; nothing is stored.

    Parameters
    ----------
    reading : ListReading
        The list.
    shown : str
        What its file is called.
    """
    lines: list[dict[str, Any]] = []
    remarks: list[Remark] = []
    noted = 0
    for block, found in reading.blocks():
        lines += _lines(block, _FIRST - len(lines))
        remarks += found[: _FIRST - len(remarks)]
        noted += len(found)
    tally = reading.tally
    return {
        "file": shown,
        "lines": tally.lines,
        "accepted": tally.accepted,
        "repaired": tally.repaired,
        "refused": tally.refused,
        "skipped": tally.skipped,
        "plan": None if reading.own_export else reading.plan,
        "first_lines": lines,
        "remarks": noted,
        "first_remarks": remarks,
    }


def show_preview(
    reading: ListReading, shown: str, *, remembered: Sequence[str], as_json: bool
) -> None:
    """Read a whole list and show how it is understood; nothing is stored.

    Parameters
    ----------
    reading : ListReading
        The list.
    shown : str
        What its file is called.
    remembered : sequence of str
        The roles whose columns were given for a list before.
    as_json : bool
        Whether it is printed as JSON.
    """
    found = preview(reading, shown)
    if as_json:
        print_json(found)
        return
    lines, remarks, noted = found["first_lines"], found["first_remarks"], found["remarks"]
    tally, plan = reading.tally, reading.plan
    width = terminal_width()
    click.echo(wrap(f"{shown}: {counted(tally.lines, 'line')}: {_outcomes(tally)}", width=width))
    click.echo(columns_text(plan.columns, plan.unit, own=reading.own_export, remembered=remembered))
    for note in plan.notes:
        click.echo(wrap(note, width=width, indent="  ", hanging="    "))
    if lines:
        heads = ("line", "part", "kind", "size", "made", "price", "on_hand")
        table = aligned(heads, list(map(_cells, lines)), right={0, 5, 6}, width=width - 2)
        click.echo("\n" + "\n".join("  " + row for row in table.split("\n")) + "\n")
    for remark in remarks:
        click.echo(remark_text(remark))
    if noted > len(remarks):
        click.echo(f"  and {counted(noted - len(remarks), 'remark')} more")
    click.echo("Nothing was stored: leave --preview out to store it.")


def _lines(block: Block, most: int) -> Iterator[dict[str, Any]]:
    """The first lines of a block, field by field."""
    for index in range(min(most, len(block))):
        yield {name: column[index] for name, column in block.columns.items()}


def _cells(line: Mapping[str, Any]) -> tuple[str, ...]:
    """A line as the preview shows it."""
    from fitcheck.lists.items import size_key, size_text

    return (
        str(line["line"]),
        line["part_number"] or "",
        line["kind"] or "",
        size_text(size_key(line)),
        " ".join(line[name] for name in _FACTS if line[name] and line[name] not in ("yes", "no"))
        + {"yes": " spring", "no": " no-spring"}.get(line["spring"] or "", ""),
        f"{line['price'] or ''} {line['currency'] or ''}".strip(),
        "" if line["on_hand"] is None else str(line["on_hand"]),
    )
