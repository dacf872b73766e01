"""Several shimmed settings of one sheet: what one place can't be set to at the same time."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fitcheck.errors import FitcheckError
from fitcheck.job.sheet import ShimsEntry
from fitcheck.setup.settings import shim_position, use_settings
from fitcheck.verdicts import CHECK, worst

Answer = dict[str, Any]


def add_contradictions(found: Answer, entry: ShimsEntry, *, others: Iterable[ShimsEntry]) -> None:
    """Say where another setting in the same place sets the opposite; one pair can't have both.

    Parameters
    ----------
    found : dict
        The answer, added to.
    entry : ShimsEntry
        The setting.
    others : iterable of ShimsEntry
        The settings of the sheet.
    """
    place, kind = _place(entry), _kind(entry)
    if not (place and kind):
        return
    words = shim_position(place).words
    against = [
        f"{other.name} sits {words} too and sets {_kind(other)}, this one sets {kind}: one bearing "
        "pair takes one of them. Give two pairs a sheet each; else take out the setting that the "
        "manual does not ask for"
        for other in others
        if other.name != entry.name and _place(other) == place and _kind(other) not in ("", kind)
    ]
    if against:
        found["verdict"], found["sure"] = worst(found["verdict"], CHECK), False
        found["only_after"] = "it is settled which setting this place has"
        found["reasons"][:0] = against


def add_job_heat(found: Answer, entry: ShimsEntry, *, temperature: str) -> None:
    """Say that the temperature of the job is taken.

    Parameters
    ----------
    found : dict
        The answer, added to.
    entry : ShimsEntry
        The setting.
    temperature : str
        That of the job, with its unit; blank where there is none.
    """
    if not temperature or entry.service_temp:
        return
    degrees = temperature.removesuffix("C")
    if entry.span:
        taken = f"the temperature at work was not given: that of the job, {degrees} C, is taken"
        found["assumptions"].append(taken)
        found["reasons"].append(taken)


def _place(entry: ShimsEntry) -> str:
    if entry.position or not entry.use:
        return entry.position
    try:
        return next((s.position for s in use_settings(entry.use) if s.position), "")
    except FitcheckError:
        return ""


def _kind(entry: ShimsEntry) -> str:
    """What a setting ends in: end play, or preload by every other method."""
    if not entry.method:
        return ""
    if entry.method != "end-play":
        return "preload"
    return "preload" if entry.target.strip().startswith("-") else "end play"
