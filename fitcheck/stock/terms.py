"""What buying a size takes: price, lead time, pack, shelf life, and whether one is always kept.

The shop's own word comes first, then the lists, then what is assumed for its kind of part. What is
assumed is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from fitcheck.lists.items import OTHER, SizeKey
from fitcheck.lists.lines import Remark
from fitcheck.lists.resolve import number_text
from fitcheck.lists.source import LineSource, NamedBlock
from fitcheck.records import dataclass
from fitcheck.stock.parts import Asked, Canonical, Named, key_of_size, names_of, notes_of
from fitcheck.stock.records import Part
from fitcheck.stock.table_file import REFUSED, Column, table_rows
from fitcheck.tables import Row, shop_folder, table

COLUMNS = (
    Column("part", "size, designation or part number", ("size", "item", "number"), needed=True),
    Column("what", "seal, bearing, sleeve or other", ("kind",)),
    Column("price", "price of one piece"),
    Column("currency", "three-letter code of the currency"),
    Column("lead_days", "days from order to shelf, on average", ("lead_time",)),
    Column("lead_days_sd", "standard deviation of those days"),
    Column("pack", "pieces in a pack"),
    Column("minimum", "fewest pieces that are sold at once", ("minimum_order",)),
    Column("shelf_life_months", "how long a piece may lie", ("shelf_life",)),
    Column("critical", "yes where one is always kept"),
    Column("note", "free words"),
)
# How the note of a size without a price ends.
NO_PRICE = "no price is known"
_OFFER_FIELDS = ("part_number", "price", "currency", "pack", "minimum", "lead_days")
_SIZE_FIELDS = SizeKey._fields


@dataclass(frozen=True, slots=True)
class Terms:
    """What somebody says of a part; None where nothing is said."""

    price: float | None = None
    currency: str = ""
    lead_days: float | None = None
    lead_days_sd: float | None = None
    pack: int | None = None
    minimum: int | None = None
    shelf_life_months: float | None = None
    critical: bool | None = None


@dataclass(frozen=True, slots=True)
class TermsFile:
    """A file of the shop's own terms as read: by text, what texts name, what was refused."""

    lines: tuple[tuple[int, Asked, Terms], ...]
    names: Mapping[Asked, Named]
    refused: tuple[Remark, ...]

    def notes(self) -> tuple[str, ...]:
        """What was assumed about its parts, each once."""
        return notes_of(self.names, (asked for _, asked, _ in self.lines))


def read_terms(path: str, *, source: LineSource | None = None, unit: str = "mm") -> TermsFile:
    """Read a file of terms; what is refused is told, and the caller keeps all of it or nothing.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    InputError
        The file can't be read, or its heading is not that of such a table.
    """
    found: list[tuple[int, Asked, Terms]] = []
    refused: list[Remark] = []
    for cells in table_rows(path, COLUMNS, what="a table of terms"):
        asked = (cells.needed("part"), cells.text("what").lower())
        price, currency = cells.decimal("price", blank=None), cells.text("currency").upper()
        if price is not None and not (len(currency) == 3 and currency.isalpha()):
            cells.refuse("currency", "a price needs its currency, as three letters")
        terms = Terms(
            price,
            currency if price is not None else "",
            cells.decimal("lead_days", blank=None),
            cells.decimal("lead_days_sd", blank=None),
            cells.whole("pack", least=1, blank=0) or None,
            cells.whole("minimum", least=1, blank=0) or None,
            cells.decimal("shelf_life_months", blank=None),
            cells.flag("critical"),
        )
        refused += cells.refused
        if not cells.refused:
            found.append((cells.line, asked, terms))
    names = names_of((asked for _, asked, _ in found), source=source, unit=unit)
    good, there = [], dict[str, int]()
    for line, asked, terms in found:
        reason = names[asked].refused
        before = there.setdefault(names[asked].key, line)
        if not reason and before != line:
            reason = f"line {before} is about the same part, {names[asked].key}"
        if reason:
            refused.append(Remark(REFUSED, line, "part", asked[0][:80], reason))
        else:
            good.append((line, asked, terms))
    return TermsFile(tuple(good), names, tuple(sorted(refused, key=lambda r: r.line)))


