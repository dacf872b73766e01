"""A model out of parts, rates and kits that are named one by one.

The estimate from history makes its arrays at once; this is the plain way to say what is wanted,
for a small shop's own figures and for checking.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.stock.records import DAYS_PER_YEAR, MONTHS, Model, Part

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# A rate that is simply stated is held as sure: this many asks' worth of evidence.
SURE = 1e6


@dataclass(frozen=True, slots=True)
class Kit:
    """What one job needs: pieces by the keys of their parts, and how often that job comes.

    ``rate`` is in jobs a year. ``shape`` says how sure the rate is, in jobs seen.
    """

    branch: str
    needs: Mapping[str, int]
    rate: float
    shape: float = SURE


@dataclass(frozen=True, slots=True)
class Rate:
    """Pieces of one size asked for in a year at one branch; how sure, in asks seen, and spread."""

    pieces: float
    shape: float = SURE
    dispersion: float = 1.0


def model_of(
    parts: Sequence[Part],
    kits: Sequence[Kit],
    *,
    rates: Mapping[tuple[str, str], Rate] | None = None,
    on_hand: Mapping[tuple[str, str], int] | None = None,
    substitutes: Mapping[str, Sequence[tuple[str, str]]] | None = None,
    branches: Sequence[str] = (),
    assumptions: Sequence[str] = (),
) -> Model:
    """Make a model of every part at every branch.

    Parameters
    ----------
    parts : sequence of Part
        The sizes.
    kits : sequence of Kit
        What the jobs need.
    rates : mapping of (part key, branch) to Rate, optional
        The demand of each size; what the kits take together where it is left out.
    on_hand : mapping of (part key, branch) to int, optional
        Today's shelf; what is left out was not counted.
    substitutes : mapping of part key to sequence of (part key, condition), optional
        What does as well, best first.
    branches : sequence of str
        The branches; those of the kits when left out.
    assumptions : sequence of str
        What had to be assumed.

    Raises
    ------
    InputError
        A kit has a part, a quantity or a branch that can't be.

    Examples
    --------
    >>> seal, bearing = Part("35 x 52 x 7", "seal", price=4.0), Part("30206", "bearing", price=9.0)
    >>> model = model_of([seal, bearing], [Kit("quay", {"35 x 52 x 7": 2, "30206": 1}, 3.0)])
    >>> [float(rate) for rate in model.rate.round(6)]
    [6.0, 3.0]
    """
    import numpy as np

    places = tuple(branches) or tuple(dict.fromkeys(kit.branch for kit in kits))
    number = {part.key: at for at, part in enumerate(parts)}
    place = {name: at for at, name in enumerate(places)}
    count = len(parts) * len(places)

    def item(key: str, branch: str) -> int:
        return number[key] * len(places) + place[branch]

    starts, items, quantities = [0], [], []
    for kit in kits:
        for key, quantity in kit.needs.items():
            _check(kit, key, quantity, number, place)
            items.append(item(key, kit.branch))
            quantities.append(quantity)
        starts.append(len(items))
    kit_rate = np.array([kit.rate for kit in kits], dtype=np.float64)
    kit_shape = np.array([kit.shape for kit in kits], dtype=np.float64)
    pieces = np.zeros(count)
    np.add.at(pieces, items, np.repeat(kit_rate, np.diff(starts)) * np.array(quantities, float))
    shape, dispersion = np.full(count, SURE), np.ones(count)
    for (key, branch), rate in (rates or {}).items():
        at = item(key, branch)
        pieces[at], shape[at], dispersion[at] = rate.pieces, rate.shape, rate.dispersion
    shelf, counted = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.bool_)
    for (key, branch), held in (on_hand or {}).items():
        shelf[item(key, branch)], counted[item(key, branch)] = held, True
    part_of = np.repeat(np.arange(len(parts)), len(places))
    lead = np.array([part.lead_days for part in parts])[part_of] / DAYS_PER_YEAR
    spread = np.array([part.lead_days_sd for part in parts])[part_of] / DAYS_PER_YEAR
    sub_start, sub_item, conditions = substitute_arrays(parts, len(places), substitutes or {})
    return Model(
        parts=tuple(parts),
        branches=places,
        part_of=part_of,
        branch_of=np.tile(np.arange(len(places)), len(parts)),
        rate_shape=shape,
        rate_scale=pieces / shape,
        dispersion=dispersion,
        lead_mean_years=lead,
        lead_sd_years=spread,
        on_hand=shelf,
        counted=counted,
        season=np.ones(MONTHS),
        kit_branch=np.array([place[kit.branch] for kit in kits], dtype=np.int64),
        kit_shape=kit_shape,
        kit_scale=kit_rate / kit_shape,
        kit_start=np.array(starts, dtype=np.int64),
        kit_item=np.array(items, dtype=np.int64),
        kit_quantity=np.array(quantities, dtype=np.int64),
        sub_start=sub_start,
        sub_item=sub_item,
        sub_condition=conditions,
        assumptions=tuple(assumptions),
    )


def _check(
    kit: Kit, key: str, quantity: int, number: Mapping[str, int], place: Mapping[str, int]
) -> None:
    rule = ""
    if key not in number:
        rule = "a kit needs it, and it is no part that was given"
    elif kit.branch not in place:
        rule = f"a kit is for the branch {kit.branch!r}, which was not given"
    elif quantity < 1:
        rule = f"a kit needs {quantity} of it, and at least one is needed"
    if rule:
        raise InputError(value=key, rule=rule, todo="Give the part, the branch or the quantity")


def substitute_arrays(
    parts: Sequence[Part],
    places: int,
    substitutes: Mapping[str, Sequence[tuple[str, str]]],
) -> tuple[NDArray[np.int64], NDArray[np.int64], tuple[str, ...]]:
    """The substitutes of every item, each at its own branch.

    Parameters
    ----------
    parts : sequence of Part
        The sizes.
    places : int
        How many branches there are.
    substitutes : mapping of part key to sequence of (part key, condition)
        What does as well, best first.

    Returns
    -------
    tuple of (array, array, tuple of str)
        Where each item's substitutes start, the items that they are, and their conditions.
    """
    import numpy as np

    number = {part.key: at for at, part in enumerate(parts)}
    lengths = np.array([len(substitutes.get(part.key, ())) for part in parts], dtype=np.int64)
    starts = np.concatenate([[0], np.cumsum(np.repeat(lengths, places))]).astype(np.int64)
    flat = [(number[key], words) for part in parts for key, words in substitutes.get(part.key, ())]
    if not flat:
        return starts, np.zeros(0, dtype=np.int64), ()
    begins = np.concatenate([[0], np.cumsum(lengths)])[:-1]
    # Each entry of the flat list once for each branch, the items in their own order.
    owner = np.repeat(np.arange(len(parts) * places), np.repeat(lengths, places))
    which = begins[owner // places] + np.arange(len(owner)) - starts[owner]
    items = np.array([at for at, _ in flat], dtype=np.int64)[which] * places + owner % places
    return starts, items, tuple(flat[at][1] for at in which.tolist())
