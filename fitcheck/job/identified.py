"""From the readings and marks of one part to its sizes: the same way for every family."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from fitcheck.advice import next_reading
from fitcheck.identify import Candidate, Identification, MarkLikelihood, identify
from fitcheck.job.answers import (
    Answer,
    identification_answer,
    question,
    restated_places,
)
from fitcheck.job.misfit import add_misfit, confirm_mark
from fitcheck.marks import checked, mark_probability, random_probability
from fitcheck.parts.family import Family, Size
from fitcheck.readings import Reading
from fitcheck.records import dataclass

# At this share a leading size is the pick, and the work on its seats is planned; below it is a
# possibility.
SETTLED = 0.6


@dataclass(frozen=True, slots=True)
class Identified:
    """The sizes of a part as data, and what they follow from.

    ``restated`` are the places whose readings fit in another unit or order only, and so say
    nothing about wear.
    """

    result: Answer
    found: Identification
    restated: tuple[str, ...]


def identified(
    family: Family,
    readings: Mapping[str, Reading],
    *,
    weighed: Mapping[str, Reading] | None = None,
    marks: Sequence[str],
    forms: Callable[[Size], Iterable[str]],
    compared: Callable[[str], str] = checked,
    fields: Callable[[Candidate], Answer],
    certainty: float,
    top: int,
    ask: str,
) -> Identified:
    """Weigh the sizes of a family, ask for what is open, and doubt what does not hold together.

    Parameters
    ----------
    family : Family
        The sizes.
    readings : mapping of str to Reading
        The readings by place.
    weighed : mapping of str to Reading, optional
        Those of them that tell sizes apart; all where left out.
    marks : sequence of str
        What can be read on the part.
    forms : callable
        The ways a size is marked.
    compared : callable
        How a marking is brought into the form that is compared.
    fields : callable
        What is said of a candidate besides.
    certainty : float
        The share that settles a size [-].
    top : int
        Candidates to show at most.
    ask : str
        The place that confirms a mark which was not read whole.

    Raises
    ------
    InputError
        Nothing was measured, or a mark can't be read.
    OffTableError
        The readings lie outside everything the tables cover.
    """
    weighed = readings if weighed is None else weighed
    likelihood, unlisted = mark_evidence(marks, forms, compared=compared)
    found = identify(family, weighed, certainty=certainty, mark=likelihood, mark_unlisted=unlisted)
    result = identification_answer(
        found,
        family=family,
        readings=readings,
        following=next_reading(family, found, weighed),
        fields=fields,
        certainty=certainty,
        top=top,
    )
    restated = restated_places(family, found, readings)
    result["next_reading"] = question(found, restated, readings) or result["next_reading"]
    add_misfit(
        result, found, family=family, readings=weighed, mark=likelihood, mark_unlisted=unlisted
    )
    confirm_mark(
        result,
        found,
        family=family,
        marks=[compared(mark) for mark in marks if mark],
        forms=forms,
        readings=readings,
        ask=ask,
    )
    return Identified(result, found, restated)


def mark_evidence(
    marks: Sequence[str],
    forms: Callable[[Size], Iterable[str]],
    *,
    compared: Callable[[str], str] = checked,
) -> tuple[MarkLikelihood | None, float]:
    """The probability of the marks for a size, and for a part of no listed size.

    Parameters
    ----------
    marks : sequence of str
        What can be read, one text for each part that carries a mark.
    forms : callable
        The ways a size may be marked, as compared texts.
    compared : callable
        How a marking is brought into the form that is compared.
    """
    wanted = [compared(mark) for mark in marks if mark]
    if not wanted:
        return None, 1.0

    def likelihood(size: Size) -> float:
        total = 1.0
        for mark in wanted:
            # A part carries one of its forms, any as likely as the other.
            ways = [mark_probability(mark, form) for form in forms(size)]
            total *= sum(ways) / len(ways)
        return total

    unlisted = 1.0
    for mark in wanted:
        unlisted *= random_probability(mark)
    return likelihood, unlisted


def leading(found: Identification) -> Size | None:
    """The size to judge seats against: the leading one, where it leads at all.

    Parameters
    ----------
    found : Identification
        The posterior.
    """
    if found.candidates and found.candidates[0].probability > found.unlisted:
        return found.candidates[0].size
    return None
