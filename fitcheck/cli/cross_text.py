"""Crossed lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck.cli.common import aligned, wrap
from fitcheck.lists.cross import Alternative, Crossed
from fitcheck.lists.grades import GRADES
from fitcheck.lists.items import size_text
from fitcheck.lists.rows import Tally

_HEADS = ("grade", "part", "list", "size", "price", "lead_days", "on_hand")
_RIGHT = frozenset({"price", "lead_days", "on_hand"})


def crossed_text(crossed: Crossed, *, width: int, one_list: bool = False) -> str:
    """One answer: the verdict and its reasons, the alternatives, and what is said of each.

    Parameters
    ----------
    crossed : Crossed
        The answer.
    width : int
        Characters on a line.
    one_list : bool
        Whether there is one list only, which then need not be named line by line.
    """
    want = crossed.want
    pieces = f" ({want.quantity} wanted)" if want.quantity else ""
    grade = "" if want.refused else f", {crossed.grade}"
    parts = [wrap(f"{want.text}{pieces}: {crossed.verdict.upper()}{grade}", width=width)]
    if crossed.read_as and crossed.read_as != (want.text,):
        parts.append(wrap(f"read as {' or '.join(crossed.read_as)}", width=width, indent="  "))
    parts += [_note(reason, width) for reason in crossed.reasons]
    if crossed.alternatives:
        names = [name for name in _HEADS if not (one_list and name == "list")]
        cells = [_cells(found, names) for found in crossed.alternatives]
        right = {number for number, name in enumerate(names) if name in _RIGHT}
        table = aligned(names, cells, right=right, width=width - 2)
        parts += ["  " + line for line in table.split("\n")]
        parts += [_note(text, width) for text in _others(crossed)]
    return "\n".join(parts) + "\n"


def _note(text: str, width: int) -> str:
    return wrap(text, width=width, indent="  - ", hanging="    ")


def _part(found: Alternative) -> str:
    return found.line.part_number or f"line {found.line.line}"


def _cells(found: Alternative, names: list[str]) -> tuple[str, ...]:
    line = found.line
    every = {
        "grade": found.grade,
        "part": _part(found),
        "list": line.list,
        "size": size_text(found.size),
        "price": f"{line.price or ''} {line.currency or ''}".strip(),
        "lead_days": "" if line.lead_days is None else str(line.lead_days),
        "on_hand": "" if line.on_hand is None else str(line.on_hand),
    }
    return tuple(every[name] for name in names)


def _others(crossed: Crossed) -> Iterator[str]:
    """What is said of the alternatives behind the first, beyond the reasons of the answer."""
    said = set(crossed.reasons)
    for found in crossed.alternatives[1:]:
        fresh = [text for text in (*found.differs, *found.questions) if text not in said]
        if fresh:
            yield f"{_part(found)}: {'; '.join(fresh)}"


def counts_text(tally: Tally, *, width: int) -> str:
    """How many lines were answered, grade by grade.

    Parameters
    ----------
    tally : Tally
        The counts.
    width : int
        Characters on a line.
    """
    refused = tally.verdicts["refused"]
    counts = {name: tally.grades[name] for name in GRADES}
    counts[GRADES[-1]] -= refused
    said = [f"{count} {name}" for name, count in counts.items() if count]
    said += [f"{refused} refused"] if refused else []
    return wrap(f"{tally.wanted} lines: {', '.join(said)}", width=width)
