"""What the store hands out about lists, and the moments it writes down."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from fitcheck.records import dataclass


@dataclass(frozen=True, slots=True)
class ListInfo:
    """A stored list: where it came from and what became of its lines.

    ``lines`` were in the file; ``accepted`` and ``repaired`` ones are stored, ``refused`` ones
    are not. ``sizes`` counts the distinct sizes, ``plan`` says which column was taken for what.
    """

    id: int
    name: str
    added_at: str
    source: str
    unit: str
    lines: int
    accepted: int
    repaired: int
    refused: int
    sizes: int
    plan: Mapping[str, Any] | None = None

    @property
    def stored(self) -> int:
        """Lines that are stored."""
        return self.accepted + self.repaired

    def as_json(self) -> dict[str, Any]:
        """The list as a JSON object."""
        return {
            "name": self.name,
            "added_at": self.added_at,
            "source": self.source,
            "unit": self.unit,
            "lines": self.lines,
            "accepted": self.accepted,
            "repaired": self.repaired,
            "refused": self.refused,
            "stored": self.stored,
            "sizes": self.sizes,
            "plan": self.plan,
        }


def list_info(row: Mapping[str, Any]) -> ListInfo:
    """A row of the table of lists as a record.

    Parameters
    ----------
    row : mapping
        The row, by the names of its columns.
    """
    values = {name: value for name, value in row.items() if name != "name_key"}
    plan = values.pop("plan")
    return ListInfo(plan=None if plan is None else json.loads(plan), **values)


@dataclass(frozen=True, slots=True)
class Counts:
    """What became of a file's lines: each is accepted, repaired or refused."""

    lines: int
    accepted: int
    repaired: int
    refused: int


def now_text() -> str:
    """This moment, in UTC, as the store writes it."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def counted(number: int, one: str) -> str:
    """How many of something there are, in words.

    Parameters
    ----------
    number : int
        How many.
    one : str
        What a single one is called.

    Examples
    --------
    >>> counted(1, "remark"), counted(1200, "remark")
    ('1 remark', '1,200 remarks')
    """
    return f"{number:,} {one}{'' if number == 1 else 's'}"
