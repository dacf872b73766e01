"""One field of the bench and one part that lies on it, as records."""

from __future__ import annotations

from dataclasses import dataclass

# How a field is filled in: by readings with an instrument, by texts, by one of a few, by yes.
READING, TEXT, CHOICE, PICK, YES = "reading", "text", "choice", "pick", "yes"


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its key (as on the bench sheet), its name, a hint, and how it is filled in.

    ``many`` fields take several values. ``tools`` are the instruments that are offered, the first
    of them taken. ``choices`` are pairs of value and words. ``first`` fields stand in sight, the
    others are opened.
    """

    key: str
    name: str
    hint: str = ""
    how: str = READING
    tools: tuple[str, ...] = ()
    choices: tuple[tuple[str, str], ...] = ()
    first: bool = False
    many: bool = True


@dataclass(frozen=True, slots=True)
class Part:
    """What can lie on the bench: its kind, its name, what it asks, and its fields."""

    kind: str
    name: str
    question: str
    fields: tuple[Field, ...]
