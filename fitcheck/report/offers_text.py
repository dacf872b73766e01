"""What the shop's lists offer, as text. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import shorten
from typing import Any

from fitcheck.report.text import bullets, paragraph

Answer = Mapping[str, Any]

# So many offers stand below a candidate; all of them are in the data.
_SHOWN = 3
_LONGEST = 60
# A question that starts with names of so few words says what to ask for.
_HEAD_WORDS = 2
_SAME = ("same", "same-ask")

_GRADES = {
    "same": "the same",
    "same-ask": "the same size",
    "other-execution": "the same size, made otherwise",
    "condition": "fits on a condition",
}


def offer_text(offer: Answer) -> str:
    """One offer as a line.

    Parameters
    ----------
    offer : mapping
        The offer as data.

    Examples
    --------
    >>> offer_text({"list": "north", "line": 2, "part_number": "0012", "description": None,
    ...     "price": "4.20", "currency": "EUR", "pack": 1, "minimum": None, "on_hand": 3,
    ...     "lead_days": 2, "grade": "same-ask", "differs": [],
    ...     "questions": ["lip: neither side says"]})
    'north 0012: 4.20 EUR, 3 on hand, 2 days; the same size; ask: lip'
    """
    part = offer["part_number"] or f"line {offer['line']}"
    words = offer["description"]
    # A description that is the number again says nothing.
    if words and words.strip() != part:
        part = f"{part} ({shorten(words, _LONGEST, placeholder=' ...')})"
    facts = [
        f"{offer['price']} {offer['currency'] or ''}".strip() if offer["price"] else "no price",
        _on_hand(offer["on_hand"]),
        _days(offer["lead_days"]),
        f"packs of {offer['pack']}" if (offer["pack"] or 1) > 1 else "",
        f"at least {offer['minimum']}" if (offer["minimum"] or 1) > 1 else "",
    ]
    said = [_GRADES[offer["grade"]]]
    if offer["differs"]:
        said[0] += f": {'; '.join(offer['differs'])}"
    if offer["questions"]:
        said.append(f"ask: {', '.join(map(_asked, offer['questions']))}")
    return f"{offer['list']} {part}: {', '.join(filter(None, facts))}; {'; '.join(said)}"


def _on_hand(pieces: int | None) -> str:
    if pieces is None:
        return ""
    return f"{pieces} on hand" if pieces else "none on hand"


def _days(days: int | None) -> str:
    if days is None:
        return ""
    return f"{days} day{'' if days == 1 else 's'}"


def _asked(question: str) -> str:
    head, colon, _ = question.partition(":")
    named = all(len(name.split()) <= _HEAD_WORDS for name in head.split(", "))
    return head if colon and named else question


def candidate_offers(candidate: Answer, indent: str) -> list[str]:
    """The offers of a candidate as lines; none where no lists were asked.

    Parameters
    ----------
    candidate : mapping
        The candidate as data.
    indent : str
        What stands before each line.
    """
    offers = candidate.get("offers")
    if offers is None:
        return []
    if not offers:
        return bullets(["no list has it"], mark=">", indent=indent)
    lines = bullets(map(offer_text, offers[:_SHOWN]), mark=">", indent=indent)
    if len(offers) > _SHOWN:
        lines += bullets([f"{len(offers) - _SHOWN} more with --json"], mark=">", indent=indent)
    return lines


def part_offers(part: Answer, *, indent: str) -> list[str]:
    """The best offer for a line of the parts, and where it is on hand.

    Parameters
    ----------
    part : mapping
        The part as data.
    indent : str
        What stands before each line.
    """
    lines = part_offer_lines(part)
    return [paragraph(line, indent=indent, hanging=f"{indent}  ") for line in lines]


def part_offer_lines(part: Answer) -> list[str]:
    """The best offer for a line of the parts, one text for each size it may be.

    Parameters
    ----------
    part : mapping
        The part as data.
    """
    offers = part.get("offers")
    if offers is None or part.get("on_shelf"):
        return []
    sizes = part["size"].split(" or ")
    lines = []
    for size in sizes:
        start = f"{size}: " if len(sizes) > 1 else ""
        of_size = [offer for offer in offers if offer["for_size"] == size]
        lines += [f"{start}{text}" for text in _best(of_size, part["quantity"])]
    return lines


def _best(offers: Sequence[Answer], quantity: int) -> list[str]:
    same = [offer for offer in offers if offer["grade"] in _SAME]
    if same:
        return [offer_text(offer) for offer in _chosen(same, quantity)]
    if offers:
        return [f"no list has the same; the nearest that fits is {offer_text(offers[0])}"]
    return ["no list has it"]


def _chosen(offers: Sequence[Answer], quantity: int) -> list[Answer]:
    """The cheapest in each currency; where it is not on hand, also the cheapest that is.

    Prices in different currencies are not compared.
    """
    priced = [offer for offer in offers if offer["price"]] or list(offers[:1])
    chosen = [
        next(offer for offer in priced if offer["currency"] == currency)
        for currency in dict.fromkeys(offer["currency"] for offer in priced)
    ]
    if not any(_holds(offer, quantity) for offer in chosen):
        chosen += [offer for offer in offers if _holds(offer, quantity)][:1]
    return chosen


def _holds(offer: Answer, quantity: int) -> bool:
    return (offer["on_hand"] or 0) >= quantity


def one_order_text(card: Answer, *, indent: str) -> list[str]:
    """Which lists have everything that can be ordered now; nothing to say of a single part.

    Parameters
    ----------
    card : mapping
        The card as data.
    indent : str
        What stands before each line.
    """
    found = card.get("one_order")
    if found is None or found["parts"] < 2:
        return []
    parts = f"every seal and bearing and small part to order ({found['parts']} lines)"
    if not found["lists"]:
        return [paragraph(f"No single list has {parts}.", indent=indent, hanging=indent)]
    lines = []
    for order in found["lists"]:
        facts = [f"{order['total']} {order['currency'] or ''}".strip() if order["total"] else ""]
        if order["all_on_hand"] is not None:
            facts.append("all on hand" if order["all_on_hand"] else "not all on hand")
        said = ", ".join(filter(None, facts))
        lines.append(
            paragraph(
                f"One order: {order['list']} has {parts}" + (f": {said}" if said else ""),
                indent=indent,
                hanging=f"{indent}  ",
            )
        )
    return lines


def list_text(found: Answer) -> str:
    """Which list an answer was matched against, and what of it was left out; else empty.

    Parameters
    ----------
    found : mapping
        The answer as data.
    """
    told = found.get("list")
    if told is None:
        return ""
    left = [
        f"{_lines(told[key])} {words}"
        for key, words in (
            ("no_size", "without a readable size"),
            ("off_table", "of sizes beyond every tolerance table"),
            ("other_parts", "of other parts"),
        )
        if told[key]
    ]
    sizes = f"{told['sizes']} size{'' if told['sizes'] == 1 else 's'}"
    text = f"Matched against list {told['name']}: {sizes} on {_lines(told['lines'])}"
    return paragraph(f"{text}; left out: {', '.join(left)}" if left else text, hanging="  ")


def _lines(count: int) -> str:
    return f"{count} line{'' if count == 1 else 's'}"
