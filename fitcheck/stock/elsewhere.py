"""Pieces that one branch needs and another has no use for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.stock.records import Model

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]


class Elsewhere:
    """The dead stock of all branches, each piece of it offered to another branch once."""

    def __init__(self, model: Model, dead: Ints) -> None:
        """Begin with all of it.

        Parameters
        ----------
        model : Model
            Branches and today's shelf.
        dead : array of int, (N,)
            Pieces that each branch has no use for.
        """
        self._model = model
        self._left = dead.copy()

    def words(self, item: int, level: int) -> str:
        """What a shelf that is under its level may take from other branches; empty for nothing.

        Parameters
        ----------
        item : int
            The size at its branch.
        level : int
            The most there is of it there.
        """
        places = len(self._model.branches)
        short = level - int(self._model.on_hand[item])
        words = ""
        first = item - item % places
        for other in range(first, first + places):
            pieces = min(short, int(self._left[other]))
            if other == item or pieces <= 0:
                continue
            short -= pieces
            self._left[other] -= pieces
            name = self._model.branches[other % places]
            words += f"; take {pieces} from {name}, where {'it is' if pieces == 1 else 'they are'} "
            words += "dead stock"
        return words
