"""What does as well as a size that is out: a narrower or wider seal, a sleeve of another width.

A substitute is named with its condition, and only what fits the same shaft counts: another seal of
the same shaft and bore whose width the pocket takes, a sleeve whose window covers the other's
shafts. Whether a condition holds is seen at the machine, so a substitute never counts for more
than the size itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.lists.compare import CONDITION, seal_width
from fitcheck.lists.items import SEAL, SLEEVE, dimension_system
from fitcheck.parts.sleeve import Sleeve, sleeves
from fitcheck.stock.parts import SAME_UM
from fitcheck.stock.records import Part

# No more than so many are named for a size: a buyer looks at the nearest.
MOST = 4

Substitutes = Mapping[str, tuple[tuple[str, str], ...]]


def substitutes_of(parts: Sequence[Part], *, sure_only: bool = False) -> Substitutes:
    """For each size what may stand in for it, the nearest first, each with its condition.

    Parameters
    ----------
    parts : sequence of Part
        The sizes.
    sure_only : bool
        Whether those that do only on a condition are left out.

    Examples
    --------
    >>> from fitcheck.stock.parts import names_of
    >>> named = names_of([("35x52x7", ""), ("35x52x8", "")]).values()
    >>> seals = [Part(one.key, one.what, one.size) for one in named]
    >>> [found[0][0] for found in substitutes_of(seals).values()]
    ['35 x 52 x 8', '35 x 52 x 7']
    """
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    for group in _seals_of_one_seat(parts):
        by_width: dict[tuple[int, str | None], list[Part]] = {}
        for part in group:
            by_width.setdefault((_width(part), part.size.system), []).append(part)
        # A seat has a few widths, however many names they go by.
        for width, wanted in by_width.items():
            fit = _nearest(width, by_width, sure_only=sure_only)
            for part in wanted:
                others = [pair for pair in fit if pair[0] != part.key][:MOST]
                if others:
                    found[part.key] = tuple(others)
    if not sure_only:
        # Whether a shaft lies in another sleeve's window is always a condition.
        found.update(_sleeves(parts))
    return found


def _width(part: Part) -> int:
    return part.size.width_um or 0


def _seals_of_one_seat(parts: Sequence[Part]) -> list[list[Part]]:
    """Seals of one shaft and one bore, but for the rounding of inches."""
    whole = [
        part
        for part in parts
        if part.what == SEAL
        and None not in (part.size.shaft_um, part.size.bore_um, part.size.width_um)
    ]
    whole.sort(key=lambda part: (part.size.shaft_um or 0, part.size.bore_um or 0, part.key))
    seats: dict[tuple[int, int], list[Part]] = {}
    for part in whole:
        shaft, bore = part.size.shaft_um or 0, part.size.bore_um or 0
        cell = (shaft // (SAME_UM + 1), bore // (SAME_UM + 1))
        seats.setdefault(cell, []).append(part)
    return [group for group in seats.values() if len(group) > 1]


def _nearest(
    width: tuple[int, str | None],
    by_width: Mapping[tuple[int, str | None], Sequence[Part]],
    *,
    sure_only: bool,
) -> list[tuple[str, str]]:
    """The parts of the nearest widths that do as well, with their conditions."""
    fit: list[tuple[str, str]] = []
    for other in sorted(by_width, key=lambda one: (abs(one[0] - width[0]), one[0], str(one[1]))):
        words = _width_condition(width, other, sure_only=sure_only)
        if words:
            fit += sorted((part.key, words) for part in by_width[other])
        # One more than are named, for the part itself may be among them.
        if len(fit) > MOST:
            break
    return fit[: MOST + 1]


def _width_condition(
    want: tuple[int, str | None], have: tuple[int, str | None], *, sure_only: bool
) -> str:
    """On what condition a seal of another width does; empty where it does not."""
    (wide, system), (other, other_system) = want, have
    compared = seal_width(
        wide,
        dimension_system(wide, system),
        other,
        dimension_system(other, other_system),
        None,
    )
    if compared.level > CONDITION or (sure_only and compared.level == CONDITION):
        return ""
    return compared.words or "the same size but for rounding"


def _sleeves(parts: Sequence[Part]) -> Substitutes:
    known: dict[str, Sleeve] = {sleeve.designation: sleeve for sleeve in sleeves()}
    held = [known[part.key] for part in parts if part.what == SLEEVE and part.key in known]
    held.sort(key=lambda sleeve: sleeve.middle_mm)
    found = {}
    for one in held:
        fit = []
        for other in held:
            low = max(one.window_min_mm, other.window_min_mm)
            high = min(one.window_max_mm, other.window_max_mm)
            # The shaft is some way inside the window: half of it at least must be covered.
            if other is one or high - low < 0.5 * (one.window_max_mm - one.window_min_mm):
                continue
            words = (
                f"only where the shaft reads {low:.2f} to {high:.2f} mm and the track lies within "
                f"{other.width_mm:g} mm"
            )
            fit.append((abs(other.middle_mm - one.middle_mm), other.designation, words))
        if fit:
            found[one.designation] = tuple((name, words) for _, name, words in sorted(fit)[:MOST])
    return found
