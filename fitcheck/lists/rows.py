"""Crossed lines as rows of a sheet and as JSON."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from fitcheck.lists.cross import Alternative, Crossed
from fitcheck.lists.export import safe_cell
from fitcheck.lists.items import EXECUTION_FIELDS, SIZE_FIELDS, size_text

_OF_WANT = ("line", "wanted", "quantity")
_OF_LINE = (
    "part_number",
    "description",
    "price",
    "currency",
    "pack",
    "minimum",
    "lead_days",
    "on_hand",
)
OUT_COLUMNS = (
    *_OF_WANT,
    "verdict",
    "read_as",
    "rank",
    "grade",
    "list",
    "list_line",
    "size",
    *EXECUTION_FIELDS,
    *_OF_LINE,
    "differs",
    "ask",
    "reason",
    "refused_column",
    "refused_value",
)
# So many answers are kept as text for lines that ask for the same.
_KEPT = 10_000
# So many answers are joined before they are written.
_AT_ONCE = 100
_BLANKS = len(OUT_COLUMNS) - len(_OF_WANT) - 7


def _joined(texts: Iterable[str]) -> str:
    return "; ".join(texts)


def _tails(crossed: Crossed) -> list[tuple[Any, ...]]:
    """What stands behind the wanted line's own cells, one tuple an alternative."""
    read_as = _joined(crossed.read_as)
    if not crossed.alternatives:
        blank = ("",) * _BLANKS
        refused = crossed.want.refused
        why = (
            (_joined(crossed.reasons), "", "")
            if refused is None
            else (refused.reason, refused.column, refused.value)
        )
        return [(crossed.verdict, read_as, "", crossed.grade, *blank, *why)]
    return [
        (
            crossed.verdict,
            read_as,
            rank,
            found.grade,
            found.line.list,
            found.line.line,
            size_text(found.size),
            *found.execution,
            *(getattr(found.line, name) for name in _OF_LINE),
            _joined(found.differs),
            _joined(found.questions),
            "",
            "",
            "",
        )
        for rank, found in enumerate(crossed.alternatives, start=1)
    ]


def _cell(value: Any) -> Any:
    if isinstance(value, str):
        return safe_cell(value)
    return "" if value is None else value


def rows(answers: Iterable[Crossed]) -> Iterator[tuple[Any, ...]]:
    """Rows of ``OUT_COLUMNS``, no cell of which a spreadsheet would run as a formula.

    Parameters
    ----------
    answers : iterable of Crossed
        The answers; each gives one row an alternative, or one that says why there is none.
    """
    for crossed in answers:
        want = crossed.want
        head = (want.line, safe_cell(want.text), want.quantity or "")
        for tail in _tails(crossed):
            yield (*head, *(_cell(value) for value in tail))


class CsvText:
    """Crossed lines as CSV text; lines that ask for the same are written out once."""

    def __init__(self) -> None:
        self._buffer = io.StringIO()
        self._writer = csv.writer(self._buffer)
        # Answers that share their alternatives share all that stands behind the wanted line's own
        # cells. The alternatives are kept beside, so that no other ones can take their address.
        self._known: dict[int, tuple[tuple[Alternative, ...], list[str]]] = {}
        # Wanted texts as cells: between delimiters, quoted where need be.
        self._texts: dict[str, str] = {}

    def _line(self, cells: Iterable[Any]) -> str:
        self._buffer.seek(0)
        self._buffer.truncate()
        self._writer.writerow(cells)
        return self._buffer.getvalue()

    def heading(self) -> str:
        """The first line."""
        return self._line(OUT_COLUMNS)

    def pieces(self, answers: Iterable[Crossed]) -> Iterator[str]:
        """The whole text in a few large pieces.

        Parameters
        ----------
        answers : iterable of Crossed
            The answers.
        """
        yield self.heading()
        texts = map(self.of, answers)
        while piece := "".join(islice(texts, _AT_ONCE)):
            yield piece

    def of(self, crossed: Crossed) -> str:
        """The lines of one answer.

        Parameters
        ----------
        crossed : Crossed
            The answer.
        """
        found = self._known.get(id(crossed.alternatives)) if crossed.alternatives else None
        if found is None:
            tails = [self._line([_cell(value) for value in tail]) for tail in _tails(crossed)]
            found = (crossed.alternatives, tails)
            if crossed.alternatives:
                if len(self._known) >= _KEPT:
                    self._known.clear()
                self._known[id(crossed.alternatives)] = found
        want = crossed.want
        text = self._texts.get(want.text)
        if text is None:
            if len(self._texts) >= _KEPT:
                self._texts.clear()
            # A blank on either side keeps a lone empty cell from being quoted.
            text = self._line(("", safe_cell(want.text), "")).rstrip("\r\n")
            self._texts[want.text] = text
        head = f"{want.line}{text}{want.quantity or ''},"
        return head + head.join(found[1])


def alternative_json(found: Alternative) -> dict[str, Any]:
    """An alternative as a JSON object.

    Parameters
    ----------
    found : Alternative
        The list line that was found.
    """
    size = {
        f"{name.removesuffix('_um')}_mm" if name.endswith("_um") else name: (
            value / 1000 if isinstance(value, int) else value
        )
        for name, value in zip(SIZE_FIELDS, found.size, strict=True)
    }
    return {
        "grade": found.grade,
        "verdict": found.verdict,
        "list": found.line.list,
        "line": found.line.line,
        "size": size_text(found.size),
        **size,
        **found.execution._asdict(),
        **{name: getattr(found.line, name) for name in _OF_LINE},
        "differs": list(found.differs),
        "questions": list(found.questions),
    }


def crossed_json(crossed: Crossed) -> dict[str, Any]:
    """The answer to one wanted line as a JSON object.

    Parameters
    ----------
    crossed : Crossed
        The answer.
    """
    refused = crossed.want.refused
    return {
        "line": crossed.want.line,
        "wanted": crossed.want.text,
        "quantity": crossed.want.quantity,
        "refused": None if refused is None else refused._asdict(),
        "verdict": crossed.verdict,
        "grade": crossed.grade,
        "read_as": list(crossed.read_as),
        "reasons": list(crossed.reasons),
        "alternatives": [alternative_json(found) for found in crossed.alternatives],
    }


class Tally:
    """How many wanted lines were answered, by verdict and by grade."""

    def __init__(self) -> None:
        self.wanted = 0
        self.verdicts: Counter[str] = Counter()
        self.grades: Counter[str] = Counter()

    def counted(self, answers: Iterable[Crossed]) -> Iterator[Crossed]:
        """Hand the answers on and count them."""
        for crossed in answers:
            self.wanted += 1
            self.verdicts[crossed.verdict] += 1
            self.grades[crossed.grade] += 1
            yield crossed

    def as_json(self) -> dict[str, Any]:
        """The counts."""
        return {
            "wanted": self.wanted,
            "verdicts": dict(sorted(self.verdicts.items())),
            "grades": dict(sorted(self.grades.items())),
        }
