"""The values of a bench sheet: text, a number, a date, or several readings of one place."""

from __future__ import annotations

from datetime import date, time
from functools import cache
from types import UnionType
from typing import Annotated, Any, NamedTuple, get_args

from msgspec import Struct
from msgspec.structs import fields

Text = str
Texts = tuple[str, ...]
# TOML has dates and times of its own; a text will do as well.
Date = Annotated[str, "date"]

Where = tuple[str | int, ...]


class Refused(NamedTuple):
    """A key that a sheet does not have (no rule), or a value that is no text."""

    where: Where
    rule: str = ""


@cache
def keys_of(model: type[Struct]) -> dict[str, Any]:
    """The keys of a table of the sheet, with the type of each.

    Parameters
    ----------
    model : type of Struct
        The table.
    """
    return {field.name: field.type for field in fields(model)}


def table_of(wanted: Any) -> type[Struct] | None:
    """The table that a key holds, one or several; nothing where it holds a plain value.

    Parameters
    ----------
    wanted : type
        The type of the key.
    """
    inside = get_args(wanted)[:1] if isinstance(wanted, UnionType) or _is_several(wanted) else ()
    held = inside[0] if inside else wanted
    return held if isinstance(held, type) and issubclass(held, Struct) else None


def plain(wanted: Any) -> Any:
    """The type of a value without what limits it.

    Parameters
    ----------
    wanted : type
        The type of the key.
    """
    return wanted.__origin__ if hasattr(wanted, "__metadata__") else wanted


def read_texts(
    raw: dict[str, Any], model: type[Struct], refused: list[Refused], where: Where = ()
) -> dict[str, Any]:
    """A table with its texts and readings as texts; all else as it was.

    Parameters
    ----------
    raw : dict
        The table.
    model : type of Struct
        What it should be.
    refused : list of Refused
        Gets what can't be read.
    where : tuple
        Where the table stands.
    """
    keys = keys_of(model)
    read: dict[str, Any] = {}
    for key, value in raw.items():
        here = (*where, key)
        if key not in keys:
            refused.append(Refused(here))
            continue
        try:
            read[key] = _read(value, keys[key], refused, here)
        except TypeError as error:
            refused.append(Refused(here, str(error)))
    return read


def _read(value: Any, wanted: Any, refused: list[Refused], where: Where) -> Any:
    inside = table_of(wanted)
    if inside is not None:
        if isinstance(value, dict) and not _is_several(wanted):
            return read_texts(value, inside, refused, where)
        if isinstance(value, list) and _is_several(wanted):
            return [
                read_texts(one, inside, refused, (*where, number)) if isinstance(one, dict) else one
                for number, one in enumerate(value)
            ]
        return value
    if wanted == Texts:
        return _as_texts(value)
    if wanted == Date and isinstance(value, date | time):
        return str(value)
    return _as_text(value) if plain(wanted) is str else value


def _is_several(wanted: Any) -> bool:
    return getattr(wanted, "__origin__", None) is tuple


def _as_text(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise TypeError("a text or a number is wanted here")
    return value.strip() if isinstance(value, str) else repr(value)


def _as_texts(value: Any) -> tuple[str, ...]:
    """One or several readings; blank ones are places that were left out."""
    items = value if isinstance(value, list | tuple) else [value]
    return tuple(text for text in map(_as_text, items) if text)
