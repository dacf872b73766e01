"""Half-legible markings: how they are drawn, and the exact probability of what is read.

A part carries its designation, an inch pair its cone's, its cup's or both. Some characters can't
be made out; of the rest a few are taken for one that looks alike or for any other; the first or
the last may be gone. Own estimate, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from fitcheck.parts.family import Family, Size

Floats = npt.NDArray[np.float64]
ALIKE_GROUPS = ("0ODQ", "1I7L", "5S", "68B", "2Z", "3B8", "4A", "CG", "UV", "MN")
ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
TAKEN_ALIKE, TAKEN_OTHER, END_GONE = 0.03, 0.005, 0.05


def designations(size: Size) -> list[str]:
    """What a part of a size may carry, capitals and digits only."""
    cone, cup = (
        "".join(c for c in size.details[ring].upper() if c.isalnum()) for ring in ("cone", "cup")
    )
    return [cone] if cone == cup else [cone, cup, cone + cup]


class Marking:
    """The marks of a family's sizes: draws them, and weighs every size against one."""

    def __init__(self, family: Family) -> None:
        self.forms = [designations(size) for size in family.sizes]
        pairs = [(len(f), n, f, 1.0 / len(all_)) for n, all_ in enumerate(self.forms) for f in all_]
        self.codes: dict[int, tuple[npt.NDArray[np.int64], Any, Floats]] = {}
        for length in {pair[0] for pair in pairs}:
            chosen = [pair for pair in pairs if pair[0] == length]
            self.codes[length] = (
                np.array([pair[1] for pair in chosen]),
                np.array([[ALPHABET.index(c) for c in pair[2]] for pair in chosen]),
                np.array([pair[3] for pair in chosen]),
            )
        self.table = _confusions()

    def draw(self, truth: int, unreadable: int, rng: np.random.Generator) -> str:
        """A mark as read off a part, with so many characters that can't be made out."""
        forms = self.forms[truth]
        true = forms[int(rng.integers(len(forms)))]
        if len(true) > unreadable + 2 and rng.random() < END_GONE:
            true = true[1:]
        if len(true) > unreadable + 2 and rng.random() < END_GONE:
            true = true[:-1]
        lost = set(rng.choice(len(true), size=min(unreadable, len(true) - 1), replace=False))
        seen = [
            "?" if i in lost else ALPHABET[int(rng.choice(36, p=self.table[ALPHABET.index(c)]))]
            for i, c in enumerate(true)
        ]
        return "".join(seen)

    def __call__(self, read: str) -> tuple[Floats, float]:
        """The probability of a mark for every size, and for a part of no listed size."""
        total = np.zeros(len(self.forms))
        size = len(read)
        unreadable = read.count("?")
        for gone_first in (0, 1):
            for gone_last in (0, 1):
                found = self.codes.get(size + gone_first + gone_last)
                if found is None:
                    continue
                owners, codes, shares = found
                weight = _gone(size + gone_first + gone_last, unreadable, gone_first, gone_last)
                chance = shares * weight
                for position, seen in enumerate(read):
                    if seen != "?":
                        column = codes[:, gone_first + position]
                        chance = chance * self.table[column, ALPHABET.index(seen)]
                np.add.at(total, owners, chance)
        return total, 0.15 * float(24.0 ** -(size - unreadable))


def _gone(length: int, unreadable: int, first: int, last: int) -> float:
    """The chance that these ends are gone, of a designation so long."""
    may_first = END_GONE if length > unreadable + 2 else 0.0
    may_last = END_GONE if length - first > unreadable + 2 else 0.0
    return (may_first if first else 1.0 - may_first) * (may_last if last else 1.0 - may_last)


def _confusions() -> Floats:
    """What each true character is read as: row true, column read."""
    alike: Mapping[str, set[str]] = {
        c: {o for group in ALIKE_GROUPS if c in group for o in group} - {c} for c in ALPHABET
    }
    table = np.full((36, 36), TAKEN_OTHER / 35)
    for row, true in enumerate(ALPHABET):
        for other in alike[true]:
            table[row, ALPHABET.index(other)] += TAKEN_ALIKE / len(alike[true])
        table[row, row] = 0.0
        table[row, row] = 1.0 - table[row].sum()
    return table
