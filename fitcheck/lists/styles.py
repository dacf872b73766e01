"""Unit and decimal signs of a list, decided for its columns as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.errors import AmbiguousError
from fitcheck.lists.columns import NUMERIC_ROLES, PLACES
from fitcheck.lists.dimensions import read_dimension
from fitcheck.lists.find_columns import Shape
from fitcheck.lists.numbers import COMMA, MARKS, POINT, style_shown
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.sizes import INCH, Written, understand_size

# A unit or a sign is the list's when nearly all that shows one shows this one.
_NEARLY_ALL = 0.9


class Evidence:
    """What the cells of the number columns show about their decimal signs."""

    def __init__(self, roles: Sequence[str]) -> None:
        self.counts = {role: {POINT: 0, COMMA: 0, "?": 0} for role in roles}
        self.filled = dict.fromkeys(roles, 0)
        self.doubtful: dict[str, str] = {}

    def add(self, role: str, texts: Iterable[str]) -> None:
        """Look at more cells of a column."""
        counts = self.counts[role]
        for text in texts:
            self.filled[role] += text != ""
            if text[:1] not in MARKS and ("." in text or "," in text):
                shown = style_shown(text.rstrip("\"'mMiInN "))
                if shown:
                    counts[shown] += 1
                    if shown == "?":
                        self.doubtful.setdefault(role, text.strip())

    def undecided(self) -> list[str]:
        """The columns that have not shown any sign of their own."""
        return [r for r, c in self.counts.items() if not c[POINT] and not c[COMMA]]

    def decide(
        self, *, remembered: dict[str, str], forced: str, given: str = ""
    ) -> tuple[dict[str, str], dict[str, str]]:
        """The style of each column, and what speaks for those that are not sure.

        A column that shows both signs about equally has none; its numbers are read one by one.

        Parameters
        ----------
        remembered : dict of str to str
            The styles of the list before.
        forced, given : str
            What the user says now, and said of a list before.

        Raises
        ------
        AmbiguousError
            A column has numbers that can be read two ways, and nothing in the file tells.
        """
        whole = _sum(self.counts.values())
        lengths = _sum(self.counts[role] for role in PLACES if role in self.counts)
        found: dict[str, str] = {}
        guessed: dict[str, str] = {}
        for role, counts in self.counts.items():
            own, mixed = _of(counts), bool(counts[POINT] and counts[COMMA])
            kin = _of(lengths) if role in PLACES else ""
            style, guess = forced or own or ("" if mixed else kin or given), ""
            if not forced and own and mixed:
                guess = "as most of its column writes"
            elif not style and not mixed:
                style, guess = _of(whole), "as the other columns write"
                if not style:
                    style, guess = remembered.get(role, ""), "as in the list before"
            if style:
                found[role] = style
                if guess:
                    guessed[role] = guess
            elif not mixed and 2 * counts["?"] > self.filled[role]:
                text = self.doubtful[role]
                point = text.replace(",", ".")
                grouped = text.replace(",", "").replace(".", "")
                raise AmbiguousError(
                    value=f"{text} in the column of {role}",
                    readings=(
                        f"{point} (--decimal {_sign(text)})",
                        f"{grouped} (--decimal {POINT if _sign(text) == COMMA else COMMA})",
                    ),
                )
        return found, guessed


def _sum(counts: Iterable[dict[str, int]]) -> dict[str, int]:
    every = list(counts)
    return {style: sum(count[style] for count in every) for style in (POINT, COMMA)}


def _sign(text: str) -> str:
    return COMMA if "," in text else POINT


def _of(counts: dict[str, int]) -> str:
    """The one style that nearly all cells show; empty where none does."""
    point, comma = counts[POINT], counts[COMMA]
    if point >= _NEARLY_ALL * (point + comma) and point:
        return POINT
    if comma >= _NEARLY_ALL * (point + comma) and comma:
        return COMMA
    return ""


def numeric_columns(shape: Shape) -> dict[str, int]:
    """The columns whose numbers have a decimal sign."""
    return {role: shape.roles[role][0] for role in NUMERIC_ROLES if role in shape.roles}


def unit_shown(shape: Shape, rows: Sequence[list[str]], decimals: dict[str, str]) -> str:
    """The unit that nearly all sizes without one can only have: ``mm``, ``in`` or empty."""
    inch = metric = 0
    for row in rows:
        for written in _sizes_in(shape, row, decimals):
            if any(written.units) or any("/" in number for number in written.numbers):
                continue
            found = understand_size(written, unit="mm", known=False, kind="seal")
            if not found.refused:
                inch += found.system == INCH
                metric += found.system != INCH
    if inch + metric == 0:
        return ""
    if inch >= _NEARLY_ALL * (inch + metric):
        return "in"
    return "mm" if metric >= _NEARLY_ALL * (inch + metric) else ""


def _sizes_in(shape: Shape, row: list[str], decimals: dict[str, str]) -> list[Written]:
    found = []
    for role in ("size", "description"):
        for number in shape.roles.get(role, ()):
            spot = size_spot(plain_text(row[number])) if number < len(row) else None
            if spot is not None:
                found.append(spot.written)
    places = [r for r in PLACES if r in shape.roles]
    if len(places) >= 2:
        cells = [
            read_dimension(row[number], decimals.get(place, ""))
            for place in places
            if (number := shape.roles[place][0]) < len(row)
        ]
        whole = [cell for cell in cells if cell is not None]
        if len(whole) == len(places):
            found.append(Written(tuple(c.number for c in whole), tuple(c.unit for c in whole)))
    return found
