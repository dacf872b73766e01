"""What the shop's lists offer for a size that was picked at the bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from fitcheck.assess.lip_fluid import GREASE, fluid_meant
from fitcheck.lists.compare import ASK, NEAR
from fitcheck.lists.cross import DEFAULT_TOP, Alternative, Crossing
from fitcheck.lists.grades import GRADES
from fitcheck.lists.items import BEARING, OTHER, PLAIN_EXECUTION, SEAL, Execution, SizeKey
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.lists.named_parts import part_name
from fitcheck.lists.rows import alternative_json
from fitcheck.lists.source import LineSource
from fitcheck.lists.wanted import Want

_FITS = frozenset(GRADES[:NEAR])
# The grades that are the same size with nothing known against it.
SAME_SIZE = frozenset(GRADES[: ASK + 1])

_OIL = "oil"
_AXIAL = "axial"
_OILS = ("-oil", "atf")
_SIZE_FIELDS = {
    SEAL: ("shaft_mm", "bore_mm", "width_mm"),
    BEARING: ("bore_mm", "od_mm", "width_mm"),
}


class Pick(NamedTuple):
    """A size that was picked, how it is to be made as far as that is known, and its pocket."""

    size: SizeKey
    made: Execution = PLAIN_EXECUTION
    pocket_um: int | None = None


def candidate_pick(
    candidate: Mapping[str, Any], *, made: Execution = PLAIN_EXECUTION, pocket_um: int | None = None
) -> Pick:
    """A candidate of an answer as crossing compares it.

    Parameters
    ----------
    candidate : mapping
        A candidate of `fitcheck seal` or `fitcheck bearing`, as data.
    made : Execution
        What is known of the execution wanted.
    pocket_um : int or None
        Depth of the pocket, where it is known [um].
    """
    is_bearing = "designation" in candidate
    kind = BEARING if is_bearing else SEAL
    shaft, bore, width = (
        None if candidate.get(name) is None else round(candidate[name] * UM_PER_MM)
        for name in _SIZE_FIELDS[kind]
    )
    # A bearing that only its dimensions name carries no number.
    number = candidate["designation"] if is_bearing and candidate["cone"] else None
    return Pick(SizeKey(kind, shaft, bore, width, candidate["system"], number), made, pocket_um)


def part_pick(family: str, size: str) -> Pick:
    """A size of a described family as crossing compares it: by the name of the part.

    Parameters
    ----------
    family : str
        The family's name.
    size : str
        The size's label.

    Examples
    --------
    >>> part_pick("oring", "45 x 3").size.designation
    'O-ring 45 x 3'
    """
    return Pick(SizeKey(OTHER, designation=part_name(family, size)))


def execution_wanted(*, case: str = "", oil: str = "") -> Execution:
    """What the bench says of a seal's execution: its case, and oil or grease.

    Parameters
    ----------
    case : str
        The old seal's case, ``metal`` or ``rubber``.
    oil : str
        What the seal keeps in; what is neither oil nor grease for sure says nothing.

    Examples
    --------
    >>> execution_wanted(oil="gear oil").lubricant, execution_wanted(oil="water").lubricant
    ('oil', None)
    """
    kinds = fluid_meant(oil).kinds
    lubricant = None
    if kinds == (GREASE,):
        lubricant = GREASE
    elif kinds and all(kind.endswith(_OILS) for kind in kinds):
        lubricant = _OIL
    return Execution(case=case or None, lubricant=lubricant)


def offers(
    picks: Iterable[Pick], sources: Mapping[str, LineSource], *, top: int = DEFAULT_TOP
) -> dict[Pick, tuple[Alternative, ...]]:
    """What the lists offer for each of some picks; near misses are no offer.

    Parameters
    ----------
    picks : iterable of Pick
        The picks.
    sources : mapping of str to LineSource
        The lists, each by itself, so that a large one can't crowd out another.
    top : int
        Offers to give at most for each pick from each list.

    Returns
    -------
    dict
        For each pick its offers, by grade, then by price; prices in different currencies are not
        compared and stand apart. Empty where the lists have nothing for it.
    """
    wanted = list(dict.fromkeys(picks))
    found: dict[Pick, list[Alternative]] = {pick: [] for pick in wanted}
    wants = [
        Want(number, "", readings=((pick.size, pick.made),), pocket_um=pick.pocket_um)
        for number, pick in enumerate(wanted, start=1)
    ]
    for source in sources.values():
        # The answers come in the order of the wants.
        for pick, crossed in zip(wanted, Crossing(wants, source, top=top), strict=True):
            found[pick] += [a for a in crossed.alternatives if _is_offer(a)]
    return {pick: tuple(sorted(lines, key=offer_order)) for pick, lines in found.items()}


def _is_offer(found: Alternative) -> bool:
    # The bench picks seals that run on a shaft; one that runs on a face takes no such place.
    return found.grade in _FITS and found.execution.lip != _AXIAL


def offer_order(found: Alternative, quantity: int = 1) -> tuple[Any, ...]:
    """Where an offer stands among others: by grade, then by what the wanted pieces cost.

    What says something that nobody has read stands behind the others of its grade.

    Parameters
    ----------
    found : Alternative
        The list line that is offered.
    quantity : int
        How many pieces are wanted; a least order that is larger has to be paid.
    """
    line = found.line
    cost: tuple[int, str, Decimal] = (1, "", Decimal())
    if line.price is not None:
        cost = (0, line.currency or "", Decimal(line.price) * pieces_paid(found, quantity))
    return GRADES.index(found.grade), bool(found.unread), cost, line.list, line.line


def pieces_paid(found: Alternative, quantity: int) -> int:
    """How many pieces are paid for: those wanted, or the least order where it is larger.

    Parameters
    ----------
    found : Alternative
        The list line that is offered.
    quantity : int
        How many pieces are wanted.
    """
    return max(quantity, found.line.minimum or 1)


def offer_json(found: Alternative) -> dict[str, Any]:
    """An offer as a JSON object.

    Parameters
    ----------
    found : Alternative
        The list line that is offered.
    """
    return alternative_json(found)
