"""How a list file is written, and its rows as they are read."""

from __future__ import annotations

from dataclasses import field

from fitcheck.records import dataclass


@dataclass(slots=True)
class Chunk:
    """Some rows: the line each starts on, its cells, and what is wrong with it, by index."""

    lines: list[int] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    faults: dict[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Layout:
    """How a file is written: its kind, encoding and delimiter, or the sheet of a workbook."""

    kind: str
    encoding: str = ""
    delimiter: str = ""
    sheet: str = ""
    gutters: tuple[tuple[int, int], ...] = ()
    notes: tuple[str, ...] = ()
