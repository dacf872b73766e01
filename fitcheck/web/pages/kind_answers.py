"""Answers about parts that their tables describe, and about a pivot."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.web.pages.field import CHOICE
from fitcheck.web.pages.kind_fields import kind_part

Answer = dict[str, Any]


def kind_answer(name: str, entry: Mapping[str, Any], *, unit: str) -> Answer:
    """The answer of `fitcheck part` to what was typed.

    Parameters
    ----------
    name : str
        The family.
    entry : mapping
        What was typed, as on a bench sheet.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    """
    from fitcheck.cli.part import asked_of
    from fitcheck.identify import CERTAINTY
    from fitcheck.job.answers import DEFAULT_TOP

    nothing = {one.key: "" if one.how == CHOICE else () for one in kind_part(name).fields}
    return asked_of(name, **{**nothing, **entry}, unit=unit, top=DEFAULT_TOP, certainty=CERTAINTY)


def pivot_answer(name: str, entry: Mapping[str, Any], *, unit: str) -> Answer:
    """The pivot's position on a job card; a pivot has no command of its own.

    Parameters
    ----------
    name : str
        The table of the bench sheet.
    entry : mapping
        What was typed, as on a bench sheet.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    """
    from fitcheck.web.api.hub import card

    table = {"name": name, "unit": unit, **entry}
    found: Answer = card(sheet={name: [table]}, no_offers=True)["positions"][0]
    return found
