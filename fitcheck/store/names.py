"""Names of lists, suppliers and places: kept as written, found without regard to case."""

from __future__ import annotations

import unicodedata

from fitcheck.errors import InputError

LONGEST_NAME = 60


def name_key(text: str) -> str:
    """A text as it is compared: one form of each letter, no case, single spaces.

    Parameters
    ----------
    text : str
        The text.

    Examples
    --------
    >>> name_key("  North  Quay SEALS ")
    'north quay seals'
    """
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def checked_name(text: str, *, what: str) -> str:
    """A name that can be kept.

    Parameters
    ----------
    text : str
        The name.
    what : str
        What it is the name of, for the message.

    Raises
    ------
    InputError
        It is blank, too long, or has characters that can't be shown.

    Examples
    --------
    >>> checked_name(" North Quay ", what="a list")
    'North Quay'
    """
    name = " ".join(unicodedata.normalize("NFC", text).split())
    rule = ""
    if not name:
        rule = f"the name of {what} can't be blank"
    elif len(name) > LONGEST_NAME:
        rule = f"the name of {what} has {len(name)} characters, and {LONGEST_NAME} is the most"
    elif not name.isprintable():
        rule = f"the name of {what} has characters that can't be shown"
    elif name.startswith("-"):
        rule = f"the name of {what} can't begin with -, which begins an option"
    if rule:
        raise InputError(value=repr(text)[:80], rule=rule, todo="Choose another name")
    return name
