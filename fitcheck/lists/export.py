"""Writing files that a spreadsheet opens and never executes, and reading them back."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from typing import TextIO

from fitcheck.lists.lines import Remark

# A spreadsheet runs a cell that starts so, blanks before it or not; an apostrophe in front makes
# it text. A text that has apostrophes before such a start gets one more, so that it can be undone.
_STARTS = re.compile(r"'*\s*[=+\-@\t\r\n＝＋－＠]")
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)")

REMARK_COLUMNS = ("file", "line", "column", "value", "outcome", "reason")


def safe_cell(text: str) -> str:
    """A text as a cell that no spreadsheet takes for a formula; a plain number stays as it is.

    >>> safe_cell("=1+1"), safe_cell("-0.025"), safe_cell("35 x 52 x 7")
    ("'=1+1", '-0.025', '35 x 52 x 7')
    """
    if text and _STARTS.match(text) and not _NUMBER.fullmatch(text):
        return "'" + text
    return text


def unsafe_cell(text: str) -> str:
    """The text that :func:`safe_cell` was given.

    >>> unsafe_cell(safe_cell("=1+1"))
    '=1+1'
    """
    if text.startswith("'") and _STARTS.match(text, 1) and not _NUMBER.fullmatch(text, 1):
        return text[1:]
    return text


class RemarkWriter:
    """Writes the report that lies beside a list, as it is read."""

    def __init__(self, handle: TextIO, file: str) -> None:
        # Only with both characters in the line end does the writer quote a text that holds either.
        self._writer = csv.writer(handle, lineterminator="\r\n")
        self._file = safe_cell(file)
        self._writer.writerow(REMARK_COLUMNS)

    def write(self, remarks: Iterable[Remark]) -> None:
        """Add some remarks."""
        for remark in remarks:
            texts = (remark.column, remark.value, remark.outcome, remark.reason)
            self._writer.writerow((self._file, remark.line, *map(safe_cell, texts)))
