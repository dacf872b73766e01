"""What a piece of each size costs, in one currency, and what is assumed where nobody says."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.lists.items import OTHER
from fitcheck.records import dataclass
from fitcheck.stock.records import Model
from fitcheck.stock.terms import NO_PRICE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_NAMED = 5


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """The price of one piece of each item, the currency, and the sizes whose price is assumed."""

    price: Floats
    currency: str
    assumed: tuple[str, ...]
    notes: tuple[str, ...]

    def told(self, assumptions: Sequence[str]) -> tuple[str, ...]:
        """What was assumed of the prices, and the other assumptions; each thing said once.

        Parameters
        ----------
        assumptions : sequence of str
            Those of the model: of a size without a price it says no more than the notes here.
        """
        rest = (words for words in assumptions if not words.endswith(f": {NO_PRICE}"))
        return (*self.notes, *rest)


def prices_of(model: Model, *, assume: float | None = None) -> Prices:
    """The price of each item; a size without one takes the middle price of its kind.

    Parameters
    ----------
    model : Model
        The parts.
    assume : float, optional
        The price of every size without one [currency].

    Raises
    ------
    InputError
        Prices are in several currencies, one is not above 0, or nothing tells what to assume.
    """
    from statistics import median

    import numpy as np

    priced = [part for part in model.parts if part.price is not None]
    currencies = Counter(part.currency for part in priced if part.currency)
    if len(currencies) > 1:
        told = ", ".join(f"{count} in {name}" for name, count in currencies.most_common())
        raise InputError(
            value=f"prices in {len(currencies)} currencies ({told})",
            rule="money is counted in one",
            todo="Give the shop's own price for the others with `fitcheck stock terms`",
        )
    bad = next((part for part in priced if part.price is not None and part.price <= 0), None)
    wrong = assume if assume is not None and not 0 < assume < float("inf") else None
    if bad is not None or wrong is not None:
        raise InputError(
            value=f"{bad.key} at {bad.price:g}" if bad else f"{wrong:g}",
            rule="a piece costs more than nothing",
            todo="Give its price",
        )
    kinds: dict[str, list[float]] = {}
    for part in priced:
        kinds.setdefault(part.what, []).append(part.price or 0.0)
    middle = {what: median(prices) for what, prices in kinds.items()}
    missing = [part for part in model.parts if part.price is None]
    lost = [part.key for part in missing if assume is None and part.what not in middle]
    if lost:
        more = f" and {len(lost) - _NAMED} more" if len(lost) > _NAMED else ""
        raise InputError(
            value=", ".join(lost[:_NAMED]) + more,
            rule="no price is known, nor of any other size of its kind",
            todo="Give its price, or say --assume-price PRICE for every size without one",
        )
    notes = []
    bare = sum(not part.currency for part in priced)
    if currencies and bare:
        notes.append(
            f"{bare} price{'s' * (bare != 1)} without a currency: taken as {next(iter(currencies))}"
        )
    for what in sorted({part.what for part in missing}):
        count = sum(part.what == what for part in missing)
        price = middle[what] if assume is None else assume
        kind = "the other parts" if what == OTHER else f"a {what}"
        why = f"the middle price of {kind}" if assume is None else "as was said"
        notes.append(
            f"no price is known for {count} size{'s' * (count != 1)} ({what}): "
            f"{price:.2f} each, {why}"
        )
    each = [
        part.price if part.price is not None else assume or middle[part.what]
        for part in model.parts
    ]
    return Prices(
        price=np.array(each, dtype=np.float64)[model.part_of],
        currency=next(iter(currencies), ""),
        assumed=tuple(part.key for part in missing),
        notes=tuple(notes),
    )
