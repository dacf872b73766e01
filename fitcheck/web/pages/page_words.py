"""What an answer says in the command's words, said with the names of the page's fields."""

from __future__ import annotations

import re
from typing import Any

from fitcheck.web.pages.fields import part

_OPTION = re.compile(r"(?<![\w-])--([a-z]+(?:-[a-z]+)*)")
# What is looked up or was typed stays as it is.
_AS_IT_IS = frozenset({"source", "sources", "name"})


def on_page(found: Any, kind: str) -> Any:
    """An answer, or one text of it, with the page's fields where it names options of a command.

    Parameters
    ----------
    found : object
        The answer as data, or a text.
    kind : str
        The kind of part whose fields are on the page.

    Examples
    --------
    >>> on_page("use --method drag", "shims")
    'use "Measured by" drag'
    >>> on_page({"reasons": ["give --lip-at", "as --certainty says"]}, "sleeve")
    {'reasons': ['give "Track from the shaft end"', 'as "certainty" says']}
    """
    if isinstance(found, str):
        names = {one.key.rpartition("-")[2]: one.name for one in part(kind).fields}
        return _OPTION.sub(lambda option: f'"{_named(option[1], names)}"', found)
    if isinstance(found, dict):
        return {key: one if key in _AS_IT_IS else on_page(one, kind) for key, one in found.items()}
    if isinstance(found, list | tuple):
        return [on_page(one, kind) for one in found]
    return found


def _named(option: str, names: dict[str, str]) -> str:
    return names.get(option.replace("-", "_"), option.replace("-", " "))
