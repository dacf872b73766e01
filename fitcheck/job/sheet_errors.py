"""What is wrong with a bench sheet, said with the position's name and what is wanted there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Literal, get_args, get_origin

from msgspec import Meta, Struct

from fitcheck.errors import InputError
from fitcheck.job.sheet_text import Refused, Where, keys_of, plain, table_of

_PATH = re.compile(r"\.([a-z_0-9]+)|\[(\d+)\]")
_BLANK = "`fitcheck hub --blank` {}"


def refused_error(
    refused: Sequence[Refused], *, raw: dict[str, Any], name: str, whole: type[Struct]
) -> InputError:
    """The first key or text that was refused, and how many more there are.

    Parameters
    ----------
    refused : sequence of Refused
        What was refused, one at least.
    raw : dict
        The sheet's tables.
    name : str
        The file's name.
    whole : type of Struct
        A sheet with every table that there is.
    """
    where, rule = refused[0]
    more = f" ({len(refused) - 1} more)" if len(refused) > 1 else ""
    value = f"{name}, {_place(where, raw)}"
    if rule:
        todo = _BLANK.format("shows what is wanted")
        return InputError(value=value + _given(where, raw), rule=rule + more, todo=todo)
    return InputError(
        value=value,
        rule=f"there is no such key here{more}",
        todo=_suggestion(where, whole) or _BLANK.format("lists the keys"),
    )


def value_error(message: str, *, raw: dict[str, Any], name: str, model: type[Struct]) -> InputError:
    """A value of a wrong kind or out of its range, or a name that is missing.

    Parameters
    ----------
    message : str
        What the library says: it names the path at its end.
    raw : dict
        The sheet's tables.
    name : str
        The file's name.
    model : type of Struct
        The sheet as it should be.
    """
    said, _, path = message.rpartition(" - at `$")
    where: Where = tuple(
        int(number) if number else key for key, number in _PATH.findall(path.rstrip("`"))
    )
    missing = re.match(r"Object missing required field `([a-z_]+)`", said)
    if missing:
        return InputError(
            value=f"{name}, {_place((*where, missing[1]), raw)}",
            rule="this key is needed",
            todo="Every position has a name, such as inner seal",
        )
    return InputError(
        value=f"{name}, {_place(where, raw)}{_given(where, raw)}",
        rule=f"{_wanted(where, model)} is wanted here",
        todo=_BLANK.format("shows how"),
    )


def shown(text: str, longest: int = 120) -> str:
    """A text as it may stand in a message: what can't be seen by its code, and not too long.

    Parameters
    ----------
    text : str
        The text.
    longest : int
        How many characters of it are shown.
    """
    text = text if text.isprintable() else ascii(text)[1:-1]
    return text if len(text) <= longest else f"{text[:longest]}..."


def _wanted(where: Where, model: type[Struct]) -> str:
    """What a key takes, in words."""
    wanted: Any = model
    for part in where:
        if isinstance(part, str):
            inside = table_of(wanted)
            wanted = keys_of(inside)[part] if inside else str
    if table_of(wanted) is not None:
        one = getattr(wanted, "__origin__", None) is not tuple or isinstance(where[-1], int)
        return "a table with its keys" if one else f"a list of tables, [[{where[-1]}]],"
    if get_origin(wanted) is Literal:
        *most, last = [repr(choice) if choice else "nothing" for choice in get_args(wanted)]
        return f"{', '.join(most)} or {last}"
    limits = next((one for one in getattr(wanted, "__metadata__", ()) if type(one) is Meta), Meta())
    if limits.ge is not None and limits.le is not None:
        kind = "a whole number" if plain(wanted) is int else "a number"
        return f"{kind} from {limits.ge:g} to {limits.le:g}"
    return "true or false" if wanted is bool else "a text that is not blank"


def _given(where: Where, raw: Any) -> str:
    """The value as it stands there; nothing of tables and lists."""
    for part in where:
        try:
            raw = raw[part]
        except (KeyError, IndexError, TypeError):
            return ""
    return "" if isinstance(raw, dict | list) else f" = {raw!r:.60}"


def _place(where: Where, raw: dict[str, Any]) -> str:
    """Where a complaint stands, with the position's name instead of its number."""
    if len(where) >= 2 and isinstance(where[1], int):
        entries = raw.get(str(where[0]))
        entry = entries[where[1]] if isinstance(entries, list) else {}
        named = entry.get("name", f"number {where[1] + 1}") if isinstance(entry, dict) else ""
        keys = map(str, where[2:])
        return shown(" ".join([f"[[{where[0]}]]", shown(str(named), 60), *keys]))
    return shown(" ".join([f"[{where[0]}]", *map(str, where[1:])])) if where else "the sheet"


def _suggestion(where: Where, whole: type[Struct]) -> str:
    from difflib import get_close_matches

    inside: type[Struct] | None = whole
    for part in where[:-1]:
        if isinstance(part, str) and inside is not None:
            inside = table_of(keys_of(inside)[part])
    known = keys_of(inside) if inside else {}
    near = get_close_matches(str(where[-1]), known, n=1, cutoff=0.6)
    return f"Did you mean {near[0]}?" if near else ""