def listed_terms(names: Iterable[Named], source: LineSource) -> dict[str, Terms]:
    """What the lists say of some parts: of several lines the cheapest.

    Parameters
    ----------
    names : iterable of Named
        The parts.
    source : LineSource
        The lists.
    """
    wanted = {named.key for named in names}
    known = Canonical()
    keys: dict[SizeKey, str] = {}
    for size in source.sizes():
        key = key_of_size(size, known)
        if key in wanted:
            keys[size] = key
    found: dict[str, Terms] = {}
    columns = (*_OFFER_FIELDS, *_SIZE_FIELDS)
    if keys:
        _cheapest(source.lines_of_sizes(keys, columns), keys, {}, found)
    numbers = {number_text(key): key for key in wanted - set(found)}
    if numbers:
        _cheapest(source.numbers(columns), {}, numbers, found)
    return found


def _cheapest(
    blocks: Iterable[NamedBlock],
    keys: Mapping[SizeKey, str],
    numbers: Mapping[str, str],
    found: dict[str, Terms],
) -> None:
    for _, block in blocks:
        blank = [None] * len(block)
        columns = block.columns
        sizes = zip(*(columns.get(name, blank) for name in _SIZE_FIELDS), strict=True)
        offers = zip(*(columns.get(name, blank) for name in _OFFER_FIELDS), strict=True)
        for size, (number, price, currency, pack, minimum, lead_days) in zip(
            sizes, offers, strict=True
        ):
            key = keys.get(SizeKey(*size)) or (
                numbers.get(number_text(number)) if numbers and number else None
            )
            if key is None:
                continue
            cost = None if price is None else float(price)
            there = found.get(key)
            if there is not None and there.price is not None:
                if cost is None or (currency or "") != there.currency or cost >= there.price:
                    continue
            elif there is not None and cost is None:
                continue
            days = None if lead_days is None else float(lead_days)
            found[key] = Terms(cost, currency or "", days, None, pack, minimum)


def parts_of(
    names: Iterable[Named],
    *,
    own: Mapping[str, Terms] | None = None,
    listed: Mapping[str, Terms] | None = None,
) -> tuple[list[Part], list[str]]:
    """Parts with their terms, and what had to be assumed about them.

    Parameters
    ----------
    names : iterable of Named
        The parts; several names of one key are one part.
    own, listed : mapping of part key to Terms, optional
        What the shop says, and what the lists say.

    Returns
    -------
    tuple of (list of Part, list of str)
        The parts by kind and name, and the assumptions.
    """
    by_key = {named.key: named for named in names}
    parts, assumed, lead = [], [], 0
    for key, named in sorted(by_key.items(), key=lambda one: (one[1].what, one[0])):
        mine = (own or {}).get(key, Terms())
        theirs = (listed or {}).get(key, Terms())
        part, guessed = _part(named, mine, theirs)
        parts.append(part)
        lead += guessed
        if part.price is None:
            assumed.append(f"{key}: {NO_PRICE}")
    if lead:
        days = ", ".join(
            f"{row.number('lead_days'):g} days for {row.text('what')}s"
            if row.text("what") != OTHER
            else f"{row.number('lead_days'):g} for other parts"
            for row in table("stock/terms").rows
        )
        assumed.append(f"no lead time is known for {lead} of {len(parts)} sizes: {days} are taken")
    return parts, assumed


@cache
def _assumed(what: str, _shop: str) -> Row:
    rows = {row.text("what"): row for row in table("stock/terms").rows}
    return rows.get(what, rows[OTHER])


def _part(named: Named, mine: Terms, theirs: Terms) -> tuple[Part, bool]:
    row = _assumed(named.what, shop_folder())
    priced = mine if mine.price is not None else theirs
    lead = mine.lead_days if mine.lead_days is not None else theirs.lead_days
    guessed = lead is None
    if lead is None:
        lead = row.number("lead_days")
    spread = mine.lead_days_sd
    life = mine.shelf_life_months
    part = Part(
        key=named.key,
        what=named.what,
        size=named.size,
        price=priced.price,
        currency=priced.currency if priced.price is not None else "",
        lead_days=lead,
        lead_days_sd=lead * row.number("lead_spread") if spread is None else spread,
        pack=mine.pack or theirs.pack or 1,
        minimum=mine.minimum or theirs.minimum or 1,
        shelf_life_months=row.maybe("shelf_life_months") if life is None else life,
        critical=bool(mine.critical),
    )
    return part, guessed
