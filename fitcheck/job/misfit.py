"""One reading that speaks against all the others, and a mark that was not read whole.

When the readings together fit no listed size, each is left out in turn: where the others then name
one size, the one left out is the one to take again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from fitcheck.errors import OffTableError
from fitcheck.identify import Identification, MarkLikelihood, identify
from fitcheck.job.answers import Answer, asked
from fitcheck.parts.family import Family, Size
from fitcheck.quantities import percent, plain
from fitcheck.readings import Reading
from fitcheck.verdicts import CHECK, GO

# The others name a size when it stands at this share without the one left out.
NAMED = 0.5
# No listed size leads when it stands at this share.
UNLISTED_LEADS = 0.5
MARK = "mark"


def add_misfit(
    result: Answer,
    found: Identification | None,
    *,
    family: Family,
    readings: Mapping[str, Reading],
    mark: MarkLikelihood | None,
    mark_unlisted: float,
) -> None:
    """Name the reading that keeps the others from fitting a listed size, and ask for it again.

    Parameters
    ----------
    result : dict
        The answer so far; a reason and the next reading are added.
    found : Identification
        The posterior of all readings, or None where they fit nothing at all.
    family : Family
        The sizes.
    readings : mapping of str to Reading
        The readings by place.
    mark, mark_unlisted
        What is known of the marking, as :func:`fitcheck.identify.identify` takes it.
    """
    if found is not None and found.unlisted < UNLISTED_LEADS:
        return
    given = [*sorted(readings), *([MARK] if mark is not None else [])]
    if len(given) < 2:
        return
    best: tuple[float, str, Size] | None = None
    for place in given:
        others = {p: r for p, r in readings.items() if p != place}
        kept = None if place == MARK else mark
        try:
            without = identify(
                family, others, mark=kept, mark_unlisted=mark_unlisted if kept else 1.0
            )
        except OffTableError:
            continue
        if without.candidates and without.candidates[0].probability >= NAMED:
            top = without.candidates[0]
            if best is None or top.probability > best[0]:
                best = (top.probability, place, top.size)
    if best is None:
        return
    share, place, size = best
    result["reasons"].append(misfit_words(family, size, share, place, readings))
    tool = "eye" if place == MARK else (family.places[place].instruments or ("caliper",))[-1]
    result["next_reading"] = asked(
        reading=place,
        instrument=tool,
        reason=f"take the {place} again: without it the rest fits {size.label}",
        certainty=share,
    )


def misfit_words(
    family: Family, size: Size, share: float, place: str, readings: Mapping[str, Reading]
) -> str:
    """What is said of the one reading that keeps the others from fitting a size.

    Parameters
    ----------
    family : Family
        The sizes.
    size : Size
        The size that the others fit.
    share : float
        Its share without that reading [-].
    place : str
        The place of the reading, or ``mark``.
    readings : mapping of str to Reading
        The readings by place.
    """
    start = f"without the {place}, {size.label} stands at {percent(share)}"
    if place == MARK:
        return f"{start}: the mark names another part, or was misread"
    view = family.places[place].views[0]
    nominal = size.nominals[view.dimension]
    if nominal is None:
        return f"{start}: that reading does not fit it"
    lower, upper = view.limits(*nominal)
    read = plain(round(readings[place].mean_mm, 3))
    if place == "pocket":
        return f"{start}: a pocket of {read} mm leaves its {plain(nominal[0])} mm width no room"
    low, high = nominal[0] + lower, nominal[0] + upper
    return f"{start}: its {place} is {low:.3f} to {high:.3f} mm, and {read} mm was read"


def confirm_mark(
    result: Answer,
    found: Identification,
    *,
    family: Family,
    marks: Sequence[str],
    forms: Callable[[Size], Iterable[str]],
    readings: Mapping[str, Reading],
    ask: str,
) -> None:
    """Ask again where a mark names another part, or names one alone and was not read whole.

    Parameters
    ----------
    result : dict
        The answer so far.
    found : Identification
        The posterior.
    family : Family
        The sizes.
    marks : sequence of str
        The marks, as they are compared.
    forms : callable
        The ways a size is marked.
    readings : mapping of str to Reading
        The readings by place; with any, the mark does not stand alone, but may speak against them.
    ask : str
        The place to read.
    """
    if result["verdict"] != GO or not marks:
        return
    size = found.candidates[0].size
    whole = set(forms(size))
    partly = [mark for mark in marks if mark not in whole]
    named = _named_by(partly, family, forms) if readings else ""
    if not partly or (readings and not named):
        return
    result["verdict"] = CHECK
    result["candidates"][0]["verdict"] = CHECK
    if named:
        # The line that every reading holds is no longer the whole of it.
        share = percent(found.candidates[0].probability)
        result["reasons"][0] = f"{size.label} stands at {share}, against its mark"
        result["reasons"].append(
            f"the mark names {named}, the readings {size.label}: one of the two was misread, or "
            "the wrong part was fitted"
        )
        result["next_reading"] = asked(
            reading=MARK,
            instrument="eye",
            reason=f"read the number again: as it was read it is that of {named}",
            certainty=found.candidates[0].probability,
        )
        return
    read = ", ".join(partly)
    result["reasons"].append(
        f"{read} is read as {size.label}, but not every character of it agrees or can be made "
        "out: one dimension must confirm it"
    )
    result["next_reading"] = asked(
        reading=ask,
        instrument="caliper",
        reason=f"read the {ask}: it confirms {size.label} or rules it out",
        certainty=found.candidates[0].probability,
    )


def _named_by(marks: Sequence[str], family: Family, forms: Callable[[Size], Iterable[str]]) -> str:
    """The part that one of some marks spells in full, or nothing."""
    wanted = set(marks)
    return next((size.label for size in family.sizes if not wanted.isdisjoint(forms(size))), "")
