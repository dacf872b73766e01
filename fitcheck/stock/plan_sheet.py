"""A plan as rows: printed, saved for a buyer to edit, and read back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.lists.export import safe_cell, unsafe_cell
from fitcheck.lists.lines import Remark
from fitcheck.records import dataclass
from fitcheck.stock.elsewhere import Elsewhere
from fitcheck.stock.explain import Dead, Effects, dead_stock, effects_of
from fitcheck.stock.parts import names_of
from fitcheck.stock.pose import MOST_SUBSTITUTES, Posed
from fitcheck.stock.prices import Prices
from fitcheck.stock.records import Model
from fitcheck.stock.table_file import REFUSED, Column, refused_words, table_rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

COLUMNS = (
    Column("branch", "the branch", needed=True),
    Column("part", "the size", needed=True),
    Column("what", "seal, bearing, sleeve or other"),
    Column("level", "pieces on a full shelf: the column to edit", needed=True),
    Column("order_at", "pieces, on hand and on order, at which more are ordered"),
    Column("order_quantity", "pieces that are ordered at once"),
    Column("on_hand", "today's shelf; blank where it was not counted"),
    Column("buy", "pieces to buy now: whole orders, once the shelf is down to order_at"),
    Column("price", "price of one piece"),
    Column("price_assumed", "yes where no price is known"),
    Column("currency", "of all money here"),
    Column("money", "what the full shelf holds"),
    Column("met", "share of its own asks that find all their pieces on the shelf"),
    Column("jobs_a_year", "jobs a year that take it"),
    Column("one_more", "complete jobs a year that the next level up adds"),
    Column("one_more_money", "what that costs"),
    Column("dropped", "complete jobs a year that are lost without it"),
    Column("always", "yes where it is kept whatever the arithmetic says"),
    Column("dead", "pieces on the shelf, more than two years are likely to use"),
    Column("why", "why it is on the list, or is not"),
)
_DIGITS = 4
# Prices are written with so much rounding.
_PENNY = 1e-3
# Asks a year.
_WORTH_TELLING = 0.05


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One size at one branch; see `COLUMNS`."""

    branch: str
    part: str
    what: str
    level: int
    order_at: int | None
    order_quantity: int
    on_hand: int | None
    buy: int
    price: float
    price_assumed: bool
    currency: str
    money: float
    met: float
    jobs_a_year: float
    one_more: float
    one_more_money: float
    dropped: float
    always: bool
    dead: int
    why: str

    def cells(self) -> list[str | int | float | None]:
        """The cells of a sheet, in the order of `COLUMNS`."""
        found: list[str | int | float | None] = []
        for column in COLUMNS:
            value = getattr(self, column.name)
            if isinstance(value, bool):
                value = "yes" if value else ""
            elif isinstance(value, float):
                value = round(value, _DIGITS)
            elif isinstance(value, str):
                value = safe_cell(value)
            found.append(value)
        return found


