"""The few ways a request can fail.

Every message says three things: the value that was given, the rule it broke, and what to do next.
"""

from __future__ import annotations


def printable(text: str) -> str:
    """A text as a terminal may have it: on one line, what can't be seen shown by its code.

    >>> printable("hub\\x1b[31m\\ntwo")
    'hub\\\\x1b[31m two'
    """
    if text.isprintable():
        return text
    return "".join(" " if c.isspace() else c if c.isprintable() else ascii(c)[1:-1] for c in text)


class FitcheckError(Exception):
    """Base of every failure the program reports.

    Parameters
    ----------
    value : str
        What was given, as the user wrote it.
    rule : str
        The rule it broke, in plain words.
    todo : str
        What to do next.
    """

    exit_status = 1

    def __init__(self, *, value: str, rule: str, todo: str) -> None:
        self.value = value
        self.rule = rule
        self.todo = todo
        super().__init__(printable(f"{value}: {rule}. {todo}"))

    def at(self, place: str) -> FitcheckError:
        """The same error, naming the place, option or line where the value stood."""
        self.value = f"{place} {self.value}"
        self.args = (printable(f"{self.value}: {self.rule}. {self.todo}"),)
        return self


class InputError(FitcheckError):
    """The text or the combination of values can't be understood: wrong usage."""

    exit_status = 2


class AmbiguousError(InputError):
    """The text can be read in two ways; both are named and neither is taken.

    Parameters
    ----------
    value : str
        What was given.
    readings : tuple of str
        The ways it can be read: where possible as text that would be accepted, else in words.
    """

    def __init__(self, *, value: str, readings: tuple[str, ...]) -> None:
        self.readings = readings
        super().__init__(
            value=value,
            rule="this can be read as " + " or as ".join(readings),
            todo="Write the one you mean",
        )


class OffTableError(FitcheckError):
    """The value lies outside what a table or a standard covers."""


class NotKnownError(FitcheckError):
    """The request is well formed, but nothing here answers it."""


class DataError(FitcheckError):
    """A table, a descriptor or a stored file is damaged."""
