"""The values of a bench sheet: text, a number, a date, or several readings of one place."""

from __future__ import annotations

from datetime import date, time
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError


def _as_text(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("text_wanted", "a text or a number is wanted here")
    return value.strip() if isinstance(value, str) else repr(value)


def _as_date(value: Any) -> str:
    """TOML has dates and times of its own; a text will do as well."""
    return str(value) if isinstance(value, date | time) else _as_text(value)


def _as_texts(value: Any) -> tuple[str, ...]:
    """One or several readings; blank ones are places that were left out."""
    items = value if isinstance(value, list | tuple) else [value]
    return tuple(text for text in map(_as_text, items) if text)


Text = Annotated[str, BeforeValidator(_as_text)]
Date = Annotated[str, BeforeValidator(_as_date)]
Texts = Annotated[tuple[str, ...], BeforeValidator(_as_texts)]
