"""The empty bench sheet with a table for every described family, as their tables have them."""

from __future__ import annotations

from functools import cache
from textwrap import wrap

from fitcheck.job.blank import BLANK_SHEET
from fitcheck.parts.asked import options
from fitcheck.parts.kind import kind, kind_names
from fitcheck.tables import shop_folder, table

# What stands in the sheet where the families go.
_OTHERS = "# Other parts have tables of their kind"
_KEYS_WIDE, _WORDS_WIDE = 20, 74


def blank_sheet() -> str:
    """The empty bench sheet, with a table to fill in for each family.

    Examples
    --------
    >>> "# [[oring]]" in blank_sheet()
    True
    """
    return _blank_sheet(shop_folder())


@cache
def _blank_sheet(_shop: str) -> str:
    before, found, rest = BLANK_SHEET.partition(_OTHERS)
    # The words on other parts are one paragraph; the tables stand in its place.
    _, _, after = (found + rest).partition("\n\n")
    return before + "\n\n".join(map(_family, kind_names())) + "\n\n" + after


def _family(name: str) -> str:
    title = kind(name).title
    lines = [
        f"One table for each {title}. Take the # away from what you fill in.",
        f"[[{name}]]",
        f'name = "{title}"',
        "quantity = 1",
        _key("mark", "[]", "what can be read on it, ? for a lost character"),
    ]
    for row in table(f"{name}/places").rows:
        tools = " or ".join(row.text("instruments").split())
        lines.append(_key(row.text("place"), "[]", f"{row.text('words')}; {tools}"))
    for option in options(name):
        words = option.words[:1].lower() + option.words[1:].rstrip(".")
        value = "[]" if option.is_reading else '""'
        # Words that hold a comma are told apart by their quotes.
        quote = '"' if any("," in choice for choice in option.choices) else ""
        chosen = " or ".join(f"{quote}{choice}{quote}" for choice in option.choices)
        lines.append(_key(option.name, value, f"{chosen}: {words}" if chosen else words))
    whole = "\n".join([*lines, 'unit = ""', 'note = ""'])
    return "\n".join(f"# {line}" for line in whole.split("\n"))


def _key(name: str, value: str, words: str) -> str:
    first, *more = wrap(words, _WORDS_WIDE)
    line = f"{name.replace('-', '_')} = {value}".ljust(_KEYS_WIDE) + f"# {first}"
    return "\n".join([line, *(f"{'':{_KEYS_WIDE}}# {words}" for words in more)])
