"""What differs between two executions of one size, field by field.

A lip, a lubricant or a direction that is not said on one side is a question, never a match: these
three are read from fields of their own, and no likeness of text crosses them.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from fitcheck.lists.compare import ASK, CONDITION, DIFFERS, EQUAL, NEAR
from fitcheck.lists.items import Execution

# What must be known on both sides before a seal is called the same.
_MUST_KNOW = ("lip", "lubricant", "direction")
_OPPOSITE = {"left", "right"}
_AXIAL = "axial"

_CASE_CONDITION = {
    "metal": "only in a sound, smooth bore of iron or steel: metal holds by its press alone",
    "rubber": "only where the bore has a clean lead-in: rubber shaves on an edge and holds less",
}


class Contrast(NamedTuple):
    """The level of the worst difference, what differs, and what has to be asked."""

    level: int
    differs: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()


@lru_cache(maxsize=65536)
def contrast(want: Execution, have: Execution) -> Contrast:
    """Compare two executions of a seal.

    Parameters
    ----------
    want, have : Execution
        What is wanted and what a list line says.

    Returns
    -------
    Contrast
        ``EQUAL`` only where lip, lubricant and direction are known on both sides and nothing
        known differs; a case, material or spring that was not asked for does not count.

    Examples
    --------
    >>> contrast(Execution(lip="double"), Execution(lip="single")).differs
    ('lip single for double',)
    """
    levels = [EQUAL]
    differs: list[str] = []
    questions: list[str] = []
    unsaid: list[str] = []
    for name, wanted, found in zip(Execution._fields, want, have, strict=True):
        if wanted == found and wanted is not None:
            continue
        if name in _MUST_KNOW and (wanted is None or found is None):
            levels.append(ASK)
            if wanted is None and found is None:
                unsaid.append(name)
            else:
                questions.append(_question(name, wanted, found))
        elif wanted is None:
            continue
        elif found is None:
            levels.append(ASK)
            questions.append(_question(name, wanted, found))
        else:
            level, words = _difference(name, wanted, found)
            levels.append(level)
            differs.append(words)
    if unsaid:
        questions.append(f"{', '.join(unsaid)}: neither side says")
    return Contrast(max(levels), tuple(differs), tuple(questions))


def _difference(name: str, wanted: str, found: str) -> tuple[int, str]:
    words = f"{name} {found} for {wanted}"
    if name == "lip" and _AXIAL in (wanted, found):
        return NEAR, f"{words}: an axial lip runs on a face, the other on the shaft"
    if name == "direction" and {wanted, found} == _OPPOSITE:
        return NEAR, f"{words}: it would pump the oil out"
    if name == "case":
        condition = _CASE_CONDITION.get(found)
        return CONDITION, f"{words}: {condition}" if condition else words
    return DIFFERS, words


def _question(name: str, wanted: str | None, found: str | None) -> str:
    if wanted is None:
        return f"{name}: the list says {found}, what is wanted was not said"
    return f"{name}: {wanted} is wanted, the list does not say"
