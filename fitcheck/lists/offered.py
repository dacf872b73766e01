"""Offers joined to answers: to each candidate, and to the parts of a job card."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from fitcheck.lists.cross import DEFAULT_TOP, Alternative
from fitcheck.lists.grades import GRADES
from fitcheck.lists.items import METRIC, PLAIN_EXECUTION, SLEEVE, Execution, SizeKey
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.lists.offers import (
    SAME_SIZE,
    Pick,
    candidate_pick,
    offer_json,
    offer_order,
    offers,
    part_pick,
    pieces_paid,
)
from fitcheck.lists.source import LineSource
from fitcheck.parts.kind import kind, kind_names

Answer = dict[str, Any]
Found = Mapping[Pick, Sequence[Alternative]]

# What the lists are asked for; thin sleeves go by the size of the table, and a list does not say
# which shafts they grip.
_ASKED_FOR = frozenset({"lip seal", "tapered bearing"})
_THIN_SLEEVE = "thin sleeve"
# A thin sleeve's wall is a quarter of a millimetre; what is thicker is another part [um].
_THIN_UM = 500
_OR = " or "


class Position(NamedTuple):
    """An answer of the engine, and what its position says of the execution wanted."""

    answer: Answer
    made: Execution = PLAIN_EXECUTION
    name: str = ""


def add_offers(
    positions: Iterable[Position],
    sources: Mapping[str, LineSource],
    *,
    worn: Answer | None = None,
) -> None:
    """Give each candidate of some answers the key ``offers``.

    Parameters
    ----------
    positions : iterable of Position
        The answers; they are changed, all or none of them.
    sources : mapping of str to LineSource
        The lists.
    worn : dict, optional
        An answer about the counterface, whose thin sleeves get offers with them.
    """
    asked = [pair for position in positions for pair in _picks(position)]
    sleeves = _way_picks(worn) if worn else []
    found = offers((pick for _, pick in (*asked, *sleeves)), sources)
    for candidate, pick in asked:
        candidate["offers"] = _shown(found[pick])
    _add_sleeves(sleeves, found)


def add_card_offers(
    card: Answer, made: Mapping[str, Execution], sources: Mapping[str, LineSource]
) -> None:
    """Give the candidates and the parts of a job card the key ``offers``.

    Parameters
    ----------
    card : dict
        The card; it is changed, as a whole or not at all. ``one_order`` says which lists have
        everything that can be ordered now. Where a part may be of several sizes, ``for_size`` says
        which of them an offer is for.
    made : mapping of str to Execution
        What is known of the execution wanted, by the name of the position.
    sources : mapping of str to LineSource
        The lists.
    """
    positions = [
        Position(entry["answer"], made.get(entry["name"], PLAIN_EXECUTION), entry["name"])
        for entry in card["positions"]
        if entry["kind"] in ("seal", "bearing", *kind_names()) and entry["answer"] is not None
    ]
    asked = [(position.name, *pair) for position in positions for pair in _picks(position)]
    sleeves = _sleeve_picks(card["parts"])
    found = offers((*(pick for *_, pick in asked), *(pick for _, pick in sleeves)), sources)
    picks: dict[tuple[str, str], Pick] = {}
    for name, candidate, pick in asked:
        picks[name, candidate.get("designation") or candidate["size"]] = pick
    of_parts = [(part, _of_part(part, picks, found)) for part in card["parts"]]
    settled = [(part, *sizes.values()) for part, sizes in of_parts if len(sizes) == 1]
    one_order = _one_order(settled)
    for _, candidate, pick in asked:
        candidate["offers"] = _shown(found[pick])
    for part, sizes in of_parts:
        if sizes:
            part["offers"] = [
                {"for_size": size, **offer}
                for size, lines in sizes.items()
                for offer in _shown(lines)
            ]
    _add_sleeves(sleeves, found)
    card["one_order"] = one_order


def add_way_offers(worn: Answer, sources: Mapping[str, LineSource]) -> None:
    """Give the thin sleeves of the ways out of a worn counterface the key ``offers``.

    Parameters
    ----------
    worn : dict
        The answer about the counterface; it is changed.
    sources : mapping of str to LineSource
        The lists.
    """
    sleeves = _way_picks(worn)
    _add_sleeves(sleeves, offers((pick for _, pick in sleeves), sources))


def _way_picks(worn: Answer) -> list[tuple[Answer, Pick]]:
    return _sleeve_picks(part for way in worn["ways"] for part in way["parts"])


def _sleeve_picks(parts: Iterable[Answer]) -> list[tuple[Answer, Pick]]:
    return [(part, pick) for part in parts if (pick := _sleeve_pick(part)) is not None]


def _add_sleeves(sleeves: Iterable[tuple[Answer, Pick]], found: Found) -> None:
    for part, pick in sleeves:
        thin = [line for line in found[pick] if _is_thin(line)]
        part["offers"] = [
            {"for_size": part["size"], **offer}
            for offer in _shown(sorted(thin, key=lambda a: offer_order(a, part["quantity"])))
        ]


def _sleeve_pick(part: Answer) -> Pick | None:
    """A thin sleeve of the parts as crossing compares it: its shaft and its width."""
    if part["what"] != _THIN_SLEEVE:
        return None
    try:
        shaft, width = (round(float(text) * UM_PER_MM) for text in part["size"].split(" x "))
    except ValueError:
        # A shop's own table may name its sleeves by anything.
        return None
    return Pick(SizeKey(SLEEVE, shaft, None, width, METRIC, None))


def _is_thin(found: Alternative) -> bool:
    size = found.size
    if size.shaft_um is None or size.bore_um is None:
        return True
    return size.bore_um - size.shaft_um <= 2 * _THIN_UM


def without_offers(card: Answer) -> Answer:
    """A card as it is without a store: what the lists offered goes by the day.

    Parameters
    ----------
    card : dict
        A card as data; it is not changed.
    """

    def plain(value: Any) -> Any:
        if isinstance(value, dict):
            return {k: plain(v) for k, v in value.items() if k not in ("offers", "one_order")}
        return [plain(v) for v in value] if isinstance(value, list) else value

    found: Answer = plain(card)
    return found


def _picks(position: Position) -> list[tuple[Answer, Pick]]:
    family = position.answer.get("kind", "")
    if family:
        return [(one, part_pick(family, one["size"])) for one in position.answer["candidates"]]
    readings = {r["place"]: r["mean_mm"] for r in position.answer["readings"]}
    pocket = readings.get("pocket")
    pocket_um = None if pocket is None else round(pocket * UM_PER_MM)
    return [
        (candidate, candidate_pick(candidate, made=position.made, pocket_um=pocket_um))
        for candidate in position.answer["candidates"]
    ]


def _shown(lines: Sequence[Alternative]) -> list[Answer]:
    return [offer_json(line) for line in lines[:DEFAULT_TOP]]


def _of_part(
    part: Answer, picks: Mapping[tuple[str, str], Pick], found: Found
) -> dict[str, list[Alternative]]:
    """The offers for a line of the parts by its sizes; none where the lists are not asked."""
    asked_for = _ASKED_FOR.union(kind(name).title for name in kind_names())
    sizes = part["size"].split(_OR) if part["what"] in asked_for else []
    lines: dict[str, list[Alternative]] = {}
    for size in sizes:
        wanted = {picks[name, size] for name in part["for"] if (name, size) in picks}
        if wanted:
            for_all = _for_all([found[pick] for pick in sorted(wanted, key=repr)])
            lines[size] = sorted(for_all, key=lambda a: offer_order(a, part["quantity"]))
    return lines


def _for_all(groups: Sequence[Sequence[Alternative]]) -> list[Alternative]:
    """The lines that are offered to every position, each under its worst grade."""
    first, *others = groups
    if not others:
        return list(first)
    by_line = [{(a.line.list, a.line.line): a for a in group} for group in others]
    kept = []
    for one in first:
        same = [lines.get((one.line.list, one.line.line)) for lines in by_line]
        if None not in same:
            kept.append(max([one, *filter(None, same)], key=lambda a: GRADES.index(a.grade)))
    return kept


def _one_order(parts: Sequence[tuple[Answer, Sequence[Alternative]]]) -> Answer:
    """Which lists have the same size of every part that can be ordered now, and what that costs."""
    wanted = [(p, lines) for p, lines in parts if p["order"] and not p["on_shelf"]]
    firsts: list[dict[str, Alternative]] = []
    for _, lines in wanted:
        best: dict[str, Alternative] = {}
        for line in lines:
            if line.grade in SAME_SIZE:
                best.setdefault(line.line.list, line)
        firsts.append(best)
    names = set.intersection(*map(set, firsts)) if firsts else set()
    lists = [
        _order_of(
            name, [(p["quantity"], best[name]) for (p, _), best in zip(wanted, firsts, strict=True)]
        )
        for name in names
    ]
    return {"parts": len(wanted), "lists": sorted(lists, key=_by_total)}


def _order_of(name: str, lines: Sequence[tuple[int, Alternative]]) -> Answer:
    prices = [(pieces_paid(found, count), found.line.price) for count, found in lines]
    currencies = {found.line.currency for _, found in lines}
    total = None
    if len(currencies) == 1 and all(price is not None for _, price in prices):
        total = str(sum((pieces * Decimal(price or 0) for pieces, price in prices), Decimal()))
    on_hand = [(count, found.line.on_hand) for count, found in lines]
    held = None
    if all(pieces is not None for _, pieces in on_hand):
        held = all((pieces or 0) >= count for count, pieces in on_hand)
    return {
        "list": name,
        "total": total,
        "currency": currencies.pop() if total is not None else None,
        "all_on_hand": held,
    }


def _by_total(order: Answer) -> tuple[Any, ...]:
    total = order["total"]
    if total is None:
        return 1, "", Decimal(), order["list"]
    return 0, order["currency"] or "", Decimal(total), order["list"]
