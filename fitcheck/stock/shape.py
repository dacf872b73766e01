"""How kits, slots, uses and asks hang together: worked out once for all the rounds of a search."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.records import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

# Items and quantities are numbered by a table where it is no longer than this.
_LONGEST_TABLE = 50_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """What hangs together in a problem, whatever its levels and its demand.

    Most kits of a large shop have one slot and most slots one use; only the others are multiplied.

    Attributes
    ----------
    kit_of_slot, slot_of_use : array of int
        The kit of each slot, and the slot of each use.
    ask_item, ask_quantity : array of int
        The asks: uses of the same item and quantity are one ask.
    ask_of_use : array of int
        The ask of each use.
    wide_kit, wide_slot, wide_start, wide_of_slot : array of int
        Kits of several slots; their slots one after another; where those of each kit begin; and
        which of these kits each of these slots belongs to.
    open_slot, open_use, open_start, open_of_use : array of int
        The same of slots with several uses.
    """

    kit_of_slot: Ints
    slot_of_use: Ints
    ask_item: Ints
    ask_quantity: Ints
    ask_of_use: Ints
    wide_kit: Ints
    wide_slot: Ints
    wide_start: Ints
    wide_of_slot: Ints
    open_slot: Ints
    open_use: Ints
    open_start: Ints
    open_of_use: Ints


def shape_of(*, kit_start: Ints, slot_start: Ints, use_item: Ints, use_quantity: Ints) -> Shape:
    """Work out what hangs together.

    Parameters
    ----------
    kit_start, slot_start : array of int
        Where the slots of each kit, and the uses of each slot, begin; and the end.
    use_item, use_quantity : array of int
        The item of each use, and the pieces it takes.
    """
    import numpy as np

    slots, uses = np.diff(kit_start), np.diff(slot_start)
    ask_item, ask_quantity, ask_of_use = _asks(use_item, use_quantity)
    return Shape(
        np.repeat(np.arange(len(slots)), slots),
        np.repeat(np.arange(len(uses)), uses),
        ask_item,
        ask_quantity,
        ask_of_use,
        *_several(kit_start),
        *_several(slot_start),
    )


def _several(start: Ints) -> tuple[Ints, Ints, Ints, Ints]:
    """Those that have several, all that these have, where each begins, and whose each is."""
    import numpy as np

    count = np.diff(start)
    which = np.flatnonzero(count > 1)
    many = count[which]
    begin = np.cumsum(many) - many
    owner = np.repeat(np.arange(len(which)), many)
    members = np.arange(len(owner)) + np.repeat(start[:-1][which] - begin, many)
    return which, members, begin, owner


def _asks(item: Ints, quantity: Ints) -> tuple[Ints, Ints, Ints]:
    import numpy as np

    width = int(quantity.max(initial=0)) + 1
    code = item * width + quantity
    longest = int(code.max(initial=0)) + 1
    if longest > _LONGEST_TABLE:
        codes, ask_of_use = np.unique(code, return_inverse=True)
    else:
        there = np.zeros(longest, dtype=np.bool_)
        there[code] = True
        codes = np.flatnonzero(there)
        number = np.cumsum(there) - 1
        ask_of_use = number[code]
    return codes // width, codes % width, ask_of_use


def products(values: Floats, start: Ints, wide: Ints, members: Ints, begin: Ints) -> Floats:
    """The product of the values of each group, where most groups have a single one.

    Parameters
    ----------
    values : array of float
        A value of each member.
    start : array of int
        Where each group begins, and the end.
    wide, members, begin : array of int
        The groups of several, their members, and where those of each begin.
    """
    import numpy as np

    result: Floats = values[start[:-1]]
    if len(wide):
        result[wide] = np.multiply.reduceat(values[members], begin)
    return result
