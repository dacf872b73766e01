"""The job that positions are put into at the bench, carried by the page itself as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from typing import Any

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.web.pages.asking import Given, given_of_json

# What is told of the job as a whole: key on the bench sheet, words, hint.
ABOUT = (
    ("title", "What is done", "new seals, drive hub"),
    ("machine", "Machine", "what stands on its plate"),
    ("place", "Place", ""),
    ("date", "Date", ""),
    ("oil", "Oil inside", "gear oil, grease"),
    ("speed", "Speed", "300rpm"),
    ("temperature", "Oil, working", "70C"),
    ("note", "Note", ""),
)
_KEYS = (*(key for key, *_ in ABOUT), "turning")
MOST_POSITIONS = 60
_LONGEST = 200

# Kind at the bench -> table of the bench sheet, where it has another name.
_TABLES = {"sleeve": "seal"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One position: what was typed, and what the answer was when it was put in."""

    given: Given
    verdict: str = ""
    pick: str = ""

    def as_json(self) -> dict[str, Any]:
        """The position, to be kept in a page."""
        return {**self.given.as_json(), "verdict": self.verdict, "pick": self.pick}


@dataclass(frozen=True, slots=True)
class Job:
    """The positions so far, and what is told of the job as a whole."""

    entries: tuple[Entry, ...] = ()
    about: Mapping[str, str] = field(default_factory=dict)

    def text(self) -> str:
        """The positions as JSON text."""
        return json.dumps([entry.as_json() for entry in self.entries])

    def with_entry(self, entry: Entry) -> Job:
        """The job with one more position, under a name of its own.

        Parameters
        ----------
        entry : Entry
            The position.
        """
        name = free_name(entry.given, (one.given.name for one in self.entries))
        named = replace(entry, given=replace(entry.given, name=name))
        return replace(self, entries=(*self.entries, named))

    def without(self, number: int) -> Job:
        """The job without one of its positions.

        Parameters
        ----------
        number : int
            Which, counted from 0; others than there are change nothing.
        """
        kept = tuple(one for at, one in enumerate(self.entries) if at != number)
        return replace(self, entries=kept)

    def tables(self) -> dict[str, Any]:
        """The job as the tables of a bench sheet.

        Raises
        ------
        InputError
            Positions of it don't go together.
        """
        tables: dict[str, Any] = {"job": {k: v for k, v in self.about.items() if k in _KEYS and v}}
        for entry in self.entries:
            given = entry.given
            values = {"name": given.name, "unit": given.unit, **given.entry()}
            if given.kind == "sleeve" and "seal" in values:
                # On a sheet a counterface stands with its seal, whose size is known here.
                values["mark"] = [values.pop("seal")]
            if given.kind == "oil":
                if "oil" in tables:
                    raise InputError(
                        value=given.name,
                        rule="a job has one oil",
                        todo="Take one of them out of the job",
                    )
                tables["oil"] = values
            else:
                tables.setdefault(_TABLES.get(given.kind, given.kind), []).append(values)
        units = {entry.given.unit for entry in self.entries}
        if units == {"in"}:
            tables["job"]["unit"] = "in"
        return tables


def free_name(given: Given, taken: Iterable[str]) -> str:
    """A name that no other position has.

    Parameters
    ----------
    given : Given
        The position, with the name that is wanted for it, if any.
    taken : iterable of str
        The names of the others.

    Examples
    --------
    >>> free_name(Given("seal"), ["seal 1"]), free_name(Given("seal", "inner"), ["inner"])
    ('seal 2', 'inner 2')
    """
    used = set(taken)
    if given.name and given.name not in used:
        return given.name
    stem, number = (given.name, 2) if given.name else (given.kind, 1)
    while f"{stem} {number}" in used:
        number += 1
    return f"{stem} {number}"


def job_of(text: str, about: Mapping[str, str] | None = None) -> Job:
    """The job that a page carries.

    Parameters
    ----------
    text : str
        Its positions as JSON text; empty where there is none yet.
    about : mapping of str to str, optional
        What is told of the job as a whole.

    Raises
    ------
    InputError
        It is no such text, or longer than any job.
    """
    try:
        raw = json.loads(text or "[]")
    # A number of thousands of digits is refused by Python itself.
    except (ValueError, RecursionError) as error:
        raise _not_a_job() from error
    if not isinstance(raw, list) or not all(isinstance(one, dict) for one in raw):
        raise _not_a_job()
    if len(raw) > MOST_POSITIONS:
        raise InputError(
            value=f"{len(raw)} positions",
            rule=f"a job at the bench has at most {MOST_POSITIONS}",
            todo="Split it into several jobs, or write a bench sheet for `fitcheck hub`",
        )
    entries: tuple[Entry, ...] = ()
    for one in raw:
        verdict = one.get("verdict")
        shown = verdict if verdict in ("go", "check", "no-go") else ""
        pick = one.get("pick")
        entries += (Entry(given_of_json(one), shown, pick if isinstance(pick, str) else ""),)
    told = {key: (about or {}).get(key, "").strip()[:_LONGEST] for key in _KEYS}
    return Job(entries, told)


def _not_a_job() -> InputError:
    return InputError(
        value="the job",
        rule="this is not what the bench page keeps",
        todo="Begin the job anew on the bench page",
    )
