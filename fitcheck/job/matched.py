"""A position asked with a list's own sizes, where the sheet names a list.

`job` knows no lists: who makes a card hands in what asks with a list's family.
"""

from __future__ import annotations

from collections.abc import Callable

from fitcheck.errors import InputError
from fitcheck.job.answers import Answer
from fitcheck.job.sheet import Position, Sheet
from fitcheck.parts.family import Family

# Asks with the sizes of a family.
Ask = Callable[[Family], Answer]
Matched = Callable[[Position, Ask], Answer]


def asked_of(
    entry: Position,
    answer: Callable[..., Answer],
    request: object,
    sheet: Sheet,
    matched: Matched | None,
) -> Answer:
    """The answer of a position, from the standard sizes or from those of the sheet's list.

    Parameters
    ----------
    entry : Position
        The position.
    answer : callable
        What answers a request, with a family of sizes if one is handed in.
    request : object
        The request.
    sheet : Sheet
        The sheet.
    matched : callable, optional
        Asks with the family of the sheet's list.

    Raises
    ------
    InputError
        The sheet names a list and nobody reads it here.
    """
    if not sheet.job.list:
        return answer(request)
    if matched is None:
        raise InputError(
            value=f"[job] list = {sheet.job.list}",
            rule="the lists of the shop are not asked here",
            todo="Use `fitcheck hub`, or leave list out for the standard sizes",
        )
    return matched(entry, lambda family: answer(request, family=family))
