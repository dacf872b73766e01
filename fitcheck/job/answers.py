"""What the answers about seals and bearings share: readings, marks, verdicts, candidates."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from fitcheck.accounts import ORDER_SWAPPED, UNIT_MIXED, Value
from fitcheck.advice import NextReading
from fitcheck.errors import InputError
from fitcheck.identify import (
    Candidate,
    Identification,
    candidate_verdict,
    place_states,
)
from fitcheck.parts.family import CLEAN, Family, Size, View
from fitcheck.quantities import percent, plain
from fitcheck.readings import Reading, read
from fitcheck.tables import table
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

Answer = dict[str, Any]

DEFAULT_TOP = 10
# Sizes below this share are counted among the others.
_LISTED = 1e-4
# A limit is not passed by what the conversion of an inch leaves behind.
SLACK_MM = 5e-4
# How sure the leading size is to be before a question is asked about it.
_LIKELY = 0.5


def readings_from(
    texts: Mapping[str, Sequence[str]], *, unit: str, tool: str = ""
) -> dict[str, Reading]:
    """The readings of the places that were given; places without a text are left out.

    Parameters
    ----------
    texts : mapping of str to sequence of str
        The texts by place.
    unit : str
        The unit of bare numbers.
    tool : str
        The instrument of texts that name none; a caliper when empty.
    """
    return {
        place: read(place=place, texts=tuple(given), unit=unit, tool=tool)
        for place, given in texts.items()
        if given
    }


def cautions(*kinds: str) -> list[str]:
    """The usual cautions for work on parts of some kinds; those for any work come last."""
    wanted = (*kinds, "part")
    rows = table("cautions/cautions").rows
    return [row.text("caution") for kind in wanted for row in rows if row.text("when") == kind]


def checked_certainty(certainty: float) -> float:
    """The certainty asked for, as a share; refused outside 0.5 to 1."""
    if not 0.5 <= certainty <= 1.0:
        raise InputError(
            value=f"{certainty:g}",
            rule="the certainty asked for lies from 0.5 to 1",
            todo="Give for example 0.95",
        )
    return certainty


def checked_top(top: int) -> int:
    """How many candidates to list, at least one."""
    if top < 1:
        raise InputError(
            value=str(top), rule="at least one candidate is listed", todo="Give 1 or more"
        )
    return top


def identification_answer(
    found: Identification,
    *,
    family: Family,
    readings: Mapping[str, Reading],
    following: NextReading | None,
    fields: Callable[[Candidate], Answer],
    certainty: float,
    top: int,
) -> Answer:
    """An identification as data; the probabilities add up to 1 with ``unlisted`` and ``others``.

    Parameters
    ----------
    found : Identification
        The posterior.
    family : Family
        The family it belongs to.
    readings : mapping of str to Reading
        The readings by place.
    following : NextReading or None
        What to read next.
    fields : callable
        The dimensions and names of a candidate, as data.
    certainty : float
        The share a size needs for ``go`` [-].
    top : int
        How many candidates to list at most.
    """
    listed = [c for c in found.candidates if c.probability >= _LISTED][:top]
    candidates = []
    for candidate in listed:
        entry = fields(candidate)
        entry["probability"] = round(candidate.probability, 6)
        entry["verdict"] = candidate_verdict(candidate, certainty=certainty)
        if found.hidden and candidate is found.candidates[0]:
            entry["verdict"] = worst(entry["verdict"], CHECK)
        entry["reasons"] = place_reasons(family, candidate, readings)
        entry["source"] = candidate.size.source
        candidates.append(entry)
    shown = sum(entry["probability"] for entry in candidates) + round(found.unlisted, 6)
    result = {
        "verdict": found.verdict,
        "reasons": list(found.reasons),
        "candidates": candidates,
        "unlisted": round(found.unlisted, 6),
        "others": max(0.0, round(1.0 - shown, 6)),
        "findings": [
            {"finding": f.finding, "probability": f.probability, "reason": f.reason}
            for f in found.findings
        ],
        # Where the readings speak against every size there is nothing to tell apart.
        "next_reading": _next(found, following if found.verdict != NO_GO else None, readings),
        "readings": [reading_answer(readings[place]) for place in sorted(readings)],
    }
    if found.verdict == GO:
        _doubt_misread(result, found.candidates[0], family, readings)
    return result


def _doubt_misread(
    result: Answer, top: Candidate, family: Family, readings: Mapping[str, Reading]
) -> None:
    """No size is settled beside a reading of it that has to be taken again."""
    found = misread_place(family, top, readings)
    if found is not None:
        place, low, high = found
        explanations, reading = top.explanations[place], readings[place]
        result["verdict"] = result["candidates"][0]["verdict"] = CHECK
        result["reasons"] = [
            f"{top.size.label} stands at {percent(top.probability)}, but a reading does not hold",
            _reason(family, reading, low, high, explanations[0][0]),
        ]
        result["next_reading"] = asked(
            reading=place,
            instrument=reading.instrument,
            reason=f"take the {place} again: {top.size.label} has {low:.3f} to {high:.3f} mm, and "
            f"{plain(round(reading.mean_mm, 3))} mm was read",
            certainty=top.probability,
        )


def misread_place(
    family: Family, top: Candidate, readings: Mapping[str, Reading]
) -> tuple[str, float, float] | None:
    """The first place of a size whose reading has to be taken again, with its limits [mm].

    Parameters
    ----------
    family : Family
        The family of the size.
    top : Candidate
        The size, with what explains each reading.
    readings : mapping of str to Reading
        The readings by place.
    """
    for place, explanations in top.explanations.items():
        reading = readings[place]
        view = _nearest(family, top.size, reading)
        if view is None or not explanations:
            continue
        low, high = _view_limits(view, top.size)
        if _misread(family, reading, low, high, explanations[0][0]):
            return place, low, high
    return None


def _next(
    found: Identification, following: NextReading | None, readings: Mapping[str, Reading]
) -> Answer | None:
    """The reading to take next; a ``check`` always has one."""
    if following is not None:
        return asked(
            reading=following.reading,
            instrument=following.instrument,
            reason=following.reason,
            certainty=following.expected_certainty,
        )
    if found.verdict != CHECK:
        return None
    top = found.candidates[0].probability if found.candidates else 0.0
    for place in sorted(readings):
        for note in readings[place].notes():
            reason = note.removeprefix(f"{place}: ")
            tool = readings[place].instrument
            return asked(reading=place, instrument=tool, reason=reason, certainty=top)
    reason = "every place is read: read the number on the old part as a second witness"
    return asked(reading="mark", instrument="eye", reason=reason, certainty=top)


def reading_answer(reading: Reading) -> Answer:
    """A reading as data."""
    return {
        "place": reading.place,
        "mean_mm": round(reading.mean_mm, 4),
        "standard_error_mm": round(reading.standard_error_mm, 4),
        "count": len(reading.values_mm),
        "spread_mm": round(reading.spread_mm, 4),
        "instrument": reading.instrument,
        "out_of_round": reading.out_of_round,
        "strays_mm": list(reading.strays_mm),
    }


def place_reasons(
    family: Family, candidate: Candidate, readings: Mapping[str, Reading]
) -> list[str]:
    """One line a reading: what it says about this size."""
    lines = []
    for place, explanations in candidate.explanations.items():
        reading = readings[place]
        view = _nearest(family, candidate.size, reading)
        if view is None or not explanations:
            continue
        state = explanations[0][0]
        low, high = _view_limits(view, candidate.size)
        if _is_restated(family, candidate, reading):
            lines.append(
                f"{_given(reading)}: fits in another unit or order only (expected {low:.3f} to "
                f"{high:.3f} mm)"
            )
        else:
            line = _reason(family, reading, low, high, state)
            if len(_as_asked(family, place)) > 1 and state == CLEAN:
                # A thickness is one of several widths: which of them it fits is said.
                given = _given(reading)
                shown = family.dimensions[view.dimension].replace("_", " ").replace("-", " ")
                line = line.replace(given, f"{given}, as the {shown}", 1)
            lines.append(line)
    return lines


def _as_asked(family: Family, place: str) -> list[View]:
    """What a place shows where no mistake was made about it."""
    return [view for view in family.places[place].views if not view.state]


def _view_limits(view: View, size: Size) -> tuple[float, float]:
    nominal = size.nominals[view.dimension]
    assert nominal is not None, "only dimensions that the size has are viewed"
    lower, upper = view.limits(*nominal)
    return nominal[0] + lower, nominal[0] + upper


def _nearest(family: Family, size: Size, reading: Reading) -> View | None:
    """What a reading shows of a size: of several dimensions the one that it comes nearest to."""
    views = [v for v in _as_asked(family, reading.place) if size.nominals[v.dimension] is not None]

    def off(view: View) -> float:
        low, high = _view_limits(view, size)
        return max(low - reading.mean_mm, reading.mean_mm - high, 0.0)

    return min(views, key=off, default=None)


def restated_places(
    family: Family, found: Identification, readings: Mapping[str, Reading]
) -> tuple[str, ...]:
    """The places whose readings fit the leading size in another unit or order only."""
    if not found.candidates:
        return ()
    top = found.candidates[0]
    return tuple(p for p in top.explanations if _is_restated(family, top, readings[p]))


def _is_restated(family: Family, candidate: Candidate, reading: Reading) -> bool:
    as_written = Value(reading.place, reading.mean_mm, reading.standard_error_mm)
    return not place_states(family, candidate.size, as_written)


def question(
    found: Identification, restated: Sequence[str], readings: Mapping[str, Reading]
) -> Answer | None:
    """What to settle first where readings fit in another unit or order only, or None."""
    mistakes = [f for f in found.findings if f.finding in (UNIT_MIXED, ORDER_SWAPPED)]
    if not restated or not mistakes:
        return None
    todo = (
        "write the unit with each number"
        if mistakes[0].finding == UNIT_MIXED
        else "give each reading its own place"
    )
    return asked(
        reading=restated[0],
        instrument=readings[restated[0]].instrument,
        reason=f"is this so? {mistakes[0].reason}. If it is, {todo}; if not, read it again",
        certainty=found.candidates[0].probability,
    )


def asked(*, reading: str, instrument: str, reason: str, certainty: float) -> Answer:
    """A reading that is asked for, as data.

    Parameters
    ----------
    reading : str
        The place to read.
    instrument : str
        What to read it with.
    reason : str
        Why.
    certainty : float
        The share of the leading size to expect after it [-].
    """
    return {
        "reading": reading,
        "instrument": instrument,
        "reason": reason,
        "expected_certainty": round(certainty, 3),
    }


def _given(reading: Reading) -> str:
    return f"{reading.place} {plain(round(reading.mean_mm, 3))} mm"


def _reason(family: Family, reading: Reading, low_mm: float, high_mm: float, state: str) -> str:
    given = _given(reading)
    if state not in family.harmless:
        return f"{given}: {state.replace('-', ' ')} (expected {low_mm:.3f} to {high_mm:.3f} mm)"
    if reading.place == "pocket":
        spare = reading.mean_mm - low_mm
        if spare < 0:
            return f"{given}: the seal would stand {-spare:.2f} mm proud"
        return f"{given}: the seal leaves {spare:.2f} mm"
    if state == "set-lip":
        # Where the two overlap a lip may be either.
        is_new = low_mm - SLACK_MM < reading.mean_mm < high_mm + SLACK_MM
        said = "as new or set" if is_new else "a worn and set lip"
        return f"{given}: {said}; new it reads {low_mm:.2f} to {high_mm:.2f} mm"
    if state != CLEAN:
        said = state.replace("-", " ")
        return f"{given}: {said}, as use leaves it; new it reads {low_mm:.2f} to {high_mm:.2f} mm"
    if low_mm - SLACK_MM < reading.mean_mm < high_mm + SLACK_MM:
        return f"{given}: within {low_mm:.3f} to {high_mm:.3f} mm"
    by = max(low_mm - reading.mean_mm, reading.mean_mm - high_mm)
    if by <= 3.0 * reading.standard_error_mm:
        return (
            f"{given}: {by:.3f} mm outside {low_mm:.3f} to {high_mm:.3f} mm, no more than a "
            f"{reading.instrument} explains"
        )
    outside = f"{given}: {by:.3f} mm outside {low_mm:.3f} to {high_mm:.3f} mm"
    if not _misread(family, reading, low_mm, high_mm, state):
        return f"{outside}, as wear or use explains"
    return f"{outside}: wear does not do that: read it again"


def _misread(family: Family, reading: Reading, low_mm: float, high_mm: float, state: str) -> bool:
    """Whether a reading lies off where neither its instrument nor wear would put it."""
    if state != CLEAN or reading.place == "pocket":
        return False
    by = max(low_mm - reading.mean_mm, reading.mean_mm - high_mm)
    wears = (reading.mean_mm > high_mm) == (reading.place in family.wears_larger)
    return by > max(SLACK_MM, 3.0 * reading.standard_error_mm) and not wears
