"""Rates and levels as rows, and each of them in words for the buyer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fitcheck.records import dataclass
from fitcheck.stock.estimate import Estimate
from fitcheck.stock.policy import ItemLevels
from fitcheck.stock.records import Part

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

DEMAND_COLUMNS = (
    "branch",
    "part",
    "what",
    "pieces_a_year",
    "low",
    "high",
    "pieces_seen",
    "years_seen",
    "fleet_a_year",
    "own_history",
    "reason",
)
LEVEL_COLUMNS = (
    "branch",
    "part",
    "what",
    "pieces_a_year",
    "lead_days",
    "reorder",
    "quantity",
    "level",
    "pieces_an_ask",
    "on_hand",
    "fill",
    "price",
    "currency",
    "reason",
)
# Below this a rate is borrowed more than it is its own.
_BORROWED, _OWN = 0.5, 0.8
# Years with an empty shelf, and a spread over a single chance's, that a buyer is told of.
_WORTH_TELLING, _UNEVEN = 0.05, 1.2


@dataclass(frozen=True, slots=True)
class Chosen:
    """Which items are told: those of one branch, one size, or that anything is known of."""

    branch: str = ""
    key: str = ""
    every: bool = False


def chosen_items(estimate: Estimate, chosen: Chosen) -> Ints:
    """The items that are told, by branch, the largest rate first.

    Parameters
    ----------
    estimate : Estimate
        The estimate.
    chosen : Chosen
        Which are meant. Unless every one is, those are left out that neither history, fleet nor
        shelf knows at their branch.
    """
    import numpy as np

    model, rates = estimate.model, estimate.rates
    kept = (rates.pieces > 0) | (rates.left_out > 0) | (rates.fleet > 0) | (model.on_hand > 0)
    # What is kept whatever the arithmetic says is told too.
    kept |= model.always
    if chosen.every:
        kept = np.ones(len(kept), dtype=np.bool_)
    if chosen.branch:
        kept &= np.array([name == chosen.branch for name in model.branches])[model.branch_of]
    if chosen.key:
        kept = np.array([part.key == chosen.key for part in model.parts])[model.part_of] & (
            kept | np.array(not chosen.branch)
        )
    items = np.flatnonzero(kept)
    order = np.lexsort((items, -rates.mean[items], model.branch_of[items]))
    found: Ints = items[order]
    return found


def rate_reason(estimate: Estimate, item: int) -> str:
    """Why a rate is what it is.

    Parameters
    ----------
    estimate : Estimate
        The estimate.
    item : int
        The item.
    """
    rates = estimate.rates
    pieces, years = float(rates.pieces[item]), float(rates.years[item])
    asks = int(rates.asks[item])
    if years <= 0.0:
        words = ["nothing was written down here"]
    elif asks:
        words = [f"{_pieces(pieces)} in {_asks(asks)} over {years:.1f} years"]
    else:
        words = [f"none asked for in {years:.1f} years"]
    group = rates.groups[int(rates.group[item])]
    if rates.fleet[item] > 0:
        borrowed = (
            f"the fleet foretells {_rate(float(rates.fleet[item]))} a year, of which "
            f"{rates.fleet_factor:.0%} has come true so far"
        )
    elif lent := rates.lent.words(item, len(estimate.model.branches)):
        borrowed = lent
    else:
        borrowed = f"{group} average {_rate(float(rates.like[item]))} a year"
    credit = float(rates.credit[item])
    words.append(borrowed)
    if credit >= _OWN:
        words.append(f"its own history decides ({credit:.0%})")
    elif credit >= _BORROWED:
        words.append(f"its own history counts for {credit:.0%}")
    else:
        words.append(f"mostly borrowed: its own history counts for {credit:.0%}")
    if rates.blind_years[item] >= _WORTH_TELLING or rates.left_out[item] > 0:
        words.append(
            f"{rates.blind_years[item]:.2f} years with an empty shelf and "
            f"{_pieces(float(rates.left_out[item]))} asked for in them left out"
        )
    if rates.dispersion[item] > _UNEVEN:
        words.append(
            f"its pieces vary {rates.dispersion[item]:.1f} times as much as singles by chance would"
        )
    own = estimate.model.own_months or {}
    if (part := int(estimate.model.part_of[item])) in own:
        words.append(own[part])
    return "; ".join(words)


def _pieces(count: float) -> str:
    return f"{count:g} piece" if count == 1 else f"{count:g} pieces"


def _asks(count: int) -> str:
    return "1 ask" if count == 1 else f"{count} asks"


def _rate(value: float) -> str:
    return f"{value:.1f}" if value >= 1 else f"{value:.2g}"


def demand_rows(estimate: Estimate, items: Ints, *, share: float) -> list[dict[str, Any]]:
    """The rates of some items, each with its interval and its reason.

    Parameters
    ----------
    estimate : Estimate
        The estimate.
    items : array of int
        The items.
    share : float
        Probability that a rate lies in its interval.
    """
    from fitcheck.stock.special import gamma_quantile

    model, rates = estimate.model, estimate.rates
    tail = (1.0 - share) / 2.0
    shape, scale = rates.shape[items], rates.scale[items]
    low = gamma_quantile(shape=shape, probability=tail) * scale
    high = gamma_quantile(shape=shape, probability=1.0 - tail) * scale
    found = []
    for at, item in enumerate(items.tolist()):
        part = model.parts[int(model.part_of[item])]
        found.append(
            {
                "branch": model.branches[int(model.branch_of[item])],
                "part": part.key,
                "what": part.what,
                "pieces_a_year": float(shape[at] * scale[at]),
                "low": float(low[at]),
                "high": float(high[at]),
                "pieces_seen": float(rates.pieces[item]),
                "years_seen": float(rates.years[item]),
                "fleet_a_year": float(rates.fleet[item]),
                "own_history": float(rates.credit[item]),
                "reason": rate_reason(estimate, item),
            }
        )
    return found


def level_reason(part: Part, levels: ItemLevels, item: int, *, mean: float) -> str:
    """Why a level is what it is.

    Parameters
    ----------
    part : Part
        The size.
    levels : ItemLevels
        The levels.
    item : int
        The item.
    mean : float
        Expected demand in lead time and review [pieces].
    """
    quantity, reorder = int(levels.quantity[item]), int(levels.reorder[item])
    ask = int(levels.ask[item])
    if int(levels.level[item]) == 0:
        words = ["none kept: an ask is met by an order"]
    elif quantity == 1:
        words = [f"keep {reorder + 1}, order one for each that goes"]
    elif reorder < 0:
        words = [f"buy {quantity} when one is asked for"]
    else:
        words = [f"order {quantity} when {reorder} are left"]
    if ask > 1:
        words.append(f"an ask takes {ask} pieces")
    words.append(f"{_rate(mean)} expected in {part.lead_days:g} days' lead time")
    if bool(levels.capped[item]):
        words.append(f"held down by the shelf life of {part.shelf_life_months:g} months")
    if bool(levels.critical[item]):
        words.append("kept because it is marked critical")
    return "; ".join(words)


def level_rows(estimate: Estimate, levels: ItemLevels, items: Ints) -> list[dict[str, Any]]:
    """The levels of some items, each with its reason.

    Parameters
    ----------
    estimate : Estimate
        The estimate.
    levels : ItemLevels
        The levels.
    items : array of int
        The items.
    """
    model = estimate.model
    mean, rate, own = model.mean, model.rate, model.own_months or {}
    found = []
    for item in items.tolist():
        number = int(model.part_of[item])
        part = model.parts[number]
        found.append(
            {
                "branch": model.branches[int(model.branch_of[item])],
                "part": part.key,
                "what": part.what,
                "pieces_a_year": float(rate[item]),
                "lead_days": part.lead_days,
                "reorder": int(levels.reorder[item]),
                "quantity": int(levels.quantity[item]),
                "level": int(levels.level[item]),
                "pieces_an_ask": int(levels.ask[item]),
                "on_hand": int(model.on_hand[item]) if bool(model.counted[item]) else None,
                "fill": float(levels.fill[item]),
                "price": part.price,
                "currency": part.currency,
                "reason": level_reason(part, levels, item, mean=float(mean[item]))
                + (f"; {own[number]}" if number in own else ""),
            }
        )
    return found
