"""What is always kept, and at which branches: where some machine takes it or some job took it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.stock.records import Part

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Flags = NDArray[np.bool_]

# No more sizes than this are named in one note.
_NAMED = 5


def always_at(
    parts: Sequence[Part], branches: Sequence[str], *, taken: Ints
) -> tuple[Flags, tuple[str, ...]]:
    """At which branches a part that is marked critical is always kept, and what to say of it.

    Parameters
    ----------
    parts : sequence of Part
        The sizes.
    branches : sequence of str
        The branches.
    taken : array of int
        The items that history or fleet names: part number x branches + branch number.

    Returns
    -------
    always : array of bool, (N,)
        Whether one is kept whatever the arithmetic says.
    notes : tuple of str
        At which branches a critical part is left to the arithmetic.

    Notes
    -----
    Where nothing is known of a part at any branch, or nothing of a branch at all, it is kept there.
    """
    import numpy as np

    critical = np.array([part.critical for part in parts], dtype=np.bool_)
    flat = np.zeros(len(parts) * len(branches), dtype=np.bool_)
    flat[taken] = True
    here: Flags = flat.reshape(len(parts), len(branches))
    of_part: Flags = np.bitwise_or.reduce(here, axis=1)
    of_branch: Flags = np.bitwise_or.reduce(here, axis=0)
    unknown = ~of_part[:, None] | ~of_branch[None, :]
    always = critical[:, None] & (here | unknown)
    notes = []
    for at, branch in enumerate(branches):
        left = [parts[n].key for n in np.flatnonzero(critical & ~always[:, at]).tolist()]
        if left:
            more = f" and {len(left) - _NAMED} more" if len(left) > _NAMED else ""
            notes.append(
                f"{branch}: {', '.join(left[:_NAMED])}{more} marked critical, and neither the "
                "fleet nor the history here takes it: not forced onto this shelf"
            )
    found: Flags = always.ravel()
    return found, tuple(notes)
