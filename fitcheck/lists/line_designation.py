"""The bearing designation of a list line, wherever in the line it stands."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.lists.describe import BEARING, OTHER, Described
from fitcheck.lists.designations import find_designation, read_designation
from fitcheck.lists.named_parts import find_part
from fitcheck.lists.numbers import MARKS
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.words import is_blank

# (outcome, role, value, reason)
ClassNote = tuple[str, str, str, str]


class Refusal(Exception):  # noqa: N818 - it refuses a line and is no failure of the program
    """The cells of a line can't be taken; where, what and why."""

    def __init__(self, role: str, value: str, reason: str) -> None:
        self.cause = (role, value, reason)
        super().__init__(reason)


def designation_of(
    cells: Mapping[str, str], described: Described, notes: list[ClassNote]
) -> str | None:
    """The designation of a line, from a column of its own, the one of the sizes or the description.

    Parameters
    ----------
    cells : mapping of str to str
        The line's telling cells, by role.
    described : Described
        What its description says.
    notes : list of ClassNote
        Takes what is noticed.

    Raises
    ------
    Refusal
        Two designations are given.
    """
    cell = cells.get("designation", "").lstrip("".join(MARKS))
    cone, cup = (cells.get(ring, "").lstrip("".join(MARKS)).strip() for ring in ("cone", "cup"))
    role = "designation"
    if is_blank(cell) and not (is_blank(cone) and is_blank(cup)):
        role = "cone" if cone else "cup"
        cell = "/".join(part for part in (cone, cup) if not is_blank(part))
    if is_blank(cell):
        return _in_size_column(cells.get("size", ""), described, notes)
    if described.kind == OTHER and described.designation:
        # The description names a part of another family; its own column says the same, or a code.
        return described.designation
    if described.words.kind == OTHER and (part := find_part(plain_text(cell))) is not None:
        return part.name
    found = read_designation(cell)
    notes += [(outcome, role, value, reason) for outcome, value, reason in found.notes]
    if described.designation and found.designation != described.designation:
        reason = f"the description says {described.designation}"
        raise Refusal(role, cell, reason)
    return found.designation


def _in_size_column(cell: str, described: Described, notes: list[ClassNote]) -> str | None:
    """The designation of a bearing that stands where seals have their sizes."""
    text = plain_text(cell.lstrip("".join(MARKS)))
    if described.kind not in ("", OTHER, BEARING) or is_blank(text) or size_spot(text):
        return described.designation
    found = find_designation(text, bearing=described.kind == BEARING)
    if not found.designation:
        return described.designation
    if described.designation not in (None, found.designation):
        raise Refusal("size", cell, f"the description says {described.designation}")
    notes += [(outcome, "size", value, reason) for outcome, value, reason in found.notes]
    return found.designation
