"""What the cells of a column look like: a header only suggests, the content decides."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from fitcheck.lists.attributes import ATTRIBUTES, read_attribute
from fitcheck.lists.dimensions import read_dimension
from fitcheck.lists.numbers import (
    MARKS,
    POINT,
    read_count,
    read_currency,
    read_lead,
    read_number,
)
from fitcheck.lists.prices import read_price
from fitcheck.lists.scan import plain_text, size_spot
from fitcheck.lists.sizes import seal_shape, understand_size
from fitcheck.lists.words import is_blank, unit_of

SAMPLE = 400
_FIGURES = re.compile("[0-9]+")


def filled(texts: Sequence[str]) -> list[str]:
    """The cells of a column that hold something, as many as are looked at."""
    return [text for text in texts if text.strip() and not is_blank(text)][:SAMPLE]


def share(texts: Sequence[str], holds: Callable[[str], object]) -> float:
    """The share of cells for which something holds; nothing where there are no cells."""
    return sum(bool(holds(text)) for text in texts) / len(texts) if texts else 0.0


def is_size(text: str) -> bool:
    """Whether a cell is a size and nothing else."""
    spot = size_spot(plain_text(text))
    return spot is not None and spot.alone and not spot.doubt and _possible(text)


def starts_with_size(text: str) -> bool:
    """Whether a cell is a size with at most some words behind it: 35x52x7 FKM."""
    spot = size_spot(plain_text(text))
    return spot is not None and spot.start == 0 and not spot.doubt and _possible(text)


def has_size(text: str) -> bool:
    """Whether a text holds a size that a seal can have."""
    return size_spot(plain_text(text)) is not None and _possible(text)


def _possible(text: str) -> bool:
    spot = size_spot(plain_text(text))
    if spot is None:
        return False
    kinds = ("seal", "bearing")
    return any(
        not understand_size(spot.written, unit="mm", known=False, kind=kind).refused
        for kind in kinds
    )


def _is_number(text: str) -> bool:
    found = read_number(text, POINT)
    return found.text is not None


def _is_code(text: str) -> bool:
    body = text.lstrip("".join(MARKS)).strip()
    return 0 < len(body) <= 40 and any(c.isdigit() for c in body) and body.count(" ") < 3


def _has_leading_zero(text: str) -> bool:
    body = text.strip()
    return len(body) > 2 and body.isalnum() and body[0] == "0"


def _is_designation(text: str) -> bool:
    """Whether a cell can be a bearing's designation: 30206, UC205, LM11949; 12 and >10 are none."""
    figures = max((len(run) for run in _FIGURES.findall(text)), default=0)
    return _is_code(text) and figures >= (3 if any(c.isalpha() for c in text) else 4)


def _is_text(text: str) -> bool:
    return sum(c.isalpha() for c in text) >= 3


_LEAST = 0.6
_AGREES: dict[str, tuple[Callable[[str], object], float]] = {
    "part_number": (lambda text: not is_size(text), 0.5),
    "description": (lambda text: any(c.isalpha() for c in text) or has_size(text), 0.3),
    "size": (starts_with_size, 0.5),
    "shaft": (read_dimension, _LEAST),
    "bore": (read_dimension, _LEAST),
    "width": (read_dimension, _LEAST),
    "unit": (unit_of, _LEAST),
    "designation": (_is_designation, 0.3),
    "cone": (_is_designation, 0.3),
    "cup": (_is_designation, 0.3),
    "price": (lambda text: read_price(text, POINT).text, _LEAST),
    "price_per": (lambda text: read_count(text, "").text, _LEAST),
    "currency": (read_currency, _LEAST),
    "pack": (lambda text: read_count(text, "").text, _LEAST),
    "minimum": (lambda text: read_count(text, "").text, _LEAST),
    "lead_days": (lambda text: read_lead(text).text, 0.5),
    "on_hand": (lambda text: read_count(text, POINT).text or "+" in text or ">" in text, 0.5),
}


def agrees(role: str, texts: Sequence[str]) -> bool:
    """Whether a column's cells can be what its header says; an empty column can be anything."""
    if not texts:
        return True
    if role in ATTRIBUTES or role == "kind":
        return share(texts, lambda text: read_attribute(role, text)) >= 0.3
    holds, least = _AGREES[role]
    return share(texts, holds) >= least


# What is read line by line wherever a header names it: a cell that can't be read is remarked.
VALUES = ("price", "price_per", "currency", "pack", "minimum", "lead_days", "on_hand", "unit")


def is_another(role: str, texts: Sequence[str], *, numbered: bool) -> bool:
    """Whether a column whose cells are not what its header says is clearly something else.

    Parameters
    ----------
    role : str
        What the header says.
    texts : sequence of str
        The cells that hold something.
    numbered : bool
        Whether another column has the part numbers.
    """
    if role == "part_number" or (role != "description" and share(texts, has_size) >= 0.3):
        return True
    if numbered or role == "description":
        return False
    return share(texts, _is_mixed) >= 0.8 and is_part_number(texts)


def _is_mixed(text: str) -> bool:
    """Whether a text is letters and figures run together, as a part number is."""
    return _is_code(text) and text[:1].isalnum() and any(c.isalpha() for c in text)


def are_numbers(texts: Sequence[str]) -> bool:
    """Whether nearly all cells are numbers."""
    return share(texts, _is_number) >= 0.8


def is_description(texts: Sequence[str]) -> bool:
    """Whether a column holds words with sizes in them, or sentences."""
    return share(texts, _is_text) >= 0.5 and (
        share(texts, has_size) >= 0.3 or share(texts, lambda text: " " in text.strip()) >= 0.5
    )


def is_part_number(texts: Sequence[str]) -> bool:
    """Whether a column holds codes, nearly every one a different one, or with leading zeros."""
    if share(texts, _is_code) < 0.8:
        return False
    # Only a number that is a text begins with zeros: then a part may stand in several lines.
    least = 0.5 if share(texts, _has_leading_zero) >= 0.8 else 0.9
    return len(set(texts)) >= least * len(texts)


def are_codes(texts: Sequence[str]) -> bool:
    """Whether most cells can be part numbers: with figures, and of few words."""
    return share(texts, _is_code) >= 0.5


def is_price(texts: Sequence[str]) -> bool:
    """Whether a column holds amounts of money: two places after the sign, or a currency."""

    def money(text: str) -> bool:
        if not _is_number(text):
            return False
        digits = text.strip().rstrip("€$£ ")
        return digits[-3:-2] in (".", ",") or read_number(text, POINT).currency is not None

    return share(texts, money) >= 0.7


def are_dimensions(columns: Sequence[Sequence[str]]) -> bool:
    """Whether three columns are the shaft, bore and width of seals, line by line."""
    rows = [cells for cells in zip(*columns, strict=True) if all(cell.strip() for cell in cells)]
    rows = rows[:SAMPLE]

    def seal(cells: tuple[str, ...]) -> bool:
        values = [read_dimension(cell, "comma" if "," in cell else POINT) for cell in cells]
        if any(value is None for value in values):
            return False
        return any(
            seal_shape(a, b, c)
            for scale in (1000, 25400)
            for a, b, c in [tuple(int(value.value * scale) for value in values if value)]
        )

    return bool(rows) and sum(seal(cells) for cells in rows) >= 0.8 * len(rows)