def to_buy(*, level: int, on_hand: int, lot: int, ask: int = 1) -> int:
    """Pieces to buy now, as the list's own policy orders them.

    Parameters
    ----------
    level : int
        The most there is of the size [pieces].
    on_hand : int
        Today's shelf [pieces].
    lot : int
        Pieces that are ordered at once, 1 or more.
    ask : int
        Pieces of the usual ask, 1 or more.

    Notes
    -----
    Nothing while the shelf is above the reorder point (see `lots.order_point`); then as many whole
    lots as stay within the level, and one at least.

    Examples
    --------
    >>> [to_buy(level=12, on_hand=n, lot=5) for n in (8, 7, 3, 2, 0)]
    [0, 5, 5, 10, 10]
    >>> [to_buy(level=3, on_hand=n, lot=5) for n in (1, 0)]
    [0, 5]
    >>> [to_buy(level=6, on_hand=n, lot=5, ask=2) for n in (2, 1)]
    [0, 5]
    """
    if level <= 0 or on_hand > max(level - lot, min(ask, level) - 1):
        return 0
    return max((level - on_hand) // lot, 1) * lot


def plan_rows(model: Model, prices: Prices, posed: Posed, level: Ints) -> Iterator[PlanRow]:
    """The rows of a list: what is kept, what lies there, and what some job takes; most used first.

    Parameters
    ----------
    model : Model
        Names, demand and today's shelf.
    prices : Prices
        The prices.
    posed : Posed
        The problem.
    level : array of int, (N,)
        The list.
    """
    import numpy as np

    effects, dead = effects_of(posed, level), dead_stock(model, level)
    elsewhere = Elsewhere(model, dead.dead)
    assumed, always, own = set(prices.assumed), model.always, model.own_months or {}
    shown = np.flatnonzero((level > 0) | (model.on_hand > 0) | (effects.jobs > 0))
    order = shown[np.lexsort((shown, -effects.jobs[shown], -np.minimum(level[shown], 1)))]
    for item in order.tolist():
        part = model.parts[int(model.part_of[item])]
        kept, lot, ask = int(level[item]), int(posed.order[item]), int(posed.ask[item])
        counted = bool(model.counted[item])
        yield PlanRow(
            branch=model.branches[int(model.branch_of[item])],
            part=part.key,
            what=part.what,
            level=kept,
            order_at=max(kept - lot, min(ask, kept) - 1) if kept else None,
            order_quantity=lot,
            on_hand=int(model.on_hand[item]) if counted else None,
            buy=to_buy(level=kept, on_hand=int(model.on_hand[item]), lot=lot, ask=ask),
            price=float(prices.price[item]),
            price_assumed=part.key in assumed,
            currency=prices.currency,
            money=float(prices.price[item]) * kept,
            met=float(effects.share[item]),
            jobs_a_year=float(effects.jobs[item]),
            one_more=float(effects.more_jobs[item]),
            one_more_money=float(effects.more_money[item]),
            dropped=float(effects.none_jobs[item]),
            always=bool(always[item]),
            dead=int(dead.dead[item]),
            why=_why(
                item,
                kept,
                bool(always[item]),
                effects,
                dead,
                held=int(model.on_hand[item]),
                freed=_sum(prices.price[item] * dead.dead[item], prices.currency),
                currency=prices.currency,
            )
            + ("" if kept else _stands_in(item, model, level))
            + _held_down(int(model.part_of[item]), kept, item, model, posed)
            + elsewhere.words(item, kept)
            + (f"; {own[number]}" if (number := int(model.part_of[item])) in own else ""),
        )


def _sum(value: float, currency: str) -> str:
    return f"{value:.2f} {currency}".rstrip()


def _why(
    item: int,
    level: int,
    critical: bool,
    effects: Effects,
    dead: Dead,
    *,
    held: int,
    freed: str,
    currency: str,
) -> str:
    kits, jobs = int(effects.kits[item]), float(effects.jobs[item])
    taken = f"{jobs:.1f} jobs a year take it, in {kits} kit{'s' * (kits != 1)}"
    if effects.instead[item] >= _WORTH_TELLING:
        taken += f", and {effects.instead[item]:.1f} more in the place of a size that is out"
    if level:
        lost = f"without it {float(effects.none_jobs[item]):.2f} a year are no longer complete"
        words = f"{taken}; {lost}" if kits else "no job takes it"
        words += "; always kept" if critical else ""
    elif kits:
        more, cost = float(effects.more_jobs[item]), _sum(effects.more_money[item], currency)
        again = "to keep it up, once what lies there is gone," if held else "for it"
        words = (
            f"{taken}; {cost} {again} would complete {more:.2f} more, beyond what this list spends"
        )
    else:
        words = "no job takes it"
    if dead.dead[item]:
        count = int(dead.dead[item])
        are, them = ("is", "it") if count == 1 else ("are", "them")
        words += f"; {count} of the shelf {are} dead stock: returning {them} frees {freed}"
    if dead.over[item]:
        count = int(dead.over[item])
        words += f"; {count} beyond the list sell{'s' * (count == 1)} in time: don't buy again"
    return words


def _held_down(part: int, level: int, item: int, model: Model, posed: Posed) -> str:
    """That shelf life is what keeps a level from going higher."""
    if not level or not posed.aged[item] or level < posed.problem.most[item]:
        return ""
    return f"; held down by the shelf life of {model.parts[part].shelf_life_months:g} months"


def _stands_in(item: int, model: Model, level: Ints) -> str:
    """What is kept that does as well as a size that is not, and on what condition."""
    branches = len(model.branches)
    begin = int(model.sub_start[item])
    for at in range(begin, min(int(model.sub_start[item + 1]), begin + MOST_SUBSTITUTES)):
        other = int(model.sub_item[at])
        if level[other]:
            name = model.parts[other // branches].key
            return f"; {name} stands in for it, {model.sub_condition[at]}"
    return ""


def read_levels(path: str, model: Model, *, unit: str = "mm") -> tuple[Ints, tuple[str, ...]]:
    """The levels of a sheet that a buyer edited.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX, as `COLUMNS`; only branch, part and level are taken from it.
    model : Model
        The sizes and branches there are.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Returns
    -------
    level : array of int, (N,)
        The levels; 0 for a size that the sheet does not name.
    notes : tuple of str
        What was assumed.

    Raises
    ------
    InputError
        A row can't be taken; then none is.
    """
    import numpy as np

    number = {part.key: at for at, part in enumerate(model.parts)}
    place = {name: at for at, name in enumerate(model.branches)}
    refused: list[Remark] = []
    named: dict[tuple[str, str], tuple[int, int]] = {}
    rows, repriced = [], 0
    for cells in table_rows(path, COLUMNS, what="a plan"):
        branch, part = (unsafe_cell(cells.needed(name)) for name in ("branch", "part"))
        level = cells.whole("level", least=0, blank=0)
        if not cells.text("level"):
            cells.needed("level")
        if branch and branch not in place:
            cells.refuse("branch", f"there is no such branch; there are {', '.join(place)}")
        repriced += _price_edited(cells.text("price"), part, number, model)
        refused += cells.refused
        rows.append((cells.line, branch, part, level))
    unknown = [(part, "") for _, _, part, _ in rows if part not in number]
    other = {text: one.key for (text, _), one in names_of(unknown, unit=unit).items()}
    for line, branch, part, level in rows:
        key = part if part in number else other.get(part, "")
        if key not in number:
            reason = "no demand, fleet, shelf or terms name this size"
            refused.append(Remark(REFUSED, line, "part", part[:80], reason))
        elif (branch, key) in named:
            reason = f"line {named[branch, key][0]} has this size at this branch already"
            refused.append(Remark(REFUSED, line, "part", part[:80], reason))
        named[branch, key] = (line, level)
    if refused:
        first = min(refused, key=lambda remark: remark.line)
        raise InputError(
            value=f"{path}, line {first.line}, {first.column} {first.value!r}",
            rule=f"{first.reason}; {refused_words(refused)} in all",
            todo="Mend them, or save the plan anew",
        )
    found = np.zeros(len(model.part_of), dtype=np.int64)
    for (branch, key), (_, level) in named.items():
        found[number[key] * len(model.branches) + place[branch]] = level
    missing = len(found) - len(named)
    are = "size at a branch is" if missing == 1 else "sizes at their branches are"
    notes: tuple[str, ...] = (f"{missing} {are} not in the sheet: 0 is taken",) if missing else ()
    if repriced:
        cells_are = "1 price is" if repriced == 1 else f"{repriced} prices are"
        notes += (
            f"{cells_are} another in the sheet: only levels are read, the terms have the prices",
        )
    return found, notes


def _price_edited(written: str, part: str, number: dict[str, int], model: Model) -> bool:
    """Whether a sheet has another price than the terms."""
    price = model.parts[number[part]].price if part in number else None
    try:
        return price is not None and bool(written) and abs(float(written) - price) > _PENNY
    except ValueError:
        return True
