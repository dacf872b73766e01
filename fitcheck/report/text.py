"""Answers as text for a terminal, 80 columns wide. Nothing is decided here."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from textwrap import fill
from typing import Any

from fitcheck.errors import printable
from fitcheck.quantities import percent

Answer = Mapping[str, Any]

WIDTH = 80
_SHOWN = {"go": "GO", "check": "CHECK", "no-go": "NO-GO"}


# From this share on a candidate's reasons are shown, indented so far.
_LIKELY = 0.05
_BELOW = " " * 13

# What is read as one: the numbers of a size, and a number with its unit.
_ONE = re.compile(
    r"(?<=[0-9]) x (?=[0-9])"
    r"|(?<=[0-9]) (?=(?:mm|um|in|uin|bar|psi|MPa|kN|lbf|rpm|m/s|N\.m|C|F|%|l|US qt)(?![\w/]))"
)
_GLUE = "\u00a0"


def unparted(text: str) -> str:
    """A text on one line whose sizes, and values with their units, stay whole at a line's end.

    What can't be printed is shown by its code.

    >>> unparted("35 x 52 x 7").split(" ")
    ['35\\xa0x\\xa052\\xa0x\\xa07']
    """
    return _ONE.sub(lambda found: found[0].replace(" ", _GLUE), printable(text))


def paragraph(text: str, *, indent: str = "", hanging: str | None = None) -> str:
    """A paragraph broken to 80 columns; sizes and numbers stay whole, overlong words do not."""
    rest = indent if hanging is None else hanging
    return fill(
        unparted(text),
        width=WIDTH,
        initial_indent=indent,
        subsequent_indent=rest,
        break_on_hyphens=False,
    ).replace(_GLUE, " ")


def bullets(lines: Iterable[str], *, mark: str = "-", indent: str = "  ") -> list[str]:
    """Lines as a list, each wrapped under its mark."""
    start = f"{indent}{mark} "
    return [paragraph(line, indent=start, hanging=" " * len(start)) for line in lines]


def heading(text: str) -> str:
    """A section heading; its own indent is kept."""
    indent = text[: len(text) - len(text.lstrip())]
    return "\n" + paragraph(text.lstrip(), indent=indent, hanging=f"{indent}  ")


def verdict_text(verdict: str) -> str:
    """A verdict as a word in capitals, so that it stands out without colour.

    >>> verdict_text("no-go")
    'NO-GO'
    """
    return _SHOWN[verdict]


def identification_text(
    answer: Answer,
    *,
    what: str,
    label: str,
    beside: Callable[[Answer, str], list[str]] = lambda _candidate, _indent: [],
) -> str:
    """The answer of `fitcheck seal` or `fitcheck bearing` as text.

    Parameters
    ----------
    answer : mapping
        The answer as data.
    what : str
        What was looked for, such as ``seal``.
    label : str
        The key that names a candidate.
    beside : callable
        Lines that stand below a candidate that may well be it, by the candidate and the indent.
    """
    lines = [f"{what.capitalize()}: {verdict_text(answer['verdict'])}"]
    lines += bullets(answer["reasons"])
    if answer["candidates"]:
        lines.append(heading("Sizes that could be it"))
        for candidate in answer["candidates"]:
            lines += _candidate(candidate, label)
            if candidate["probability"] >= _LIKELY:
                lines += beside(candidate, _BELOW)
        if answer["others"] >= 0.0005:
            lines.append(f"  {percent(answer['others']):>9}  other listed sizes")
    if answer["unlisted"] >= 0.0005:
        if not answer["candidates"]:
            lines.append(heading("Sizes that could be it"))
        lines.append(f"  {percent(answer['unlisted']):>9}  no listed size")
    if answer["findings"]:
        lines.append(heading("What else may explain the readings"))
        lines += bullets(
            f"{f['finding']} ({percent(f['probability'])}): {f['reason']}"
            for f in answer["findings"]
        )
    following = answer["next_reading"]
    if following is not None:
        lines.append(heading(f"Next: {following['reading']}{with_tool(following)}"))
        lines.append(paragraph(following["reason"], indent="  "))
    return "\n".join(lines)


def with_tool(asked: Answer) -> str:
    """What a reading is taken with, to follow its name; empty where it does not matter.

    >>> with_tool({"instrument": "indicator"}), with_tool({"instrument": "eye"})
    (', with an indicator', ', by eye')
    """
    tool = asked["instrument"]
    if not tool:
        return ""
    if tool == "eye":
        return ", by eye"
    return f", with {'an' if tool[0] in 'aeiou' else 'a'} {tool}"


def _candidate(candidate: Answer, label: str) -> list[str]:
    name = candidate[label]
    series = ", ".join(candidate["series"])
    lines = [
        paragraph(
            f"{name} ({verdict_text(candidate['verdict'])}) {series}",
            indent=f"  {percent(candidate['probability']):>9}  ",
            hanging=_BELOW,
        )
    ]
    if candidate["probability"] >= _LIKELY:
        lines += bullets(candidate["reasons"], indent=_BELOW)
        lines += bullets([f"source: {candidate['source']}"], indent=_BELOW)
        lines += bullets(
            (f"beside {e['other']}: {e['differs']}; {e['how_to_tell']}" for e in _alike(candidate)),
            indent=_BELOW,
        )
    return lines


def _alike(candidate: Answer) -> list[Answer]:
    found: list[Answer] = candidate.get("differs_from", [])
    return found


def checks_text(checks: Iterable[Answer], *, title: str, name: str) -> str:
    """Checks of seats as text; empty where there are none."""
    lines = []
    for check in checks:
        lines.append(f"  {verdict_text(check['verdict'])}: {check[name]}")
        lines.append(paragraph(check["reason"], indent="    "))
        if check["verdict"] != "go":
            for name_, key in (("work", "advice"), ("read again", "read_again")):
                if check.get(key):
                    lines.append(paragraph(f"{name_}: {check[key]}", indent="    "))
        if check.get("source"):
            lines.append(paragraph(f"source: {check['source']}", indent="    "))
    return "\n".join([heading(title), *lines]) if lines else ""


def sources_text(sources: Iterable[str]) -> str:
    """Where the limits and shares come from, as text; empty where nothing was looked up."""
    lines = bullets(sources)
    return (
        "\n".join([heading("Sources of limits, instruments and shares"), *lines]) if lines else ""
    )


def cautions_text(cautions: Iterable[str]) -> str:
    """Cautions as text; empty where there are none."""
    lines = bullets(cautions, mark="!")
    return "\n".join([heading("Cautions"), *lines]) if lines else ""
