"""What a posted form holds."""

from __future__ import annotations

from collections.abc import Iterable

from starlette.requests import Request

from fitcheck.errors import InputError

_MOST_FIELDS = 1000


async def pairs_of(request: Request) -> list[tuple[str, str]]:
    """The names and texts of a form; files are left out.

    Parameters
    ----------
    request : Request
        The request.

    Raises
    ------
    InputError
        It has more fields than any form of ours.
    """
    async with request.form(max_files=1, max_fields=_MOST_FIELDS) as form:
        pairs = [(name, text) for name, text in form.multi_items() if isinstance(text, str)]
    if len(pairs) > _MOST_FIELDS:
        raise InputError(
            value=f"{len(pairs)} fields",
            rule=f"a form has {_MOST_FIELDS} at most",
            todo="Send less at a time",
        )
    return pairs


def told_of(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The fields of a form by name, the first of each.

    Parameters
    ----------
    pairs : iterable of tuple
        The names and texts.
    """
    found: dict[str, str] = {}
    for name, text in pairs:
        found.setdefault(name, text)
    return found
