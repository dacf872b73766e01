"""What the shop's lists offer for a size that was picked at the bench."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.lists.compare import NEAR
from fitcheck.lists.cross import DEFAULT_TOP, Alternative, Crossing
from fitcheck.lists.grades import GRADES
from fitcheck.lists.items import BEARING, SEAL, Execution, SizeKey
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.lists.source import LineSource
from fitcheck.lists.wanted import Want
from fitcheck.parts.family import Size

_FITS = frozenset(GRADES[:NEAR])


def picked_key(size: Size) -> SizeKey:
    """A listed size of a family as crossing compares it.

    Parameters
    ----------
    size : Size
        A seal or a bearing; the first three dimensions are shaft or bore, bore or outside
        diameter, and width.
    """
    shaft, bore, width = (
        None if nominal is None else round(nominal[0] * UM_PER_MM) for nominal in size.nominals[:3]
    )
    designation = size.details.get("designation")
    kind = BEARING if designation else SEAL
    return SizeKey(kind, shaft, bore, width, size.system, designation)


def offers(
    sizes: Sequence[SizeKey],
    source: LineSource,
    *,
    made: Execution | None = None,
    pocket_um: int | None = None,
    sort: str = "price",
    top: int = DEFAULT_TOP,
) -> dict[SizeKey, tuple[Alternative, ...]]:
    """What the lists offer for each of some sizes; near misses are no offer.

    Parameters
    ----------
    sizes : sequence of SizeKey
        The picks.
    source : LineSource
        The lists.
    made : Execution, optional
        What is known of the execution wanted.
    pocket_um : int or None
        Depth of the pocket, where it is known [um].
    sort : str
        Order inside a grade: ``price``, ``lead`` or ``stock``.
    top : int
        Offers to give at most for each size.

    Returns
    -------
    dict
        For each size its offers, best first; none where the lists have nothing for it.
    """
    execution = made or Execution()
    wants = [
        Want(number, "", readings=((size, execution),), pocket_um=pocket_um)
        for number, size in enumerate(dict.fromkeys(sizes), start=1)
    ]
    found = {}
    for crossed in Crossing(wants, source, sort=sort, top=top):
        size = crossed.want.readings[0][0]
        found[size] = tuple(a for a in crossed.alternatives if a.grade in _FITS)
    return found


def offer_keys(sizes: Iterable[Size]) -> tuple[SizeKey, ...]:
    """The keys of several picks.

    Parameters
    ----------
    sizes : iterable of Size
        The picks.
    """
    return tuple(picked_key(size) for size in sizes)
