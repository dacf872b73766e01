"""The check of the tables as text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fitcheck.cli.common import wrap

EDITED = (
    "An update, or installing again, puts the shipped tables back as they were, and edits in them "
    "are lost. Keep your rows in a CSV of the same name in a folder of your own, name that folder "
    "in FITCHECK_TABLES, and install the program again."
)
LATER = (
    "Correct them in the shop's folder; then `fitcheck tables check --note` notes how it is now."
)


def check_text(answer: dict[str, Any], *, width: int = 80) -> str:
    """What `fitcheck tables check` found.

    Parameters
    ----------
    answer : dict
        The check: ``sound``, ``shipped`` and ``shop``.
    width : int
        The longest line, in characters.
    """
    lines = [*_shipped(answer["shipped"]), *_shop(answer["shop"])]
    lines.append("everything is sound" if answer["sound"] else "not everything is as it should be")
    return "\n".join(
        wrap(line.lstrip(), width=width, indent=_indent(line), hanging=f"{_indent(line)}  ")
        for line in lines
    )


def _indent(line: str) -> str:
    return " " * (len(line) - len(line.lstrip()))


def _shipped(found: dict[str, Any]) -> Iterator[str]:
    wrong = len(found["edited"]) + len(found["missing"])
    yield f"shipped tables: {found['files'] - wrong} of {found['files']} files as they were shipped"
    for entry in found["edited"]:
        how = "edited"
        if entry["line_ends"]:
            how = "only its line ends were changed"
        elif entry["rows"] != entry["shipped"]:
            how += f": {entry['rows']} rows, {entry['shipped']} were shipped"
        yield f"  {entry['file']}: {how}"
    yield from (f"  {path}: missing" for path in found["missing"])
    yield from (f"  {path}: not one of the shipped files" for path in found["added"])
    if wrong or found["added"]:
        yield EDITED


def _shop(found: dict[str, Any]) -> Iterator[str]:
    if not found["folder"]:
        yield "the shop's own tables: none (FITCHECK_TABLES names no folder)"
        return
    yield f"the shop's own tables: {found['folder']}"
    doubtful = bool(found["strays"])
    for table in found["tables"]:
        counts = {
            "replaces": "replacing a shipped row",
            "adds": "of its own",
            "same": "just as shipped, so not needed",
            "unmatched": "to look at",
        }
        told = ", ".join(f"{len(table[k])} {words}" for k, words in counts.items() if table[k])
        yield f"  {table['file']}: {told or 'no rows'}"
        doubtful = doubtful or bool(table["unmatched"] or table["faults"])
        for kind in ("replaces", "unmatched"):
            for row in table[kind]:
                yield f"    line {row['line']}, {', '.join(row['key'])}: {_row(row)}"
        yield from (f"    {fault}" for fault in table["faults"])
    yield from (f"  {stray['file']}: {stray['reason']}" for stray in found["strays"])
    yield from (f"  {doubt}: a digit slipped in this row" for doubt in found["doubts"])
    if doubtful or found["doubts"]:
        yield LATER


def _row(row: dict[str, Any]) -> str:
    changes = ", ".join(
        f"{column} {new or 'blank'} for {old or 'blank'}"
        for column, (old, new) in row.get("changes", {}).items()
    )
    return "; ".join(part for part in (row.get("reason", ""), changes) if part)
