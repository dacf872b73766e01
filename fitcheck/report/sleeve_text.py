"""The ways out of a worn counterface as text for a terminal. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.quantities import plain
from fitcheck.report.inch_text import in_inches
from fitcheck.report.offers_text import part_offers
from fitcheck.report.text import Answer, bullets, cautions_text, heading, paragraph, verdict_text
from fitcheck.units import MM_PER_INCH

_INDENT = "     "


def sleeve_text(answer: Answer, *, inches: bool = False, every: bool = False) -> str:
    """The answer of `fitcheck sleeve` as text.

    Parameters
    ----------
    answer : mapping
        The answer as data.
    inches : bool
        Whether dimensions are shown in inches too.
    every : bool
        Whether the work of every way is shown, not that of the first alone.
    """
    answer = in_inches(answer) if inches else answer
    text = ways_text(answer, inches=inches, every=every).lstrip("\n")
    return "\n".join(part for part in (text, cautions_text(answer["cautions"])) if part)


def ways_text(answer: Answer, *, inches: bool = False, every: bool = False) -> str:
    """The groove, the ways with their reasons, the readings to take again and the sources.

    Parameters
    ----------
    answer : mapping
        The answer as data.
    inches : bool
        Whether dimensions are shown in inches too.
    every : bool
        Whether the work of every way is shown, not that of the first alone.
    """
    answer = in_inches(answer) if inches else answer
    lines = [heading(f"Counterface: {verdict_text(answer['verdict'])}")]
    lines += bullets(_groove(answer, inches))
    lines += bullets(answer["reasons"])
    numbers = {source: n for n, source in enumerate(answer["sources"], start=1)}
    for place, way in enumerate(answer["ways"], start=1):
        lines += _way(way, place, numbers, inches=inches, work=every or place == 1)
    if answer["read_again"]:
        lines.append(heading("Readings that would settle it"))
        lines += bullets(_ask(ask) for ask in answer["read_again"])
    if numbers:
        lines.append(heading("Sources"))
        for source, number in numbers.items():
            lines.append(paragraph(source, indent=f"  [{number}] ".ljust(7), hanging=" " * 7))
    return "\n".join(lines)


def _length(value_mm: float, inches: bool) -> str:
    text = f"{plain(round(value_mm, 3))} mm"
    return f"{value_mm / MM_PER_INCH:.4f} in ({text})" if inches else text


def _groove(answer: Answer, inches: bool) -> list[str]:
    depth = answer["groove_depth_mm"]
    if depth is None:
        return []
    error = answer["groove_depth_uncertainty_mm"]
    worn = answer["counterface"]
    given = [
        f"{name} {_length(worn[f'{name}_mm'], inches)}"
        for name in ("land", "track")
        if worn[f"{name}_mm"] is not None
    ]
    line = f"groove {_length(depth, inches)} deep, +/- {_length(error, inches)}"
    return [f"{line}: {', '.join(given)}" if given else line]


def _ask(ask: Answer) -> str:
    tool = f", with a {ask['instrument']}" if ask["instrument"] else ""
    return f"{ask['reading']}{tool}: {ask['reason']}"


def _way(
    way: Answer, place: int, numbers: dict[str, int], *, inches: bool, work: bool
) -> list[str]:
    name = way["way"].replace("-", " ")
    lines = [heading(f"  {place}. {name}: {verdict_text(way['verdict'])}")]
    lines += bullets(way["reasons"], indent=_INDENT)
    if way["verdict"] != "no-go":
        for part in way["parts"]:
            order = f"order: {part['quantity']} x {part['what']}, {part['size']}"
            lines.append(paragraph(order, indent=_INDENT, hanging=f"{_INDENT}  "))
            lines += part_offers(part, indent=f"{_INDENT}  ")
        sizes = _dimensions(way["dimensions_mm"], inches)
        if sizes:
            lines.append(paragraph(sizes, indent=_INDENT, hanging=f"{_INDENT}  "))
        if work:
            lines += _work(way["work"], way["work_sources"], numbers)
            lines += bullets(way["care"], mark="!", indent=_INDENT)
    cited = [str(numbers[source]) for source in way["sources"] if source in numbers]
    if cited:
        lines.append(f"{_INDENT}sources: [{'] ['.join(cited)}]")
    return lines


def _dimensions(sizes: dict[str, float], inches: bool) -> str:
    shown = []
    for name, value in sizes.items():
        if name.endswith("_max") and f"{name[:-4]}_min" in sizes:
            continue
        words = name.replace("_", " ")
        upper = sizes.get(f"{name[:-4]}_max") if name.endswith("_min") else None
        if upper is not None:
            text = f"{words[:-4]} {_length(value, inches)} to {_length(upper, inches)}"
        else:
            text = f"{words} {_length(value, inches)}"
        shown.append(text)
    return f"dimensions: {'; '.join(shown)}" if shown else ""


def _work(steps: Sequence[str], sources: Sequence[str], numbers: dict[str, int]) -> list[str]:
    lines = []
    for count, (step, source) in enumerate(zip(steps, sources, strict=True), start=1):
        cited = f"[{numbers[source]}]" if source in numbers else f"({source})"
        mark = f"{_INDENT}{count}) "
        lines.append(paragraph(f"{step} {cited}", indent=mark, hanging=" " * len(mark)))
    return [f"{_INDENT}work:", *lines] if lines else []
