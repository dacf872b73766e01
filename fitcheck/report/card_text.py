"""The job card as text, 80 columns wide, in the order of the work."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.errors import printable
from fitcheck.report.card_workbook import sized
from fitcheck.report.inch_text import shown_card
from fitcheck.report.offers_text import one_order_text, part_offers
from fitcheck.report.text import (
    WIDTH,
    bullets,
    cautions_text,
    heading,
    paragraph,
    verdict_text,
    with_tool,
)

Answer = Mapping[str, Any]

# Positions that end in a setting; the others end in a part to choose.
_SET = {"press", "shims", "closing", "oil"}


def _pick(position: Answer) -> str:
    return "" if position["kind"] in _SET else position["pick"] or "not decided"


def card_text(card: Answer) -> str:
    """The whole card.

    Parameters
    ----------
    card : mapping
        The card as data.
    """
    card = shown_card(card)
    lines = [_title(card), ""]
    lines += _verdicts(card)
    lines += _parts(card)
    lines += _shelf(card)
    for position in card["positions"]:
        lines += _position(position)
    lines += _inspect(card)
    lines += _work(card)
    lines += _settings(card)
    lines += _read_again(card)
    lines.append(cautions_text(card["cautions"]))
    lines += _sources(card)
    return "\n".join(lines)


def _title(card: Answer) -> str:
    job = card["job"]
    lines = ["=" * WIDTH, paragraph(f"JOB CARD  {job['title']}".rstrip())]
    facts = [job["machine"], job["place"], job["date"]]
    if any(facts):
        lines.append(paragraph(", ".join(fact for fact in facts if fact)))
    if job["note"]:
        lines.append(paragraph(job["note"]))
    if job["invented"]:
        lines.append("Invented data, for demonstration only.")
    lines.append("=" * WIDTH)
    return "\n".join(lines)


def _verdicts(card: Answer) -> list[str]:
    width = min(max(len(printable(p["name"])) for p in card["positions"]), 30)
    lines = [f"Verdict: {verdict_text(card['verdict'])}"]
    for position in card["positions"]:
        name, pick = printable(position["name"]), _pick(position)
        start = f"  {verdict_text(position['verdict']):<6} "
        if len(name) <= width:
            lines.append(f"{start}{name:<{width}}  {pick}".rstrip())
        else:
            lines.append(
                paragraph(f"{name}: {pick}" if pick else name, indent=start, hanging=" " * 9)
            )
    return lines


def _parts(card: Answer) -> list[str]:
    if not card["parts"]:
        return []
    lines = [heading("Parts, to order in one go")]
    for part in card["parts"]:
        box = "[on shelf]" if part["on_shelf"] else "[ ]"
        if part.get("on_bench"):
            box = "[as measured, on the bench]"
        hold = "" if part["order"] or part["on_shelf"] else "  (settle before ordering)"
        lines.append(
            paragraph(
                f"{box} {part['quantity']} x {part['what']} {sized(part)}, for "
                f"{', '.join(part['for'])}{hold}",
                indent="  ",
                hanging="        ",
            )
        )
        lines += part_offers(part, indent="        ")
    return [*lines, *one_order_text(card, indent="  ")]


def _shelf(card: Answer) -> list[str]:
    """What is on the shelf and on no line of the parts; cards kept earlier don't say."""
    entries = card.get("shelf", ())
    if not entries:
        return []
    lines = [heading("On the shelf, but on no line above")]
    return [*lines, *bullets(f"{e['entry']} ({e['kind']}): {e['note']}" for e in entries)]


def _position(position: Answer) -> list[str]:
    pick = _pick(position)
    head = f"{position['kind'].upper()}  {position['name']}" + (f": {pick}" if pick else "")
    lines = [heading(f"{head}  [{verdict_text(position['verdict'])}]")]
    return [*lines, *bullets(position["reasons"])]


def _inspect(card: Answer) -> list[str]:
    if not card["inspect"]:
        return []
    lines = [heading("Look at before closing")]
    return [*lines, *bullets(f"{e['part']}: {e['prompt']}" for e in card["inspect"])]


def _work(card: Answer) -> list[str]:
    """The steps in the order of assembly, under the name of their position."""
    if not card["work"]:
        return []
    lines = [heading("Work, in the order of assembly")]
    name = None
    for entry in card["work"]:
        if entry["for"] != name:
            name = entry["for"]
            lines.append(paragraph(f"{name}:", indent="  "))
        lines += bullets([entry["step"]], mark="*", indent="    ")
    return lines


def _settings(card: Answer) -> list[str]:
    if not card["settings"]:
        return []
    lines = [heading("Settings")]
    for setting in card["settings"]:
        lines += bullets([f"{setting['for']}: {setting['setting']}"])
        lines.append("    achieved: ____________  by: ________")
    return lines


def _read_again(card: Answer) -> list[str]:
    if not card["read_again"]:
        return []
    lines = [heading("Readings to take again")]
    for entry in card["read_again"]:
        what = f"{entry['for']}"
        if entry["reading"]:
            what += f", {entry['reading']}{with_tool(entry)}"
        lines += bullets([f"{what}: {entry['reason']}"])
    return lines


def _sources(card: Answer) -> list[str]:
    if not card["sources"]:
        return []
    return [heading("Sources"), *bullets(card["sources"])]
