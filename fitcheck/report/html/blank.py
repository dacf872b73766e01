"""The empty bench sheet to print and fill in with a pencil."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from fitcheck.job.blank_families import blank_sheet
from fitcheck.records import dataclass
from fitcheck.report.drawing.on_page import figures
from fitcheck.report.drawing.places import BEARING, GAP, OLD_SEAL, SEAT
from fitcheck.report.html.page import page

# How many of a kind stand side by side on the paper.
_COLUMNS = {"seal": 3, "bearing": 2, "press": 2, "shims": 2}
_TABLE = re.compile(r"^(?:# )?\[{1,2}([a-z]+)\]{1,2}$")
_KEY = re.compile(r"^(?:# )?([a-z_]+) = ([^#]*?)\s*(?:# (.*))?$")
# The letter of a key in the drawings of where to measure.
_LETTERS = {
    (name, key): letter
    for name, panels in {"seal": (SEAT, OLD_SEAL), "bearing": (BEARING,), "shims": (GAP,)}.items()
    for panel in panels
    for letter, key, _, _ in panel
}
# What is said of the file, and of no use to a pencil.
_ON_SCREEN = " Take the # away from what you fill in."
# Told by the sheet as a whole, or of no use on paper.
# The shelf is known already; a pivot is written down as two bearings and a setting.
_NOT_ON_PAPER = {"shelf", "pivot"}
_LEFT_OUT = {"unit", "note", "quantity", "certainty", "invented"}


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to write down: its key on the sheet, what it is, and whether it is yes or no.

    ``letter`` is what marks it in the drawings, empty where they don't show it.
    """

    key: str
    what: str
    yes_or_no: bool
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One table of the sheet: its name, what the sheet says of it, its lines, and how many."""

    name: str
    note: str
    lines: tuple[Line, ...]
    columns: int


def blank_parts() -> list[Part]:
    """The tables of the empty bench sheet, read from the sheet itself.

    Returns
    -------
    list of Part
        In the sheet's order; what no pencil fills in is left out.

    Examples
    --------
    >>> [part.name for part in blank_parts()][:8]
    ['job', 'seal', 'bearing', 'press', 'shims', 'oil', 'closing', 'axial']
    """
    return [part for part in _parts() if part.name not in _NOT_ON_PAPER]


def _parts() -> Iterator[Part]:
    name, note, before = "", "", ""
    lines: list[Line] = []
    for text in blank_sheet().splitlines():
        table = _TABLE.match(text)
        key = _KEY.match(text)
        if table:
            name, note = table[1], before
        elif key and name:
            if key[1] not in _LEFT_OUT:
                what = (key[3] or "").strip()
                yes_or_no = key[2].strip() in ("true", "false")
                lines.append(Line(key[1], what, yes_or_no, _LETTERS.get((name, key[1]), "")))
        elif not text and name:
            yield Part(name, note, tuple(lines), _COLUMNS.get(name, 1))
            name, lines = "", []
        before = text.removeprefix("# ").removesuffix(_ON_SCREEN) if text.startswith("# ") else ""
    if name:
        yield Part(name, note, tuple(lines), _COLUMNS.get(name, 1))


def blank_page(*, drawings: Sequence[tuple[str, str]] = (), paper: str = "a4") -> str:
    """The empty bench sheet as a page to print.

    Parameters
    ----------
    drawings : sequence of (name, svg)
        Where to measure, as SVG text.
    paper : str
        ``a4`` or ``letter``.

    Returns
    -------
    str
    """
    shown, _ = figures(drawings)
    return page("blank", paper=paper, parts=blank_parts(), figures=shown)
